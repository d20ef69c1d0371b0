"""Published projects with resources, and with least and most lags, typed in; and how they become households.

Sources: *pat2*, Patterson, Management Science 30, 1984. *psp2* and *UBO10_01*, the UBO sets of RCPSP/max,
Franck, Neumann and Schwindt 2001. *j301_1*, PSPLIB, Kolisch and Sprecher, European Journal of Operational
Research 96, 1997 (publications from memory). The tables of j301_1 and UBO10_01 are those that the source
distribution of psplib 0.4.0 carries (MIT); optima as listed in the public collection ptal/kobe-scheduling.
"""

from __future__ import annotations

import importlib
from collections.abc import Collection
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from service.bench.oracle_encode import Job, Step, household_problem
from solver.domain.week import Problem

Lag = tuple[int, int, int]
"""From start to start: (i, j, l) with j at least l after i; (i, j, -m) with i at most m after j."""

FOREVER = 288
"""Longer than any of them."""


@dataclass(frozen=True)
class Project:
    """Activities by number: units and demands; and what orders them (the two dummies left out)."""

    name: str
    capacity: tuple[int, ...]
    units: dict[int, int]
    demands: dict[int, tuple[int, ...]]
    before: dict[int, tuple[int, ...]] | None = None
    """Number: those that come after its end."""
    lags: tuple[Lag, ...] = ()

    @property
    def resources(self) -> dict[str, int]:
        """Capacity by name."""
        return {f"r{i}": most for i, most in enumerate(self.capacity, start=1)}

    def uses(self, number: int) -> dict[str, int]:
        """Demand by name."""
        return dict(zip(self.resources, self.demands[number], strict=True))

    @property
    def least_lags(self) -> tuple[Lag, ...]:
        """Everything that orders, from start to start."""
        ends = [(i, j, self.units[i]) for i, later in (self.before or {}).items() for j in later]
        return (*ends, *self.lags)

    def only(self, kept: Collection[int]) -> Project:
        """These activities alone, with the lags among them."""
        return replace(
            self,
            units={n: units for n, units in self.units.items() if n in kept},
            before={n: tuple(j for j in after if j in kept) for n, after in (self.before or {}).items()
                    if n in kept},
            lags=tuple(lag for lag in self.lags if lag[0] in kept and lag[1] in kept),
        )  # fmt: skip


PAT2 = Project(
    "pat2",
    capacity=(5, 5, 3),
    units={2: 1, 3: 2, 4: 2, 5: 3, 6: 2},
    demands={2: (2, 2, 1), 3: (0, 2, 1), 4: (3, 3, 3), 5: (2, 1, 3), 6: (1, 1, 0)},
    before={2: (4, 5), 3: (6,), 5: (6,)},
)
PAT2_OPTIMUM = 7

UBO10_PSP2 = Project(
    "ubo10 psp2",
    capacity=(10, 10, 10, 10, 10),
    units={1: 4, 2: 4, 3: 10, 4: 10, 5: 3, 6: 1, 7: 8, 8: 10, 9: 9, 10: 5},
    demands={
        1: (4, 3, 7, 7, 2), 2: (1, 9, 6, 4, 1), 3: (2, 0, 0, 4, 2), 4: (0, 7, 4, 7, 10), 5: (6, 6, 3, 6, 6),
        6: (10, 1, 4, 7, 10), 7: (9, 0, 10, 4, 6), 8: (4, 0, 0, 0, 0), 9: (0, 8, 0, 0, 0),
        10: (4, 1, 6, 9, 6),
    },
    lags=(
        (1, 5, 9), (2, 5, -3), (2, 6, 8), (3, 7, 24), (7, 3, -26), (4, 9, 22), (9, 4, -25), (5, 8, 4),
        (6, 10, 3), (7, 10, -2),
    ),
)  # fmt: skip
UBO10_PSP2_OPTIMUM = 45

