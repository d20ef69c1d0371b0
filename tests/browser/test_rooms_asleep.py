"""The rooms beside the week open while the service sleeps, and say honestly what needs it."""

from __future__ import annotations

import shutil
import socket
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.served import serving
from tests.browser.test_looks import faults

KEPT = "caches.open('lapful-page').then(one => one.keys()).then(all => all.map(one => one.url).join(' '))"


def rooms_are_kept(page: Page) -> None:
    """Wait until the service worker holds the rooms and their words."""
    for _ in range(1200):
        kept = page.evaluate(KEPT)
        if "/assets/rooms" in kept and "/assets/house.en" in kept:
            return
        page.wait_for_timeout(50)
    raise AssertionError("the rooms were not kept")


def test_a_room_opens_asleep_and_says_what_needs_it(browser: Any, pond: Path, tmp_path: Path) -> None:
    folder = shutil.copytree(pond, tmp_path / "data")
    with socket.create_server(("127.0.0.1", 0)) as found:
        port: int = found.getsockname()[1]
    context = browser.new_context(viewport={"width": 390, "height": 844}, locale="en-GB")
    page = context.new_page()
    with serving(folder, port=port) as site:
        page.goto(site)
        rooms_are_kept(page)
    page.goto(f"{site}#house")
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text("The house")
    expect(page.get_by_text("That needs the service, which is asleep just now.").first).to_be_visible()
    assert faults(page) == []
    with serving(folder, port=port):
        page.get_by_role("button", name="Try now").click()
        expect(page.get_by_role("heading", name="Children")).to_be_visible()
    context.close()
