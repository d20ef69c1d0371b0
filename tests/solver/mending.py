"""What tests of mending ask of an offer, in plain words: what moved, what each day holds, what was said."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from typing import Any

from solver.domain.base import DAYS, Day, Mess, Moment
from solver.domain.mishap import Mending, Offer
from solver.domain.plan import Booking, Plan
from solver.domain.week import Problem
from tests.solver.demo_weeks import sitting_of, up

SCOLDING = re.compile(
    r"\b(miss(ed|ing)?|overdue|behind|fail(ed|ure)?|owe[ds]?|debt|catch(ing)? up|make up|streak|late)\b",
    re.IGNORECASE,
)
"""Words that would read as blame (common practice, no source)."""


def moment(day: Day, time: str) -> Moment:
    """A point in the week."""
    return Moment.model_validate({"day": day, "time": time})


def where(booking: Booking) -> tuple[Any, ...]:
    """Everything about a booking but who put it there."""
    return tuple(value for key, value in booking if key not in ("state", "cautions"))


def past_of(plan: Plan, since: Moment, by_start: bool = False) -> list[tuple[Any, ...]]:
    """Bookings whose laying out (or with ``by_start`` they themselves) began before a moment."""
    begins = (lambda b: (b.day.index, b.start)) if by_start else _laid_out
    begun = [b for b in plan.bookings if begins(b) < (since.day.index, since.time)]
    return sorted(where(b) for b in begun)


def _laid_out(booking: Booking) -> tuple[int, int]:
    return booking.day.index, booking.start - up(booking.setup_min)


def on(plan: Plan, *days: Day) -> set[str]:
    """The bookings of some days."""
    return {booking.id for booking in plan.bookings if booking.day in days}


def minutes_on(plan: Plan, child: str, day: Day) -> int:
    """The minutes of a child's own bookings on a day, those laid over others left out."""
    mine = [(b, a) for b in plan.bookings if b.day is day and not b.alongside for a in b.attends]
    return sum(a.minutes for _, a in mine if a.child == child)


def busy_on(problem: Problem, plan: Plan, child: str, day: Day) -> int:
    """Minutes for which a child's own time is taken: with washing and the change after each thing."""
    limits = problem.household.limits
    own = [b for b in plan.bookings if b.day is day and not b.alongside and not b.meal]
    busy = 0
    for booking in own:
        for one in booking.attends:
            if one.child == child:
                wash = limits.wash_min if sitting_of(problem, booking).mess >= Mess.WIPE_TABLE else 0
                busy += up(one.minutes) + up(wash) + up(limits.change_min)
    return busy


def fuller_days(problem: Problem, before: Plan, after: Plan, since: Day) -> list[tuple[str, Day]]:
    """Days after one day on which a child has more to do than was planned."""
    children = [child.id for child in problem.household.children if child.learner]
    return [
        (child, day)
        for day in DAYS[since.index + 1 :]
        for child in children
        if busy_on(problem, after, child, day) > busy_on(problem, before, child, day)
    ]


def sentences(offer: Offer) -> Iterator[str]:
    """Everything an offer says in words."""
    yield offer.sentence
    yield from offer.notes
    for left in (*offer.held_over, *offer.let_go):
        yield from (left.reason.sentence, left.until, left.reason.freed_by)
    for one in offer.cancelled:
        yield from (one.why, one.tell)


def scolding(mending: Mending) -> list[str]:
    """Sentences that would read as blame."""
    return [text for offer in mending.offers for text in sentences(offer) if SCOLDING.search(text)]


def week_of(problem: Problem, offer: Offer) -> Problem:
    """The problem that an accepted offer leaves, as a document would give it."""
    from solver.domain.document import Document

    document = Document.model_construct(
        household=problem.household, activities=problem.activities, weeks=(offer.week,)
    )
    return document.problem(offer.week.id)


def left_titles(offer: Offer) -> Counter[str]:
    """What is held over or let go, by title."""
    return Counter(left.title for left in (*offer.held_over, *offer.let_go))
