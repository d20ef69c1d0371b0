"""What waits on a device for the service, read from the browser's own database."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

_READ = """() => new Promise((done, fail) => {
  const asked = indexedDB.open('lapful', 1);
  asked.onupgradeneeded = () => { asked.result.createObjectStore('outbox', {keyPath: 'id'}); };
  asked.onerror = () => fail(asked.error);
  asked.onsuccess = () => {
    const all = asked.result.transaction('outbox').objectStore('outbox').getAll();
    all.onsuccess = () => { asked.result.close(); done(all.result); };
    all.onerror = () => fail(all.error);
  };
})"""


def waiting(page: Page) -> list[Any]:
    """Ticks, notes and refusals that were not sent yet."""
    found: list[Any] = page.evaluate(_READ)
    return found


def all_sent(page: Page) -> None:
    """Wait until nothing waits any more (the page's own policy forbids to evaluate a waiting script)."""
    for _ in range(1200):
        if not waiting(page):
            return
        page.wait_for_timeout(50)
    raise AssertionError("the outbox was not sent")
