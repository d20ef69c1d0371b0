"""What was said to suggestions: kept, so that nobody is asked again soon, and to be taken back."""

from __future__ import annotations

from service.errors import NotFound
from service.mends.suggest import SMALLER_WEEK, Answer, Suggestion, suggestions, to_make_smaller
from service.store.changing import as_it_is, change
from service.store.entries import Entries, entry
from service.store.kept import Store
from solver.domain.document import Document

KIND = "suggestion"


def answers_of(store: Store) -> tuple[Answer, ...]:
    """Every answer, the oldest first."""
    return Entries(store).all(KIND, Answer)


def put_aside(store: Store, week: str, ident: str) -> None:
    """Leave a suggestion, for a while."""
    _answer(store, _open(store, week, ident), "no", "a suggestion was put aside")


def take_smaller_weeks(store: Store, week: str) -> None:
    """Make the coming weeks smaller; this one where no other is made yet."""
    found = _open(store, week, SMALLER_WEEK)

    def smaller(document: Document) -> Document:
        chosen = {one.id for one in to_make_smaller(document, week)}
        weeks = tuple(
            one.model_copy(update={"smaller": True}) if one.id in chosen else one for one in document.weeks
        )
        return document.model_copy(update={"weeks": weeks})

    given = Answer(id=found.id, answer="yes", day=found.days[-1])
    kept = entry(KIND, f"{found.id}:{given.day}", given, day=given.day.isoformat())
    change(store, "the coming weeks were made smaller", smaller, (kept,))


def _answer(store: Store, found: Suggestion, answer: str, what: str) -> None:
    given = Answer.model_validate({"id": found.id, "answer": answer, "day": found.days[-1]})
    kept = entry(KIND, f"{found.id}:{given.day}", given, day=given.day.isoformat())
    change(store, what, as_it_is, (kept,))


def _open(store: Store, week: str, ident: str) -> Suggestion:
    document = store.current().document
    stored = store.latest_plan(week)
    plan = stored.plan if stored else None
    for one in suggestions(document, document.problem(week), plan, answers_of(store)):
        if one.id == ident:
            return one
    raise NotFound("nothing like that is suggested just now")
