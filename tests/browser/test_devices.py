"""A tablet is let in by a picture that works once, and let out again, on its own."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import picture_file
from tests.browser.served import serving
from tests.browser.test_looks import faults


def at_home(browser: Browser, site: str) -> Page:
    """The page on the machine that runs the service, with the devices in view."""
    page = browser.new_context(locale="en-GB", service_workers="block").new_page()
    page.goto(f"http://127.0.0.1:{urlsplit(site).port}/")
    open_devices(page)
    return page


def open_devices(page: Page) -> None:
    """The sheet of tablets and phones."""
    page.get_by_role("button", name="More about the week").click()
    page.get_by_role("dialog").get_by_role("button", name="Tablets and phones").click()


def test_let_in_by_a_picture_and_out_again(browser: Any, pond: Path, tmp_path: Path) -> None:
    with serving(shutil.copytree(pond, tmp_path / "data"), home=True) as site:
        page = at_home(browser, site)
        expect(page.get_by_text("No other device is let in.")).to_be_visible()
        with page.expect_response("**/api/pairing/offer") as offered:
            page.get_by_role("button", name="Let a device in").click()
        expect(page.get_by_role("img", name="A picture to scan with the other device")).to_be_visible()
        assert faults(page) == []
        page.screenshot(path=picture_file("devices"))
        tablet = browser.new_context(locale="en-GB", service_workers="block").new_page()
        tablet.goto(offered.value.json()["address"])
        tablet.get_by_role("button", name="Pair").click()
        expect(tablet.locator(".band")).to_be_visible(timeout=60_000)
        page.reload()
        open_devices(page)
        page.get_by_role("button", name="Let out Kitchen tablet").click()
        expect(page.get_by_text("No other device is let in.")).to_be_visible()
        tablet.reload()
        expect(tablet.locator(".band")).to_have_count(0)
        for context in browser.contexts:
            context.close()


def test_a_machine_for_itself_alone_says_how_to_open(browser: Any, pond_site: str) -> None:
    page = at_home(browser, pond_site)
    page.get_by_role("button", name="Let a device in").click()
    expect(page.get_by_role("alert")).to_contain_text("--home-network")
    page.context.close()
