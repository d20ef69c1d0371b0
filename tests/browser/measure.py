"""Measures the page on a slowed machine: ``python -m tests.browser.measure``.

The week has 2 × 40 bookings, the processor is slowed to a sixth. Figures, no test: they hang on the machine.
So beside the milliseconds stand the page's own work at full speed (script, style and layout), which hangs on
it less, and the frames that a tick takes, which are the same everywhere.
"""

from __future__ import annotations

import gzip
import json
import os
import shutil
import tempfile
from contextlib import closing
from pathlib import Path
from statistics import median

from playwright.sync_api import Browser, Page, Route, sync_playwright

from service.demo import demo_file
from service.files import read_document
from service.static import PAGE
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
    bodies = {"/view": view, "/marks": '{"ticks": [], "notes": []}'}
    body = next((text for end, text in bodies.items() if url.endswith(end)), "[]")
    route.fulfill(body=body, content_type="application/json")


def one_run(browser: Browser, site: str, view: str) -> dict[str, float]:
    """From the address to a card that answers, and from a touch to the tick on the screen."""
    context = browser.new_context(viewport={"width": 768, "height": 1024}, service_workers="block")
    page = context.new_page()
    page.route("**/api/**", lambda route: answer(route, view))
    slow = context.new_cdp_session(page)
    slow.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    page.add_init_script(USABLE)
    page.goto(site, wait_until="commit")
    found = {"usable_ms": page.evaluate("window.usable")}
    found |= tick_answer(page)
    context.close()
    return found


def tick_answer(page: Page) -> dict[str, float]:
    """From a touch to its mark: the page's own work, all with the painting, and the frames it takes."""
    found: dict[str, float] = page.evaluate(TICK)
    return found


USABLE = """
    window.usable = new Promise((done) => {
        const {port1, port2} = new MessageChannel();
        port1.onmessage = () => { done(performance.now()); };
        const look = () => requestAnimationFrame(() => {
            if (document.querySelector('.act-tick')) port2.postMessage(null);
            else look();
        });
        look();
    });
"""
"""Looked at by the page itself, as asking takes time: when the frame that holds the first card is painted."""

TICK = """async () => {
    const frame = () => new Promise(requestAnimationFrame);
    const painted = () => new Promise(done => {
        const {port1, port2} = new MessageChannel();
        port1.onmessage = done;
        requestAnimationFrame(() => port2.postMessage(null));
    });
    const tick = document.querySelector('.act-tick');
    await frame();
    await painted();
    const from = performance.now();
    tick.click();
    await Promise.resolve();
    const worked = performance.now() - from;
    let frames = 1;
    await frame();
    while (tick.getAttribute('aria-pressed') !== 'true') { frames += 1; await frame(); }
    await painted();
    return {tick_work_ms: worked, tick_painted_ms: performance.now() - from, tick_frames: frames};
}"""


def work(browser: Browser, site: str, view: str) -> dict[str, float]:
    """What the page does by itself at full speed until it can be used, in milliseconds of processor time."""
    context = browser.new_context(viewport={"width": 768, "height": 1024}, service_workers="block")
    page = context.new_page()
    page.route("**/api/**", lambda route: answer(route, view))
    session = context.new_cdp_session(page)
    session.send("Performance.enable", {"timeDomain": "threadTicks"})
    page.goto(site, wait_until="commit")
    page.wait_for_selector(".act-tick")
    said = {one["name"]: one["value"] for one in session.send("Performance.getMetrics")["metrics"]}
    context.close()
    return {
        "script_ms": said["ScriptDuration"] * 1000,
        "style_ms": said["RecalcStyleDuration"] * 1000,
        "layout_ms": said["LayoutDuration"] * 1000,
    }


def main() -> None:
    """Print the medians."""
    os.environ.setdefault("PLAYWRIGHT_NODEJS_PATH", shutil.which("node") or "node")
    folder, view = Path(tempfile.mkdtemp()), full_view()
    with closing(Store(folder)) as store:
        store.put_document(read_document(demo_file("small.json")))
    with serving(folder) as site, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=executable(), args=list(FLAGS))
        slowed = [one_run(browser, site, view) for _ in range(RUNS)]
        full = [work(browser, site, view) for _ in range(RUNS)]
        browser.close()
    print(f"scripts: {weight() / 1024:.1f} KB gz, of them at first {weight(first=True) / 1024:.1f}")
    for runs, how in ((slowed, f"slowed {SLOWED} times"), (full, "at full speed")):
        for what in runs[0]:
            values = [run[what] for run in runs]
            print(f"{what}: median {median(values):.1f}, least {min(values):.1f} of {RUNS}, {how}")


def weight(*, first: bool = False) -> int:
    """Bytes of script as they are sent: all of it, or what the page asks for before anything else."""
    html = (PAGE / "index.html").read_text(encoding="utf-8")
    files = [file for file in PAGE.rglob("*.js") if not first or file.name in html]
    return sum(len(gzip.compress(file.read_bytes())) for file in files)


if __name__ == "__main__":
    main()
