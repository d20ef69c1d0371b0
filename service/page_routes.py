"""What the page asks beyond the week itself: ticks and notes, why here, moves by hand, the plan before."""

from __future__ import annotations

from typing import Annotated, Literal, NamedTuple

from fastapi import APIRouter, Path
from pydantic import Field

from service.errors import NotFound, Stale
from service.mend_routes import MenderHere
from service.mends.mender import Mender
from service.mends.questions import Elsewhere, Instead, MoveAnswer, WhyHere
from service.record.refusals import refusal_lines
from service.routes import StoreHere, WeekName
from service.store import Store, week_of
from service.store.offers import KeptOffer, Offers, RestsOn
from service.store.replanning import Both, bring_back, plan_before, replan
from service.store.ticking import Item, Marks, marks_of, take
from service.views import StoredPlan
from solver.check import check
from solver.domain.base import Day, Frozen, Name, StretchId, Text
from solver.domain.mishap import Mending
from solver.domain.plan import Booking, Plan, State, WhyAnswer
from solver.domain.week import Problem

router = APIRouter(prefix="/api")
BookingName = Annotated[str, Path(max_length=200)]


class Arrived(Frozen):
    """What arrived; the page may forget these."""

    ids: tuple[str, ...]


class Spot(Frozen):
    """A stretch of a day."""

    day: Day
    stretch: StretchId


class MoveVerdict(Frozen):
    """Whether a booking fits somewhere else, what is in the way, and the ways to do it all the same."""

    fits: bool
    title: Name
    in_the_way: tuple[Text, ...]
    offers: tuple[KeptOffer, ...]
    """To be accepted like any other."""


class Hold(Frozen):
    """Whether a booking is held where it is."""

    firm: bool


class Back(Frozen):
    """Which plan is the latest, as far as the sender knows."""

    latest: Annotated[int, Field(ge=0, lt=2**63)]


@router.post("/outbox")
def post_outbox(items: Annotated[list[Item], Field(max_length=500)], store: StoreHere) -> Arrived:
    """Take ticks, notes and refusals, also those made while the server slept; each is taken once."""
    return Arrived(ids=tuple(take(store, items, refusal_lines(store, items))))


@router.get("/weeks/{week}/marks")
def get_marks(week: WeekName, store: StoreHere) -> Marks:
    """Ticks and notes of a week."""
    week_of(store.current().document, week)
    return marks_of(store, week)


class _Here(NamedTuple):
    """A week as it is now, its latest plan, and what tells later whether the week is still the same."""

    problem: Problem
    stored: StoredPlan
    made_from: str


def _here(store: Store, week: str) -> _Here:
    current = store.current()
    problem = current.document.problem(week_of(current.document, week).id)
    stored = store.latest_plan(week)
    if stored is None:
        raise NotFound(f"the week {week} has no plan yet; start one at /api/weeks/{week}/solve")
    return _Here(problem, stored, current.made_from(week))


def _holding(store: Store, week: str) -> _Here:
    """The same, where a change by hand is worked out: that takes a plan that holds in the week as it is."""
    here = _here(store, week)
    if not here.stored.is_current and check(here.problem, here.stored.plan):
        raise Stale("what the week rests on was changed since it was made; make the week anew, then this")
    return here


def _booking(plan: Plan, ident: str) -> Booking:
    found = next((one for one in plan.bookings if one.id == ident), None)
    if found is None:
        raise NotFound("that is not in the week any more; look again")
    return found


@router.get("/weeks/{week}/why/{what}")
def get_why(week: WeekName, what: BookingName, store: StoreHere, mender: MenderHere) -> WhyAnswer:
    """Why a booking sits where it sits, or why a wish was left over."""
    problem, stored, _ = _here(store, week)
    return mender.why(WhyHere(problem=problem, plan=stored.plan, about=what))


def _verdict(store: Store, here: _Here, found: MoveAnswer) -> MoveVerdict:
    """Kept where all offers are: never shown or taken once the week is another."""
    rests_on = RestsOn(here.problem.week.id, here.stored.id, here.made_from)
    ways = Mending(at=None, mishaps=(), offers=found.offers)
    kept = Offers(store).keep(rests_on, ways).offers if found.offers else ()
    return MoveVerdict(fits=found.fits, title=found.title, in_the_way=found.in_the_way, offers=kept)


@router.post("/weeks/{week}/bookings/{booking}/move")
def post_move(
    week: WeekName, booking: BookingName, spot: Spot, store: StoreHere, mender: MenderHere
) -> MoveVerdict:
    """Work out a move by hand; nothing changes until one of the ways is accepted."""
    here = _holding(store, week)
    plan = here.stored.plan
    there = _booking(plan, booking)
    asked = Elsewhere(problem=here.problem, plan=plan, booking=there, day=spot.day, stretch=spot.stretch)
    return _verdict(store, here, mender.by_hand(asked))


@router.post("/weeks/{week}/bookings/{booking}/swap")
def post_swap(week: WeekName, booking: BookingName, store: StoreHere, mender: MenderHere) -> MoveVerdict:
    """Spare things, like for like, that fit in a booking's place; nothing changes until one is accepted."""
    return _instead(store, mender, week, booking, "swap")


@router.post("/weeks/{week}/bookings/{booking}/lighter")
def post_lighter(week: WeekName, booking: BookingName, store: StoreHere, mender: MenderHere) -> MoveVerdict:
    """A booking's lighter version in its place; nothing changes until it is accepted."""
    return _instead(store, mender, week, booking, "lighter")


def _instead(
    store: Store, mender: Mender, week: str, booking: str, kind: Literal["swap", "lighter"]
) -> MoveVerdict:
    here = _holding(store, week)
    plan = here.stored.plan
    asked = Instead(kind=kind, problem=here.problem, plan=plan, booking=_booking(plan, booking))
    return _verdict(store, here, mender.by_hand(asked))


@router.put("/weeks/{week}/bookings/{booking}/firm")
def put_firm(week: WeekName, booking: BookingName, hold: Hold, store: StoreHere) -> StoredPlan:
    """Hold a booking where it is, or let it go its way again; the plan stays as it is."""
    problem, stored, made_from = _here(store, week)
    there = _booking(stored.plan, booking)
    held = there.model_copy(update={"state": State.FIRM if hold.firm else State.SETTLED})
    others = tuple(one for one in problem.week.firm if one.id != booking)
    changed = problem.week.model_copy(update={"firm": (*others, held) if hold.firm else others})
    bookings = tuple(held if one.id == booking else one for one in stored.plan.bookings)
    plan = stored.plan.model_copy(update={"bookings": bookings})
    title = next((one.title for one in problem.activities if one.id == there.activity), there.activity)
    what = f"{title} was {'held firm' if hold.firm else 'let loose'}"
    replan(store, what, Both(changed, plan), stored.id, made_from)
    return _here(store, week).stored


@router.get("/weeks/{week}/plan-before")
def get_plan_before(week: WeekName, store: StoreHere) -> StoredPlan:
    """The plan before the latest, to compare the two."""
    week_of(store.current().document, week)
    found = plan_before(store, week)
    if found is None:
        raise NotFound("there was no week before this one")
    return found


@router.post("/weeks/{week}/plans/{plan}/back")
def post_plan_back(
    week: WeekName, plan: Annotated[int, Path(ge=0, lt=2**63)], back: Back, store: StoreHere
) -> StoredPlan:
    """Let an earlier plan be the latest again; it can be taken back."""
    bring_back(store, week, plan, back.latest)
    return _here(store, week).stored
