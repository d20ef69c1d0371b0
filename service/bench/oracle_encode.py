"""Machine scheduling as households: the published examples go through the real domain and the real solver.

===================== ==============================================================================
in the books          in the house
===================== ==============================================================================
job                   a child with one promised activity
operation             a sitting of that activity, alone in earshot, of so many units
machine, resource     a tool of which there are as many as the capacity
order within a job    the order of the sittings; least and most lags are waits
order between jobs    ``Wish.after``
any order (open shop) one child with several promised activities
lag between two jobs  a tray that one holds until it starts (``held_until``), the other from its end on
makespan <= T         every promise has ``finish_by`` T: all are kept, or it is proved that not all can be
===================== ==============================================================================

One unit of the example is one slot of the grid.
"""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass, field

from solver import clock
from solver.candidates import enumerate_candidates
from solver.construct import construct
from solver.domain.activity import Activity, Kind, Need, Part, PrepTask, Sitting, Version, Wait, WaitKind
from solver.domain.base import DAY_MIN, Day, Evening, Help, Moment, Window
from solver.domain.home import Holder, Limits, Material, Place, PrepEvening
from solver.domain.people import Adult, Child, Hours
from solver.domain.plan import Plan, Progress
from solver.domain.week import Household, Problem, Rank, Stretch, Week, Wish
from solver.explain import left_over
from solver.model import build
from solver.outline import Outline
from solver.running import Search
from solver.search import finished, make_plan
from solver.tiers import SHARE, best_week

WEEK = "2027-W05"
_WHOLE_DAY = Window(start=0, end=DAY_MIN)
_ALL = "all"
LONGEST_MIN = 480
"""The domain's longest sitting."""


@dataclass(frozen=True)
class Step:
    """One operation, and the lag after it: from its end to the next start, all in units."""

    units: int
    uses: Mapping[str, int] = field(default_factory=dict)
    least: int = 0
    most: int | None = None
    holds: str | None = None
    """The tray that is taken during the lag."""
    places: int = 1
    """How many places of it."""


@dataclass(frozen=True)
class Job:
    """Operations in order, not before ``earliest``, after the ends of other jobs."""

    name: str
    steps: tuple[Step, ...]
    after: tuple[str, ...] = ()
    earliest: int = 0
    by: str = ""
    """The child whose time it takes; its own if empty."""
    held_until: tuple[str, ...] = ()
    """Trays of which it takes a place from the evening before until it starts."""

    @property
    def child(self) -> str:
        """The id of the child whose time it takes."""
        return self.by or f"{self.name}-child"


def household_problem(
    jobs: tuple[Job, ...], capacity: Mapping[str, int], finish: int, trays: Mapping[str, int] | None = None
) -> Problem:
    """The question whether all jobs can end by ``finish``."""
    house = Household(
        name="stations",
        children=tuple(_child(name) for name in dict.fromkeys(job.child for job in jobs)),
        adults=(Adult(id="adult", name="adult", hours=(Hours(start=0, end=DAY_MIN),)),),
        places=(Place(id="floor", name="floor", sittings_at_once=20),),
        materials=tuple(Material(id=name, name=name, count=count) for name, count in capacity.items()),
        holders=tuple(Holder(id=name, name=name, capacity=count) for name, count in (trays or {}).items()),
        stretches=(Stretch(id="day", name="day", start=0, end=DAY_MIN, comfortable=99),),
        limits=Limits(
            change_min=0, wash_min=0, free_share=0, outdoor_times_a_day=0, prep=_evening_before(jobs)
        ),
    )
    week = Week(id=WEEK, teaching_days=(Day.MONDAY,), wishes=tuple(_wish(job, finish) for job in jobs))
    return Problem(household=house, activities=tuple(_activity(job) for job in jobs), week=week)


def job_shop(rows: tuple[str, ...], finish: int) -> Problem:
    """A job shop from rows of ``machine units machine units …``."""
    jobs = tuple(Job(f"job{number}", _operations(row)) for number, row in enumerate(rows))
    machines = {name: 1 for job in jobs for step in job.steps for name in step.uses}
    return household_problem(jobs, machines, finish)


def open_shop(rows: tuple[str, ...], finish: int) -> Problem:
    """An open shop from rows of units, one for each machine: each child, each station, any order."""
    jobs = tuple(
        Job(f"job{number}-{machine}", _operation(int(units), machine), by=f"job{number}")
        for number, row in enumerate(rows)
        for machine, units in enumerate(row.split())
    )
    machines = {name: 1 for job in jobs for step in job.steps for name in step.uses}
    return household_problem(jobs, machines, finish)


