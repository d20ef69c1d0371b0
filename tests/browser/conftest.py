"""A browser, and the page served with a week in it."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page, expect, sync_playwright

from service.demo import demo_file
from service.files import read_document
from service.static import is_built
from service.store import Store
from solver.search import solve
from tests.browser.chromium import FLAGS, executable
from tests.browser.served import ROOT, serving

SIZES = {"wide": (1280, 800), "tablet": (768, 1024), "phone": (390, 844)}
POSTER = (1280, 1280)
SOLVE_S = 15.0
PATIENCE_MS = 60_000
# A bound for a slow machine: what is there at once is seen at once.
expect.set_options(timeout=PATIENCE_MS)
Open = Callable[..., Page]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Headless Chromium, driven through the system's node."""
    assert is_built(), "the page is not built; run tests/run, or npm --prefix web run build"
    os.environ.setdefault("PLAYWRIGHT_NODEJS_PATH", shutil.which("node") or "node")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=executable(), args=list(FLAGS))
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def pond(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the demo household and the week that the solver found for it."""
    folder = tmp_path_factory.mktemp("pond")
    document = read_document(demo_file("pond-week.json"))
    week = document.weeks[0].id
    with closing(Store(folder)) as store:
        store.put_document(document)
        plan = solve(document.problem(week), seconds=SOLVE_S, seed=1, workers=2)
        store.add_plan(plan, store.current().made_from(week))
    return folder


@pytest.fixture(scope="session")
def pond_site(pond: Path) -> Iterator[str]:
    """That household, served."""
    with serving(pond) as address:
        yield address


@pytest.fixture(scope="session")
def patient_site(pond: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A copy of it, served with a search that never ends."""
    folder = shutil.copytree(pond, tmp_path_factory.mktemp("patient") / "data")
    with serving(folder, patient=True) as address:
        yield address


@pytest.fixture(scope="session")
def bare_site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The small household, for which no week was made yet."""
    folder = tmp_path_factory.mktemp("small")
    with closing(Store(folder)) as store:
        store.put_document(read_document(demo_file("small.json")))
    with serving(folder) as address:
        yield address


@pytest.fixture
def day_site(browser: Browser, pond: Path, tmp_path: Path) -> Iterator[str]:
    """A copy of the pond household, to be changed at will."""
    with serving(shutil.copytree(pond, tmp_path / "data")) as address:
        yield address
        # No page may still ask when the service is gone.
        for context in browser.contexts:
            context.close()


@pytest.fixture
def opened(browser: Browser) -> Iterator[Open]:
    """Opens pages; afterwards none of them may have complained or asked elsewhere."""
    pages: list[Page] = []
    complaints: list[str] = []

    def open_page(address: str, size: str = "wide", scheme: str = "light", **more: Any) -> Page:
        width, height = SIZES.get(size, POSTER)
        # What a service worker fetches cannot be answered by a test; those that need one let it in.
        plain = {"service_workers": "block", "locale": "en-GB", "color_scheme": scheme}
        context = browser.new_context(viewport={"width": width, "height": height}, **(plain | more))
        page = context.new_page()
        page.set_default_timeout(PATIENCE_MS)
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("console", lambda said: _complains(said, complaints))
        page.on("request", lambda asked: _stays_home(asked.url, address, complaints))
        page.goto(address)
        pages.append(page)
        return page

    yield open_page
    for page in pages:
        page.context.close()
    assert complaints == []


REFUSED = "the server responded with a status of 422"
"""What somebody typed needs mending: the browser notes such an answer; the page's part is to say it."""
GONE = "net::ERR_CONNECTION_REFUSED"
"""The test's service may end while its page still asks; what the page then says has tests of its own."""


def _complains(said: ConsoleMessage, complaints: list[str]) -> None:
    if said.type == "error" and REFUSED not in said.text and GONE not in said.text:
        complaints.append(said.text)


def _stays_home(url: str, address: str, complaints: list[str]) -> None:
    if not url.startswith(address):
        complaints.append(f"asked elsewhere: {url}")


@pytest.fixture(scope="session")
def shown() -> str:
    """The hand-made week that has every kind of thing on it."""
    return (ROOT / "web" / "fixtures" / "view.json").read_text(encoding="utf-8")


@pytest.fixture
def opened_shown(opened: Open, bare_site: str, shown: str) -> Open:
    """Opens the served page, with the hand-made week in place of the service's answers."""

    def open_page(size: str = "wide", scheme: str = "light", view: str = shown, **more: Any) -> Page:
        page = opened(bare_site, size, scheme, **more)
        return answer_with(page, view)

    return open_page


def answer_with(page: Page, view: str) -> Page:
    """Let the page load again with this view."""
    marks = '{"ticks": [], "notes": []}'
    page.route("**/marks", lambda route: route.fulfill(body=marks, content_type="application/json"))
    page.route("**/api/changes", lambda route: route.fulfill(body="[]", content_type="application/json"))
    page.route("**/ready", lambda route: route.fulfill(body="[]", content_type="application/json"))
    # The page may be asking already: nothing is asked of that week before all of it is answered here.
    page.route("**/view", lambda route: route.fulfill(body=view, content_type="application/json"))
    page.reload()
    page.wait_for_selector(".band")
    return page


def picture_file(name: str) -> Path:
    """Where a screenshot of this run goes."""
    folder = Path(__file__).parent / "out"
    folder.mkdir(exist_ok=True)
    return folder / f"{name}.png"
