"""RULES: the table of contents of a week that fits.

A rule has one key. ``alone`` says where a single sitting may start (and so shapes the candidates);
``between`` constrains sittings against each other. A few rules need both. The checker
(``solver.check``) has a twin under the same key.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from solver.rules import people, setting, timing

if TYPE_CHECKING:
    from solver.options import Option
    from solver.outline import Outline
    from solver.presence import Daily


def nothing_more(_: Option) -> Hashable:
    """The wish, the sitting, who attends, the place and the manner are all it looks at."""
    return None


def the_go(option: Option) -> Hashable:
    return option.task.go.name


def the_helpers(option: Option) -> Hashable:
    return option.helpers


def the_minder(option: Option) -> Hashable:
    return option.minder


def minded(option: Option) -> Hashable:
    """Whether there is a minder, whoever it is."""
    return option.minder is not None


def the_helpers_and_minded(option: Option) -> Hashable:
    return option.helpers, option.minder is not None


@dataclass(frozen=True, slots=True)
class Rule:
    """One hard rule: its key, and the function or two that hold it."""

    key: str
    alone: Callable[[Outline, Option], Daily] | None = None
    between: str | None = None
    """``module.function`` in this package; named, so that OR-Tools loads only when a model is built."""
    asks: Callable[[Option], Hashable] = nothing_more
    """What else ``alone`` looks at: options in which this is the same need asking once."""


RULES: tuple[Rule, ...] = (
    Rule("who"),
    Rule("hours", timing.hours, asks=the_go),
    Rule("time_gone", timing.time_gone, asks=the_go),
    Rule("firm", timing.firm, asks=the_go),
    Rule("child_free", people.child_free),
    Rule("attention", people.attention),
    Rule("helper_on_hand", people.helper_on_hand, asks=the_helpers),
    Rule("watched", people.watched, asks=minded),
    Rule("minder", people.minder, "hands.minder", asks=the_minder),
    Rule("place_open", setting.place_open),
    Rule("mess_hours", setting.mess_hours, asks=the_helpers),
    Rule("weather", setting.weather),
    Rule("quiet", setting.quiet),
    Rule("safety", setting.safety, asks=the_helpers_and_minded),
    Rule("book", timing.book),
    Rule("prep", timing.prep_evening, "across.prep", asks=the_go),
    Rule("screen", setting.screen_rest, "between.screen"),
    Rule("whole_go", None, "between.whole_go"),
    Rule("one_at_a_time", None, "between.one_at_a_time"),
    Rule("alongside", None, "between.alongside"),
    Rule("breaks", None, "between.breaks"),
    Rule("focus_day", None, "between.focus_day"),
    Rule("adult_hands", None, "hands.adult_hands"),
    Rule("baby_hands", None, "hands.baby_hands"),
    Rule("place_room", None, "between.place_room"),
    Rule("tools", setting.tool_there, "between.tools"),
    Rule("mess_day", None, "between.mess_day"),
    Rule("mess_week", None, "between.mess_week"),
    Rule("theme_day", None, "between.theme_day"),
    Rule("white_space", None, "between.white_space"),
    Rule("waits", None, "across.waits"),
    Rule("holding", None, "across.holding"),
    Rule("prep_minutes", None, "across.prep_minutes"),
    Rule("order", None, "across.order"),
    Rule("often", None, "across.often"),
    Rule("supplies", setting.supply_there, "stores.supplies"),
    Rule("fresh", None, "stores.fresh"),
    Rule("money", None, "stores.money"),
)

ALONE: dict[str, Callable[[Outline, Option], Daily]] = {rule.key: rule.alone for rule in RULES if rule.alone}

ASKS: dict[str, Callable[[Option], Hashable]] = {rule.key: rule.asks for rule in RULES if rule.alone}
"""What each of these looks at beyond the wish, the sitting, who attends, the place and the manner."""
