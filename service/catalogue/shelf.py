"""Changes to the catalogue: one activity, many from a table, a copy, putting away."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from pydantic import ValidationError

from service.errors import BadInput, NotFound
from service.printables.shelf import require_kept
from service.store import Store
from service.store.changing import change
from service.store.entries import Entries, entry
from service.store.same import require_same
from solver.domain.activity import Activity
from solver.domain.base import ActivityId, Frozen
from solver.domain.document import Document
from solver.domain.faults import Fault, faults_of

ARCHIVED = "archived_activity"


class Archived(Frozen):
    """An activity that is not offered any more; what was planned with it stays."""

    activity: ActivityId


class Imported(Frozen):
    """What a table brought."""

    added: tuple[ActivityId, ...]
    changed: tuple[ActivityId, ...]
    same: int


def activity_of(document: Document, ident: str) -> Activity:
    """The activity with this id.

    Raises
    ------
    NotFound
        When there is none.
    """
    found = next((one for one in document.activities if one.id == ident), None)
    if found is None:
        raise NotFound(f"there is no activity {ident[:80]!r}; /api/catalogue lists all")
    return found


def refitted(document: Document, activities: Iterable[Activity]) -> Document:
    """The document with other activities, checked again."""
    try:
        return Document(household=document.household, activities=tuple(activities), weeks=document.weeks)
    except ValidationError as error:
        raise BadInput("it does not fit the rest of the household's data", faults_of(error)) from error


def merged(document: Document, given: Iterable[Activity]) -> Document:
    """Given activities take the place of those with their id; new ones come last."""
    new = {one.id: one for one in given}
    kept = [new.pop(one.id, one) for one in document.activities]
    return refitted(document, [*kept, *new.values()])


def what_changes(document: Document, given: Iterable[Activity]) -> Imported:
    """What a table would bring."""
    known = {one.id: one for one in document.activities}
    new = tuple(given)
    added = tuple(one.id for one in new if one.id not in known)
    changed = tuple(one.id for one in new if one.id in known and known[one.id] != one)
    return Imported(added=added, changed=changed, same=len(new) - len(added) - len(changed))


def put_activities(store: Store, given: Iterable[Activity], what: str, known: str | None = None) -> Imported:
    """Keep activities, all or none; the printables that they name must be kept already.

    With ``known``, an If-Match, only while they are what the writer read.
    """
    new = tuple(given)
    require_kept(store, new)
    brings = what_changes(store.current().document, new)

    def edit(document: Document) -> Document:
        kept = {one.id: one for one in document.activities}
        for one in new:
            require_same(kept.get(one.id), known)
        return merged(document, new)

    change(store, what, edit)
    return brings


def copied(activity: Activity, taken: set[str]) -> Activity:
    """The same under an id and a title of its own."""
    number = next(n for n in range(2, 10_000) if f"{activity.id[:74]}-{n}" not in taken)
    fields = {name: getattr(activity, name) for name in Activity.model_fields}
    title = f"{activity.title[:190]} ({number})"
    return Activity.model_validate(fields | {"id": f"{activity.id[:74]}-{number}", "title": title})


def remove(store: Store, ident: str) -> None:
    """Take an activity out for good; refused while a week wishes for it."""
    document = store.current().document
    activity_of(document, ident)
    users = [week.id for week in document.weeks if any(wish.activity == ident for wish in week.wishes)]
    if users:
        message = f"{', '.join(users)} wish for it; take the wish out first, or put the activity away instead"
        raise BadInput(message, [Fault(path="activity", message=message)])
    change(store, f"the activity {ident} was taken out", _without(ident), removed=[(ARCHIVED, ident)])


def _without(ident: str) -> Callable[[Document], Document]:
    return lambda document: refitted(document, (one for one in document.activities if one.id != ident))


def put_away(store: Store, ident: str) -> None:
    """Offer it no longer."""
    activity = activity_of(store.current().document, ident)
    what = f"{activity.title} was put away"
    change(store, what, given=[entry(ARCHIVED, ident, Archived(activity=ident))])


def take_back_out(store: Store, ident: str) -> None:
    """Offer it again."""
    activity_of(store.current().document, ident)
    change(store, f"{ident} was taken out again", removed=[(ARCHIVED, ident)])


def archived(store: Store) -> set[str]:
    """Ids of what is put away."""
    return {one.activity for one in Entries(store).all(ARCHIVED, Archived)}
