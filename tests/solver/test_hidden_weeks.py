"""From a random small week that exists the solver keeps every promise.

``hidden`` draws a week first, booking after booking, and makes wishes, hours and limits from it: evenings,
money, mess, trays and flour are exactly what that week uses. So a plan that keeps every promise exists, by
construction.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from solver.check import check, costs
from solver.domain.activity import Activity, Sitting
from solver.domain.base import DAY_MIN, DAYS, Day, Evening, clock_text
from solver.domain.plan import Plan
from solver.domain.week import Problem, Rank
from solver.search import solve
from tests.solver.drawing import quick
from tests.solver.weeks import (
    ADA,
    BEN,
    MIA,
    NOAH,
    activity,
    book,
    child,
    limits,
    make_ready,
    plan,
    problem,
    sitting,
    wish,
)


def up(minutes: int) -> int:
    return -(-minutes // 5) * 5


@dataclass
class Piece:
    """One sitting of the hidden week."""

    day: Day
    start: int
    minutes: int
    setup: int
    cleanup: int
    mess: int
    help: int
    flour: int
    place: str

    @property
    def begins(self) -> int:
        """The first move of the adult, in minutes of the week."""
        return self.day.index * DAY_MIN + self.start - up(self.setup)

    @property
    def active(self) -> tuple[int, int]:
        start = self.day.index * DAY_MIN + self.start
        return start, start + up(self.minutes)

    @property
    def ends(self) -> int:
        return self.active[1] + up(self.cleanup)


@dataclass
class Lane:
    """Who does one thing after another, and where; two lanes run beside each other."""

    children: tuple[str, ...]
    helper: str
    places: tuple[str, ...]


@dataclass
class Wished:
    """An activity of the hidden week: its sittings, and what is wanted of each."""

    id: str
    lane: Lane
    pieces: list[Piece]
    made: Activity
    hours: list[dict[str, Any]]
    evening: Evening | None
    after: list[str] = field(default_factory=list)


TOGETHER = [Lane(("ada", "ben"), "mia", ("table", "sofa"))]
APART = [Lane(("ada",), "mia", ("table", "sofa")), Lane(("ben",), "noah", ("floor",))]
HALVES = ((8 * 60, 11 * 60 + 30), (13 * 60, 16 * 60 + 55))
PATIENT = {"alone_min": 600}


@st.composite
def pieces(draw: st.DrawFn, lane: Lane, day: Day) -> list[Piece]:
    """One thing after another in the two halves of a day, with time for washing and changing between them."""
    found = []
    for opens, closes in HALVES:
        now = opens
        for _ in range(draw(st.integers(0, 2))):
            setup, minutes, cleanup = (
                draw(st.integers(low, high)) for low, high in ((0, 9), (1, 30), (0, 9))
            )
            start = now + up(setup) + 5 * draw(st.integers(0, 8))
            if start + up(minutes) + max(up(cleanup), 15) > closes:
                break
            mess, help, flour = (draw(st.integers(0, most)) for most in (3, 4, 2))
            place = draw(st.sampled_from(lane.places))
            found.append(Piece(day, start, minutes, setup, cleanup, mess, help, flour, place))
            now = start + up(minutes) + max(up(cleanup), 15)
    return found


@st.composite
def wished(draw: st.DrawFn, id: str, lane: Lane, of: list[Piece]) -> Wished:
    """An activity made of these sittings, with waits and hours that the hidden week keeps."""
    waits = []
    for before, after in pairwise(of):
        gap = after.active[0] - before.active[1]
        least = draw(st.integers(0, gap))
        most = draw(st.none() | st.integers(gap, gap + 600))
        holder = draw(st.sampled_from([None, "tray"]))
        waits.append({"kind": "dry", "least_min": least, "most_min": most, "holder": holder})
    hours = []
    for one in of:
        early, late = (5 * draw(st.integers(0, 12)) for _ in range(2))
        window = {"start": max(0, one.start - early), "end": min(DAY_MIN, one.start + up(one.minutes) + late)}
        hours.append({"days": (one.day,), **window})
    evening = draw(st.none() | st.sampled_from([e for e in Evening if e.index < of[0].day.index]))
    tasks = []
    if evening:
        lead = draw(st.integers(0, of[0].begins - evening.index * DAY_MIN - 20 * 60))
        keeps = of[0].day.index - evening.index + draw(st.integers(0, 3))
        minutes = draw(st.integers(1, 40))
        tasks.append(
            {"id": "cut", "name": "Cut it", "minutes": minutes, "lead_min": lead, "keeps_days": keeps}
        )
    made = activity(
        id,
        *(part_of(one) for one in of),
        waits=tuple(waits),
        prep=tuple(tasks),
        cost=draw(st.integers(0, 3)),
        focus=draw(st.sampled_from(["free", "hands"])),
    )
    return Wished(id, lane, of, made, hours, evening)


def part_of(one: Piece) -> Sitting:
    needs = ({"material": "flour", "count": one.flour},) if one.flour else ()
    return sitting(
        one.minutes,
        one.help,
        setup_min=one.setup,
        cleanup_min=one.cleanup,
        mess=one.mess,
        places=(one.place,),
        needs=needs,
    )


@st.composite
def hidden(draw: st.DrawFn) -> tuple[Problem, Plan]:
    """A household, its wishes, and the week from which both were made."""
    lanes = draw(st.sampled_from([TOGETHER, APART]))
    found: list[Wished] = []
    for lane in lanes:
        days = draw(st.lists(st.sampled_from(DAYS[:5]), min_size=1, max_size=3, unique=True))
        rest = [one for day in sorted(days, key=DAYS.index) for one in draw(pieces(lane, day))]
        while rest:
            count = draw(st.integers(1, min(3, len(rest))))
            found.append(draw(wished(f"w{len(found)}", lane, rest[:count])))
            rest = rest[count:]
    for one in found:
        earlier = [o.id for o in found if o.pieces[-1].ends <= one.pieces[0].begins]
        one.after = draw(st.lists(st.sampled_from(earlier), max_size=1)) if earlier else []
    baby = draw(st.booleans())
    week = household(found, baby)
    return week, as_plan(week, found)


def household(found: list[Wished], baby: bool) -> Problem:
    """Limits, stores and trays are just what the hidden week uses."""
    every = [piece for one in found for piece in one.pieces]
    mess: defaultdict[Day, list[int]] = defaultdict(list)
    for piece in every:
        mess[piece.day].append(piece.mess)
    evenings: Counter[Evening] = Counter()
    for one in found:
        if one.evening:
            evenings[one.evening] += one.made.prep[0].minutes
    children = tuple(one.model_copy(update=PATIENT) for one in (ADA, BEN))
    if baby:
        children += (child("Dot", "2026-05", learner=False, **PATIENT),)
    flour = {"id": "flour", "name": "flour", "reusable": False, "count": sum(p.flour for p in every)}
    return problem(
        *(one.made for one in found),
        *(wish_for(one) for one in found),
        children=children,
        adults=(MIA, NOAH),
        house={"materials": (flour,), "holders": tray_for(found)},
        limits=limits(
            mess_sum_a_day=max((sum(all_of) for all_of in mess.values()), default=0),
            big_mess_a_day=max((sum(m >= 3 for m in all_of) for all_of in mess.values()), default=0),
            mess_sum_a_week=sum(piece.mess for piece in every),
            prep=tuple({"evening": e, "minutes": m, "quiet": False} for e, m in evenings.items()),
            money_a_week=sum(one.made.cost for one in found),
            free_share=0,
        ),
    )


def wish_for(one: Wished) -> Any:
    days = tuple(dict.fromkeys(piece.day for piece in one.pieces))
    return wish(
        one.id,
        rank=Rank.PROMISE,
        children=one.lane.children,
        days=days,
        hours=tuple(one.hours),
        after=tuple(one.after),
    )


def tray_for(found: list[Wished]) -> tuple[dict[str, Any], ...]:
    """As many trays as stand full at once in the hidden week (one, if none does)."""
    full: Counter[int] = Counter()
    for one in found:
        for wait, before, after in zip(one.made.waits, one.pieces, one.pieces[1:], strict=False):
            if wait.holder:
                full.update(range(before.active[1], after.active[0], 5))
    return ({"id": "tray", "name": "the tray", "capacity": max(full.values(), default=1)},)


def as_plan(week: Problem, found: list[Wished]) -> Plan:
    booked = []
    for one in found:
        for index, piece in enumerate(one.pieces):
            booked.append(
                book(
                    week,
                    one.id,
                    piece.day,
                    clock_text(piece.start),
                    sitting=index,
                    children=one.lane.children,
                    helpers=(one.lane.helper,),
                )
            )
        if one.evening:
            booked.append(make_ready(week, booked[-len(one.pieces)], "cut", one.evening))
    return plan(week, *booked)


@quick(40)
@given(hidden())
def test_a_week_that_exists_is_found(drawn: tuple[Problem, Plan]) -> None:
    week, secret = drawn
    assert check(week, secret) == [], "the hidden week itself fits"
    found = solve(week, seconds=6, workers=1)
    assert check(week, found) == []
    assert found.left_over == ()
    assert {b.id for b in found.bookings} == {b.id for b in secret.bookings}
    for tier in found.tiers:
        if tier.name == "promises":
            assert (tier.value, tier.proved) == (0, True)


@quick(15)
@given(hidden())
def test_no_tier_is_dearer_than_the_hidden_week_once_it_is_proved(drawn: tuple[Problem, Plan]) -> None:
    """The first tier that differs must be better than in the week that was hidden."""
    week, secret = drawn
    found = solve(week, seconds=6, workers=1)
    theirs: Counter[str] = Counter()
    for cost in costs(week, secret):
        theirs[cost.tier] += cost.amount
    for tier in found.tiers:
        assert tier.value <= theirs[tier.name] or not tier.proved
        if tier.value != theirs[tier.name]:
            break
