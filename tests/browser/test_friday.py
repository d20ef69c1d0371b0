"""Friday's pass on the page: one touch each, kept while it is not sent, written, taken back."""

from __future__ import annotations

import datetime
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import SIZES, Open, picture_file
from tests.browser.rooms_fit import fits_everybody
from tests.browser.test_looks import faults
from tests.browser.test_stories import view_of
from tests.browser.test_touches import asked, put


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


def test_what_was_seen_by_one_touch(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "Friday's pass")
    line = page.locator(".pass-line", has_text="Wren").first
    line.get_by_role("button", name="Minutes, why").click()
    line.get_by_label("What Wren can do").fill("Turns one page at a time")
    line.get_by_role("group", name="What was seen of Wren").get_by_role("button", name="with help").click()
    expect(page.get_by_text("Written down: Wren, with help.")).to_be_visible()
    seen = asked(day_site, "observations")
    assert [(one["skill"], one["level"]) for one in seen] == [("Turns one page at a time", "with help")]
    line.get_by_role("group", name="What was seen of Wren").get_by_role("button", name="alone").click()
    expect(page.get_by_text("Written down: Wren, alone.")).to_be_visible()
    assert [one["level"] for one in asked(day_site, "observations")] == ["alone"], "said again, not twice"


def three_long_clearings(site: str) -> dict[str, Any]:
    """Three days on which clearing one thing took ten minutes longer than planned; that thing."""
    view = view_of(site)
    known = {one["id"]: one for one in view["activities"]}
    booking = next(one for one in view["stored"]["plan"]["bookings"] if one["attends"])
    activity = known[booking["activity"]]
    monday = datetime.date.fromisoformat(view["monday"])
    for back in (7, 14, 21):
        date = (monday - datetime.timedelta(days=back)).isoformat()
        took = activity["sittings"][booking["sitting"]]["cleanup_min"] + 10
        line = {"id": date, "date": date, "child": booking["attends"][0]["child"], "title": activity["title"]}
        line |= {"outcome": "done", "minutes": 10, "activity": activity["id"], "cleanup_min": took}
        put(site, f"log/{date}", line | {"booking": f"old.{back}.{booking['sitting'] + 1}"})
    return {"title": activity["title"], "id": activity["id"], "sitting": booking["sitting"], "took": took}


@pytest.mark.parametrize("answer", ["Yes, use it", "No, leave it"])
def test_what_it_learned_is_asked_and_answered(opened: Open, day_site: str, answer: str) -> None:
    found = three_long_clearings(day_site)
    page = opened(day_site)
    enter(page, "Friday's pass")
    learned = page.get_by_role("region", name="What the weeks say")
    expect(learned).to_contain_text(f"clean-up took {found['took']}, not {found['took'] - 10}, three times")
    expect(learned).to_contain_text("the median of the latest")
    assert faults(page) == []
    learned.get_by_role("button", name=answer).first.click()
    expect(learned).to_contain_text("Nothing to ask.")
    activity = next(one for one in asked(day_site, "activities") if one["id"] == found["id"])
    now = activity["sittings"][found["sitting"]]["cleanup_min"]
    assert now == (found["took"] if answer.startswith("Yes") else found["took"] - 10)
    page.get_by_role("button", name="Undo").click()
    expect(learned).to_contain_text("clean-up took")


def test_minutes_rule_and_what_can_be_taken_along(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "Friday's pass")
    expect(page.get_by_text("The log holds nothing for this time yet.")).to_be_visible()
    page.get_by_role("button", name="The others were done").click()
    page.get_by_role("button", name="Write it into the log").click()
    wren = page.get_by_role("region", name="Minutes by learning area: Wren")
    expect(wren.get_by_role("rowheader", name="Literacy")).to_be_visible()
    week = view_of(day_site)["monday"]
    until = (datetime.date.fromisoformat(week) + datetime.timedelta(days=6)).isoformat()
    report = asked(day_site, f"record?since={week}&until={until}")
    told = {one["subject"]["name"]: one["minutes"] for one in report["subjects"] if one["child"] == "wren"}
    rows = wren.locator("tbody tr").all()
    assert len(rows) == len(told)
    for row in rows:
        name = row.locator("th span").inner_text()
        assert int(row.locator("td b").inner_text()) == told[name]
    page.get_by_label("How many in all").fill("180")
    page.get_by_label("Spread over days or weeks").fill("36")
    page.get_by_role("button", name="Set the rule").click()
    expect(page.get_by_text("The rule is set.")).to_be_visible()
    expect(page.get_by_text("5 each would come to it.")).to_be_visible()
    expect(page.get_by_text("check your local law").first).to_be_visible()
    assert faults(page) == []
    for link, end in (
        ("Portfolio of Wren", ".html"),
        ("Log as CSV", ".csv"),
        ("Log as spreadsheet", ".xlsx"),
    ):
        with page.expect_download() as taken:
            page.get_by_role("link", name=link).click()
        assert taken.value.suggested_filename.endswith(end), taken.value.suggested_filename


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
def test_pictures_of_the_pass(opened: Open, pond_site: str, size: str, scheme: str) -> None:
    page = opened(pond_site, size, scheme)
    enter(page, "Friday's pass")
    page.locator(".pass-more").first.click()
    page.locator(".pass-line").nth(1).get_by_role("button", name="Loved").click()
    fits_everybody(page, size)
    page.screenshot(path=picture_file(f"friday-{size}-{scheme}"))
