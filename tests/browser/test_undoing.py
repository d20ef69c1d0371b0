"""Whatever was done can be taken back, step by step, until all is as it was in the morning."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.test_choosing import open_menu
from tests.browser.test_looks import go_to
from tests.browser.test_stories import SOLVE_PATIENCE_MS, view_of
from tests.browser.test_swaps import card_sheet, do_it, with_verdict
from tests.browser.test_touches import WAYS_PATIENCE_MS, asked, marks_of, movable, open_move, to_ways
from tests.browser.waiting import all_sent


def everything(site: str) -> Any:
    """All that somebody can change from the page."""
    view = view_of(site)
    marks = marks_of(site)
    return {
        "plan": view["stored"]["plan"],
        "week": view["week"],
        "ticks": {one["booking"]: one["outcome"] for one in marks["ticks"]},
        "notes": [one["text"] for one in marks["notes"]],
        "log": asked(site, "log"),
    }


def first_card(page: Page) -> Any:
    """The sheet of Tuesday's first card."""
    go_to(page, "Tuesday")
    page.locator("main .card").first.get_by_role("button", name="More about").first.click()
    return page.get_by_role("dialog")


def tick(page: Page, site: str) -> None:
    go_to(page, "Tuesday")
    page.locator(".act-tick").nth(1).click()
    all_sent(page)


def love(page: Page, site: str) -> None:
    first_card(page).get_by_role("button", name="Loved").click()
    all_sent(page)


def write(page: Page, site: str) -> None:
    sheet = first_card(page)
    sheet.get_by_role("button", name="Write a note").click()
    sheet.get_by_role("textbox").fill("Counted the snails twice")
    sheet.get_by_role("button", name="Keep it").click()
    all_sent(page)


def hold(page: Page, site: str) -> None:
    first_card(page).get_by_role("button", name="Hold firm").click()
    expect(page.get_by_text("stays where it is.").first).to_be_visible()


def let_loose(page: Page, site: str) -> None:
    first_card(page).get_by_role("button", name="Let it move again").click()
    expect(page.get_by_text("may move again.").first).to_be_visible()


def lighten(page: Page, site: str) -> None:
    sheet = card_sheet(page, site, with_verdict(site, "lighter", fits=True))
    sheet.get_by_role("button", name="The lighter way").click()
    do_it(page, sheet)


def swap(page: Page, site: str) -> None:
    sheet = card_sheet(page, site, with_verdict(site, "swap", fits=True))
    sheet.get_by_role("button", name="Swap for a spare").click()
    do_it(page, sheet)


def move(page: Page, site: str) -> None:
    booking, day, stretch = movable(site)
    sheet = open_move(page, site, booking)
    sheet.get_by_label("Day").select_option(day)
    sheet.get_by_label("Stretch").select_option(stretch)
    sheet.get_by_role("button", name="See whether it fits").click()
    do_it(page, sheet)


def refuse(page: Page, site: str) -> None:
    """The reason is kept, whatever way on is taken; here none."""
    first_card(page).get_by_role("button", name="too sticky").click()
    ways = page.get_by_role("region", name="Ways on from here")
    expect(ways.get_by_role("status")).not_to_contain_text("Looking for", timeout=WAYS_PATIENCE_MS)
    ways.get_by_role("button", name="Leave it as it is").click()
    all_sent(page)


def tire(page: Page, site: str) -> None:
    go_to(page, "Thursday")
    ways = to_ways(page, "A tired day")
    with page.expect_response("**/accept"):
        ways.get_by_role("button", name="Do this").click()
    expect(page.get_by_text("Changed.")).to_be_visible()


def wish(page: Page, site: str) -> None:
    open_menu(page, "Choose wishes")
    page.locator(".wish-none select").first.select_option("extra")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_text("Wishes saved.")).to_be_visible()


def make(page: Page, site: str) -> None:
    page.get_by_role("button", name="Make a new week").click()
    expect(page.get_by_text("A new week is here.")).to_be_visible(timeout=SOLVE_PATIENCE_MS)


ACTS: tuple[Callable[[Page, str], None], ...] = (
    tick, love, write, hold, let_loose, lighten, swap, move, refuse, tire, wish, make,
)  # fmt: skip


def test_twelve_different_acts_and_twelve_steps_back(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    page.wait_for_selector(".band")
    before = []
    for act in ACTS:
        before.append(everything(day_site))
        act(page, day_site)
        assert everything(day_site) != before[-1], act.__name__
    for act, state in reversed(list(zip(ACTS, before, strict=True))):
        with page.expect_response("**/api/undo"):
            undo_last(page)
        assert everything(day_site) == state, act.__name__
    assert everything(day_site) == before[0]
    expect(page.get_by_role("button", name="Undo")).to_have_count(0)


def undo_last(page: Page) -> None:
    """By the button at hand, else by the menu, as after a week was made."""
    at_hand = page.locator(".foot").get_by_role("button", name="Undo")
    if at_hand.count():
        at_hand.click()
    else:
        open_menu(page, "Undo")
        page.keyboard.press("Escape")
    expect(page.get_by_text("Taken back").first).to_be_visible()
