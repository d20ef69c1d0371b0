"""Mending under /api: what happened, the offers for it, those that were made ahead, and taking one."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Request, Response
from pydantic import Field

from service.errors import NotFound
from service.mends.mender import Mender
from service.mends.questions import WhatNow
from service.routes import Expected, StoreHere, WeekName
from service.store import Store, week_of
from service.store.answers import put_aside, take_smaller_weeks
from service.store.offers import Kept, Offers, RestsOn
from service.store.undoing import Changes
from service.views import Change, StoredPlan
from solver.domain.base import Frozen, Moment
from solver.domain.mishap import Mishap

router = APIRouter(prefix="/api")
MEND_S = 5.0


class MendAsked(Frozen):
    """What happened, when that was seen, and how long to search."""

    mishaps: Annotated[tuple[Mishap, ...], Field(min_length=1, max_length=10)]
    at: Moment | None = None
    seconds: Annotated[float, Field(gt=0, le=60)] = MEND_S


async def _mender(request: Request) -> Mender:
    mender: Mender = request.app.state.mender
    return mender


MenderHere = Annotated[Mender, Depends(_mender)]
OfferName = Annotated[str, Path(max_length=80)]


def _latest(store: Store, week: str) -> StoredPlan:
    week_of(store.current().document, week)
    stored = store.latest_plan(week)
    if stored is None:
        raise NotFound(f"the week {week} has no plan yet; start one at /api/weeks/{week}/solve")
    return stored


@router.post("/weeks/{week}/mend")
def post_mend(week: WeekName, asked: MendAsked, store: StoreHere, mender: MenderHere) -> Kept:
    """Up to three offers for what happened; nothing changes until one of them is accepted."""
    current = store.current()
    stored = _latest(store, week)
    rests_on = RestsOn(week, stored.id, current.made_from(week))
    question = WhatNow(
        problem=current.document.problem(week),
        plan=stored.plan,
        mishaps=asked.mishaps,
        at=asked.at,
        seconds=asked.seconds,
    )
    return Offers(store).keep(rests_on, mender.mend(question))


@router.post("/weeks/{week}/offers/{offer}/accept")
def post_offer_accept(
    week: WeekName, offer: OfferName, store: StoreHere, expected: Expected, response: Response
) -> StoredPlan:
    """Take an offer: its week and its plan, in one step that can be taken back."""
    accepted = Offers(store).accept(week, offer, expected)
    response.headers["etag"] = f'"{accepted.version}"'
    return _latest(store, week)


@router.get("/weeks/{week}/ready", response_model=list[Kept])
def get_ready(week: WeekName, store: StoreHere) -> Response:
    """Offers that were made ahead for the likely mishaps of the next day; never for an older plan."""
    return Response(Offers(store).ready_json(week), media_type="application/json")


@router.delete("/weeks/{week}/suggestions/{suggestion}", status_code=204)
def delete_suggestion(week: WeekName, suggestion: OfferName, store: StoreHere) -> None:
    """Put a suggestion aside; it is not made again for two weeks, and that can be taken back."""
    week_of(store.current().document, week)
    put_aside(store, week, suggestion)


@router.post("/weeks/{week}/smaller")
def post_smaller(week: WeekName, store: StoreHere) -> Change:
    """Take up the suggestion of smaller weeks, from the next one on; it can be taken back."""
    week_of(store.current().document, week)
    take_smaller_weeks(store, week)
    return Changes(store).all()[0]
