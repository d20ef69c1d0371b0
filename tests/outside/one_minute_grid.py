"""Asks the Lawrence instances of the real solver on a grid of one minute instead of five.

Their optima (590-666 units) do not fit into the 288 slots of a day, but into its 1440 minutes. So the four
numbers that make the grid are set before anything else is imported, in a process of its own; every other line
that runs is the ordinary one.
Prints, for each instance, what comes out at the published optimum and at one unit less.
"""

from __future__ import annotations

import json
import sys

from solver import clock

clock.SLOT_MIN = 1
clock.DAY_SLOTS = 24 * 60
clock.WEEK_SLOTS = 7 * clock.DAY_SLOTS
clock.PREP_SLOT = 20 * 60


def asked(name: str, finish: int, seconds: float) -> dict[str, object]:
    """The answer of the solver, judged by the checker, to: can all jobs end by ``finish``?"""
    from service.bench.oracle_encode import job_shop, makespan, promises
    from service.bench.oracle_shops import LAWRENCE
    from solver.check import check
    from solver.search import solve

    problem = job_shop(LAWRENCE[name], finish)
    plan = solve(problem, seconds=seconds, seed=1, workers=2)
    return {
        "promises": promises(plan),
        "makespan": makespan(plan),
        "violations": [violation.sentence for violation in check(problem, plan)],
        "seconds": plan.seconds,
    }


if __name__ == "__main__":
    from service.bench.oracle_shops import LAWRENCE_OPTIMA

    limit = float(sys.argv[1])
    answers = {
        name: [asked(name, optimum, limit), asked(name, optimum - 1, limit)]
        for name, optimum in LAWRENCE_OPTIMA.items()
    }
    json.dump(answers, sys.stdout)
