"""The catalogue over HTTP."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Body, Path, Query, Request, Response

from service.catalogue import shelf
from service.catalogue.scaling import Amount, Scaled, amounts, scaled
from service.catalogue.sheet import read, written
from service.catalogue.shelf import Imported
from service.errors import BadInput
from service.paper.answers import TABLE_FILE, TABLE_TYPES, TableForm, attached
from service.routes import IfMatch, StoreHere
from service.start.home import pattern
from service.store.same import tag_of
from service.tongues import tongue_of
from service.tongues.send import names_in, wanted
from solver.domain.activity import Activity
from solver.domain.base import Count, Frozen, Text
from solver.domain.faults import Fault

router = APIRouter(prefix="/api")
ActivityName = Annotated[str, Path(max_length=80)]
TableBody = Annotated[bytes, Body(media_type="application/octet-stream")]


class Shelved(Frozen):
    """An activity on the shelf."""

    activity: Activity
    archived: bool
    wished: Count
    """By how many weeks."""
    tag: Text
    """Its version, to be sent as If-Match with a change to it."""


class ForChildren(Frozen):
    """What an activity takes for so many children."""

    children: Count
    amounts: tuple[Amount, ...]
    resources: tuple[Scaled, ...]


@router.get("/called")
def get_called(request: Request, store: StoreHere) -> dict[str, str]:
    """Names in the document that Lapful brought along, each with what it is called in the language asked for.

    A page shows them by it, and sends the document back as it was.
    """
    code = wanted(request.scope)
    # Nobody lives here yet: the questions of a first run offer what we brought along.
    known = store.current().document if store.has_household() else pattern()
    return dict(names_in(tongue_of(code), known.model_dump(mode="json"))) if code else {}


@router.get("/catalogue")
def get_catalogue(store: StoreHere) -> tuple[Shelved, ...]:
    """All activities, with those that are put away marked."""
    document, away = store.current().document, shelf.archived(store)
    wished = [wish.activity for week in document.weeks for wish in week.wishes]
    return tuple(
        Shelved(activity=one, archived=one.id in away, wished=wished.count(one.id), tag=tag_of(one))
        for one in document.activities
    )


@router.get("/catalogue/table", response_class=Response, responses=TABLE_FILE)
def get_table(store: StoreHere, format: TableForm = TableForm.XLSX) -> Response:
    """The catalogue as a table to edit and bring back."""
    body = written(store.current().document.activities, format.value)
    return attached(body, TABLE_TYPES[format], f"catalogue.{format.value}")


@router.post("/catalogue/table")
def post_table(
    store: StoreHere,
    table: TableBody = b"",
    format: TableForm = TableForm.XLSX,
    keep: Annotated[bool, Query(description="False: only say what it would bring.")] = True,
) -> Imported:
    """Take a table in. Rows with a known id replace it, others are added; all or none."""
    activities = read(table, format.value)
    if keep:
        return shelf.put_activities(store, activities, "a table of activities was taken in")
    document = store.current().document
    shelf.merged(document, activities)
    return shelf.what_changes(document, activities)


@router.get("/activities/{activity}")
def get_activity(activity: ActivityName, store: StoreHere, response: Response) -> Activity:
    """One activity and, as its ETag, its version."""
    found = shelf.activity_of(store.current().document, activity)
    response.headers["etag"] = tag_of(found)
    return found


@router.put("/activities/{activity}")
def put_activity(
    activity: ActivityName, body: Activity, store: StoreHere, response: Response, known: IfMatch = None
) -> Activity:
    """Keep one activity, new or changed; with If-Match only while it is what the writer read."""
    if body.id != activity:
        message = f"the address says {activity!r}, the activity {body.id!r}; make them the same"
        raise BadInput(message, [Fault(path="id", message=message)])
    shelf.put_activities(store, [body], f"{body.title} was changed", known)
    response.headers["etag"] = tag_of(body)
    return body


@router.delete("/activities/{activity}", status_code=204)
def delete_activity(activity: ActivityName, store: StoreHere) -> None:
    """Take an activity out for good."""
    shelf.remove(store, activity)


@router.post("/activities/{activity}/copy", status_code=201)
def post_copy(activity: ActivityName, store: StoreHere) -> Activity:
    """A copy to change, under an id of its own."""
    document = store.current().document
    made = shelf.copied(shelf.activity_of(document, activity), {one.id for one in document.activities})
    shelf.put_activities(store, [made], f"{made.title} was copied")
    return made


@router.put("/activities/{activity}/away", status_code=204)
def put_away(activity: ActivityName, store: StoreHere) -> None:
    """Put an activity away: it is offered no longer, and nothing is lost."""
    shelf.put_away(store, activity)


@router.delete("/activities/{activity}/away", status_code=204)
def delete_away(activity: ActivityName, store: StoreHere) -> None:
    """Offer it again."""
    shelf.take_back_out(store, activity)


@router.get("/activities/{activity}/amounts")
def get_amounts(
    activity: ActivityName, store: StoreHere, children: Annotated[int, Query(ge=1, le=40)] = 2
) -> ForChildren:
    """Materials and recipes for so many children."""
    document = store.current().document
    found = shelf.activity_of(document, activity)
    materials = {one.id: one for one in document.household.materials}
    return ForChildren(
        children=children,
        amounts=amounts(found, materials, children),
        resources=tuple(scaled(one, children) for one in found.resources),
    )
