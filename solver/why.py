"""Why here, why not: answers to one question about a stored plan, without solving the week again."""

from __future__ import annotations

import time
from collections import defaultdict
from functools import cached_property

from solver.candidates import Allowed, Candidate, Candidates, enumerate_candidates
from solver.check import Facts, check
from solver.clock import minutes_of
from solver.domain.base import DAYS, Day, StretchId
from solver.domain.faults import RelationError, unknown
from solver.domain.plan import Booking, LeftOver, Plan, Reason, WhyAnswer
from solver.domain.week import Problem, Stretch
from solver.masks import between
from solver.options import Option, options_of
from solver.outline import Go, Outline, Task
from solver.rules import ALONE
from solver.words import CLAUSES, GENERAL, NOT_ASKED, clause, day_name, listed

MOST_SECONDS = 10.0
"""For a reason that is still to be found out."""


def why(problem: Problem, plan: Plan, what: str) -> WhyAnswer:
    """Why a booking sits where it sits, or why a wish was left over.

    Raises
    ------
    RelationError
        When ``what`` is neither a booking of the plan nor a wish of the week.
    """
    by_id = {booking.id: booking for booking in plan.bookings}
    if what in by_id:
        return _why_here(problem, plan, by_id[what])
    left = [one for one in plan.left_over if one.wish == what or f"{one.wish}.{one.go + 1}" == what]
    if left:
        return _why_not(problem, plan, left[0])
    of_wish = [booking for booking in plan.bookings if booking.wish == what]
    if of_wish:
        return _why_here(problem, plan, of_wish[0])
    known = [*by_id, *(wish.id for wish in problem.week.wishes)]
    raise RelationError([unknown("WISH-OR-BOOKING", "wish or booking", what, known)])


def _why_not(problem: Problem, plan: Plan, left: LeftOver) -> WhyAnswer:
    # Only this question needs the engine, which takes longer to load than the other takes to answer.
    from solver.frees import what_frees

    reason = left.reason if left.reason.sentence != NOT_ASKED else _asked_now(problem, plan, left)
    sentences = [reason.sentence]
    freed_by = reason.freed_by
    freed = what_frees(problem, _go_of(Outline(problem), left))
    if freed is not None:
        sentences.append(f"{freed.in_the_way[:1].upper()}{freed.in_the_way[1:]}.")
        freed_by = freed.by
    if freed_by:
        sentences.append(f"What would bring it back: {freed_by}.")
    return WhyAnswer(about=left.wish, sentences=tuple(sentences), reasons=(reason,))


def _asked_now(problem: Problem, plan: Plan, left: LeftOver) -> Reason:
    """The reason that the search had no time to find out, with all that is booked where it is."""
    from solver.aftermath import Aftermath
    from solver.explain import reason_for
    from solver.mend.weekinhand import WeekInHand

    hand = WeekInHand(Aftermath(problem, plan, None), plan, plan.seed, 1, swap=left.wish)
    # Goes of one wish stay in the order of their numbers: the first that is missing is asked for.
    goes = (_go_of(hand.outline, one) for one in plan.left_over if one.wish == left.wish)
    day = _go_of(hand.outline, left).day
    go = min((go for go in goes if go.day is day), key=lambda go: go.index)
    until = time.monotonic() + MOST_SECONDS
    return reason_for(hand.candidates, hand.as_it_was(hand.candidates), go, until)


def _go_of(outline: Outline, left: LeftOver) -> Go:
    return next(go for go in outline.goes if (go.wish.id, go.index) == (left.wish, left.go))


def _why_here(problem: Problem, plan: Plan, booking: Booking) -> WhyAnswer:
    """The booking's own time first, then what keeps it from the other stretches of the week."""
    outline = Outline(problem)
    task = next(task for task in outline.tasks if task.name == booking.id)
    candidates = enumerate_candidates(_only(outline, task))
    elsewhere = _Elsewhere(problem, plan, booking, outline, candidates)
    reasons = elsewhere.reasons()
    sentences = [_at_home(outline, booking), *_told(elsewhere, reasons)]
    return WhyAnswer(about=booking.id, sentences=tuple(sentences), reasons=tuple(r for _, r in reasons))


def _only(outline: Outline, task: Task) -> Outline:
    """An outline of one task's wish alone, for its candidates."""
    week = outline.problem.week
    alone = week.model_copy(update={"wishes": (task.go.wish,)})
    return Outline(outline.problem.model_copy(update={"week": alone}))


