"""What somebody does on the page, from the first look to a new week; all against the real service."""

from __future__ import annotations

import json
import re
import urllib.request
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.answers import saying, verdict
from tests.browser.conftest import Open

SOLVE_PATIENCE_MS = 180_000


def view_of(site: str) -> dict[str, Any]:
    """The view of the only week that this site holds."""
    with urllib.request.urlopen(f"{site}api/weeks") as answer:
        week = json.load(answer)[0]["id"]
    with urllib.request.urlopen(f"{site}api/weeks/{week}/view") as answer:
        view: dict[str, Any] = json.load(answer)
    return view


def heading(page: Page) -> Any:
    """The name of the day that is shown."""
    return page.get_by_role("heading", level=1)


def test_opens_on_the_first_day_that_has_something(opened: Open, pond_site: str) -> None:
    view = view_of(pond_site)
    days = [booking["day"] for booking in view["stored"]["plan"]["bookings"]]
    first = next(day for day in ("monday", "tuesday", "wednesday", "thursday", "friday") if day in days)
    page = opened(pond_site)
    expect(heading(page)).to_have_text(first.capitalize())


def test_shows_every_booking_of_every_day(opened: Open, pond_site: str) -> None:
    view = view_of(pond_site)
    titles = {activity["id"]: activity["title"] for activity in view["activities"]}
    page = opened(pond_site)
    for button in page.locator(".band-day").all():
        button.click()
        day = heading(page).inner_text().lower()
        booked = [b for b in view["stored"]["plan"]["bookings"] if b["day"] == day]
        shown = page.locator("main").locator("h3, h4").all_inner_texts()
        for booking in booked:
            assert titles[booking["activity"]] in shown
        assert page.locator("main .card, main .slip, main .step").count() == len(booked)


def test_arrow_keys_change_the_day(opened: Open, pond_site: str) -> None:
    page = opened(pond_site)
    page.locator(".band-day").nth(0).click()
    expect(heading(page)).to_have_text("Monday")
    page.keyboard.press("ArrowRight")
    expect(heading(page)).to_have_text("Tuesday")
    expect(page.locator(".band-day:focus")).to_have_attribute("aria-current", "true")
    page.keyboard.press("End")
    expect(heading(page)).to_have_text("Sunday")
    page.keyboard.press("ArrowRight")
    expect(heading(page)).to_have_text("Sunday")
    page.keyboard.press("Home")
    expect(heading(page)).to_have_text("Monday")
    assert page.locator(".band-day[tabindex='0']").count() == 1


def test_everything_is_reached_without_a_mouse(opened: Open, pond_site: str) -> None:
    page = opened(pond_site)
    page.wait_for_selector(".band")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Skip to the day")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()


def test_a_morning_by_keyboard_alone(opened_shown: Open, shown: str) -> None:
    """Tick, ask for a swap, hear which rule is in the way, leave, go on where it was; never a mouse."""
    page = opened_shown()
    page.locator(".band-day").nth(1).focus()
    page.keyboard.press("Enter")
    expect(heading(page)).to_have_text("Tuesday")
    tick = page.locator(".act-tick").first
    tick.focus()
    with saying(page, {"**/outbox": '{"ids": []}', "**/swap": verdict(shown, fits=False)}):
        page.keyboard.press("Space")
        expect(tick).to_have_attribute("aria-pressed", "true")
        page.keyboard.press("Tab")
        page.keyboard.press("Tab")
        more = page.locator(".act:focus")
        expect(more).to_have_accessible_name(re.compile("^More about "))
        page.keyboard.press("Enter")
        sheet = page.get_by_role("dialog")
        tab_to(page, "Swap for a spare")
        page.keyboard.press("Enter")
        expect(sheet.get_by_role("status")).to_contain_text("Nothing spare fits here")
        page.keyboard.press("Escape")
    expect(sheet).to_have_count(0)
    expect(page.locator(".act:focus")).to_have_accessible_name(re.compile("^More about "))


def tab_to(page: Page, name: str) -> None:
    """Press Tab until the button of this name has the focus."""
    for _ in range(20):
        if page.get_by_role("button", name=name).evaluate("one => one === document.activeElement"):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"{name} is not reached")


def test_tells_what_is_left_over_and_why(opened: Open, pond_site: str) -> None:
    left = view_of(pond_site)["stored"]["plan"]["left_over"]
    assert left, "the demo week asks for more than fits"
    page = opened(pond_site)
    note = page.locator(".note-left")
    for one in left:
        expect(note).to_contain_text(one["title"])
        expect(note).to_contain_text(one["reason"]["sentence"])
        expect(note).to_contain_text(one["reason"]["freed_by"])


