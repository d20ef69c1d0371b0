"""The six questions on a terminal; a wrong answer is asked again with its mend."""

from __future__ import annotations

import datetime
import os
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeVar

import click
import typer

from service.start.answers import AdultAnswer, Answers, ChildAnswer, NapAnswer, PlaceAnswer, PrepAnswer
from solver.domain.base import DAYS, Day, Evening, Window, clock_minutes
from solver.domain.people import _month

_Read = TypeVar("_Read")
_PLACES = {
    PlaceAnswer.YARD: "yard or garden",
    PlaceAnswer.HALL: "hall or corridor",
    PlaceAnswer.POND: "pond or stream within a walk",
    PlaceAnswer.SHOPS: "bakery, mill or market within a walk",
}


def ask(themes: list[str]) -> Answers:
    """Ask on the terminal until everything is answered."""
    typer.echo("Six questions; everything can be changed later. Return keeps what stands in [brackets].\n")
    children = tuple(_children())
    adults = tuple(_adults())
    typer.echo("\n4. Where, and how much mess?")
    places = _one("   Which of these are there (1 2 3 4)", places_in, "1", _numbered())
    mess = _one("   Mess a day that is bearable, 0 to 12 (2: a table to wipe, 3: a floor)", mess_in, "5")
    prep = _one("\n5. Evenings for making ready (like sunday_before 30, wednesday 20)", prep_in, "none")
    theme = typer.prompt(f"\n6. Theme (the catalogue has {', '.join(themes)})", default=themes[0])
    return Answers(
        children=children,
        adults=adults,
        places=places,
        mess_a_day=mess,
        prep=prep,
        theme=theme.strip() or None,
        week=next_week(datetime.date.today()),
        time_zone=local_zone(),
    )


def _children() -> Iterator[ChildAnswer]:
    typer.echo("1. Which children? Names or nicknames; nothing leaves this machine.")
    for number in range(1, 21):
        name = typer.prompt(f"   Child {number} (Return when all are named)", default="", show_default=False)
        if not name.strip() and number > 1:
            return
        born = _one("   Born in (year and month, like 2021-09)", month_in)
        naps = _one("2. Usual naps (like 13:00 75; none; Return: as usual at this age)", naps_in, "usual")
        bed = _one("   Bedtime (like 19:00; Return: as usual at this age)", bed_in, "usual")
        yield ChildAnswer(name=name.strip() or "Child", birth_month=born, naps=naps, bed=bed)


def _adults() -> Iterator[AdultAnswer]:
    typer.echo("\n3. Which adult is there when? The one named first leads.")
    for number in range(1, 13):
        name = typer.prompt(f"   Adult {number} (Return when all are named)", default="", show_default=False)
        if not name.strip() and number > 1:
            return
        hours = _one("   Hours (like 07:00-20:00, or mon-fri 15:00-20:00; sat-sun 08:00-20:00)", hours_in)
        yield AdultAnswer(name=name.strip() or "Adult", hours=hours)


def _numbered() -> str:
    return "\n".join(f"   {number} {text}" for number, text in enumerate(_PLACES.values(), 1))


def _one(question: str, read: Callable[[str], _Read], default: str | None = None, before: str = "") -> _Read:
    def proc(typed: str) -> _Read:
        try:
            return read(typed.strip())
        except ValueError as error:
            raise click.UsageError(str(error)) from error

    if before:
        typer.echo(before)
    answer: _Read = click.prompt(question, default=default, value_proc=proc)
    # Click gives the default back as it is typed only when it is text; read it like any other.
    return proc(answer) if isinstance(answer, str) and read is not month_in else answer


def month_in(typed: str) -> str:
    """A month of birth."""
    return _month(typed)


def bed_in(typed: str) -> int | None:
    """A bedtime, or None for the usual one."""
    return None if typed in ("", "usual") else _clock(typed)


def _clock(typed: str) -> int:
    found = clock_minutes(typed if len(typed) > 4 else f"0{typed}")
    return int(found)


def naps_in(typed: str) -> tuple[NapAnswer, ...] | None:
    """Naps, none at all, or None for the usual ones."""
    if typed in ("", "usual"):
        return None
    if typed == "none":
        return ()
    return tuple(_nap(one) for one in re.split(r"[,;]\s*", typed))


