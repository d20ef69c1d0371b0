"""mend(): what happened → at most three offers, each the least change of its kind.

The past is frozen, what the parent set stays, nothing is added. Then, in tiers: promises, staples, fewest
weighted changes (what the children were told and what is near weigh more), worth, rhythm.
"""

from __future__ import annotations

import time
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from solver.aftermath import EASY_MESS, EASY_SET_UPS, Aftermath, aftermath
from solver.assemble import Chosen
from solver.candidates import Candidate, Candidates, Seat, enumerate_candidates
from solver.clock import slot_at
from solver.domain.base import DAYS, ChildId, Day, Moment, clock_text
from solver.domain.mishap import (
    ChangesBound,
    DayLost,
    Hooked,
    Late,
    Mending,
    Mishap,
    Move,
    NapFailed,
    Offer,
    Refused,
    Tired,
)
from solver.domain.plan import Booking, Fate, LeftOver, Plan, Reason, TierResult
from solver.domain.week import Problem, Rank
from solver.model import build
from solver.options import Option, options_of
from solver.outline import Outline, Task
from solver.rules.between import padded
from solver.rules.soft import Term
from solver.search import Search, best_week, finished, make_plan
from solver.tidy import narrowed, tidy
from solver.variables import Variables, total
from solver.words import day_name, listed

CHANGE = 2
TOLD = 2
NEAR = 1
NEAR_DAYS = 1
"""Today and tomorrow."""

Keep = Callable[[Candidate, Booking], bool]


