"""A new week: wishes chosen from the catalogue, made, compared with the week before; and paper."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import SIZES, Open, picture_file
from tests.browser.served import serving
from tests.browser.test_looks import faults, go_to
from tests.browser.test_stories import SOLVE_PATIENCE_MS, view_of
from tests.browser.test_touches import asked, plan_of

LEAST_TARGET_PX = 56


@pytest.fixture
def patient_day(browser: Browser, pond: Path, tmp_path: Path) -> Iterator[str]:
    """A copy of the pond household whose searches never end."""
    with serving(shutil.copytree(pond, tmp_path / "data"), patient=True) as address:
        yield address
        for context in browser.contexts:
            context.close()


def open_menu(page: Page, choice: str) -> Any:
    """Touch something in the menu; the sheet that comes."""
    page.get_by_role("button", name="More about the week").click()
    page.get_by_role("dialog").get_by_role("button", name=choice).click()
    return page.get_by_role("dialog")


@pytest.mark.parametrize("size", SIZES)
def test_the_catalogue_is_searched_and_narrowed(opened: Open, day_site: str, size: str) -> None:
    page = opened(day_site, size)
    sheet = open_menu(page, "Choose wishes")
    every = len(asked(day_site, "activities"))
    expect(sheet.locator(".wish")).to_have_count(every)
    assert faults(page) == []
    page.screenshot(path=picture_file(f"wishes-{size}"))
    sheet.get_by_label("Search").fill("POND")
    titles = sheet.locator(".wish b").all_inner_texts()
    assert 0 < len(titles) < every
    sheet.get_by_label("Search").fill("")
    sheet.get_by_label("Prep at most").select_option("0")
    assert all("no prep" in text for text in sheet.locator(".wish .quiet").all_inner_texts())
    sheet.get_by_label("Mess at most").select_option("0")
    assert all("no mess" in text for text in sheet.locator(".wish .quiet").all_inner_texts())
    sheet.get_by_label("Search").fill("nothing is called so")
    expect(sheet.get_by_text("Nothing like that in the catalogue.")).to_be_visible()


def test_wishes_are_marked_and_saved(opened: Open, day_site: str) -> None:
    view = view_of(day_site)
    before = view["week"]["wishes"]
    wished = {one["activity"] for one in before}
    page = opened(day_site)
    sheet = open_menu(page, "Choose wishes")
    fresh = next(one for one in asked(day_site, "activities") if one["id"] not in wished)
    sheet.get_by_label("Search").fill(fresh["title"])
    sheet.get_by_role("combobox", name=f"{fresh['title']}: how is it wished?").select_option("extra")
    sheet.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_text("Wishes saved.")).to_be_visible()
    after = view_of(day_site)["week"]["wishes"]
    assert [one for one in after if one["activity"] != fresh["id"]] == before
    assert [one["rank"] for one in after if one["activity"] == fresh["id"]] == ["extra"]
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Taken back")).to_be_visible()
    assert view_of(day_site)["week"]["wishes"] == before


def test_saving_and_making_can_be_stopped(opened: Open, patient_day: str) -> None:
    page = opened(patient_day)
    sheet = open_menu(page, "Choose wishes")
    sheet.get_by_role("button", name="Save and make the week").click()
    making = page.get_by_role("region", name="Looking for the best week")
    making.get_by_role("button", name="Stop looking").click()
    expect(page.get_by_text("Stopped. The week you had is still here.")).to_be_visible()


def test_a_mended_week_is_compared_and_taken_back(opened: Open, day_site: str) -> None:
    old = plan_of(day_site)
    page = opened(day_site, "tablet")
    page.get_by_role("button", name="Something happened").click()
    page.get_by_role("dialog").get_by_role("button", name="The day is lost").click()
    page.get_by_role("button", name="Do this").click(timeout=120_000)
    expect(page.get_by_text("Changed.")).to_be_visible()
    sheet = open_menu(page, "Compare with the week before")
    expect(sheet.get_by_role("heading", name="Not in this week any more")).to_be_visible()
    now = plan_of(day_site)
    parts = ("day", "start", "lighter", "place")
    same = [one for one in old if one in now and all(now[one][part] == old[one][part] for part in parts)]
    differs = set(old) - set(same)
    assert sheet.locator("section li").count() == len(differs)
    assert faults(page) == []
    page.screenshot(path=picture_file("compare-tablet"))
    sheet.get_by_role("button", name="Undo: the week was mended").click()
    expect(page.get_by_text("Taken back")).to_be_visible()
    assert plan_of(day_site) == old
    assert view_of(day_site)["stored"]["is_current"]


def test_a_first_week_has_nothing_to_compare_with(browser: Any, day_site: str) -> None:
    context = browser.new_context(locale="en-GB", service_workers="block")
    page = context.new_page()
    page.goto(day_site)
    sheet = open_menu(page, "Compare with the week before")
    expect(sheet.get_by_text("There is no week before this one")).to_be_visible()
    context.close()


def test_a_week_is_made_anew_compared_and_the_old_one_comes_back(opened: Open, day_site: str) -> None:
    old = view_of(day_site)["stored"]
    page = opened(day_site)
    page.get_by_role("button", name="Make a new week").click()
    expect(page.get_by_text("A new week is here.")).to_be_visible(timeout=SOLVE_PATIENCE_MS)
    page.get_by_role("button", name="See what differs").click()
    expect(page.get_by_role("dialog").get_by_text("as before.")).to_be_visible()
    page.get_by_role("button", name="Keep the new week").click()
    expect(page.get_by_role("dialog")).to_have_count(0)
    assert view_of(day_site)["stored"]["id"] != old["id"]
    sheet = open_menu(page, "Compare with the week before")
    sheet.get_by_role("button", name="Go back to the one before").click()
    expect(page.get_by_text("The week before is here again.")).to_be_visible()
    assert view_of(day_site)["stored"]["plan"] == old["plan"]


def pages_of(page: Page) -> int:
    """How many sides a printed page takes, as the document's page tree counts them (ISO 32000-1, 7.7.3)."""
    printed = page.pdf(prefer_css_page_size=True)
    return max(int(count) for count in re.findall(rb"/Type /Pages\s+/Count (\d+)", printed))


