"""What the checker says when a plan breaks a rule."""

from __future__ import annotations

from solver.domain.base import Day, Frozen


class Violation(Frozen):
    """One broken rule: which, who and what is concerned, when, and a plain sentence."""

    key: str
    ids: tuple[str, ...] = ()
    day: Day | None = None
    start: int | None = None
    """Clock minutes."""
    sentence: str
