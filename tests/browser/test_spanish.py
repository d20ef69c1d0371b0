"""The whole page in Spanish, against the real service: no sentence of it stays English."""

from __future__ import annotations

import json
import re
import urllib.request
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import ROOT, Open, picture_file
from tests.browser.english import english_in, said_on
from tests.browser.test_stories import view_of

LEAST_SAID = 4
SAID: dict[str, Any] = json.loads((ROOT / "web/src/words/spanish.json").read_text(encoding="utf-8"))


@pytest.fixture
def spanish(opened: Open, pond_site: str) -> Iterator[Page]:
    """The pond week, as a browser set to Spanish opens it; at the end it has spoken no English."""
    page = opened(pond_site, locale="es")
    page.wait_for_selector(".band")
    assert page.evaluate("document.documentElement.lang") == "es"
    assert "tongue=es" in page.evaluate("document.cookie")
    yield page
    speaks_spanish(page)


def speaks_spanish(page: Page) -> None:
    """No English is seen on it, and something is."""
    texts = said_on(page)
    assert len(texts) >= LEAST_SAID
    assert english_in(texts) == []


def test_what_counts_as_english() -> None:
    """So that the other tests can fail: the words are found, and a publisher's paper is none of ours."""
    assert english_in(["Hall until 9", "no", "a solas", "Caring for Our Children 2.2"]) == ["Hall until 9"]


def test_every_day(spanish: Page) -> None:
    for day in spanish.locator(".band-day").all():
        day.click()
        speaks_spanish(spanish)
    spanish.screenshot(path=picture_file("spanish-week"))


def test_what_did_not_fit(spanish: Page) -> None:
    spanish.screenshot(path=picture_file("spanish-today"))
    spanish.locator(".note-left button").first.click()
    settled(spanish)


def card(page: Page, at: int) -> Any:
    """Everything about one thing of the day, in its sheet."""
    more = SAID["filled"]["moreAbout"].split("{")[0]
    page.locator("main").get_by_role("button", name=more).nth(at).click()
    return page.get_by_role("dialog")


def settled(page: Page) -> None:
    """What was asked is answered, and in Spanish."""
    expect(page.get_by_text(SAID["asking"])).to_have_count(0)
    expect(page.get_by_text(SAID["lookingForWays"])).to_have_count(0)
    speaks_spanish(page)


def test_why_something_is_where_it_is(spanish: Page) -> None:
    for at in range(3):
        sheet = card(spanish, at)
        speaks_spanish(spanish)
        sheet.get_by_role("button", name=SAID["why"]).click()
        settled(spanish)
        if at == 0:
            spanish.screenshot(path=picture_file("spanish-why"))
        spanish.keyboard.press("Escape")


@pytest.mark.parametrize("day", ["tuesday", "thursday"])
def test_moving_something_by_hand(spanish: Page, day: str) -> None:
    sheet = card(spanish, 1)
    sheet.get_by_role("button", name=SAID["moveTo"]).click()
    sheet.get_by_label(SAID["moveDay"]).select_option(day)
    sheet.get_by_role("button", name=SAID["moveTry"]).click()
    expect(sheet.locator(".verdict")).to_be_visible()
    settled(spanish)
    spanish.screenshot(path=picture_file(f"spanish-move-{day}"))


@pytest.mark.parametrize("how", ["swapNow", "lighterNow"])
def test_something_else_in_its_place(spanish: Page, how: str) -> None:
    for at in range(2):
        sheet = card(spanish, at)
        button = sheet.get_by_role("button", name=SAID[how])
        if button.count():
            button.click()
            expect(sheet.locator(".verdict")).to_be_visible()
            settled(spanish)
        spanish.keyboard.press("Escape")


@pytest.mark.parametrize("what", ["dayIsLost", "itRains", "tiredDay"])
def test_when_something_happened(spanish: Page, what: str) -> None:
    spanish.get_by_role("button", name=SAID["happened"]).click()
    speaks_spanish(spanish)
    spanish.get_by_role("dialog").get_by_role("button", name=SAID[what]).click()
    expect(spanish.locator(".ways-list").or_(spanish.get_by_text(SAID["noWay"])).first).to_be_visible()
    settled(spanish)
    spanish.screenshot(path=picture_file(f"spanish-{what}"))


@pytest.mark.parametrize("room", SAID["rooms"])
def test_every_room(spanish: Page, pond_site: str, room: str) -> None:
    spanish.goto(f"{pond_site}#{room}")
    spanish.reload()
    expect(spanish.get_by_role("heading", level=1)).to_have_text(SAID["rooms"][room])
    expect(spanish.get_by_text(SAID["roomComes"], exact=True)).to_have_count(0)
    for part in spanish.locator("main summary").all():
        part.click()
    spanish.screenshot(path=picture_file(f"spanish-{room}"), full_page=True)


def test_every_paper(spanish: Page, pond_site: str) -> None:
    week = view_of(pond_site)["week"]["id"]
    for paper in ("sheet", "takeover/monday", "takeover/thursday?for=avo", "beforehand"):
        spanish.goto(f"{pond_site}api/weeks/{week}/{paper}")
        assert spanish.evaluate("document.documentElement.lang") == "es"
        speaks_spanish(spanish)
        spanish.screenshot(
            path=picture_file(f"spanish-{paper.split('?')[0].replace('/', '-')}"), full_page=True
        )


def test_a_calendar_address_asks_for_spanish(opened: Open, day_site: str) -> None:
    page = opened(day_site, locale="es")
    page.goto(f"{day_site}#feeds")
    page.reload()
    page.get_by_role("button", name="Crear una dirección").click()
    address = page.locator(".feed-address input")
    expect(address).to_have_value(re.compile(r"\?tongue=es$"))
    with urllib.request.urlopen(address.input_value()) as answer:
        assert "Empieza a las" in answer.read().decode()
