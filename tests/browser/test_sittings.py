"""An activity in several sittings: waits between them, needs of each child, refusals that lose nothing."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Route, expect

from tests.browser.conftest import Open, picture_file
from tests.browser.rooms_fit import fits_everybody
from tests.browser.test_friday import enter
from tests.browser.test_looks import faults
from tests.browser.test_rooms import found, shelf
from tests.browser.test_touches import put

REEDS = "Reed weaving"


def kept(site: str) -> Any:
    """The activity as the service has it."""
    return shelf(site)[REEDS]["activity"]


def opened_activity(page: Page, title: str = REEDS) -> None:
    enter(page, "The catalogue")
    found(page, title).click()


def part(page: Page, title: str) -> Any:
    """One folded part, opened."""
    page.locator("summary", has_text=title).first.click()
    return page.locator("details.editor-part", has=page.locator("summary", has_text=title)).first


def test_a_sitting_is_added_with_a_wait_before_it(opened: Open, day_site: str) -> None:
    before = kept(day_site)
    assert (len(before["sittings"]), before["waits"]) == (1, [])
    page = opened(day_site)
    opened_activity(page)
    page.get_by_role("button", name="Add a sitting").click()
    first = part(page, "Sitting 1:")
    first.get_by_label("Afterwards it").select_option(label="dries")
    first.get_by_label("At least, min").fill("90")
    first.get_by_label("At most, min").fill("2880")
    expect(first.get_by_text("48 h")).to_be_visible()
    first.get_by_label("Where it waits").select_option(index=1)
    first.get_by_text("Tools and supplies").click()
    first.get_by_role("button", name="Add: Tools and supplies").click()
    first.get_by_role("button", name="for each child").last.click()
    second = part(page, "Sitting 2:")
    second.get_by_label("It is called").fill("hang it up")
    second.get_by_label("Minutes,").first.fill("5")
    assert kept(day_site) == before, "nothing counts before it is kept"
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text(f"{REEDS} is kept.")).to_be_visible()
    after = kept(day_site)
    holder = after["waits"][0].pop("holder")
    assert after["waits"] == [{"kind": "dry", "least_min": 90, "most_min": 2880, "units": 1}]
    assert holder
    assert after["sittings"][0]["needs"][-1]["each_child"]
    assert after["sittings"][1]["name"] == "hang it up"
    assert 5 in [one["minutes"] for one in after["sittings"][1]["parts"].values()]
    assert faults(page) == []
    page.get_by_role("button", name="Leave out: Sitting 2: hang it up").click()
    first.get_by_label("Afterwards it").select_option(label="waits for nothing")
    page.get_by_role("button", name="Keep it").click()
    expect(page.locator("summary", has_text="Sitting 2:")).to_have_count(0)
    expect(page.get_by_role("button", name="Drop these changes")).to_have_count(0)
    assert (len(kept(day_site)["sittings"]), kept(day_site)["waits"]) == (1, [])
    for _ in range(2):
        with page.expect_response("**/api/undo"):
            page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Taken back").first).to_be_visible()
    assert kept(day_site) == before


def test_a_step_of_an_adult_alone_waits_for_nobody_else(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    opened_activity(page)
    page.get_by_role("button", name="Add a sitting").click()
    step = part(page, "Sitting 2:")
    step.get_by_label("It is called").fill("put it in the oven")
    step.get_by_role("button", name="an adult, without the children").click()
    step.get_by_label("Minutes", exact=True).fill("4")
    step.get_by_label("Afterwards it").select_option(label="bakes")
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text(f"{REEDS} is kept.")).to_be_visible()
    after = kept(day_site)
    assert (after["sittings"][1]["adult_min"], after["sittings"][1]["parts"]) == (4, {})
    assert [one["kind"] for one in after["waits"]] == ["rest", "bake"]


def test_what_is_refused_is_said_in_its_place_and_stays_written(opened: Open, day_site: str) -> None:
    before = kept(day_site)
    page = opened(day_site)
    opened_activity(page)
    page.get_by_role("button", name="Add a sitting").click()
    first = part(page, "Sitting 1:")
    first.get_by_label("Afterwards it").select_option(label="rises")
    first.get_by_label("At least, min").fill("50")
    first.get_by_label("At most, min").fill("10")
    first.locator("summary", has_text="Tools and supplies").click()
    first.get_by_role("button", name="Add: Tools and supplies").click()
    first.get_by_label("How many").last.fill("0")
    part(page, "Sitting 2:").get_by_label("It is called").fill("")
    for summary in ("Sitting 1:", "Sitting 2:"):
        page.locator("summary", has_text=summary).click()
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_role("alert")).to_contain_text("there is nothing here; write something")
    for label in ("At least, min", "How many", "It is called"):
        expect(page.locator("[aria-invalid=true]").and_(page.get_by_label(label)).last).to_be_visible()
    assert kept(day_site) == before
    page.get_by_role("button", name="Back to the week").click()
    opened_activity(page)
    expect(page.get_by_label("At most, min")).to_have_value("10")
    page.get_by_role("button", name="Drop these changes").click()
    expect(page.locator("summary", has_text="Sitting 2:")).to_have_count(0)
    assert kept(day_site) == before


def test_ages_come_and_go_with_what_they_do(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    opened_activity(page)
    ages = len(kept(day_site)["versions"])
    page.get_by_role("button", name="Add an age").click()
    oldest = part(page, "24 to 84 months")
    oldest.get_by_label("From months").fill("85")
    page.get_by_label("To months").nth(ages).fill("120")
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text(f"{REEDS} is kept.")).to_be_visible()
    new = kept(day_site)["versions"][-1]
    assert (new["age_from_months"], new["age_to_months"]) == (85, 120)
    assert new["id"] in kept(day_site)["sittings"][0]["parts"]
    page.get_by_role("button", name="Leave out: 85 to 120 months").click()
    with page.expect_response("**/api/activities/*"):
        page.get_by_role("button", name="Keep it").click()
    expect(page.locator("summary", has_text="85 to 120 months")).to_have_count(0)
    assert len(kept(day_site)["versions"]) == ages
    assert new["id"] not in str(kept(day_site))


def test_what_can_hurt_is_said_where_an_activity_is_written(opened: Open, day_site: str) -> None:
    """Without it the gates of safety know nothing of what the family adds."""
    page = opened(day_site)
    opened_activity(page)
    care = part(page, "Care, weather, together")
    care.get_by_role("group", name="What can hurt").get_by_role("button", name="small parts").click()
    care.get_by_role("group", name="It holds").get_by_role("button", name="wheat").click()
    care.get_by_label("Weather it needs").select_option("dry")
    care.get_by_label("Adults needed").fill("2")
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text(f"{REEDS} is kept.")).to_be_visible()
    after = kept(day_site)
    assert "small part" in after["hazards"]
    assert "wheat" in after["allergens"]
    assert (after["weather"], after["adults_needed"]) == ("dry", 2)
    assert faults(page) == []


def test_a_recipe_keeps_its_lines_and_grows_with_the_children(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    opened_activity(page)
    resources = part(page, "Links, recipes, printables")
    resources.get_by_role("button", name="Add: Links, recipes, printables").click()
    resources.get_by_label("Name").fill("Paste")
    resources.get_by_label("Recipe or note").fill("For 2 children:\n100 g flour\n1 cup water")
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text(f"{REEDS} is kept.")).to_be_visible()
    assert kept(day_site)["resources"][0]["text"] == "For 2 children:\n100 g flour\n1 cup water"
    page.get_by_role("spinbutton", name="For how many children").fill("4")
    grown = page.get_by_role("listitem").filter(has_text="200 g flour").last
    expect(grown).to_contain_text("2 cup")
    assert "For 4 children:\n200 g flour" in grown.inner_text(), "each line stays a line"


def test_the_open_editor_fits_a_phone(opened: Open, day_site: str) -> None:
    page = opened(day_site, "phone")
    opened_activity(page)
    page.get_by_role("button", name="Add a sitting").click()
    part(page, "Sitting 1:").get_by_label("Afterwards it").select_option(label="cools")
    page.screenshot(path=picture_file("sittings-phone"), full_page=True)
    fits_everybody(page, "phone")


def test_how_it_sits_in_a_day_is_said_in_the_page_too(opened: Open, day_site: str) -> None:
    before = kept(day_site)
    page = opened(day_site)
    opened_activity(page)
    manner = part(page, "How it goes")
    manner.get_by_label("Attention it takes").select_option(label="listening")
    manner.get_by_label("Beside something else").select_option(label="busy hands: ears are free")
    manner.get_by_label("How lively").fill("9")
    manner.get_by_label("How loud").fill("0")
    manner.get_by_label("Days between two times").fill("2")
    manner.get_by_label("Book").select_option(index=1)
    manner.get_by_label("Only after").select_option(index=1)
    page.get_by_role("button", name="Keep it").click()
    expect(manner.get_by_label("How lively")).to_have_attribute("aria-invalid", "true")
    expect(page.get_by_role("alert").get_by_role("listitem")).to_have_count(1)
    assert faults(page) == []
    assert kept(day_site) == before
    manner.get_by_label("How lively").fill("4")
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text(f"{REEDS} is kept.")).to_be_visible()
    after = kept(day_site)
    said = {key: after[key] for key in ("focus", "alongside", "energy", "noise", "least_gap_days")}
    assert said == {
        "focus": "listening",
        "alongside": "busy hands",
        "energy": 4,
        "noise": 0,
        "least_gap_days": 2,
    }
    assert after["book"]
    assert after["needs_first"]
    assert faults(page) == []


def test_what_is_written_while_the_kept_one_comes_back_stays(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    opened_activity(page)
    held: list[Route] = []
    page.route("**/api/catalogue", lambda route: held.append(route))
    page.get_by_label("Take care").fill("Reeds have sharp edges.")
    with page.expect_request("**/api/catalogue"):
        page.get_by_role("button", name="Keep it").click()
    page.get_by_label("Take care").fill("Reeds have sharp edges: slowly.")
    with page.expect_response("**/api/catalogue"):
        held[0].continue_()
    expect(page.get_by_label("Take care")).to_have_value("Reeds have sharp edges: slowly.")
    page.get_by_role("button", name="Drop these changes").click()
    expect(page.get_by_label("Take care")).to_have_value("Reeds have sharp edges.")


@pytest.mark.parametrize(("stays", "said"), [("Keep mine", "Slowly."), ("Take the other", "With gloves.")])
def test_of_two_tablets_that_change_one_activity_one_is_chosen(
    browser: Browser, day_site: str, stays: str, said: str
) -> None:
    """Not opened by the watchful fixture: the browser itself notes every refusal as an error."""
    page = browser.new_context(locale="en-GB", service_workers="block").new_page()
    page.goto(day_site)
    opened_activity(page)
    page.get_by_label("Take care").fill("Slowly.")
    there = kept(day_site) | {"caution": "With gloves."}
    put(day_site, f"activities/{there['id']}", there)
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_role("alert")).to_contain_text("changed elsewhere meanwhile")
    assert kept(day_site)["caution"] == "With gloves."
    page.get_by_role("button", name=stays).click()
    expect(page.get_by_label("Take care")).to_have_value(said)
    expect(page.get_by_role("button", name="Drop these changes")).to_have_count(0)
    assert kept(day_site)["caution"] == said
    page.get_by_label("Take care").fill("Slowly, with gloves.")
    with page.expect_response("**/api/activities/*") as answer:
        page.get_by_role("button", name="Keep it").click()
    assert (answer.value.status, kept(day_site)["caution"]) == (200, "Slowly, with gloves.")