UBO10_01 = Project(
    "UBO10_01",
    capacity=(10, 10, 10, 10, 10),
    units={1: 2, 2: 9, 3: 6, 4: 6, 5: 9, 6: 10, 7: 5, 8: 7, 9: 7, 10: 5},
    demands={
        1: (5, 7, 8, 4, 6), 2: (10, 8, 0, 8, 10), 3: (9, 9, 0, 4, 5), 4: (0, 8, 0, 5, 5), 5: (0, 8, 6, 3, 4),
        6: (8, 9, 4, 9, 9), 7: (6, 3, 0, 6, 9), 8: (6, 8, 2, 0, 10), 9: (0, 8, 10, 3, 0),
        10: (0, 8, 0, 10, 0),
    },
    lags=(
        (1, 10, 2), (2, 4, 5), (2, 7, 0), (3, 9, 3), (4, 5, 4), (5, 6, -5), (6, 5, -4), (6, 7, -4),
        (7, 8, -4), (8, 7, -2), (10, 1, -3),
    ),
)  # fmt: skip
UBO10_01_ENOUGH = 100
"""A week that exists at all exists within the sum of what each takes or makes others wait (10 at most)."""

J301_1 = Project(
    "j301_1",
    capacity=(12, 13, 4, 12),
    units=dict(zip(range(2, 32), (
        8, 4, 6, 3, 8, 5, 9, 2, 7, 9, 2, 6, 3, 9, 10, 6, 5, 3, 7, 2, 7, 2, 3, 3, 7, 8, 3, 7, 2, 2,
    ), strict=True)),
    demands=dict(zip(range(2, 32), (
        (4, 0, 0, 0), (10, 0, 0, 0), (0, 0, 0, 3), (3, 0, 0, 0), (0, 0, 0, 8), (4, 0, 0, 0), (0, 1, 0, 0),
        (6, 0, 0, 0), (0, 0, 0, 1), (0, 5, 0, 0), (0, 7, 0, 0), (4, 0, 0, 0), (0, 8, 0, 0), (3, 0, 0, 0),
        (0, 0, 0, 5), (0, 0, 0, 8), (0, 0, 0, 7), (0, 1, 0, 0), (0, 10, 0, 0), (0, 0, 0, 6), (2, 0, 0, 0),
        (3, 0, 0, 0), (0, 9, 0, 0), (4, 0, 0, 0), (0, 0, 4, 0), (0, 0, 0, 7), (0, 8, 0, 0), (0, 7, 0, 0),
        (0, 7, 0, 0), (0, 0, 2, 0),
    ), strict=True)),
    before={
        2: (6, 11, 15), 3: (7, 8, 13), 4: (5, 9, 10), 5: (20,), 6: (30,), 7: (27,), 8: (12, 19, 27), 9: (14,),
        10: (16, 25), 11: (20, 26), 12: (14,), 13: (17, 18), 14: (17,), 15: (25,), 16: (21, 22), 17: (22,),
        18: (20, 22), 19: (24, 29), 20: (23, 25), 21: (28,), 22: (23,), 23: (24,), 24: (30,), 25: (30,),
        26: (31,), 27: (28,), 28: (31,),
    },
)  # fmt: skip
J301_1_OPTIMUM = 43


def ordered_project(project: Project, finish: int) -> Problem:
    """A project in which things only follow the ends of others.

    There are fewer children than activities: those that follow one another anyway share a child.
    """
    before = project.before or {}
    first: dict[int, list[int]] = {n: [i for i, later in before.items() if n in later] for n in project.units}
    chains = _chains(first)
    jobs = tuple(
        Job(
            f"a{n}",
            (Step(units, project.uses(n)),),
            after=tuple(f"a{i}" for i in first[n]),
            by=f"child{chains[n]}",
        )
        for n, units in project.units.items()
    )
    return household_problem(jobs, project.resources, finish)


def _chains(first: dict[int, list[int]]) -> dict[int, int]:
    """Number of the chain of each; within a chain each follows the one before, perhaps through others."""
    above: dict[int, set[int]] = {}
    ends: list[int] = []
    chain: dict[int, int] = {}
    for n in first:  # the published numbers follow the order
        above[n] = set(first[n]).union(*(above[i] for i in first[n]))
        free = next((k for k, end in enumerate(ends) if end in above[n]), None)
        chain[n] = len(ends) if free is None else free
        ends[chain[n] : chain[n] + 1] = [n]
    return chain


