"""Shared days over HTTP."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query, Response
from pydantic import AwareDatetime

from service.coop.group import clear, put_into_week, turns
from service.coop.sheet import coop_page, coop_sheet
from service.coop.views import COOP, Clear, Complaint, CoopDay, CoopSheet, IntoWeek, Turns
from service.days import SaneDay
from service.errors import NotFound
from service.paper.answers import PAGE
from service.routes import IfMatch, StoreHere
from service.store import Store
from service.store.changing import change
from service.store.entries import Entries, entry
from service.store.same import require_same, tag_of
from solver.domain.document import Document

router = APIRouter(prefix="/api/coop")
DayName = Annotated[str, Path(max_length=80)]


def _day(store: Store, ident: str) -> CoopDay:
    found = Entries(store).get(COOP, ident, CoopDay)
    if found is None:
        raise NotFound("there is no such shared day; /api/coop lists all")
    return found


@router.get("")
def get_days(store: StoreHere) -> tuple[CoopDay, ...]:
    """All shared days, oldest first."""
    return Entries(store).all(COOP, CoopDay)


@router.get("/turns")
def get_turns(
    store: StoreHere, until: Annotated[SaneDay, Query(description="Up to this day.")]
) -> tuple[Turns, ...]:
    """How often each family has hosted and led; whose turn comes first."""
    return turns(get_days(store), until)


@router.get("/{day}")
def get_day(day: DayName, store: StoreHere, response: Response) -> CoopDay:
    """A shared day and, as its ETag, its version."""
    found = _day(store, day)
    response.headers["etag"] = tag_of(found)
    return found


@router.put("/{day}")
def put_day(
    day: DayName, body: CoopDay, store: StoreHere, response: Response, known: IfMatch = None
) -> CoopDay:
    """Write down or change a shared day; with If-Match only while it is what the writer read."""
    kept = body.model_copy(update={"id": day})

    def edit(document: Document) -> Document:
        require_same(Entries(store).get(COOP, day, CoopDay), known)
        return document

    given = [entry(COOP, day, kept, kept.date.isoformat())]
    change(store, f"the shared day {kept.date} was changed", edit, given)
    response.headers["etag"] = tag_of(kept)
    return kept


@router.delete("/{day}", status_code=204)
def delete_day(day: DayName, store: StoreHere) -> None:
    """Take a shared day out of the list; its week stays as it is."""
    found = _day(store, day)
    change(store, f"the shared day {found.date} was taken out", removed=[(COOP, day)])


@router.get("/{day}/sheet")
def get_sheet(day: DayName, store: StoreHere) -> CoopSheet:
    """Ages, allergies of all, cautions of each activity, who brings what."""
    return coop_sheet(store.current().document, _day(store, day))


@router.get("/{day}/page", response_class=Response, responses=PAGE)
def get_page(day: DayName, store: StoreHere) -> Response:
    """The same on paper."""
    sheet = coop_sheet(store.current().document, _day(store, day))
    return Response(coop_page(sheet, linked=True), media_type="text/html")


@router.get("/{day}/clear")
def get_clear(
    day: DayName,
    store: StoreHere,
    complaint: Complaint,
    last: Annotated[AwareDatetime, Query(description="The last sign of it, with its time zone.")],
) -> Clear:
    """When a child who was ill is clear by the group's own rule."""
    return clear(store.current().document.household, _day(store, day), complaint, last)


@router.post("/{day}/week")
def post_into_week(day: DayName, store: StoreHere) -> IntoWeek:
    """Put the day and its guests into the week, so that the plan minds them."""
    found = _day(store, day)
    _, into = put_into_week(store.current().document, found)

    def edit(document: Document) -> Document:
        return put_into_week(document, found)[0]

    change(store, f"the shared day {found.date} was put into its week", edit)
    return into
