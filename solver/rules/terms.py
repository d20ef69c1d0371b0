"""What a cost is, to the model: a name, whom it is about, and how much."""

from __future__ import annotations

from dataclasses import dataclass

from solver.variables import Linear


@dataclass(frozen=True, slots=True)
class Term:
    """One named cost: what it is about, and how much as a linear expression."""

    key: str
    tier: str
    subject: str
    amount: Linear
