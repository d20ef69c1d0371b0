"""What one run of the bench found out, and the arithmetic on it: gap over time, time to proof, medians."""

from __future__ import annotations

import statistics
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

TIERS = ("promises", "staples", "worth", "rhythm")
OURS = "lapful"
BASELINES = ("careful", "blended", "milp")


@dataclass(frozen=True, slots=True)
class Instance:
    """A household to solve: generated, or from a file."""

    label: str
    seed: int
    path: Path | None = None
    """None: ``label`` is a size of the generator."""

    @property
    def name(self) -> str:
        """For tables and plots."""
        return self.label if self.path else f"{self.label} {self.seed}"


@dataclass(frozen=True, slots=True)
class Facts:
    """How big an instance is."""

    children: int
    adults: int
    activities: int
    sittings: int
    weeks: int = 1


@dataclass(frozen=True, slots=True)
class Event:
    """A better value or bound of one tier, so many seconds after the start."""

    tier: str
    value: int
    bound: int
    seconds: float


@dataclass(frozen=True, slots=True)
class End:
    """How a tier ended. The value is the checker's."""

    value: int
    bound: int | None = None
    proved: bool = False


@dataclass(frozen=True, slots=True)
class Mended:
    """How one mishap was answered."""

    kind: str
    first_s: float
    """Until the first offer."""
    proved_s: float | None
    """Until the offer shown first, when its changes are proved the fewest."""
    total_s: float
    changes: int
    violations: int


@dataclass(frozen=True, slots=True)
class Run:
    """One method on one instance."""

    instance: Instance
    method: str
    facts: Facts | None = None
    candidates: int = 0
    variables: int = 0
    constraints: int = 0
    candidates_s: float = 0.0
    build_s: float = 0.0
    first_s: float | None = None
    total_s: float = 0.0
    peak_mb: float = 0.0
    ends: dict[str, End] = field(default_factory=dict)
    events: tuple[Event, ...] = ()
    marks: tuple[float, ...] = ()
    """Of a term: seconds from its start to the end of each week."""
    mended: tuple[Mended, ...] = ()
    violations: int = 0
    failure: str = ""

    @property
    def cost(self) -> int:
        """All tiers together."""
        return sum(end.value for end in self.ends.values())


def gap(value: int, bound: int) -> float:
    """How far a value may still be above the best, as a share of it."""
    return max(0.0, (value - bound) / value) if value > 0 else 0.0


def standing(events: Iterable[Event], tier: str, seconds: float) -> tuple[int, int] | None:
    """Value and bound of a tier after so many seconds; None before its first value."""
    value, bound = None, 0
    for event in events:
        if event.tier == tier and event.seconds <= seconds:
            value = event.value if value is None else min(value, event.value)
            bound = max(bound, event.bound)
    return None if value is None else (value, bound)


def gap_at(run: Run, tier: str, seconds: float) -> float | None:
    """The gap of a tier after so many seconds; None when the tier had not begun."""
    found = standing(run.events, tier, seconds)
    return None if found is None else gap(*found)


def gap_at_end(run: Run, tier: str) -> float | None:
    """The gap that was left when the run was over."""
    end = run.ends[tier]
    if end.proved or end.value == 0:
        return 0.0
    return None if end.bound is None else (end.value - end.bound) / end.value


def proof_seconds(run: Run, tier: str) -> float | None:
    """When a tier was proved best; None when it was not."""
    if tier not in run.ends or not run.ends[tier].proved:
        return None
    mine = [event for event in run.events if event.tier == tier]
    for event in mine:
        if event.bound >= event.value:
            return event.seconds
    return mine[-1].seconds if mine else run.total_s


def median(values: Iterable[float | None]) -> float | None:
    """The median; a run without a value counts as worse than all others."""
    known = [float("inf") if value is None else value for value in values]
    if not known:
        return None
    found = statistics.median_high(known)
    return None if found == float("inf") else found


def ratio(ours: Sequence[int], theirs: Sequence[int]) -> float | None:
    """Our sum as a share of theirs; None when theirs is zero."""
    return sum(ours) / sum(theirs) if sum(theirs) else None


def pairs(runs: Sequence[Run], label: str, method: str) -> list[tuple[Run, Run]]:
    """Our run and the other method's on the same instance, where both found a plan."""
    ours = {run.instance: run for run in runs if run.method == OURS and run.ends}
    others = [r for r in runs if r.method == method and r.instance.label == label and r.ends]
    return [(ours[other.instance], other) for other in others if other.instance in ours]