def _at_home(o: Outline, booking: Booking) -> str:
    title = o.activities[booking.activity].title
    names = {s.id: s.name.lower() for s in o.problem.household.stretches}
    where = names.get(booking.stretch or "", "the meal")
    return f"{title} is on {day_name(booking.day)}, {where}."


class _Elsewhere:
    """What happens when a booking is put into the other stretches, everything else staying."""

    def __init__(
        self, problem: Problem, plan: Plan, booking: Booking, outline: Outline, candidates: Candidates
    ) -> None:
        self.problem, self.plan, self.booking = problem, plan, booking
        self.outline = outline
        self.candidates = candidates
        self.task = next(t for t in candidates.outline.tasks if t.name == booking.id)
        self.allowed = Allowed(candidates.outline)
        self.facts = Facts(problem, plan, ())
        self.options = [o for o in options_of(candidates.outline, self.task) if not o.lighter]

    def reasons(self) -> list[tuple[tuple[Day, Stretch], Reason]]:
        """One reason for each stretch of the days it could be on, where it is not."""
        days = self.task.go.wish.days or self.problem.week.teaching_days
        found = []
        for day in sorted(days, key=DAYS.index):
            for stretch in self.problem.household.stretches:
                if (day, stretch.id) != (self.booking.day, self.booking.stretch):
                    keys = self._against(day, stretch)
                    found.append(((day, stretch), self._reason(day, stretch.id, keys)))
        return found

    def _against(self, day: Day, stretch: Stretch) -> tuple[str, ...]:
        there = [c for c in self.candidates.by_task[self.task] if c.day is day and c.stretch == stretch.id]
        return self._broken(there[0]) if there else self._own_rules(day, stretch)

    def _own_rules(self, day: Day, stretch: Stretch) -> tuple[str, ...]:
        """The rules that alone leave it no start there."""
        window = self.outline.presence.starts_in(stretch) or between(0, 0)
        plain = [option for option in self.options if not option.alongside and not option.at_meal]
        found = [_keys(self.allowed, option, day, window) for option in plain]
        keys = min(found, key=len, default=[])
        return ("hours",) if "hours" in keys else tuple(keys)

    def _broken(self, c: Candidate) -> tuple[str, ...]:
        """The rules that are broken when it is put there at its earliest start."""
        moved = self.booking.model_copy(
            update={
                "day": c.day, "start": minutes_of(c.first), "stretch": c.stretch, "meal": c.meal,
                "attends": c.option.attends, "place": c.option.place.id, "helpers": c.option.helpers,
                "minder": c.option.minder, "along": c.along, "alongside": None,
            }
        )  # fmt: skip
        broken = {key for key, _ in self._faults(moved) - self._without}
        return tuple(sorted(key for key in broken if key in CLAUSES and key != "firm"))

    @cached_property
    def _without(self) -> set[tuple[str, str]]:
        return self._faults()

    def _faults(self, *moved: Booking) -> set[tuple[str, str]]:
        """What the checker says of the plan with the booking put elsewhere, or with it left out."""
        others = tuple(b for b in self.plan.bookings if b.id != self.booking.id)
        changed = self.plan.model_copy(update={"bookings": (*others, *moved), "waiting": ()})
        return {(violation.key, violation.sentence) for violation in check(self.problem, changed, self.facts)}

    def _reason(self, day: Day, stretch: StretchId, keys: tuple[str, ...]) -> Reason:
        plain = [key for key in keys if key not in GENERAL] or list(keys)
        text = clause(self.candidates.outline, self.task.go, self.task.sitting, plain[:1]) if keys else ""
        sentence = text or "it would fit there too, but the week is better as it is"
        return Reason(rules=keys, ids=(self.booking.id, stretch), day=day, sentence=sentence)


def _keys(allowed: Allowed, option: Option, day: Day, window: int) -> list[str]:
    return [key for key in ALONE if not allowed.by(key, option)[day.index] & window]


def _told(elsewhere: _Elsewhere, reasons: list[tuple[tuple[Day, Stretch], Reason]]) -> list[str]:
    """The reasons gathered: one sentence for each, naming where it holds."""
    where: dict[str, list[str]] = defaultdict(list)
    for (day, stretch), reason in reasons:
        where[reason.sentence].append(f"{day_name(day)} {stretch.name.lower()}")
    told = []
    for sentence, places in sorted(where.items(), key=lambda item: -len(item[1])):
        shown = (
            listed(places) if len(places) <= 3 else f"{listed(places[:2])} and {len(places) - 2} other times"
        )
        told.append(f"Not {shown}: {sentence}.")
    return told