def test_claims_proof_only_where_there_is_one(opened: Open, pond_site: str) -> None:
    tiers = view_of(pond_site)["stored"]["plan"]["tiers"]
    said = opened(pond_site).locator(".note-sure").inner_text()
    assert ("Proved best\n" in said) == all(tier["proved"] for tier in tiers)


def test_a_search_shows_how_near_it_is_and_can_be_stopped(opened: Open, patient_site: str) -> None:
    before = view_of(patient_site)["stored"]["id"]
    page = opened(patient_site)
    page.get_by_role("button", name="Make a new week").click()
    making = page.get_by_role("region", name="Looking for the best week")
    expect(making.get_by_role("status")).to_contain_text("at most 10 % from the best there can be")
    expect(making.get_by_role("progressbar")).to_have_attribute("value", "0.9")
    expect(page.get_by_role("button", name="Make a new week")).to_have_count(0)
    making.get_by_role("button", name="Stop looking").click()
    expect(page.get_by_text("Stopped. The week you had is still here.")).to_be_visible()
    expect(making).to_have_count(0)
    assert view_of(patient_site)["stored"]["id"] == before
    assert view_of(patient_site)["job"]["state"] == "cancelled"


def test_a_search_can_be_ended_with_the_week_that_fits_by_now(opened: Open, patient_site: str) -> None:
    before = view_of(patient_site)["stored"]["id"]
    page = opened(patient_site)
    page.get_by_role("button", name="Make a new week").click()
    making = page.get_by_role("region", name="Looking for the best week")
    making.get_by_role("button", name="That will do").click()
    expect(making.get_by_role("button", name="That will do")).to_have_count(0)
    expect(page.get_by_text("A new week is here.")).to_be_visible(timeout=SOLVE_PATIENCE_MS)
    expect(making).to_have_count(0)
    stored = view_of(patient_site)["stored"]
    assert stored["id"] != before
    assert stored["plan"]["stopped"]
    assert stored["plan"]["bookings"]


def test_a_search_is_still_shown_after_the_page_was_closed(opened: Open, patient_site: str) -> None:
    page = opened(patient_site)
    page.get_by_role("button", name="Make a new week").click()
    making = page.get_by_role("region", name="Looking for the best week")
    expect(making).to_be_visible()
    page.reload()
    expect(making.get_by_role("status")).to_contain_text("at most 10 %")
    making.get_by_role("button", name="Stop looking").click()
    expect(making).to_have_count(0)


def test_the_first_week_comes_by_one_press(opened: Open, bare_site: str) -> None:
    page = opened(bare_site)
    expect(page.get_by_role("heading", name="No week here yet")).to_be_visible()
    page.get_by_role("button", name="Make the week").click()
    expect(page.get_by_text("A new week is here.")).to_be_visible(timeout=SOLVE_PATIENCE_MS)
    assert view_of(bare_site)["stored"]["plan"]["bookings"]
    expect(page.locator("main .card").first).to_be_visible()


@pytest.mark.parametrize("answered", [True, False])
def test_a_silent_service_is_said_plainly(browser: Any, pond_site: str, answered: bool) -> None:
    context = browser.new_context()
    page = context.new_page()
    if not answered:
        page.route("**/api/**", lambda route: route.abort())
    page.goto(pond_site)
    if answered:
        page.wait_for_selector(".band")
        page.route("**/api/**", lambda route: route.abort())
        page.get_by_role("button", name="Make a new week").click()
    said = page.get_by_role("alert")
    expect(said).to_contain_text("The service does not answer just now.")
    expect(said).to_contain_text("You see the week as it was at" if answered else "nothing stored")
    page.unroute("**/api/**")
    said.get_by_role("button", name="Try now").click()
    expect(said).to_have_count(0)
    expect(page.locator(".band")).to_be_visible()
    context.close()


def test_a_refusal_is_told_in_the_services_words(browser: Any, pond_site: str) -> None:
    context = browser.new_context()
    page = context.new_page()
    problem = json.dumps({"title": "It needs mending", "detail": "nobody is at home", "status": 422})
    page.route("**/solve", lambda route: route.fulfill(status=422, body=problem))
    page.goto(pond_site)
    page.get_by_role("button", name="Make a new week").click()
    expect(page.get_by_role("status")).to_contain_text("nobody is at home")
    context.close()
