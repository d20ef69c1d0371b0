"""One pass over the week: the plan turns into a log."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from pydantic import BaseModel

from service.ahead.stock import logged, used_by
from service.errors import BadInput
from service.paper.lines import activity_of, lines_of
from service.paper.moments import date_of
from service.record.views import LOG, Draft, Friday, FridayLine, LogLine, Outcome
from service.store import Store
from service.store.changing import change
from service.store.entries import Entries, Entry, entry
from solver.domain.base import BookingId, ChildId, MaterialId
from solver.domain.document import Document
from solver.domain.faults import Fault
from solver.domain.plan import Booking, Plan
from solver.domain.week import Problem

TICK = "tick"
Said = Mapping[BookingId, Outcome]


class Ticked(BaseModel, frozen=True):
    """What the pass needs of a tick."""

    week: str
    booking: BookingId
    outcome: Outcome | None


@dataclass(frozen=True)
class Pass:
    """A week with its plan, and what its log holds already."""

    problem: Problem
    plan: Plan
    logged: dict[BookingId, tuple[LogLine, ...]]

    def happened(self, booking: BookingId) -> bool:
        """Whether the log says that it took place."""
        return any(line.outcome.happened for line in self.logged.get(booking, ()))

    def open_for(self, booking: Booking) -> set[ChildId]:
        """The children of whom the log says nothing yet: a refusal is written for one child alone."""
        known = {line.child for line in self.logged.get(booking.id, ())}
        return {one.child for one in booking.attends} - known


def pass_over(store: Store, problem: Problem, plan: Plan) -> Pass:
    """The week's plan with its log."""
    logged: dict[BookingId, list[LogLine]] = {}
    for line in Entries(store).all(LOG, LogLine):
        if line.week == plan.week and line.booking:
            logged.setdefault(line.booking, []).append(line)
    return Pass(problem, plan, {key: tuple(lines) for key, lines in logged.items()})


def ticked(store: Store, week: str) -> dict[BookingId, Outcome]:
    """How bookings were ticked on the page in the course of the week."""
    found = (one for one in Entries(store).all(TICK, Ticked) if one.week == week)
    return {one.booking: one.outcome for one in found if one.outcome}


def drafts(week: Pass, ticked: Said) -> Iterator[Draft]:
    """Every booking with children, with what is known of it."""
    for line in lines_of(week.problem, week.plan):
        booking = line.booking
        if not booking.attends:
            continue
        lines = week.logged.get(booking.id, ())
        minutes = {one.child: one.minutes for one in booking.attends}
        minutes |= {one.child: one.minutes for one in lines if one.outcome.happened}
        yield Draft(
            booking=booking.id,
            activity=booking.activity,
            title=line.title,
            date=date_of(week.problem.week.monday, booking.day),
            day=booking.day,
            minutes=minutes,
            outcome=_known(booking, lines, ticked),
            logged=len(lines) >= len(booking.attends),
            said=_said_before(booking.id, lines) if len(lines) >= len(booking.attends) else None,
        )


def _known(booking: Booking, lines: tuple[LogLine, ...], ticked: Said) -> Outcome | None:
    """What the log says of it, else its tick; one child's refusal alone does not speak for the others."""
    if 0 < len(lines) < len(booking.attends):
        return ticked.get(booking.id)
    return _outcome(lines) or ticked.get(booking.id)


def _said_before(booking: BookingId, lines: tuple[LogLine, ...]) -> FridayLine:
    """The log's lines of a booking as the one thing that was said of it."""
    first = lines[0]
    return FridayLine(
        booking=booking,
        outcome=_outcome(lines) or first.outcome,
        minutes={one.child: one.minutes for one in lines if one.outcome.happened},
        reasons={one.child: one.reason for one in lines if one.reason},
        setup_min=first.setup_min,
        cleanup_min=first.cleanup_min,
        counts=first.counts,
        note=first.note,
    )


def _outcome(lines: Iterable[LogLine]) -> Outcome | None:
    found = [line.outcome for line in lines]
    return next((one for one in found if one.happened), found[0] if found else None)


