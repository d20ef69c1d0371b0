"""Mishaps as they are typed: ``day-lost:wednesday@13:00-17:00:pip`` becomes a mishap of the solver's.

Children and adults go by id or by name; what is not understood is said with the field and the mend.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pydantic import ValidationError

from service.errors import BadInput
from solver.domain.base import DAYS, Day, Moment, clock_minutes
from solver.domain.faults import Fault, faults_of, unknown
from solver.domain.mishap import (
    DayLost,
    Hooked,
    Late,
    Mishap,
    Missing,
    NapFailed,
    NapGone,
    Refused,
    Roster,
    SkyTurned,
    StillWet,
    Tired,
)
from solver.domain.week import Problem

_CLOCKS = r"(?P<start>\d\d?:\d\d)-(?P<end>\d\d?:\d\d)"
_DAY_LOST = re.compile(rf"^(?P<day>[^@:]+)(@{_CLOCKS})?(:(?P<who>.+))?$")
_SKY = re.compile(rf"^(?P<day>[^@:]+)(@{_CLOCKS})?$")
_ROSTER = re.compile(rf"^(?P<who>.+)@(?P<day>[^@:]+):({_CLOCKS}|(?P<away>away))$")

SKIES = {
    "rain": "wet", "wind": "windy", "ice": "icy", "storm": "stormy", "heat": "too_hot", "cold": "too_cold",
}  # fmt: skip

FORMS = {
    "day-lost": "day-lost:wednesday, day-lost:wednesday:pip or day-lost:wednesday@13:00-17:00",
    "nap-failed": "nap-failed:pip@tuesday",
    "nap-gone": "nap-gone:pip@tuesday",
    "late": "late:35",
    "missing": "missing:table@thursday or missing:table",
    "still-wet": "still-wet:frog-bowl.1.1:120",
    "refused": "refused:BOOKING:CHILD:sticky",
    "hooked": "hooked:BOOKING:40",
    "tired": "tired:thursday",
    "roster": "roster:theo@wednesday:13:00-17:00 or roster:theo@wednesday:away",
    **{sky: f"{sky}:wednesday or {sky}:wednesday@13:00-17:00" for sky in SKIES},
}


class _NotUnderstood(Exception):
    def __init__(self, message: str) -> None:
        self.message = message
        super().__init__(message)


def mishaps_said(problem: Problem, said: Sequence[str]) -> list[Mishap]:
    """The mishaps that were typed.

    Raises
    ------
    BadInput
        When one of them is not understood; every one of those has its fault.
    """
    found, faults = [], []
    for text in said:
        try:
            found.append(_mishap(problem, text))
        except _NotUnderstood as error:
            faults.append(Fault(path=f"--mishap {text}", message=error.message))
        except ValidationError as error:
            faults += [Fault(path=f"--mishap {text}: {f.path}", message=f.message) for f in faults_of(error)]
    if faults:
        raise BadInput("what happened was not understood", faults)
    return found


def moment_said(problem: Problem, text: str) -> Moment:
    """A time of the week: ``wednesday@07:10``, or a date and time as ISO 8601 writes it.

    Raises
    ------
    BadInput
        When it is neither, or lies outside the week.
    """
    try:
        day, _, clock = text.partition("@")
        if clock:
            return Moment(day=_day(day), time=_clock(clock))
        return _from_date(problem, text)
    except _NotUnderstood as error:
        raise BadInput("the time was not understood", [Fault(path="--at", message=error.message)]) from None


def _from_date(problem: Problem, text: str) -> Moment:
    try:
        when = datetime.datetime.fromisoformat(text)
    except ValueError:
        monday = problem.week.monday
        raise _NotUnderstood(
            f"{text!r} is no time; write it like wednesday@07:10 or {monday}T07:10"
        ) from None
    days = (when.date() - problem.week.monday).days
    if not 0 <= days < len(DAYS):
        raise _NotUnderstood(f"{when.date()} is not in week {problem.week.id}; name a day of that week")
    return Moment(day=DAYS[days], time=when.hour * 60 + when.minute)


@dataclass(frozen=True)
class _Words:
    """What stands behind the kind, read against the household."""

    problem: Problem
    kind: str
    text: str

    def match(self, pattern: re.Pattern[str]) -> re.Match[str]:
        """The parts, if it is written as it should be."""
        found = pattern.match(self.text)
        if not found:
            raise _NotUnderstood(f"it is written {FORMS[self.kind]}")
        return found

    def split(self, parts: int, sign: str = ":") -> list[str]:
        """So many parts, the first of which may hold the sign itself."""
        found = self.text.rsplit(sign, parts - 1)
        if len(found) != parts or not all(found):
            raise _NotUnderstood(f"it is written {FORMS[self.kind]}")
        return found

    def person(self, name: str, what: str) -> str:
        """The id of a child or an adult, who may be named."""
        house = self.problem.household
        people = house.children if what == "child" else house.adults
        known = {one.id: one.id for one in people} | {one.name.casefold(): one.id for one in people}
        found = known.get(name) or known.get(name.casefold())
        if found is None:
            raise _NotUnderstood(unknown("", what, name, [one.id for one in people]).message)
        return found


def _mishap(problem: Problem, text: str) -> Mishap:
    kind, _, rest = text.partition(":")
    read = _KINDS.get(kind)
    if read is None:
        fault = unknown("", "kind of mishap", kind, _KINDS)
        raise _NotUnderstood(f"{fault.message} (there are: {', '.join(_KINDS)})")
    if not rest:
        raise _NotUnderstood(f"it is written {FORMS[kind]}")
    return read(_Words(problem, kind, rest))


def _day(text: str) -> Day:
    name = text.strip().casefold()
    short = [day for day in DAYS if len(name) >= 3 and day.value.startswith(name)]
    if short:
        return short[0]
    raise _NotUnderstood(unknown("", "day", text, [day.value for day in DAYS]).message)


def _clock(text: str) -> int:
    try:
        return int(clock_minutes(text.zfill(5)))
    except ValueError as error:
        raise _NotUnderstood(str(error)) from None


def _number(text: str) -> int:
    if not text.isascii() or not text.isdigit() or len(text) > 6:
        raise _NotUnderstood(f"{text!r} is no number of minutes; write it like 35")
    return int(text)


def _times(found: re.Match[str]) -> dict[str, int]:
    if not found["start"]:
        return {}
    start, end = _clock(found["start"]), _clock(found["end"])
    if end <= start:
        raise _NotUnderstood(f"{found['start']}-{found['end']} ends before it starts; give a later end")
    return {"start": start, "end": end}


def _day_lost(words: _Words) -> DayLost:
    found = words.match(_DAY_LOST)
    house = words.problem.household
    grown = {adult.id for adult in house.adults} | {adult.name.casefold() for adult in house.adults}
    names = [name.strip() for name in (found["who"] or "").split(",") if name.strip()]
    adults = [name for name in names if name in grown or name.casefold() in grown]
    return DayLost.model_validate(
        {
            "day": _day(found["day"]),
            "children": tuple(words.person(name, "child") for name in names if name not in adults),
            "adults": tuple(words.person(name, "adult") for name in adults),
            **_times(found),
        }
    )


def _sky(words: _Words) -> SkyTurned:
    found = words.match(_SKY)
    return SkyTurned.model_validate({"day": _day(found["day"]), SKIES[words.kind]: True, **_times(found)})


def _nap_failed(words: _Words) -> NapFailed:
    child, day = words.split(2, "@")
    return NapFailed(child=words.person(child, "child"), day=_day(day))


def _nap_gone(words: _Words) -> NapGone:
    failed = _nap_failed(words)
    return NapGone(child=failed.child, day=failed.day)


def _missing(words: _Words) -> Missing:
    what, _, day = words.text.partition("@")
    return Missing(what=what, day=_day(day) if day else None)


def _still_wet(words: _Words) -> StillWet:
    booking, minutes = words.split(2)
    return StillWet(booking=booking, minutes=_number(minutes))


def _refused(words: _Words) -> Refused:
    booking, child, reason = words.split(3)
    return Refused(booking=booking, child=words.person(child, "child"), reason=reason)


def _hooked(words: _Words) -> Hooked:
    booking, minutes = words.split(2)
    return Hooked(booking=booking, minutes=_number(minutes))


def _roster(words: _Words) -> Roster:
    found = words.match(_ROSTER)
    who = words.person(found["who"], "adult")
    return Roster.model_validate({"adult": who, "day": _day(found["day"]), **_times(found)})


_KINDS: dict[str, Callable[[_Words], Mishap]] = {
    "day-lost": _day_lost,
    "nap-failed": _nap_failed,
    "nap-gone": _nap_gone,
    "late": lambda words: Late(minutes=_number(words.text)),
    "missing": _missing,
    "still-wet": _still_wet,
    "refused": _refused,
    "hooked": _hooked,
    "tired": lambda words: Tired(day=_day(words.text)),
    "roster": _roster,
    **dict.fromkeys(SKIES, _sky),
}
