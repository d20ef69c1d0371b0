"""Children and adults from their answers, with every default noted."""

from __future__ import annotations

import datetime
import re
import unicodedata
from collections.abc import Iterator

from service.errors import BadInput
from service.start.ages import (
    AASM,
    CRAWLS_FROM,
    CRAWLS_UNTIL,
    LEARNS_FROM,
    MOUTHS_UNTIL,
    STANDINGS,
    hours_asleep,
    sleep_at,
    usual_at,
    usual_bed,
)
from service.start.answers import Answers, ChildAnswer, Default, NapAnswer
from solver.domain.base import clock_text
from solver.domain.document import named_twice
from solver.domain.faults import Fault
from solver.domain.people import Adult, Child, Hours, Nap
from solver.domain.week import week_monday

WAKE = 6 * 60 + 45


def require_sense(answers: Answers) -> None:
    """Whether these people can be told apart and are born.

    Raises
    ------
    BadInput
        With every fault and its mend.
    """
    faults = [*_same_names(answers), *_unborn(answers)]
    # How they usually sleep hangs on their ages, which must be known first.
    faults = faults or [*_all_too_young(answers), *_sleepless(answers)]
    if faults:
        raise BadInput("some of the answers need mending", faults)


def _same_names(answers: Answers) -> Iterator[Fault]:
    children = ((f"children[{index}].name", one.name) for index, one in enumerate(answers.children))
    adults = ((f"adults[{index}].name", one.name) for index, one in enumerate(answers.adults))
    yield from named_twice([*children, *adults])


def _unborn(answers: Answers) -> Iterator[Fault]:
    monday = week_monday(answers.week)
    for index, one in enumerate(answers.children):
        if one.birth_month > f"{monday.year}-{monday.month:02d}":
            message = f"{one.birth_month} is after the week {answers.week}; correct the year or the month"
            yield Fault(path=f"children[{index}].birth_month", message=message)


def _all_too_young(answers: Answers) -> Iterator[Fault]:
    monday = week_monday(answers.week)
    if all(age_months(one.birth_month, monday) < LEARNS_FROM for one in answers.children):
        message = f"Lapful plans for children from {LEARNS_FROM} months; name a child of that age too"
        yield Fault(path="children", message=message)


def _sleepless(answers: Answers) -> Iterator[Fault]:
    monday = week_monday(answers.week)
    for index, one in enumerate(answers.children):
        path = f"children[{index}]"
        wake, naps, bed = _sleep_of(one, age_months(one.birth_month, monday))
        if bed <= wake:
            message = f"{one.name} goes to bed before waking; set a bedtime later than {clock_text(wake)}"
            yield Fault(path=f"{path}.bed", message=message)
            continue
        for number, nap in enumerate(one.naps or ()):
            if nap.start < wake or nap.start + nap.length_min > bed:
                message = f"this nap lies outside {one.name}'s day, {clock_text(wake)} to {clock_text(bed)}"
                yield Fault(path=f"{path}.naps[{number}].start", message=f"{message}; move or shorten it")
        yield from _naps_at_once(path, naps)


def _naps_at_once(path: str, naps: tuple[Nap, ...]) -> Iterator[Fault]:
    for number, nap in enumerate(naps):
        if any(other.start < nap.end and nap.start < other.end for other in naps[:number]):
            message = "two naps overlap; move this one, or take it out"
            yield Fault(path=f"{path}.naps[{number}].start", message=message)


def _sleep_of(answer: ChildAnswer, months: int) -> tuple[int, tuple[Nap, ...], int]:
    """When a child wakes, naps and goes to bed: as answered, else as is usual."""
    usual = usual_at(months)
    wake = WAKE if answer.wake is None else answer.wake
    naps = usual.naps if answer.naps is None else tuple(_nap(one, usual.naps) for one in answer.naps)
    return wake, naps, usual_bed(months, wake, naps) if answer.bed is None else answer.bed


