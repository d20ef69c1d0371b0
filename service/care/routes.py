"""Taking changes back over HTTP."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter
from pydantic import Field

from service.routes import StoreHere
from service.store.undoing import Changes
from service.views import Change
from solver.domain.base import Frozen

router = APIRouter(prefix="/api")


class Turn(Frozen):
    """Which change is meant."""

    change: Annotated[int | None, Field(ge=0, lt=2**63)] = None
    """It must be the next in turn, or nothing is done: another device may have changed something since."""


@router.get("/changes")
def get_changes(store: StoreHere) -> list[Change]:
    """What can be taken back or brought back, the newest first."""
    return Changes(store).all()


@router.post("/undo")
def post_undo(store: StoreHere, turn: Turn | None = None) -> Change:
    """Take back the newest change that was not taken back yet."""
    return Changes(store).undo(turn.change if turn else None)


@router.post("/redo")
def post_redo(store: StoreHere, turn: Turn | None = None) -> Change:
    """Bring back what was taken back last."""
    return Changes(store).redo(turn.change if turn else None)
