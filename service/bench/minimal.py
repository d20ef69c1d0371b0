"""Are the fewest changes really the fewest? Small weeks, mended once by Lapful and once by trying everything.

The search here is written anew from the contract in DEVELOPERS.md: it knows slots, one child, one adult and
one table, no solver, and tries every way of placing what is left of the week.
"""

from __future__ import annotations

import itertools
import random
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cached_property

from rich.console import Console
from rich.table import Table

from solver.clock import SLOT_MIN
from solver.domain.activity import Activity, Part, Sitting, Version
from solver.domain.base import DAY_MIN, DAYS, Day, Help, Moment
from solver.domain.home import Limits, Place
from solver.domain.mishap import DayLost, Missing, Roster
from solver.domain.people import Adult, Child, Hours
from solver.domain.plan import Booking, Plan
from solver.domain.week import Household, Problem, Rank, Stretch, Week, Wish
from solver.mend import mend
from solver.search import solve

TEACHING = DAYS[:3]
CHANGE_SLOTS = 1
"""Between two things of the child."""
ADULT = (8 * 60, 18 * 60)
STRETCHES = (("early", 9 * 60, 10 * 60), ("late", 13 * 60, 14 * 60))
MOVED, TOLD, NEAR, GIVEN_UP = 8, 8, 4, 4
"""The weights of a change, as the contract of mending has them."""

Costs = tuple[int, int, int]
"""Promises and staples that are not kept, and the weighted changes."""
Spot = tuple[Day, str]
Happened = DayLost | Roster | Missing


@dataclass(frozen=True)
class Case:
    """A small week, its plan, what happened and when."""

    problem: Problem
    plan: Plan
    mishap: Happened
    day: Day
    """On which it happened."""
    now: Moment


def case_of(seed: int) -> Case:
    """A small random week with a plan and a mishap."""
    draw = random.Random(seed)
    problem = _problem(draw)
    plan = solve(problem, seconds=3, seed=1, workers=1)
    day = draw.choice(sorted({b.day for b in plan.bookings}) or TEACHING)
    now = Moment(day=draw.choice(DAYS[: day.index + 1]), time=draw.choice((0, 9 * 60 + 25)))
    return Case(problem, plan, _mishap(draw, day), day, now)


def _problem(draw: random.Random) -> Problem:
    names = [f"thing{index}" for index in range(draw.randint(2, 4))]
    twice = draw.choice(("", names[0]))
    household = Household(
        name="A small house",
        children=(Child(id="ada", name="Ada", birth_month="2022-02"),),
        adults=(Adult(id="mia", name="Mia", hours=(Hours(start=ADULT[0], end=ADULT[1]),)),),
        places=(Place(id="table", name="the table"), Place(id="floor", name="the floor")),
        stretches=tuple(Stretch(id=name, name=name, start=a, end=b) for name, a, b in STRETCHES),
        limits=Limits(free_share=0, change_min=CHANGE_SLOTS * SLOT_MIN, outdoor_times_a_day=0),
    )
    week = Week(
        id="2027-W05",
        teaching_days=TEACHING,
        wishes=tuple(_wish(draw, name, 1 + (name == twice)) for name in names),
    )
    activities = tuple(_activity(draw, name) for name in names)
    return Problem(household=household, activities=activities, week=week)


def _activity(draw: random.Random, name: str) -> Activity:
    sitting = Sitting(
        name="do it", parts={"any": Part(minutes=draw.choice((15, 20, 25, 30)), help=Help.HANDS_ON)},
        places=("table",), setup_min=draw.choice((0, 5, 10)), cleanup_min=draw.choice((0, 5)),
    )  # fmt: skip
    versions = (Version(id="any", age_from_months=12, age_to_months=200),)
    return Activity.model_validate(
        {"id": name, "title": name.capitalize(), "kind": "game", "versions": versions, "sittings": (sitting,)}
    )


def _wish(draw: random.Random, name: str, times: int) -> Wish:
    ranks = (Rank.PROMISE, Rank.STAPLE, Rank.EXTRA)
    return Wish(id=name, activity=name, rank=draw.choice(ranks), told=draw.random() < 0.3, times=times)


