"""Finds a browser on this machine; never fetches one by itself (``tests/run`` may)."""

from __future__ import annotations

import os
import shutil

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
FLAGS = (
    "--no-sandbox",
    "--no-zygote",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
)


def executable() -> str:
    """The browser named by ``LAPFUL_CHROMIUM``, else the first of the usual names on the path."""
    named = os.environ.get("LAPFUL_CHROMIUM")
    found = named or next(filter(None, map(shutil.which, NAMES)), None)
    if found is None:
        raise RuntimeError("no Chromium on the path; run tests/run, or set LAPFUL_CHROMIUM to one")
    return found
