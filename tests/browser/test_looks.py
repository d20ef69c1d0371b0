"""What the page looks like at each size, in light and in dark, and that everybody can use it."""

from __future__ import annotations

import json
import os
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import SIZES, Open, answer_with, picture_file
from tests.browser.measure import full_view, tick_answer
from tests.browser.served import ROOT
from tests.browser.test_stories import view_of

AXE = (ROOT / "web" / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
WAYS_PATIENCE_MS = 120_000
LEAST_TARGET_PX = 56
LEAST_TITLE_PX = 28
EVERY_LOOK = [(size, scheme) for size in SIZES for scheme in ("light", "dark")]
README_PICTURES = ROOT / "web" / "picture"


def faults(page: Page) -> list[str]:
    """What axe-core finds wrong, one line each."""
    page.evaluate(AXE)
    found: dict[str, Any] = page.evaluate(
        "rules => axe.run(document, {runOnly: {type: 'tag', values: rules}, resultTypes: ['violations']})",
        RULES,
    )
    return [
        f"{one['id']}: {node['target']} {node['failureSummary']}"
        for one in found["violations"]
        for node in one["nodes"]
    ]


def go_to(page: Page, day: str) -> None:
    """Show a day."""
    page.get_by_role("navigation", name="The week").get_by_role("button", name=day).click()


@pytest.mark.parametrize(("size", "scheme"), EVERY_LOOK)
def test_nothing_stands_in_anyones_way(opened_shown: Open, size: str, scheme: str) -> None:
    page = opened_shown(size=size, scheme=scheme)
    for day in ("Tuesday", "Thursday"):
        go_to(page, day)
        for care in page.locator(".care > summary").all():
            care.click()
        assert faults(page) == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nor_in_the_real_week_or_before_there_is_one(
    opened: Open, pond_site: str, shown: str, scheme: str
) -> None:
    page = opened(pond_site, "tablet", scheme)
    page.wait_for_selector(".band")
    assert faults(page) == []
    view = json.loads(shown) | {"stored": None, "adult_times": {}}
    answer_with(page, json.dumps(view))
    expect(page.get_by_role("heading", name="No week here yet")).to_be_visible()
    assert faults(page) == []


def test_nor_while_a_week_is_made(opened: Open, patient_site: str) -> None:
    page = opened(patient_site, "tablet")
    page.get_by_role("button", name="Make a new week").click()
    expect(page.get_by_role("status")).to_contain_text("at most 10 %")
    assert faults(page) == []
    page.screenshot(path=picture_file("making"))
    page.get_by_role("button", name="Stop looking").click()
    expect(page.get_by_text("Stopped.")).to_be_visible()


@pytest.mark.parametrize(("size", "scheme"), EVERY_LOOK)
def test_pictures_of_the_main_screens(opened_shown: Open, size: str, scheme: str) -> None:
    page = opened_shown(size=size, scheme=scheme)
    for day in ("Tuesday", "Wednesday", "Thursday"):
        go_to(page, day)
        file = picture_file(f"{day.lower()}-{size}-{scheme}")
        page.screenshot(path=file, full_page=True)
        assert file.stat().st_size > 20_000
        assert page.evaluate("document.documentElement.scrollWidth") == SIZES[size][0], "it scrolls sideways"


def _fullest_day(site: str) -> str:
    """A day with listening laid over busy hands shows most; else the one with most on it."""
    bookings = view_of(site)["stored"]["plan"]["bookings"]
    laid_over = {booking["day"] for booking in bookings if booking["alongside"]}
    days = [booking["day"] for booking in bookings]
    return str(max(days, key=lambda day: (day in laid_over, days.count(day)))).capitalize()


def test_the_readmes_picture(opened: Open, pond_site: str) -> None:
    page = opened(pond_site, "poster", device_scale_factor=1.5)
    go_to(page, _fullest_day(pond_site))
    keep_picture(page, "week")


def test_the_readmes_picture_of_the_ways_on(opened: Open, pond_site: str) -> None:
    page = opened(pond_site, "tablet")
    go_to(page, _fullest_day(pond_site))
    page.get_by_role("button", name="Something happened").click()
    page.get_by_role("dialog").get_by_role("button", name="A tired day").click()
    expect(page.get_by_role("button", name="Do this")).to_be_visible(timeout=WAYS_PATIENCE_MS)
    keep_picture(page, "ways")
    page.get_by_role("button", name="Leave it as it is").click()


def test_the_readmes_picture_of_a_phone_at_night(opened_shown: Open) -> None:
    page = opened_shown(size="phone", scheme="dark", device_scale_factor=1.5)
    go_to(page, "Tuesday")
    page.get_by_role("heading", name="Paper-pulp frog bowl").scroll_into_view_if_needed()
    keep_picture(page, "phone")


def keep_picture(page: Page, name: str) -> None:
    """With ``LAPFUL_PICTURE`` set the README's own picture, else one beside it to compare."""
    page.wait_for_function("document.fonts.status === 'loaded'")
    file = README_PICTURES / f"{name}.png"
    if not os.environ.get("LAPFUL_PICTURE") and file.is_file():
        file = picture_file(f"readme-{name}")
    file.parent.mkdir(exist_ok=True)
    page.screenshot(path=file)
    assert file.stat().st_size > 20_000


def test_read_from_a_metre_away_and_hit_with_a_wet_thumb(opened_shown: Open) -> None:
    page = opened_shown(size="tablet")
    go_to(page, "Tuesday")
    size = "all => all.map(one => parseFloat(getComputedStyle(one).fontSize))"
    titles = page.locator(".card h3").evaluate_all(size)
    assert titles
    assert min(titles) >= LEAST_TITLE_PX
    targets = page.locator("button, summary, select, .glance a")
    heights = targets.evaluate_all("all => all.map(one => one.getBoundingClientRect().height)")
    widths = targets.evaluate_all("all => all.map(one => one.getBoundingClientRect().width)")
    assert min(heights) >= LEAST_TARGET_PX
    assert min(widths) >= LEAST_TARGET_PX


def test_a_tick_answers_within_one_frame(opened_shown: Open) -> None:
    """Whatever the machine: the very next frame shows it, before anything was sent or kept."""
    page = opened_shown(size="tablet", view=full_view())
    assert tick_answer(page)["tick_frames"] == 1


def test_children_are_told_apart_without_colour(opened_shown: Open) -> None:
    page = opened_shown()
    go_to(page, "Tuesday")
    edge = "(one, [side]) => getComputedStyle(one, side).backgroundImage.replace(/rgba?\\([^)]*\\)/g, '')"
    card = page.locator(".card-joint").first
    assert card.evaluate(edge, ["::before"]) != card.evaluate(edge, ["::after"])
    shapes = page.locator(".heads .mark path").evaluate_all("all => all.map(one => one.getAttribute('d'))")
    assert len(set(shapes)) == len(shapes) == 2
    expect(page.locator(".card-joint").first).to_contain_text("Wren")
    expect(page.locator(".card-joint").first).to_contain_text("Pip")


def test_help_reaches_into_the_cord_by_its_strength(opened_shown: Open) -> None:
    page = opened_shown()
    go_to(page, "Tuesday")
    thick = "one => parseFloat(getComputedStyle(one).borderTopWidth)"
    widths = [page.locator(f"main .arm-{level}").first.evaluate(thick) for level in (1, 2, 3, 4)]
    assert widths == sorted(widths)
    assert len(set(widths)) == 4
    expect(page.locator(".gap").first).to_contain_text("hands free")


def test_what_is_over_today_is_folded(browser: Any, opened_shown: Open, shown: str) -> None:
    page = opened_shown()
    page.clock.set_fixed_time("2027-02-02T09:50:00Z")
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Tuesday")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Today")
    expect(page.get_by_text("Earlier today: 3 things")).to_be_visible()
    expect(page.get_by_role("heading", name="Morning time")).to_be_hidden()
    page.get_by_text("Earlier today: 3 things").click()
    expect(page.get_by_role("heading", name="Morning time")).to_be_visible()
    expect(page.locator(".flag")).to_have_text("Now")


