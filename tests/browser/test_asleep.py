"""While the service sleeps: open, read, tick, note; afterwards everything arrives once and only once."""

from __future__ import annotations

import json
import shutil
import socket
import urllib.request
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open, picture_file
from tests.browser.served import serving
from tests.browser.test_looks import faults, go_to
from tests.browser.test_touches import all_sent, marks_of


@pytest.fixture
def port() -> int:
    """A port that nobody uses just now."""
    with socket.create_server(("127.0.0.1", 0)) as found:
        number: int = found.getsockname()[1]
    return number


@pytest.fixture
def folder(pond: Path, tmp_path: Path) -> Path:
    """A copy of the pond household."""
    return shutil.copytree(pond, tmp_path / "data")


def kept_by_the_worker(page: Page) -> None:
    """Wait until the service worker holds the page and what it is made of."""
    ask = "caches.open('lapful-page').then(shelf => shelf.keys()).then(keys => keys.length)"
    for _ in range(1200):
        if page.evaluate(ask) >= 3:
            return
        page.wait_for_timeout(50)
    raise AssertionError("the page was not kept")


def outbox(page: Page) -> Any:
    """What waits on this device."""
    return json.loads(page.evaluate("localStorage.getItem('lapful.outbox')") or "[]")


def test_opened_ticked_and_noted_asleep_sent_once_awake(browser: Any, folder: Path, port: int) -> None:
    context = browser.new_context(viewport={"width": 768, "height": 1024}, locale="en-GB")
    page = context.new_page()
    with serving(folder, port=port) as site:
        page.goto(site)
        go_to(page, "Tuesday")
        kept_by_the_worker(page)
        title = page.locator("main .card h3").first.inner_text()
    page.reload()
    expect(page.get_by_role("alert")).to_contain_text("You see the week as it was at")
    go_to(page, "Tuesday")
    expect(page.locator("main .card h3").first).to_have_text(title)
    page.locator(".act-tick").first.click()
    expect(page.locator(".act-tick").first).to_have_attribute("aria-pressed", "true")
    page.locator("main .card").nth(1).get_by_role("button", name="More about").first.click()
    page.get_by_role("dialog").get_by_role("button", name="Write a note").click()
    page.get_by_role("dialog").get_by_role("textbox").fill("Slept through the lorry")
    page.get_by_role("dialog").get_by_role("button", name="Keep it").click()
    expect(page.get_by_role("alert")).to_contain_text("2 ticks and notes kept here")
    assert faults(page) == []
    page.screenshot(path=picture_file("asleep-tablet"))
    page.reload()
    go_to(page, "Tuesday")
    expect(page.locator(".act-tick").first).to_have_attribute("aria-pressed", "true")
    waiting = outbox(page)
    with serving(folder, port=port) as site:
        page.get_by_role("button", name="Try now").click()
        all_sent(page)
        expect(page.get_by_role("alert")).to_have_count(0)
        _send_again(site, waiting)
        marks = marks_of(site)
        assert len(marks["ticks"]) == 1
        assert [one["text"] for one in marks["notes"]] == ["Slept through the lorry"]
        expect(page.locator(".act-tick").first).to_have_attribute("aria-pressed", "true")
    context.close()


def _send_again(site: str, items: Any) -> None:
    """As a page does whose first answer was lost on the way."""
    body = json.dumps(items).encode()
    headers = {"content-type": "application/json"}
    urllib.request.urlopen(urllib.request.Request(f"{site}api/outbox", body, headers)).close()


def test_what_needs_the_service_says_so(browser: Any, folder: Path, port: int) -> None:
    context = browser.new_context(locale="en-GB", service_workers="block")
    page = context.new_page()
    with serving(folder, port=port) as site:
        page.goto(site)
        page.wait_for_selector(".band")
    page.get_by_role("button", name="Something happened").click()
    page.get_by_role("dialog").get_by_role("button", name="A tired day").click()
    expect(page.get_by_role("status").filter(has_text="asleep just now")).to_be_visible()
    expect(page.get_by_role("region", name="Ways on from here")).to_have_count(0)
    context.close()


def test_a_tick_taken_back_before_anybody_heard_of_it(browser: Any, folder: Path, port: int) -> None:
    context = browser.new_context(locale="en-GB", service_workers="block")
    page = context.new_page()
    with serving(folder, port=port) as site:
        page.goto(site)
        go_to(page, "Tuesday")
    page.locator(".act-tick").first.click()
    assert len(outbox(page)) == 1
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".act-tick").first).to_have_attribute("aria-pressed", "false")
    assert outbox(page) == []
    context.close()


def test_two_tablets_merge_ticks_and_refuse_a_stale_plan(browser: Any, folder: Path) -> None:
    contexts = [browser.new_context(locale="en-GB", service_workers="block") for _ in range(2)]
    one, other = (context.new_page() for context in contexts)
    with serving(folder) as site:
        for page in (one, other):
            page.goto(site)
            go_to(page, "Tuesday")
        one.locator(".act-tick").nth(0).click()
        other.locator(".act-tick").nth(1).click()
        all_sent(one)
        all_sent(other)
        assert len(marks_of(site)["ticks"]) == 2
        one.get_by_role("button", name="Something happened").click()
        one.get_by_role("dialog").get_by_role("button", name="The day is lost").click()
        expect(one.get_by_role("button", name="Do this")).to_be_visible(timeout=120_000)
        other.locator("main .card").first.get_by_role("button", name="More about").first.click()
        other.get_by_role("dialog").get_by_role("button", name="Hold firm").click()
        expect(other.get_by_text("stays where it is.").first).to_be_visible()
        one.get_by_role("button", name="Do this").click()
        expect(one.get_by_text("The week was changed meanwhile")).to_be_visible()
        expect(one.get_by_text("held firm").first).to_be_visible()
    for context in contexts:
        context.close()


def test_the_way_without_a_shelf(opened: Open, pond_site: str) -> None:
    """A browser that keeps nothing still shows the week."""
    page = opened(pond_site)
    refuse = "{get() { throw new Error('no') }}"
    page.add_init_script(f"Object.defineProperty(globalThis, 'localStorage', {refuse})")
    page.reload()
    expect(page.locator(".band")).to_be_visible()
