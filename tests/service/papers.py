"""A plan for the orchard household, laid out by hand and held by the checker."""

from __future__ import annotations

from typing import Any

from solver.domain.document import Document
from solver.domain.plan import Attendance, Booking, Caution, Plan
from tests.service.house import WEEK, document_json

WET = Caution(text="Wet stones are slippery.", source="common practice, no source")


def booking(wish: str, activity: str, day: str, start: str, go: int = 0, **more: Any) -> Booking:
    minutes = more.pop("minutes", 10)
    attends = tuple(
        Attendance(child=child, version="all", minutes=minutes, help=1) for child in ("burr", "moss")
    )
    given: dict[str, Any] = {
        "id": f"{wish}.{go + 1}.1",
        "wish": wish,
        "activity": activity,
        "go": go,
        "day": day,
        "start": start,
        "minutes": minutes,
        "setup_min": 5,
        "stretch": "morning",
        "attends": attends,
        "helpers": ("bramble",),
        "place": "nest",
    }
    return Booking(**(given | more))


def plan() -> Plan:
    """Two stories and a walk."""
    walk = booking("walk", "brook-walk", "wednesday", "09:30", minutes=30, place="brook", cautions=(WET,))
    return Plan(
        week=WEEK,
        bookings=(
            booking("story", "leaf-story", "monday", "09:00"),
            booking("story", "leaf-story", "tuesday", "09:00", go=1),
            walk,
        ),
    )


def documented(**household: Any) -> Document:
    """The orchard document with changes to its household."""
    made = document_json()
    made["household"] |= household
    return Document.model_validate(made)
