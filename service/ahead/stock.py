"""The cupboard: what was bought comes in, what was done goes out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from service.ahead.demand import sitting_in
from service.errors import BadInput
from solver.domain.base import MaterialId
from solver.domain.document import Document
from solver.domain.faults import Fault
from solver.domain.plan import Booking
from solver.domain.week import Week, WeekId


def used_by(document: Document, bookings: Iterable[Booking]) -> dict[MaterialId, int]:
    """Supplies that these bookings take."""
    supplies = {one.id for one in document.household.materials if not one.reusable}
    activities = {one.id: one for one in document.activities}
    totals: dict[MaterialId, int] = {}
    for booking in bookings:
        activity = activities.get(booking.activity)
        sitting = sitting_in(activity, booking) if activity else None
        for need in sitting.needs if sitting else ():
            if need.material in supplies:
                count = need.count * (len(booking.attends) if need.each_child else 1)
                totals[need.material] = totals.get(need.material, 0) + count
    return totals


def logged(document: Document, week: WeekId, brought: Mapping[MaterialId, int]) -> Document:
    """The cupboard after a week's log (less than nothing: taken out); the week remembers what it took.

    So its plan still holds when it is looked at again: on its Monday that much more was there.
    """
    after = stocked(document, brought)
    weeks = tuple(_having_taken(one, brought) if one.id == week else one for one in after.weeks)
    return after.model_copy(update={"weeks": weeks})


def _having_taken(week: Week, brought: Mapping[MaterialId, int]) -> Week:
    sums = {one: week.taken.get(one, 0) - brought.get(one, 0) for one in {*week.taken, *brought}}
    return week.model_copy(update={"taken": {one: count for one, count in sums.items() if count > 0}})


def stocked(document: Document, changes: Mapping[MaterialId, int]) -> Document:
    """The document with so much more (or less) of each material, never below nothing.

    Raises
    ------
    BadInput
        When there is no such material.
    """
    house = document.household
    known = {one.id for one in house.materials}
    strange = [one for one in changes if one not in known]
    if strange:
        faults = [
            Fault(path=one, message=f"there is no material {one[:80]!r}; add it first") for one in strange
        ]
        raise BadInput(faults[0].message, faults)
    materials = tuple(
        one.model_copy(update={"count": min(100_000, max(0, one.count + changes.get(one.id, 0)))})
        for one in house.materials
    )
    return document.model_copy(update={"household": house.model_copy(update={"materials": materials})})
