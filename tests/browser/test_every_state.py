"""Every screen and state, at every size, light and dark: no fault that axe-core finds, no sideways scrolling,
nothing too small for a wet thumb. One page goes through all of it, so that it takes little time."""

from __future__ import annotations

import json
from collections.abc import Callable
from contextlib import ExitStack
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser import answers
from tests.browser.answers import saying
from tests.browser.conftest import SIZES, answer_with, picture_file
from tests.browser.test_looks import LEAST_TARGET_PX, faults, go_to

LEAST_PX = 44
TARGETS = ":is(button, select, summary, textarea, [role=button], input:not([type=checkbox], [type=radio]))"
State = Callable[[Page, str, ExitStack], None]
STATES: dict[str, State] = {}


def state(act: State) -> State:
    """One more state to look at."""
    STATES[act.__name__] = act
    return act


def card(page: Page) -> Any:
    """The sheet of a card with everything on it."""
    page.locator("main .card-joint").first.get_by_role("button", name="More about").first.click()
    return page.get_by_role("dialog")


@state
def day_with_cautions(page: Page, shown: str, more: ExitStack) -> None:
    for care in page.locator(".care > summary").all():
        care.click()


@state
def day_that_is_open(page: Page, shown: str, more: ExitStack) -> None:
    go_to(page, "Sunday")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Sunday")


@state
def what_happened(page: Page, shown: str, more: ExitStack) -> None:
    page.get_by_role("button", name="Something happened").click()


@state
def more_of_a_card(page: Page, shown: str, more: ExitStack) -> None:
    card(page)


@state
def why_here(page: Page, shown: str, more: ExitStack) -> None:
    more.enter_context(saying(page, {"**/why/**": answers.WHY}))
    card(page).get_by_role("button", name="Why here?").click()
    expect(page.get_by_text("your hands are full")).to_be_visible()


def _move(page: Page, shown: str, more: ExitStack, *, fits: bool) -> None:
    more.enter_context(saying(page, {"**/move": answers.verdict(shown, fits=fits)}))
    sheet = card(page)
    sheet.get_by_role("button", name="Move to").click()
    sheet.get_by_label("Day").select_option("thursday")
    sheet.get_by_role("button", name="See whether it fits").click()
    expect(sheet.locator(".verdict")).to_be_visible()


@state
def a_move_that_fits(page: Page, shown: str, more: ExitStack) -> None:
    _move(page, shown, more, fits=True)


@state
def a_move_that_does_not(page: Page, shown: str, more: ExitStack) -> None:
    _move(page, shown, more, fits=False)


@state
def a_swap(page: Page, shown: str, more: ExitStack) -> None:
    more.enter_context(saying(page, {"**/swap": answers.verdict(shown, fits=True)}))
    card(page).get_by_role("button", name="Swap for a spare").click()
    expect(page.locator(".verdict")).to_be_visible()


@state
def no_swap(page: Page, shown: str, more: ExitStack) -> None:
    more.enter_context(saying(page, {"**/swap": answers.verdict(shown, fits=False)}))
    card(page).get_by_role("button", name="Swap for a spare").click()
    expect(page.locator(".verdict")).to_be_visible()


@state
def a_note(page: Page, shown: str, more: ExitStack) -> None:
    card(page).get_by_role("button", name="Write a note").click()


def _menu(page: Page, choice: str = "") -> Any:
    page.get_by_role("button", name="More about the week").click()
    sheet = page.get_by_role("dialog")
    if choice:
        sheet.get_by_role("button", name=choice).click()
    return sheet


@state
def menu(page: Page, shown: str, more: ExitStack) -> None:
    _menu(page)


@state
def wishes(page: Page, shown: str, more: ExitStack) -> None:
    _menu(page, "Choose wishes")


@state
def wishes_of_two(page: Page, shown: str, more: ExitStack) -> None:
    more.enter_context(saying(page, {"**/wishes": 412}))
    _menu(page, "Choose wishes").get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_role("alert")).to_be_visible()


@state
def two_weeks_compared(page: Page, shown: str, more: ExitStack) -> None:
    stored = json.loads(shown)["stored"]
    other = stored["plan"] | {"bookings": stored["plan"]["bookings"][2:]}
    more.enter_context(saying(page, {"**/plan-before": json.dumps(stored | {"id": 1, "plan": other})}))
    _menu(page, "Compare")
    expect(page.get_by_role("button", name="Keep the new week")).to_be_visible()


@state
def devices(page: Page, shown: str, more: ExitStack) -> None:
    said: dict[str, str | int | None] = {
        "**/api/devices": answers.DEVICES,
        "**/pairing/offer": answers.INVITATION,
    }
    more.enter_context(saying(page, said))
    _menu(page, "Tablets and phones").get_by_role("button", name="Let a device in").click()
    expect(page.get_by_role("img", name="A picture to scan")).to_be_visible()


def _tired(page: Page) -> None:
    page.get_by_role("button", name="Something happened").click()
    page.get_by_role("dialog").get_by_role("button", name="A tired day").click()