def makespan(plan: Plan) -> int:
    """The end of the last booking, in units."""
    return max((booking.start + booking.minutes) // clock.SLOT_MIN for booking in plan.bookings)


def promises(plan: Plan) -> tuple[int, int, bool]:
    """Value, bound and proof of the first tier: goes of promises that are not placed."""
    tier = next(tier for tier in plan.tiers if tier.name == "promises")
    return tier.value, tier.bound, tier.proved


KEPT = (0, 0, True)
"""All promises are kept, and nothing is better than that."""
ONE_SHORT = (1, 1, True)
"""It is proved that at least one promise cannot be kept, and only one is not."""


def start_of(plan: Plan, job: str, step: int) -> int:
    """When a step starts, in units."""
    return next(
        booking.start // clock.SLOT_MIN
        for booking in plan.bookings
        if booking.wish == job and booking.sitting == step
    )


def _operations(row: str) -> tuple[Step, ...]:
    numbers = [int(text) for text in row.split()]
    pairs = zip(numbers[::2], numbers[1::2], strict=True)
    return tuple(step for machine, units in pairs for step in _operation(units, machine))


def _operation(units: int, machine: int) -> tuple[Step, ...]:
    """One operation; one too long for a single sitting goes on at once in the next; none of no length."""
    if not units:
        return ()
    longest = LONGEST_MIN // clock.SLOT_MIN
    lengths = [longest] * ((units - 1) // longest)
    uses = {f"machine{machine}": 1}
    return (*(Step(length, uses, most=0) for length in lengths), Step(units - sum(lengths), uses))


def _evening_before(jobs: tuple[Job, ...]) -> tuple[PrepEvening, ...]:
    """So much of Sunday evening as it takes to fill every tray that is taken until a job starts."""
    minutes = sum(len(job.held_until) for job in jobs)
    return (PrepEvening(evening=Evening.SUNDAY_BEFORE, minutes=minutes),) if minutes else ()


def _minutes(units: int) -> int:
    return units * clock.SLOT_MIN


def _child(name: str) -> Child:
    return Child(id=name, name=name, birth_month="2019-01", wake=0, bed=DAY_MIN)


def _activity(job: Job) -> Activity:
    return Activity(
        id=job.name,
        title=job.name,
        kind=Kind.PRACTICAL_LIFE,
        versions=(Version(id=_ALL, age_from_months=0, age_to_months=1200),),
        sittings=tuple(_sitting(number, step) for number, step in enumerate(job.steps)),
        waits=_waits(job),
        prep=tuple(PrepTask(id=f"hold-{tray}", name=tray, minutes=1, holder=tray) for tray in job.held_until),
    )


def _sitting(number: int, step: Step) -> Sitting:
    return Sitting(
        name=f"step {number}",
        parts={_ALL: Part(minutes=_minutes(step.units), help=Help.ALONE_IN_EARSHOT)},
        places=("floor",),
        needs=tuple(Need(material=name, count=count) for name, count in step.uses.items() if count),
    )


def _waits(job: Job) -> tuple[Wait, ...]:
    """Between the steps, and after the last one when it holds a tray."""
    lagged = job.steps if job.steps[-1].holds else job.steps[:-1]
    return tuple(
        Wait(
            kind=WaitKind.REST,
            least_min=_minutes(step.least),
            most_min=None if step.most is None else _minutes(step.most),
            holder=step.holds,
            units=step.places,
        )
        for step in lagged
    )


def _wish(job: Job, finish: int) -> Wish:
    return Wish(
        id=job.name,
        activity=job.name,
        rank=Rank.PROMISE,
        children=(job.child,),
        after=job.after,
        hours=(Window(start=_minutes(job.earliest), end=DAY_MIN),),
        finish_by=Moment(day=Day.MONDAY, time=_minutes(finish)),
    )


@dataclass(frozen=True)
class Answer:
    """What the solver said: whether all is kept, whether it is proved that not all can be."""

    kept: bool
    impossible: bool
    makespan: int
    rules: tuple[str, ...]
    """Those that together keep the first one out."""


def asked(problem: Problem, seconds: float, workers: int, seed: int = 1, why_seconds: float = 0.0) -> Answer:
    """Search the promises alone, at most so many seconds; the checker judges the plan."""
    settled: list[bool] = []
    until = time.monotonic() + seconds

    def note(told: Progress) -> None:
        if told.tier == "promises" and told.value == told.bound:
            settled.append(True)

    def stop() -> bool:
        return bool(settled) or time.monotonic() > until

    search = Search(seconds / SHARE["promises"], seed, workers, note, stop)
    candidates = enumerate_candidates(Outline(problem))
    chosen, tiers = best_week(search, build(candidates), next(construct(candidates, seed)))
    why = left_over(candidates, chosen, time.monotonic() + why_seconds)
    plan = finished(problem, make_plan(candidates, chosen, tiers, why), search)
    value, bound, _ = promises(plan)
    rules = plan.left_over[0].reason.rules if plan.left_over else ()
    return Answer(value == 0, bound > 0, makespan(plan), rules)
