"""The house in one place: edited, saved, taken back; two devices at once; what is wrong says its mend."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import SIZES, Open, picture_file
from tests.browser.rooms_fit import fits_everybody
from tests.browser.test_first_run import says
from tests.browser.test_friday import enter
from tests.browser.test_looks import faults
from tests.browser.test_touches import asked, put

SAVE = "Save"


def house_of(site: str) -> Any:
    """The household as the service has it."""
    return asked(site, "household")


def unfold(page: Page, part: str) -> None:
    """Open one part of the house."""
    page.locator("summary").filter(has=page.get_by_role("heading", name=part)).click()


def save(page: Page) -> None:
    """Save, and see that it was."""
    page.get_by_role("button", name=SAVE, exact=True).click()
    expect(page.get_by_role("button", name=SAVE, exact=True)).to_have_count(0)
    expect(page.get_by_text("The house is saved.")).to_be_visible()


def test_naps_hours_allergies_and_evenings_are_changed_and_taken_back(opened: Open, day_site: str) -> None:
    before = house_of(day_site)
    page = opened(day_site)
    enter(page, "The house")
    unfold(page, "Children")
    page.get_by_label("Bedtime of Pip").fill("18:45")
    page.get_by_role("group", name="Allergies of Pip").get_by_role("button", name="sesame").click()
    page.get_by_label("sesame, how strictly").select_option("airborne")
    unfold(page, "Adults")
    page.get_by_label("until").first.fill("20:20")
    unfold(page, "Evenings")
    page.get_by_role("group", name="Evenings for making ready").get_by_role("button", name="Saturday").click()
    page.get_by_label("Saturday, minutes").fill("35")
    unfold(page, "Tools")
    page.get_by_label("Search").fill(before["materials"][0]["name"])
    page.get_by_label(before["materials"][0]["name"]).first.fill("7")
    assert house_of(day_site) == before, "nothing counts before it is saved"
    save(page)
    after = house_of(day_site)
    pip = next(one for one in after["children"] if one["name"] == "Pip")
    assert (pip["bed"], {"allergen": "sesame", "level": "airborne"} in pip["allergies"]) == ("18:45", True)
    assert after["adults"][0]["hours"][0]["end"] == "20:20"
    assert {"evening": "saturday", "minutes": 35, "quiet": True} in after["limits"]["prep"]
    assert after["materials"][0]["count"] == 7
    expect(page.get_by_text("The week was made before that.")).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Taken back:")).to_be_visible()
    assert house_of(day_site) == before
    expect(page.get_by_label("Bedtime of Pip")).not_to_have_value("18:45")


def test_a_child_who_comes_eats_with_the_others_and_may_leave_again(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "The house")
    unfold(page, "Children")
    count = len(house_of(day_site)["children"])
    page.get_by_role("button", name="Another child").click()
    page.get_by_label("Name or nickname").nth(count).fill("Serin")
    page.get_by_label("Born in").nth(count).fill("2023-03")
    save(page)
    house = house_of(day_site)
    serin = house["children"][-1]
    assert (serin["name"], serin["birth_month"]) == ("Serin", "2023-03")
    meals = [point for point in house["fixed_points"] if point["meal"]]
    assert meals
    assert all(serin["id"] in meal["children"] for meal in meals)
    page.get_by_role("button", name="Take Serin out").click()
    save(page)
    assert serin["id"] not in json.dumps(house_of(day_site))


def test_places_and_tools_come_and_go(opened: Open, day_site: str) -> None:
    """What nothing counts on goes; what the catalogue counts on stays in the list, as not there."""
    before = house_of(day_site)
    page = opened(day_site)
    enter(page, "The house")
    unfold(page, "Places")
    page.get_by_role("button", name="Another place").click()
    part = page.locator("details", has=page.get_by_role("heading", name="Places"))
    part.get_by_label("Name", exact=True).last.fill("Shed")
    part.get_by_role("group", name="Shed is").get_by_role("button", name="outdoors").click()
    table = next(one for one in before["places"] if one["meals_here"])
    part.get_by_role("button", name=f"Take {table['name']} out").click()
    expect(part.get_by_text("These stay out of the week while it is not there.")).to_be_visible()
    unfold(page, "Tools")
    page.get_by_role("button", name="Another tool or supply").click()
    tools = page.locator("details", has=page.get_by_role("heading", name="Tools"))
    tools.get_by_label("Name", exact=True).fill("Cream")
    tools.get_by_role("group", name="Cream is").get_by_role("button", name="used and put back").click()
    tools.get_by_role("group", name="Cream is").get_by_role("button", name="weekly shop").click()
    tools.get_by_label("Keeps for days").fill("5")
    unfold(page, "Children")
    page.get_by_label("Sitting still a day, minutes").first.fill("50")
    save(page)
    after = house_of(day_site)
    shed = after["places"][-1]
    assert (shed["name"], shed["outdoors"]) == ("Shed", True)
    gone = next(one for one in after["places"] if one["id"] == table["id"])
    assert gone["closed"] == [{"days": [], "start": "00:00", "end": "24:00"}]
    cream = next(one for one in after["materials"] if one["name"] == "Cream")
    assert (cream["reusable"], cream["buyable"], cream["keeps_days"]) == (False, True, 5)
    assert after["children"][0]["attention"]["focused_min_a_day"] == 50
    assert faults(page) == []
    part.get_by_role("button", name="Take Shed out").click()
    tools.get_by_role("button", name="Take Cream out").click()
    save(page)
    house = house_of(day_site)
    assert {one["name"] for one in house["places"] + house["materials"]}.isdisjoint({"Shed", "Cream"})
    for _ in range(2):
        with page.expect_response("**/api/undo"):
            page.get_by_role("button", name="Undo").click()
    assert house_of(day_site) == before


def test_hours_for_big_messes_are_set_and_taken_out(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "The house")
    unfold(page, "Mess")
    hours = len(house_of(day_site)["limits"]["mess_hours"])
    part = page.locator("details", has=page.get_by_role("heading", name="Mess and other limits"))
    for _ in range(hours):
        part.get_by_role("button", name="Without these hours").first.click()
    expect(part.get_by_text("Big messes (3 and 4) are welcome at any time.")).to_be_visible()
    part.get_by_role("button", name="Only at some hours").click()
    days = part.get_by_role("group", name="Big messes (3 and 4) are welcome on")
    for day in ("Sat", "Sun"):
        days.get_by_role("button", name=day).click()
    part.get_by_label("from").fill("15:00")
    part.get_by_label("until").fill("14:00")
    page.get_by_role("button", name=SAVE, exact=True).click()
    expect(days).to_contain_text("give a later end")
    part.get_by_label("until").fill("16:30")
    save(page)
    (window,) = house_of(day_site)["limits"]["mess_hours"]
    assert (window["start"], window["end"]) == ("15:00", "16:30")
    assert window["days"] == ["monday", "tuesday", "wednesday", "thursday", "friday"]


def test_fixed_points_and_stretches_come_and_go(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "The house")
    unfold(page, "Meals")
    page.get_by_role("button", name="Another fixed point").click()
    part = page.locator("details", has=page.get_by_role("heading", name="Meals"))
    part.get_by_label("Name", exact=True).last.fill("Pottery")
    days = part.get_by_role("group", name="Pottery is on")
    for day in ("Mon", "Tue", "Wed", "Thu", "Sat", "Sun"):
        days.get_by_role("button", name=day).click()
    part.get_by_role("group", name="Who is taken by Pottery").get_by_role("button", name="Pip").click()
    part.get_by_label("Minutes one way").last.fill("15")
    unfold(page, "Stretches")
    page.get_by_role("button", name="Another stretch").click()
    stretches = page.locator("details", has=page.get_by_role("heading", name="Stretches"))
    stretches.get_by_label("Name", exact=True).last.fill("Late")
    stretches.get_by_label("from").last.fill("05:30")
    stretches.get_by_label("until").last.fill("06:00")
    save(page)
    house = house_of(day_site)
    pottery, late = house["fixed_points"][-1], house["stretches"][-1]
    pip = next(one["id"] for one in house["children"] if one["name"] == "Pip")
    assert (pottery["days"], pottery["children"], pottery["travel_after_min"]) == (["friday"], [pip], 15)
    assert (late["name"], late["start"]) == ("Late", "05:30")
    part.get_by_role("button", name="Take Pottery out").click()
    stretches.get_by_role("button", name="Take Late out").click()
    save(page)
    assert "Pottery" not in json.dumps(house_of(day_site))


def test_the_whole_house_leaves_as_a_file_and_comes_back(opened: Open, day_site: str, tmp_path: Path) -> None:
    page = opened(day_site)
    enter(page, "The house")
    with page.expect_download() as given:
        page.get_by_role("link", name="Everything as one file").click()
    file = tmp_path / "house.json"
    given.value.save_as(file)
    whole = json.loads(file.read_text(encoding="utf-8"))
    whole["document"]["household"]["name"] = "Burrow"
    file.write_text(json.dumps(whole), encoding="utf-8")
    page.get_by_label("Bring such a file in").set_input_files(file)
    expect(page.get_by_text("The file is here, in place of what was.")).to_be_visible()
    assert house_of(day_site)["name"] == "Burrow"
    with page.expect_response("**/api/undo"):
        page.get_by_role("button", name="Undo").click()
    assert house_of(day_site)["name"] != "Burrow"
    unfold(page, "Name of the household")
    expect(page.get_by_label("Name of the household")).not_to_have_value("Burrow")


def test_what_is_wrong_says_its_mend_at_the_field(opened: Open, day_site: str) -> None:
    before = house_of(day_site)
    page = opened(day_site)
    enter(page, "The house")
    unfold(page, "Children")
    page.get_by_label("Name or nickname").nth(1).fill("wren")
    page.get_by_label("Born in").nth(0).fill("2099-01")
    page.get_by_label("Bedtime of Wren", exact=True).fill("05:00")
    unfold(page, "Adults")
    page.get_by_label("from", exact=True).first.fill("23:00")
    unfold(page, "Adults")
    page.get_by_role("button", name=SAVE, exact=True).click()
    says(page.get_by_label("Name or nickname").nth(1), "Two people are called wren; add a letter")
    says(page.get_by_label("Born in").nth(0), "correct the year or the month")
    says(page.get_by_label("Bedtime of Wren", exact=True), "set it later")
    says(page.get_by_label("until").first, "It ends before it begins; give a later end.")
    assert faults(page) == []
    page.screenshot(path=picture_file("house-mends"))
    assert house_of(day_site) == before
    page.get_by_role("button", name="Drop these changes").click()
    expect(page.get_by_label("Bedtime of Wren", exact=True)).not_to_have_value("05:00")
    expect(page.get_by_role("button", name=SAVE, exact=True)).to_have_count(0)


@pytest.mark.parametrize("mine", [True, False])
def test_two_devices_at_once_and_a_choice(browser: Browser, day_site: str, mine: bool) -> None:
    """Not opened by the watchful fixture: the browser itself notes every refusal as an error."""
    page = browser.new_context(locale="en-GB", service_workers="block").new_page()
    page.goto(day_site)
    enter(page, "The house")
    unfold(page, "Children")
    page.get_by_label("Bedtime of Pip").fill("18:40")
    put(day_site, "household", house_of(day_site) | {"name": "Burrow"})
    page.get_by_role("button", name=SAVE, exact=True).click()
    expect(page.get_by_role("alert")).to_contain_text("changed elsewhere meanwhile")
    assert faults(page) == []
    page.get_by_role("button", name="Keep mine" if mine else "Take the other").click()
    if mine:
        expect(page.get_by_text("The house is saved.")).to_be_visible()
    house = house_of(day_site)
    assert (house["name"] == "Burrow") is not mine
    pip = next(one for one in house["children"] if one["name"] == "Pip")
    assert (pip["bed"] == "18:40") is mine
    expect(page.get_by_label("Bedtime of Pip")).to_have_value(pip["bed"])


def test_while_the_service_sleeps_it_says_so_and_keeps_what_is_written(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "The house")
    unfold(page, "Children")
    page.get_by_label("Bedtime of Pip").fill("18:40")
    page.evaluate("() => { window.fetch = () => Promise.reject(new TypeError('asleep')); }")
    page.get_by_role("button", name=SAVE, exact=True).click()
    expect(page.get_by_role("status").filter(has_text="asleep just now")).to_be_visible()
    page.get_by_role("button", name="Back to the week").click()
    page.go_forward()
    unfold(page, "Children")
    expect(page.get_by_label("Bedtime of Pip")).to_have_value("18:40")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
def test_pictures_of_the_house(opened: Open, pond_site: str, size: str, scheme: str) -> None:
    page = opened(pond_site, size, scheme)
    enter(page, "The house")
    expect(page.locator("summary")).to_have_count(10)
    for part in page.locator("summary").all():
        part.click()
    expect(page.get_by_label("Time zone")).to_be_visible()
    fits_everybody(page, size)
    page.screenshot(path=picture_file(f"house-{size}-{scheme}"))