def keep_pass(store: Store, week: Pass, said: Friday) -> tuple[LogLine, ...]:
    """Write the log and take what was used from the cupboard, all or nothing; the lines written.

    Raises
    ------
    BadInput
        When a line names no booking of the plan, or a child that was not in it.
    """
    bookings = {booking.id: booking for booking in week.plan.bookings if booking.attends}
    _require_known(said.lines, bookings)
    lines = {line.booking: line for line in said.lines}
    if said.rest:
        open_ones = (ident for ident in bookings if ident not in lines and week.open_for(bookings[ident]))
        lines |= {ident: FridayLine(booking=ident, outcome=said.rest) for ident in open_ones}
    spoken = {line.booking for line in said.lines}
    written = tuple(
        one
        for ident, line in lines.items()
        for one in _log_lines(week, bookings[ident], line)
        if ident in spoken or one.child in week.open_for(bookings[ident])
    )
    said_of = {ident: bookings[ident] for ident in lines}

    def take_from_cupboard(document: Document) -> Document:
        # Looked at again under the lock, so that two tablets at once take what was used only once.
        known = pass_over(store, week.problem, week.plan)
        return logged(document, week.plan.week, _used(document, known, said_of, lines))

    change(store, f"the log of {week.plan.week} was written", take_from_cupboard, _entries(written))
    return written


def _entries(lines: Iterable[LogLine]) -> list[Entry]:
    return [entry(LOG, line.id, line, line.date.isoformat()) for line in lines]


def _require_known(lines: Iterable[FridayLine], bookings: Mapping[BookingId, Booking]) -> None:
    faults = []
    for index, line in enumerate(lines):
        booking = bookings.get(line.booking)
        if booking is None:
            message = f"the plan has no booking {line.booking!r} with children; read the week again"
            faults.append(Fault(path=f"lines[{index}].booking", message=message))
            continue
        there = {one.child for one in booking.attends}
        for child in [*line.minutes, *line.reasons]:
            if child not in there:
                message = f"{child!r} was not in it; there were {', '.join(sorted(there))}"
                faults.append(Fault(path=f"lines[{index}].minutes", message=message))
    if faults:
        raise BadInput(faults[0].message, faults)


def _log_lines(week: Pass, booking: Booking, said: FridayLine) -> Iterator[LogLine]:
    activity = activity_of(week.problem, booking)
    title = next(line.title for line in lines_of(week.problem, week.plan) if line.booking is booking)
    for one in booking.attends:
        yield LogLine(
            id=f"{week.plan.week} {booking.id} {one.child}",
            date=date_of(week.problem.week.monday, booking.day),
            child=one.child,
            title=title,
            outcome=said.outcome,
            minutes=_minutes(said, one.child, one.minutes),
            week=week.plan.week,
            booking=booking.id,
            activity=booking.activity,
            kind=activity.kind if activity else None,
            areas=activity.areas if activity else (),
            help=one.help,
            reason=said.reasons.get(one.child),
            planned_min=one.minutes,
            start=booking.start,
            setup_min=said.setup_min,
            cleanup_min=said.cleanup_min,
            counts=said.counts,
            note=said.note,
        )


def _minutes(said: FridayLine, child: ChildId, planned: int) -> int:
    return said.minutes.get(child, planned if said.outcome.happened else 0)


def _used(
    document: Document,
    week: Pass,
    bookings: Mapping[BookingId, Booking],
    lines: Mapping[BookingId, FridayLine],
) -> dict[MaterialId, int]:
    """What goes out of the cupboard (less than nothing) or, when the log is corrected, back in."""
    now_done = [
        b for ident, b in bookings.items() if lines[ident].outcome.happened and not week.happened(ident)
    ]
    undone = [
        b for ident, b in bookings.items() if not lines[ident].outcome.happened and week.happened(ident)
    ]
    out, back = used_by(document, now_done), used_by(document, undone)
    return {ident: back.get(ident, 0) - out.get(ident, 0) for ident in {*out, *back}}
