"""What a week needs bought: the cupboard first, the rest at the last shop before it is needed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solver.assemble import Chosen
from solver.clock import SLOT_MIN, week_slot
from solver.domain.base import DAY_MIN, DAYS, Moment
from solver.domain.home import Material, Shop
from solver.domain.plan import Purchase
from solver.outline import Outline


@dataclass(frozen=True)
class Use:
    """So much of a supply is used from a week minute on."""

    minute: int
    day: int
    count: int


@dataclass(frozen=True)
class Lot:
    """So much of it is there from a week minute on, and the last day on which it is good."""

    minute: int
    good_until: int
    count: int


def purchases(outline: Outline, chosen: Chosen) -> tuple[Purchase, ...]:
    """What is short, by supply and shop."""
    materials = outline.problem.household.materials
    return tuple(one for m in materials if not m.reusable for one in _bought(outline, chosen, m))


def _bought(outline: Outline, chosen: Chosen, material: Material) -> Iterator[Purchase]:
    shops = outline.problem.week.shops if material.buyable else ()
    uses = _uses(chosen, material)
    found: dict[Moment | None, tuple[int, Moment]] = {}
    for use, drawn in zip(uses, _from_the_cupboard(material, uses, shops), strict=True):
        if use.count > drawn:
            at = _last_shop(shops, use)
            count, need_by = found.get(at, (0, _moment(use)))
            found[at] = (count + use.count - drawn, need_by)
    for at, (count, need_by) in found.items():
        yield Purchase(
            material=material.id, name=material.name, count=count, unit=material.unit,
            at=at, need_by=need_by, cost=count * material.price,
        )  # fmt: skip


def _uses(chosen: Chosen, material: Material) -> list[Use]:
    found = []
    for candidate, slot in chosen.starts.values():
        if count := candidate.option.uses.get(material.id):
            begins = week_slot(candidate.day, slot - candidate.option.span.before) * SLOT_MIN
            found.append(Use(begins, candidate.day.index, count))
    return sorted(found, key=lambda use: use.minute)


def _from_the_cupboard(material: Material, uses: list[Use], shops: tuple[Shop, ...]) -> list[int]:
    """How much of each use need not be bought: first of those for which nothing can be bought in time."""
    lots = [Lot(-DAY_MIN, material.good_until(0), material.count)]
    for one in material.arrivals:
        lots.append(Lot(one.at.week_min, material.good_until(one.at.day.index), one.count))
    lots.sort(key=lambda lot: lot.good_until)
    drawn = [0] * len(uses)
    for which in sorted(range(len(uses)), key=lambda i: _can_be_bought(material, uses[i], shops)):
        drawn[which] = uses[which].count
        drawn[which] -= _lacking(lots, uses, drawn)
    return drawn


def _can_be_bought(material: Material, use: Use, shops: tuple[Shop, ...]) -> bool:
    return any(_is_before(s, use) and material.good_until(s.day_index) >= use.day for s in shops)


def _lacking(lots: list[Lot], uses: list[Use], wanted: list[int]) -> int:
    """What cannot be drawn, when in order of time each draws from what spoils first."""
    left = [lot.count for lot in lots]
    lacking = 0
    for use, want in zip(uses, wanted, strict=True):
        for which, lot in enumerate(lots):
            if lot.minute <= use.minute and use.day <= lot.good_until:
                part = min(want, left[which])
                left[which], want = left[which] - part, want - part
        lacking += want
    return lacking


def _is_before(shop: Shop, use: Use) -> bool:
    return shop.at is None or shop.at.week_min <= use.minute


def _last_shop(shops: tuple[Shop, ...], use: Use) -> Moment | None:
    moments = [shop.at for shop in shops if shop.at and _is_before(shop, use)]
    return max(moments, key=lambda moment: moment.week_min, default=None)


def _moment(use: Use) -> Moment:
    day, minute = divmod(max(0, use.minute), DAY_MIN)
    return Moment(day=DAYS[day], time=minute)
