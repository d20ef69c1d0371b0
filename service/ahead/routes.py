"""What lies ahead, over HTTP."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query, Response
from pydantic import Field

from service.ahead.demand import Plans
from service.ahead.lists import WEEKS, ahead
from service.ahead.loaning import Loan, book_of, lent
from service.ahead.stock import stocked, used_by
from service.ahead.tables import ahead_tables
from service.ahead.views import Ahead
from service.paper.answers import PAGE, TABLE_FILE, AsRead, TableForm, table_answer
from service.paper.beforehand import beforehand_sheet
from service.record.friday import ticked
from service.record.views import LOG, LogLine
from service.routes import StoreHere, WeekName
from service.store import Store, week_of
from service.store.changing import change
from service.store.entries import Entries
from solver.domain.base import MaterialId
from solver.domain.document import Document
from solver.domain.home import Book, Material, Shop
from solver.domain.plan import Booking, Plan
from solver.domain.week import Prepared, Week

router = APIRouter(prefix="/api")
MOST_SHOPS = 20
Count = Annotated[int, Query(ge=1, le=8, description="How many weeks, the first one included.")]


def plans_of(store: Store, document: Document) -> dict[str, Plan]:
    """The latest plan of each week that has one."""
    stored = [store.latest_plan(week.id) for week in document.weeks]
    return {one.plan.week: one.plan for one in stored if one}


def ticked_uses(store: Store, document: Document, plans: Plans) -> dict[MaterialId, int]:
    """What was used by things that are ticked as done, and that no log has taken out yet."""
    logged = {(one.week, one.booking) for one in Entries(store).all(LOG, LogLine)}
    done: list[Booking] = []
    for week, plan in plans.items():
        said = ticked(store, week)
        happened = {one for one, outcome in said.items() if outcome.happened and (week, one) not in logged}
        done += [booking for booking in plan.bookings if booking.id in happened]
    return used_by(document, done)


@router.get("/weeks/{week}/ahead")
def get_ahead(week: WeekName, store: StoreHere, weeks: Count = WEEKS) -> Ahead:
    """Prep by evening, one shopping list, books: this week as planned, the next ones as wished."""
    document = store.current().document
    week_of(document, week)
    plans = plans_of(store, document)
    return ahead(document, plans, week, weeks, ticked_uses(store, document, plans))


@router.get("/weeks/{week}/beforehand", response_class=Response, responses=PAGE)
def get_beforehand(week: WeekName, store: StoreHere, as_read: AsRead, weeks: Count = WEEKS) -> Response:
    """The same on one page to print: prep by evening, shopping by shop, books."""
    lists = get_ahead(week, store, weeks)
    problem = store.current().document.problem(week)
    body = beforehand_sheet(problem, lists, linked=True, as_read=as_read)
    return Response(body, media_type="text/html")


@router.put("/books/{book}/loan")
def put_loan(book: Annotated[str, Path(max_length=80)], loan: Loan, store: StoreHere) -> Book:
    """Write down that a book was reserved, fetched, renewed or given back."""
    title = book_of(store.current().document, book).title
    after = change(store, f"{title} was {loan.did.value}", lambda document: lent(document, book, loan))
    return book_of(after, book)


@router.get("/weeks/{week}/ahead/table", response_class=Response, responses=TABLE_FILE)
def get_ahead_table(
    week: WeekName, store: StoreHere, weeks: Count = WEEKS, format: TableForm = TableForm.XLSX
) -> Response:
    """The same as tables."""
    tables = ahead_tables(get_ahead(week, store, weeks))
    return table_answer(tables, format, f"ahead-{week}")


def _with(week: str, store: Store, what: str, **parts: object) -> Week:
    week_of(store.current().document, week)

    def edit(document: Document) -> Document:
        weeks = tuple(one.model_copy(update=parts) if one.id == week else one for one in document.weeks)
        return document.model_copy(update={"weeks": weeks})

    return week_of(change(store, what, edit), week)


@router.put("/weeks/{week}/prepared")
def put_prepared(week: WeekName, prepared: list[Prepared], store: StoreHere) -> Week:
    """What has been made ready already."""
    return _with(week, store, f"what is made ready for {week} was changed", prepared=tuple(prepared))


@router.put("/weeks/{week}/shops")
def put_shops(
    week: WeekName, shops: Annotated[list[Shop], Field(max_length=MOST_SHOPS)], store: StoreHere
) -> Week:
    """When somebody goes to the shop for this week; weeks that are begun from it go at the same times."""
    once = {(one.before_week, one.at and one.at.week_min): one for one in shops}
    return _with(week, store, f"the shopping days of {week} were changed", shops=tuple(once.values()))


@router.post("/stock")
def post_stock(changes: dict[MaterialId, int], store: StoreHere) -> tuple[Material, ...]:
    """Add what was bought (or take away what is gone), by material."""
    after = change(store, "the cupboard was changed", lambda document: stocked(document, changes))
    return tuple(one for one in after.household.materials if one.id in changes)
