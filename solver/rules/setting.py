"""Hard rules about where one sitting happens and what is around it: place, mess, sky, sleepers, safety.

Every function takes the outline and an option and gives seven masks of allowed start slots.
"""

from __future__ import annotations

from solver.clock import slot_at, slots_up
from solver.domain.activity import Kind, Weather
from solver.domain.base import Day, Mess
from solver.masks import FULL, between, fits, inside, meets, touching
from solver.options import Option
from solver.outline import Outline
from solver.presence import Daily
from solver.rules.starts import ANYTHING, NOTHING, daily, first_start, welcome

SCREEN_BEFORE_SLEEP_MIN = 60
"""AAP, Media and Young Minds, Pediatrics 2016;138(5):e20162591 (second-hand)."""


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

    return daily(mask)


def mess_hours(o: Outline, option: Option) -> Daily:
    """Big mess only when it is welcome, and not just before leaving or visitors."""
    if option.sitting.mess < Mess.FLOOR_AND_CLOTHES:
        return ANYTHING

    def mask(day: Day) -> int:
        allowed = welcome(o.limits.mess_hours, day, option) if not option.place.away else FULL
        clear = slots_up(o.limits.mess_clear_before_leaving_min)
        going = set(option.children) | set(option.helpers)
        for point in o.presence.points_on(day):
            if point.leaves_home and going & {*point.children, *point.adults}:
                allowed &= ~_shortly_before(option, point.taken_from, clear)
            if point.visitors_come:
                allowed &= ~_shortly_before(option, point.start, clear)
        return allowed

    return daily(mask)


def _shortly_before(option: Option, minute: int, clear: int) -> int:
    moment = slot_at(minute)
    return between(moment - option.span.after - clear + 1, moment + 1)


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

    return daily(mask)


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

    return daily(mask)


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

    return daily(mask)


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

    return daily(mask)


def tool_there(o: Outline, option: Option) -> Daily:
    """No tool is counted on for a day on which it is gone; what has begun by then had it."""
    return _but_on(o, option, {one.what for one in o.problem.week.overrides.gone if _is_tool(o, one.what)})


def supply_there(o: Outline, option: Option) -> Daily:
    """No supply is counted on for a day on which it is gone; what has begun by then had it."""
    gone = {one.what for one in o.problem.week.overrides.gone}
    return _but_on(o, option, {what for what in gone if what in o.materials and not _is_tool(o, what)})


def _is_tool(o: Outline, what: str) -> bool:
    return what in o.materials and o.materials[what].reusable


def _but_on(o: Outline, option: Option, gone: set[str]) -> Daily:
    needs = gone & {need.material for need in option.sitting.needs}
    lacking = [one for one in o.problem.week.overrides.gone if one.what in needs]
    if not lacking:
        return ANYTHING
    ahead = first_start(option, o.problem.week.now)
    return daily(lambda day: FULL & ~ahead[day.index] if any(one.on(day) for one in lacking) else FULL)
