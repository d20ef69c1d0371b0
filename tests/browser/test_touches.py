"""A parent's day by touch: something happens, a way on is chosen; ticks, moves, notes; all of it undone."""

from __future__ import annotations

import json
import urllib.request
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.conftest import SIZES, Open, picture_file
from tests.browser.test_looks import WAYS_PATIENCE_MS, faults, go_to
from tests.browser.test_stories import view_of
from tests.browser.waiting import all_sent


def asked(site: str, path: str) -> Any:
    """What the service answers."""
    with urllib.request.urlopen(f"{site}api/{path}") as answer:
        return json.load(answer)


def put(site: str, path: str, what: Any) -> None:
    """Something in place of what the service has, as another device does it."""
    body, headers = json.dumps(what).encode(), {"content-type": "application/json"}
    urllib.request.urlopen(urllib.request.Request(f"{site}api/{path}", body, headers, method="PUT")).close()


def marks_of(site: str) -> Any:
    """Ticks and notes as the service has them."""
    return asked(site, f"weeks/{view_of(site)['week']['id']}/marks")


def plan_of(site: str) -> Any:
    """The bookings as the service has them, by id."""
    return {one["id"]: one for one in view_of(site)["stored"]["plan"]["bookings"]}


def to_ways(page: Page, touch: str) -> Any:
    """Touch what happened, and wait for the ways on."""
    page.get_by_role("button", name="Something happened").click()
    page.get_by_role("dialog").get_by_role("button", name=touch).first.click()
    ways = page.get_by_role("region", name="Ways on from here")
    expect(ways.get_by_role("button", name="Leave it as it is")).to_be_visible()
    expect(ways.get_by_role("status")).not_to_contain_text("Looking for", timeout=WAYS_PATIENCE_MS)
    return ways


@pytest.mark.parametrize("size", SIZES)
def test_two_touches_from_a_lost_day_to_its_ways(opened: Open, day_site: str, size: str) -> None:
    before = plan_of(day_site)
    page = opened(day_site, size)
    go_to(page, "Wednesday")
    ways = to_ways(page, "The day is lost")
    assert 1 <= ways.get_by_role("listitem").locator(".way").count() <= 3
    assert plan_of(day_site) == before, "nothing changes until a way is chosen"
    assert faults(page) == []
    page.screenshot(path=picture_file(f"ways-{size}"))
    ways.get_by_role("button", name="Do this").click()
    expect(page.get_by_text("Changed.")).to_be_visible()
    after = plan_of(day_site)
    assert after != before
    assert not [one for one in after.values() if one["day"] == "wednesday" and one["attends"]]
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Taken back")).to_be_visible()
    assert plan_of(day_site) == before
    assert view_of(day_site)["stored"]["is_current"]


