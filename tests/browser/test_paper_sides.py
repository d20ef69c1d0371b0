"""Paper in a real browser: one side of one sheet, dressed under the server's own policy."""

from __future__ import annotations

import re
from contextlib import closing
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from service.demo import demo_file
from service.files import read_document
from service.paper.sheet import week_sheet
from service.store import Store
from solver.domain.plan import Plan
from tests.browser.conftest import Open


def sides(browser: Browser, html: str) -> int:
    """How many pages it takes on A4."""
    page = browser.new_page()
    page.set_content(html)
    pdf = page.pdf(prefer_css_page_size=True)
    page.close()
    return len(re.findall(rb"/Type\s*/Page[^s]", pdf))


def fuller(plan: Plan, sittings: int) -> Plan:
    """The same week with so many sittings, and much more held over."""
    more = [
        one.model_copy(update={"id": f"{one.id}.again", "start": min(1380, one.start + 5)})
        for one in plan.bookings[::2]
    ]
    bookings = (*plan.bookings, *more)[:sittings]
    return plan.model_copy(update={"bookings": bookings, "left_over": plan.left_over * 4})


@pytest.mark.parametrize("sittings", [40, 60])
def test_a_full_week_stays_on_one_side(browser: Browser, pond: Path, sittings: int) -> None:
    with closing(Store(pond)) as store:
        document = store.current().document
        stored = store.latest_plan(document.weeks[0].id)
    assert stored is not None
    assert sides(browser, week_sheet(document.problem(), fuller(stored.plan, sittings))) == 1


def test_the_served_sheet_wears_its_dress(opened: Open, pond_site: str, pond: Path) -> None:
    week = read_document(demo_file("pond-week.json")).weeks[0].id
    page = opened(pond_site)
    page.goto(f"{pond_site}api/weeks/{week}/sheet")
    assert page.locator(".day").first.evaluate("one => getComputedStyle(one).borderLeftStyle") == "solid"
    page.goto(f"{pond_site}api/weeks/{week}/takeover/thursday?for=avo")
    assert page.locator(".call").evaluate("one => getComputedStyle(one).borderTopStyle") == "solid"
    assert page.get_by_text("Not medical or legal advice").is_visible()
