"""What the log says about the children: naps that failed, why they would not, their good hours."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from statistics import median_low

from service.learning.durations import name_of
from service.learning.views import LATEST, LEAST, Evidence, Found, Proposal, ProposalKind
from service.paper.moments import date_of
from service.record.views import LogLine, Outcome, Refusal
from solver.domain.activity import Focus
from solver.domain.base import ChildId, Window, clock_text
from solver.domain.document import Document
from solver.domain.people import Child, Nap

NAP_DAYS = 14
"""Failed naps are counted over so many days."""
_OF_THE_FORM = (Refusal.STICKY, Refusal.LOUD)
_ENOUGH = 5
_BLOCK_H = 2
Edit = Callable[[Document], Document]


def with_child(ident: ChildId, change: Callable[[Child], Child]) -> Edit:
    """The edit that changes one child."""

    def edit(document: Document) -> Document:
        house = document.household
        children = tuple(change(one) if one.id == ident else one for one in house.children)
        changed = type(house).model_validate(dict(house) | {"children": children})
        return document.model_copy(update={"household": changed})

    return edit


def failed_naps(document: Document, until: datetime.date) -> Iterator[Found]:
    """A nap that failed three times in a fortnight is trusted less."""
    since = until - datetime.timedelta(days=NAP_DAYS)
    for child in document.household.children:
        for nap in child.naps:
            dates = sorted(date for date in _failures(document, child.id, nap) if since < date <= until)
            held = round(nap.days_of_seven * NAP_DAYS / 7) - len(dates)
            now = max(0, round(7 * held / NAP_DAYS))
            if len(dates) >= LEAST and now < nap.days_of_seven:
                yield _nap_found(child, nap, now, dates)


def _failures(document: Document, child: ChildId, nap: Nap) -> Iterator[datetime.date]:
    for week in document.weeks:
        for change in week.naps:
            if change.child == child and change.usual_start == nap.start and change.start is None:
                yield date_of(week.monday, change.day)


def _nap_found(child: Child, nap: Nap, now: int, dates: list[datetime.date]) -> Found:
    def change(one: Child) -> Child:
        naps = tuple(
            other.model_copy(update={"days_of_seven": now}) if other.start == nap.start else other
            for other in one.naps
        )
        return one.model_copy(update={"naps": naps})

    sentence = (
        f"{child.name}'s nap at {clock_text(nap.start)} failed {len(dates)} times in a fortnight: count on "
        f"{now} of 7 days instead of {nap.days_of_seven}? Time alone with another child is then better kept "
        "where a second adult is there."
    )
    return _found(
        ProposalKind.NAP,
        (child.id, nap.start),
        sentence,
        (f"{nap.days_of_seven} of 7 days", f"{now} of 7 days"),
        "expected naps of a fortnight less those that failed",
        [(date, "no sleep") for date in dates],
        with_child(child.id, change),
    )


def refusals(document: Document, lines: Iterable[LogLine]) -> Iterator[Found]:
    """The same reason three times is about the form, not the topic."""
    children = {child.id: child for child in document.household.children}
    by_reason: dict[tuple[ChildId, Refusal], list[LogLine]] = defaultdict(list)
    for line in sorted(lines, key=lambda one: one.date):
        if line.reason and line.child in children:
            by_reason[line.child, line.reason].append(line)
    for (ident, reason), some in by_reason.items():
        child = children[ident]
        if len(some) < LEAST:
            continue
        if reason in _OF_THE_FORM and reason.value not in child.dislikes:
            yield _dislike(child, reason, some)
        if reason is Refusal.TOO_LONG:
            yield from _shorter(document, child, some)


def _dislike(child: Child, reason: Refusal, lines: list[LogLine]) -> Found:
    def change(one: Child) -> Child:
        return one.model_copy(update={"dislikes": (*one.dislikes, reason.value)})

    return _found(
        ProposalKind.DISLIKE,
        (child.id, reason.value),
        f"{child.name} would not {len(lines)} times because it was {reason.value}: note that as a dislike?",
        (", ".join(child.dislikes) or "none yet", f"{reason.value} things"),
        f"the same reason at least {LEAST} times",
        [(line.date, line.title) for line in lines[-LATEST:]],
        with_child(child.id, change),
    )


def _shorter(document: Document, child: Child, lines: list[LogLine]) -> Iterator[Found]:
    focus = {one.id: one.focus for one in document.activities}
    by_focus: dict[Focus, list[LogLine]] = defaultdict(list)
    for line in lines:
        meant = focus.get(line.activity or "", Focus.FREE)
        if meant is not Focus.FREE and line.minutes:
            by_focus[meant].append(line)
    for meant, some in by_focus.items():
        field = f"{meant.value}_min"
        was = int(getattr(child.attention, field))
        now = median_low([line.minutes for line in some][-LATEST:])
        if len(some) >= LEAST and now < was:
            yield _span_found(child, meant, (was, now), some)


def _span_found(child: Child, meant: Focus, minutes: tuple[int, int], lines: list[LogLine]) -> Found:
    was, now = minutes

    def change(one: Child) -> Child:
        spans = one.attention.model_copy(update={f"{meant.value}_min": now})
        return one.model_copy(update={"attention": spans})

    return _found(
        ProposalKind.SPAN,
        (child.id, meant.value),
        f"{meant.value.capitalize()} was too long for {child.name} {len(lines)} times; "
        f"they stayed {now}, not {was} minutes: use {now}?",
        (f"{was} min", f"{now} min"),
        f"the median of the latest {LATEST} times that were too long",
        [(line.date, f"{line.minutes} min") for line in lines[-LATEST:]],
        with_child(child.id, change),
    )


def hours(document: Document, lines: Iterable[LogLine]) -> Iterator[Found]:
    """Two hours in which focused things are mostly loved, or mostly refused."""
    focused = {one.id for one in document.activities if one.focus.focused}
    blocks: dict[tuple[ChildId, int], list[LogLine]] = defaultdict(list)
    for line in lines:
        if line.activity in focused and line.start is not None and line.outcome is not Outcome.NOT:
            blocks[line.child, line.start // (60 * _BLOCK_H)].append(line)
    for child in document.household.children:
        for (ident, block), some in sorted(blocks.items()):
            if ident == child.id and len(some) >= _ENOUGH:
                yield from _hours_found(child, block, some)


def _hours_found(child: Child, block: int, lines: list[LogLine]) -> Iterator[Found]:
    window = Window(start=block * 60 * _BLOCK_H, end=(block + 1) * 60 * _BLOCK_H)
    known = child.good_hours + child.low_hours
    if any(one.start < window.end and window.start < one.end for one in known):
        return
    shares = (
        (ProposalKind.GOOD_HOURS, "good_hours", "loved", 0.6, Outcome.LOVED),
        (ProposalKind.LOW_HOURS, "low_hours", "refused", 0.5, Outcome.NO),
    )
    for kind, field, word, least, outcome in shares:
        met = [line for line in lines if line.outcome is outcome]
        if len(met) >= least * len(lines):
            when = f"{clock_text(window.start)} to {clock_text(window.end)}"
            said = f"Between {when} {child.name} {word} {len(met)} of {len(lines)} focused things"
            yield _found(
                kind,
                (child.id, block),
                f"{said}: note these as {kind.value}?",
                ("not noted", when),
                f"at least {_ENOUGH} focused things in these two hours, {least:.0%} of them {word}",
                [(line.date, line.title) for line in met[-LATEST:]],
                with_child(child.id, _hours_edit(field, window)),
            )


def _hours_edit(field: str, window: Window) -> Callable[[Child], Child]:
    return lambda one: one.model_copy(update={field: (*getattr(one, field), window)})


def _found(
    kind: ProposalKind,
    subject: tuple[object, ...],
    sentence: str,
    change: tuple[str, str],
    how: str,
    evidence: list[tuple[datetime.date, str]],
    edit: Edit,
) -> Found:
    proposal = Proposal(
        id=name_of(kind.value, *subject),
        kind=kind,
        sentence=sentence,
        was=change[0],
        now=change[1],
        how=how,
        evidence=tuple(Evidence(date=date, value=value) for date, value in evidence),
    )
    return Found(proposal, edit)
