"""The whole household in one JSON file: what is planned, the plans, and the record."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.store import Store
from service.store.carrying import take_in
from service.store.entries import Entries, Entry
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


class Taken(Frozen):
    """What came of taking a whole household in."""

    weeks: int
    plans: int
    entries: int
    plans_left: tuple[WeekId, ...] = ()
    """Weeks whose plan does not hold with these data; plan them anew."""


def whole_of(store: Store) -> Whole:
    """Everything in the store."""
    document = store.current().document
    stored = [store.latest_plan(week.id) for week in document.weeks]
    return Whole(
        document=document,
        plans=tuple(one.plan for one in stored if one),
        entries=Entries(store).everything(),
    )


def take_whole(store: Store, whole: Whole) -> Taken:
    """Put a whole household in, in place of what is there; plans that do not hold are left out."""
    left = [plan.week for plan in whole.plans if not _holds(whole.document, plan)]
    holding = [plan for plan in whole.plans if plan.week not in left]
    take_in(store, whole.document, holding, whole.entries)
    return Taken(
        weeks=len(whole.document.weeks),
        plans=len(whole.plans) - len(left),
        entries=len(whole.entries),
        plans_left=tuple(left),
    )


def _holds(document: Document, plan: Plan) -> bool:
    known = {week.id for week in document.weeks}
    return plan.week in known and not check(document.problem(plan.week), plan)
