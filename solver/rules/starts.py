"""Masks of allowed starts: what the rules for a single sitting are written with."""

from __future__ import annotations

from collections.abc import Callable

from solver.clock import DAY_SLOTS, slot_at, slots_up
from solver.domain.base import DAYS, Day, Moment, Window
from solver.masks import FULL, between, fits, inside
from solver.options import Option
from solver.presence import Daily

NOTHING: Daily = (0,) * len(DAYS)
ANYTHING: Daily = (FULL,) * len(DAYS)


def daily(mask_of: Callable[[Day], int]) -> Daily:
    return tuple(mask_of(day) for day in DAYS)


def last_start(option: Option, moment: Moment | None) -> Daily:
    if moment is None:
        return ANYTHING
    last = moment.day.index * DAY_SLOTS + slot_at(moment.time) - option.span.after
    return daily(lambda day: between(0, last - day.index * DAY_SLOTS + 1))


def first_start(option: Option, moment: Moment | None) -> Daily:
    if moment is None:
        return ANYTHING
    first = moment.day.index * DAY_SLOTS + slots_up(moment.time) + option.span.before
    return daily(lambda day: FULL & ~between(0, first - day.index * DAY_SLOTS))


def welcome(windows: tuple[Window, ...], day: Day, option: Option) -> int:
    if not windows:
        return FULL
    allowed = 0
    for window in windows:
        if window.on(day):
            allowed |= fits(inside(window.start, window.end), 0, option.span.active)
    return allowed
