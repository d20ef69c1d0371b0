"""The week in hand: what may still be done with each booking, and the model that chooses."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, field, replace
from functools import partial

from solver.aftermath import EASY_SET_UPS, Aftermath
from solver.assemble import Chosen
from solver.candidates import Allowed, Candidate, Candidates, Kin, Seat, enumerate_candidates, narrowed
from solver.clock import slot_at, slots_up
from solver.domain.base import DAY_MIN, DAYS, ChildId, Day
from solver.domain.faults import Fault, RelationError
from solver.domain.plan import Booking, Plan, TierResult
from solver.domain.week import Rank
from solver.mend.begin import what_holds, without
from solver.mend.kinds import Kind, same_place
from solver.model import build
from solver.options import Option, options_of
from solver.outline import Go, Outline, Task
from solver.rules.between import taken_slots
from solver.rules.soft import TIERS
from solver.rules.terms import Term
from solver.running import Search
from solver.search import finished, make_plan
from solver.tidy import tidy
from solver.tiers import best_week
from solver.variables import Linear, Variables, total

OTHERWISE = 1
"""In its place, but elsewhere in the house, with another adult or without somebody."""
CHANGE = 8
TOLD = 8
NEAR = 4
NEAR_DAYS = 1
"""Today and tomorrow."""
GIVEN_UP = 4
"""What is left out is one more than what is moved."""
EASIER = 4
"""The lighter version in its place, or the usual one again."""
LIVELY = 3
"""Energy from which the lighter version is the wish on an easy day."""
SOON_OVER = ("too hard", "too long", "tired")
"""Reasons for refusing that an easier version answers."""


@dataclass
class WeekInHand:
    """Candidates of the week as it is now, shared by the offers."""

    after: Aftermath
    plan: Plan
    seed: int
    workers: int
    swap: str = ""
    """A wish that is offered in place of something refused; it is placed."""
    matters: Callable[[Outline], Collection[Go]] | None = None
    """Goes that may still be placed besides what stands; None: all."""
    outline: Outline = field(init=False)
    candidates: Candidates = field(init=False)

    def __post_init__(self) -> None:
        self.was = {booking.id: booking for booking in self.plan.bookings}
        firm = {booking.id for booking in self.after.problem.week.firm}
        self.frozen = {b.id for b in self.plan.bookings if b.id in firm or self._untouched(b)}
        self.outline = Outline(self.after.problem)
        everything = enumerate_candidates(self.outline, self._open_goes())
        self.blocked = everything.blocked
        self.candidates = self._allowed(everything)
        self.all_hold = self._let_go_of_what_cannot_stand()

    def _open_goes(self) -> set[Go]:
        """Goes with a step that may move, and what may come instead: of the rest one way alone is needed."""
        steps = (task for task in self.outline.tasks if task.name in self.was.keys() - self.frozen)
        goes = {task.go for task in steps}
        goes |= {go for go in self.outline.goes if go.wish.id == self.swap}
        return goes & set(self.matters(self.outline)) if self.matters else goes

    def _let_go_of_what_cannot_stand(self) -> bool:
        """Whether all that stands keeps the rules by itself; what does not has no candidates any more."""
        allowed = Allowed(self.outline)
        standing = [c for c in self.candidates.all if c.task.name in self.frozen]
        fallen = {c.task.name for c in standing if not allowed.together(c.option)[c.day.index] >> c.first & 1}
        if fallen:
            kept = [c for c in self.candidates.all if c.task.name not in fallen]
            self.candidates = narrowed(self.candidates, kept)
            self.frozen -= fallen
        return not fallen

    def _untouched(self, booking: Booking) -> bool:
        return self.after.only_days is not None and booking.day not in self.after.only_days

    def _allowed(self, everything: Candidates) -> Candidates:
        wanted: list[Candidate] = []
        extra = everything.seats
        for task in self.outline.tasks:
            booking = self.was.get(task.name)
            if booking is None:
                wanted += everything.by_task[task] if task.go.wish.id == self.swap else []
            elif booking.id in self.frozen:
                wanted.append(_exact(everything, task, booking, extra))
                extra += 1
            else:
                may = [c for c in everything.by_task[task] if self._may(c, booking)]
                wanted += [later for c in may for later in self._later(c)]
        found = narrowed(everything, wanted)
        found.seats = extra
        return found

    def _may(self, c: Candidate, booking: Booking) -> bool:
        after = self.after
        if after.only_days is not None and c.day not in after.only_days:
            return False
        if after.lost and c.task.rank is not Rank.PROMISE and c.day is not booking.day:
            return False
        if c.option.lighter and not booking.lighter and self._in_parts(booking):
            return False
        return not self._refused(c, booking)

    def _in_parts(self, booking: Booking) -> bool:
        """The lighter version stands for the whole go, so it must not swallow what is planned of it."""
        return any(
            (b.wish, b.go) == (booking.wish, booking.go) and b.id != booking.id for b in self.plan.bookings
        )

    def _later(self, c: Candidate) -> Iterator[Candidate]:
        """The starts that are left when something has to dry or rise first."""
        ready = self.after.not_before.get(c.task.name)
        if ready is None:
            yield c
            return
        first = slots_up(max(0, ready - c.day.index * DAY_MIN))
        runs = tuple((max(a, first), b) for a, b in c.starts if b >= first)
        if runs:
            yield replace(c, starts=runs)

    def _refused(self, c: Candidate, booking: Booking) -> bool:
        """Where it was, a child who does not want it is not asked again, unless it is made easier."""
        for refusal in self.after.refusals:
            asked = refusal.child in c.option.children and same_place(c, booking)
            if refusal.booking == booking.id and asked:
                return not (c.option.lighter and not booking.lighter and refusal.reason in SOON_OVER)
        return False

    def solved(self, kind: Kind, seconds: float) -> tuple[Plan, bool]:
        """The best week of one kind, accepted by the checker, and whether all that stands could stay.

        Raises
        ------
        PlanRejected
            When the checker finds a fault in it (a bug here).
        """
        candidates = narrowed(self.candidates, self.open_to(kind))
        was = self._few_set_ups(self.as_it_was(candidates), kind)
        first = what_holds(self.after.problem, candidates, was, self.frozen)
        for stands in self._standing():
            search = Search(seconds, self.seed, self.workers, lambda _: None, lambda: False, asks=False)
            week = build(candidates, more=partial(self._changes, kind, stands, candidates))
            chosen, tiers = best_week(search, week, first)
            if search.best:
                break
        else:
            chosen, tiers, stands = first, [], set()
        if search.best:
            chosen = tidy(candidates, chosen, self.seed, self._starts())
        plan = make_plan(candidates, chosen, tiers)
        plan = finished(self.after.problem, plan, search)
        return (plan if search.best else self._unproved(plan, kind)), self.all_hold and stands == self.frozen

    def _few_set_ups(self, chosen: Chosen, kind: Kind) -> Chosen:
        """On an easy day no more set-ups than its limit, to begin with."""
        day = self.after.easy_day
        set_ups = [
            task
            for task, (c, _) in chosen.starts.items()
            if c.day is day and self._sets_up(c, kind) and task.name not in self.frozen
        ]
        for task in set_ups[EASY_SET_UPS:]:
            chosen = without(chosen, task)
        return chosen

    def _sets_up(self, c: Candidate, kind: Kind) -> bool:
        tired = kind.led_by_lead or self.after.lead in c.option.helpers
        return c.option.sitting.setup_min > 0 and tired

    def _unproved(self, plan: Plan, kind: Kind) -> Plan:
        """There was no time to search: what still holds of the old week, and no bound for it."""
        tasks = {task.name: task for task in self.outline.tasks}
        there = {booking.id for booking in plan.bookings}
        gone = [b for b in self.plan.bookings if b.id not in there and b.id not in self.frozen]
        changes = sum(self._weight(tasks[b.id], b) + GIVEN_UP for b in gone)
        values = {tier: sum(c.amount for c in plan.costs if c.tier == tier) for tier in TIERS}
        values["changes"] = changes
        tiers = (TierResult(name=name, value=values[name], bound=0, proved=False) for name in TIERS)
        return plan.model_copy(update={"tiers": tuple(tiers)})

    def _standing(self) -> tuple[set[str], ...]:
        """What must stay in place: all that stands; if the mishap forbids that, all that has begun; if
        even that breaks a rule by now, whatever still can."""
        return self.frozen, {b for b in self.frozen if self.begun(self.was[b])}, set()

    def begun(self, booking: Booking) -> bool:
        """Whether a booking of the old plan has begun by now."""
        now = self.after.now
        return now is not None and (booking.day.index, booking.start) < (now.day.index, now.time)

    def open_to(self, kind: Kind) -> list[Candidate]:
        """The ways that an offer of a kind may use."""
        return [c for c in self.candidates.all if self._kept(c, kind)]

    def _kept(self, c: Candidate, kind: Kind) -> bool:
        booking = self.was.get(c.task.name)
        return booking is None or c.task.name in self.frozen or kind.keep(c, booking)

    def _starts(self) -> dict[str, int]:
        return {booking.id: slot_at(booking.start) for booking in self.plan.bookings}

    def as_it_was(self, candidates: Candidates) -> Chosen:
        """What of the old plan still stands: the place to begin from."""
        starts = {}
        for c in candidates.all:
            booking = self.was.get(c.task.name)
            if booking is None:
                continue
            fits = _means(c.option, booking) and same_place(c, booking) and set(c.along) == set(booking.along)
            if fits and c.may_start(slot_at(booking.start)):
                starts[c.task] = (c, slot_at(booking.start))
        stand = {task: start for task, start in starts.items() if self._stands(task, starts)}
        evenings = {
            (task.go, prep.task): prep.evening
            for task in stand
            for prep in self.plan.prep
            if task.sitting == 0 and (prep.wish, prep.go) == (task.go.wish.id, task.go.index)
        }
        names = {task.name: task for task in stand}
        over = {
            task: names[busy]
            for name, task in names.items()
            if (busy := self.was[name].alongside) is not None and busy in names
        }
        alone = [task for name, task in names.items() if self.was[name].alongside and task not in over]
        chosen = Chosen(stand, over, evenings)
        for task in alone:
            chosen = without(chosen, task)
        return chosen

    def _stands(self, task: Task, starts: dict[Task, tuple[Candidate, int]]) -> bool:
        """Whether the go still stands: as far as this sitting, or all of it if it may not carry on."""
        last = task.sitting if task.go.wish.may_carry_on else len(task.go.activity.sittings) - 1
        needed = [Task(task.go, i) for i in range(last + 1)]
        return all(one in starts for one in needed if one.name in self.was)

    def _changes(self, kind: Kind, stands: set[str], candidates: Candidates, v: Variables) -> Iterator[Term]:
        """Each booking that leaves its place, and the days that must not get fuller."""
        self.no_fuller(v)
        self._easy(v, kind)
        for task in self.outline.tasks:
            booking = self.was.get(task.name)
            if booking is None:
                if task.go.wish.id == self.swap:
                    v.model.add(v.placed(task) == 1)
            elif booking.id in stands:
                v.model.add(v.placed(task) == 1)
            else:
                yield Term("change", "changes", task.name, self._change(v, task, booking, kind, candidates))

    def _change(
        self, v: Variables, task: Task, booking: Booking, kind: Kind, candidates: Candidates
    ) -> Linear:
        weight = self._weight(task, booking)
        there = [c for c in v.of(task) if same_place(c, booking)]
        wanted = booking.lighter
        if kind.easier and booking.day is self.after.easy_day and task.go.activity.energy >= LIVELY:
            here = (c for c in candidates.by_task[task] if same_place(c, booking))
            wanted = any(c.option.lighter for c in here)
        spared = [(weight - _small_change(c, booking, wanted)) * v.chosen(c) for c in there]
        return weight + GIVEN_UP - GIVEN_UP * v.placed(task) - total(spared)

    def _weight(self, task: Task, booking: Booking) -> int:
        now = self.after.now.day.index if self.after.now else 0
        near = 0 <= booking.day.index - now <= NEAR_DAYS
        return CHANGE + (TOLD if task.go.wish.told else 0) + (NEAR if near else 0)

    def no_fuller(self, v: Variables) -> None:
        """Days after a lost one get nothing added."""
        after = self.after.no_fuller_after
        if after is None:
            return
        planned: dict[tuple[ChildId, Day], list[int]] = defaultdict(list)
        for c in self._as_planned():
            for child in c.option.children:
                planned[child, c.day].append(taken_slots(v.outline, c, child))
        for who in v.outline.presence.learners:
            for day in DAYS[after.index + 1 :]:
                there = v.with_child(who.id, day)
                before = planned[who.id, day]
                v.model.add(v.count_of(there) <= len(before))
                taken = v.sum_of((c, taken_slots(v.outline, c, who.id)) for c in there)
                v.model.add(taken <= sum(before))

    def _as_planned(self) -> Iterator[Candidate]:
        """One candidate for each booking of the old plan, to measure it by."""
        tasks = {task.name: task for task in self.outline.tasks}
        for name, booking in self.was.items():
            option = next((o for o in options_of(self.outline, tasks[name]) if _means(o, booking)), None)
            if option is not None:
                yield _candidate(option, tasks[name], booking, -1)

    def _easy(self, v: Variables, kind: Kind) -> None:
        day = self.after.easy_day
        if day is None:
            return
        set_ups = [v.chosen(c) for c in v.on(day) if self._sets_up(c, kind)]
        v.model.add(total(set_ups) <= EASY_SET_UPS)


def _small_change(c: Candidate, booking: Booking, lighter: bool) -> int:
    """How much a child or an adult notices, though it stays in its place."""
    if c.option.lighter != lighter:
        return EASIER
    return 0 if c.option.lighter != booking.lighter or _means(c.option, booking) else OTHERWISE


def _means(option: Option, booking: Booking) -> bool:
    """Whether an option is the way in which a booking is done."""
    return (
        option.attends == booking.attends
        and option.place.id == booking.place
        and option.helpers == booking.helpers
        and option.minder == booking.minder
        and option.lighter == booking.lighter
        and option.alongside == (booking.alongside is not None)
        and option.at_meal == (booking.meal is not None)
    )


def _exact(everything: Candidates, task: Task, booking: Booking, seat: int) -> Candidate:
    """The one candidate that is a booking as it stands, whatever the rules say of it by now.

    Raises
    ------
    RelationError
        When the household knows no such way of doing it: the plan is another household's.
    """
    for option in options_of(everything.outline, task):
        if _means(option, booking):
            return _candidate(option, task, booking, seat)
    message = "this is not how it can be done in this household; make a new plan, or name the right file"
    raise RelationError([Fault(path=f"plan.bookings {booking.id}", message=message)])


def _candidate(option: Option, task: Task, booking: Booking, seat: int) -> Candidate:
    slot = slot_at(booking.start)
    runs = ((slot, slot),)
    return Candidate(
        0, option, task, booking.day, booking.stretch, booking.meal, runs, booking.along, Seat(seat, runs),
        Kin(1 << slot),
    )  # fmt: skip
