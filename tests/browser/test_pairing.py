"""A device of the home network before and after it is paired, in a real browser."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from service.bench.load import ask, served
from service.demo import demo_file

# What a proxy on this machine passes on does not count as from this machine: a stranger without a second one.
FROM_ELSEWHERE = {"via": "1.1 hedge"}


@pytest.fixture(scope="module")
def port(tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    folder = tmp_path_factory.mktemp("home")
    words = [str(demo_file("small.json")), "--home-network", "--data", str(folder)]
    with served(words) as (port, _):
        yield port


@pytest.fixture
def tablet(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(extra_http_headers=FROM_ELSEWHERE)
    yield context.new_page()
    context.close()


def test_a_scanned_picture_leads_to_the_week(port: int, tablet: Page) -> None:
    said: list[str] = []
    tablet.on("console", lambda one: said.append(one.text))
    secret = ask(port, "POST", "/api/pairing/offer")["address"].partition("#")[2]
    tablet.goto(f"http://127.0.0.1:{port}/pair#{secret}")
    expect(tablet.get_by_label("What shall this device be called?")).to_be_visible()
    assert secret not in tablet.url, "out of the address bar before anything else"
    tablet.get_by_role("button", name="Pair").click()
    tablet.wait_for_url(f"http://127.0.0.1:{port}/")
    expect(tablet.get_by_role("main")).to_be_visible()
    assert tablet.evaluate("document.cookie") == "tongue=en", "no script can read the token"
    assert [one["name"] for one in ask(port, "GET", "/api/devices")] == ["Kitchen tablet"]
    assert said == []


def test_a_stranger_is_shown_the_door(port: int, tablet: Page) -> None:
    tablet.goto(f"http://127.0.0.1:{port}/")
    assert tablet.url.endswith("/pair")
    expect(tablet.get_by_role("status")).to_contain_text("lapful pair")
    expect(tablet.get_by_role("button", name="Pair")).to_be_hidden()


def test_an_old_picture_says_so(port: int, tablet: Page) -> None:
    tablet.goto(f"http://127.0.0.1:{port}/pair#used-up-long-ago")
    tablet.get_by_role("button", name="Pair").click()
    expect(tablet.get_by_role("status")).to_contain_text("ask for a new one")
