"""CHECKS: the table of contents. One function a rule, by the same keys as the solver's rules."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from solver.check import adults, children, house, stores, times
from solver.check.facts import Facts
from solver.check.violation import Violation

Check = Callable[[Facts], Iterator[Violation]]

CHECKS: dict[str, Check] = {
    "who": children.who,
    "whole_go": children.whole_go,
    "child_free": children.child_free,
    "one_at_a_time": children.one_at_a_time,
    "alongside": children.alongside,
    "attention": children.attention,
    "breaks": children.breaks,
    "focus_day": children.focus_day,
    "helper_on_hand": adults.helper_on_hand,
    "adult_hands": adults.adult_hands,
    "baby_hands": adults.baby_hands,
    "watched": adults.watched,
    "minder": adults.minder,
    "place_open": house.place_open,
    "place_room": house.place_room,
    "tools": house.tools,
    "mess_hours": house.mess_hours,
    "mess_day": house.mess_day,
    "mess_week": house.mess_week,
    "waits": times.waits,
    "holding": stores.holding,
    "prep": stores.prep,
    "prep_minutes": stores.prep_minutes,
    "order": times.order,
    "often": times.often,
    "hours": times.hours,
    "book": times.book,
    "weather": house.weather,
    "quiet": house.quiet,
    "safety": house.safety,
    "supplies": stores.supplies,
    "fresh": stores.fresh,
    "money": stores.money,
    "theme_day": times.theme_day,
    "screen": children.screen,
    "white_space": children.white_space,
    "time_gone": times.time_gone,
    "firm": times.firm,
}