def test_a_way_is_shown_in_the_day_before_it_is_chosen(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    go_to(page, "Wednesday")
    cards = page.locator("main .card").count()
    ways = to_ways(page, "The day is lost")
    assert page.locator("main .card").count() < cards
    expect(page.get_by_role("button", name="Make a new week")).to_have_count(0)
    ways.get_by_role("button", name="Leave it as it is").click()
    assert page.locator("main .card").count() == cards


def test_a_tick_is_there_at_once_and_can_be_taken_back(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    go_to(page, "Tuesday")
    tick = page.locator(".act-tick").first
    tick.click()
    expect(tick).to_have_attribute("aria-pressed", "true")
    expect(page.get_by_role("status").filter(has_text="done.")).to_be_visible()
    all_sent(page)
    assert [one["outcome"] for one in marks_of(day_site)["ticks"]] == ["done"]
    page.get_by_role("button", name="Undo").click()
    expect(tick).to_have_attribute("aria-pressed", "false")
    assert marks_of(day_site)["ticks"] == []


def test_more_of_a_card_tells_why_and_takes_notes(opened: Open, day_site: str) -> None:
    page = opened(day_site, "tablet")
    go_to(page, "Tuesday")
    card = page.locator("main .card").first
    title = card.locator("h3").inner_text().replace("\n", " ")
    card.get_by_role("button", name="More about").first.click()
    sheet = page.get_by_role("dialog")
    expect(sheet.get_by_role("heading", level=2)).to_have_text(title)
    assert faults(page) == []
    page.screenshot(path=picture_file("card-tablet"))
    sheet.get_by_role("button", name="Why here?").click()
    expect(sheet).to_contain_text(f"{title} is on Tuesday", timeout=WAYS_PATIENCE_MS)
    page.keyboard.press("Escape")
    expect(sheet).to_have_count(0)
    card.get_by_role("button", name="More about").first.click()
    sheet.get_by_role("button", name="Write a note").click()
    sheet.get_by_role("textbox").fill("Asked for the second page again")
    sheet.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text("Noted.")).to_be_visible()
    all_sent(page)
    assert [one["text"] for one in marks_of(day_site)["notes"]] == ["Asked for the second page again"]


def test_loved_is_told_on_the_card(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    go_to(page, "Tuesday")
    card = page.locator("main .card").first
    card.get_by_role("button", name="More about").first.click()
    page.get_by_role("dialog").get_by_role("button", name="Loved").click()
    expect(card.locator(".act-tick").first).to_have_text("Loved")
    expect(page.get_by_role("dialog")).to_have_count(0)


def test_held_firm_and_let_loose(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    go_to(page, "Tuesday")
    card = page.locator("main .card").first
    card.get_by_role("button", name="More about").first.click()
    page.get_by_role("dialog").get_by_role("button", name="Hold firm").click()
    expect(card.get_by_text("held firm")).to_be_visible()
    view = view_of(day_site)
    assert len(view["week"]["firm"]) == 1
    assert view["stored"]["is_current"]
    page.get_by_role("button", name="Undo").click()
    expect(card.get_by_text("held firm")).to_have_count(0)
    assert view_of(day_site)["week"]["firm"] == []


def test_not_today_asks_for_a_reason_and_finds_a_way(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    go_to(page, "Thursday")
    card = page.locator("main .card").first
    card.get_by_role("button", name="More about").first.click()
    page.get_by_role("dialog").get_by_role("button", name="too hard").click()
    ways = page.get_by_role("region", name="Ways on from here")
    expect(ways.get_by_role("button", name="Do this")).to_be_visible(timeout=WAYS_PATIENCE_MS)
    assert faults(page) == []
    all_sent(page)
    (line,) = asked(day_site, "log")
    assert (line["outcome"], line["reason"], line["minutes"]) == ("no", "too hard", 0)
    assert marks_of(day_site)["ticks"] == []


def movable(site: str) -> tuple[dict[str, Any], str, str]:
    """A booking of the week with a stretch of another day where it fits, as the service says."""
    view = view_of(site)
    week = view["week"]["id"]
    for booking in view["stored"]["plan"]["bookings"]:
        if booking["alongside"] or booking["meal"] or booking["lighter"]:
            continue
        for reason in asked(site, f"weeks/{week}/why/{booking['id']}")["reasons"]:
            if not reason["rules"] and reason["day"] != booking["day"]:
                return booking, reason["day"], reason["ids"][1]
    raise AssertionError("nothing in this week could be anywhere else")


def refused_spot(site: str, booking: dict[str, Any]) -> tuple[str, str]:
    """A stretch in which the booking's own rules leave it no start."""
    week = view_of(site)["week"]["id"]
    reasons = asked(site, f"weeks/{week}/why/{booking['id']}")["reasons"]
    own = (["hours"], ["child_free"])
    return next((one["day"], one["ids"][1]) for one in reasons if one["rules"][:1] in own)


def open_move(page: Page, site: str, booking: dict[str, Any]) -> Any:
    """The sheet for moving a booking, by its handle."""
    titles = {one["id"]: one["title"] for one in view_of(site)["activities"]}
    go_to(page, booking["day"].capitalize())
    page.get_by_role("button", name=f"Move {titles[booking['activity']]}").first.click()
    return page.get_by_role("dialog")


def test_moving_without_dragging(opened: Open, day_site: str) -> None:
    booking, day, stretch = movable(day_site)
    page = opened(day_site)
    sheet = open_move(page, day_site, booking)
    expect(sheet.get_by_text("It is here now.")).to_be_visible()
    sheet.get_by_label("Day").select_option(day)
    sheet.get_by_label("Stretch").select_option(stretch)
    sheet.get_by_role("button", name="See whether it fits").click()
    way = sheet.get_by_role("button", name="Move").last
    expect(sheet.locator(".verdict")).to_be_visible(timeout=WAYS_PATIENCE_MS)
    assert faults(page) == []
    page.screenshot(path=picture_file("move"))
    way.click()
    page.get_by_role("button", name="Do this").click()
    expect(page.get_by_text("Changed.")).to_be_visible()
    there = plan_of(day_site)[booking["id"]]
    assert (there["day"], there["stretch"], there["state"]) == (day, stretch, "firm")
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Taken back")).to_be_visible()
    assert plan_of(day_site)[booking["id"]] == booking


def test_a_move_against_the_rules_is_refused_with_the_rule(opened: Open, day_site: str) -> None:
    booking, _, _ = movable(day_site)
    day, stretch = refused_spot(day_site, booking)
    page = opened(day_site)
    sheet = open_move(page, day_site, booking)
    sheet.get_by_label("Day").select_option(day)
    sheet.get_by_label("Stretch").select_option(stretch)
    sheet.get_by_role("button", name="See whether it fits").click()
    expect(sheet.get_by_role("status")).to_contain_text("It cannot be there", timeout=WAYS_PATIENCE_MS)
    assert sheet.locator(".verdict li").inner_text()
    assert sheet.locator(".verdict button").count() == 0


def test_an_answer_for_another_spot_is_not_shown(opened: Open, day_site: str) -> None:
    """The answer comes late: by then somewhere else is chosen, and nobody may do what they do not see."""
    booking, day, stretch = movable(day_site)
    page = opened(day_site)
    waiting: list[Route] = []
    page.route("**/move", lambda route: waiting.append(route))
    sheet = open_move(page, day_site, booking)
    sheet.get_by_label("Day").select_option(day)
    sheet.get_by_label("Stretch").select_option(stretch)
    with page.expect_request("**/move"):
        sheet.get_by_role("button", name="See whether it fits").click()
    expect(sheet.get_by_role("button", name="See whether it fits")).to_be_disabled()
    sheet.get_by_label("Day").select_option(booking["day"])
    sheet.get_by_label("Stretch").select_option(booking["stretch"])
    with page.expect_response("**/move"):
        waiting[0].continue_()
    expect(sheet.get_by_text("It is here now.")).to_be_visible()
    expect(sheet.locator(".verdict")).to_have_count(0)
    sheet.get_by_label("Day").select_option(day)
    sheet.get_by_label("Stretch").select_option(stretch)
    expect(sheet.get_by_role("button", name="See whether it fits")).to_be_enabled()


def test_dragging_by_the_handle_asks_for_the_same_move(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    go_to(page, "Tuesday")
    grip = page.locator(".act-grip").first
    grip.scroll_into_view_if_needed()
    box, to = grip.bounding_box(), page.locator(".band-day[data-day='thursday']").bounding_box()
    assert box
    assert to
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(to["x"] + 20, to["y"] + 20, steps=8)
    expect(page.locator(".is-under")).to_have_attribute("data-day", "thursday")
    page.mouse.up()
    expect(page.get_by_role("dialog").get_by_label("Day")).to_have_value("thursday")
    expect(page.locator(".is-held")).to_have_count(0)


def test_ten_steps_back(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    go_to(page, "Tuesday")
    ticks = page.locator(".act-tick")
    steps = [0, 1, 2, 3, 0, 1, 2, 3, 0, 1]
    for step in steps:
        ticks.nth(step).click()
        all_sent(page)
    assert len(marks_of(day_site)["ticks"]) == 2
    for _ in steps:
        with page.expect_response("**/api/weeks/*/marks"):
            page.get_by_role("button", name="Undo").click()
    assert marks_of(day_site)["ticks"] == []
    expect(page.get_by_text("Taken back")).to_be_visible()
    expect(page.get_by_role("button", name="Undo")).to_have_count(0)
    assert view_of(day_site)["stored"], "the household itself is not for a wet thumb to take back"


def test_the_page_speaks_spanish_too(opened: Open, day_site: str) -> None:
    page = opened(day_site, "phone")
    page.get_by_role("button", name="More about the week").click()
    page.get_by_role("button", name="Español").click()
    expect(page.get_by_role("heading", name="Más sobre la semana")).to_be_visible()
    page.get_by_role("button", name="Cerrar").click()
    expect(page.get_by_role("button", name="Ha pasado algo")).to_be_visible()
    assert page.locator("html").get_attribute("lang") == "es"
    assert faults(page) == []
    page.screenshot(path=picture_file("spanish-phone"))
    page.reload()
    expect(page.get_by_role("button", name="Ha pasado algo")).to_be_visible()


def test_ways_made_ahead_are_there_at_once(opened: Open, day_site: str) -> None:
    """They come without asking the service again, and can be accepted like any other."""
    week = view_of(day_site)["week"]["id"]
    page = opened(day_site)
    for _ in range(600):
        ready = asked(day_site, f"weeks/{week}/ready")
        tired = [one for one in ready if one["happened"]["mishaps"][0]["kind"] == "tired"]
        if tired:
            break
        page.wait_for_timeout(200)
    assert tired, "nothing was made ahead"
    calls: list[str] = []
    page.on("request", lambda request: calls.append(request.url))
    with page.expect_response("**/ready"):
        page.reload()
    page.wait_for_timeout(200)
    go_to(page, tired[0]["happened"]["mishaps"][0]["day"].capitalize())
    page.get_by_role("button", name="Something happened").click()
    page.context.set_offline(True)
    page.get_by_role("dialog").get_by_role("button", name="A tired day").click()
    sentence = tired[0]["offers"][0]["offer"]["sentence"]
    expect(page.locator(".way").first).to_contain_text(sentence)
    page.context.set_offline(False)
    assert not [call for call in calls if call.endswith("/mend")]
    page.get_by_role("button", name="Do this").click()
    expect(page.get_by_text("Changed.")).to_be_visible()
