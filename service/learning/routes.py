"""Proposals over HTTP."""

from __future__ import annotations

import datetime
from typing import Annotated

from fastapi import APIRouter, Path, Query

from service.days import SaneDay
from service.learning.proposals import found, refuse, take
from service.learning.views import Proposal
from service.routes import StoreHere

router = APIRouter(prefix="/api/proposals")
Ident = Annotated[str, Path(max_length=40)]
Today = Annotated[SaneDay | None, Query(description="Where the device's today is another.")]


def _day(today: datetime.date | None) -> datetime.date:
    return today or datetime.date.today()


@router.get("")
def get_proposals(store: StoreHere, today: Today = None) -> tuple[Proposal, ...]:
    """What the log suggests; nothing changes by itself."""
    return tuple(one.proposal for one in found(store, _day(today)).values())


@router.post("/{proposal}/take")
def post_take(proposal: Ident, store: StoreHere, today: Today = None) -> Proposal:
    """Make the change."""
    return take(store, proposal, _day(today))


@router.post("/{proposal}/refuse")
def post_refuse(proposal: Ident, store: StoreHere, today: Today = None) -> Proposal:
    """Leave it as it is, and do not ask again until there is more to say."""
    return refuse(store, proposal, _day(today))
