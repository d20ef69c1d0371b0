"""What is shared: calendar addresses, days with other families, and one cheap fix for a thin area."""

from __future__ import annotations

import json
import urllib.error
import urllib.request

import pytest
from icalendar import Calendar
from playwright.sync_api import Page, expect

from tests.browser.conftest import SIZES, Open, picture_file
from tests.browser.rooms_fit import fits_everybody
from tests.browser.test_friday import enter
from tests.browser.test_looks import faults
from tests.browser.test_stories import view_of
from tests.browser.test_touches import asked

FEEDS, COOP = "Calendars for phones", "Days with other families"


def test_an_address_is_made_read_by_a_calendar_and_ended(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, FEEDS)
    expect(page.get_by_text("There is none.")).to_be_visible()
    page.get_by_label("Whose calendar").select_option(label="Pip")
    page.get_by_role("button", name="Make an address").click()
    address = page.get_by_label("Address", exact=True).input_value()
    assert address.startswith(day_site)
    with urllib.request.urlopen(address) as answer:
        read = Calendar.from_ical(answer.read())
    assert read.walk("VEVENT")
    # It is shown this once: whoever comes later sees that there is one, and not which.
    page.reload()
    expect(page.get_by_role("button", name="End it: Pip")).to_be_visible()
    assert address.rsplit("/", 1)[1] not in page.content()
    assert faults(page) == []
    page.get_by_role("button", name="End it: Pip").click()
    expect(page.get_by_text("The address for Pip works no longer.")).to_be_visible()
    expect(page.get_by_text("There is none.")).to_be_visible()
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(address)
    assert refused.value.code == 404
    refused.value.close()


def _written(page: Page) -> None:
    enter(page, COOP)
    page.get_by_role("button", name="Another day").click()
    page.get_by_role("button", name="Somebody else comes").click()
    page.get_by_label("Name or nickname").fill("Serin")
    page.get_by_label("Family").first.fill("Brook")
    page.get_by_label("Born in").fill("2022-05")
    page.get_by_role("group", name="Allergies of Serin").get_by_role("button", name="wheat").click()
    page.get_by_role("button", name="Something else to bring").click()
    page.get_by_label("Family").last.fill("Brook")
    page.get_by_label("Brings").fill("plums")
    page.get_by_label("Host instead").fill("Brook")
    page.get_by_label("Hours at home after a fever").fill("48")


def test_a_day_with_others_is_written_put_into_its_week_and_taken_back(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    _written(page)
    page.get_by_role("button", name="Back to the week").click()
    enter(page, COOP)
    expect(page.get_by_label("Name or nickname")).to_have_value("Serin")
    page.get_by_role("button", name="Keep this day").click()
    expect(page.get_by_text("is kept.")).to_be_visible()
    (day,) = asked(day_site, "coop")
    (guest,) = day["guests"]
    assert (guest["name"], guest["birth_month"], guest["allergies"][0]["allergen"]) == (
        "Serin",
        "2022-05",
        "wheat",
    )
    assert (day["brings"], day["stand_in"]["host"]) == ([{"family": "Brook", "what": "plums"}], "Brook")
    page.get_by_label("Last sign of it").fill(f"{day['date']}T00:00")
    page.get_by_role("button", name="May they come?").click()
    expect(page.get_by_text("Not this time: clear from")).to_be_visible()
    page.get_by_label("Last sign of it").fill("2027-01-01T00:00")
    page.get_by_role("button", name="May they come?").click()
    expect(page.get_by_text("Yes: clear from")).to_be_visible()
    with page.context.expect_page() as shown:
        page.get_by_role("link", name="On one page").click()
    expect(shown.value.get_by_text("Serin: wheat (avoid)")).to_be_visible()
    shown.value.close()
    page.get_by_role("button", name="Put it into its week").click()
    expect(page.get_by_text("is in its week, with its guests.")).to_be_visible()
    week = view_of(day_site)["week"]
    assert [one["name"] for one in week["visitors"]].count("Serin") == 1
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Taken back:")).to_be_visible()
    assert "Serin" not in json.dumps(view_of(day_site)["week"])
    assert faults(page) == []


def test_a_guest_without_a_name_is_told_of_and_kept_once_named(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    _written(page)
    page.get_by_label("Name or nickname").fill("")
    page.get_by_role("button", name="Keep this day").click()
    expect(page.get_by_role("alert").get_by_role("listitem")).to_have_count(1)
    assert faults(page) == []
    assert asked(day_site, "coop") == []
    page.get_by_label("Name or nickname").fill("Serin")
    page.get_by_role("button", name="Keep this day").click()
    expect(page.get_by_text("is kept.")).to_be_visible()
    expect(page.get_by_role("alert")).to_have_count(0)


def test_a_thin_area_is_answered_by_one_touch(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "Friday's pass")
    wishes = page.get_by_role("button", name="Wish it for next week")
    expect(page.get_by_text("The log holds nothing for this time yet.")).to_be_visible()
    expect(wishes).to_have_count(0)
    page.get_by_role("button", name="Done", exact=True).first.click()
    page.get_by_role("button", name="The others were not").click()
    page.get_by_role("button", name="Write it into the log").click()
    wish = wishes.first
    title = (
        (wish.get_attribute("aria-label") or "").removeprefix("Wish it for next week: ").rsplit(", ", 1)[0]
    )
    wish.click()
    expect(page.get_by_text(f"{title} is among the wishes of that week.")).to_be_visible()
    latest = max(one["id"] for one in asked(day_site, "weeks"))
    titles = {one["id"]: one["title"] for one in asked(day_site, "activities")}
    wished = asked(day_site, f"weeks/{latest}")["wishes"]
    assert latest > view_of(day_site)["week"]["id"]
    assert title in [titles[one["activity"]] for one in wished]
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Taken back:")).to_be_visible()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
def test_pictures_of_what_is_shared(opened: Open, pond_site: str, size: str, scheme: str) -> None:
    page = opened(pond_site, size, scheme)
    enter(page, FEEDS)
    expect(page.get_by_role("button", name="Make an address")).to_be_visible()
    fits_everybody(page, size)
    page.screenshot(path=picture_file(f"feeds-{size}-{scheme}"))
    page.get_by_role("button", name="Back to the week").click()
    _written(page)
    fits_everybody(page, size)
    page.screenshot(path=picture_file(f"coop-{size}-{scheme}"), full_page=True)
