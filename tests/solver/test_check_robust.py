"""The checker judges whatever it is given: it never raises, and it is quick."""

from __future__ import annotations

import time

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from solver.check import Facts, check, costs
from solver.check.sane import gather
from solver.domain.activity import Alongside, Lighter, Meal, PrepTask, Wait, WaitKind
from solver.domain.base import DAYS, Evening, Help
from solver.domain.home import Holder
from solver.domain.people import Allergy
from solver.domain.plan import Attendance, Booking, Plan, PrepBooking, Purchase, State, Waiting
from tests.solver.weeks import (
    CLEO,
    MIA,
    NOAH,
    activity,
    book,
    child,
    limits,
    moment,
    plan,
    problem,
    sitting,
    stretch,
    wish,
)

CRAFT = activity(
    "craft",
    sitting(20),
    sitting(10),
    waits=(Wait(kind=WaitKind.DRY, least_min=30, most_min=600, holder="tray"),),
    prep=(PrepTask(id="cut", name="cut", minutes=10, holder="tray"),),
    lighter=Lighter(does="less", sitting=sitting(5)),
    alongside=Alongside.BUSY_HANDS,
)
STORY = activity("story", alongside=Alongside.LISTENING)
SOUP = activity("soup", sitting(meals=(Meal.LUNCH,)), allergens=("milk",))
MILK = Allergy.model_validate({"allergen": "milk", "level": "avoid"})
WEEK = problem(
    CRAFT,
    wish("craft", times=2, lighter_ok=True),
    STORY,
    wish("story", after=("craft",), rank="promise"),
    SOUP,
    children=(child("Ada", "2022-02", allergies=(MILK,)), child("Ben", "2024-02"), CLEO),
    adults=(MIA, NOAH),
    house={"holders": (Holder(id="tray", name="the tray"),)},
)

minutes = st.integers(0, 7 * 24 * 60)
clocks = st.integers(0, 24 * 60)
children = st.sampled_from(["ada", "ben", "cleo", "nobody"])
adults = st.sampled_from(["mia", "noah", "nobody"])
wishes = st.sampled_from(["craft", "story", "soup", "nothing"])
ids = st.sampled_from(["craft.1.1", "craft.1.2", "craft.2.1", "story.1.1", "soup.1.1", "nothing.1.1"])
small = st.integers(0, 3)
days = st.sampled_from(DAYS)
moments = st.none() | st.builds(
    lambda day, at: moment(day, at), days, st.sampled_from(["00:00", "09:10", "24:00"])
)

attendances = st.builds(
    Attendance,
    child=children,
    version=st.sampled_from(["any", "other"]),
    minutes=minutes,
    help=st.sampled_from(list(Help)),
)
bookings = st.builds(
    Booking,
    id=ids,
    wish=wishes,
    activity=wishes,
    go=small,
    sitting=small,
    day=days,
    start=clocks,
    minutes=minutes,
    setup_min=minutes,
    cleanup_min=minutes,
    stretch=st.none() | st.sampled_from(["morning", "nowhere"]),
    attends=st.lists(attendances, max_size=3).map(tuple),
    helpers=st.lists(adults, max_size=3).map(tuple),
    minder=st.none() | adults,
    along=st.lists(children, max_size=2).map(tuple),
    place=st.sampled_from(["table", "yard", "library", "nowhere"]),
    lighter=st.booleans(),
    alongside=st.none() | ids,
    meal=st.none() | st.sampled_from(["lunch", "nothing"]),
    state=st.sampled_from(list(State)),
    cautions=st.just(()),
)
preps = st.builds(
    PrepBooking,
    wish=wishes,
    go=small,
    task=st.sampled_from(["cut", "nothing"]),
    name=st.just("cut"),
    minutes=minutes,
    warm_up_min=minutes,
    batch=st.none() | st.just("glue"),
    evening=st.sampled_from(list(Evening)),
    ready_for=ids,
)
waitings = st.builds(
    Waiting,
    after=st.none() | ids,
    before=st.none() | ids,
    kind=st.just("dry"),
    holder=st.none() | st.sampled_from(["tray", "nothing"]),
    units=st.integers(1, 5),
    since=moments,
    until=moments,
)
purchases = st.builds(
    Purchase,
    material=st.sampled_from(["sheet"]),
    name=st.just("sheet"),
    count=st.integers(1, 9),
    unit=st.just("piece"),
    at=moments,
    need_by=moments.filter(lambda at: at is not None),
    cost=st.integers(0, 99),
)
plans = st.builds(
    Plan,
    week=st.sampled_from(["2027-W05", "2027-W06"]),
    bookings=st.lists(bookings, max_size=6).map(tuple),
    prep=st.lists(preps, max_size=2).map(tuple),
    waiting=st.lists(waitings, max_size=2).map(tuple),
    shopping=st.lists(purchases, max_size=2).map(tuple),
)


