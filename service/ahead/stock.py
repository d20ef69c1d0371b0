"""The cupboard: what was bought comes in, what was done goes out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from service.ahead.demand import sitting_in
from service.errors import BadInput
from solver.domain.base import MaterialId
from solver.domain.document import Document
from solver.domain.faults import Fault
from solver.domain.plan import Booking


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
