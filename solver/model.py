"""Candidates and rules become a CP-SAT model, with the costs as named terms by tier."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from functools import partial

from ortools.sat.python import cp_model

from solver.candidates import Candidates
from solver.rules import RULES, across, between, hands, stores
from solver.rules.soft import TIERS, all_terms
from solver.rules.spares import SPARES
from solver.rules.terms import Term
from solver.variables import Variables, total

MOST = 10**7
_ROOMS = {"between": between, "across": across, "hands": hands, "stores": stores}


@dataclass(frozen=True)
class WeekModel:
    """A built model: what was decided on, and the costs by tier."""

    model: cp_model.CpModel
    variables: Variables
    terms: dict[str, list[Term]]
    total: dict[str, cp_model.IntVar]
    """The sum of each tier's costs."""
    again: Callable[[Candidates], WeekModel]
    """Builds the same of fewer candidates."""

    def limit(self, index: int, least: int, most: int) -> None:
        """Narrow a variable's domain to what lies within."""
        was = cp_model.Domain.from_flat_intervals(list(self.model.proto.variables[index].domain))
        self.restore(index, was.intersection_with(cp_model.Domain(least, most)).flattened_intervals())

    def restore(self, index: int, domain: list[int]) -> None:
        """Give a variable this domain."""
        kept = self.model.proto.variables[index].domain
        kept.clear()
        kept.extend(domain)


def between_rule(name: str) -> Callable[[Variables], None]:
    """The function behind ``Rule.between``."""
    room, function = name.split(".")
    found: Callable[[Variables], None] = getattr(_ROOMS[room], function)
    return found


def build(
    candidates: Candidates,
    without: Collection[str] = (),
    costs: bool = True,
    more: Callable[[Variables], Iterable[Term]] | None = None,
) -> WeekModel:
    """The model of a week.

    ``without`` leaves rules out (to find which of them are in the way); ``more`` adds constraints of its
    own and gives further costs (to mend a week, whose goes keep their numbers).
    """
    model = cp_model.CpModel()
    variables = Variables(model, candidates)
    for rule in RULES:
        if rule.between and rule.key not in without:
            between_rule(rule.between)(variables)
    if more is None:
        across.number_goes(variables)
    terms: dict[str, list[Term]] = {tier: [] for tier in TIERS}
    extra = list(more(variables)) if more else []
    # A mend answers a day that is lost already; it does not ask about the next one too.
    usual = all_terms(variables, but=SPARES if more else ()) if costs else []
    for term in [*usual, *extra]:
        terms[term.tier].append(term)
    sums = {tier: model.new_int_var(0, MOST, tier) for tier in TIERS}
    for tier, parts in terms.items():
        model.add(sums[tier] == total(term.amount for term in parts))
    again = partial(build, without=without, costs=costs, more=more)
    return WeekModel(model, variables, terms, sums, again)
