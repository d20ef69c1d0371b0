"""Hard rules that concern one sitting by itself: on each day, where may it start?

Every function takes the outline and an option and gives seven masks of allowed start slots.
"""

from __future__ import annotations

from collections.abc import Callable

from solver.clock import DAY_SLOTS, PREP_SLOT, SLOT_MIN, minutes_of, slot_at, slots_up
from solver.domain.activity import Focus, Hazard, Kind, PrepTask, Weather
from solver.domain.base import DAY_MIN, DAYS, Day, Evening, Help, Mess, Moment, Window
from solver.domain.home import PrepEvening
from solver.domain.people import Attention
from solver.masks import FULL, between, fits, inside, meets, touching
from solver.options import Option
from solver.outline import Go, Outline
from solver.presence import Daily

NOTHING: Daily = (0,) * len(DAYS)
ANYTHING: Daily = (FULL,) * len(DAYS)
SCREEN_BEFORE_SLEEP_MIN = 60
"""AAP, Media and Young Minds, Pediatrics 2016;138(5):e20162591 (second-hand)."""


def _daily(mask_of: Callable[[Day], int]) -> Daily:
    return tuple(mask_of(day) for day in DAYS)


def child_free(o: Outline, option: Option) -> Daily:
    """A child does one thing at a time: not while asleep, away or at a meal."""
    if option.at_meal:
        return _daily(lambda day: _within_a_meal(o, option, day))

    def mask(day: Day) -> int:
        allowed = FULL
        for a in option.attends:
            before, after = option.span.child(a.minutes)
            allowed &= fits(o.presence.free(a.child, day), before, after)
        return allowed

    return _daily(mask)


def _within_a_meal(o: Outline, option: Option, day: Day) -> int:
    allowed = 0
    for meal in o.presence.meals_on(day):
        wrong_meal = option.sitting.meals and meal.meal not in option.sitting.meals
        if wrong_meal or meal.place != option.place.id:
            continue
        if all(a.child in meal.children for a in option.attends):
            time = inside(meal.start, meal.end)
            longest = max((slots_up(a.minutes) for a in option.attends), default=option.span.active)
            home = FULL
            for a in option.attends:
                home &= o.presence.awake(a.child, day) & ~o.presence.ill(a.child, day)
            allowed |= fits(time & home, 0, longest)
    return allowed


def attention(o: Outline, option: Option) -> Daily:
    """No sitting is longer than the child can attend."""
    focus = option.task.go.activity.focus
    for a in option.attends:
        span = _span_for(o.presence.children[a.child].attention, focus)
        if span is not None and a.minutes > span:
            return NOTHING
    return ANYTHING


def _span_for(attention: Attention, focus: Focus) -> int | None:
    return {
        Focus.LISTENING: attention.listening_min,
        Focus.TABLE: attention.table_min,
        Focus.HANDS: attention.hands_min,
        Focus.FREE: None,
    }[focus]


def helper_on_hand(o: Outline, option: Option) -> Daily:
    """The adults it needs are here, awake and able."""
    if not all(_may_help(o, option, adult) for adult in option.helpers):
        return NOTHING
    language = option.task.go.wish.language
    if language and not any(language in o.presence.adults[a].speaks for a in option.helpers):
        return NOTHING

    def mask(day: Day) -> int:
        allowed = FULL
        for adult, level in zip(option.helpers, option.levels, strict=True):
            allowed &= _here_for(o, option, adult, level, day)
        return allowed

    return _daily(mask)


def _here_for(o: Outline, option: Option, adult: str, level: int, day: Day) -> int:
    span = option.span
    hand = o.presence.on_hand(adult, day)
    if level > 0 or option.place.away:
        return fits(hand, span.before, span.after)
    near = fits(o.presence.on_hand_or_call(adult, day), 0, span.active)
    laying_out = fits(hand, span.before, 0)
    clearing = fits(hand, -span.active, span.after)
    return near & laying_out & clearing


def _may_help(o: Outline, option: Option, adult_id: str) -> bool:
    adult = o.presence.adults[adult_id]
    activity = option.task.go.activity
    if set(adult.wont_do) & {activity.id, *activity.hazards}:
        return False
    if {Hazard.WATER, Hazard.OPEN_WATER} & set(activity.hazards) and not adult.minds_water:
        return False
    return adult.may_lift or not option.place.away