def _nap(typed: str) -> NapAnswer:
    found = re.fullmatch(r"(\d{1,2}:\d\d)\s+(\d{1,3})(?:\s*min)?", typed.strip())
    if not found:
        raise ValueError(f"{typed!r} is no nap; write start and minutes, like 13:00 75, or none")
    return NapAnswer(start=_clock(found[1]), length_min=int(found[2]))


def hours_in(typed: str) -> tuple[Window, ...]:
    """Windows of the week, like ``mon-fri 15:00-20:00; sat 08:00-20:00``."""
    return tuple(_window(one.strip()) for one in typed.split(";") if one.strip()) or _no_hours(typed)


def _no_hours(typed: str) -> tuple[Window, ...]:
    raise ValueError(f"{typed!r} names no hours; write them like 07:00-20:00")


def _window(typed: str) -> Window:
    found = re.fullmatch(r"(?:([a-z,\- ]+)\s+)?(\d{1,2}:\d\d)\s*[-–]\s*(\d{1,2}:\d\d)", typed.lower())
    if not found:
        raise ValueError(f"{typed!r} are no hours; write them like 07:00-20:00 or mon-fri 15:00-20:00")
    days = tuple(day for part in (found[1] or "").split(",") if part.strip() for day in _days(part.strip()))
    start, end = _clock(found[2]), _clock(found[3])
    if end <= start:
        raise ValueError(f"{typed!r} ends before it starts; write the earlier time first")
    return Window(days=days, start=start, end=end)


def _days(typed: str) -> tuple[Day, ...]:
    first, _, last = (part.strip() for part in typed.partition("-"))
    start, end = _day(first), _day(last or first)
    if end.index < start.index:
        raise ValueError(f"{typed!r} runs backwards; begin with the earlier day of the week")
    return DAYS[start.index : end.index + 1]


def _day(typed: str) -> Day:
    for day in DAYS:
        if len(typed) >= 2 and day.value.startswith(typed):
            return day
    raise ValueError(f"{typed!r} is no day; write mon, tue, wed, thu, fri, sat or sun")


def places_in(typed: str) -> tuple[PlaceAnswer, ...]:
    """Places by number or word."""
    known = list(_PLACES)
    found: list[PlaceAnswer] = []
    for word in re.split(r"[\s,]+", typed):
        if word.isdecimal() and 1 <= int(word) <= len(known):
            found.append(known[int(word) - 1])
        elif word in {place.value for place in known}:
            found.append(PlaceAnswer(word))
        elif word not in ("", "none", "0"):
            raise ValueError(f"{word!r} is none of the places; give numbers from 1 to {len(known)}, or none")
    return tuple(dict.fromkeys(found))


def mess_in(typed: str) -> int:
    """A day's mess."""
    if not typed.isdecimal() or int(typed) > 12:
        raise ValueError(f"{typed!r} is no amount of mess; give a number from 0 to 12")
    return int(typed)


def prep_in(typed: str) -> tuple[PrepAnswer, ...]:
    """Evenings with their minutes."""
    if typed in ("", "none"):
        return ()
    return tuple(_prep(one.strip()) for one in re.split(r"[,;]", typed) if one.strip())


def _prep(typed: str) -> PrepAnswer:
    name, _, minutes = typed.rpartition(" ")
    known = [one.value for one in Evening]
    if name.strip() not in known or not minutes.isdecimal() or int(minutes) > 300:
        raise ValueError(f"{typed!r} is no evening; write {', '.join(known[:3])} … and minutes up to 300")
    return PrepAnswer(evening=Evening(name.strip()), minutes=int(minutes))


def next_week(today: datetime.date) -> str:
    """The ISO week that begins next Monday (today, when it is one)."""
    monday = today + datetime.timedelta(days=-today.weekday() % 7)
    year, week, _ = monday.isocalendar()
    return f"{year}-W{week:02d}"


def local_zone() -> str:
    """This machine's time zone, as far as it says."""
    link = Path("/etc/localtime")
    named = os.environ.get("TZ", "").lstrip(":")
    if not named and link.is_symlink():
        named = str(link.resolve()).partition("zoneinfo/")[2]
    return named if "/" in named else "UTC"