def test_names_are_text_never_markup(opened_shown: Open, shown: str) -> None:
    trap = "<img src=x onerror=alert(1)>"
    view = json.loads(shown)
    view["household"]["children"][0]["name"] = trap
    view["activities"][0]["title"] = f"{trap} & song"
    view["stored"]["plan"]["left_over"][0]["reason"]["sentence"] = trap
    page = opened_shown(view=json.dumps(view))
    expect(page.locator(".note-left")).to_contain_text(trap)
    expect(page.get_by_role("heading", name=f"{trap} & song").first).to_be_visible()
    assert page.locator("img").count() == 0


def test_nothing_moves_for_those_who_want_it_still(opened: Open, patient_site: str) -> None:
    page = opened(patient_site, reduced_motion="reduce")
    page.get_by_role("button", name="Make a new week").click()
    bar = page.get_by_role("progressbar")
    assert bar.evaluate("one => getComputedStyle(one).animationName") == "none"
    page.get_by_role("button", name="Stop looking").click()
    expect(page.get_by_text("Stopped.")).to_be_visible()


def test_paper_shows_the_day_and_no_buttons(opened_shown: Open) -> None:
    page = opened_shown(size="tablet")
    go_to(page, "Tuesday")
    page.emulate_media(media="print")
    expect(page.get_by_role("heading", name="Paper-pulp frog bowl").first).to_be_visible()
    expect(page.locator(".band")).to_be_hidden()
    expect(page.get_by_role("button", name="Make a new week")).to_be_hidden()
    page.screenshot(path=picture_file("paper"), full_page=True)


def test_one_child_and_four_have_their_strands(opened_shown: Open, shown: str) -> None:
    view = json.loads(shown)
    one = json.loads(shown)
    one["household"]["children"] = one["household"]["children"][:1]
    for booking in one["stored"]["plan"]["bookings"]:
        booking["attends"] = [at for at in booking["attends"] if at["child"] == "wren"]
    page = opened_shown(view=json.dumps(one))
    assert page.locator(".thread").count() == 2
    more = [dict(view["household"]["children"][1], id=name, name=name, naps=[]) for name in ("Lark", "Finch")]
    view["household"]["children"] += more
    answer_with(page, json.dumps(view))
    assert page.locator(".thread").count() == 5
    assert faults(page) == []
    page.screenshot(path=picture_file("four-children"))


def test_what_hangs_on_one_day_is_one_kind_line(opened_shown: Open, shown: str) -> None:
    view = json.loads(shown)
    assert opened_shown(view=shown).locator(".hangs").count() == 0
    hang = {"wish": "pond-visit", "title": "Pond visit", "why": "", "proved": True}
    view["hangs"] = [hang | {"day": "wednesday"}]
    page = opened_shown(size="phone", view=json.dumps(view))
    expect(page.locator(".hangs")).to_have_text(
        "Worth keeping clear: Wednesday for Pond visit. If such a day is lost, that waits for another week."
    )
    assert faults(page) == []
    on_the_shelf = page.evaluate("localStorage.getItem('lapful.view')")
    assert json.loads(on_the_shelf)["view"]["hangs"] == view["hangs"], "it is there without the service too"
