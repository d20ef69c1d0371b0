"""From one week to the next: what was held over comes first, staples return, a break after six weeks."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Callable, Iterator

from pydantic import ValidationError

from service.errors import BadInput
from service.record.views import LogLine
from solver.domain.base import ActivityId, AreaId, ChildId, Frozen, Name, Text
from solver.domain.document import Document
from solver.domain.faults import Fault, faults_of
from solver.domain.plan import Fate, Plan
from solver.domain.week import LAST_YEAR, Rank, Week, WeekId, Wish, week_monday

WEEKS_ON = 6
"""Six weeks on, one off (common practice; several parents frayed in week six)."""
WEIGHED = 2
"""Worth that a wish gains by having been held over."""


class NextWeek(Frozen):
    """A week that was made from the one before it."""

    week: Week
    held_over: tuple[Name, ...]
    break_proposed: bool
    note: Text


class Wanted(Frozen):
    """What the next week is to be."""

    theme: Name | None = None
    """None: the same theme."""
    take_break: bool = False
    """Staples only."""


def week_after(week_id: str) -> WeekId:
    """The ISO week after a week.

    Raises
    ------
    BadInput
        After the last week that is known.
    """
    year, week, _ = (week_monday(week_id) + datetime.timedelta(weeks=1)).isocalendar()
    if year > LAST_YEAR:
        fault = Fault(
            path="week", message=f"{week_id} is the last week that is known; there is none after it"
        )
        raise BadInput(fault.message, [fault])
    return f"{year}-W{week:02d}"


def weeks_on(document: Document, until: Week) -> int:
    """How many weeks with more than staples stand in a row, this one the last."""
    known = {week.monday: week for week in document.weeks}
    count, monday = 0, until.monday
    while (week := known.get(monday)) and any(wish.rank is not Rank.STAPLE for wish in week.wishes):
        count += 1
        monday -= datetime.timedelta(weeks=1)
    return count


def source_of(
    document: Document, week: Week, plan_of: Callable[[WeekId], Plan | None]
) -> tuple[Week, Plan | None]:
    """From where things are carried over: this week, or over a quiet one the week before it."""
    known = {one.monday: one for one in document.weeks}
    found = week
    while all(wish.rank is Rank.STAPLE for wish in found.wishes):
        before = known.get(found.monday - datetime.timedelta(weeks=1))
        if before is None:
            return week, plan_of(week.id)
        found = before
    return found, plan_of(found.id)


def next_week(
    document: Document,
    week: Week,
    plan: Plan | None,
    lines: tuple[LogLine, ...],
    wanted: Wanted,
    source: tuple[Week, Plan | None] | None = None,
) -> NextWeek:
    """The week after this one, not kept yet; ``source`` is where things are carried over from.

    Raises
    ------
    BadInput
        When that week is there already.
    """
    ident = week_after(week.id)
    if any(one.id == ident for one in document.weeks):
        fault = Fault(path="week", message=f"there is a week {ident} already; change its wishes instead")
        raise BadInput(fault.message, [fault])
    held_in, held_by = source or (week, plan)
    held = list(_held_over(held_in, held_by)) if held_by and not wanted.take_break else []
    staples = [_freed(wish) for wish in week.wishes if wish.rank is Rank.STAPLE]
    wishes = [*staples, *held]
    done = _finished(document, week, plan)
    made = Week(
        id=ident,
        theme=wanted.theme or week.theme,
        teaching_days=week.teaching_days,
        hours=week.hours,
        fixed_points=tuple(point for point in week.fixed_points if not point.id.startswith("lost-")),
        shops=week.shops,
        loss_proof=week.loss_proof,
        smaller=week.smaller,
        wishes=tuple(_fitting_after(wishes)),
        spare=week.spare,
        done_before=tuple(dict.fromkeys((*week.done_before, *done))),
        times_before=_times(lines),
    )
    on = weeks_on(document, week)
    return NextWeek(
        week=made,
        held_over=tuple(_title(document, wish.activity) for wish in held),
        break_proposed=on >= WEEKS_ON and not wanted.take_break,
        note=_note(on, wanted),
    )


def _note(on: int, wanted: Wanted) -> str:
    if wanted.take_break:
        return "A quiet week: what is done daily stays, everything else waits where it is."
    if on >= WEEKS_ON:
        return f"That makes {on} weeks in a row. A quiet week now, daily things only? Nothing is lost by it."
    return "Hours, classes and appointments are those of the week before; look whether they are still so."


def _held_over(week: Week, plan: Plan) -> Iterator[Wish]:
    wishes = {wish.id: wish for wish in week.wishes}
    goes = Counter(one.wish for one in plan.left_over if one.fate is Fate.HELD_OVER and 0 in one.sittings)
    for ident, count in goes.items():
        wish = wishes.get(ident)
        if wish and wish.rank is not Rank.STAPLE:
            changed = {"times": count, "worth": min(10, wish.worth + WEIGHED)}
            yield _freed(wish).model_copy(update=changed)


def _freed(wish: Wish) -> Wish:
    """Without what belonged to the old week alone."""
    return wish.model_copy(update={"finish_by": None, "told": False, "opens_theme": False})


def _fitting_after(wishes: list[Wish]) -> Iterator[Wish]:
    known = {wish.id for wish in wishes}
    for wish in wishes:
        # A wish pinned to days keeps them only as long as it asks for as many goes as before.
        days = wish.days if len(wish.days) in (0, wish.times) or wish.rank is Rank.STAPLE else ()
        after = tuple(one for one in wish.after if one in known)
        yield wish.model_copy(update={"after": after, "days": days})


def _finished(document: Document, week: Week, plan: Plan | None) -> Iterator[ActivityId]:
    sittings = {one.id: len(one.sittings) for one in document.activities}
    for booking in plan.bookings if plan else ():
        if booking.lighter or booking.sitting == sittings.get(booking.activity, 0) - 1:
            yield booking.activity


def _times(lines: tuple[LogLine, ...]) -> dict[ChildId, dict[AreaId, int]]:
    times: dict[ChildId, Counter[AreaId]] = {}
    for line in lines:
        if line.outcome.happened:
            times.setdefault(line.child, Counter()).update(line.areas)
    return {child: dict(counted) for child, counted in times.items()}


def _title(document: Document, ident: ActivityId) -> str:
    return next((one.title for one in document.activities if one.id == ident), ident)


def free_id(wanted: str, taken: set[str]) -> str:
    """An id like this that no other wish of the week has."""
    names = (wanted, *(f"{wanted[:70]}-{number}" for number in range(2, 1000)))
    return next(name for name in names if name not in taken)


def without_week(document: Document, ident: str) -> Document:
    """The document without a week."""
    kept = tuple(one for one in document.weeks if one.id != ident)
    return document.model_copy(update={"weeks": kept})


def with_week(document: Document, week: Week) -> Document:
    """The document with this week, in the place of the one with its id, in order of time."""
    others = (one for one in document.weeks if one.id != week.id)
    weeks = sorted((*others, week), key=lambda one: one.monday)
    try:
        return Document(household=document.household, activities=document.activities, weeks=tuple(weeks))
    except ValidationError as error:
        raise BadInput("the week does not fit the rest of the household's data", faults_of(error)) from error
