"""Rules about when: waits, order, days and hours the wish names, what has gone, what is firm."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations, pairwise

from solver.check.facts import Facts, Placed, fault, within
from solver.check.people import inside
from solver.check.violation import Violation
from solver.clock import SLOT_MIN, minutes_of, slot_at, slots_up, week_slot
from solver.domain.activity import Kind
from solver.domain.base import DAYS, Moment, clock_text
from solver.domain.plan import State
from solver.domain.week import Wish

NOT_THEME_THINGS = (
    Kind.READ_ALOUD,
    Kind.CIRCLE,
    Kind.OUTING,
    Kind.NATURE_WALK,
    Kind.MOVEMENT,
    Kind.FREE_PLAY,
    Kind.SECOND_LANGUAGE,
    Kind.LONG_WATCH,
)
SHORT_MIN = 10


def waits(facts: Facts) -> Iterator[Violation]:
    """Between two steps there is time enough to dry or rise, and not too much."""
    for found in facts.by_go.values():
        for one, other in pairwise(found):
            index = one.booking.sitting
            if other.booking.sitting != index + 1 or index >= len(one.activity.waits):
                continue
            wait = one.activity.waits[index]
            gap = other.at - one.end
            if gap < slots_up(wait.least_min):
                what = f"{one.sitting.name} still has to {wait.kind} for {wait.least_min} minutes before it"
                yield fault("waits", other, what, one.booking.id)
            elif wait.most_min is not None and gap > wait.most_min // SLOT_MIN:
                what = f"{one.sitting.name} can {wait.kind} for {wait.most_min} minutes at most before it"
                yield fault("waits", other, what, one.booking.id)


def order(facts: Facts) -> Iterator[Violation]:
    """What must come first comes first."""
    for wish in facts.wishes.values():
        yield from _goes_in_order(facts, wish)
        yield from _after(facts, wish)
        yield from _needs_first(facts, wish)
        if wish.opens_theme:
            yield from _opens(facts, wish)


def _goes_in_order(facts: Facts, wish: Wish) -> Iterator[Violation]:
    turns = facts.turns(wish)
    for one, other in combinations(facts.firsts(wish), 2):
        same = one.booking.go % turns == other.booking.go % turns
        if same and other.at <= one.at:
            yield fault("order", other, "it comes before an earlier go of the same wish", one.booking.id)


def _finished(facts: Facts, wish: str) -> int | None:
    """When everybody has finished the first go of a wish; None if it is not wholly in the plan."""
    if wish not in facts.wishes or not facts.wholly(wish, 0):
        return None
    return max(placed.adult.stop for placed in facts.by_go[wish, 0])


def _after(facts: Facts, wish: Wish) -> Iterator[Violation]:
    for first in facts.firsts(wish):
        for named in wish.after:
            end = _finished(facts, named)
            if end is None or first.adult.start < end:
                yield fault("order", first, f"{_title(facts, named)} must be finished before it", named)


def _title(facts: Facts, wish: str) -> str:
    named = facts.wishes.get(wish)
    return facts.activities[named.activity].title if named else wish


def _needs_first(facts: Facts, wish: Wish) -> Iterator[Violation]:
    needed = facts.activities[wish.activity].needs_first
    if needed is None or needed in facts.week.done_before:
        return
    ends = [_finished(facts, other.id) for other in facts.wishes.values() if other.activity == needed]
    done = [end for end in ends if end is not None]
    for first in facts.firsts(wish):
        if not any(end <= first.adult.start for end in done):
            title = facts.activities[needed].title if needed in facts.activities else needed
            yield fault("order", first, f"{title} must be finished before it", needed)


def _opens(facts: Facts, wish: Wish) -> Iterator[Violation]:
    theme = facts.activities[wish.activity].theme
    opener = facts.first(wish.id, 0)
    for placed in facts.placed:
        if placed.wish.id == wish.id or theme is None or placed.activity.theme != theme:
            continue
        if opener is None or placed.adult.start < opener.at:
            what = f"{_title(facts, wish.id)} opens {theme} and comes first"
            yield fault("order", placed, what, wish.id)


def often(facts: Facts) -> Iterator[Violation]:
    """A thing done several times is spread over the week as wished."""
    for wish in facts.wishes.values():
        turns = facts.turns(wish)
        for turn in range(turns):
            firsts = [p for p in facts.firsts(wish) if p.booking.go % turns == turn]
            yield from _spread(facts, wish, firsts)
            yield from _day_by_day(wish, firsts, turns)


def _spread(facts: Facts, wish: Wish, firsts: list[Placed]) -> Iterator[Violation]:
    for day, times in Counter(placed.booking.day for placed in firsts).items():
        if times > wish.most_a_day:
            what = f"{_title(facts, wish.id)} comes {times} times on {day.capitalize()}."
            yield Violation(key="often", ids=(wish.id,), day=day, sentence=what)
    gap = max(wish.least_gap_days, facts.activities[wish.activity].least_gap_days)
    for one, other in combinations(firsts, 2):
        if gap and abs(one.booking.day.index - other.booking.day.index) < gap:
            yield fault("often", other, f"the last time is less than {gap} days ago", one.booking.id)


def _day_by_day(wish: Wish, firsts: list[Placed], turns: int) -> Iterator[Violation]:
    days = sorted(set(wish.days), key=DAYS.index)
    if len(days) != wish.times or wish.most_a_day != 1:
        return
    for placed in firsts:
        wanted = days[placed.booking.go // turns]
        if placed.booking.day is not wanted:
            yield fault("often", placed, f"this go belongs to {wanted.capitalize()}")


def hours(facts: Facts) -> Iterator[Violation]:
    """It keeps to the days, stretches and times that the wish names."""
    for placed in facts.placed:
        wish, booking = placed.wish, placed.booking
        if booking.day not in (wish.days or facts.week.teaching_days):
            yield fault("hours", placed, f"{booking.day.capitalize()} is not one of its days")
        if placed.meal is not None:
            if wish.meals and placed.meal.meal not in wish.meals:
                yield fault("hours", placed, f"{placed.meal.title} is not one of its meals", placed.meal.id)
        elif (stretch := facts.stretch_at(booking.start)) is None:
            yield fault("hours", placed, "it starts outside every stretch of the day")
        elif wish.stretches and stretch.id not in wish.stretches:
            yield fault("hours", placed, f"{stretch.name} is not one of its stretches", stretch.id)
        times = [inside(booking.day, one.start, one.end) for one in wish.hours if one.on(booking.day)]
        if wish.hours and not any(within(placed.active, time) for time in times):
            yield fault("hours", placed, "it is not within the hours wished for it")
        if wish.finish_by and placed.adult.stop > _slot_of(wish.finish_by):
            yield fault("hours", placed, f"it should be finished by {_text(wish.finish_by)}")


def _slot_of(moment: Moment) -> int:
    """The last slot boundary not after a moment."""
    return week_slot(moment.day, slot_at(moment.time))


def _text(moment: Moment) -> str:
    return f"{moment.day.capitalize()} {clock_text(moment.time)}"


def book(facts: Facts) -> Iterator[Violation]:
    """A book is read after it arrives and before it is due back."""
    books = {one.id: one for one in facts.house.books}
    for placed in facts.placed:
        held = books.get(placed.activity.book or "")
        if held is None:
            continue
        if held.due and placed.adult.stop > _slot_of(held.due):
            yield fault("book", placed, f"{held.title} is due back on {_text(held.due)}", held.id)
        if held.arrives and minutes_of(placed.adult.start) < held.arrives.week_min:
            yield fault("book", placed, f"{held.title} arrives on {_text(held.arrives)}", held.id)


def theme_day(facts: Facts) -> Iterator[Violation]:
    """Only so many things of the theme in one day."""
    most = facts.limits.theme_things_a_day
    for day, bookings in facts.by_day.items():
        things = [placed for placed in bookings if _theme_thing(facts, placed)]
        if len(things) > most:
            what = f"{day.capitalize()} has {len(things)} things of the theme, and {most} are enough."
            ids = tuple(placed.booking.id for placed in things)
            yield Violation(key="theme_day", ids=ids, day=day, sentence=what)


def _theme_thing(facts: Facts, placed: Placed) -> bool:
    return (
        facts.week.theme is not None
        and placed.activity.theme == facts.week.theme
        and bool(placed.children)
        and placed.booking.minutes > SHORT_MIN
        and placed.activity.kind not in NOT_THEME_THINGS
    )


def time_gone(facts: Facts) -> Iterator[Violation]:
    """Nothing is put into time that has gone."""
    now = facts.week.now
    for placed in facts.placed:
        if now and placed.booking.state is not State.FIRM and minutes_of(placed.adult.start) < now.week_min:
            yield fault("time_gone", placed, f"that is before {_text(now)}")


def firm(facts: Facts) -> Iterator[Violation]:
    """What the parent set stays where it was set."""
    wanted = {booking.id: booking for booking in facts.week.firm}
    there = {placed.booking.id: placed.booking for placed in facts.placed}
    left_over = {(left.wish, left.go) for left in facts.plan.left_over}
    for key, booking in wanted.items():
        found = there.get(key)
        if found is None and (booking.wish, booking.go) in left_over:
            continue
        if found and (found.day, found.start, found.state) == (booking.day, booking.start, State.FIRM):
            continue
        when = f"{booking.day.capitalize()} {clock_text(booking.start)}"
        what = f"{_title(facts, booking.wish)} was set for {when}."
        yield Violation(key="firm", ids=(booking.id,), day=booking.day, start=booking.start, sentence=what)
    for placed in facts.placed:
        if placed.booking.state is State.FIRM and placed.booking.id not in wanted:
            yield fault("firm", placed, "nobody set it firm")
