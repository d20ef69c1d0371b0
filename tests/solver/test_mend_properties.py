"""Properties of every mend: whatever the week, whatever happened, once or twice in a row."""

from __future__ import annotations

from hypothesis import HealthCheck, Phase, assume, given, note, settings
from hypothesis import strategies as st

from solver.check import check
from solver.domain.base import DAYS, Moment
from solver.domain.mishap import DayLost, Hooked, Late, Mending, Mishap, NapFailed, Refused, SkyTurned
from solver.domain.plan import Plan, State, TierResult
from solver.domain.week import Problem
from solver.mend import mend
from solver.search import solve
from tests.solver.mending import past_of, scolding, week_of, where
from tests.solver.small_weeks import LEARNERS, mishaps, problems

SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]
NO_SHRINKING = (Phase.explicit, Phase.reuse, Phase.generate)
"""A week takes a second, so that shrinking one would take minutes."""
MANY = settings(max_examples=15, deadline=None, suppress_health_check=SLOW, phases=NO_SHRINKING)
FEW = settings(max_examples=8, deadline=None, suppress_health_check=SLOW, phases=NO_SHRINKING)
MOMENTS = st.builds(Moment, day=st.sampled_from(DAYS[:3]), time=st.sampled_from((0, 480, 545, 720, 800, 905)))


def solved(problem: Problem) -> Plan:
    return solve(problem, seconds=1, workers=1)


def mended(problem: Problem, plan: Plan, happened: list[Mishap], at: Moment | None) -> Mending:
    return mend(problem, plan, happened, at=at, seconds=1, workers=1)


def done_before(at: Moment, happened: list[Mishap]) -> Moment:
    """From when on what was planned may still change: being late or a nap reach back."""
    back = [m.minutes for m in happened if isinstance(m, Late)]
    back += [at.time for m in happened if isinstance(m, NapFailed | Refused | Hooked)]
    return Moment(day=at.day, time=max(0, at.time - max(back, default=0)))


def assert_sound(problem: Problem, plan: Plan, mending: Mending) -> None:
    happened = list(mending.mishaps)
    note(f"{happened} at {mending.at}: {[(b.id, b.day.value, b.start, b.place) for b in plan.bookings]}")
    for offer in mending.offers:
        assert check(week_of(problem, offer), offer.plan) == [], offer.kind
        if mending.at:
            done = done_before(mending.at, happened)
            reaches_back = done != mending.at
            assert past_of(offer.plan, done, reaches_back) == past_of(plan, done, reaches_back)
        ids = [booking.id for booking in offer.plan.bookings]
        assert len(ids) == len(set(ids))
        gone = {booking.id for booking in plan.bookings} - set(ids)
        named = {
            f"{left.wish}.{left.go + 1}.{index + 1}"
            for left in offer.plan.left_over
            for index in left.sittings
        }
        lighter = {(b.wish, b.go) for b in offer.plan.bookings if b.lighter}
        assert {i for i in gone if (i.split(".")[0], int(i.split(".")[1]) - 1) not in lighter} <= named
        assert 0 <= offer.changes_bound.bound <= offer.changes_bound.value
    assert scolding(mending) == []


@MANY
@given(st.data())
def test_one_mishap(data: st.DataObject) -> None:
    problem = data.draw(problems())
    plan = solved(problem)
    at = data.draw(MOMENTS)
    mending = mended(problem, plan, [data.draw(mishaps(problem, plan))], at)
    assert mending.offers
    assert_sound(problem, plan, mending)


@MANY
@given(st.data())
def test_two_at_once(data: st.DataObject) -> None:
    problem = data.draw(problems())
    plan = solved(problem)
    both = [data.draw(mishaps(problem, plan)) for _ in range(2)]
    assert_sound(problem, plan, mended(problem, plan, both, data.draw(MOMENTS)))


@FEW
@given(st.data())
def test_two_in_a_row(data: st.DataObject) -> None:
    problem = data.draw(problems())
    plan = solved(problem)
    at = data.draw(MOMENTS)
    first = data.draw(st.sampled_from(mended(problem, plan, [data.draw(mishaps(problem, plan))], at).offers))
    accepted = week_of(problem, first)
    later = data.draw(MOMENTS.filter(lambda m: m.week_min >= at.week_min))
    second = data.draw(mishaps(accepted, first.plan))
    assert_sound(accepted, first.plan, mended(accepted, first.plan, [second], later))


