"""Gentle suggestions from what went otherwise lately: a nap on its way out, one tired day after another."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Sequence
from typing import Literal

from service.paper.moments import date_of
from solver.domain.base import DAYS, AdultId, ChildId, Day, Frozen, Id, Name
from solver.domain.document import Document
from solver.domain.plan import Plan
from solver.domain.week import Problem, Week
from solver.masks import touching
from solver.naps import FAILED_NAPS, WITHIN_DAYS, leaning_on_naps
from solver.presence import Presence

NAP_GOING: Literal["nap-going"] = "nap-going"
SMALLER_WEEK: Literal["smaller-week"] = "smaller-week"
TIRED_DAYS, TIRED_WITHIN = 3, 14
"""The third tired day in two weeks (common practice, no source)."""
QUIET_DAYS = 14
"""For so long nothing is suggested again that was put aside."""
MOST_NAMED = 2


class Helped(Frozen):
    """A day on which somebody else can have the child who does not sleep."""

    day: Day
    adult: AdultId


class Suggestion(Frozen):
    """Something that may do the family good; taken up or put aside with one touch."""

    id: Id
    kind: Literal["nap-going", "smaller-week"]
    child: ChildId | None = None
    days: tuple[datetime.date, ...]
    """On which it showed."""
    until: datetime.date
    """After this day it is old."""
    titles: tuple[Name, ...] = ()
    """What leans on the nap."""
    helped: tuple[Helped, ...] = ()


class Answer(Frozen):
    """What was said to a suggestion, and to which one."""

    id: Id
    answer: Literal["yes", "no"]
    day: datetime.date
    """The last day on which it had shown."""


def suggestions(
    document: Document, problem: Problem, plan: Plan | None, answers: Sequence[Answer]
) -> Iterator[Suggestion]:
    """What this week may be told; the reader leaves out what is old or not yet so."""
    found = [*_naps_going(document, problem, plan), *_too_much(document, problem)]
    for one in found:
        if not any(a.id == one.id and 0 <= (one.days[-1] - a.day).days < QUIET_DAYS for a in answers):
            yield one


def _naps_going(document: Document, problem: Problem, plan: Plan | None) -> Iterator[Suggestion]:
    for child in problem.household.children:
        failed = [
            date_of(week.monday, change.day)
            for week in document.weeks
            for change in week.naps
            if change.child == child.id and change.start is None
        ]
        days = _third(failed, problem.week, FAILED_NAPS, WITHIN_DAYS)
        if days and plan and (leaning := _leaning(problem, plan, child.id, days[-1])):
            yield Suggestion(
                id=f"{NAP_GOING}:{child.id}", kind=NAP_GOING, child=child.id, days=days,
                until=days[-1] + datetime.timedelta(days=WITHIN_DAYS), titles=leaning,
                helped=tuple(_helped(problem, child.id, days[-1]))[:MOST_NAMED],
            )  # fmt: skip


def _leaning(problem: Problem, plan: Plan, child: str, since: datetime.date) -> tuple[str, ...]:
    """Times alone with another child that are still planned for the nap, after the last one that failed."""
    titles = {one.id: one.title for one in problem.activities}
    ahead = {
        one.id: titles.get(one.activity, one.activity)
        for one in plan.bookings
        if date_of(problem.week.monday, one.day) > since and len(one.attends) == 1
    }
    leans = leaning_on_naps(problem, plan)
    found = [ahead[one.booking] for one in leans if one.child == child and one.booking in ahead]
    return tuple(dict.fromkeys(found))[:MOST_NAMED]


def _helped(problem: Problem, child: str, since: datetime.date) -> Iterator[Helped]:
    presence = Presence(problem)
    for day in problem.week.teaching_days:
        if date_of(problem.week.monday, day) <= since:
            continue
        for adult in problem.household.adults[1:]:
            for nap in presence.naps_on(presence.children[child], day):
                whole = touching(nap.start, nap.end)
                if presence.on_hand(adult.id, day) & whole == whole:
                    yield Helped(day=day, adult=adult.id)


def _too_much(document: Document, problem: Problem) -> Iterator[Suggestion]:
    easy = [date_of(week.monday, day) for week in document.weeks for day in week.easy_days]
    days = _third(easy, problem.week, TIRED_DAYS, TIRED_WITHIN)
    if days and not all(week.smaller for week in to_make_smaller(document, problem.week.id)):
        until = days[-1] + datetime.timedelta(days=TIRED_WITHIN)
        yield Suggestion(id=SMALLER_WEEK, kind=SMALLER_WEEK, days=days, until=until)


def to_make_smaller(document: Document, week_id: str) -> tuple[Week, ...]:
    """The weeks after this one; this one where there are none yet."""
    this = next(week for week in document.weeks if week.id == week_id)
    later = tuple(week for week in document.weeks if week.monday > this.monday)
    return later or (this,)


def _third(days: Iterable[datetime.date], week: Week, count: int, within: int) -> tuple[datetime.date, ...]:
    """The days up to the first one that made it so many within so many, shortly before or in a week."""
    ordered = sorted(set(days))
    for index in range(count - 1, len(ordered)):
        last = ordered[index]
        recent = tuple(day for day in ordered[: index + 1] if (last - day).days < within)
        near = -within <= (last - week.monday).days < len(DAYS)
        if len(recent) >= count and near:
            return recent
    return ()
