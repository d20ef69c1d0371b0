"""Where the cases are entered: one builder, several values, what each of them breaks."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from solver.domain.plan import Plan
from solver.domain.week import Problem

Built = tuple[Problem, Plan]
Case = Callable[[], tuple[Problem, Plan, set[str]]]

CASES: dict[str, dict[str, Case]] = {}


def _case(build: Callable[[Any], Built], value: Any, broken: set[str]) -> tuple[Problem, Plan, set[str]]:
    return (*build(value), broken)


def rule(
    key: str, clause: str = "", also: set[str] | None = None, **values: Any
) -> Callable[[Callable[[Any], Built]], Callable[[Any], Built]]:
    """Enter a builder under a rule, with the value that makes it ``allowed``, ``boundary``, ``forbidden``.

    A forbidden case breaks the rule alone, or those in ``also`` too where they cannot be told apart.
    """

    def enter(build: Callable[[Any], Built]) -> Callable[[Any], Built]:
        for kind, value in values.items():
            broken = {key, *(also or ())} if kind == "forbidden" else set()
            name = f"{kind}: {clause}" if clause else kind
            entered = CASES.setdefault(key, {})
            assert name not in entered, f"{key}: two cases are called {name!r}"
            entered[name] = partial(_case, build, value, broken)
        return build

    return enter
