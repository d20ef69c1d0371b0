"""While the service sleeps: open, read, tick, note; afterwards everything arrives once and only once."""

from __future__ import annotations

import json
import shutil
import socket
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open, picture_file
from tests.browser.served import serving
from tests.browser.test_looks import faults, go_to
from tests.browser.test_stories import view_of
from tests.browser.test_touches import asked, marks_of
from tests.browser.waiting import all_sent, waiting


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
    kept = waiting(page)
    with serving(folder, port=port) as site:
        expect(page.get_by_role("alert")).to_have_count(0)
        all_sent(page)
        _send_again(site, kept)
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


def test_two_tabs_of_one_tablet_send_each_thing_once(browser: Any, folder: Path, port: int) -> None:
    """One of them is closed right after its tick; the other knows of it and sends it along with its own."""
    context = browser.new_context(locale="en-GB", service_workers="block")
    one, other = context.new_page(), context.new_page()
    with serving(folder, port=port) as site:
        for page in (one, other):
            page.goto(site)
            go_to(page, "Tuesday")
        before = len(changes_of(site))
    one.locator(".act-tick").nth(0).click()
    expect(other.locator(".act-tick").nth(0)).to_have_attribute("aria-pressed", "true")
    one.close()
    other.locator(".act-tick").nth(1).click()
    third = context.new_page()
    expect(other.get_by_role("alert")).to_contain_text("2 ticks and notes kept here")
    with serving(folder, port=port) as site:
        third.goto(site)
        # It tries again by itself, perhaps before anybody could press the button.
        expect(other.get_by_role("alert")).to_have_count(0)
        for page in (third, other):
            all_sent(page)
            go_to(page, "Tuesday")
            expect(page.get_by_text("Everything is sent.")).to_be_visible()
            expect(page.locator(".act-tick[aria-pressed='true']")).to_have_count(2)
        assert len(marks_of(site)["ticks"]) == 2
        assert len(changes_of(site)) in (before + 1, before + 2)
        while changes_of(site)[0]["what"].count("tick"):
            _take_back(site)
        assert marks_of(site)["ticks"] == [], "each was taken once, so each is gone when taken back once"
    context.close()


def changes_of(site: str) -> Any:
    """What can be taken back."""
    with urllib.request.urlopen(f"{site}api/changes") as answer:
        return [one for one in json.load(answer) if not one["undone"]]


def _take_back(site: str) -> None:
    urllib.request.urlopen(urllib.request.Request(f"{site}api/undo", method="POST")).close()


def test_the_plug_is_pulled_and_the_service_comes_again(browser: Any, folder: Path, port: int) -> None:
    context = browser.new_context(locale="en-GB", service_workers="block")
    page = context.new_page()
    with serving(folder, port=port, pulled=True) as site:
        page.goto(site)
        go_to(page, "Tuesday")
        page.locator(".act-tick").nth(0).click()
        all_sent(page)
        card = page.locator("main .card").first
        card.get_by_role("button", name="More about").first.click()
        page.get_by_role("dialog").get_by_role("button", name="Hold firm").click()
        expect(card.get_by_text("held firm")).to_be_visible()
    page.locator(".act-tick").nth(1).click()
    said = page.get_by_role("alert")
    expect(said).to_contain_text("You see the week as it was at")
    expect(said).to_contain_text("1 tick or note kept here")
    with serving(folder, port=port) as site:
        expect(said).to_have_count(0)
        all_sent(page)
        assert len(marks_of(site)["ticks"]) == 2
        assert len(view_of(site)["week"]["firm"]) == 1, "what was said to be kept is kept"
        expect(page.get_by_text("As the service had it at")).to_be_visible()
    context.close()


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
    assert len(waiting(page)) == 1
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".act-tick").first).to_have_attribute("aria-pressed", "false")
    assert waiting(page) == []
    context.close()


@contextmanager
def two_tablets(browser: Any) -> Iterator[tuple[Page, Page]]:
    """Two devices of the household, without a service worker between them and the service."""
    contexts = [browser.new_context(locale="en-GB", service_workers="block") for _ in range(2)]
    one, other = (context.new_page() for context in contexts)
    yield one, other
    for context in contexts:
        context.close()


def test_two_tablets_merge_ticks_and_refuse_a_stale_plan(browser: Any, folder: Path) -> None:
    with serving(folder) as site, two_tablets(browser) as (one, other):
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
        one.get_by_role("button", name="Work it out again").click()
        expect(one.get_by_role("button", name="Do this")).to_be_visible(timeout=120_000)
        one.get_by_role("button", name="Do this").click()
        expect(one.get_by_text("Changed.")).to_be_visible()


def test_two_tablets_wish_at_once_and_nobody_is_written_over(browser: Any, folder: Path) -> None:
    with serving(folder) as site, two_tablets(browser) as (one, other):
        for page in (one, other):
            page.goto(site)
            with page.expect_response(lambda answer: answer.url.endswith(view_of(site)["week"]["id"])):
                page.get_by_role("button", name="More about the week").click()
                page.get_by_role("button", name="Choose wishes").click()
        mine, theirs = wish(one, 0), wish(other, 1)
        other.get_by_role("button", name="Save", exact=True).click()
        expect(other.get_by_text("Wishes saved.")).to_be_visible()
        one.get_by_role("button", name="Save", exact=True).click()
        expect(one.get_by_role("alert")).to_contain_text("Somebody changed the week meanwhile")
        assert faults(one) == []
        assert theirs in wished(site)
        assert mine not in wished(site)
        one.get_by_role("button", name="Save mine on top").click()
        expect(one.get_by_text("Wishes saved.")).to_be_visible()
        assert {mine, theirs} <= wished(site)


def wish(page: Page, index: int) -> str:
    """Wish for something that nobody wished for yet; its title."""
    line = page.locator(".wish-none").nth(index)
    title: str = line.locator("b").inner_text()
    line.locator("select").select_option("extra")
    return title


def wished(site: str) -> set[str]:
    """The titles of all that is wished."""
    view = view_of(site)
    titles = {one["id"]: one["title"] for one in asked(site, "activities")}
    return {titles[one["activity"]] for one in view["week"]["wishes"]}


def test_the_way_without_a_shelf(opened: Open, pond_site: str) -> None:
    """A browser that keeps nothing still shows the week."""
    page = opened(pond_site)
    refuse = "{get() { throw new Error('no') }}"
    page.add_init_script(f"Object.defineProperty(globalThis, 'localStorage', {refuse})")
    page.reload()
    expect(page.locator(".band")).to_be_visible()
