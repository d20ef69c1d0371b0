"""The command ``lapful``. Exit codes: 0 done, 1 the answer is no, 2 bad input."""

from __future__ import annotations

import json
import os
import signal
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from threading import Event
from typing import Annotated, Any

import typer
from rich.console import Console

from service.asking import add_why
from service.bench.commands import add_bench
from service.care import command as care
from service.errors import LapfulError
from service.files import pick_problem, read_document, read_plan
from service.job_commands import add_commands
from service.mending import add_mend
from service.show import LiveLine, show_plan
from service.show.names import plain
from solver.check import Violation
from solver.check import check as violations_of
from solver.domain.base import clock_text
from solver.domain.document import Document
from solver.domain.in_force import asked_for
from solver.domain.plan import Plan
from solver.domain.week import LossProof, Problem

app = typer.Typer(
    help="Plans one balanced week of learning at home for several small children.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    add_completion=False,
)

HouseholdFile = Annotated[
    Path, typer.Argument(metavar="HOUSEHOLD.json", help="The household file; - reads standard input.")
]
PlanFile = Annotated[Path, typer.Argument(metavar="PLAN.json", help="A plan, as plan --json prints it.")]
WeekOption = Annotated[str | None, typer.Option(metavar="2027-W05", help="The week; the first if not given.")]
Seconds = Annotated[float, typer.Option(min=0.1, max=3600, help="How long to search at most.")]
Seed = Annotated[int, typer.Option(min=0, max=2**31 - 1, help="Same seed and one worker: same plan.")]
Workers = Annotated[int, typer.Option(min=1, max=64, help="How many threads search.")]


def main() -> None:
    """Run the command; what is wrong with the input is said in one line each."""
    try:
        app()
    except LapfulError as error:
        lines = [f"{fault.path}: {fault.message}" for fault in error.faults] or [error.detail]
        for line in lines:
            print(plain(line), file=sys.stderr)
        sys.exit(2)


@app.command()
def plan(
    household: HouseholdFile,
    week: WeekOption = None,
    seconds: Seconds = 15.0,
    seed: Seed = 1,
    workers: Workers = 2,
    loss_proof: Annotated[
        LossProof | None,
        typer.Option(help="Any one day may be lost without breaking a promise; else as the week says."),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the plan alone, as JSON.")] = False,
) -> None:
    """Find a week that fits and print it, with what is left over and why."""
    problem = asked_for(pick_problem(read_document(household), week), loss_proof)
    found = _search(problem, seconds, seed, workers)
    if as_json:
        print(found.model_dump_json(indent=2))
        return
    show_plan(Console(), problem, found)


def _search(problem: Problem, seconds: float, seed: int, workers: int) -> Plan:
    # Loading the solver takes more than a second, which only this command should pay.
    from solver.search import solve

    console = Console(stderr=True)
    with (
        _first_interrupt(console) as stopped,
        LiveLine(console, seconds) as line,
        # The main thread must stay free: only there Python hears Ctrl-C.
        ThreadPoolExecutor(1, thread_name_prefix="search") as searcher,
    ):
        return searcher.submit(
            solve,
            problem,
            seconds=seconds,
            seed=seed,
            workers=workers,
            on_progress=line.tell,
            should_stop=stopped.is_set,
        ).result()


@contextmanager
def _first_interrupt(console: Console) -> Iterator[Event]:
    """Set once Ctrl-C was pressed: the best week so far is still shown. A second one ends it all."""
    pressed = Event()

    def press(_number: int, _frame: object) -> None:
        if pressed.is_set():
            console.show_cursor(True)
            os._exit(128 + signal.SIGINT)
        pressed.set()

    before = signal.signal(signal.SIGINT, press)
    try:
        yield pressed
    finally:
        signal.signal(signal.SIGINT, before)


@app.command()
def check(household: HouseholdFile, plan: PlanFile, week: WeekOption = None) -> None:
    """Judge a plan without the solver; exit 1 with every rule that it breaks."""
    document, found = read_document(household), read_plan(plan)
    problem = pick_problem(document, week or found.week)
    broken = violations_of(problem, found)
    for violation in broken:
        print(_violation_line(violation))
    if broken:
        raise typer.Exit(1)
    print(f"The plan holds: {len(found.bookings)} bookings, no rule broken.")


def _violation_line(violation: Violation) -> str:
    when = violation.day.value.capitalize() if violation.day else ""
    if violation.start is not None:
        when = f"{when} {clock_text(violation.start)}".strip()
    return plain(f"{violation.key}: {violation.sentence}" + (f" ({when})" if when else ""))


@app.command()
def schema() -> None:
    """Print the JSON Schema of a household file."""
    described: dict[str, Any] = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **Document.model_json_schema(),
    }
    print(json.dumps(described, indent=2, ensure_ascii=False))


@app.command()
def openapi() -> None:
    """Print the OpenAPI document of the service."""
    from service.openapi import document_text

    print(document_text())


@app.command()
def serve(
    household: Annotated[
        Path | None,
        typer.Argument(metavar="[HOUSEHOLD.json]", help="Put this household in first.", show_default=False),
    ] = None,
    demo: Annotated[bool, typer.Option("--demo", help="Show the invented household.")] = False,
    replace: Annotated[
        bool, typer.Option("--replace", help="Let the file take the place of what the folder holds.")
    ] = False,
    data: Annotated[
        Path | None, typer.Option(help="The data folder; the usual place for this user if not given.")
    ] = None,
    host: Annotated[str, typer.Option(help="The address to listen on.")] = "127.0.0.1",
    port: Annotated[int, typer.Option(min=0, max=65535, help="The port; 0 picks a free one.")] = 8027,
    home_network: Annotated[
        bool, typer.Option("--home-network", help="Let devices of the home network in, once they are paired.")
    ] = False,
    https: Annotated[
        bool, typer.Option("--https", help="Speak https with the home network; see lapful certificate.")
    ] = False,
    memory: Annotated[
        int | None, typer.Option(min=512, metavar="MIB", help="How much memory a search may use.")
    ] = None,
) -> None:
    """Serve the page and its data: to this machine alone, unless the home network is let in."""
    from service.serving import Wanted, run

    if demo and household:
        raise typer.BadParameter("give either a household file or --demo, not both")
    run(
        Wanted(
            household=household,
            demo=demo,
            replace=replace,
            data=data,
            host=host,
            port=port,
            home_network=home_network,
            memory_mib=memory,
            https=https,
        )
    )


add_commands(app)
add_mend(app)
care.add_commands(app)
add_bench(app)
add_why(app)


if __name__ == "__main__":
    main()
