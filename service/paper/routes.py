"""Paper, tables, calendar feeds and the whole household as one file."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Path, Query, Response

from service.bounds import InShort
from service.errors import NotFound
from service.paper.answers import PAGE, AsRead, AsSpoken, attached
from service.paper.formats import MEDIA_TYPES, exported
from service.paper.html import MARK_ADDRESS, STYLE_ADDRESS, mark, style
from service.paper.sheet import week_sheet
from service.paper.takeover import takeover_page
from service.paper.wanted import Format, Wanted
from service.routes import StoreHere, WeekName
from service.store import Store, week_of
from service.store.feeds import Feed, Feeds
from service.views import StoredPlan
from service.whole import Taken, Whole, take_whole, whole_of
from solver.domain.base import Day, Frozen, Id, Text

router = APIRouter()
Person = Annotated[str | None, Query(alias="for", max_length=80, description="A child's or adult's id.")]
_FILE: dict[int | str, dict[str, Any]] = {200: {"content": {kind: {} for kind in MEDIA_TYPES.values()}}}


class FeedWish(Frozen):
    """Whose calendar an address is wanted for."""

    person: Id | None = None
    """None: the whole household's."""


class FeedMade(Frozen):
    """A new address. It is shown this once; later only its hash is known here."""

    feed: Feed
    path: Text
    """Behind this server's own address."""


def _planned(store: Store, week: str) -> StoredPlan:
    week_of(store.current().document, week)
    stored = store.latest_plan(week)
    if stored is None:
        raise NotFound(f"the week {week} has no plan yet; start one at /api/weeks/{week}/solve")
    return stored


def _require_known(store: Store, person: str | None) -> None:
    house = store.current().document.household
    known = {one.id for one in house.children + house.adults}
    if person is not None and person not in known:
        raise NotFound(f"nobody here is {person[:40]!r}; there are {', '.join(sorted(known))}")


@router.get(STYLE_ADDRESS, response_class=Response, responses={200: {"content": {"text/css": {}}}})
def get_style() -> Response:
    """The style sheet of the printed pages."""
    return Response(style(), media_type="text/css", headers={"cache-control": "no-cache"})


@router.get(MARK_ADDRESS, response_class=Response, responses={200: {"content": {"image/svg+xml": {}}}})
def get_mark() -> Response:
    """Our mark, for the tab of a printed page."""
    return Response(mark(), media_type="image/svg+xml", headers={"cache-control": "no-cache"})


@router.get("/api/weeks/{week}/sheet", response_class=Response, responses=PAGE)
def get_sheet(week: WeekName, store: StoreHere, as_read: AsRead) -> Response:
    """The week on one side of one sheet, ready to print."""
    plan = _planned(store, week).plan
    problem = store.current().document.problem(week, plan)
    return Response(week_sheet(problem, plan, linked=True, as_read=as_read), media_type="text/html")


@router.get("/api/weeks/{week}/takeover/{day}", response_class=Response, responses=PAGE)
def get_takeover(
    week: WeekName, day: Day, store: StoreHere, as_read: AsRead, person: Person = None
) -> Response:
    """One page from which another adult can run this day."""
    plan = _planned(store, week).plan
    _require_known(store, person)
    problem = store.current().document.problem(week, plan)
    body = takeover_page(problem, plan, day, person, linked=True, as_read=as_read)
    return Response(body, media_type="text/html")


@router.get("/api/weeks/{week}/export", response_class=Response, responses=_FILE)
def get_export(
    week: WeekName,
    store: StoreHere,
    as_read: AsRead,
    format: Format,
    person: Person = None,
    day: Day | None = None,
) -> Response:
    """The week's plan as a file: calendar, printable page, tables, or JSON."""
    stored = _planned(store, week)
    _require_known(store, person)
    wanted = Wanted(format, person, day)
    body = exported(store.current().document, stored.plan, stored.made_at, wanted, as_read)
    name = "-".join(part for part in ("lapful", week, person, day) if part)
    return attached(body, MEDIA_TYPES[format], f"{name}.{format.value}")


@router.get("/api/whole")
def get_whole(
    store: StoreHere,
    files: Annotated[bool, Query(description="False: without what is in printables and photos.")] = True,
) -> Whole:
    """Household, activities, weeks, latest plans, the record and its files as one file."""
    return whole_of(store, files)


@router.put("/api/whole")
def put_whole(whole: Annotated[Whole, InShort], store: StoreHere) -> Taken:
    """Put such a file in, in place of all that is here."""
    return take_whole(store, whole)


@router.get("/api/feeds")
def get_feeds(store: StoreHere) -> tuple[Feed, ...]:
    """Calendar addresses that still work, without their secrets."""
    return Feeds(store).all()


@router.post("/api/feeds", status_code=201)
def post_feed(wish: FeedWish, store: StoreHere) -> FeedMade:
    """Make a secret calendar address for one person or the whole household."""
    _require_known(store, wish.person)
    made = Feeds(store).make(wish.person)
    return FeedMade(feed=made.feed, path=f"/feed/{made.token}.ics")


@router.delete("/api/feeds/{feed}", status_code=204)
def delete_feed(feed: Annotated[str, Path(max_length=80)], store: StoreHere) -> None:
    """Revoke an address; whoever knows it gets nothing from now on."""
    if not Feeds(store).revoke(feed):
        raise NotFound("there is no such calendar address; it may be revoked already")


@router.get("/feed/{token}.ics", response_class=Response, responses={200: {"content": {"text/calendar": {}}}})
def get_feed(token: Annotated[str, Path(max_length=200)], store: StoreHere, spoken: AsSpoken) -> Response:
    """The calendar behind a secret address: every planned week."""
    from service.paper.feed import MEDIA_TYPE, Dated, calendar, people_of

    feed = Feeds(store).by_token(token)
    document = store.current().document if feed else None
    if feed is None or document is None or (feed.person and feed.person not in people_of(document.household)):
        raise NotFound("there is no calendar at this address")
    stored = [store.latest_plan(week.id) for week in document.weeks]
    weeks = [Dated(document.problem(one.plan.week, one.plan), one.plan, one.made_at) for one in stored if one]
    body = calendar(weeks, feed.person, spoken)
    return Response(body, media_type=MEDIA_TYPE, headers={"cache-control": "private, no-cache"})
