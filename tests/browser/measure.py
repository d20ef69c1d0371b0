"""Measures the page on a slowed machine: ``python -m tests.browser.measure``.

The week has 2 × 40 bookings, the processor is slowed to a sixth. Figures, no test: they hang on the machine.
"""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from contextlib import closing
from pathlib import Path
from statistics import median
from typing import Any

from playwright.sync_api import Browser, Page, Route, sync_playwright

from service.demo import demo_file
from service.files import read_document
from service.store import Store
from tests.browser.chromium import FLAGS, executable
from tests.browser.served import ROOT, serving

SLOWED = 6
RUNS = 5
EACH_CHILD = 40


def full_view() -> str:
    """The hand-made week with its bookings doubled over the days until each child has forty."""
    view = json.loads((ROOT / "web" / "fixtures" / "view.json").read_text(encoding="utf-8"))
    plan = view["stored"]["plan"]
    days = view["week"]["teaching_days"]
    plain = [one for one in plan["bookings"] if len(one["attends"]) == 2 and not one["alongside"]]
    count = 0
    while sum(len(one["attends"]) for one in plan["bookings"]) < 2 * EACH_CHILD:
        one = plain[count % len(plain)]
        plan["bookings"].append(dict(one, id=f"{one['id']}.{count}", day=days[count % len(days)]))
        count += 1
    return json.dumps(view)


def answer(route: Route, view: str) -> None:
    """The service's answers, so that only the page is measured."""
    url = route.request.url
    weeks = '[{"id": "2027-W05", "monday": "2027-02-01", "theme": null, "wishes": 1, "has_plan": true}]'
    bodies = {"/view": view, "/weeks": weeks, "/marks": '{"ticks": [], "notes": []}'}
    body = next((text for end, text in bodies.items() if url.endswith(end)), "[]")
    route.fulfill(body=body, content_type="application/json")


def one_run(browser: Browser, site: str, view: str) -> dict[str, float]:
    """From the address to a card that answers, and from a touch to the tick on the screen."""
    context = browser.new_context(viewport={"width": 768, "height": 1024}, service_workers="block")
    page = context.new_page()
    page.route("**/api/**", lambda route: answer(route, view))
    slow = context.new_cdp_session(page)
    slow.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    page.goto(site, wait_until="commit")
    page.wait_for_selector(".act-tick")
    found = {"usable_ms": page.evaluate("performance.now()"), "tick_ms": tick_ms(page)}
    context.close()
    return found


def tick_ms(page: Page) -> Any:
    """How long the page itself works between a touch and its mark."""
    return page.evaluate(
        """async () => {
            const tick = document.querySelector('.act-tick');
            const from = performance.now();
            tick.click();
            while (tick.getAttribute('aria-pressed') !== 'true') await Promise.resolve();
            return performance.now() - from;
        }"""
    )


def main() -> None:
    """Print the medians."""
    os.environ.setdefault("PLAYWRIGHT_NODEJS_PATH", shutil.which("node") or "node")
    folder, view = Path(tempfile.mkdtemp()), full_view()
    with closing(Store(folder)) as store:
        store.put_document(read_document(demo_file("small.json")))
    with serving(folder) as site, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=executable(), args=list(FLAGS))
        runs = [one_run(browser, site, view) for _ in range(RUNS)]
        browser.close()
    for what in runs[0]:
        print(f"{what}: median {median(run[what] for run in runs):.0f} of {RUNS}, slowed {SLOWED} times")


if __name__ == "__main__":
    main()
