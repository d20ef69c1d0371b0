"""Real minutes against planned ones."""

from __future__ import annotations

import datetime
import hashlib
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from statistics import median_low

from service.learning.views import LATEST, LEAST, Evidence, Found, Proposal, ProposalKind
from service.record.views import LogLine
from solver.domain.activity import Activity, Part, Sitting
from solver.domain.base import ActivityId
from solver.domain.document import Document

WORTH_SAYING = 0.25
"""A difference of a quarter, and of three minutes at least, is worth a question."""
HOW = f"the median of the latest {LATEST} times, once there are {LEAST}"


def name_of(*parts: object) -> str:
    """The same name for the same proposal, whatever it proposes this week."""
    return hashlib.sha256("|".join(map(str, parts)).encode()).hexdigest()[:16]


def apart(was: int, now: int) -> bool:
    """Whether two durations differ so much that it is worth a question."""
    return abs(now - was) >= max(3, WORTH_SAYING * was)


def durations(document: Document, lines: Iterable[LogLine]) -> Iterator[Found]:
    """Proposals on laying out, doing and clearing."""
    known = {one.id: one for one in document.activities}
    by_sitting: dict[tuple[ActivityId, int], list[LogLine]] = defaultdict(list)
    for line in sorted(lines, key=lambda one: one.date):
        place = sitting_index(line)
        if line.outcome.happened and line.activity in known and place is not None:
            by_sitting[known[line.activity].id, place].append(line)
    for (ident, index), some in sorted(by_sitting.items()):
        activity = known[ident]
        if index < len(activity.sittings):
            yield from _around(activity, index, some, ProposalKind.SETUP)
            yield from _around(activity, index, some, ProposalKind.CLEANUP)
            yield from _parts(document, activity, index, some)


def sitting_index(line: LogLine) -> int | None:
    """Which sitting a line is of, by the booking's own name (wish.go.sitting)."""
    last = (line.booking or "").rpartition(".")[2]
    return int(last) - 1 if last.isdecimal() and int(last) > 0 else None


def _around(activity: Activity, index: int, lines: list[LogLine], kind: ProposalKind) -> Iterator[Found]:
    field = "setup_min" if kind is ProposalKind.SETUP else "cleanup_min"
    # A booking is laid out and cleared once, however many children it has.
    looked = {line.booking: line for line in lines if getattr(line, field) is not None}
    values = [(line.date, int(getattr(line, field))) for line in looked.values()][-LATEST:]
    sitting = activity.sittings[index]
    was = int(getattr(sitting, field))
    yield from _proposed(
        kind,
        (activity.id, index),
        f"{activity.title}, {sitting.name}: {kind.value}",
        was,
        values,
        lambda now: _with_sitting(activity.id, index, lambda one: one.model_copy(update={field: now})),
    )


def _parts(document: Document, activity: Activity, index: int, lines: list[LogLine]) -> Iterator[Found]:
    children = {child.id: child for child in document.household.children}
    sitting = activity.sittings[index]
    by_version: dict[str, list[LogLine]] = defaultdict(list)
    for line in lines:
        child = children.get(line.child)
        version = activity.version_for(child.age_months(line.date.year, line.date.month)) if child else None
        # A child cut short by a safety limit says nothing about how long the thing takes.
        if version and version.id in sitting.parts and line.planned_min == sitting.parts[version.id].minutes:
            by_version[version.id].append(line)
    for version_id, some in sorted(by_version.items()):
        values = [(line.date, line.minutes) for line in some][-LATEST:]
        yield from _proposed(
            ProposalKind.MINUTES,
            (activity.id, index, version_id),
            f"{activity.title}, {sitting.name} ({version_id})",
            sitting.parts[version_id].minutes,
            values,
            _part_edit(activity.id, index, version_id),
        )


def _part_edit(
    ident: ActivityId, index: int, version: str
) -> Callable[[int], Callable[[Document], Document]]:
    def with_minutes(now: int) -> Callable[[Document], Document]:
        def change(sitting: Sitting) -> Sitting:
            part = Part(minutes=max(1, now), help=sitting.parts[version].help)
            return sitting.model_copy(update={"parts": {**sitting.parts, version: part}})

        return _with_sitting(ident, index, change)

    return with_minutes


def _proposed(
    kind: ProposalKind,
    subject: tuple[object, ...],
    what: str,
    was: int,
    values: list[tuple[datetime.date, int]],
    edit: Callable[[int], Callable[[Document], Document]],
) -> Iterator[Found]:
    if len(values) < LEAST:
        return
    now = median_low([value for _, value in values])
    if not apart(was, now):
        return
    proposal = Proposal(
        id=name_of(kind.value, *subject),
        kind=kind,
        sentence=f"{what} took {now}, not {was}, {_times(values, was, now)}: use {now}?",
        was=f"{was} min",
        now=f"{now} min",
        how=HOW,
        evidence=tuple(Evidence(date=date, value=f"{value} min") for date, value in values),
    )
    yield Found(proposal, edit(now))


def _times(values: list[tuple[datetime.date, int]], was: int, now: int) -> str:
    nearer = sum(abs(value - now) <= abs(value - was) for _, value in values)
    words = {3: "three", 4: "four", 5: "five"}
    return f"{words.get(nearer, str(nearer))} times"


def _with_sitting(
    ident: ActivityId, index: int, change: Callable[[Sitting], Sitting]
) -> Callable[[Document], Document]:
    def edit(document: Document) -> Document:
        activities = tuple(
            _changed(one, index, change) if one.id == ident else one for one in document.activities
        )
        return document.model_copy(update={"activities": activities})

    return edit


def _changed(activity: Activity, index: int, change: Callable[[Sitting], Sitting]) -> Activity:
    sittings = tuple(change(one) if at == index else one for at, one in enumerate(activity.sittings))
    return activity.model_copy(update={"sittings": sittings})
