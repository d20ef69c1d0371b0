"""For all tests: drawn cases are the same in every run, so that a red run means a change."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.load_profile("repeatable")
