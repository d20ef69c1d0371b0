"""What every room must be in every size: without a fault for a screen reader, and fit for a thumb."""

from __future__ import annotations

from playwright.sync_api import Page

from tests.browser.conftest import SIZES
from tests.browser.test_looks import faults

LEAST_TARGET_PX = 44


def fits_everybody(page: Page, size: str) -> None:
    """No fault that axe finds, every control large enough, and nothing beside the screen."""
    assert faults(page) == []
    heights = page.locator("main :is(button, input, select, summary)").evaluate_all(
        "all => all.map(one => one.getBoundingClientRect().height)"
    )
    assert min(heights) >= LEAST_TARGET_PX
    assert page.evaluate("document.documentElement.scrollWidth") == SIZES[size][0]
