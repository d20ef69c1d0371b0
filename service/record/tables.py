"""The record as tables."""

from __future__ import annotations

from collections.abc import Iterable

from service.paper.cells import Table
from service.record.areas import OWN_MARK
from service.record.views import LogLine, Observation, SubjectMinutes
from solver.domain.week import Household


def record_tables(
    house: Household,
    lines: Iterable[LogLine],
    subjects: Iterable[SubjectMinutes],
    observations: Iterable[Observation],
) -> tuple[Table, ...]:
    """Log, minutes by area, observations."""
    names = {child.id: child.name for child in house.children}
    log = tuple(
        (
            line.date.isoformat(),
            names.get(line.child, line.child),
            line.title,
            line.outcome.value,
            line.minutes,
            ", ".join(line.areas),
            line.reason.value if line.reason else "",
            "yes" if line.counts else "no",
            line.note,
        )
        for line in lines
    )
    areas = tuple(
        (
            names.get(one.child, one.child),
            one.subject.name,
            OWN_MARK if one.subject.own else "",
            one.minutes,
            one.times,
        )
        for one in subjects
    )
    seen = tuple(
        (
            one.date.isoformat(),
            names.get(one.child, one.child),
            one.skill,
            one.level.value,
            one.area or "",
            one.seen,
        )
        for one in observations
    )
    head = ("date", "child", "what", "how it went", "minutes", "areas", "why not", "counts", "note")
    return (
        Table("log", head, log),
        Table("by area", ("child", "area", "standing", "minutes", "times"), areas),
        Table("seen", ("date", "child", "skill", "how far", "area", "what was seen"), seen),
    )
