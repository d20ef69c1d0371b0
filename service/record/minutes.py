"""Minutes by domain and tag, days and hours by the family's own rule."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from service.record.areas import Subject, subject_of
from service.record.views import LogLine, RecordRule, RuleKind, RuleProgress, SubjectMinutes
from solver.domain.base import ChildId
from solver.domain.week import Household

LAW = "This is your own rule, not legal advice: check your local law."


def shares(minutes: int, parts: int) -> list[int]:
    """Minutes shared as evenly as whole minutes can be; they add up to what was shared."""
    if parts == 0:
        return []
    each, rest = divmod(minutes, parts)
    return [each + (1 if index < rest else 0) for index in range(parts)]


def by_subject(house: Household, lines: Iterable[LogLine]) -> tuple[SubjectMinutes, ...]:
    """Minutes of each child under each domain or tag.

    What belongs to several areas shares its minutes among them, so that no minute counts twice.
    """
    totals: dict[tuple[ChildId, Subject], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    times: dict[tuple[ChildId, Subject], int] = defaultdict(int)
    for line in lines:
        if line.outcome.happened:
            for subject, minutes in _shared(house, line):
                totals[line.child, subject][week_of_line(line)] += minutes
                times[line.child, subject] += 1
    order = {child.id: index for index, child in enumerate(house.children)}
    ranked = sorted(totals, key=lambda key: (order.get(key[0], 99), key[1].own, key[1].name))
    return tuple(
        SubjectMinutes(
            child=child,
            subject=subject,
            minutes=sum(totals[child, subject].values()),
            times=times[child, subject],
            by_week=dict(sorted(totals[child, subject].items())),
        )
        for child, subject in ranked
    )


def _shared(house: Household, line: LogLine) -> Iterator[tuple[Subject, int]]:
    areas = line.areas or ("no area",)
    found = [subject_of(area, line.kind, house.areas) for area in areas]
    subjects = list(dict.fromkeys(found))
    yield from zip(subjects, shares(line.minutes, len(subjects)), strict=True)


def week_of_line(line: LogLine) -> str:
    """The ISO week of a line's day."""
    year, week, _ = line.date.isocalendar()
    return f"{year}-W{week:02d}"


def progress(rule: RecordRule, lines: Iterable[LogLine]) -> RuleProgress:
    """Days and hours that count by the family's own rule."""
    mine = [
        line
        for line in lines
        if line.child == rule.child
        and line.counts
        and line.outcome.happened
        and rule.since <= line.date <= rule.until
        and (not rule.areas or set(rule.areas) & set(line.areas))
    ]
    return RuleProgress(
        rule=rule,
        days=len({line.date for line in mine}),
        hours=round(sum(line.minutes for line in mine) / 60, 2),
        each=each(rule.target, rule.over) if rule.kind is not RuleKind.NONE else None,
        note=_note(rule),
    )


def each(target: int, over: int) -> float | None:
    """The target divided by what it is spread over: 900 hours over 180 days are 5 a day."""
    return round(target / over, 2) if over else None


def _note(rule: RecordRule) -> str:
    source = f" You read it here: {rule.source}" if rule.source else " No source is noted for it."
    dated = f", on {rule.source_date.isoformat()}." if rule.source and rule.source_date else "."
    return f"{LAW}{source}{dated if rule.source else ''}"
