"""Paper in a real browser: one side of one sheet, dressed under the server's own policy."""

from __future__ import annotations

import functools
import re
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import closing
from html import escape
from itertools import cycle
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from service.ahead.lists import ahead
from service.demo import demo_file
from service.files import read_document
from service.paper.beforehand import beforehand_sheet
from service.paper.html import Read
from service.paper.sheet import week_sheet
from service.paper.takeover import takeover_page
from service.store import Store
from service.tongues import tongue_of
from service.tongues.send import marked_up
from solver.domain.document import Document
from solver.domain.plan import Plan
from solver.search import solve
from tests.browser.conftest import Open


@pytest.fixture(scope="module")
def printer(browser: Browser) -> Iterator[Page]:
    """A page to print from."""
    page = browser.new_page()
    yield page
    page.close()


def sides(printer: Page, html: str) -> int:
    """How many pages it takes on A4."""
    printer.set_content(html)
    pdf = printer.pdf(prefer_css_page_size=True)
    return len(re.findall(rb"/Type\s*/Page[^s]", pdf))


def fuller(plan: Plan, sittings: int) -> Plan:
    """The same week with so many sittings, the emptier days filled first, and much more held over."""
    bookings = list(plan.bookings[:sittings])
    count = Counter(one.day for one in bookings)
    for one in cycle(plan.bookings):
        if len(bookings) == sittings:
            break
        day = min(count, key=lambda day: count[day])
        count[day] += 1
        bookings.append(one.model_copy(update={"id": f"{one.id}.{len(bookings)}", "day": day}))
    return plan.model_copy(update={"bookings": tuple(bookings), "left_over": plan.left_over * 4})


def in_english(html: str) -> str:
    """As it is made."""
    return html


IN = pytest.mark.parametrize(
    "read", [in_english, functools.partial(marked_up, tongue_of("es"))], ids=["in English", "in Spanish"]
)


@IN
@pytest.mark.parametrize("sittings", [40, 60])
def test_a_full_week_stays_on_one_side(printer: Page, pond: Path, sittings: int, read: Read) -> None:
    with closing(Store(pond)) as store:
        document = store.current().document
        stored = store.latest_plan(document.weeks[0].id)
    assert stored is not None
    sheet = week_sheet(document.problem(), fuller(stored.plan, sittings), as_read=read)
    assert sides(printer, read(sheet)) == 1


DEMOS = ("pond-week.json", "bread-week.json", "broken-promise.json", "small.json")


@pytest.fixture(scope="module")
def demo_week() -> Callable[[str], tuple[Document, Plan]]:
    """A demo's first week, as the solver has it after a moment."""

    @functools.cache
    def week(name: str) -> tuple[Document, Plan]:
        document = read_document(demo_file(name))
        return document, solve(document.problem(), seconds=0.5, seed=1, workers=1)

    return week


@IN
@pytest.mark.parametrize("name", DEMOS)
def test_every_demo_week_has_its_papers_on_one_side_each(
    printer: Page, demo_week: Callable[[str], tuple[Document, Plan]], name: str, read: Read
) -> None:
    document, plan = demo_week(name)
    problem = document.problem()
    papers = {"week": week_sheet(problem, plan, as_read=read)}
    for day in dict.fromkeys(one.day for one in plan.bookings):
        papers[day] = takeover_page(problem, plan, day, as_read=read)
    lists = ahead(document, {plan.week: plan}, plan.week)
    papers["beforehand"] = beforehand_sheet(problem, lists, as_read=read)
    counts = {name: sides(printer, read(paper)) for name, paper in papers.items()}
    assert set(counts.values()) == {1}, counts


@IN
def test_every_day_of_the_pond_week_can_be_handed_over_on_one_page(
    printer: Page, pond: Path, read: Read
) -> None:
    with closing(Store(pond)) as store:
        document = store.current().document
        stored = store.latest_plan(document.weeks[0].id)
    assert stored is not None
    problem = document.problem()
    counts = {
        day: sides(printer, read(takeover_page(problem, stored.plan, day, as_read=read)))
        for day in dict.fromkeys(one.day for one in stored.plan.bookings)
    }
    assert set(counts.values()) == {1}, counts
    assert len(counts) >= 5
    assert sides(printer, read(week_sheet(problem, stored.plan, as_read=read))) == 1


@IN
@pytest.mark.parametrize("times", [3, 8])
def test_long_lists_stay_on_one_page_too(
    printer: Page, demo_week: Callable[[str], tuple[Document, Plan]], times: int, read: Read
) -> None:
    document, plan = demo_week("bread-week.json")
    lists = ahead(document, {plan.week: plan}, plan.week)
    long = lists.model_copy(update={"evenings": lists.evenings * times, "to_buy": lists.to_buy * times})
    assert sides(printer, read(beforehand_sheet(document.problem(), long, as_read=read))) == 1


def test_the_lists_say_what_when_and_where(demo_week: Callable[[str], tuple[Document, Plan]]) -> None:
    document, plan = demo_week("pond-week.json")
    lists = ahead(document, {plan.week: plan}, plan.week)
    said = beforehand_sheet(document.problem(), lists)
    items = [item for one in lists.evenings for batch in one.batches for item in batch.items]
    assert items
    assert lists.to_buy
    for words in (*(f"{one.name} ({one.minutes} min)" for one in items), *(one.name for one in lists.to_buy)):
        assert escape(words) in said


def test_the_served_sheet_wears_its_dress(opened: Open, pond_site: str, pond: Path) -> None:
    week = read_document(demo_file("pond-week.json")).weeks[0].id
    page = opened(pond_site)
    page.goto(f"{pond_site}api/weeks/{week}/sheet")
    assert page.locator(".day").first.evaluate("one => getComputedStyle(one).borderLeftStyle") == "solid"
    page.goto(f"{pond_site}api/weeks/{week}/takeover/thursday?for=avo")
    assert page.locator(".call").evaluate("one => getComputedStyle(one).borderTopStyle") == "solid"
    assert page.get_by_text("Not medical or legal advice").is_visible()
    page.goto(f"{pond_site}api/weeks/{week}/beforehand")
    assert (
        page.locator(".ticks li").first.evaluate("one => getComputedStyle(one, '::before').content") == '"☐ "'
    )