@state
def looking_for_ways(page: Page, shown: str, more: ExitStack) -> None:
    more.enter_context(saying(page, {"**/mend": None}))
    _tired(page)
    expect(page.get_by_role("progressbar")).to_be_visible()


@state
def ways_on(page: Page, shown: str, more: ExitStack) -> None:
    more.enter_context(saying(page, {"**/mend": answers.mending(shown)}))
    _tired(page)
    expect(page.get_by_role("button", name="Do this")).to_be_visible()


@state
def ticked_with_a_way_back(page: Page, shown: str, more: ExitStack) -> None:
    more.enter_context(saying(page, {"**/outbox": '{"ids": []}', "**/api/changes": answers.CHANGES}))
    page.locator(".act-tick").first.click()
    expect(page.locator(".foot").get_by_role("button", name="Undo")).to_be_visible()


@state
def asleep(page: Page, shown: str, more: ExitStack) -> None:
    more.enter_context(saying(page, {"**/api/**": 0}))
    page.locator(".act-tick").first.click()
    expect(page.get_by_role("alert")).to_contain_text("1 tick or note kept here")


@state
def without_a_plan(page: Page, shown: str, more: ExitStack) -> None:
    view = json.loads(shown) | {"stored": None, "adult_times": {}}
    more.enter_context(saying(page, {"**/view": json.dumps(view)}))
    page.reload()
    expect(page.get_by_role("heading", name="No week here yet")).to_be_visible()


@state
def in_spanish(page: Page, shown: str, more: ExitStack) -> None:
    page.evaluate("localStorage.setItem('lapful.tongue', 'es')")
    page.reload()
    page.locator(".act-grip").first.wait_for()
    page.get_by_role("button", name="Más sobre la semana").click()


def begin_again(page: Page) -> None:
    """The page as it is opened, with nothing kept from the state before."""
    page.evaluate("localStorage.clear(); indexedDB.deleteDatabase('lapful')")
    page.reload()
    page.wait_for_selector(".band")
    go_to(page, "Tuesday")


def too_small(page: Page, size: str) -> list[str]:
    """What a thumb would miss: 56 px on the kitchen's own screen, 44 px in sheets."""
    script = """([targets, kitchen, sheet]) => [...document.querySelectorAll(targets)]
      .map(one => [one, one.getBoundingClientRect(), one.closest('dialog') ? sheet : kitchen])
      .filter(([, box, least]) => box.width > 0 && (box.height < least - 0.5 || box.width < sheet - 0.5))
      .map(([one, box]) => `${one.outerHTML.slice(0, 90)} ${box.width}x${box.height}`)"""
    found: list[str] = page.evaluate(script, [TARGETS, LEAST_TARGET_PX, LEAST_PX])
    return found


def colour_faults(page: Page) -> list[str]:
    """Contrast alone: all else is the same in the dark."""
    script = "axe.run(document, {runOnly: ['color-contrast'], resultTypes: ['violations']})"
    found: dict[str, Any] = page.evaluate(script)
    nodes = (node for one in found["violations"] for node in one["nodes"])
    return [f"{node['target']} {node['failureSummary']}" for node in nodes]


@pytest.mark.parametrize("name", STATES)
def test_nobody_is_shut_out(walker: Page, shown: str, name: str) -> None:
    page = walker
    begin_again(page)
    with ExitStack() as more:
        STATES[name](page, shown, more)
        for size, (width, height) in SIZES.items():
            page.set_viewport_size({"width": width, "height": height})
            assert faults(page) == [], size
            assert too_small(page, size) == [], size
            assert page.evaluate("document.documentElement.scrollWidth") == width, f"{size} scrolls sideways"
            page.screenshot(path=picture_file(f"state-{name}-{size}-light"))
            page.emulate_media(color_scheme="dark")
            assert colour_faults(page) == [], f"{size} in the dark"
            page.screenshot(path=picture_file(f"state-{name}-{size}-dark"))
            page.emulate_media(color_scheme="light")
        page.set_viewport_size({"width": SIZES["tablet"][0], "height": SIZES["tablet"][1]})
        page.evaluate("document.documentElement.style.fontSize = '200%'")
        assert too_wide(page) == [], "with letters of twice the size"


def too_wide(page: Page) -> list[str]:
    """What runs over the right edge of the page or of its sheet."""
    script = """() => [document.documentElement, ...document.querySelectorAll('dialog')]
      .filter(one => one.scrollWidth > one.clientWidth).map(one => one.tagName)"""
    found: list[str] = page.evaluate(script)
    return found


@pytest.fixture(scope="module")
def walker(browser: Any, bare_site: str, shown: str) -> Any:
    """One page that goes through every state."""
    context = browser.new_context(
        service_workers="block",
        locale="en-GB",
        viewport={"width": 1280, "height": 800},
        reduced_motion="reduce",
    )
    page = context.new_page()
    page.set_default_timeout(60_000)
    page.goto(bare_site)
    page.route("**/api/activities", lambda route: route.fulfill(json=json.loads(shown)["activities"]))
    page.route("**/api/weeks/2027-W05", lambda route: route.fulfill(json={}, headers={"etag": '"1"'}))
    yield answer_with(page, shown)
    context.close()
