"""mend(): the mishaps' aftermath, worked out kind by kind, the best three told."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from solver.aftermath import Aftermath, aftermath, with_prep_after_all
from solver.aftermath.faults import mishap_faults, plan_faults
from solver.domain.base import Moment
from solver.domain.faults import RelationError
from solver.domain.mishap import Mending, Mishap, Offer, Refused, Tired
from solver.domain.plan import Plan
from solver.domain.week import Problem
from solver.mend.compare import alike, worth_showing
from solver.mend.kinds import STAY, Kind, kinds_for
from solver.mend.swaps import MOST_SWAPS, SWAP, swaps_for
from solver.mend.tell import offer_of
from solver.mend.weekinhand import WeekInHand

LEAST_SECONDS = 0.5
SHARE = 0.7
"""The part of the time left that each kind of offer may use."""
MOST_TRIED = 6
"""Swaps that are tried before none is found."""


def mend(
    problem: Problem,
    plan: Plan,
    mishaps: Sequence[Mishap],
    *,
    at: Moment | None = None,
    seconds: float = 5.0,
    seed: int = 1,
    workers: int = 2,
    on_offer: Callable[[Offer], None] | None = None,
) -> Mending:
    """Up to three offers that differ in kind, the gentlest change that keeps most first.

    Raises
    ------
    RelationError
        When a mishap names what is not there, or the plan is of another week.
    PlanRejected
        When the checker finds a fault in an offer (a bug here).
    """
    found = [*plan_faults(problem, plan), *mishap_faults(problem, plan, mishaps, at)]
    if found:
        raise RelationError(found)
    after = aftermath(problem, plan, mishaps, at)
    work = _Work(plan, seconds, seed, workers, on_offer or (lambda offer: None))
    for refused in (m for m in mishaps if isinstance(m, Refused)):
        work.swap(after, refused)
    hand = WeekInHand(after, plan, seed, workers)
    for kind in kinds_for(after, mishaps):
        work.offer(hand, kind)
    for tired in (m for m in mishaps if isinstance(m, Tired)):
        work.with_prep(after, problem, tired)
    if not work.offers:
        work.tell(worth_showing(work.second_best)[0])
    return Mending(
        at=after.now,
        mishaps=tuple(mishaps),
        offers=worth_showing(work.offers or work.second_best),
        seconds=round(time.monotonic() - work.began, 3),
    )


@dataclass
class _Work:
    """Offers as they are found, within the time given."""

    plan: Plan
    seconds: float
    seed: int
    workers: int
    tell: Callable[[Offer], None]
    began: float = field(default_factory=time.monotonic)
    offers: list[Offer] = field(default_factory=list)
    second_best: list[Offer] = field(default_factory=list)
    """Offers for which something that stands has to give way; only shown when there is no other."""

    @property
    def _share(self) -> float:
        return max(LEAST_SECONDS, (self.seconds - (time.monotonic() - self.began)) * SHARE)

    def offer(self, hand: WeekInHand, kind: Kind) -> bool:
        """Work out an offer and keep it, unless it comes to the same as another."""
        plan, stands = hand.solved(kind, self._share)
        offer = offer_of(hand, kind, plan)
        if hand.swap and not (offer.added and stands):
            return False
        if not stands:
            self.second_best.append(offer)
            return False
        if not any(alike(offer, other) for other in self.offers):
            self.offers.append(offer)
            self.tell(offer)
        return True

    def with_prep(self, after: Aftermath, usual: Problem, tired: Tired) -> None:
        """The easy day, but for the prep that a promise of another day needs."""
        lenient = with_prep_after_all(after, usual, tired.day)
        if lenient is not None:
            hand = WeekInHand(lenient, self.plan, self.seed, self.workers)
            self.offer(hand, replace(kinds_for(lenient, [tired])[0], key="with-prep"))

    def swap(self, after: Aftermath, refused: Refused) -> None:
        """Up to two other things in place of a refused one."""
        kind = Kind(SWAP, STAY.keep)
        found = 0
        for tried, (wish, with_wish) in enumerate(swaps_for(after, self.plan, refused)):
            if found == MOST_SWAPS or tried == MOST_TRIED:
                return
            hand = WeekInHand(with_wish, self.plan, self.seed, self.workers, swap=wish.id)
            if any(c.task.go.wish.id == wish.id for c in hand.candidates.all):
                found += self.offer(hand, kind)
