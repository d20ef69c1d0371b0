"""The whole household in one JSON file: what is planned, the plans, and the record."""

from __future__ import annotations

import base64
from typing import Annotated, Literal

from pydantic import Base64Bytes, Field, field_validator

from service.errors import LapfulError
from service.printables.kinds import kind_of
from service.store import Store
from service.store.carrying import take_in
from service.store.entries import Entries, Entry
from service.store.keeping import contents
from solver.check import check
from solver.domain.base import Frozen
from solver.domain.document import Document
from solver.domain.plan import Plan
from solver.domain.week import WeekId

FORMAT: Literal["lapful-whole/1"] = "lapful-whole/1"


class Whole(Frozen):
    """Everything that a family would want to carry to another machine. Secrets stay behind."""

    format: Literal["lapful-whole/1"] = FORMAT
    document: Document
    plans: Annotated[tuple[Plan, ...], Field(max_length=200)] = ()
    """The latest plan of each week that has one."""
    entries: Annotated[tuple[Entry, ...], Field(max_length=200_000)] = ()
    """Log lines, observations and the rest of the record."""
    files: Annotated[tuple[Base64Bytes, ...], Field(max_length=2000)] = ()
    """What is in the printables and photos that the record names."""

    @field_validator("files")
    @classmethod
    def _of_a_kept_kind(cls, value: tuple[bytes, ...]) -> tuple[bytes, ...]:
        for one in value:
            try:
                kind_of(one)
            except LapfulError as error:
                raise ValueError(error.detail) from error
        return value


class Taken(Frozen):
    """What came of taking a whole household in."""

    weeks: int
    plans: int
    entries: int
    files: int = 0
    plans_left: tuple[WeekId, ...] = ()
    """Weeks whose plan does not hold with these data; plan them anew."""


def whole_of(store: Store, files: bool = True) -> Whole:
    """Everything in the store, with or without what is in its files."""
    document = store.current().document
    stored = [store.latest_plan(week.id) for week in document.weeks]
    return Whole(
        document=document,
        plans=tuple(one.plan for one in stored if one),
        entries=Entries(store).everything(),
        files=tuple(base64.b64encode(one) for one in contents(store)) if files else (),
    )


def take_whole(store: Store, whole: Whole) -> Taken:
    """Put a whole household in, in place of what is there; plans that do not hold are left out."""
    left = [plan.week for plan in whole.plans if not _holds(whole.document, plan)]
    holding = [plan for plan in whole.plans if plan.week not in left]
    take_in(store, whole.document, holding, whole.entries, whole.files)
    return Taken(
        weeks=len(whole.document.weeks),
        plans=len(whole.plans) - len(left),
        entries=len(whole.entries),
        files=len(whole.files),
        plans_left=tuple(left),
    )


def _holds(document: Document, plan: Plan) -> bool:
    known = {week.id for week in document.weeks}
    return plan.week in known and not check(document.problem(plan.week), plan)
