"""mend(): the mishaps' aftermath, worked out kind by kind, the best three told."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import chain, islice

from solver.aftermath import Aftermath, aftermath, with_prep_after_all
from solver.aftermath.faults import mishap_faults, plan_faults
from solver.beside import A_MOMENT, COPIES, Beside
from solver.domain.base import Moment
from solver.domain.faults import RelationError
from solver.domain.mishap import Mending, Mishap, Offer, Refused, Tired
from solver.domain.plan import Plan
from solver.domain.week import Problem, Wish
from solver.mend.compare import alike, worth_showing
from solver.mend.kinds import STAY, Kind, kinds_for
from solver.mend.swaps import MOST_SWAPS, SWAP, swaps_for
from solver.mend.tell import offer_of
from solver.mend.weekinhand import WeekInHand
from solver.running import few_collections

LEAST_SECONDS = 0.5
SHARE = 0.7
"""The part of the time left that a kind of offer may use while others wait."""
MOST_TRIED = 6
"""Swaps that are tried before none is found."""
WITH_PREP = "with-prep"

_Found = tuple[Offer, bool]
"""An offer, and whether all that stands could stay."""


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
    with few_collections():
        work.go_through(WeekInHand(after, plan, seed, workers), problem, mishaps)
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
    heard: int = 0
    """How many came from beside."""

    def go_through(self, hand: WeekInHand, usual: Problem, mishaps: Sequence[Mishap]) -> None:
        """All that may be offered; with two workers what is searched for longest goes on beside the rest."""
        refusals = [m for m in mishaps if isinstance(m, Refused)]
        tired = [m for m in mishaps if isinstance(m, Tired)]
        kinds = _that_differ(hand, kinds_for(hand.after, mishaps))
        apart: list[Kind] = []
        if self.workers > 1 and COPIES:
            apart = [kind for kind in kinds if kind.wide or refusals]
        here = chain(
            self._swaps(hand.after, refusals),
            self._kinds(hand, [kind for kind in kinds if kind not in apart], SHARE),
            self._with_prep(hand.after, usual, tired),
        )
        with Beside(_gathered(self._kinds(hand, apart, 1.0)), (), bool(apart)) as beside:
            for found in here:
                self._keep(found)
                self._hear(beside)
            while not beside.wait(A_MOMENT):
                self._hear(beside)
        self._hear(beside)
        # What was ended from outside (the system may, when memory is short) is worked out here.
        for found in self._kinds(hand, apart[self.heard :], SHARE):
            self._keep(found)
        shown = [SWAP, *(kind.key for kind in kinds), WITH_PREP]
        self.offers.sort(key=lambda offer: shown.index(offer.kind))

    def _kinds(self, hand: WeekInHand, kinds: list[Kind], last: float) -> Iterator[_Found]:
        """One after the other; ``last`` is the share of the time left that the last may take."""
        for kind in kinds:
            yield self._worked_out(hand, kind, last if kind is kinds[-1] else SHARE)

    def _worked_out(self, hand: WeekInHand, kind: Kind, share: float) -> _Found:
        left = self.seconds - (time.monotonic() - self.began)
        plan, stands = hand.solved(kind, max(LEAST_SECONDS, left * share))
        return offer_of(hand, kind, plan), stands

    def _hear(self, beside: Beside[tuple[_Found, ...]]) -> None:
        """Keep what has come from beside since the last time."""
        new = beside.latest[self.heard :]
        self.heard += len(new)
        for found in new:
            self._keep(found)

    def _keep(self, found: _Found) -> None:
        """Keep an offer, and tell it unless it comes to the same as another."""
        offer, stands = found
        if not stands:
            self.second_best.append(offer)
            return
        if not any(alike(offer, other) for other in self.offers):
            self.tell(offer)
        self.offers.append(offer)

    def _with_prep(self, after: Aftermath, usual: Problem, tired: Iterable[Tired]) -> Iterator[_Found]:
        """The easy day, but for the prep that a promise of another day needs."""
        for one in tired:
            lenient = with_prep_after_all(after, usual, one.day)
            if lenient is not None:
                hand = WeekInHand(lenient, self.plan, self.seed, self.workers)
                yield self._worked_out(hand, replace(kinds_for(lenient, [one])[0], key=WITH_PREP), SHARE)

    def _swaps(self, after: Aftermath, refusals: Iterable[Refused]) -> Iterator[_Found]:
        """Up to two other things in place of each that is refused."""
        for refused in refusals:
            tried = islice(swaps_for(after, self.plan, refused), MOST_TRIED)
            swapped = (self._swapped(wish, with_wish) for wish, with_wish in tried)
            yield from islice((found for found in swapped if found), MOST_SWAPS)

    def _swapped(self, wish: Wish, after: Aftermath) -> _Found | None:
        """The offer with a wish instead, if that has a place where all that stands may stay."""
        hand = WeekInHand(after, self.plan, self.seed, self.workers, swap=wish.id)
        if not any(c.task.go.wish.id == wish.id for c in hand.candidates.all):
            return None
        offer, stands = self._worked_out(hand, Kind(SWAP, STAY.keep), SHARE)
        return (offer, stands) if offer.added and stands else None


def _gathered(found: Iterable[_Found]) -> Iterator[tuple[_Found, ...]]:
    """All there are so far, each time there is one more."""
    so_far: tuple[_Found, ...] = ()
    for one in found:
        so_far = (*so_far, one)
        yield so_far


def _that_differ(hand: WeekInHand, kinds: Iterable[Kind]) -> list[Kind]:
    """Those kinds that leave other ways open than the ones before them."""
    found: dict[object, Kind] = {}
    for kind in kinds:
        ways = tuple(c.index for c in hand.open_to(kind))
        found.setdefault((ways, kind.easier, kind.led_by_lead), kind)
    return list(found.values())
