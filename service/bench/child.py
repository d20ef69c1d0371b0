"""Runs a measurement in a fresh process, so that memory is its own and a crash ends nothing else."""

from __future__ import annotations

import os
import traceback
from multiprocessing import get_context
from multiprocessing.connection import Connection

from service.bench.measure import Limits, measure
from service.bench.mends import MEND_SECONDS
from service.bench.record import Instance, Run

PATIENCE = 240.0
"""Seconds beyond the limit for loading, building, reasons; then the child is ended."""


def in_child(method: str, instance: Instance, limits: Limits, weeks: int = 1) -> Run:
    """The run, or one that says why there is none."""
    context = get_context("spawn")
    ours, theirs = context.Pipe(duplex=False)
    child = context.Process(target=_work, args=(theirs, method, instance, limits), daemon=True)
    child.start()
    theirs.close()
    try:
        if not ours.poll(weeks * (limits.seconds + PATIENCE) + 2 * MEND_SECONDS * limits.mends):
            return Run(instance, method, failure="no answer in time")
        found: Run = ours.recv()
        return found
    except EOFError:
        child.join()
        return Run(instance, method, failure=f"the process ended with {child.exitcode}")
    finally:
        if child.is_alive():
            child.join(2)
            child.terminate()
        child.join()
        ours.close()


def _work(answer: Connection, method: str, instance: Instance, limits: Limits) -> None:
    # HiGHS greets on standard output, which belongs to our table or CSV.
    os.dup2(2, 1)
    try:
        answer.send(measure(method, instance, limits))
    except Exception as error:  # the bench goes on with the next instance and shows this one's failure
        told = traceback.format_exception_only(error)[-1].strip()
        answer.send(Run(instance, method, failure=told[:500]))
    finally:
        answer.close()
