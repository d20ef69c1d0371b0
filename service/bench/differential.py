"""``lapful bench --differential N``: drawn small households, solved by ours and by an independent solver.

The best week is compared tier by tier. What one of the two cannot prove in its time is counted apart, and
still held to its bounds.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from rich.console import Console

from service.bench.plain_costs import optimum
from service.bench.plain_house import House, drawn
from service.bench.plain_told import problem_of
from solver.domain.plan import Plan, TierResult
from solver.search import solve

SECONDS = 20.0
"""For each solver; hardly any of the households needs a second."""


@dataclass(frozen=True)
class Compared:
    """One household, both answers."""

    seed: int
    ours: dict[str, TierResult]
    theirs: dict[str, int | None]
    seconds: float
    their_seconds: float
    met: frozenset[str] = frozenset()
    """What our week has in it."""

    @property
    def differs(self) -> tuple[str, ...]:
        """The first tier in which the two contradict one another, if none before it is open."""
        for name, tier in self.ours.items():
            least = self.theirs[name]
            if least is None:
                return ()
            if not tier.bound <= least <= tier.value or (tier.proved and tier.value != least):
                return (name,)
            if not tier.proved:
                return ()
        return ()

    @property
    def open(self) -> bool:
        """Whether one of the two could not prove its answer in time."""
        return None in self.theirs.values() or not all(tier.proved for tier in self.ours.values())

    @property
    def told(self) -> str:
        """Both answers in a line."""
        parts = [
            f"{name} {tier.value}{'' if tier.proved else '?'}/{self.theirs[name]}"
            for name, tier in self.ours.items()
        ]
        return f"seed {self.seed}: {', '.join(parts)} (ours/theirs)"


def compared(seed: int, seconds: float = SECONDS, workers: int = 2) -> Compared:
    """Solve the household of a seed both ways."""
    house = drawn(seed)
    began = time.monotonic()
    plan = solve(problem_of(house), seconds=seconds, seed=1, workers=workers)
    middle = time.monotonic()
    theirs = optimum(house, seconds)
    ours = {tier.name: tier for tier in plan.tiers}
    met = frozenset(what for what, there in _has(house, plan) if there)
    return Compared(seed, ours, theirs, middle - began, time.monotonic() - middle, met)


def _has(house: House, plan: Plan) -> Iterator[tuple[str, bool]]:
    """Whether the household and its week try more than the plainest rules."""
    yield "two adults", len(house.adults) == 2
    yield "a minder", any(booking.minder for booking in plan.bookings)
    yield "a nap", any(child.nap for child in house.children)
    yield "a second sitting after its wait", any(booking.sitting for booking in plan.bookings)
    yield "prep", bool(plan.prep)
    yield "something left over", bool(plan.left_over)


def main_differential(count: int, first: int, seconds: float, workers: int) -> bool:
    """Compare so many households from a seed on; whether none differs."""
    told = Console(stderr=True)
    found = []
    for case in _all(range(first, first + count), seconds, workers):
        found.append(case)
        if case.differs:
            told.print(case.told, markup=False, highlight=False)
        elif len(found) % 50 == 0:
            told.print(f"{len(found)} of {count}", highlight=False)
    for line in summary(found):
        print(line, file=sys.stdout)
    return not any(case.differs for case in found)


def _all(seeds: Iterable[int], seconds: float, workers: int) -> Iterator[Compared]:
    return (compared(seed, seconds, workers) for seed in seeds)


def summary(found: list[Compared]) -> list[str]:
    """Counts, times, in how many a tier costs anything, and every household that differs."""
    differing = [case for case in found if case.differs]
    undecided = sum(case.open and not case.differs for case in found)
    costly = Counter(name for case in found for name, least in case.theirs.items() if least)
    met = Counter(what for case in found for what in case.met)
    lines = [
        f"{len(found)} households: {len(found) - len(differing) - undecided} agree on every tier, "
        f"{undecided} not proved in time by one of both, {len(differing)} differ",
        "households in which a tier costs something: "
        + ", ".join(f"{name} {count}" for name, count in costly.items()),
        "with: " + ", ".join(f"{what} {count}" for what, count in sorted(met.items())),
        f"seconds: ours {sum(case.seconds for case in found):.1f}, "
        f"HiGHS {sum(case.their_seconds for case in found):.1f}",
    ]
    return lines + [f"differs: {case.told}" for case in differing]
