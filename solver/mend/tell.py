"""What an offer comes to: moves, what is left over and why, and one sentence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from solver.domain.activity import Weather
from solver.domain.base import Day, clock_text
from solver.domain.mishap import ChangesBound, Move, Offer
from solver.domain.plan import Booking, Fate, LeftOver, Plan, Reason
from solver.domain.week import Wish
from solver.mend.kinds import Kind
from solver.mend.weekinhand import WeekInHand
from solver.outline import Go, Task
from solver.words import blocked_sentence, day_name, listed

GONE = ("time_gone", "prep", "mess_hours")
NAMED = 2
"""So many things are called by name in the sentence; more are counted."""


def offer_of(hand: WeekInHand, kind: Kind, plan: Plan) -> Offer:
    """A mended plan as an offer, with everything that is otherwise."""
    plan = _with_reasons(hand, plan)
    known = {(left.wish, left.go, left.sittings) for left in hand.plan.left_over}
    new = [left for left in plan.left_over if (left.wish, left.go, left.sittings) not in known]
    moved = tuple(_moves(hand, plan))
    added = tuple(b.id for b in plan.bookings if b.id not in hand.was)
    offer = Offer(
        kind=kind.key,
        sentence="",
        moved=moved,
        held_over=tuple(left for left in new if left.fate is Fate.HELD_OVER),
        let_go=tuple(left for left in new if left.fate is Fate.LET_GO),
        cancelled=hand.after.cancelled,
        added=added,
        unchanged=len(plan.bookings) - len(moved) - len(added),
        notes=(*hand.after.notes, *_without_some(hand, plan), *_unfinished(hand, new)),
        changes_bound=_bound(plan),
        plan=plan,
        week=hand.after.problem.week,
    )
    return offer.model_copy(update={"sentence": sentence_of(offer, hand)})


def _bound(plan: Plan) -> ChangesBound:
    for tier in plan.tiers:
        if tier.name == "changes":
            return ChangesBound(value=tier.value, bound=tier.bound, proved=tier.proved)
    return ChangesBound(value=0, bound=0, proved=True)


def _moves(hand: WeekInHand, plan: Plan) -> Iterator[Move]:
    titles = {activity.id: activity.title for activity in hand.after.problem.activities}
    for booking in plan.bookings:
        was = hand.was.get(booking.id)
        if was is not None and _elsewhere(booking, was):
            yield Move(
                booking=booking.id, title=titles[booking.activity], from_day=was.day,
                from_start=was.start, to_day=booking.day, to_start=booking.start,
                to_stretch=booking.stretch, lighter=booking.lighter and not was.lighter,
            )  # fmt: skip


def _elsewhere(booking: Booking, was: Booking) -> bool:
    if booking.day is not was.day or booking.lighter != was.lighter:
        return True
    if booking.meal or was.meal:
        return booking.meal not in (was.meal, f"{was.meal}-{was.day}")
    return booking.stretch != was.stretch


def _with_reasons(hand: WeekInHand, plan: Plan) -> Plan:
    """What the old plan left over keeps its reason; what the mishap took says so."""
    old = {(left.wish, left.go, left.sittings): left for left in hand.plan.left_over}
    goes = {(go.wish.id, go.index): go for go in hand.outline.goes}
    told = [
        old.get((left.wish, left.go, left.sittings)) or _lost(hand, goes[left.wish, left.go], left)
        for left in plan.left_over
    ]
    return plan.model_copy(update={"left_over": tuple(told)})


def _lost(hand: WeekInHand, go: Go, left: LeftOver) -> LeftOver:
    was = [b for b in hand.plan.bookings if (b.wish, b.go) == (left.wish, left.go)]
    days = [b.day for b in was if b.sitting in left.sittings]
    parts = [f"It was to be on {listed([day_name(day) for day in dict.fromkeys(days)])}."] if days else []
    keys: tuple[str, ...] = ()
    for index in left.sittings:
        keys = _plainest(hand.blocked.get(Task(go, index), ()))
        if keys:
            parts.append(blocked_sentence(hand.outline, go, index, keys))
            break
    if not keys:
        parts.append("There is no other place for it without making a day fuller.")
    if left.sittings[0] > 0 and was:
        parts.append("What is made of it keeps as it is.")
    reason = Reason(rules=keys or left.reason.rules, ids=left.reason.ids, day=left.reason.day,
                    sentence=" ".join(parts), freed_by=left.reason.freed_by)  # fmt: skip
    return left.model_copy(update={"reason": reason, "until": _until(go, left)})


def why_lost(hand: WeekInHand, wish: str, day: Day, keys: tuple[str, ...]) -> str:
    """Why a promise would not find another place if a day were lost."""
    go = next(go for go in hand.outline.goes if go.wish.id == wish)
    told = _plainest(keys)
    if told:
        return blocked_sentence(hand.outline, go, 0, told)
    return f"No day after {day_name(day)} has room for it without growing fuller."


def _plainest(keys: tuple[str, ...]) -> tuple[str, ...]:
    """Without the rules that say only that the time has gone, where another says more."""
    return tuple(key for key in keys if key not in GONE) or keys


def _until(go: Go, left: LeftOver) -> str:
    """For something held over: the next time that would do."""
    if left.fate is Fate.LET_GO or left.sittings[0] > 0:
        return left.until
    wants = "dry time" if go.activity.weather is Weather.DRY else "time"
    if go.activity.adults_needed > 1:
        return f"the next {wants} with {go.activity.adults_needed} adults, {left.until}"
    return f"the next dry time, {left.until}" if go.activity.weather is Weather.DRY else left.until


def _unfinished(hand: WeekInHand, new: Iterable[LeftOver]) -> Iterator[str]:
    """Said plainly: what was begun will not be ready for the day it was meant for."""
    wishes: dict[str, Wish] = {wish.id: wish for wish in hand.after.problem.week.wishes}
    for left in new:
        by = wishes[left.wish].finish_by
        if by and left.sittings[0] > 0:
            when = f"{day_name(by.day)} {clock_text(by.time)}"
            yield f"{left.title} will not be finished by {when}; as it is will do."


def _without_some(hand: WeekInHand, plan: Plan) -> Iterator[str]:
    names = {child.id: child.name for child in hand.after.problem.household.children}
    titles = {activity.id: activity.title for activity in hand.after.problem.activities}
    for booking in plan.bookings:
        was = hand.was.get(booking.id)
        there = {a.child for a in booking.attends}
        away = [a.child for a in was.attends if a.child not in there] if was else []
        if away:
            yield f"{titles[booking.activity]} goes on without {listed([names[child] for child in away])}."


def sentence_of(offer: Offer, hand: WeekInHand) -> str:
    """What an offer comes to, for somebody with a child on the arm."""
    parts = [*_instead(offer, hand), *_moving(offer, hand), *_easier(offer), *_leaving(offer)]
    if not parts:
        return _only_cancelled(offer)
    text = listed(parts)
    rest = "everything else stays where it is" if offer.unchanged else "the day is for rest"
    return f"{text[:1].upper()}{text[1:]}; {rest}."


def _only_cancelled(offer: Offer) -> str:
    titles = list(dict.fromkeys(one.title for one in offer.cancelled))
    if titles:
        return f"Only {listed(titles)} is off; everything else stays where it is."
    return "Nothing needs to change."


def _instead(offer: Offer, hand: WeekInHand) -> list[str]:
    titles = {activity.id: activity.title for activity in hand.after.problem.activities}
    names = {child.id: child.name for child in hand.after.problem.household.children}
    new = [b for b in offer.plan.bookings if b.id in offer.added]
    who = [listed([names[a.child] for a in b.attends]) for b in new]
    return [
        f"{titles[b.activity]} for {child} at {clock_text(b.start)} instead"
        for b, child in zip(new, who, strict=True)
    ]


def _moving(offer: Offer, hand: WeekInHand) -> list[str]:
    moved = [move for move in offer.moved if not move.lighter]
    if not moved:
        return []
    now = {booking.id: booking for booking in offer.plan.bookings}
    adults = {adult.id: adult.name for adult in hand.after.problem.household.adults}
    told = []
    for move in moved[:3]:
        new = [adults[a] for a in now[move.booking].helpers if a not in hand.was[move.booking].helpers]
        told.append(f"{move.title} to {_to(move)}" + (f" with {listed(new)}" if new else ""))
    more = [f"{len(moved) - 3} more"] if len(moved) > 3 else []
    return ["move " + listed([*told, *more])]


def _easier(offer: Offer) -> list[str]:
    lighter = list(dict.fromkeys(move.title for move in offer.moved if move.lighter))
    if len(lighter) > 3:
        return [f"do {len(lighter)} things the easy way"]
    return [f"do {listed(lighter)} the easy way"] if lighter else []


def _leaving(offer: Offer) -> list[str]:
    parts = []
    if offer.held_over:
        parts.append(f"keep {_called(offer.held_over)} for another time")
    if offer.let_go:
        parts.append(f"let go of {_called(offer.let_go)}")
    return parts


def _called(left: tuple[LeftOver, ...]) -> str:
    titles = [("the rest of " if one.sittings[0] > 0 else "") + one.title for one in left]
    return listed(titles) if len(titles) <= NAMED else f"{len(titles)} things"


def _to(move: Move) -> str:
    if move.to_day is move.from_day:
        return f"{clock_text(move.to_start)} the same day"
    return day_name(move.to_day)
