"""A week that stands a lost day: for each day a second, small week of the promises without it.

In the week without a day, what was before it stands as it is, firm bookings stay, no later day is fuller
than planned, and everything else has given way. What is asked of such a week is a little less than a mend
would ask (what others used up before that day is not counted): so no loss-proof week is missed and the
bound is true. How many promises really hang is counted afterwards, day by day (``solver.resilience``).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solver.candidates import Candidate, Candidates, narrowed
from solver.clock import SLOT_MIN
from solver.domain.base import DAY_MIN, DAYS, Day
from solver.domain.week import LossProof, Rank
from solver.outline import Go, Outline, Task
from solver.rules import across, between, hands, stores
from solver.rules.between import taken_slots
from solver.rules.terms import Term
from solver.variables import Variables

_RULES = (
    between.one_at_a_time, between.breaks, between.focus_day, between.place_room, between.tools,
    between.mess_day, between.mess_week, between.theme_day, between.white_space, between.screen,
    hands.adult_hands, hands.baby_hands, hands.minder, across.waits, across.holding, across.prep,
    across.prep_minutes, across.order, across.often, stores.supplies, stores.money,
)  # fmt: skip
"""All that lies between sittings, but for *whole_go* (what was begun may be lost) and *alongside* (the
busy hands a story is read to may be anybody's)."""


def hangs(v: Variables) -> Iterator[Term]:
    """No promise hangs on a single day, where that is required."""
    if v.outline.problem.week.loss_proof is LossProof.REQUIRE:
        yield from _terms(v, "hangs", "required")


def may_hang(v: Variables) -> Iterator[Term]:
    """No promise hangs on a single day, where that is preferred."""
    if v.outline.problem.week.loss_proof is LossProof.PREFER:
        yield from _terms(v, "may_hang", "preferred")


SPARES = (hangs, may_hang)


def _terms(v: Variables, key: str, tier: str) -> Iterator[Term]:
    promised = [go for go in v.outline.goes if go.wish.rank is Rank.PROMISE and v.of(Task(go, 0))]
    for day in days_at_risk(v.outline):
        if not any(c.task.rank is Rank.PROMISE for c in v.on(day)):
            continue
        without = _WeekWithout(v, day)
        for go in promised:
            lost = v.amount(f"{key} {go.name} {day}", 1)
            v.model.add(lost >= v.whole(go) - without.v.whole(go))
            yield Term(key, tier, f"{go.name} {day}", lost)


def days_at_risk(o: Outline) -> list[Day]:
    """The days that are still to come."""
    now = o.problem.week.now
    return [day for day in DAYS if now is None or day.index >= now.day.index]


@dataclass
class _WeekWithout:
    """Variables of their own for the promises, in the same model, when a day is lost."""

    base: Variables
    day: Day

    def __post_init__(self) -> None:
        o = self.base.outline
        self.firm = {booking.id for booking in o.problem.week.firm}
        goes = _that_matter(o)
        there = [c for c in self.base.candidates.all if c.task.go in goes and self._may_be(c)]
        small = Candidates(o.only(goes), seats=self.base.candidates.seats)
        small.all = narrowed(self.base.candidates, there).all
        self.v = Variables(self.base.model, small)
        for rule in _RULES:
            rule(self.v)
        stores.fresh_from(self.v, self._morning())
        for usual, own in zip(there, self.v.candidates.all, strict=True):
            self._stands(usual, own)
        self._steps_in_order()
        self._prepared_before()
        self._no_fuller()

    def _morning(self) -> int:
        now = self.base.outline.problem.week.now
        return max(self.day.index * DAY_MIN, now.week_min if now else 0)

    def _may_be(self, c: Candidate) -> bool:
        """An adult's step may stay on the lost day."""
        return c.day is not self.day or self._is_before(c) or not c.option.children

    def _is_before(self, c: Candidate) -> bool:
        now = self.base.outline.problem.week.now
        begun = c.task.name in self.firm and now is not None and c.week_first * SLOT_MIN < now.week_min
        return c.day.index < self.day.index or begun

    def _stands(self, usual: Candidate, own: Candidate) -> None:
        """What was before the lost day is as it is; so is what the parent set, unless it rests on more."""
        model = self.base.model
        before = self._is_before(usual)
        if usual.day is self.day and not before:
            model.add(self.v.chosen(own) <= self.base.chosen(usual))
        elif before or (usual.task.name in self.firm and self._stands_alone(usual.task.go)):
            model.add(self.v.chosen(own) == self.base.chosen(usual))
        if before:
            model.add(self.v.start(own) == self.base.start(usual)).only_enforce_if(self.v.chosen(own))

    def _stands_alone(self, go: Go) -> bool:
        """Whether nothing that was lost can be missing to it."""
        return len(go.activity.sittings) == 1 and not _needed(self.base.outline, go)

    def _steps_in_order(self) -> None:
        for task in self.v.outline.tasks:
            if task.sitting and self.v.of(task):
                earlier = Task(task.go, task.sitting - 1)
                before = self.v.placed_in_full(earlier) if task.sitting == 1 else self.v.placed(earlier)
                self.base.model.add(self.v.placed(task) <= before)

    def _prepared_before(self) -> None:
        """Prep of evenings that have gone was done, or was not."""
        for go in self.v.outline.goes:
            for task in go.activity.prep:
                usual = self.base.evenings(go, task)
                for evening, own in self.v.evenings(go, task).items():
                    if evening.index < self.day.index:
                        self.base.model.add(own <= usual.get(evening, 0))

    def _no_fuller(self) -> None:
        for child in self.v.outline.presence.learners:
            for day in DAYS[self.day.index + 1 :]:
                v, base = self.v, self.base
                own, usual = v.with_child(child.id, day), base.with_child(child.id, day)
                if own:
                    base.model.add(v.count_of(own) <= base.count_of(usual))
                    base.model.add(
                        v.sum_of((c, taken_slots(v.outline, c, child.id)) for c in own)
                        <= base.sum_of((c, taken_slots(base.outline, c, child.id)) for c in usual)
                    )


def seen_by_spares(o: Outline) -> set[Go]:
    """The goes whose candidates the costs look at beyond those that are chosen."""
    return set() if o.problem.week.loss_proof is LossProof.OFF else _that_matter(o)


def _that_matter(o: Outline) -> set[Go]:
    firm = {booking.id for booking in o.problem.week.firm}
    held = (go for go in o.goes if any(Task(go, i).name in firm for i in range(len(go.activity.sittings))))
    return with_what_they_need(o, [*held, *(go for go in o.goes if go.wish.rank is Rank.PROMISE)])


def with_what_they_need(o: Outline, goes: list[Go]) -> set[Go]:
    """Together with what has to come before them."""
    found = set(goes)
    waiting = list(goes)
    while waiting:
        needed = _needed(o, waiting.pop())
        waiting += [one for one in needed if one not in found]
        found |= set(needed)
    return found


def _needed(o: Outline, go: Go) -> list[Go]:
    named = [g for g in o.goes if g.wish.id in go.wish.after or g.activity.id == go.activity.needs_first]
    opens = [g for g in o.goes if g.wish.opens_theme and g.activity.theme == go.activity.theme]
    return [*named, *(g for g in opens if g.wish.id != go.wish.id)]
