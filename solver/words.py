"""Reasons in plain words, made last. A grandparent should understand each of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from solver.domain.activity import Hazard, Weather
from solver.domain.base import DAY_MIN, Day, clock_text
from solver.outline import Go, Outline, Task


def listed(names: Sequence[str]) -> str:
    """``a, b and c``."""
    if len(names) < 2:
        return "".join(names)
    return ", ".join(names[:-1]) + " and " + names[-1]


def day_name(day: Day) -> str:
    """The day with a capital."""
    return day.value.capitalize()


def _child_names(o: Outline, go: Go) -> str:
    return listed([o.presence.children[c].name for c in go.group]) or "the children"


def _who(o: Outline, go: Go, index: int) -> str:
    return "none of the children is of the age for it"


def _hours(o: Outline, go: Go, index: int) -> str:
    wish = go.wish
    parts = []
    if wish.hours:
        parts.append(" or ".join(f"from {clock_text(w.start)} to {clock_text(w.end)}" for w in wish.hours))
    days = [go.day] if go.day else list(wish.days)
    if days:
        parts.append("on " + listed([day_name(d) for d in days]))
    if wish.finish_by:
        parts.append(f"by {day_name(wish.finish_by.day)} {clock_text(wish.finish_by.time)}")
    if wish.stretches:
        names = {stretch.id: stretch.name.lower() for stretch in o.problem.household.stretches}
        when = "" if parts else "at certain times of day "
        parts.append(f"{when}({listed([names[s] for s in wish.stretches])})")
    return "it is only wanted " + " ".join(parts) if parts else "it keeps to the week's teaching days"


def _child_free(o: Outline, go: Go, index: int) -> str:
    return f"at that time {_child_names(o, go)} would be asleep, away or at a meal"


def _attention(o: Outline, go: Go, index: int) -> str:
    return f"it is longer than {_child_names(o, go)} can attend at a stretch"


def _helper(o: Outline, go: Go, index: int) -> str:
    activity = go.activity
    needed = activity.adults_needed
    who = "an adult" if needed == 1 else f"{_number(needed)} adults at once"
    if {Hazard.WATER, Hazard.OPEN_WATER} & set(activity.hazards):
        who += " who can mind water"
    if go.wish.language:
        who += f", one speaking {go.wish.language}"
    return f"it needs {who} for the whole time (laying out and clearing up too)"


def _number(count: int) -> str:
    return {2: "two", 3: "three", 4: "four"}.get(count, str(count))


def _watched(o: Outline, go: Go, index: int) -> str:
    others = [c.name for c in o.problem.household.children if c.id not in go.group]
    return f"meanwhile {listed(others) or 'another child'} would be left alone too long"


def _minder(o: Outline, go: Go, index: int) -> str:
    return "nobody else is free to have the others meanwhile"


def _place_open(o: Outline, go: Go, index: int) -> str:
    place = o.places[go.activity.sittings[index].places[0]]
    if any(w.start == 0 and w.end == DAY_MIN and not w.days for w in place.closed):
        return f"its place ({place.name.lower()}) is not in use"
    clear = o.limits.table_clear_before_meal_min
    return f"its place ({place.name.lower()}) has to be clear {clear} minutes before a meal or is taken"


def _mess_hours(o: Outline, go: Go, index: int) -> str:
    return "a big mess is not welcome at that time, or comes just before leaving the house"


def _weather(o: Outline, go: Go, index: int) -> str:
    wanted = {
        Weather.DRY: "it needs a dry spell long enough",
        Weather.WET: "it needs rain",
        Weather.WIND: "it needs wind",
        Weather.NOT_ICY: "it must not be icy or stormy",
    }
    return wanted.get(go.activity.weather, "the weather or the daylight is against it")


def _quiet(o: Outline, go: Go, index: int) -> str:
    return "somebody is asleep nearby then"


def _safety(o: Outline, go: Go, index: int) -> str:
    task = Task(go, index)
    sitting = o.sitting(task, False)
    cast = o.cast(go, sitting)
    safe = o.needs(task, False, o.places[sitting.places[0]], cast)
    if safe.blocked:
        return _lower(safe.blocked.sentence).rstrip(".")
    names = [c.name for c in o.problem.household.children if c.id in safe.asleep_or_minded]
    return f"it is not safe while {listed(names) or 'somebody small'} is awake and about"


def _book(o: Outline, go: Go, index: int) -> str:
    return "the book is not here yet or has to go back before"


def _prep(o: Outline, go: Go, index: int) -> str:
    longest = max((evening.minutes for evening in o.limits.prep), default=0)
    hardest = max(go.activity.prep, key=lambda task: task.minutes, default=None)
    if hardest is None:
        return "no evening is early enough to make it ready"
    if hardest.minutes > longest:
        return (
            f"it needs {hardest.minutes} minutes on one evening to {_lower(hardest.name)}, "
            f"and the longest free evening has {longest}"
        )
    return f"no free evening to {_lower(hardest.name)} is at the right time"


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def _screen(o: Outline, go: Go, index: int) -> str:
    return "it is too near to sleep, or over the screen minutes you set"


def _gone(o: Outline, go: Go, index: int) -> str:
    return "that time has gone"


def _firm(o: Outline, go: Go, index: int) -> str:
    return "it does not fit at the time that was set by hand"


def _plain(text: str) -> Callable[[Outline, Go, int], str]:
    return lambda o, go, index: text


def _prep_minutes(o: Outline, go: Go, index: int) -> str:
    total = sum(task.minutes for task in go.activity.prep)
    evenings = sum(evening.minutes for evening in o.limits.prep)
    return f"it needs {total} minutes of prep, and the week's {evenings} evening minutes are given away"


def _mess_day(o: Outline, go: Go, index: int) -> str:
    return "every day that could take it already has its mess"


def _tools(o: Outline, go: Go, index: int) -> str:
    for need in go.activity.sittings[index].needs:
        tool = o.materials[need.material]
        if tool.reusable and tool.count < need.count:
            return f"it takes {_number(need.count)} {tool.name}, and there are {_number(tool.count)}"
    return _gone_that_day(o, go, index) or "what it needs is in use whenever it could be"


def _supplies(o: Outline, go: Go, index: int) -> str:
    return _gone_that_day(o, go, index) or "something it needs is not in the house"


def _gone_that_day(o: Outline, go: Go, index: int) -> str:
    needs = {need.material for need in go.activity.sittings[index].needs}
    for one in o.problem.week.overrides.gone:
        if one.what in needs:
            when = f"on {listed([day_name(day) for day in one.days])}" if one.days else "this week"
            return f"{when} there is no {o.materials[one.what].name} to be had"
    return ""


def _theme_day(o: Outline, go: Go, index: int) -> str:
    most = o.limits.theme_things_a_day
    return f"each day it could go on already has its {_number(most)} theme things"


CLAUSES: dict[str, Callable[[Outline, Go, int], str]] = {
    "who": _who,
    "hours": _hours,
    "time_gone": _gone,
    "firm": _firm,
    "child_free": _child_free,
    "attention": _attention,
    "helper_on_hand": _helper,
    "watched": _watched,
    "minder": _minder,
    "place_open": _place_open,
    "mess_hours": _mess_hours,
    "weather": _weather,
    "quiet": _quiet,
    "safety": _safety,
    "book": _book,
    "prep": _prep,
    "screen": _screen,
    "whole_go": _plain("not all of its sittings find a place, and it is not begun to be left half done"),
    "one_at_a_time": _plain("the children have no time left for it"),
    "alongside": _plain("nothing quiet is going on that it could be read to"),
    "breaks": _plain("it would come too close after another sit-down thing"),
    "focus_day": _plain("it would be too much sitting still for one day"),
    "adult_hands": _plain("your hands are full whenever it could be"),
    "baby_hands": _plain("the baby needs a hand whenever it could be"),
    "place_room": _plain("its place is taken whenever it could be"),
    "tools": _tools,
    "mess_day": _mess_day,
    "mess_week": _plain("the week has as much mess as you allow"),
    "theme_day": _theme_day,
    "white_space": _plain("the days would get too full"),
    "waits": _plain("its times of waiting (drying, rising, cooling) do not fit between what is fixed"),
    "holding": _plain("the tray, peg, sill or shelf it would wait on is taken"),
    "prep_minutes": _prep_minutes,
    "order": _plain("something that has to come first does not fit before it"),
    "often": _plain("it would come again too soon"),
    "supplies": _supplies,
    "fresh": _plain("something it needs would not keep until then"),
    "money": _plain("the week's money is spent"),
}

FREED: dict[str, str] = {
    "hours": "a wider choice of days or times",
    "helper_on_hand": "another adult for that time",
    "watched": "another adult who has the others for that time",
    "minder": "another adult who has the others for that time",
    "baby_hands": "another adult who has the baby for that time",
    "adult_hands": "a second pair of hands for that time",
    "weather": "a better forecast",
    "prep": "a longer prep evening",
    "prep_minutes": "more prep minutes on one evening",
    "mess_day": "a second messy thing on one day",
    "mess_week": "a little more mess in the week",
    "mess_hours": "mess allowed at another hour",
    "theme_day": "one more theme thing on a day",
    "white_space": "a fuller day",
    "holding": "one more tray or shelf",
    "money": "a little more money",
    "supplies": "buying what is missing",
    "fresh": "buying it fresh, nearer to the day",
    "book": "renewing the book",
    "place_open": "another place for it",
    "place_room": "another place for it",
    "attention": "its lighter version",
    "screen": "more screen minutes",
    "focus_day": "a lighter day",
    "tools": "a second one of the tool",
}

GENERAL = ("hours", "child_free", "whole_go", "often", "order")
"""Rules that say little when a plainer one is in the way too."""


NOT_ASKED = "It found no place beside the rest; there was no time left to find out what is in the way."


def clause(o: Outline, go: Go, index: int, keys: Sequence[str]) -> str:
    """What these rules say of a sitting, the plain ones first.

    A clause begins and ends with words of ours, so that one behind another can be told apart again when they
    are said in another language.
    """
    plain = [key for key in keys if key not in GENERAL] or list(keys)
    return ", and ".join(CLAUSES[key](o, go, index) for key in plain[:3])


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + "."


def blocked_sentence(o: Outline, go: Go, index: int, keys: Sequence[str]) -> str:
    """Why a sitting has no possible time at all this week."""
    when = f" on {day_name(go.day)}" if go.day else " this week"
    return _sentence(f"there is no time for it{when}: {clause(o, go, index, keys)}")


def conflict_sentence(o: Outline, go: Go, keys: Sequence[str]) -> str:
    """Why a go does not fit beside the rest."""
    if not keys:
        return "It would fit, but only by pushing out something that matters more."
    if len(keys) > 3:
        return "There is no time left for it beside everything else that is wished."
    return _sentence(f"it does not fit beside the rest: {clause(o, go, 0, keys)}")


def freed_by(o: Outline, go: Go, keys: Sequence[str]) -> str:
    """The smallest thing that would bring it back, or nothing."""
    for key in keys:
        if key == "prep":
            most = max((task.minutes for task in go.activity.prep), default=0)
            return f"an evening with {most} free minutes at the right time"
        # To be told to buy what there is no money for helps nobody.
        if key in FREED and key not in GENERAL and not (key == "supplies" and "money" in keys):
            return FREED[key]
    return next((FREED[key] for key in keys if key in FREED), "")


def until(o: Outline, go: Go) -> str:
    """Until when something held over still makes sense."""
    book = o.books.get(go.activity.book) if go.activity.book else None
    if book and book.due:
        return f"until the book goes back on {day_name(book.due.day)}"
    theme = o.problem.week.theme
    if theme and go.activity.theme == theme:
        return f"while {theme} lasts"
    return "whenever it suits"
