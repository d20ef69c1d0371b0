"""From a card: something spare in its place, or its lighter version; both taken back, both refused aloud."""

from __future__ import annotations

import json
import urllib.request
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.conftest import Open, picture_file
from tests.browser.test_looks import faults, go_to
from tests.browser.test_stories import view_of
from tests.browser.test_touches import WAYS_PATIENCE_MS, plan_of


def verdict_on(site: str, booking: str, how: str) -> Any:
    """What the service says of one booking."""
    week = view_of(site)["week"]["id"]
    address = f"{site}api/weeks/{week}/bookings/{booking}/{how}"
    with urllib.request.urlopen(urllib.request.Request(address, method="POST")) as answer:
        return json.load(answer)


def with_verdict(site: str, how: str, fits: bool) -> Any:
    """The first booking of the week that can, or cannot, be done otherwise in its place."""
    plain = [one for one in plan_of(site).values() if one["attends"] and not one["alongside"]]
    wanted = (one for one in plain if bool(verdict_on(site, one["id"], how)["offers"]) is fits)
    return next(wanted)


def card_sheet(page: Page, site: str, booking: Any) -> Any:
    """Everything about one booking."""
    titles = {one["id"]: one["title"] for one in view_of(site)["activities"]}
    go_to(page, booking["day"].capitalize())
    page.get_by_role("button", name=f"More about {titles[booking['activity']]}").first.click()
    return page.get_by_role("dialog")


def do_it(page: Page, sheet: Any) -> None:
    """Take the first way that is shown."""
    expect(sheet.locator(".verdict .choice").first).to_be_visible(timeout=WAYS_PATIENCE_MS)
    assert faults(page) == []
    sheet.locator(".verdict .choice").first.click()
    with page.expect_response("**/accept"):
        page.get_by_role("button", name="Do this").click()
    expect(page.get_by_text("Changed.")).to_be_visible()


def taken_back(page: Page, site: str, before: Any) -> None:
    """Undo, and all is as it was."""
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Taken back")).to_be_visible()
    assert plan_of(site) == before


def test_a_spare_takes_its_place_and_goes_again(opened: Open, day_site: str) -> None:
    before = plan_of(day_site)
    booking = with_verdict(day_site, "swap", fits=True)
    page = opened(day_site, "tablet")
    sheet = card_sheet(page, day_site, booking)
    sheet.get_by_role("button", name="Swap for a spare").click()
    expect(sheet.get_by_text("This fits here:")).to_be_visible(timeout=WAYS_PATIENCE_MS)
    page.screenshot(path=picture_file("swap-tablet"))
    do_it(page, sheet)
    after = plan_of(day_site)
    assert booking["id"] not in after
    (new,) = (one for ident, one in after.items() if ident not in before)
    assert new["day"] == booking["day"]
    assert abs(_minutes(new["start"]) - _minutes(booking["start"])) <= 15
    taken_back(page, day_site, before)


def _minutes(clock: str) -> int:
    hours, minutes = clock.split(":")
    return int(hours) * 60 + int(minutes)


def test_where_nothing_fits_the_rule_is_said_at_once(opened: Open, day_site: str) -> None:
    booking = with_verdict(day_site, "swap", fits=False)
    reasons = verdict_on(day_site, booking["id"], "swap")["in_the_way"]
    page = opened(day_site, "phone")
    sheet = card_sheet(page, day_site, booking)
    sheet.get_by_role("button", name="Swap for a spare").click()
    said = sheet.locator(".verdict")
    expect(said).to_contain_text("Nothing spare fits here", timeout=WAYS_PATIENCE_MS)
    assert said.get_by_role("listitem").all_inner_texts() == reasons
    assert said.get_by_role("button").count() == 0
    assert faults(page) == []


def test_the_lighter_way_and_back(opened: Open, day_site: str) -> None:
    before = plan_of(day_site)
    booking = with_verdict(day_site, "lighter", fits=True)
    page = opened(day_site)
    sheet = card_sheet(page, day_site, booking)
    sheet.get_by_role("button", name="The lighter way").click()
    do_it(page, sheet)
    assert plan_of(day_site)[booking["id"]]["lighter"]
    sheet = card_sheet(page, day_site, booking)
    expect(
        sheet.get_by_role("button", name="Hold firm").or_(sheet.get_by_text("Let it move"))
    ).to_be_visible()
    expect(sheet.get_by_role("button", name="The lighter way")).to_have_count(0)
    page.keyboard.press("Escape")
    taken_back(page, day_site, before)