def watched(o: Outline, option: Option) -> Daily:
    """Whoever is not in it sleeps, is with another adult, or can be alone in earshot that long."""
    if option.minder:
        return ANYTHING
    if option.place.away:
        return _daily(lambda day: _all_come_along(o, option, day))
    if max(option.loads, default=0) < Help.BESIDE:
        return ANYTHING

    def mask(day: Day) -> int:
        allowed = FULL
        for child in o.problem.household.children:
            if child.id not in option.children:
                awake = o.presence.awake(child.id, day)
                if max(option.levels) < Help.HANDS_ON:
                    awake &= ~o.presence.in_arms(day)[child.id]
                allowed &= at_most(awake, option.span.there, option.span.active, child.alone_min)
        return allowed

    return _daily(mask)


def at_most(mask: int, before: int, after: int, minutes: int) -> int:
    """Starts whose window holds at most so many minutes of the mask."""
    most = minutes // SLOT_MIN
    length = before + after
    if length <= most:
        return FULL
    window = (1 << length) - 1
    allowed = 0
    for start in range(before, DAY_SLOTS - after + 1):
        if ((mask >> (start - before)) & window).bit_count() <= most:
            allowed |= 1 << start
    return allowed


def _all_come_along(o: Outline, option: Option, day: Day) -> int:
    span = option.span
    allowed = FULL
    for child in o.problem.household.children:
        if child.id in option.children:
            continue
        home = o.presence.home(child.id, day)
        must_stay = o.presence.naps_at_home(child.id, day) | _night(o, child.id)
        must_stay |= o.presence.ill(child.id, day)
        comes = fits(home & ~must_stay, span.there, span.active + span.back)
        gone = FULL & ~meets(home, span.there, span.active + span.back)
        allowed &= comes | gone
    return allowed


def _night(o: Outline, child: str) -> int:
    who = o.presence.children[child]
    return FULL & ~inside(who.wake, who.bed)


def minder(o: Outline, option: Option) -> Daily:
    """The adult who has the others is here and free for them."""
    if not option.minder:
        return ANYTHING
    adult = o.presence.adults[option.minder]

    def mask(day: Day) -> int:
        here = fits(o.presence.on_hand(adult.id, day), option.span.before, option.span.after)
        if adult.may_lift:
            return here
        for baby in o.presence.babies:
            here &= ~meets(
                o.presence.awake(baby.id, day), option.span.there, option.span.active + option.span.back
            )
        return here

    return _daily(mask)


def place_open(o: Outline, option: Option) -> Daily:
    """Its place is open, and clear in time for the meal there."""
    place = option.place
    if not option.in_room or place.away:
        return ANYTHING

    def mask(day: Day) -> int:
        shut = 0
        for window in place.closed:
            if window.on(day):
                shut |= touching(window.start, window.end)
        for point in o.presence.points_on(day):
            if point.place == place.id:
                clear = o.limits.table_clear_before_meal_min if place.meals_here and point.meal else 0
                shut |= touching(point.start - clear, point.end)
        return fits(FULL & ~shut, option.span.setup, option.span.active + option.span.cleanup)

    return _daily(mask)


def mess_hours(o: Outline, option: Option) -> Daily:
    """Big mess only when it is welcome, and not just before leaving or visitors."""
    if option.sitting.mess < Mess.FLOOR_AND_CLOTHES:
        return ANYTHING

    def mask(day: Day) -> int:
        allowed = _welcome(o.limits.mess_hours, day, option) if not option.place.away else FULL
        clear = slots_up(o.limits.mess_clear_before_leaving_min)
        going = set(option.children) | set(option.helpers)
        for point in o.presence.points_on(day):
            if point.leaves_home and going & {*point.children, *point.adults}:
                allowed &= ~_shortly_before(option, point.taken_from, clear)
            if point.visitors_come:
                allowed &= ~_shortly_before(option, point.start, clear)
        return allowed

    return _daily(mask)


def _shortly_before(option: Option, minute: int, clear: int) -> int:
    moment = slot_at(minute)
    return between(moment - option.span.after - clear + 1, moment + 1)


def _welcome(windows: tuple[Window, ...], day: Day, option: Option) -> int:
    if not windows:
        return FULL
    allowed = 0
    for window in windows:
        if window.on(day):
            allowed |= fits(inside(window.start, window.end), 0, option.span.active)
    return allowed


def hours(o: Outline, option: Option) -> Daily:
    """It keeps to the days, stretches and times the wish names."""
    wish = option.task.go.wish
    days = set(wish.days or o.problem.week.teaching_days)
    if option.task.go.day:
        days = {option.task.go.day}
    starts = _stretch_starts(o, option)
    last = _last_start(option, wish.finish_by)

    def mask(day: Day) -> int:
        if day not in days:
            return 0
        allowed = starts & last[day.index]
        if option.at_meal:
            allowed = last[day.index] & _named_meals(o, option, day)
        if wish.hours:
            allowed &= _welcome(wish.hours, day, option)
        return allowed

    return _daily(mask)


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


