"""How well a week stands a lost day or a failed nap."""

from __future__ import annotations

import datetime
from collections.abc import Iterable

from solver.domain.base import DAYS, Clock, Day, Frozen, Moment, Name, WishId
from solver.domain.mishap import DayLost
from solver.domain.plan import Booking, Plan
from solver.domain.week import Problem, Rank
from solver.mend import mend
from solver.presence import Presence

FAILED_NAPS = 3
WITHIN_DAYS = 8
"""Three failed naps in eight days: the nap is going (common practice, no source)."""


class Hang(Frozen):
    """A promise that would break if one day were lost."""

    wish: WishId
    title: Name
    day: Day


def hanging(problem: Problem, plan: Plan, *, seconds_a_day: float = 2.0) -> tuple[Hang, ...]:
    """Which promises hang on which single day still to come; empty for a loss-proof week.

    A promise hangs on a day when it is kept in the plan, and no mended week keeps it with that day lost to
    everybody from the morning on.
    """
    kept = {wish.id for wish in problem.week.wishes if wish.rank is Rank.PROMISE} - _broken(plan)
    found = []
    for day in _days_ahead(problem, plan):
        lost = mend(problem, plan, [DayLost(day=day)], at=_morning(problem, day), seconds=seconds_a_day)
        still = [_broken(offer.plan) for offer in lost.offers]
        for wish in sorted(kept):
            if still and all(wish in broken for broken in still):
                found.append(Hang(wish=wish, title=_title(problem, wish), day=day))
    return tuple(found)


def _broken(plan: Plan) -> set[str]:
    return {left.wish for left in plan.left_over}


def _days_ahead(problem: Problem, plan: Plan) -> list[Day]:
    promised = {wish.id for wish in problem.week.wishes if wish.rank is Rank.PROMISE}
    now = problem.week.now
    days = {b.day for b in plan.bookings if b.wish in promised}
    return sorted((d for d in days if now is None or d.index >= now.day.index), key=DAYS.index)


def _morning(problem: Problem, day: Day) -> Moment:
    wake: Clock = min(child.wake for child in problem.household.children)
    morning = Moment(day=day, time=wake)
    now = problem.week.now
    return now if now is not None and now.week_min > morning.week_min else morning


def _title(problem: Problem, wish_id: str) -> str:
    wish = next(wish for wish in problem.week.wishes if wish.id == wish_id)
    return next(a.title for a in problem.activities if a.id == wish.activity)


def leaning_on_naps(problem: Problem, plan: Plan) -> tuple[tuple[Booking, str], ...]:
    """Bookings that happen while some child naps, with that child: they need a fallback."""
    presence = Presence(problem)
    found = []
    for booking in plan.bookings:
        attending = {a.child for a in booking.attends}
        for child in problem.household.children:
            for nap in presence.naps_on(child, booking.day):
                overlaps = booking.start < nap.end and booking.start + booking.minutes > nap.start
                if child.id not in attending and overlaps:
                    found.append((booking, child.id))
    return tuple(found)


def nap_is_going(failed: Iterable[datetime.date], today: datetime.date) -> bool:
    """Whether a nap failed so often lately that the week should be built without it."""
    recent = [day for day in failed if 0 <= (today - day).days < WITHIN_DAYS]
    return len(set(recent)) >= FAILED_NAPS
