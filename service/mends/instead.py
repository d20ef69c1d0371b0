"""Something else in a booking's place: a spare thing, like for like, or its own lighter version.

Whether it fits is what the checker says of the whole week with it; nothing changes until a way is accepted.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from service.mends.moving import around, faults, new_faults
from service.mends.questions import MoveAnswer
from solver.aftermath import aftermath
from solver.assemble import Chosen, bookings
from solver.candidates import Allowed, Candidate, enumerate_candidates
from solver.check import Facts
from solver.clock import minutes_of, slot_at
from solver.domain.activity import Activity
from solver.domain.base import clock_text
from solver.domain.mishap import Move, Offer, Refused
from solver.domain.plan import Booking, Fate, LeftOver, Plan, Reason, State
from solver.domain.week import Problem, Rank, Wish
from solver.masks import between
from solver.mend.swaps import swaps_for
from solver.options import Option, options_of
from solver.outline import Outline, Task
from solver.rules import ALONE
from solver.words import clause, day_name

MOST_OFFERED = 3
MOST_TRIED = 8
EARLIER_MIN, LATER_MIN = 10, 15
"""This very time, give or take."""
STARTS_TRIED = 6
NO_SPARE = (
    "Nothing spare is like it: about as long, about as lively, with nothing to prepare, and all of it in "
    "the house. Extras that find no room become spares."
)


def lighter(problem: Problem, plan: Plan, booking: Booking) -> MoveAnswer:
    """The activity's lighter version in the place of the usual one."""
    activity = _activity(problem, booking)
    no = _no_lighter(activity, booking)
    if no:
        return MoveAnswer(fits=False, title=activity.title, in_the_way=(no,))
    wish = _wish(problem, booking).model_copy(update={"lighter_ok": True})
    wishes = tuple(wish if one.id == wish.id else one for one in problem.week.wishes)
    found = _tried(_Place(problem, plan, booking), wishes, booking.id, lighter=True)
    if found.there is None:
        no = _about(activity.title, found.broken[0])
        return MoveAnswer(fits=False, title=activity.title, in_the_way=(no,))
    moved = Move(
        booking=booking.id, title=activity.title, from_day=booking.day, from_start=booking.start,
        to_day=found.there.day, to_start=found.there.start, to_stretch=found.there.stretch, lighter=True,
    )  # fmt: skip
    said = f"{activity.title} the lighter way, {day_name(booking.day)}, {clock_text(found.there.start)}"
    offers = tuple(
        one.model_copy(update={"moved": (moved, *(m for m in one.moved if m.booking != booking.id))})
        for one in around(found.problem, found.plan, found.there, said)
    )
    return MoveAnswer(fits=not found.broken, title=activity.title, in_the_way=found.broken, offers=offers)


def _no_lighter(activity: Activity, booking: Booking) -> str:
    if activity.lighter is None:
        return f"{activity.title} has no lighter version."
    if booking.lighter:
        return "It is the lighter version already."
    if booking.sitting > 0:
        return "It has been begun the usual way, and the lighter version stands for all of it."
    return ""


def swap(problem: Problem, plan: Plan, booking: Booking) -> MoveAnswer:
    """Up to three spare things that fit in its place, the most alike first; else what is in their way."""
    title = _activity(problem, booking).title
    place = _Place(problem, plan, booking)
    if booking.sitting > 0 and not _wish(problem, booking).may_carry_on:
        no = f"It is a later part of {title}, which would be left half done; move it, or let it wait."
        return MoveAnswer(fits=False, title=title, in_the_way=(no,))
    offers: list[Offer] = []
    refused: list[str] = []
    for wish in _spares(place):
        if len(offers) == MOST_OFFERED:
            break
        named = next(one.title for one in problem.activities if one.id == wish.activity)
        found = _tried(place, (*problem.week.wishes, wish), f"{wish.id}.1.1", lighter=False)
        if found.there is None or found.broken:
            refused.append(_about(named, found.broken[0]))
        else:
            offers += _swapped(found.problem, found.plan, found.there, (title, named))
    in_the_way = () if offers else (*refused[:MOST_OFFERED],) or (NO_SPARE,)
    return MoveAnswer(fits=bool(offers), title=title, in_the_way=in_the_way, offers=tuple(offers))