@dataclass(frozen=True)
class _Kind:
    """A kind of offer: which candidates it may use, given where each booking was."""

    key: str
    keep: Keep


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
    PlanRejected
        When the checker finds a fault in an offer (a bug here).
    """
    began = time.monotonic()
    after = aftermath(problem, plan, mishaps, at)
    bench = _Bench(after, plan, seed, workers)
    offers: list[Offer] = []
    for kind in _kinds(mishaps):
        left = seconds - (time.monotonic() - began)
        offer = bench.offer(kind, max(0.5, left / 2))
        if not any(_alike(offer, other) for other in offers):
            offers.append(offer)
            if on_offer:
                on_offer(offer)
    return Mending(
        at=after.now,
        mishaps=tuple(mishaps),
        offers=tuple(sorted(offers, key=_rank)[:3]),
        seconds=round(time.monotonic() - began, 3),
    )


def _kinds(mishaps: Sequence[Mishap]) -> list[_Kind]:
    """The quickest first: whatever can stay stays; then moves; then the lighter or quieter day."""
    stay = _Kind("as-it-is", lambda c, b: _same_place(c, b) and c.option.lighter == b.lighter)
    moves = _Kind("fewest-changes", lambda c, b: not c.option.lighter or b.lighter)
    lighter = _Kind("lighter", lambda c, b: _same_place(c, b) or c.option.lighter)
    if any(isinstance(m, Tired) for m in mishaps):
        return [lighter, stay]
    if any(isinstance(m, Late | NapFailed | Hooked | Refused) for m in mishaps):
        return [stay, lighter, moves]
    if any(isinstance(m, DayLost) for m in mishaps):
        return [moves, stay, _Kind("rest", _only_other_days(mishaps))]
    return [moves, stay]


def _only_other_days(mishaps: Sequence[Mishap]) -> Keep:
    """Everything of the lost day is let go, even what could stay."""
    lost = {m.day for m in mishaps if isinstance(m, DayLost)}
    return lambda c, b: b.day not in lost and _same_place(c, b) and c.option.lighter == b.lighter


def _same_place(c: Candidate, booking: Booking) -> bool:
    if booking.meal or c.meal:
        return c.day is booking.day and c.meal == booking.meal
    return c.day is booking.day and c.stretch == booking.stretch


def _alike(one: Offer, other: Offer) -> bool:
    """Offers that come to the same for the family."""
    return _shape(one) == _shape(other)


def _shape(offer: Offer) -> object:
    gone = {(left.wish, left.go) for left in (*offer.held_over, *offer.let_go)}
    return (frozenset((m.booking, m.to_day, m.to_stretch, m.lighter) for m in offer.moved), frozenset(gone))


def _rank(offer: Offer) -> tuple[int, ...]:
    costs = {tier.name: tier.value for tier in offer.plan.tiers}
    return (costs.get("promises", 0), costs.get("staples", 0), offer.changes_bound.value)


class _Bench:
    """Candidates of the week as it is now, shared by the offers."""

    def __init__(self, after: Aftermath, plan: Plan, seed: int, workers: int) -> None:
        self.after, self.plan, self.seed, self.workers = after, plan, seed, workers
        self.was = {booking.id: booking for booking in plan.bookings}
        firm = {booking.id for booking in after.problem.week.firm}
        self.frozen = {b.id for b in plan.bookings if b.id in firm or self._untouched(b)}
        self.outline = Outline(after.problem)
        everything = enumerate_candidates(self.outline)
        self.candidates = self._allowed(everything)

    def _untouched(self, booking: Booking) -> bool:
        return self.after.only_days is not None and booking.day not in self.after.only_days

    def _allowed(self, everything: Candidates) -> Candidates:
        wanted: list[Candidate] = []
        extra = everything.seats
        for task in self.outline.tasks:
            booking = self.was.get(task.name)
            if booking is None:
                continue
            if booking.id in self.frozen:
                wanted.append(_exact(everything, task, booking, extra))
                extra += 1
            else:
                wanted += [c for c in everything.by_task[task] if self._may(c, booking)]
        found = narrowed(everything, wanted)
        found.seats = extra
        return found

    def _may(self, c: Candidate, booking: Booking) -> bool:
        after = self.after
        if after.only_days is not None and c.day not in after.only_days:
            return False
        if after.lost and c.task.rank is not Rank.PROMISE and c.day is not booking.day:
            return False
        if booking.id in after.dropped and _same_place(c, booking):
            return False
        easy = c.task.go.activity.tired_ok or c.option.lighter
        return c.day is not after.easy_day or (easy and c.option.sitting.mess <= EASY_MESS)

    def offer(self, kind: _Kind, seconds: float) -> Offer:
        """The best week of one kind."""
        kept = [
            c
            for c in self.candidates.all
            if c.task.name in self.frozen or kind.keep(c, self.was[c.task.name])
        ]
        candidates = narrowed(self.candidates, kept)
        search = Search(seconds, self.seed, self.workers, lambda _: None, lambda: False)
        week = build(candidates, more=self._changes)
        chosen, tiers = best_week(search, week, self._as_it_was(candidates))
        plan = make_plan(candidates, tidy(candidates, chosen, self.seed, self._starts()), tiers, 0)
        plan = self._with_reasons(finished(self.after.problem, plan, search))
        return self._told(kind, plan, tiers)

    def _starts(self) -> dict[str, int]:
        return {booking.id: slot_at(booking.start) for booking in self.plan.bookings}

    def _as_it_was(self, candidates: Candidates) -> Chosen:
        """What of the old plan still stands: the place to begin from."""
        starts = {}
        for c in candidates.all:
            booking = self.was[c.task.name]
            fits = (
                _means(c.option, booking) and _same_place(c, booking) and set(c.along) == set(booking.along)
            )
            if fits and c.may_start(slot_at(booking.start)) and not booking.alongside:
                starts[c.task] = (c, slot_at(booking.start))
        stand = {task: start for task, start in starts.items() if self._stands(task, starts)}
        evenings = {
            (task.go, prep.task): prep.evening
            for task in stand
            for prep in self.plan.prep
            if task.sitting == 0 and (prep.wish, prep.go) == (task.go.wish.id, task.go.index)
        }
        return Chosen(stand, {}, evenings)

    def _stands(self, task: Task, starts: dict[Task, tuple[Candidate, int]]) -> bool:
        """Whether the go still stands: as far as this sitting, or all of it if it may not carry on."""
        last = task.sitting if task.go.wish.may_carry_on else len(task.go.activity.sittings) - 1
        needed = [Task(task.go, i) for i in range(last + 1)]
        return all(one in starts for one in needed if one.name in self.was)

    def _changes(self, v: Variables) -> Iterator[Term]:
        """Each booking that leaves its place, and the days that must not get fuller."""
        self._no_fuller(v)
        self._easy(v)
        for task in self.outline.tasks:
            booking = self.was.get(task.name)
            if booking is None:
                continue
            if booking.id in self.frozen:
                v.model.add(v.placed(task) == 1)
                continue
            weight = self._weight(task, booking)
            same = total(v.chosen(c) for c in v.of(task) if _same_place(c, booking))
            yield Term("change", "changes", task.name, weight * (1 - same))

    def _weight(self, task: Task, booking: Booking) -> int:
        now = self.after.now.day.index if self.after.now else 0
        near = 0 <= booking.day.index - now <= NEAR_DAYS
        return CHANGE + (TOLD if task.go.wish.told else 0) + (NEAR if near else 0)

    def _no_fuller(self, v: Variables) -> None:
        after = self.after.no_fuller_after
        if after is None:
            return
        planned: dict[tuple[ChildId, Day], list[int]] = defaultdict(list)
        for c in self._as_planned():
            for child in c.option.children:
                planned[child, c.day].append(_taken(v, c, child))
        for who in v.outline.presence.learners:
            for day in DAYS[after.index + 1 :]:
                there = [c for c in v.on(day) if who.id in c.option.children]
                before = planned[who.id, day]
                v.model.add(total(v.chosen(c) for c in there) <= len(before))
                v.model.add(total(_taken(v, c, who.id) * v.chosen(c) for c in there) <= sum(before))

    def _as_planned(self) -> Iterator[Candidate]:
        """One candidate for each booking of the old plan, to measure it by."""
        for name, booking in self.was.items():
            task = next(task for task in self.outline.tasks if task.name == name)
            option = next((o for o in options_of(self.outline, task) if _means(o, booking)), None)
            if option is not None:
                yield _candidate(option, task, booking, -1)

    def _easy(self, v: Variables) -> None:
        day = self.after.easy_day
        if day is not None:
            set_ups = [v.chosen(c) for c in v.on(day) if c.option.sitting.setup_min > 0]
            v.model.add(total(set_ups) <= EASY_SET_UPS)

    def _with_reasons(self, plan: Plan) -> Plan:
        """What the old plan left over keeps its reason; what the mishap took says so."""
        old = {(left.wish, left.go): left for left in self.plan.left_over}
        told = [old.get((left.wish, left.go)) or self._lost(left) for left in plan.left_over]
        return plan.model_copy(update={"left_over": tuple(told)})

    def _lost(self, left: LeftOver) -> LeftOver:
        days = [b.day for b in self.plan.bookings if (b.wish, b.go) == (left.wish, left.go)]
        when = listed([day_name(day) for day in dict.fromkeys(days)])
        sentence = f"It was to be on {when}; there is no other place for it without making a day fuller."
        reason = Reason(rules=left.reason.rules, ids=left.reason.ids, day=left.reason.day, sentence=sentence)
        return left.model_copy(update={"reason": reason})

    def _told(self, kind: _Kind, plan: Plan, tiers: list[TierResult]) -> Offer:
        moved = tuple(self._moves(plan))
        old = {(left.wish, left.go) for left in self.plan.left_over}
        new = [left for left in plan.left_over if (left.wish, left.go) not in old]
        changes = next((tier for tier in tiers if tier.name == "changes"), None)
        bound = ChangesBound(
            value=changes.value if changes else 0,
            bound=changes.bound if changes else 0,
            proved=changes.proved if changes else True,
        )
        offer = Offer(
            kind=kind.key,
            sentence="",
            moved=moved,
            held_over=tuple(left for left in new if left.fate is Fate.HELD_OVER),
            let_go=tuple(left for left in new if left.fate is Fate.LET_GO),
            cancelled=self.after.cancelled,
            added=tuple(b.id for b in plan.bookings if b.id not in self.was),
            unchanged=len(plan.bookings) - len(moved),
            notes=self.after.notes,
            changes_bound=bound,
            plan=plan,
            week=self.after.problem.week,
        )
        return offer.model_copy(update={"sentence": _sentence(offer)})

    def _moves(self, plan: Plan) -> Iterator[Move]:
        titles = {activity.id: activity.title for activity in self.after.problem.activities}
        for booking in plan.bookings:
            was = self.was.get(booking.id)
            if was is None:
                continue
            stretch, before = (booking.stretch, was.stretch) if not booking.meal else (None, None)
            same = (was.day, before, was.meal, was.lighter)
            if same != (booking.day, stretch, booking.meal, booking.lighter):
                yield Move(
                    booking=booking.id, title=titles[booking.activity], from_day=was.day,
                    from_start=was.start, to_day=booking.day, to_start=booking.start,
                    to_stretch=booking.stretch, lighter=booking.lighter and not was.lighter,
                )  # fmt: skip


def _taken(v: Variables, c: Candidate, child: ChildId) -> int:
    return sum(padded(v.outline, c, child)) if c.option.in_room else 0


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
    """The one candidate that is a booking as it stands, whatever the rules say of it by now."""
    options: Iterable[Option] = options_of(everything.outline, task)
    option = next(option for option in options if _means(option, booking))
    return _candidate(option, task, booking, seat)


def _candidate(option: Option, task: Task, booking: Booking, seat: int) -> Candidate:
    slot = slot_at(booking.start)
    runs = ((slot, slot),)
    return Candidate(
        0, option, task, booking.day, booking.stretch, booking.meal, runs, booking.along, Seat(seat, runs)
    )


def _sentence(offer: Offer) -> str:
    """What an offer comes to, for somebody with a child on the arm."""
    parts = []
    lighter = [move.title for move in offer.moved if move.lighter]
    moved = [move for move in offer.moved if not move.lighter]
    if moved:
        parts.append("move " + listed([f"{m.title} to {_to(m)}" for m in moved[:3]]))
        if len(moved) > 3:
            parts[-1] += f" and {len(moved) - 3} more"
    if lighter:
        parts.append("do " + listed([f"{title} the easy way" for title in lighter[:3]]))
    waits, gone = len(offer.held_over), len(offer.let_go)
    if waits:
        parts.append(f"keep {_count(waits, 'thing')} for another time")
    if gone:
        parts.append(f"let go of {_count(gone, 'thing')}")
    if not parts:
        return "Nothing needs to change."
    text = listed(parts)
    rest = "everything else stays where it is" if offer.unchanged else "the day is for rest"
    return f"{text[:1].upper()}{text[1:]}; {rest}."


def _to(move: Move) -> str:
    if move.to_day is move.from_day:
        return f"{clock_text(move.to_start)} the same day"
    return day_name(move.to_day)


def _count(number: int, word: str) -> str:
    return f"one {word}" if number == 1 else f"{number} {word}s"
