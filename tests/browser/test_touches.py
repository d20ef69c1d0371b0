"""A parent's day by touch: something happens, a way on is chosen; ticks, moves, notes; all of it undone."""

from __future__ import annotations

import json
import shutil
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import SIZES, Open, picture_file
from tests.browser.served import serving
from tests.browser.test_looks import faults, go_to
from tests.browser.test_stories import view_of

WAYS_PATIENCE_MS = 30_000


@pytest.fixture
def day_site(pond: Path, tmp_path: Path) -> Iterator[str]:
    """A copy of the pond household, to be changed at will."""
    with serving(shutil.copytree(pond, tmp_path / "data")) as address:
        yield address


def asked(site: str, path: str) -> Any:
    """What the service answers."""
    with urllib.request.urlopen(f"{site}api/{path}") as answer:
        return json.load(answer)


def marks_of(site: str) -> Any:
    """Ticks and notes as the service has them."""
    return asked(site, f"weeks/{view_of(site)['week']['id']}/marks")


def plan_of(site: str) -> Any:
    """The bookings as the service has them, by id."""
    return {one["id"]: one for one in view_of(site)["stored"]["plan"]["bookings"]}


def to_ways(page: Page, touch: str) -> Any:
    """Touch what happened, and wait for the ways on."""
    page.get_by_role("button", name="Something happened").click()
    page.get_by_role("dialog").get_by_role("button", name=touch).first.click()
    ways = page.get_by_role("region", name="Ways on from here")
    expect(ways.get_by_role("button", name="Leave it as it is")).to_be_visible()
    expect(ways.get_by_role("status")).not_to_contain_text("Looking for", timeout=WAYS_PATIENCE_MS)
    return ways


@pytest.mark.parametrize("size", SIZES)
def test_two_touches_from_a_lost_day_to_its_ways(opened: Open, day_site: str, size: str) -> None:
    before = plan_of(day_site)
    page = opened(day_site, size)
    go_to(page, "Wednesday")
    ways = to_ways(page, "The day is lost")
    assert 1 <= ways.get_by_role("listitem").locator(".way").count() <= 3
    assert plan_of(day_site) == before, "nothing changes until a way is chosen"
    assert faults(page) == []
    page.screenshot(path=picture_file(f"ways-{size}"))
    ways.get_by_role("button", name="Do this").click()
    expect(page.get_by_text("Changed.")).to_be_visible()
    after = plan_of(day_site)
    assert after != before
    assert not [one for one in after.values() if one["day"] == "wednesday" and one["attends"]]
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Taken back.")).to_be_visible()
    assert plan_of(day_site) == before
    assert view_of(day_site)["stored"]["is_current"]


def test_a_way_is_shown_in_the_day_before_it_is_chosen(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    go_to(page, "Wednesday")
    cards = page.locator("main .card").count()
    ways = to_ways(page, "The day is lost")
    assert page.locator("main .card").count() < cards
    expect(page.get_by_role("button", name="Make a new week")).to_have_count(0)
    ways.get_by_role("button", name="Leave it as it is").click()
    assert page.locator("main .card").count() == cards


def test_a_tick_is_there_at_once_and_can_be_taken_back(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    go_to(page, "Tuesday")
    tick = page.locator(".act-tick").first
    tick.click()
    expect(tick).to_have_attribute("aria-pressed", "true")
    expect(page.get_by_role("status").filter(has_text="done.")).to_be_visible()
    page.wait_for_function("localStorage.getItem('lapful.outbox') === '[]'")
    assert [one["outcome"] for one in marks_of(day_site)["ticks"]] == ["done"]
    page.get_by_role("button", name="Undo").click()
    expect(tick).to_have_attribute("aria-pressed", "false")
    assert marks_of(day_site)["ticks"] == []


def test_more_of_a_card_tells_why_and_takes_notes(opened: Open, day_site: str) -> None:
    page = opened(day_site, "tablet")
    go_to(page, "Tuesday")
    card = page.locator("main .card").first
    title = card.locator("h3").inner_text().replace("\n", " ")
    card.get_by_role("button", name="More about").first.click()
    sheet = page.get_by_role("dialog")
    expect(sheet.get_by_role("heading", level=2)).to_have_text(title)
    assert faults(page) == []
    page.screenshot(path=picture_file("card-tablet"))
    sheet.get_by_role("button", name="Why here?").click()
    expect(sheet).to_contain_text(f"{title} is on Tuesday", timeout=WAYS_PATIENCE_MS)
    page.keyboard.press("Escape")
    expect(sheet).to_have_count(0)
    card.get_by_role("button", name="More about").first.click()
    sheet.get_by_role("button", name="Write a note").click()
    sheet.get_by_role("textbox").fill("Asked for the second page again")
    sheet.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text("Noted.")).to_be_visible()
    page.wait_for_function("localStorage.getItem('lapful.outbox') === '[]'")
    assert [one["text"] for one in marks_of(day_site)["notes"]] == ["Asked for the second page again"]


def test_loved_is_told_on_the_card(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    go_to(page, "Tuesday")
    card = page.locator("main .card").first
    card.get_by_role("button", name="More about").first.click()
    page.get_by_role("dialog").get_by_role("button", name="Loved").click()
    expect(card.locator(".act-tick").first).to_have_text("Loved")
    expect(page.get_by_role("dialog")).to_have_count(0)


def test_held_firm_and_let_loose(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    go_to(page, "Tuesday")
    card = page.locator("main .card").first
    card.get_by_role("button", name="More about").first.click()
    page.get_by_role("dialog").get_by_role("button", name="Hold firm").click()
    expect(card.get_by_text("held firm")).to_be_visible()
    view = view_of(day_site)
    assert len(view["week"]["firm"]) == 1
    assert view["stored"]["is_current"]
    page.get_by_role("button", name="Undo").click()
    expect(card.get_by_text("held firm")).to_have_count(0)
    assert view_of(day_site)["week"]["firm"] == []


def test_not_today_asks_for_a_reason_and_finds_a_way(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    go_to(page, "Thursday")
    card = page.locator("main .card").first
    card.get_by_role("button", name="More about").first.click()
    page.get_by_role("dialog").get_by_role("button", name="too hard").click()
    ways = page.get_by_role("region", name="Ways on from here")
    expect(ways.get_by_role("button", name="Do this")).to_be_visible(timeout=WAYS_PATIENCE_MS)
    assert faults(page) == []