def age_months(birth_month: str, monday: datetime.date) -> int:
    """Whole months of age at the week's Monday."""
    year, month = (int(part) for part in birth_month.split("-"))
    return max(0, (monday.year - year) * 12 + monday.month - month)


def ids_for(names: list[str], word: str) -> list[str]:
    """An id for each name: its letters where it has any, else a number."""
    found: list[str] = []
    for number, name in enumerate(names, 1):
        plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
        base = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40] or f"{word}-{number}"
        found.append(base if base not in found else f"{base}-{number}")
    return found


def child_of(answer: ChildAnswer, ident: str, monday: datetime.date) -> Child:
    """A child with what is usual at this age wherever nothing was answered."""
    months = age_months(answer.birth_month, monday)
    usual = usual_at(months)
    wake, naps, bed = _sleep_of(answer, months)
    return Child(
        id=ident,
        name=answer.name,
        birth_month=answer.birth_month,
        learner=months >= LEARNS_FROM,
        wake=wake,
        bed=bed,
        naps=naps,
        attention=usual.attention,
        alone_min=usual.alone_min,
        mouths_things=months < MOUTHS_UNTIL,
        crawls=CRAWLS_FROM <= months < CRAWLS_UNTIL,
        allergies=answer.allergies,
    )


def _nap(answer: NapAnswer, usual: tuple[Nap, ...]) -> Nap:
    often = usual[-1].days_of_seven if usual else 4
    given = answer.days_of_seven
    return Nap(
        start=answer.start, length_min=answer.length_min, days_of_seven=often if given is None else given
    )


def child_defaults(answer: ChildAnswer, child: Child, path: str) -> Iterator[Default]:
    """What was taken for a child without being asked."""
    if answer.bed is None:
        yield _default(path, "bed", f"{child.name}: bed at {clock_text(child.bed)}")
    if answer.wake is None:
        yield _default(path, "wake", f"{child.name}: awake at {clock_text(child.wake)}")
    if answer.naps is None:
        yield _default(path, "naps", f"{child.name}: {_naps_text(child)}")
    spans = child.attention
    focus = f"listens {spans.listening_min} min, at the table {spans.table_min}, busy hands {spans.hands_min}"
    yield _default(path, "attention", f"{child.name}: {focus}")
    yield _default(path, "alone_min", f"{child.name}: {child.alone_min} min alone in earshot")
    if child.mouths_things:
        yield _default(path, "mouths_things", f"{child.name} puts things in the mouth")
    if child.crawls:
        yield _default(path, "crawls", f"{child.name} gets at what lies on the floor")
    if not child.learner:
        yield _default(path, "learner", f"{child.name} has no sittings of their own yet")


def _naps_text(child: Child) -> str:
    said = [
        f"nap {clock_text(nap.start)} for {nap.length_min} min, {nap.days_of_seven} of 7 days"
        for nap in child.naps
    ]
    return " and ".join(said) or "no nap"


def _default(path: str, what: str, says: str) -> Default:
    standing, source = STANDINGS[what]
    return Default(path=f"{path}.{what}", says=says, standing=standing, source=source)


def sleep_note(child: Child, monday: datetime.date) -> str:
    """A gentle word when the answers lie outside what is advised, or nothing."""
    band = sleep_at(age_months(child.birth_month, monday))
    slept = hours_asleep(child.wake, child.bed, child.naps)
    if band is None or band.least_h <= slept <= band.most_h:
        return ""
    return (
        f"{child.name} would sleep about {slept:.1f} hours in 24; {band.least_h:g} to {band.most_h:g} are "
        f"advised at this age ({AASM}). Children differ; your own doctor knows yours."
    )


def adults_of(answers: Answers, ids: list[str]) -> tuple[Adult, ...]:
    """The adults, each with the hours given."""
    return tuple(
        Adult(
            id=ident,
            name=one.name,
            hours=tuple(Hours(days=hours.days, start=hours.start, end=hours.end) for hours in one.hours),
        )
        for ident, one in zip(ids, answers.adults, strict=True)
    )