def _mishap(draw: random.Random, day: Day) -> Happened:
    start, end = draw.choice(((0, DAY_MIN), (9 * 60, 9 * 60 + 45), (12 * 60, 18 * 60)))
    hours = draw.choice(((None, None), (9 * 60, 9 * 60 + 40), (13 * 60, 18 * 60)))
    return draw.choice(
        (
            DayLost(day=day, start=start, end=end),
            Roster(adult="mia", day=day, start=hours[0], end=hours[1]),
            Missing(what="table", day=day),
        )
    )


@dataclass(eq=False)
class Everything:
    """Every mend of a small week, tried one after the other."""

    case: Case
    tried: int = 0
    packed: dict[object, bool] = field(default_factory=dict)

    @cached_property
    def begun(self) -> list[Booking]:
        """What had begun before now."""
        now = self.case.now.week_min
        return [b for b in self.case.plan.bookings if _week_min(b) - b.setup_min < now]

    @cached_property
    def free(self) -> list[Booking]:
        """What may still be done otherwise."""
        return [b for b in self.case.plan.bookings if b not in self.begun]

    def least(self) -> Costs | None:
        """The least costs in order of the tiers; None when what had begun does not fit by now."""
        if not all(self._fits(day, ()) for day in TEACHING):
            return None
        best: Costs | None = None
        for spots in itertools.product(*(self._spots(b) for b in self.free)):
            self.tried += 1
            costs = self._costs(spots)
            if (best is None or costs < best) and self._possible(spots):
                best = costs
        return best

    def _spots(self, booking: Booking) -> list[Spot | None]:
        mishap = self.case.mishap
        stays = isinstance(mishap, DayLost) and self._wish(booking).rank is not Rank.PROMISE
        days = (booking.day,) if stays else TEACHING
        return [None, *((day, name) for day in days for name, _, _ in STRETCHES)]

    def _wish(self, booking: Booking) -> Wish:
        return next(wish for wish in self.case.problem.week.wishes if wish.id == booking.wish)

    def _costs(self, spots: tuple[Spot | None, ...]) -> Costs:
        gone = [b for b, spot in zip(self.free, spots, strict=True) if spot is None]
        lost = {(left.wish, left.go) for left in self.case.plan.left_over}
        ranks = {wish.id: wish.rank for wish in self.case.problem.week.wishes}
        unkept = [ranks[b.wish] for b in gone] + [ranks[wish] for wish, _ in lost]
        changes = sum(self._change(b, spot) for b, spot in zip(self.free, spots, strict=True))
        return unkept.count(Rank.PROMISE), unkept.count(Rank.STAPLE), changes

    def _change(self, booking: Booking, spot: Spot | None) -> int:
        if spot == (booking.day, booking.stretch):
            return 0
        near = 0 <= booking.day.index - self.case.now.day.index <= 1
        weight = MOVED + (TOLD if self._wish(booking).told else 0) + (NEAR if near else 0)
        return weight + (GIVEN_UP if spot is None else 0)

    def _possible(self, spots: tuple[Spot | None, ...]) -> bool:
        placed = [(b, spot) for b, spot in zip(self.free, spots, strict=True) if spot]
        if not self._apart(placed) or not self._no_fuller(placed):
            return False
        for day in TEACHING:
            here = tuple((b.id, name) for b, (where, name) in placed if where is day)
            if not self._fits(day, here):
                return False
        return True

    def _apart(self, placed: list[tuple[Booking, Spot]]) -> bool:
        """Once a day at most, and the second time after the first."""
        days: dict[str, dict[int, int]] = {}
        for booking in self.begun:
            days.setdefault(booking.wish, {})[booking.go] = booking.day.index
        for booking, (day, _) in placed:
            days.setdefault(booking.wish, {})[booking.go] = day.index
        ordered = ([index for _, index in sorted(goes.items())] for goes in days.values())
        return all(a < b for indices in ordered for a, b in itertools.pairwise(indices))

    def _no_fuller(self, placed: list[tuple[Booking, Spot]]) -> bool:
        """After a lost day, or a day without a table, later days hold no more than was planned."""
        if isinstance(self.case.mishap, Roster):
            return True
        for day in TEACHING[self.case.day.index + 1 :]:
            before = [_taken(b) for b in self.case.plan.bookings if b.day is day]
            after = [_taken(b) for b in self.begun if b.day is day]
            after += [_taken(b) for b, (where, _) in placed if where is day]
            if len(after) > len(before) or sum(after) > sum(before):
                return False
        return True

    def _fits(self, day: Day, here: tuple[tuple[str, str], ...]) -> bool:
        key = (day, frozenset(here))
        if key not in self.packed:
            self.packed[key] = self._pack(day, here)
        return self.packed[key]

    def _pack(self, day: Day, here: tuple[tuple[str, str], ...]) -> bool:
        """Whether these fit beside what has begun: every order, each as early as it can be."""
        fixed = [(b, b.start // SLOT_MIN) for b in self.begun if b.day is day]
        by_id = {b.id: b for b in self.free}
        wanted = [(by_id[name], stretch) for name, stretch in here]
        room = sum((end - start) // SLOT_MIN for _, start, end in STRETCHES)
        if sum(_taken(b) for b, _ in fixed) + sum(_taken(b) for b, _ in wanted) > room:
            return False
        if not self._begun_hold(day, fixed):
            return False
        return any(self._in_order(day, fixed, order) for order in itertools.permutations(wanted))

    def _begun_hold(self, day: Day, fixed: list[tuple[Booking, int]]) -> bool:
        return all(self._allowed(day, b, start, True) for b, start in fixed)

    def _in_order(
        self, day: Day, fixed: list[tuple[Booking, int]], order: tuple[tuple[Booking, str], ...]
    ) -> bool:
        placed = list(fixed)
        last = -1
        for booking, stretch in order:
            start = next(
                (
                    slot
                    for slot in _starts(stretch)
                    if slot > last
                    and self._allowed(day, booking, slot, False)
                    and all(_beside(booking, slot, other, at) for other, at in placed)
                ),
                None,
            )
            if start is None:
                return False
            placed.append((booking, start))
            last = start
        return True

    def _allowed(self, day: Day, booking: Booking, start: int, begun: bool) -> bool:
        child = set(range(start, start + _slots(booking.minutes)))
        whole = set(
            range(
                start - _slots(booking.setup_min),
                start + _slots(booking.minutes) + _slots(booking.cleanup_min),
            )
        )
        if not begun and day.index * DAY_MIN + min(whole) * SLOT_MIN < self.case.now.week_min:
            return False
        return self._mishap_allows(day, child, whole, booking)

    def _mishap_allows(self, day: Day, child: set[int], whole: set[int], booking: Booking) -> bool:
        mishap = self.case.mishap
        first, last = ADULT[0] // SLOT_MIN, ADULT[1] // SLOT_MIN
        hours = set(range(first, last))
        if day is not self.case.day:
            return whole <= hours
        since = self._since(day)
        if isinstance(mishap, DayLost):
            lost = set(range(max(mishap.start // SLOT_MIN, since), mishap.end // SLOT_MIN))
            return whole <= hours and not child & lost
        if isinstance(mishap, Missing):
            return whole <= hours and (not whole & set(range(since, 288)))
        new = (
            set()
            if mishap.start is None
            else set(range(mishap.start // SLOT_MIN, (mishap.end or 0) // SLOT_MIN))
        )
        return whole <= {slot for slot in hours if slot < since} | {slot for slot in new if slot >= since}

    def _since(self, day: Day) -> int:
        """From which slot a mishap counts: what has begun is brought to its end."""
        now = self.case.now
        if now.day is not day:
            return 288 if now.day.index > day.index else 0
        here = [b for b in self.begun if b.day is day]
        if isinstance(self.case.mishap, Missing):
            return max((max(_whole(b, b.start // SLOT_MIN)) + 1 for b in here), default=0)
        washed = [b.start // SLOT_MIN + _slots(b.minutes) + max(_slots(b.cleanup_min), 1) for b in here]
        return max([-(-now.time // SLOT_MIN), *washed])


def _beside(one: Booking, start: int, other: Booking, at: int) -> bool:
    """Two things of one child, one adult and one table, one after the other."""
    if start < at:
        one, start, other, at = other, at, one, start
    child = start >= at + _slots(other.minutes) + CHANGE_SLOTS
    adult = start - _slots(one.setup_min) >= at + _slots(other.minutes) + _slots(other.cleanup_min)
    return child and adult


def _whole(booking: Booking, start: int) -> set[int]:
    """Slots with laying out and clearing."""
    end = start + _slots(booking.minutes) + _slots(booking.cleanup_min)
    return set(range(start - _slots(booking.setup_min), end))


def _starts(stretch: str) -> range:
    start, end = next((a, b) for name, a, b in STRETCHES if name == stretch)
    return range(start // SLOT_MIN, end // SLOT_MIN)


def _slots(minutes: int) -> int:
    return -(-minutes // SLOT_MIN)


def _taken(booking: Booking) -> int:
    return _slots(booking.minutes) + CHANGE_SLOTS


def _week_min(booking: Booking) -> int:
    return booking.day.index * DAY_MIN + booking.start


@dataclass(frozen=True)
class Compared:
    """What both ways found."""

    seed: int
    ours: Costs
    proved: bool
    theirs: Costs
    tried: int
    seconds: float

    @property
    def agree(self) -> bool:
        """Whether they found the same."""
        return self.proved and self.ours == self.theirs


def compare(seed: int) -> Compared | None:
    """Both ways on one case; None when what had begun contradicts what happened."""
    case = case_of(seed)
    search = Everything(case)
    theirs = search.least()
    if theirs is None:
        return None
    began = time.monotonic()
    best = mend(case.problem, case.plan, [case.mishap], at=case.now, seconds=5, workers=1).offers[0]
    tiers = {tier.name: tier for tier in best.plan.tiers}
    values = [tiers[name].value if name in tiers else 0 for name in ("promises", "staples", "changes")]
    proved = all(tiers[name].proved for name in ("promises", "staples", "changes") if name in tiers)
    ours = (values[0], values[1], values[2])
    return Compared(seed, ours, proved, theirs, search.tried, time.monotonic() - began)


def cases(count: int, first: int = 1) -> Iterator[Compared]:
    """So many cases that can be compared, from a seed on."""
    found = 0
    for seed in itertools.count(first):
        one = compare(seed)
        if one is not None:
            yield one
            found += 1
        if found == count:
            return


def show_minimal(
    console: Console, count: int = 200, tell: Callable[[Compared], None] | None = None, first: int = 1
) -> bool:
    """Compare so many cases and print what came of it; whether all agree."""
    compared = []
    for one in cases(count, first):
        compared.append(one)
        if tell:
            tell(one)
    table = Table(title=f"Fewest changes: Lapful and trying everything, {len(compared)} small weeks")
    for heading in ("changes weigh", "cases", "agree", "proved", "ways tried", "seconds a mend"):
        table.add_column(heading, justify="right")
    for low, high in ((0, 0), (1, 15), (16, 31), (32, 10_000)):
        group = [one for one in compared if low <= one.theirs[2] <= high]
        if group:
            table.add_row(
                str(low) if low == high else f"{low} to {max(one.theirs[2] for one in group)}",
                str(len(group)), str(sum(one.agree for one in group)), str(sum(one.proved for one in group)),
                str(sum(one.tried for one in group)), f"{sum(o.seconds for o in group) / len(group):.2f}",
            )  # fmt: skip
    console.print(table)
    for one in compared:
        if not one.agree:
            console.print(f"seed {one.seed}: ours {one.ours} (proved: {one.proved}), theirs {one.theirs}")
    return all(one.agree for one in compared)
