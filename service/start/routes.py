"""The first run over HTTP."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query

from service.errors import BadInput
from service.routes import StoreHere
from service.start.answers import Answers, PlaceAnswer, Started
from service.start.build import start
from service.start.home import pattern
from solver.domain.base import Frozen, Name
from solver.domain.document import Document

router = APIRouter(prefix="/api/start")


class Choices(Frozen):
    """What the questions can offer."""

    themes: tuple[Name, ...]
    places: tuple[PlaceAnswer, ...]


@router.get("/choices")
def get_choices() -> Choices:
    """Themes and places that the catalogue knows."""
    themes = sorted({one.theme for one in pattern().activities if one.theme})
    return Choices(themes=tuple(themes), places=tuple(PlaceAnswer))


@router.post("/demo")
def post_demo(store: StoreHere) -> Document:
    """Move the invented household of the pond week in, to look around; never in the place of another."""
    if store.has_household():
        raise BadInput(f"{store.current().document.household.name!r} lives here already")
    found = pattern()
    store.put_document(found)
    return found


@router.post("")
def post_start(
    answers: Answers,
    store: StoreHere,
    keep: Annotated[bool, Query(description="Put the household in at once.")] = False,
    replace: Annotated[bool, Query(description="Even in place of one that is there.")] = False,
) -> Started:
    """A household file with a first week of wishes, and every default in it with its standing."""
    made = start(answers)
    if keep:
        if store.has_household() and not replace:
            name = store.current().document.household.name
            raise BadInput(f"{name!r} lives here already; ask with replace=true to put this in its place")
        store.put_document(made.document)
    return made
