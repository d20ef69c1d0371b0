"""One child and one period on paper: what was done, how it went, what was seen."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from itertools import groupby

from service.paper.html import each, listed, page, section, tag, text
from service.record.areas import KINDERGARTEN, OWN_MARK, SOURCE
from service.record.minutes import LAW, by_subject, progress, week_of_line
from service.record.picture import balance
from service.record.views import LogLine, Observation, RecordRule, RuleKind, SubjectMinutes
from solver.domain.people import Child
from solver.domain.week import Household


def portfolio(
    house: Household,
    child: Child,
    period: tuple[datetime.date, datetime.date],
    lines: Iterable[LogLine],
    observations: Iterable[Observation],
    rules: Iterable[RecordRule],
    *,
    linked: bool = False,
) -> str:
    """The portfolio as a document of its own."""
    since, until = period
    mine = [line for line in lines if line.child == child.id and since <= line.date <= until]
    seen = [one for one in observations if one.child == child.id and since <= one.date <= until]
    subjects = by_subject(house, mine)
    weeks = tuple(sorted({week_of_line(line) for line in mine}))
    span = f"{since.isoformat()} to {until.isoformat()}"
    parts = (
        section("Days and hours", listed(_progress(child, mine, rules))),
        section("By area", _subjects(subjects)),
        section("By week", balance(subjects, weeks, f"{child.name} by area and week") if subjects else ""),
        section("What was seen", _observations(seen)),
        section("What was done", _done(mine)),
        section("Where it goes on", listed(_cross_walk(subjects))),
    )
    title = f"{child.name}, {span}"
    head = tag("header", tag("h1", text(child.name)) + tag("span", text(span)), "head")
    foot = tag("p", text(f"{LAW} Areas by: {SOURCE}; others are {OWN_MARK}."), "advice")
    return page(title, head + "".join(parts) + foot, "upright", linked=linked)


def _progress(child: Child, lines: list[LogLine], rules: Iterable[RecordRule]) -> Iterator[str]:
    happened = [line for line in lines if line.outcome.happened]
    hours = sum(line.minutes for line in happened) / 60
    yield text(f"{len({line.date for line in happened})} days, {hours:.1f} hours in this time")
    for rule in rules:
        if rule.child == child.id and rule.kind is not RuleKind.NONE:
            stand = progress(rule, lines)
            count = stand.days if rule.kind is RuleKind.DAYS else stand.hours
            what = f"{count:g} of {rule.target} {rule.kind.value}, {rule.since} to {rule.until}. {stand.note}"
            yield text(what)


def _subjects(subjects: tuple[SubjectMinutes, ...]) -> str:
    rows = (
        f"<tr><td>{text(one.subject.name)}</td><td>{text(OWN_MARK if one.subject.own else '')}</td>"
        f"<td>{one.minutes} min</td><td>{one.times} times</td></tr>"
        for one in subjects
    )
    return tag("table", "".join(rows)) if subjects else ""


def _observations(seen: list[Observation]) -> str:
    ordered = sorted(seen, key=lambda one: (one.skill, one.date))
    items = []
    for skill, some in groupby(ordered, key=lambda one: one.skill):
        items.append(f"{tag('strong', text(skill))}: {each((_step(one) for one in some), '; ')}")
    return listed(items)


def _step(one: Observation) -> str:
    return f"{one.date.isoformat()} {one.level.value}" + (f" ({one.seen})" if one.seen else "")


def _done(lines: list[LogLine]) -> str:
    rows = (
        f"<tr><td>{line.date.isoformat()}</td><td>{text(line.title)}</td><td>{line.minutes} min</td>"
        f"<td>{text('loved' if line.outcome.value == 'loved' else '')}</td><td>{text(line.note)}</td></tr>"
        for line in sorted(lines, key=lambda one: (one.date, one.id))
        if line.outcome.happened
    )
    inner = "".join(rows)
    return tag("table", inner) if inner else ""


def _cross_walk(subjects: tuple[SubjectMinutes, ...]) -> Iterator[str]:
    met = {one.subject.name for one in subjects}
    for one in KINDERGARTEN:
        if one.domain.value in met:
            said = f"{text(one.goes_on_in)} <em>({tag('span', text(one.standing))})</em>"
            yield f"{tag('strong', text(one.domain.value))}: {said}"
