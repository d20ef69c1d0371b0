"""A recipe for so many children: amounts grow together, times and temperatures stay."""

from __future__ import annotations

import re
from fractions import Fraction

from solver.domain.activity import Activity, Resource
from solver.domain.base import Frozen, Id, Name, Text
from solver.domain.home import Material

_UNITS = (
    r"kg|g|mg|ml|cl|dl|l|litres?|liters?|grams?|cups?|tsp|tbsp|teaspoons?|tablespoons?|spoons?|handfuls?|pinch(?:es)?"
    r"|pieces?|sheets?|slices?|eggs?|drops?|sachets?|packets?|parts?|oz|lb"
    r"|gramos?|litros?|tazas?|vasos?|cucharad(?:it)?as?|cuchar(?:it)?as?|puñados?|pizcas?|piezas?|hojas?"
    r"|rebanadas?|huevos?|gotas?|sobres?|paquetes?|partes?"
)
_GLYPHS = {
    "½": Fraction(1, 2),
    "¼": Fraction(1, 4),
    "¾": Fraction(3, 4),
    "⅓": Fraction(1, 3),
    "⅔": Fraction(2, 3),
}
_SIGNS = {value: sign for sign, value in _GLYPHS.items()}
_NUMBER = r"(?:\d+\s+\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?\s?[½¼¾⅓⅔]|[½¼¾⅓⅔]|\d+(?:[.,]\d+)?)"
_AMOUNT = re.compile(rf"(?<![\w/.,])({_NUMBER})(\s?)({_UNITS})\b", re.IGNORECASE)
_FOR = re.compile(r"\b(for|para) (\d+) (child|niñ[oa])(?:ren|s)?\b", re.IGNORECASE)
"""Recipes are written in the family's language, or as they were found."""


class Scaled(Frozen):
    """A resource with its amounts for so many children."""

    name: Name
    address: Text = ""
    text: Text = ""
    file: Id | None = None


class Amount(Frozen):
    """So much of a material for so many children."""

    material: Name
    count: int
    unit: Name


def scaled(resource: Resource, children: int) -> Scaled:
    """The recipe for so many children. It says itself for how many it is written (``for 2 children``,
    ``para 2 niños``); otherwise for one."""
    written = _FOR.search(resource.text)
    factor = Fraction(children, max(1, int(written[2])) if written else 1)
    text = _AMOUNT.sub(lambda one: f"{_said(_value(one[1]) * factor)}{one[2]}{one[3]}", resource.text)
    text = _FOR.sub(lambda one: f"{one[1]} {children} {one[3]}{_many(one[3], children)}", text)
    return Scaled(name=resource.name, address=resource.address, text=text[:2000], file=resource.file)


def _many(word: str, children: int) -> str:
    if children == 1:
        return ""
    return "ren" if word.lower() == "child" else "s"


def _value(typed: str) -> Fraction:
    sign = next((one for one in typed if one in _GLYPHS), "")
    rest = typed.replace(sign, "").strip() if sign else typed
    total = _GLYPHS.get(sign, Fraction(0))
    for part in rest.replace(",", ".").split():
        total += Fraction(part)
    return total


def _said(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    if rest == 0:
        return str(whole)
    if rest in _SIGNS:
        return f"{whole or ''}{_SIGNS[rest]}"
    if value >= 10:
        return str(round(value))
    return f"{float(value):.2f}".rstrip("0").rstrip(".")


def amounts(activity: Activity, materials: dict[str, Material], children: int) -> tuple[Amount, ...]:
    """What all sittings together take; tools count once."""
    totals: dict[str, int] = {}
    for sitting in activity.sittings:
        for need in sitting.needs:
            count = need.count * (children if need.each_child else 1)
            known = materials.get(need.material)
            reused = known is None or known.reusable
            before = totals.get(need.material, 0)
            totals[need.material] = max(before, count) if reused else before + count
    return tuple(
        Amount(
            material=materials[ident].name if ident in materials else ident,
            count=count,
            unit=materials[ident].unit if ident in materials else "piece",
        )
        for ident, count in totals.items()
    )
