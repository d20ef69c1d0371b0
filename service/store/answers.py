"""What was said to suggestions: kept, so that nobody is asked again soon, and to be taken back."""

from __future__ import annotations

from typing import Literal

from service.errors import NotFound
from service.mends.suggest import SMALLER_WEEK, Answer, Suggestion, suggestions, to_make_smaller
from service.store.changing import as_it_is, change
from service.store.entries import Entries, Entry, entry
from service.store.kept import Store
from solver.domain.document import Document

KIND = "suggestion"


def answers_of(store: Store) -> tuple[Answer, ...]:
    """Every answer, the oldest first."""
    return Entries(store).all(KIND, Answer)


def put_aside(store: Store, week: str, ident: str) -> None:
    """Leave a suggestion, for a while."""
    change(store, "a suggestion was put aside", as_it_is, (_answered(_open(store, week, ident), "no"),))


def take_smaller_weeks(store: Store, week: str) -> None:
    """Make the coming weeks smaller; this one where no other is made yet."""
    found = _open(store, week, SMALLER_WEEK)

    def smaller(document: Document) -> Document:
        chosen = {one.id for one in to_make_smaller(document, week)}
        weeks = tuple(
            one.model_copy(update={"smaller": True}) if one.id in chosen else one for one in document.weeks
        )
        return document.model_copy(update={"weeks": weeks})

    change(store, "the coming weeks were made smaller", smaller, (_answered(found, "yes"),))


def _answered(found: Suggestion, answer: Literal["yes", "no"]) -> Entry:
    given = Answer(id=found.id, answer=answer, day=found.days[-1])
    return entry(KIND, f"{found.id}:{given.day}", given, day=given.day.isoformat())


def _open(store: Store, week: str, ident: str) -> Suggestion:
    document = store.current().document
    stored = store.latest_plan(week)
    plan = stored.plan if stored else None
    for one in suggestions(document, document.problem(week), plan, answers_of(store)):
        if one.id == ident:
            return one
    raise NotFound("nothing like that is suggested just now")