@FEW
@given(problems(), st.none() | MOMENTS)
def test_when_nothing_happened_nothing_changes(problem: Problem, at: Moment | None) -> None:
    plan = solved(problem)
    mending = mended(problem, plan, [], at)
    (offer,) = mending.offers
    assert offer.sentence == "Nothing needs to change."
    assert offer.changes_bound.value == 0
    assert sorted(map(where, offer.plan.bookings)) == sorted(map(where, plan.bookings))
    assert offer.plan.prep == plan.prep


@FEW
@given(st.data())
def test_a_sky_that_is_as_it_was_changes_nothing(data: st.DataObject) -> None:
    problem = data.draw(problems())
    plan = solved(problem)
    mending = mended(problem, plan, [SkyTurned(day=data.draw(st.sampled_from(DAYS[:3])))], None)
    assert sorted(map(where, mending.offers[0].plan.bookings)) == sorted(map(where, plan.bookings))


@FEW
@given(st.data())
def test_what_was_set_by_hand_stays(data: st.DataObject) -> None:
    problem = data.draw(problems())
    plan = solved(problem)
    assume(plan.bookings)
    chosen = data.draw(st.sampled_from(plan.bookings))
    firm = chosen.model_copy(update={"state": State.FIRM})
    whole = [b for b in plan.bookings if (b.wish, b.go) == (firm.wish, firm.go)]
    fixed = tuple(b.model_copy(update={"state": State.FIRM}) for b in whole)
    week = problem.week.model_copy(update={"firm": fixed})
    with_firm = problem.model_copy(update={"week": week})
    kept = tuple(b for b in plan.bookings if b not in whole)
    by_hand = plan.model_copy(update={"bookings": (*kept, *fixed)})
    assume(check(with_firm, by_hand) == [])
    others = [day for day in DAYS[:3] if day not in {b.day for b in fixed}]
    lost = DayLost(day=data.draw(st.sampled_from(others)))
    mending = mended(with_firm, by_hand, [lost], Moment(day=DAYS[0], time=0))
    for offer in mending.offers:
        there = {b.id: where(b) for b in offer.plan.bookings}
        assert all(there[b.id] == where(b) for b in fixed)


def least(problem: Problem, plan: Plan, mishap: Mishap) -> tuple[tuple[int, int, int], bool]:
    """Promises, staples and changes of the best offer that only moves or leaves out."""
    at = Moment(day=DAYS[0], time=0)
    found = []
    for offer in mended(problem, plan, [mishap], at).offers:
        tiers = {tier.name: tier for tier in offer.plan.tiers}
        nothing = TierResult(name="none", value=0, bound=0, proved=True)
        keys = [tiers.get(name, nothing) for name in ("promises", "staples", "changes")]
        found.append((tuple(t.value for t in keys), all(t.proved for t in keys)))
    (promises, staples, changes), proved = min(found)
    return (promises, staples, changes), proved


NARROWER = st.sampled_from(
    (
        (DayLost(day=DAYS[1], start=13 * 60), DayLost(day=DAYS[1])),
        (DayLost(day=DAYS[1], start=9 * 60, end=10 * 60), DayLost(day=DAYS[1], start=9 * 60, end=12 * 60)),
        (SkyTurned(day=DAYS[1], wet=True), SkyTurned(day=DAYS[1], wet=True, icy=True)),
        (
            SkyTurned(day=DAYS[0], wet=True, start=9 * 60, end=10 * 60),
            SkyTurned(day=DAYS[0], wet=True, start=9 * 60, end=12 * 60),
        ),
    )
)


@MANY
@given(problems(), NARROWER)
def test_a_smaller_mishap_never_costs_more(problem: Problem, pair: tuple[Mishap, Mishap]) -> None:
    """Metamorphic: whatever mends the larger one mends the smaller one too. In order of the tiers, since a
    smaller mishap may keep a promise at the price of a move."""
    plan = solved(problem)
    (small, small_proved), (large, large_proved) = (least(problem, plan, mishap) for mishap in pair)
    assume(small_proved and large_proved)
    assert small <= large


def test_the_children_are_those_of_the_strategy() -> None:
    assert set(LEARNERS) == {"ada", "ben"}
