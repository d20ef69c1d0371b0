"""Things that are otherwise than thought: a place, a tool, the sky, wet paint."""

from __future__ import annotations

from dataclasses import replace

from solver.aftermath.state import (
    Aftermath,
    booking_of,
    from_now,
)
from solver.clock import minutes_of, slots_up
from solver.domain.base import DAY_MIN, DAYS
from solver.domain.mishap import (
    Missing,
    SkyTurned,
    StillWet,
)
from solver.domain.week import (
    Gone,
    LongerWait,
    Sky,
)


def missing(after: Aftermath, missing: Missing) -> Aftermath:
    """A place is closed, a tool or supply is not there; known substitutes are named."""
    day = missing.day or (after.now.day if after.now else DAYS[0])
    days = (day,) if missing.day else DAYS[day.index :]
    thing = next((m for m in after.problem.household.materials if m.id == missing.what), None)
    notes = (
        [f"Instead of {thing.name}: {', '.join(thing.substitutes)}."] if thing and thing.substitutes else []
    )
    gone = (*after.problem.week.overrides.gone, Gone(what=missing.what, days=days))
    after = after.with_overrides(gone=gone)
    return replace(after, notes=(*after.notes, *notes), no_fuller_after=day)


def sky_turned(after: Aftermath, turned: SkyTurned) -> Aftermath:
    turned = turned.model_copy(update={"start": max(turned.start, from_now(after, turned.day))})
    if turned.start >= turned.end:
        return after
    flags = turned.model_dump(exclude={"kind", "day", "start", "end"})
    spared = [piece for piece in after.problem.week.sky if not piece.on(turned.day)]
    for piece in after.problem.week.sky:
        if piece.on(turned.day):
            others = tuple(d for d in (piece.days or DAYS) if d is not turned.day)
            spared += [piece.model_copy(update={"days": others})] if others else []
            spared += _outside(piece, turned)
    new = Sky(days=(turned.day,), start=turned.start, end=turned.end, **flags)
    return replace(after.with_week(sky=(*spared, new)), no_fuller_after=turned.day)


def _outside(piece: Sky, turned: SkyTurned) -> list[Sky]:
    edges = ((piece.start, min(piece.end, turned.start)), (max(piece.start, turned.end), piece.end))
    return [
        piece.model_copy(update={"days": (turned.day,), "start": start, "end": end})
        for start, end in edges
        if start < end
    ]


def still_wet(after: Aftermath, wet: StillWet) -> Aftermath:
    booking = booking_of(after.plan, wet.booking)
    activity = next(a for a in after.problem.activities if a.id == booking.activity)
    if booking.sitting >= len(activity.waits):
        return after
    least = activity.waits[booking.sitting].least_min + wet.minutes
    longer = LongerWait(activity=activity.id, after_sitting=booking.sitting, least_min=least)
    ready = booking.day.index * DAY_MIN + minutes_of(slots_up(booking.start + booking.minutes)) + least
    following = f"{booking.wish}.{booking.go + 1}.{booking.sitting + 2}"
    after = after.with_overrides(longer_waits=(*after.problem.week.overrides.longer_waits, longer))
    return replace(after, not_before={**after.not_before, following: ready})
