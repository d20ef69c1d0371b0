"""Friday's pass on the page: one touch each, kept while it is not sent, written, taken back."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import SIZES, Open, picture_file
from tests.browser.test_looks import faults
from tests.browser.test_stories import view_of
from tests.browser.test_touches import asked

LEAST_TARGET_PX = 44


def enter(page: Page, room: str) -> None:
    """Go through the menu into a room beside the week."""
    page.get_by_role("button", name="More about the week").click()
    page.get_by_role("dialog").get_by_role("button", name=room).click()
    expect(page.get_by_role("heading", level=1)).to_have_text(room)


def lines(site: str) -> list[dict[str, object]]:
    """What the log holds."""
    found: list[dict[str, object]] = asked(site, "log")
    return found


def test_the_way_in_and_the_way_back(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "Friday's pass")
    page.go_back()
    expect(page.get_by_role("navigation", name="The week")).to_be_visible()
    page.go_forward()
    page.get_by_role("button", name="Back to the week").click()
    expect(page.get_by_role("navigation", name="The week")).to_be_visible()
    assert "#" not in page.url
    page.goto(f"{day_site}#friday")
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text("Friday's pass")
    page.get_by_role("button", name="Back to the week").click()
    expect(page.get_by_role("navigation", name="The week")).to_be_visible()


def test_one_touch_each_and_the_rest_in_one(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    page.locator(".act-tick").first.click()
    expect(page.locator(".act-tick").first).to_have_attribute("aria-pressed", "true")
    enter(page, "Friday's pass")
    drafts = asked(day_site, f"weeks/{view_of(day_site)['week']['id']}/friday")
    expect(page.locator(".pass-line")).to_have_count(len(drafts))
    expect(page.get_by_text(f"1 of {len(drafts)} said")).to_be_visible()
    loved, refused = page.locator(".pass-line").nth(0), page.locator(".pass-line").nth(1)
    loved.get_by_role("button", name="Loved").click()
    loved.get_by_role("button", name="Minutes, why").click()
    loved.get_by_label("Clearing, minutes").fill("12")
    refused.get_by_role("button", name="No", exact=True).click()
    refused.get_by_role("button", name="Minutes, why").click()
    refused.get_by_label("why not").first.select_option("sticky")
    page.reload()
    expect(loved.get_by_role("button", name="Loved")).to_have_attribute("aria-pressed", "true")
    page.get_by_role("button", name="The others were done").click()
    page.get_by_role("button", name="Write it into the log").click()
    expect(page.get_by_text("The log is written.")).to_be_visible()
    expect(page.get_by_text("Everything said is in the log.")).to_be_visible()
    kept = lines(day_site)
    of = {one["booking"] for one in kept}
    assert of == {one["booking"] for one in drafts}
    first = [one for one in kept if one["booking"] == drafts[0]["booking"]]
    assert {(one["outcome"], one["cleanup_min"]) for one in first} == {("loved", 12)}
    second = [one for one in kept if one["booking"] == drafts[1]["booking"]]
    assert {one["outcome"] for one in second} == {"no"}
    assert "sticky" in {one["reason"] for one in second}
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Taken back")).to_be_visible()
    assert lines(day_site) == []


def test_a_pass_that_is_corrected_keeps_what_was_said(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "Friday's pass")
    line = page.locator(".pass-line").first
    line.get_by_role("button", name="Minutes, why").click()
    line.get_by_label("Laying out, minutes").fill("7")
    expect(line.get_by_role("button", name="Done", exact=True)).to_have_attribute("aria-pressed", "true")
    page.get_by_role("button", name="Write it into the log").click()
    expect(page.get_by_text("The log is written.")).to_be_visible()
    line.get_by_role("button", name="Loved").click()
    page.get_by_role("button", name="Write it into the log").click()
    expect(page.get_by_text("Everything said is in the log.")).to_be_visible()
    assert {(one["outcome"], one["setup_min"]) for one in lines(day_site)} == {("loved", 7)}


def test_without_the_service_it_says_so_and_loses_nothing(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "Friday's pass")
    page.locator(".pass-line").first.get_by_role("button", name="Loved").click()
    page.evaluate("() => { window.fetch = () => Promise.reject(new TypeError('asleep')); }")
    page.get_by_role("button", name="Write it into the log").click()
    expect(page.get_by_role("status").filter(has_text="asleep just now")).to_be_visible()
    expect(page.get_by_text("Not in the log yet; kept on this device.")).to_be_visible()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
def test_pictures_of_the_pass(opened: Open, pond_site: str, size: str, scheme: str) -> None:
    page = opened(pond_site, size, scheme)
    enter(page, "Friday's pass")
    page.locator(".pass-more").first.click()
    page.locator(".pass-line").nth(1).get_by_role("button", name="Loved").click()
    assert faults(page) == []
    heights = page.locator("main :is(button, input, select, summary)").evaluate_all(
        "all => all.map(one => one.getBoundingClientRect().height)"
    )
    assert min(heights) >= LEAST_TARGET_PX
    assert page.evaluate("document.documentElement.scrollWidth") == SIZES[size][0]
    page.screenshot(path=picture_file(f"friday-{size}-{scheme}"))
