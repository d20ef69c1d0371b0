"""The rest of the week if a day were lost: which promises could still be kept, and how."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solver.aftermath import aftermath
from solver.candidates import Candidate, narrowed
from solver.domain.activity import Alongside
from solver.domain.base import Day, Moment
from solver.domain.mishap import DayLost
from solver.domain.plan import Plan, SpareWeek
from solver.domain.week import Problem, Rank
from solver.mend.begin import without
from solver.mend.kinds import as_it_was
from solver.mend.weekinhand import WeekInHand
from solver.model import build
from solver.outline import Go, Outline, Task
from solver.rules.soft import promise
from solver.rules.spares import with_what_they_need
from solver.rules.terms import Term
from solver.running import Search
from solver.search import make_plan
from solver.tiers import best_week
from solver.variables import Variables


@dataclass(frozen=True)
class Spared:
    """What a lost day would leave of the promises that a plan keeps."""

    week: SpareWeek
    broken: dict[str, tuple[str, ...]]
    """Wishes that would break, with the rules that leave them no time (none named: no room)."""
    proved: bool
    """Whether no mended week breaks fewer."""
    hand: WeekInHand


def spared(problem: Problem, plan: Plan, day: Day, morning: Moment, seconds: float, seed: int = 1) -> Spared:
    """The mended week that keeps most promises with a day lost to everybody, and as little else as it can."""
    after = aftermath(problem, plan, [DayLost(day=day)], morning)
    hand = WeekInHand(after, plan, seed, 1, matters=_what_matters)
    wanted = [c for c in hand.candidates.all if _may_be(hand, c, day)]
    candidates = narrowed(hand.candidates, wanted)
    standing = _standing(hand, day)
    first = hand.as_it_was(candidates)
    for task in list(first.starts):
        if task.name not in standing and task in first.starts:
            first = without(first, task)

    def more(v: Variables) -> Iterator[Term]:
        hand.no_fuller(v)
        yield from promise(v)
        for task in hand.outline.tasks:
            if task.name in standing:
                v.model.add(v.placed(task) == 1)
            elif task.rank is not Rank.PROMISE:
                yield Term("others", "changes", task.name, v.placed(task))

    search = Search(seconds, seed, 1, lambda _: None, lambda: False)
    chosen, tiers = best_week(search, build(candidates, costs=False, more=more), first)
    found = make_plan(candidates, chosen, [])
    past = {b.id for b in plan.bookings if hand.begun(b)}
    week = SpareWeek(
        day=day,
        bookings=tuple(b for b in found.bookings if b.id not in past),
        prep=found.prep,
        shopping=found.shopping,
    )
    proved = bool(search.best) and any(tier.name == "promises" and tier.proved for tier in tiers)
    return Spared(week, _broken(hand, found), proved, hand)


def _what_matters(o: Outline) -> set[Go]:
    """Promises, what has to come before them, and busy hands that a promised story may be read to."""
    found = with_what_they_need(o, [go for go in o.goes if go.wish.rank is Rank.PROMISE])
    if any(go.activity.alongside is Alongside.LISTENING for go in found):
        found |= {go for go in o.goes if go.activity.alongside is Alongside.BUSY_HANDS}
    return found


def _may_be(hand: WeekInHand, c: Candidate, lost: Day) -> bool:
    """On the lost day itself nothing is put anywhere but where it was."""
    booking = hand.was.get(c.task.name)
    if booking is None or c.day is not lost:
        return booking is not None
    same = c.option.helpers == booking.helpers and c.option.place.id == booking.place
    return booking.id in hand.frozen or (as_it_was(c, booking) and same)


def _standing(hand: WeekInHand, lost: Day) -> set[str]:
    """What has begun, and what the parent set, unless the lost day takes a part of it."""
    hit = {(b.wish, b.go) for b in hand.plan.bookings if b.day is lost and not hand.begun(b)}
    return {
        b.id
        for b in hand.plan.bookings
        if b.id in hand.frozen and (hand.begun(b) or (b.wish, b.go) not in hit)
    }


def _broken(hand: WeekInHand, found: Plan) -> dict[str, tuple[str, ...]]:
    """Promises that the old plan keeps and this one does not."""
    old = {(left.wish, left.go) for left in hand.plan.left_over}
    new = {(left.wish, left.go) for left in found.left_over} - old
    broken: dict[str, tuple[str, ...]] = {}
    for go in hand.outline.goes:
        if go.wish.rank is Rank.PROMISE and (go.wish.id, go.index) in new:
            broken.setdefault(go.wish.id, _rules(hand, go))
    return broken


def _rules(hand: WeekInHand, go: Go) -> tuple[str, ...]:
    tasks = (Task(go, index) for index in range(len(go.activity.sittings)))
    return next((hand.blocked[task] for task in tasks if task in hand.blocked), ())