def _swapped(problem: Problem, plan: Plan, there: Booking, names: tuple[str, str]) -> list[Offer]:
    was, now = names
    said = f"{now} instead of {was}, {day_name(there.day)}, {clock_text(there.start)}"
    first = list(around(problem, plan, there, said))[:1]
    return [one.model_copy(update={"kind": "swap", "added": (there.id, *one.added)}) for one in first]


@dataclass(frozen=True)
class _Place:
    """What is to be replaced, and the week without it."""

    problem: Problem
    plan: Plan
    booking: Booking

    @property
    def gone(self) -> set[str]:
        """The booking and what comes after it: the rest of its go."""
        b = self.booking
        same_go = (one for one in self.plan.bookings if (one.wish, one.go) == (b.wish, b.go))
        return {one.id for one in same_go if one.sitting >= b.sitting}

    @cached_property
    def faults_before(self) -> set[tuple[str, str]]:
        """What is wrong with the week as it is: not the fault of what takes the place."""
        return faults(Facts(self.problem, self.plan, ()), self.plan)

    def without(self, name: str) -> Plan:
        """The plan without it, and without its prep when none of it is left; ``name`` takes its place.

        What was laid over something that goes stands alone from now on; whether it can, the checker says.
        """
        b, gone = self.booking, self.gone
        prep = (one for one in self.plan.prep if b.sitting > 0 or (one.wish, one.go) != (b.wish, b.go))
        stays = (
            one.model_copy(update={"alongside": None}) if one.alongside in gone - {name} else one
            for one in self.plan.bookings
            if one.id not in gone
        )
        return self.plan.model_copy(
            update={"bookings": tuple(stays), "prep": tuple(prep), "waiting": ()},
        )

    def left(self) -> LeftOver:
        """It waits for another time, by the parent's own wish."""
        b, activity = self.booking, _activity(self.problem, self.booking)
        keeps = _wish(self.problem, b).rank is not Rank.STAPLE
        return LeftOver(
            wish=b.wish, activity=b.activity, title=activity.title, go=b.go,
            sittings=tuple(range(b.sitting, len(activity.sittings))),
            fate=Fate.HELD_OVER if keeps else Fate.LET_GO, until="whenever it suits" if keeps else "",
            reason=Reason(ids=(b.id,), day=b.day, sentence="You put something else in its place."),
        )  # fmt: skip


@dataclass(frozen=True)
class _Found:
    """Where it would go, what that breaks, and the week it belongs to."""

    there: Booking | None
    broken: tuple[str, ...]
    problem: Problem
    plan: Plan


def _tried(place: _Place, wishes: tuple[Wish, ...], name: str, *, lighter: bool) -> _Found:
    """One thing tried in the place: the first start that breaks nothing, else the one that breaks least."""
    booking = place.booking
    firm = tuple(one for one in place.problem.week.firm if one.id not in place.gone)
    week = place.problem.week.model_copy(update={"wishes": wishes, "firm": firm})
    problem = place.problem.model_copy(update={"week": week})
    plan = place.without(name)
    if not lighter:
        plan = plan.model_copy(update={"left_over": (*plan.left_over, place.left())})
    outline = _alone(problem, name)
    task = next(one for one in outline.tasks if one.name == name)
    like = Facts(problem, plan, ())
    tried: list[tuple[Booking, tuple[str, ...]]] = []
    for there in _starts(outline, task, booking, lighter):
        tried.append((there, new_faults(like, plan, there, place.faults_before)))
        if not tried[-1][1]:
            break
    if not tried:
        return _Found(None, (_forbidden(outline, task, booking, lighter),), problem, plan)
    there, broken = min(tried, key=lambda one: len(one[1]))
    return _Found(there, broken, problem, plan)


def _alone(problem: Problem, name: str) -> Outline:
    wish = next(one for one in problem.week.wishes if one.id == name.rsplit(".", 2)[0])
    week = problem.week.model_copy(update={"wishes": (wish,)})
    return Outline(problem.model_copy(update={"week": week}))


