"""The present moment, in one place, so that tests can move the clock."""

from __future__ import annotations

import datetime


def now() -> datetime.datetime:
    """The present moment, as the store writes it."""
    return datetime.datetime.now(datetime.UTC).replace(microsecond=0)
