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