def _last_start(option: Option, moment: Moment | None) -> Daily:
    if moment is None:
        return ANYTHING
    last = moment.day.index * DAY_SLOTS + slot_at(moment.time) - option.span.after
    return _daily(lambda day: between(0, last - day.index * DAY_SLOTS + 1))


def _first_start(option: Option, moment: Moment | None) -> Daily:
    if moment is None:
        return ANYTHING
    first = moment.day.index * DAY_SLOTS + slots_up(moment.time) + option.span.before
    return _daily(lambda day: FULL & ~between(0, first - day.index * DAY_SLOTS))


def book(o: Outline, option: Option) -> Daily:
    """A book is read after it arrives and before it is due back."""
    activity = option.task.go.activity
    if activity.book is None:
        return ANYTHING
    held = o.books[activity.book]
    due, arrives = _last_start(option, held.due), _first_start(option, held.arrives)
    return tuple(a & b for a, b in zip(due, arrives, strict=True))


def weather(o: Outline, option: Option) -> Daily:
    """The sky and the daylight suit it."""
    wanted = option.task.go.activity.weather
    span = option.span
    out = (span.there, span.active + span.back)

    def mask(day: Day) -> int:
        allowed = FULL
        if wanted is Weather.WET:
            allowed &= fits(o.presence.sky(day, "wet"), 0, span.active)
        if wanted is Weather.WIND:
            allowed &= fits(o.presence.sky(day, "windy"), 0, span.active)
        if option.place.outdoors:
            unfit = _unfit(o, wanted, day)
            allowed &= fits(FULL & ~unfit, *out) & _daylight(o, out)
        return allowed

    return _daily(mask)


def _unfit(o: Outline, wanted: Weather, day: Day) -> int:
    names = ["stormy", "too_hot", "too_cold"]
    names += {Weather.DRY: ["wet"], Weather.ANY: ["wet"], Weather.NOT_ICY: ["icy"]}.get(wanted, [])
    mask = 0
    for name in names:
        mask |= o.presence.sky(day, name)
    return mask


def _daylight(o: Outline, out: tuple[int, int]) -> int:
    light = o.problem.week.daylight
    return fits(inside(light.start, light.end), *out) if light else FULL


def quiet(o: Outline, option: Option) -> Daily:
    """Nothing loud near somebody who sleeps or is on a call."""
    if option.task.go.activity.nap_ok or option.place.away or option.place.out_of_earshot:
        return ANYTHING

    def mask(day: Day) -> int:
        still = 0
        for child in o.problem.household.children:
            if child.id not in option.children:
                still |= o.presence.sleeping(child.id, day)
        for adult in o.problem.household.adults:
            still |= o.presence.wants_quiet(adult.id, day)
        return fits(FULL & ~still, 0, option.span.active)

    return _daily(mask)


def safety(o: Outline, option: Option) -> Daily:
    """Nothing that can hurt somebody who is awake and about."""
    safe = o.needs(option.task, option.lighter, option.place, option.children)
    if safe.blocked or set(safe.not_helping) & set(option.helpers):
        return NOTHING
    span = option.span
    window = (span.setup, span.active + span.cleanup)
    outing = (span.there, span.active + span.back)

    def mask(day: Day) -> int:
        allowed = FULL
        for person in safe.out:
            allowed &= ~meets(o.presence.at_home(person, day), *window)
        if not option.minder:
            for person in safe.asleep_or_minded:
                near = (
                    meets(o.presence.home(person, day), *outing)  # would have to come along
                    if option.place.away and person in o.presence.children
                    else meets(o.presence.loose(person, day), *window)
                )
                allowed &= ~near
        return allowed

    return _daily(mask)


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

    return _daily(mask)


def screen_rest(o: Outline, option: Option) -> Daily:
    """No screen in the hour before sleep."""
    if option.task.go.activity.kind is not Kind.SCREEN:
        return ANYTHING
    hour = slots_up(SCREEN_BEFORE_SLEEP_MIN)

    def mask(day: Day) -> int:
        asleep = 0
        for child in option.children:
            asleep |= o.presence.asleep(child, day)
        return FULL & ~meets(asleep, 0, option.span.active + hour)

    return _daily(mask)


def time_gone(o: Outline, option: Option) -> Daily:
    """Nothing is put into time that has gone; what the parent set may already lie there."""
    if any(booking.id == option.task.name for booking in o.problem.week.firm):
        return ANYTHING
    return _first_start(option, o.problem.week.now)


def firm(o: Outline, option: Option) -> Daily:
    """What the parent set stays where it is."""
    named = [booking for booking in o.problem.week.firm if booking.id == option.task.name]
    if not named:
        return ANYTHING
    slot = 1 << slot_at(named[0].start)
    return _daily(lambda day: slot if day is named[0].day else 0)
