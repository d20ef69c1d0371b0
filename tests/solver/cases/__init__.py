"""Weeks on either side of every hard rule: allowed, forbidden, and just at the boundary.

``CASES[key]`` holds at least ``allowed``, ``forbidden`` and ``boundary``, each a function that gives a
problem, a complete plan for it, and the keys of the rules which that plan breaks. Further clauses of a rule
follow under names like ``forbidden: too far``. The checker's tests and the rules' tests share them.
"""

from __future__ import annotations

from tests.solver.cases import adults, children, house, stores, times
from tests.solver.cases.registry import CASES, Case

__all__ = ["CASES", "Case", "adults", "children", "house", "stores", "times"]
