"""What an offer comes to: moves, what is left over and why, and one sentence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from solver.domain.activity import Weather
from solver.domain.base import Day, Window, clock_text
from solver.domain.mishap import ChangesBound, Move, Offer
from solver.domain.plan import Booking, Fate, LeftOver, Plan, Reason
from solver.domain.week import FixedKind, Rank, Wish
from solver.mend.kinds import Kind
from solver.mend.weekinhand import WeekInHand
from solver.outline import Go, Task
from solver.words import clause, day_name, listed

GONE = ("time_gone", "prep", "mess_hours")
NAMED = 2
"""So many things are called by name in the sentence; more are counted."""


def offer_of(hand: WeekInHand, kind: Kind, plan: Plan) -> Offer:
    """A mended plan as an offer, with everything that is otherwise."""
    plan = _with_reasons(hand, kind, plan)
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


def _with_reasons(hand: WeekInHand, kind: Kind, plan: Plan) -> Plan:
    """What the old plan left over keeps its reason; what the mishap took says so."""
    old = {(left.wish, left.go, left.sittings): left for left in hand.plan.left_over}
    goes = {(go.wish.id, go.index): go for go in hand.outline.goes}
    told = [
        old.get((left.wish, left.go, left.sittings)) or _lost(hand, kind, goes[left.wish, left.go], left)
        for left in plan.left_over
    ]
    return plan.model_copy(update={"left_over": tuple(told)})


def _lost(hand: WeekInHand, kind: Kind, go: Go, left: LeftOver) -> LeftOver:
    was = [b for b in hand.plan.bookings if (b.wish, b.go) == (left.wish, left.go)]
    gone = [b for b in was if b.sitting in left.sittings]
    blocked = [(i, hand.blocked[Task(go, i)]) for i in left.sittings if Task(go, i) in hand.blocked]
    index, keys = blocked[0] if blocked else (0, ())
    keys = _plainest(keys)
    cause = _cause(hand, kind, gone)
    if cause and (go.day or go.wish.rank is not Rank.PROMISE):
        told = f"{cause}, and {_elsewhere_not(hand, go)}."
    elif keys:
        first = f"{cause}. " if cause else ""
        told = f"{first}{_left_days(hand)} there is no time for it: {clause(hand.outline, go, index, keys)}."
    else:
        told = f"{cause or _planned(gone)}, and {_elsewhere_not(hand, go)}."
    if left.sittings[0] > 0 and was:
        told += " What is made of it keeps as it is."
    reason = Reason(rules=keys or left.reason.rules, ids=left.reason.ids, day=left.reason.day,
                    sentence=told, freed_by=left.reason.freed_by)  # fmt: skip
    return left.model_copy(update={"reason": reason, "until": _until(go, left)})


def _cause(hand: WeekInHand, kind: Kind, gone: list[Booking]) -> str:
    """What took the day from what was planned on it, if a day or a part of it was taken."""
    for booking in gone:
        day = day_name(booking.day)
        ill = _ill_in(hand, booking)
        if ill:
            return f"{listed(ill)} {'is' if len(ill) == 1 else 'are'} ill on {day}"
        if _is_lost(hand, booking):
            return f"{day} is lost"
        if booking.day is hand.after.easy_day:
            return f"{day} is an easy day"
        if kind.key == "rest" and booking.day in hand.after.lost:
            return f"This way {day} is for rest"
    return ""


def _ill_in(hand: WeekInHand, booking: Booking) -> list[str]:
    attending = {a.child for a in booking.attends}
    return [
        child.name
        for child in hand.after.problem.household.children
        if child.id in attending
        and any(
            ill.child == child.id and any(_meets(window, booking) for window in ill.when)
            for ill in hand.after.problem.week.ill
        )
    ]


def _is_lost(hand: WeekInHand, booking: Booking) -> bool:
    attending = {a.child for a in booking.attends}
    return booking.day in hand.after.lost and any(
        point.kind is FixedKind.LOST
        and point.on(booking.day)
        and attending & set(point.children)
        and point.start < booking.start + booking.minutes
        and booking.start < point.end
        for point in hand.after.problem.week.fixed_points
    )


def _meets(window: Window, booking: Booking) -> bool:
    starts_before = window.start < booking.start + booking.minutes
    return window.on(booking.day) and starts_before and booking.start < window.end


def _planned(gone: list[Booking]) -> str:
    days = dict.fromkeys(day_name(booking.day) for booking in gone)
    return f"It was to be on {listed(list(days))}" if days else "It waits"


def _elsewhere_not(hand: WeekInHand, go: Go) -> str:
    """Why it does not simply go somewhere else."""
    if hand.after.only_days is not None:
        return "the other days stay as they are"
    if go.day:
        return "each other day has its own" if go.wish.times > 1 else "it is wanted on that day alone"
    if hand.after.no_fuller_after is not None:
        return "no other day is made fuller for it"
    return "there is no other place for it"


def _left_days(hand: WeekInHand) -> str:
    return "That day" if hand.after.only_days is not None else "On the days that are left"


def why_lost(hand: WeekInHand, wish: str, day: Day, keys: tuple[str, ...]) -> str:
    """Why a promise would not find another place if a day were lost."""
    go = next(go for go in hand.outline.goes if go.wish.id == wish)
    told = _plainest(keys)
    if told:
        left = clause(hand.outline, go, 0, told)
        return f"After {day_name(day)} there is no time for it: {left}."
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
            yield f"{left.title} will not be finished by {when}, and is good as it is."


def _without_some(hand: WeekInHand, plan: Plan) -> Iterator[str]:
    """Who stays out of what goes on all the same, those who are in the same case together."""
    names = {child.id: child.name for child in hand.after.problem.household.children}
    titles = {activity.id: activity.title for activity in hand.after.problem.activities}
    without: dict[str, list[str]] = {}
    for booking in plan.bookings:
        was = hand.was.get(booking.id)
        there = {a.child for a in booking.attends}
        away = [names[a.child] for a in was.attends if a.child not in there] if was else []
        if away:
            without.setdefault(listed(away), []).append(titles[booking.activity])
    for who, what in without.items():
        yield f"Without {who}: {'; '.join(dict.fromkeys(what))}."


def sentence_of(offer: Offer, hand: WeekInHand) -> str:
    """What an offer comes to, for somebody with a child on the arm."""
    parts = [*_instead(offer, hand), *_moving(offer, hand), *_easier(offer), *_leaving(offer)]
    if not parts:
        return _only_cancelled(offer)
    text = "; ".join(parts)
    rest = "everything else stays where it is" if offer.unchanged else "the day is for rest"
    return f"{text[:1].upper()}{text[1:]}; {rest}."


def _only_cancelled(offer: Offer) -> str:
    titles = list(dict.fromkeys(one.title for one in offer.cancelled))
    if not titles:
        return "Nothing needs to change."
    off = f"Only {titles[0]} is off" if len(titles) == 1 else f"Only these are off: {', '.join(titles)}"
    return f"{off}; everything else stays where it is."


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
        told.append(f"move {move.title} to {_to(move)}" + (f" (with {listed(new)})" if new else ""))
    return [*told, *([f"move {len(moved) - 3} more"] if len(moved) > 3 else [])]


def _easier(offer: Offer) -> list[str]:
    lighter = list(dict.fromkeys(move.title for move in offer.moved if move.lighter))
    if len(lighter) > 3:
        return [f"do {len(lighter)} things the easy way"]
    return [f"do {title} the easy way" for title in lighter]


def _leaving(offer: Offer) -> list[str]:
    held_over = [f"keep {what} for another time" for what in _called(offer.held_over)]
    return [*held_over, *(f"let {what} go" for what in _called(offer.let_go))]


def _called(left: tuple[LeftOver, ...]) -> list[str]:
    titles = [("the rest of " if one.sittings[0] > 0 else "") + one.title for one in left]
    return titles if len(titles) <= NAMED else [f"{len(titles)} things"]


def _to(move: Move) -> str:
    if move.to_day is move.from_day:
        return f"{clock_text(move.to_start)} the same day"
    return day_name(move.to_day)
