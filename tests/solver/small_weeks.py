"""Small random households with a solved week, for the properties of mending.

Everything comes from hypothesis, so that a failing week shrinks. The people and figures are invented.
"""

from __future__ import annotations

from hypothesis import strategies as st

from solver.domain.activity import Activity, Lighter, Wait, WaitKind, Weather
from solver.domain.base import DAYS, Day, Mess
from solver.domain.mishap import (
    DayLost,
    Hooked,
    Late,
    Mishap,
    Missing,
    NapFailed,
    NapGone,
    Refused,
    Roster,
    SkyTurned,
    StillWet,
    Tired,
)
from solver.domain.plan import Plan
from solver.domain.week import Problem, Rank, Wish
from tests.solver import weeks

LEARNERS = ("ada", "ben")
PLACES = ("table", "sofa", "floor", "yard")


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    """Two children, a baby perhaps, one adult or two, three teaching days, up to seven wishes."""
    baby = draw(st.booleans())
    ben = (
        weeks.BEN.model_copy(update={"naps": (weeks.nap("13:00", 60),)}) if draw(st.booleans()) else weeks.BEN
    )
    children = (weeks.ADA, ben) + ((weeks.CLEO,) if baby else ())
    adults = (weeks.MIA, weeks.NOAH) if draw(st.booleans()) else (weeks.MIA,)
    count = draw(st.integers(2, 7))
    wanted: list[Activity | Wish] = []
    for index in range(count):
        activity = draw(_activities(f"thing{index}"))
        wanted += [activity, draw(_wishes(activity))]
    return weeks.problem(
        *wanted, children=children, adults=adults, teaching_days=DAYS[:3],
        fixed_points=(weeks.point("class", "15:00", "15:45", children=("ada",), days=("tuesday",)),),
    )  # fmt: skip


@st.composite
def _activities(draw: st.DrawFn, name: str) -> Activity:
    minutes = draw(st.sampled_from((5, 10, 15)))
    sittings = tuple(
        weeks.sitting(
            minutes, draw(st.integers(0, 4)), places=(draw(st.sampled_from(PLACES)),),
            setup_min=draw(st.sampled_from((0, 5))), mess=Mess(draw(st.integers(0, 2))),
        )
        for _ in range(draw(st.integers(1, 2)))
    )  # fmt: skip
    waits = (
        (Wait(kind=WaitKind.DRY, least_min=draw(st.sampled_from((30, 600)))),) if len(sittings) > 1 else ()
    )
    lighter = Lighter(does="half of it", sitting=weeks.sitting(5, 1)) if draw(st.booleans()) else None
    return weeks.activity(
        name, *sittings, waits=waits, lighter=lighter, tired_ok=draw(st.booleans()),
        energy=draw(st.integers(1, 5)), weather=draw(st.sampled_from((Weather.ANY, Weather.DRY))),
    )  # fmt: skip


@st.composite
def _wishes(draw: st.DrawFn, activity: Activity) -> Wish:
    ranks = (Rank.PROMISE, Rank.STAPLE, Rank.EXTRA, Rank.EXTRA)
    return weeks.wish(
        activity.id, rank=draw(st.sampled_from(ranks)), told=draw(st.booleans()),
        times=draw(st.integers(1, 2)), worth=draw(st.integers(1, 9)),
        may_split=draw(st.booleans()), lighter_ok=draw(st.booleans()),
    )  # fmt: skip


def mishaps(problem: Problem, plan: Plan) -> st.SearchStrategy[Mishap]:
    """Any mishap that this week can have; ``Late`` needs a time as well."""
    days = st.sampled_from(DAYS[:3])
    adults = [adult.id for adult in problem.household.adults]
    kinds: list[st.SearchStrategy[Mishap]] = [
        st.builds(DayLost, day=days),
        st.builds(DayLost, day=days, children=st.sampled_from((("ada",), ("ben",), LEARNERS))),
        st.builds(DayLost, day=days, adults=st.sampled_from(adults).map(lambda adult: (adult,))),
        st.builds(DayLost, day=days, start=st.just(13 * 60), end=st.just(17 * 60)),
        st.builds(NapFailed, day=days, child=st.sampled_from(LEARNERS)),
        st.builds(NapGone, day=days, child=st.sampled_from(LEARNERS)),
        st.builds(Late, minutes=st.sampled_from((10, 35, 90))),
        st.builds(Missing, what=st.sampled_from(PLACES), day=st.none() | days),
        st.builds(SkyTurned, day=days, wet=st.booleans(), icy=st.booleans()),
        st.builds(Tired, day=days),
        st.builds(Roster, day=days, adult=st.sampled_from(adults)),
        st.builds(
            Roster, day=days, adult=st.sampled_from(adults), start=st.just(9 * 60), end=st.just(11 * 60)
        ),
    ]
    if plan.bookings:
        booked = st.sampled_from(plan.bookings)
        kinds += [
            booked.map(lambda b: StillWet(booking=b.id, minutes=120)),
            booked.map(lambda b: Hooked(booking=b.id, minutes=40)),
            st.builds(_refused, booked, st.sampled_from(("sticky", "too long", "tired", "not today"))),
        ]
    return st.one_of(kinds)


def _refused(booking: object, reason: str) -> Refused:
    attends = getattr(booking, "attends")  # noqa: B009 - hypothesis hands over an object
    return Refused(booking=getattr(booking, "id"), child=attends[0].child, reason=reason)  # noqa: B009


def next_day(day: Day) -> Day:
    """The day after, or the last one."""
    return DAYS[min(day.index + 1, len(DAYS) - 1)]