def lagged_project(project: Project, finish: int) -> Problem:
    """A project with least and most lags from start to start.

    Each activity is cut where a lag counted from its start ends (behind its end: an empty piece without
    resources; at its start: an empty unit before it). Each piece but the first starts exactly when the one
    before it ends. *j at least l after i*: j comes after the piece of i that ends at l. *i at most m after
    j*: the piece of j that ends at m takes a tray for good, of which i has a place until it starts.
    """
    plan = _Pieces(project)
    head = plan.head
    jobs = tuple(plan.job(n, k) for n in project.units for k in range(len(plan.cuts[n]) - 1))
    return household_problem(jobs, project.resources, head + finish, plan.trays)


class _Pieces:
    """The pieces of every activity, and who waits for which."""

    def __init__(self, project: Project) -> None:
        self.project = project
        self.cuts = {n: self._cuts(n) for n in project.units}
        self.head = max(0, *(-cuts[0] for cuts in self.cuts.values()))
        self.after: dict[str, list[str]] = {}
        self.until: dict[str, list[str]] = {}
        for n, cuts in self.cuts.items():
            for end in cuts[1:-1]:
                self._join(self._starting(n, end), self._ending(n, end), exact=True)
        for i, j, lag in project.least_lags:
            if lag >= 0:
                self._join(self._starting(j, 0), self._ending(i, lag), exact=False)
            else:
                self.until.setdefault(self._starting(i, 0), []).append(self._ending(j, -lag))
        held = [tray for trays in self.until.values() for tray in trays]
        self.trays = {tray: held.count(tray) for tray in held}

    def job(self, number: int, piece: int) -> Job:
        """One piece."""
        begin, end = list(pairwise(self.cuts[number]))[piece]
        name = f"a{number}.{end}"
        real = 0 <= begin < self.project.units[number]
        hold = name if name in self.trays else None
        step = Step(
            end - begin,
            self.project.uses(number) if real else {},
            least=FOREVER if hold else 0,
            holds=hold,
            places=self.trays.get(name, 1),
        )
        return Job(
            name,
            (step,),
            after=tuple(self.after.get(name, ())),
            earliest=max(0, self.head + min(begin, 0)),
            by=f"child{number}",
            held_until=tuple(self.until.get(name, ())),
        )

    def _cuts(self, number: int) -> list[int]:
        counted = {lag for i, _, lag in self.project.least_lags if i == number and lag >= 0}
        counted |= {-lag for _, j, lag in self.project.least_lags if j == number and lag < 0}
        before = {-1} if 0 in counted else set()
        return sorted({0, self.project.units[number]} | counted | before)

    def _join(self, later: str, earlier: str, exact: bool) -> None:
        self.after.setdefault(later, []).append(earlier)
        if exact:
            self.until.setdefault(later, []).append(earlier)

    def _starting(self, number: int, at: int) -> str:
        return f"a{number}.{self.cuts[number][self.cuts[number].index(at) + 1]}"

    @staticmethod
    def _ending(number: int, at: int) -> str:
        return f"a{number}.{at}"


def table_fits(project: Project, finish: int) -> bool:
    """Whether the published table itself can end by ``finish``: a time-indexed programme for HiGHS."""
    highspy: Any = importlib.import_module("highspy")
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    at = {n: {t: model.addBinary() for t in range(finish - units + 1)} for n, units in project.units.items()}
    for choices in at.values():
        model.addConstr(sum(choices.values()) == 1)
    start = {n: sum(t * chosen for t, chosen in choices.items()) for n, choices in at.items()}
    for first, second, lag in project.least_lags:
        model.addConstr(start[second] - start[first] >= lag)
    for time in range(finish):
        for resource, most in enumerate(project.capacity):
            busy = [
                project.demands[n][resource] * chosen
                for n, choices in at.items()
                for t, chosen in choices.items()
                if t <= time < t + project.units[n] and project.demands[n][resource]
            ]
            if busy:
                model.addConstr(sum(busy) <= most)
    model.run()
    return bool(model.getModelStatus() == highspy.HighsModelStatus.kOptimal)