@given(plans)
@settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_plan_is_judged_and_never_raises(made: Plan) -> None:
    for violation in check(WEEK, made):
        assert violation.sentence.endswith(".")
    assert all(cost.amount > 0 for cost in costs(WEEK, made))


SEEN = Facts(WEEK, Plan(week="2027-W05"), ())
"""Facts that are used again for each plan: what they keep of one must not be wrong of another."""


@st.composite
def judged(draw: st.DrawFn) -> Booking:
    """A booking that names only what exists, so that every rule is asked about it."""
    name = draw(st.sampled_from(["craft", "story", "soup"]))
    light = name == "craft" and draw(st.booleans())
    go = draw(st.integers(0, 1)) if name == "craft" else 0
    step = draw(st.integers(0, 1)) if name == "craft" and not light else 0
    fields = {
        "activity": name,
        "wish": name,
        "lighter": light,
        "go": go,
        "sitting": step,
        "id": f"{name}.{go + 1}.{step + 1}",
        "attends": draw(st.lists(attendances.filter(lambda a: a.child != "nobody"), max_size=4).map(tuple)),
        "helpers": draw(st.lists(st.sampled_from(["mia", "noah"]), max_size=3).map(tuple)),
        "minder": draw(st.none() | st.just("noah")),
        "along": draw(st.lists(st.sampled_from(["ada", "cleo"]), max_size=2).map(tuple)),
        "place": draw(st.sampled_from(["table", "yard", "library"])),
        "alongside": None,
        "meal": draw(st.none() | st.just("lunch")),
    }
    return draw(bookings).model_copy(update=fields)


@given(st.lists(judged(), min_size=1, max_size=5, unique_by=lambda booking: booking.id), st.booleans())
@settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_every_rule_judges_whatever_names_only_what_exists(made: list[Booking], over: bool) -> None:
    if over:
        made = [one.model_copy(update={"alongside": made[0].id}) for one in made]
    whole = Plan(week="2027-W05", bookings=tuple(made))
    facts, _ = gather(WEEK, whole)
    assert len(facts.placed) == len(made)
    assert check(WEEK, whole, SEEN) == check(WEEK, whole)
    assert costs(WEEK, whole, SEEN) == costs(WEEK, whole)


def test_a_hundred_bookings_are_judged_in_well_under_a_second() -> None:
    day = (stretch("day", "07:00", "19:00", comfortable=30),)
    names = [f"game{i}" for i in range(20)]
    week = problem(
        *(activity(name, sitting(10, places=("sofa",))) for name in names),
        *(wish(name, times=5) for name in names),
        children=(child("Ada", "2022-02"), child("Ben", "2024-02"), CLEO),
        house={"stretches": day},
        limits=limits(free_share=0.0),
    )
    starts = [f"{7 + i // 2:02d}:{i % 2 * 30:02d}" for i in range(20)]
    full = plan(
        week, *(book(week, n, d, s, go=d.index) for d in DAYS[:5] for n, s in zip(names, starts, strict=True))
    )
    assert len(full.bookings) == 100
    before = time.thread_time()
    found = check(week, full)
    spent = time.thread_time() - before
    # The game at noon and the next fall into lunch.
    assert {violation.key for violation in found} == {"child_free"}
    assert spent < 1.0
