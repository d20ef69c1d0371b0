"""Hard rules about when one sitting may be: the wish itself, books, prep, what has gone, what is set.

Every function takes the outline and an option and gives seven masks of allowed start slots.
"""

from __future__ import annotations

from solver.clock import DAY_SLOTS, PREP_SLOT, minutes_of, slot_at, slots_up
from solver.domain.activity import PrepTask
from solver.domain.base import DAY_MIN, Day, Evening, Moment
from solver.domain.home import PrepEvening
from solver.masks import FULL, between, touching
from solver.options import Option
from solver.outline import Go, Outline
from solver.presence import Daily
from solver.rules.starts import ANYTHING, NOTHING, daily, first_start, last_start, welcome


def hours(o: Outline, option: Option) -> Daily:
    """It keeps to the days, stretches and times the wish names."""
    wish = option.task.go.wish
    days = set(wish.days or o.problem.week.teaching_days)
    if option.task.go.day:
        days = {option.task.go.day}
    starts = _stretch_starts(o, option)
    last = last_start(option, wish.finish_by)

    def mask(day: Day) -> int:
        if day not in days:
            return 0
        allowed = starts & last[day.index]
        if option.at_meal:
            allowed = last[day.index] & _named_meals(o, option, day)
        if wish.hours:
            allowed &= welcome(wish.hours, day, option)
        return allowed

    return daily(mask)


def _stretch_starts(o: Outline, option: Option) -> int:
    wanted = option.task.go.wish.stretches
    mask = 0
    for stretch in o.problem.household.stretches:
        if not wanted or stretch.id in wanted:
            mask |= o.presence.starts_in(stretch)
    return mask


def _named_meals(o: Outline, option: Option, day: Day) -> int:
    wanted = option.task.go.wish.meals
    mask = 0
    for meal in o.presence.meals_on(day):
        if not wanted or meal.meal in wanted:
            mask |= touching(meal.start, meal.end)
    return mask


def book(o: Outline, option: Option) -> Daily:
    """A book is read after it arrives and before it is due back."""
    activity = option.task.go.activity
    if activity.book is None:
        return ANYTHING
    held = o.books[activity.book]
    due, arrives = last_start(option, held.due), first_start(option, held.arrives)
    return tuple(a & b for a, b in zip(due, arrives, strict=True))


def prep_evening(o: Outline, option: Option) -> Daily:
    """What must be made ready has an evening early enough, long enough, and not too early."""
    if option.task.sitting > 0 or option.lighter:
        return ANYTHING
    found = ANYTHING
    for task in option.task.go.activity.prep:
        starts = NOTHING
        for evening in prep_evenings(o, option.task.go, task):
            good = ready_starts(task, evening.evening, option)
            starts = tuple(a | b for a, b in zip(starts, good, strict=True))
        found = tuple(a & b for a, b in zip(found, starts, strict=True))
    return found


def prep_evenings(o: Outline, go: Go, task: PrepTask) -> list[PrepEvening]:
    """The evenings that could take a prep task: those to come, or the one on which it was done."""
    week = o.problem.week
    done = {p.evening for p in week.prepared if (p.wish, p.go, p.task) == (go.wish.id, go.index, task.id)}
    return [
        evening
        for evening in o.limits.prep
        if evening.minutes >= task.minutes
        and not (task.noisy and evening.quiet)
        and (evening.evening in done or not _gone(week.now, evening.evening))
    ]


def _gone(now: Moment | None, evening: Evening) -> bool:
    return now is not None and evening.index * DAY_MIN + minutes_of(PREP_SLOT) < now.week_min


def ready_starts(task: PrepTask, evening: Evening, option: Option) -> Daily:
    """Starts that something made on an evening is ready for, and still good at."""
    first = evening.index * DAY_SLOTS + PREP_SLOT + slots_up(task.lead_min) + option.span.before
    last_day = evening.index + task.keeps_days

    def mask(day: Day) -> int:
        return FULL & ~between(0, first - day.index * DAY_SLOTS) if day.index <= last_day else 0

    return daily(mask)


def time_gone(o: Outline, option: Option) -> Daily:
    """Nothing is put into time that has gone; what the parent set may already lie there."""
    if any(booking.id == option.task.name for booking in o.problem.week.firm):
        return ANYTHING
    return first_start(option, o.problem.week.now)


def firm(o: Outline, option: Option) -> Daily:
    """What the parent set stays where it is."""
    go, firm = option.task.go, o.problem.week.firm
    # The lighter version stands for the whole, so that a later step held firm would be gone with it.
    if option.lighter and any((b.wish, b.go) == (go.wish.id, go.index) and b.sitting > 0 for b in firm):
        return NOTHING
    named = [booking for booking in firm if booking.id == option.task.name]
    if not named:
        return ANYTHING
    slot = 1 << slot_at(named[0].start)
    return daily(lambda day: slot if day is named[0].day else 0)
