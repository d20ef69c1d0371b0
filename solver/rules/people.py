"""Hard rules about the people of one sitting: the children in it, the others, the adults.

Every function takes the outline and an option and gives seven masks of allowed start slots.
"""

from __future__ import annotations

from solver.clock import DAY_SLOTS, SLOT_MIN, slots_up
from solver.domain.activity import Focus, Hazard
from solver.domain.base import Day, Help
from solver.domain.people import Attention
from solver.masks import FULL, fits, inside, meets
from solver.options import Option
from solver.outline import Outline
from solver.presence import Daily
from solver.rules.starts import ANYTHING, NOTHING, daily


def child_free(o: Outline, option: Option) -> Daily:
    """A child does one thing at a time: not while asleep, away or at a meal."""
    if option.at_meal:
        return daily(lambda day: _within_a_meal(o, option, day))

    def mask(day: Day) -> int:
        allowed = FULL
        for a in option.attends:
            before, after = option.span.child(a.minutes)
            allowed &= fits(o.presence.free(a.child, day), before, after)
        return allowed

    return daily(mask)


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

    return daily(mask)


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
        return daily(lambda day: _all_come_along(o, option, day))
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

    return daily(mask)


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

    return daily(mask)