def _starts(outline: Outline, task: Task, booking: Booking, lighter: bool) -> Iterator[Booking]:
    """The starts at this time of day, the nearest first, at the same place first."""
    there = (c for c in enumerate_candidates(outline).by_task[task] if _like(c, booking, lighter))
    found = [(c, slot) for c in there for slot in _near(booking) if c.may_start(slot)]
    found.sort(key=lambda one: _apart(one[0], one[1], booking))
    for c, slot in found[:STARTS_TRIED]:
        (made,) = bookings(outline, Chosen({task: (c, slot)}, {}, {}))
        yield made.model_copy(update={"state": State.FIRM})


def _like(c: Candidate, booking: Booking, lighter: bool) -> bool:
    """On its day, in the same manner."""
    option = c.option
    return (
        c.day is booking.day and c.meal == booking.meal and option.lighter == lighter and not option.alongside
    )


def _apart(c: Candidate, slot: int, booking: Booking) -> tuple[int, bool]:
    return abs(minutes_of(slot) - booking.start), c.option.place.id != booking.place


def _near(booking: Booking) -> range:
    first = slot_at(max(0, booking.start - EARLIER_MIN))
    return range(first, slot_at(booking.start + LATER_MIN) + 1)


def _forbidden(outline: Outline, task: Task, booking: Booking, lighter: bool) -> str:
    """The rules of a single thing that leave it no start at this time."""
    allowed, near = Allowed(outline), _near(booking)
    window = between(near.start, near.stop)
    found = [_against(allowed, option, booking, window) for option in options_of(outline, task)
             if option.lighter == lighter and not option.alongside and not option.at_meal]  # fmt: skip
    keys = min(found, key=len, default=["who"])
    text = clause(outline, task.go, task.sitting, keys[:1] or ["one_at_a_time"])
    return f"{task.go.activity.title} does not fit here. {text[:1].upper()}{text[1:]}."


def _against(allowed: Allowed, option: Option, booking: Booking, window: int) -> list[str]:
    return [key for key in ALONE if not allowed.by(key, option)[booking.day.index] & window]


def _spares(place: _Place) -> Iterator[Wish]:
    """What could stand in for its children: the week's spares and leftovers, then the rest of the shelf."""
    booking = place.booking
    if not booking.attends:
        return
    whole = aftermath(place.problem, place.plan, (), None)
    asks = Refused(booking=booking.id, child=booking.attends[0].child, reason="swap")
    seen: set[str] = set()
    for after in (whole, whole.with_week(spare=_shelf(place))):
        for wish, _ in swaps_for(after, place.plan, asks):
            if wish.activity not in seen and len(seen) < MOST_TRIED:
                seen.add(wish.activity)
                yield _for_all(place.problem, booking, wish)


def _for_all(problem: Problem, booking: Booking, wish: Wish) -> Wish:
    # The hours are left open: it is put where it is put, and may be moved like anything else.
    taken = {one.id for one in problem.week.wishes}
    name = next(n for n in (wish.id, *(f"{wish.id[:74]}-{i}" for i in range(2, 99))) if n not in taken)
    children = tuple(one.child for one in booking.attends)
    return wish.model_copy(update={"id": name, "children": children, "hours": (), "days": (booking.day,)})


def _shelf(place: _Place) -> tuple[str, ...]:
    """Things of the same kind, or for the same learning area, that nobody wished for this week."""
    was = _activity(place.problem, place.booking)
    wished = {one.activity for one in place.problem.week.wishes}
    return tuple(
        one.id
        for one in place.problem.activities
        if one.id not in wished and (one.kind is was.kind or set(one.areas) & set(was.areas))
    )


def _activity(problem: Problem, booking: Booking) -> Activity:
    return next(one for one in problem.activities if one.id == booking.activity)


def _wish(problem: Problem, booking: Booking) -> Wish:
    return next(one for one in problem.week.wishes if one.id == booking.wish)


def _about(title: str, sentence: str) -> str:
    if title in sentence:
        return sentence
    return f"{title} does not fit here. {sentence[:1].upper()}{sentence[1:]}"
