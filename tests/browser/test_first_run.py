"""The first run: an empty folder, six answers, what was taken for granted, a week worth keeping."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.conftest import SIZES, Open, picture_file
from tests.browser.rooms_fit import fits_everybody
from tests.browser.served import serving
from tests.browser.test_looks import faults
from tests.browser.test_stories import SOLVE_PATIENCE_MS, view_of
from tests.browser.test_touches import asked


@pytest.fixture
def empty_site(browser: Browser, tmp_path: Path) -> Iterator[str]:
    """A folder in which nobody lives."""
    with serving(tmp_path / "data") as address:
        yield address
        for context in browser.contexts:
            context.close()


def answer(page: Page) -> None:
    """The answers of an invented family of finches, one toddler small."""
    page.get_by_label("Name or nickname").nth(0).fill("Siskin")
    page.get_by_label("Born in").fill("2022-05")
    page.get_by_label("Naps of Siskin").select_option("none")
    page.get_by_label("Bedtime of Siskin").fill("19:30")
    page.get_by_label("Name or nickname").nth(1).fill("Brambling")
    page.get_by_role("button", name="pond or stream").click()
    page.get_by_role("button", name="Wednesday").click()
    page.get_by_label("Wednesday, minutes").fill("25")


def says(field: Locator, mend: str) -> None:
    """The mend stands at the field, for the eye and for a screen reader."""
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_have_accessible_description(re.compile(re.escape(mend)))


def test_six_answers_and_a_week_worth_keeping(opened: Open, empty_site: str) -> None:
    page = opened(empty_site)
    expect(page.get_by_role("heading", level=1)).to_have_text("Six answers, one week")
    answer(page)
    page.reload()
    expect(page.get_by_label("Bedtime of Siskin")).to_have_value("19:30")
    page.get_by_role("button", name="Go on").click()
    granted = page.get_by_role("region", name="Taken for granted")
    expect(granted.get_by_text("Siskin, wakes at: 06:45")).to_be_visible()
    expect(granted.get_by_role("listitem").filter(has_text="outdoors")).to_contain_text("published")
    expect(granted.get_by_role("listitem").filter(has_text="longest go")).to_contain_text("common practice")
    expect(granted.get_by_text("Siskin, bedtime")).to_have_count(0)
    assert asked(empty_site, "health")["has_household"] is False, "nothing is kept before it is looked over"
    page.get_by_role("button", name="Make the week").click()
    expect(page.get_by_role("region", name="Looking for the best week")).to_be_visible()
    expect(page.get_by_text("A new week is here.")).to_be_visible(timeout=SOLVE_PATIENCE_MS)
    expect(page.locator("main .card").first).to_be_visible()
    _is_worth_keeping(empty_site)


def _is_worth_keeping(site: str) -> None:
    view = view_of(site)
    child = view["household"]["children"][0]
    assert (child["name"], child["bed"], child["naps"]) == ("Siskin", "19:30", [])
    assert view["household"]["limits"]["prep"] == [{"evening": "wednesday", "minutes": 25, "quiet": True}]
    plan = view["stored"]["plan"]
    ranks = {wish["id"]: wish["rank"] for wish in view["week"]["wishes"]}
    assert "promise" not in {ranks[one["wish"]] for one in plan["left_over"]}
    assert {one["day"] for one in plan["bookings"]} >= set(view["week"]["teaching_days"])


def test_wrong_answers_say_their_mend_where_they_stand(opened: Open, empty_site: str) -> None:
    page = opened(empty_site)
    answer(page)
    page.get_by_role("button", name="Another child").click()
    page.get_by_label("Name or nickname").nth(1).fill("siskin")
    page.get_by_label("Born in").nth(1).fill("2099-01")
    page.get_by_label("Naps of siskin", exact=True).select_option("own")
    page.get_by_label("Nap from").fill("19:30")
    page.get_by_label("Bedtime of siskin", exact=True).fill("20:00")
    page.get_by_label("until").fill("06:00")
    page.get_by_role("button", name="Go on").click()
    name = page.get_by_label("Name or nickname").nth(1)
    says(name, "Two people are called siskin")
    expect(name).to_be_focused()
    says(page.get_by_label("Born in").nth(1), "correct the year or the month")
    says(page.get_by_label("Nap from"), "move it between waking and bedtime")
    says(page.get_by_label("until"), "It ends before it begins; give a later end.")
    expect(page.get_by_role("status").filter(has_text="To mend: 4.")).to_be_visible()
    assert faults(page) == []
    page.screenshot(path=picture_file("first-run-mends"))
    page.get_by_role("button", name="Take siskin out", exact=True).click()
    page.get_by_label("until").fill("20:00")
    page.get_by_role("button", name="Go on").click()
    expect(page.get_by_role("heading", name="Taken for granted")).to_be_visible()


def test_what_only_the_service_knows_is_said_at_its_place_too(browser: Browser, empty_site: str) -> None:
    """Not opened by the watchful fixture: the browser itself notes every refusal as an error."""
    page = browser.new_context(locale="en-GB", service_workers="block").new_page()
    page.goto(empty_site)
    answer(page)
    page.get_by_label("Wednesday, minutes").fill("301")
    page.get_by_role("button", name="Go on").click()
    says(page.get_by_label("Wednesday, minutes"), "this must be 300 at most")


def test_the_pond_week_first_and_then_the_own_house_with_a_way_back(opened: Open, empty_site: str) -> None:
    page = opened(empty_site)
    page.get_by_role("button", name="Look at the pond week first").click()
    expect(page.get_by_role("region", name="Looking for the best week")).to_be_visible()
    page.get_by_role("button", name="Stop looking").click()
    expect(page.get_by_text("Stopped.")).to_be_visible()
    pond = asked(empty_site, "household")
    page.goto(f"{empty_site}#start")
    page.reload()
    expect(page.get_by_text(f"“{pond['name']}” makes way")).to_be_visible()
    answer(page)
    page.get_by_role("button", name="Go on").click()
    page.get_by_role("button", name="Make the week").click()
    expect(page.get_by_text("Your house is here.")).to_be_visible()
    assert asked(empty_site, "household")["children"][0]["name"] == "Siskin"
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Taken back.")).to_be_visible()
    assert asked(empty_site, "household") == pond


def test_in_spanish_too(opened: Open, empty_site: str) -> None:
    page = opened(empty_site, "phone")
    page.get_by_role("button", name="Español").click()
    expect(page.get_by_role("heading", name="1 · ¿Qué niños?")).to_be_visible()
    page.get_by_role("button", name="Seguir").click()
    says(page.get_by_label("Nombre o apodo").first, "Aquí no hay nada; escriba un nombre o apodo.")
    page.screenshot(path=picture_file("first-run-spanish"))


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
def test_pictures_of_the_first_run(opened: Open, empty_site: str, size: str, scheme: str) -> None:
    page = opened(empty_site, size, scheme)
    answer(page)
    page.get_by_label("Naps of Siskin").select_option("own")
    fits_everybody(page, size)
    page.screenshot(path=picture_file(f"first-run-{size}-{scheme}"), full_page=True)
    page.get_by_role("button", name="Go on").click()
    expect(page.get_by_role("heading", name="Taken for granted")).to_be_visible()
    fits_everybody(page, size)
    page.screenshot(path=picture_file(f"granted-{size}-{scheme}"), full_page=True)
