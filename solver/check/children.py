"""Rules about the children: who is in it, when they are free, how long they can attend."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations, pairwise

from solver.check.facts import Facts, Placed, fault, overlap, slots_min, within
from solver.check.people import naps_on
from solver.check.violation import Violation
from solver.clock import slot_at, slots_up, week_slot
from solver.domain.activity import Alongside, Focus, Kind
from solver.domain.base import DAY_MIN, Day, repeated
from solver.domain.people import Attention, Child
from solver.domain.plan import Attendance

SCREEN_BEFORE_SLEEP_MIN = 60
UNCOUNTED_IN_WHITE_SPACE = (Kind.FREE_PLAY, Kind.QUIET_TIME)


def who(facts: Facts) -> Iterator[Violation]:
    """Those meant to be in it are in it, each in their own version, with the help they need."""
    for placed in facts.placed:
        cast = facts.cast(placed.wish, placed.booking.go, placed.sitting)
        children = placed.children
        for child in repeated([*children, *placed.booking.along]):
            yield fault("who", placed, f"{facts.name(child)} is in it twice", child)
        for child in set(children) - set(cast):
            yield fault("who", placed, f"it is not for {facts.name(child)}", child)
        missing = set() if placed.wish.may_split else set(cast) - set(children) - set(placed.wish.may_miss)
        if placed.sitting.parts and (not children or missing):
            names = " and ".join(facts.name(child) for child in sorted(missing)) or "everybody"
            yield fault("who", placed, f"{names} should be in it too", *sorted(missing))
        yield from _versions(facts, placed)


def _versions(facts: Facts, placed: Placed) -> Iterator[Violation]:
    safe = facts.safe[placed.booking.id]
    for a in placed.booking.attends:
        version = facts.version(placed.wish, a.child)
        part = placed.sitting.parts.get(a.version)
        if part is None or a.version != version:
            yield fault("who", placed, f"{facts.name(a.child)} has another version", a.child)
            continue
        minutes = min(part.minutes, safe.most_minutes.get(a.child, part.minutes))
        needed = max(part.help, safe.least_help.get(a.child, part.help))
        if a.minutes != minutes:
            yield fault("who", placed, f"{facts.name(a.child)} has {minutes} minutes in it", a.child)
        if a.help != needed:
            yield fault("who", placed, f"{facts.name(a.child)} needs help {int(needed)} in it", a.child)


def whole_go(facts: Facts) -> Iterator[Violation]:
    """A thing once begun is finished, in order, each step once."""
    for found in facts.by_go.values():
        first = found[0]
        count = len(first.activity.sittings)
        sittings = [placed.booking.sitting for placed in found]
        if any(placed.booking.lighter for placed in found):
            if len(found) > 1:
                yield fault("whole_go", first, "the lighter version stands for the whole")
            if not first.wish.lighter_ok:
                yield fault("whole_go", first, "the lighter version was not offered")
        elif sittings != list(range(len(sittings))):
            yield fault("whole_go", first, "a step is missing in between or there twice")
        elif len(sittings) < count and not first.wish.may_carry_on:
            yield fault("whole_go", first, f"only {len(sittings)} of its {count} steps are in the week")
        elif any(b.at < a.at for a, b in pairwise(found)):
            yield fault("whole_go", first, "its steps are not in order of time")


def child_free(facts: Facts) -> Iterator[Violation]:
    """Nobody is asleep, away or at a meal while in it; what belongs to a meal happens at that meal."""
    for placed in facts.placed:
        if placed.meal is not None:
            yield from _at_a_meal(facts, placed)
            continue
        if placed.sitting.meals:
            meals = " or ".join(placed.sitting.meals)
            yield fault("child_free", placed, f"it happens at {meals} and is at no meal")
        for a in placed.booking.attends:
            if not facts.people.free[a.child].issuperset(placed.child(a.minutes)):
                yield fault("child_free", placed, f"{facts.name(a.child)} is asleep, away or eating", a.child)
    yield from _one_meal_thing_at_a_time(facts)


def _at_a_meal(facts: Facts, placed: Placed) -> Iterator[Violation]:
    meal = placed.meal
    assert meal is not None
    at_this_meal = meal.meal in placed.sitting.meals
    listens = placed.activity.alongside is Alongside.LISTENING
    if not (at_this_meal or (listens and not placed.sitting.meals)):
        yield fault("child_free", placed, f"it does not go with {meal.title}", meal.id)
    time = range(
        week_slot(placed.booking.day, slots_up(meal.start)), week_slot(placed.booking.day, slot_at(meal.end))
    )
    lengths = {a.child: placed.own(a.minutes) for a in placed.booking.attends}
    for child, own in lengths.items():
        if child not in meal.children:
            yield fault("child_free", placed, f"{facts.name(child)} is not at {meal.title}", child, meal.id)
        elif not within(own, time):
            yield fault("child_free", placed, f"{meal.title} is not long enough then", child, meal.id)
    if not lengths and not within(placed.active, time):
        yield fault("child_free", placed, f"{meal.title} is not long enough then", meal.id)


def _one_meal_thing_at_a_time(facts: Facts) -> Iterator[Violation]:
    for child, bookings in facts.by_child.items():
        at_meals = [(p, p.own(_minutes(p, child))) for p in bookings if p.meal is not None]
        for (one, a), (other, b) in combinations(at_meals, 2):
            if overlap(a, b):
                what = f"{facts.name(child)} is at {one.activity.title} then, at the same meal"
                yield fault("child_free", other, what, child, one.booking.id)


def _minutes(placed: Placed, child: str) -> int:
    return _attendance(placed, child).minutes


def _attendance(placed: Placed, child: str) -> Attendance:
    return next(a for a in placed.booking.attends if a.child == child)


def one_at_a_time(facts: Facts) -> Iterator[Violation]:
    """A child does one thing at a time, with a moment to change over."""
    change = slots_up(facts.limits.change_min)
    for child in (child.id for child in facts.house.children):
        busy: list[tuple[Placed, range]] = []
        for placed in facts.placed:
            if child in placed.children and placed.in_room:
                taken = placed.child(_minutes(placed, child))
                busy.append((placed, range(taken.start, taken.stop + change)))
            elif child in placed.booking.along:
                busy.append((placed, placed.out))
        busy.sort(key=lambda item: item[1].start)
        for (one, a), (other, b) in combinations(busy, 2):
            if overlap(a, b):
                what = f"{facts.name(child)} is still busy with {one.activity.title}"
                yield fault("one_at_a_time", other, what, child, one.booking.id)


def alongside(facts: Facts) -> Iterator[Violation]:
    """Listening is laid over busy hands only: same place, same children, within their time."""
    for placed in facts.placed:
        if placed.booking.alongside is None:
            continue
        under = facts.by_id.get(placed.booking.alongside)
        if under is None:
            yield fault("alongside", placed, "what it is laid over is not there")
            continue
        for what in _why_not_over(placed, under):
            yield fault("alongside", placed, what, under.booking.id)
        for a in placed.booking.attends:
            if a.child not in under.children:
                what = f"{facts.name(a.child)} is not in {under.activity.title}"
                yield fault("alongside", placed, what, a.child, under.booking.id)
            elif not within(placed.own(a.minutes), under.own(_minutes(under, a.child))):
                what = f"{under.activity.title} is not that long for {facts.name(a.child)}"
                yield fault("alongside", placed, what, a.child, under.booking.id)
    yield from _two_over_one(facts)


def _why_not_over(placed: Placed, under: Placed) -> Iterator[str]:
    if placed.activity.alongside is not Alongside.LISTENING:
        yield "it is no listening that could be laid over something"
    if under.activity.alongside is not Alongside.BUSY_HANDS:
        yield f"{under.activity.title} does not leave ears free"
    if not under.in_room:
        yield f"{under.activity.title} is itself laid over something or at a meal"
    if placed.meal is not None:
        yield "it is laid over something and at a meal at once"
    if (placed.booking.day, placed.place.id) != (under.booking.day, under.place.id):
        yield f"{under.activity.title} is on another day or in another place"


def _two_over_one(facts: Facts) -> Iterator[Violation]:
    for child, bookings in facts.by_child.items():
        laid = [placed for placed in bookings if placed.alongside]
        for one, other in combinations(laid, 2):
            same = one.booking.alongside == other.booking.alongside
            if same and overlap(one.own(_minutes(one, child)), other.own(_minutes(other, child))):
                what = f"{facts.name(child)} is listening to {one.activity.title} then"
                yield fault("alongside", other, what, child, one.booking.id)


def _span_for(attention: Attention, focus: Focus) -> int | None:
    return {
        Focus.LISTENING: attention.listening_min,
        Focus.TABLE: attention.table_min,
        Focus.HANDS: attention.hands_min,
        Focus.FREE: None,
    }[focus]


def _child(facts: Facts, child: str) -> Child:
    return next(one for one in facts.house.children if one.id == child)


def attention(facts: Facts) -> Iterator[Violation]:
    """Nothing goes on longer than the child can attend to it."""
    for child, bookings in facts.by_child.items():
        spans = _child(facts, child).attention
        for placed in bookings:
            most = _span_for(spans, placed.activity.focus)
            if most is not None and _minutes(placed, child) > most:
                what = f"{facts.name(child)} can attend to such a thing for {most} minutes"
                yield fault("attention", placed, what, child)


def breaks(facts: Facts) -> Iterator[Violation]:
    """Between two things that need concentration there is a break."""
    for child, bookings in facts.by_child.items():
        pause = slots_up(_child(facts, child).attention.break_min)
        focused = [placed for placed in bookings if placed.focused]
        for one, other in combinations(focused, 2):
            rested = one.at + slots_up(_minutes(one, child)) + pause
            if other.at < rested:
                what = f"{facts.name(child)} needs a longer break after {one.activity.title}"
                yield fault("breaks", other, what, child, one.booking.id)


def focus_day(facts: Facts) -> Iterator[Violation]:
    """No child has to concentrate for too long in one day."""
    for child, bookings in facts.by_child.items():
        most = _child(facts, child).attention.focused_min_a_day
        for day, placed in _days(bookings).items():
            minutes = sum(_minutes(one, child) for one in placed if one.focused)
            if minutes > most:
                what = (
                    f"{facts.name(child)} has {minutes} minutes of concentrating on {day.capitalize()}, "
                    f"and {most} are enough."
                )
                yield Violation(key="focus_day", ids=(child,), day=day, sentence=what)


def _days(bookings: list[Placed]) -> dict[Day, list[Placed]]:
    found: dict[Day, list[Placed]] = defaultdict(list)
    for placed in bookings:
        found[placed.booking.day].append(placed)
    return found


def screen(facts: Facts) -> Iterator[Violation]:
    """Screens stay short, and none just before sleep."""
    most = facts.limits.screen_min_a_day
    for child, bookings in facts.by_child.items():
        screens = [placed for placed in bookings if placed.activity.kind is Kind.SCREEN]
        for day, placed in _days(screens).items():
            minutes = sum(_minutes(one, child) for one in placed)
            if minutes > most:
                what = f"{facts.name(child)} has {minutes} minutes of screen in one day, not {most}."
                yield Violation(key="screen", ids=(child,), day=day, sentence=what)
            for one in placed:
                if _soon_asleep(facts, _child(facts, child), one):
                    yield fault("screen", one, f"{facts.name(child)} sleeps within the hour", child)


def _soon_asleep(facts: Facts, child: Child, placed: Placed) -> bool:
    end = placed.at + slots_up(_minutes(placed, child.id))
    day = placed.booking.day
    sleeps = [child.bed, *(nap.start for nap in naps_on(facts.problem, child, day))]
    starts = [week_slot(day, slot_at(minute)) for minute in sleeps]
    return any(placed.at <= start < end + slots_up(SCREEN_BEFORE_SLEEP_MIN) for start in starts)


def white_space(facts: Facts) -> Iterator[Violation]:
    """A share of each child's open time stays empty."""
    share = 1 - Fraction(str(facts.limits.free_share))
    for child in (child.id for child in facts.house.children if child.learner):
        days = _days(facts.by_child[child])
        for day in facts.week.teaching_days:
            stretches = _stretch_slots(facts, day)
            room = math.floor(share * len(facts.people.open[child] & stretches))
            used = sum(_used(facts, placed, child) for placed in days.get(day, ()))
            if used > room:
                what = (
                    f"{day.capitalize()} leaves {facts.name(child)} too little time of their own "
                    f"({slots_min(range(used - room))} minutes less than there should be)."
                )
                yield Violation(key="white_space", ids=(child,), day=day, sentence=what)


def _stretch_slots(facts: Facts, day: Day) -> set[int]:
    return {
        week_slot(day, slot)
        for stretch in facts.house.stretches
        for slot in range(slots_up(stretch.start), slots_up(min(stretch.end, DAY_MIN)))
    }


def _used(facts: Facts, placed: Placed, child: str) -> int:
    if not placed.in_room or placed.activity.kind in UNCOUNTED_IN_WHITE_SPACE:
        return 0
    return len(placed.child(_minutes(placed, child))) + slots_up(facts.limits.change_min)