@pytest.mark.parametrize(
    "link", ["The week on one sheet", "The day for another adult", "Prep and shopping on one page"]
)
def test_paper_takes_one_side(opened: Open, day_site: str, link: str) -> None:
    page = opened(day_site)
    go_to(page, "Thursday")
    page.get_by_role("button", name="More about the week").click()
    with page.expect_popup() as paper:
        page.get_by_role("link", name=link).click()
    paper.value.wait_for_load_state()
    assert pages_of(paper.value) == 1


def test_the_week_is_sent_as_one_file(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    page.get_by_role("button", name="More about the week").click()
    with page.expect_download() as sent:
        page.get_by_role("link", name="The week as a file to send").click()
    html = sent.value.path().read_text(encoding="utf-8")
    assert sent.value.suggested_filename.endswith(".html")
    assert "Pond" in html
    assert not re.search(r"<(?:link|script|img)[^>]+(?:href|src)=\"(?!data:)", html), "it needs nothing else"


def test_every_touch_is_large_enough(opened: Open, day_site: str) -> None:
    page = opened(day_site, "tablet")
    for sheet in ("menu", "card", "happened", "wishes"):
        if sheet == "menu":
            page.get_by_role("button", name="More about the week").click()
        elif sheet == "card":
            page.get_by_role("button", name="More about").nth(1).click()
        elif sheet == "happened":
            page.get_by_role("button", name="Something happened").click()
        else:
            open_menu(page, "Choose wishes")
        expect(page.get_by_role("dialog")).to_be_visible()
        # A small button with a label is touched by its label.
        touches = page.locator("dialog :is(button, select, a, label:has(input), input:not(label input))")
        sizes = touches.evaluate_all("all => all.map(one => one.getBoundingClientRect().height)")
        assert min(sizes) >= LEAST_TARGET_PX, sheet
        page.keyboard.press("Escape")
        expect(page.get_by_role("dialog")).to_have_count(0)


def test_the_keyboard_stays_in_the_sheet_and_comes_back(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    button = page.get_by_role("button", name="Something happened")
    button.focus()
    page.keyboard.press("Enter")
    for _ in range(30):
        page.keyboard.press("Tab")
        inside = "document.activeElement === document.body || !!document.activeElement.closest('dialog')"
        assert page.evaluate(inside)
    page.get_by_role("dialog").get_by_role("button", name="Close").focus()
    page.keyboard.press("Escape")
    expect(page.get_by_role("dialog")).to_have_count(0)
    # Tabbing through leaves the window once round, so its own focus is not asked for.
    assert button.evaluate("one => one === document.activeElement")


def test_text_at_twice_its_size_stays_on_the_page(opened: Open, day_site: str) -> None:
    page = opened(day_site, "tablet")
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    for act in ("Something happened", "More about the week"):
        page.get_by_role("button", name=act).click()
        wide = page.locator("dialog").evaluate("one => one.scrollWidth - one.clientWidth")
        assert wide <= 0
        page.keyboard.press("Escape")
    assert page.evaluate("document.documentElement.scrollWidth") == SIZES["tablet"][0]
    page.screenshot(path=picture_file("large-text-tablet"))


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
def test_pictures_of_the_touches(opened: Open, day_site: str, size: str, scheme: str) -> None:
    page = opened(day_site, size, scheme)
    go_to(page, "Thursday")
    page.get_by_role("button", name="Something happened").click()
    assert faults(page) == []
    page.screenshot(path=picture_file(f"happened-{size}-{scheme}"))
    page.keyboard.press("Escape")
    page.locator(".act-tick").first.click()
    expect(page.get_by_role("button", name="Undo")).to_be_visible()
    assert faults(page) == []
    page.screenshot(path=picture_file(f"ticked-{size}-{scheme}"))
    page.get_by_role("button", name="More about the week").click()
    assert faults(page) == []
    page.screenshot(path=picture_file(f"menu-{size}-{scheme}"))


def test_how_to_stand_a_lost_day_is_chosen_with_the_wishes(opened: Open, day_site: str) -> None:
    page = opened(day_site, "phone")
    sheet = open_menu(page, "Choose wishes")
    sheet.get_by_label("leave each promise a second day, even if").check()
    expect(page.get_by_text("Kept for the next time the week is made")).to_be_visible()
    assert view_of(day_site)["week"]["loss_proof"] == "require"
    assert faults(page) == []
    sheet.get_by_role("button", name="Close").click()
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Taken back")).to_be_visible()
    assert view_of(day_site)["week"]["loss_proof"] == "off"
