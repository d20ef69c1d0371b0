"""Which promises hang on a single day: the plan's spare weeks, each judged as a week of its own.

A spare week says what the rest of the week would be if one day were lost to all children from its morning
on. It counts only if it breaks no rule, adds nothing, makes no later day fuller, moves nothing but promises
to another day, and leaves alone what the parent set.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from solver.check.facts import Facts, Placed
from solver.check.hard import CHECKS
from solver.check.sane import gather
from solver.check.stores import evening_slot, held_things
from solver.clock import DAY_SLOTS, SLOT_MIN, minutes_of, slots_up
from solver.domain.base import DAY_MIN, DAYS, ChildId, Day, Moment
from solver.domain.plan import Booking, Fate, LeftOver, Plan, Reason, SpareWeek, State, Waiting
from solver.domain.week import FixedKind, FixedPoint, LossProof, Prepared, Problem, Rank, Wish

Amount = tuple[str, int]
_OUT = Reason(sentence="The day is lost.")


def hangs(facts: Facts) -> Iterator[Amount]:
    """A promise that would break if one day were lost, where that is required not to be."""
    yield from _hanging(facts, LossProof.REQUIRE)


def may_hang(facts: Facts) -> Iterator[Amount]:
    """A promise that would break if one day were lost, where that is preferred not to be."""
    yield from _hanging(facts, LossProof.PREFER)


def _hanging(facts: Facts, asked: LossProof) -> Iterator[Amount]:
    """Of a plan that names its spare weeks."""
    if facts.week.loss_proof is not asked or facts.plan.spares is None:
        return
    for day in _at_risk(facts):
        kept = _kept(facts, day)
        for wish, go in _promised(facts):
            yield f"{wish}.{go + 1} {day}", int((wish, go) not in kept)


def _at_risk(facts: Facts) -> Iterator[Day]:
    """Days still to come on which something promised is planned."""
    for day in DAYS:
        promised = [p for p in facts.by_day[day] if p.wish.rank is Rank.PROMISE]
        now = _morning(facts, day)
        if any(minutes_of(placed.adult.start) >= now.week_min for placed in promised) and now.day is day:
            yield day


def _promised(facts: Facts) -> list[tuple[str, int]]:
    """The goes of promises that the plan keeps."""
    promises = [wish for wish in facts.wishes.values() if wish.rank is Rank.PROMISE]
    goes = [(wish.id, go) for wish in promises for go in range(facts.goes(wish))]
    return [(wish, go) for wish, go in goes if facts.wholly(wish, go)]


def _kept(facts: Facts, day: Day) -> set[tuple[str, int]]:
    """What of them a sound spare week keeps when a day is lost."""
    spare = next((one for one in facts.plan.spares or () if one.day is day), None)
    if spare is None or not _only_what_was_planned(facts, spare):
        return set()
    problem, plan = week_without(facts, spare)
    after, broken = gather(problem, plan)
    if broken or any(violation for rule in CHECKS.values() for violation in rule(after)):
        return set()
    if _is_fuller(facts, after, day) or not _firm_stays(facts, after, day):
        return set()
    return {(wish, go) for wish, go in _promised(facts) if after.wholly(wish, go)}


def _morning(facts: Facts, day: Day) -> Moment:
    """When the day is lost: when the first child wakes, or now."""
    wake = Moment(day=day, time=min(child.wake for child in facts.house.children))
    now = facts.week.now
    return now if now is not None and now.week_min > wake.week_min else wake


def _past(facts: Facts, now: Moment) -> list[Placed]:
    return [placed for placed in facts.placed if minutes_of(placed.adult.start) < now.week_min]


def _only_what_was_planned(facts: Facts, spare: SpareWeek) -> bool:
    """Nothing new, and on another day only promises."""
    planned = {placed.booking.id: placed for placed in facts.placed}
    return all(
        booking.id in planned
        and (planned[booking.id].wish.rank is Rank.PROMISE or planned[booking.id].booking.day is booking.day)
        for booking in spare.bookings
    )


def week_without(facts: Facts, spare: SpareWeek) -> tuple[Problem, Plan]:
    """The week from the morning of the lost day on, and what its spare week says of it."""
    now = _morning(facts, spare.day)
    past = [placed.booking.model_copy(update={"state": State.FIRM}) for placed in _past(facts, now)]
    firm = {one.id: one for one in facts.week.firm} | {one.id: one for one in past}
    begun = {one.wish for one in firm.values()}
    week = facts.week.model_copy(
        update={
            "now": now,
            "firm": tuple(firm.values()),
            "prepared": (*facts.week.prepared, *_done(facts, now)),
            "fixed_points": (*facts.week.fixed_points, _lost(facts, spare.day, now)),
            "wishes": tuple(_carried_on(wish) if wish.id in begun else wish for wish in facts.week.wishes),
            "loss_proof": LossProof.OFF,
        }
    )
    problem = facts.problem.model_copy(update={"week": week})
    ahead = [_with_state(booking, firm) for booking in spare.bookings]
    bare = Plan(week=week.id, bookings=(*past, *ahead), prep=spare.prep, shopping=spare.shopping)
    after, _ = gather(problem, bare)
    update = {"waiting": _waiting(after), "left_over": tuple(_left_over(after))}
    return problem, bare.model_copy(update=update)


def _done(facts: Facts, now: Moment) -> list[Prepared]:
    return [
        Prepared(wish=one.wish, go=one.go, task=one.task, evening=one.evening)
        for one in facts.plan.prep
        if minutes_of(evening_slot(one.evening)) < now.week_min
    ]


def _lost(facts: Facts, day: Day, now: Moment) -> FixedPoint:
    learners = tuple(child.id for child in facts.house.children if child.learner)
    ends = [minutes_of(p.adult.stop) for p in _past(facts, now) if p.booking.day is day]
    start = max([now.time, *(end - day.index * DAY_MIN for end in ends)])
    return FixedPoint(
        id="a-lost-day", title="A day for rest", kind=FixedKind.LOST, days=(day,),
        start=min(start, DAY_MIN - 1), end=DAY_MIN, children=learners,
    )  # fmt: skip


def _carried_on(wish: Wish) -> Wish:
    return wish.model_copy(update={"may_carry_on": True})


def _with_state(booking: Booking, firm: dict[str, Booking]) -> Booking:
    state = State.FIRM if booking.id in firm else State.SETTLED
    return booking.model_copy(update={"state": state})


def _waiting(after: Facts) -> tuple[Waiting, ...]:
    """What waits where, as the rule *holding* wants it told."""
    return tuple(
        Waiting(
            after=one.after, before=one.before, kind="waits", holder=one.holder, units=one.units,
            since=_moment(one.start), until=_moment(one.end),
        )
        for one in held_things(after)
    )  # fmt: skip


def _moment(slot: int) -> Moment | None:
    if not 0 <= slot < DAY_SLOTS * len(DAYS):
        return None
    return Moment(day=DAYS[slot // DAY_SLOTS], time=slot % DAY_SLOTS * SLOT_MIN)


def _left_over(after: Facts) -> Iterator[LeftOver]:
    for wish in after.wishes.values():
        for go in range(after.goes(wish)):
            if not after.wholly(wish.id, go):
                yield LeftOver(
                    wish=wish.id, activity=wish.activity, title=wish.id, go=go, sittings=(0,),
                    fate=Fate.HELD_OVER, reason=_OUT,
                )  # fmt: skip


def _is_fuller(before: Facts, after: Facts, lost: Day) -> bool:
    """Whether a child has more to do on a later day than was planned: in number or in minutes."""
    planned, now = _fullness(before), _fullness(after)
    return any(
        now[kind, child, day] > planned[kind, child, day]
        for kind, child, day in now
        if day.index > lost.index
    )


def _fullness(facts: Facts) -> Counter[tuple[str, ChildId, Day]]:
    found: Counter[tuple[str, ChildId, Day]] = Counter()
    learners = {child.id for child in facts.house.children if child.learner}
    for placed in facts.placed:
        for one in placed.booking.attends:
            if one.child in learners:
                found["things", one.child, placed.booking.day] += 1
                taken = len(placed.child(one.minutes)) + slots_up(facts.limits.change_min)
                found["slots", one.child, placed.booking.day] += taken if placed.in_room else 0
    return found


def _firm_stays(before: Facts, after: Facts, lost: Day) -> bool:
    """What the parent set stays, but for what has a part on the lost day."""
    hit = {(p.wish.id, p.booking.go) for p in before.by_day[lost]}
    return all(
        one.id in after.by_id or (one.wish, one.go) in hit
        for one in before.week.firm
        if one.id in before.by_id
    )
