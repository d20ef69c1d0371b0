"""The rooms beside the week: what lies ahead, themes, the catalogue. What is changed is taken back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import SIZES, Open, picture_file
from tests.browser.rooms_fit import LEAST_TARGET_PX
from tests.browser.test_friday import enter
from tests.browser.test_looks import faults
from tests.browser.test_stories import view_of
from tests.browser.test_touches import asked, put

ROOMS = {"ahead": "What lies ahead", "themes": "Themes", "catalogue": "The catalogue"}
PDF = b"%PDF-1.7\n%%EOF\n"


def ahead(site: str) -> Any:
    """What lies ahead, as the service sees it."""
    return asked(site, f"weeks/{view_of(site)['week']['id']}/ahead")


def part(page: Page, name: str) -> Any:
    return page.get_by_role("region", name=name, exact=True)


def test_what_is_ready_bought_and_renewed_is_said_by_one_touch(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "What lies ahead")
    evening = ahead(day_site)["evenings"][0]
    task = evening["batches"][0]["items"][0]
    ready = page.get_by_role("button", name=f"{task['name']}: ready")
    expect(ready).to_have_attribute("aria-pressed", "false")
    ready.click()
    expect(ready).to_have_attribute("aria-pressed", "true")
    assert ahead(day_site)["evenings"][0]["batches"][0]["items"][0]["done"]
    buy = ahead(day_site)["to_buy"][0]
    bought = page.get_by_role("button", name=f"Bought: {buy['name']}")
    bought.click()
    expect(bought).to_have_count(0)
    page.get_by_role("button", name="Undo").click()
    expect(bought).to_be_visible()
    (book,) = ahead(day_site)["books"]
    books = part(page, "Books")
    books.get_by_label("May stay until").fill("2027-04-30")
    books.get_by_role("button", name=f"Renewed: {book['title']}").click()
    expect(books.get_by_text("Fri 30 April")).to_be_visible()
    assert ahead(day_site)["books"][0]["renewals_left"] == book["renewals_left"] - 1


def test_another_shop_in_the_week_is_added_and_taken_back(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "What lies ahead")
    page.locator("summary", has_text="Shopping days: before the week").click()
    page.get_by_label("Another shop on").select_option(label="Thursday")
    page.get_by_label("at", exact=True).fill("15:30")
    page.get_by_role("button", name="Add this shop").click()
    expect(page.get_by_text("Shopping days: before the week · Thursday 15:30")).to_be_visible()
    assert view_of(day_site)["week"]["shops"][-1]["at"] == {"day": "thursday", "time": "15:30"}
    page.get_by_role("button", name="Without Thursday 15:30").click()
    expect(page.get_by_text("Shopping days: before the week", exact=True)).to_be_visible()
    with page.expect_response("**/api/undo"):
        page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Shopping days: before the week · Thursday 15:30")).to_be_visible()
    assert len(view_of(day_site)["week"]["shops"]) == 2


def test_a_theme_is_looked_at_shrunk_and_taken(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "Themes")
    cost = part(page, "What a theme would cost you")
    expect(cost.get_by_text("to make ready; you have 65 min a week")).to_be_visible()
    cost.get_by_label("Theme").select_option("bread and grain")
    kept = cost.get_by_role("group", name="In it").get_by_role("button")
    expect(kept.filter(has_text="pond")).to_have_count(0)
    expect(kept.first).to_be_visible()
    two = kept.count()
    cost.get_by_role("button", name="1 week").click()
    expect(
        cost.get_by_text("No evening minutes left:").or_(cost.get_by_text("No room for more"))
    ).to_be_visible()
    assert 0 < kept.count() < two
    kept.first.click()
    staying = kept.count() - 1
    expect(cost.get_by_role("status").filter(has_text=f"{staying} things")).to_be_visible()
    before = view_of(day_site)["week"]
    cost.get_by_role("button", name="Take it for 1 week").click()
    expect(page.get_by_text("Bread and grain is in your weeks.")).to_be_visible()
    assert view_of(day_site)["week"]["theme"] == "bread and grain"
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Taken back")).to_be_visible()
    assert view_of(day_site)["week"] == before


def test_the_next_two_weeks_are_planned_softly(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "Themes")
    weeks = part(page, "The weeks ahead")
    expect(weeks.get_by_text("No week after this one is begun.")).to_be_visible()
    weeks.get_by_role("button", name="Plan the next two softly").click()
    expect(weeks.get_by_text("soft", exact=True)).to_have_count(2)
    expect(weeks.get_by_text("placed").first).to_be_visible()
    weeks.get_by_role("button", name="See it").first.click()
    expect(page.get_by_role("navigation", name="The week")).to_be_visible()
    expect(page.get_by_text("planned softly")).to_be_visible()
    assert [one["id"] for one in asked(day_site, "weeks")] == ["2027-W16", "2027-W17", "2027-W18"]


def test_a_quiet_week_is_offered_where_it_can_be_had(opened: Open, day_site: str) -> None:
    """After six weeks in a row: once, in the first week that may be quiet; the week after it begins anew."""
    document = asked(day_site, "document")
    [week] = document["weeks"]
    busy = [one for one in week["wishes"] if one["rank"] == "extra"][:3]
    document["weeks"] = [*({"id": f"2027-W{n}", "wishes": busy} for n in range(11, 16)), week]
    put(day_site, "document", document)
    page = opened(day_site)
    page.get_by_role("combobox").first.select_option("2027-W16")
    enter(page, "Themes")
    weeks = part(page, "The weeks ahead")
    weeks.get_by_role("button", name="Plan the next two softly").click()
    expect(weeks.get_by_text("That makes 6 weeks in a row.")).to_be_visible()
    weeks.get_by_role("button", name="Make it a quiet week").click()
    expect(weeks.get_by_text("weeks in a row")).to_have_count(0)
    expect(weeks.get_by_text("soft", exact=True)).to_have_count(2)
    assert {one["rank"] for one in asked(day_site, "weeks/2027-W17")["wishes"]} == {"staple"}
    assert "extra" in {one["rank"] for one in asked(day_site, "weeks/2027-W18")["wishes"]}


def test_a_celebration_is_planned_back(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "Themes")
    day = part(page, "For a day to celebrate")
    day.get_by_label("What").select_option("P10")
    day.get_by_label("For which day").fill("2027-04-23")
    expect(day.get_by_role("listitem").last).to_contain_text("at the latest Thu 22 April")
    day.get_by_role("button", name="Put it into its week as a promise").click()
    expect(page.get_by_text("is promised in its week")).to_be_visible()
    wishes = {one["activity"]: one for one in view_of(day_site)["week"]["wishes"]}
    assert (wishes["P10"]["rank"], wishes["P10"]["finish_by"]["day"]) == ("promise", "thursday")


def shelf(site: str) -> dict[str, Any]:
    """The catalogue by title."""
    return {one["activity"]["title"]: one for one in asked(site, "catalogue")}


def found(page: Page, title: str) -> Any:
    page.get_by_role("searchbox", name="Search").fill(title)
    return page.get_by_role("button", name=f"Change: {title}", exact=True)


def test_an_activity_is_found_changed_and_taken_back(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "The catalogue")
    found(page, "Reed weaving").click()
    page.get_by_label("Take care").fill("Reeds are sharp at the edge.")
    page.get_by_role("button", name="a tired day").click()
    page.get_by_text("Sitting 1:").click()
    page.get_by_role("spinbutton", name="To clear, min").fill("9")
    page.get_by_text("Links, recipes, printables").click()
    page.get_by_role("button", name="Add: Links, recipes, printables").click()
    page.get_by_role("textbox", name="Name").last.fill("Pattern")
    pattern = {"name": "reeds.pdf", "mimeType": "application/pdf", "buffer": PDF}
    page.get_by_label("Keep a file (PDF or picture)").set_input_files(files=[pattern])
    expect(page.get_by_label("Printable", exact=True)).not_to_have_value("")
    before = shelf(day_site)["Reed weaving"]["activity"]
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text("Reed weaving is kept.")).to_be_visible()
    now = shelf(day_site)["Reed weaving"]["activity"]
    assert (now["caution"], now["tired_ok"]) == ("Reeds are sharp at the edge.", not before["tired_ok"])
    assert now["sittings"][0]["cleanup_min"] == 9
    (printable,) = asked(day_site, "printables")
    assert [(one["name"], one["file"]) for one in now["resources"]] == [("Pattern", printable["id"])]
    with page.expect_download() as got:
        page.get_by_role("link", name="Get the printable").click()
    assert got.value.path().read_bytes() == PDF
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Taken back")).to_be_visible()
    assert shelf(day_site)["Reed weaving"]["activity"] == before


def test_ones_own_is_added_doubled_and_put_away(opened: Open, day_site: str) -> None:
    page = opened(day_site)
    enter(page, "The catalogue")
    page.get_by_role("button", name="Add an activity").click()
    page.get_by_label("Name").fill("Snail race")
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text("Snail race was added.")).to_be_visible()
    page.get_by_role("button", name="Duplicate").click()
    expect(page.get_by_text("Snail race (2) was added.")).to_be_visible()
    expect(page.get_by_role("button", name="Close: Snail race (2)")).to_be_visible()
    page.get_by_role("button", name="Put it away").click()
    expect(page.get_by_text("Snail race (2) is put away")).to_be_visible()
    assert [shelf(day_site)[title]["archived"] for title in ("Snail race", "Snail race (2)")] == [False, True]
    page.get_by_role("button", name="Close: Snail race (2)").click()
    expect(found(page, "Snail race (2)")).to_have_count(0)
    page.get_by_role("button", name="What is put away").click()
    expect(found(page, "Snail race (2)")).to_be_visible()
    page.get_by_role("searchbox", name="Search").fill("volcano")
    expect(page.get_by_text("Nothing like that is in the catalogue.")).to_be_visible()


def test_a_table_goes_out_and_comes_back_row_by_row(opened: Open, day_site: str, tmp_path: Path) -> None:
    page = opened(day_site)
    enter(page, "The catalogue")
    with page.expect_download() as got:
        page.get_by_role("link", name="Take out (CSV)").click()
    table = got.value.path().read_text("utf-8-sig")
    count = len(asked(day_site, "catalogue"))
    brought = page.get_by_label("Bring a table in")
    same, wrong = tmp_path / "same.csv", tmp_path / "wrong.csv"
    same.write_text(table, "utf-8")
    brought.set_input_files(same)
    expect(page.get_by_text(f"It would bring 0 new, 0 changed, {count} as before.")).to_be_visible()
    wrong.write_text(table.replace(",read-aloud,", ",loud reading,", 1), "utf-8")
    brought.set_input_files(wrong)
    alert = page.get_by_role("alert")
    expect(alert).to_contain_text("These need mending; nothing was changed:")
    expect(alert).to_contain_text("column kind")
    page.get_by_role("button", name="Bring it in").wait_for(state="detached")


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_speaks_spanish_and_fits_a_phone(opened: Open, pond_site: str, room: str) -> None:
    page = opened(pond_site, "phone", "dark")
    page.evaluate("localStorage.setItem('lapful.tongue', 'es')")
    page.goto(f"{pond_site}#{room}")
    page.reload()
    expect(page.locator(".room-part").first).to_be_visible()
    assert page.evaluate("document.documentElement.lang") == "es"
    words = page.locator("main :is(h2, h3, button, legend)").all_inner_texts()
    assert not [
        one for one in words if one in ("Shopping", "Books", "Bought", "In it", "Falls off", "Search")
    ]
    assert faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") == SIZES["phone"][0]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", ["wide", "tablet"])
@pytest.mark.parametrize("room", ROOMS)
def test_pictures_of_the_rooms(opened: Open, pond_site: str, room: str, size: str, scheme: str) -> None:
    page = opened(pond_site, size, scheme)
    enter(page, ROOMS[room])
    expect(page.locator(".room-part :is(a, button)").first).to_be_visible()
    assert faults(page) == []
    heights = page.locator("main :is(button, input, select, summary, a)").evaluate_all(
        "all => all.map(one => one.getBoundingClientRect().height).filter(height => height > 0)"
    )
    assert min(heights) >= LEAST_TARGET_PX
    page.screenshot(path=picture_file(f"{room}-{size}-{scheme}"))
