"""Which offers are worth showing: none twice, none that another one betters in everything."""

from __future__ import annotations

from collections.abc import Iterable

from solver.domain.mishap import Offer
from solver.mend.swaps import SWAP
from solver.rules.soft import TIERS

MOST_OFFERS = 3


def worth_showing(offers: Iterable[Offer]) -> tuple[Offer, ...]:
    """At most three, the one that keeps most with the fewest changes first."""
    ranked = sorted(offers, key=_rank)
    kept: list[Offer] = []
    for offer in ranked:
        if not any(alike(offer, other) or _betters(other, offer) for other in kept):
            kept.append(offer)
    return tuple(kept[:MOST_OFFERS])


def alike(one: Offer, other: Offer) -> bool:
    """Offers that come to the same for the family."""
    return _shape(one) == _shape(other)


def _shape(offer: Offer) -> object:
    gone = {(left.wish, left.go, left.sittings) for left in (*offer.held_over, *offer.let_go)}
    moved = {(m.booking, m.to_day, m.to_stretch, m.lighter) for m in offer.moved}
    return frozenset(moved), frozenset(gone), frozenset(offer.added)


def _tiers(offer: Offer) -> dict[str, int]:
    return dict.fromkeys(TIERS, 0) | {tier.name: tier.value for tier in offer.plan.tiers}


def _rank(offer: Offer) -> tuple[int, ...]:
    costs = _tiers(offer)
    return (costs["promises"], costs["staples"], offer.kind != SWAP, offer.changes_bound.value)


def _betters(one: Offer, other: Offer) -> bool:
    """Whether one is at least as good in everything, a quieter week included."""
    if SWAP in (one.kind, other.kind):
        return False
    if not other.changes_bound.proved:
        # It was not searched to the end: only less to do would speak for it, and that is by chance.
        return all(a <= b for a, b in zip(_measures(one)[:-1], _measures(other)[:-1], strict=True))
    return all(a <= b for a, b in zip(_measures(one), _measures(other), strict=True))


def _measures(offer: Offer) -> tuple[int, ...]:
    costs = _tiers(offer)
    minutes = sum(booking.minutes for booking in offer.plan.bookings)
    return costs["promises"], costs["staples"], offer.changes_bound.value, costs["worth"], minutes
