"""For all tests: drawn cases are the same in every run, so that a red run means a change."""

from __future__ import annotations

import logging
from collections.abc import Iterator

import pytest
from hypothesis import settings

from service.log import JsonLines

settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.load_profile("repeatable")


@pytest.fixture(autouse=True)
def logging_as_before() -> Iterator[None]:
    """A server run in a test sends the whole process's log to a stream that ends with that test."""
    root, ours = logging.root, logging.getLogger("lapful")
    levels = root.level, ours.level
    yield
    root.handlers = [one for one in root.handlers if not isinstance(one.formatter, JsonLines)]
    root.setLevel(levels[0])
    ours.setLevel(levels[1])
