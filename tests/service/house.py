"""A small invented household for the service's tests: a hedgehog family in an orchard."""

from __future__ import annotations

import json
from typing import Any

from solver.domain.document import Document

WEEK = "2027-W05"
NEXT_WEEK = "2027-W06"

_LISTEN = {"id": "all", "age_from_months": 24, "age_to_months": 120, "does": "listens"}


def _activity(ident: str, title: str, kind: str, minutes: int, **more: Any) -> dict[str, Any]:
    part = {"all": {"minutes": minutes, "help": more.pop("help", 1)}}
    sitting = {"name": title, "parts": part, "places": more.pop("places", ["nest"]), "setup_min": 5}
    return {"id": ident, "title": title, "kind": kind, "versions": [_LISTEN], "sittings": [sitting], **more}


def document_json() -> dict[str, Any]:
    """The household file as plain data, fresh for every caller."""
    made = {
        "household": {
            "name": "Orchard hedgehogs",
            "children": [
                {"id": "burr", "name": "Burr", "birth_month": "2021-09"},
                {"id": "moss", "name": "Moss", "birth_month": "2023-04"},
            ],
            "adults": [{"id": "bramble", "name": "Bramble", "hours": [{"start": "06:30", "end": "20:00"}]}],
            "places": [
                {"id": "nest", "name": "Nest", "sittings_at_once": 2},
                {"id": "brook", "name": "Brook", "outdoors": True, "travel_min": 10},
            ],
            "stretches": [
                {"id": "morning", "name": "Morning", "start": "08:00", "end": "11:30"},
                {"id": "afternoon", "name": "Afternoon", "start": "14:00", "end": "17:00"},
            ],
            "fixed_points": [
                {
                    "id": "lunch",
                    "title": "Lunch",
                    "kind": "meal",
                    "meal": "lunch",
                    "start": "12:00",
                    "end": "12:45",
                    "children": ["burr", "moss"],
                    "adults": ["bramble"],
                }
            ],
        },
        "activities": [
            _activity("leaf-story", "Leaf story", "read-aloud", 10),
            _activity("acorn-count", "Acorn count", "maths", 10),
            _activity("brook-walk", "Brook walk", "nature walk", 30, places=["brook"]),
        ],
        "weeks": [
            {
                "id": WEEK,
                "theme": "Autumn leaves",
                "wishes": [
                    {"id": "story", "activity": "leaf-story", "rank": "staple", "times": 2},
                    {"id": "walk", "activity": "brook-walk"},
                ],
            },
            {"id": NEXT_WEEK, "wishes": [{"id": "count", "activity": "acorn-count"}]},
        ],
    }
    copy: dict[str, Any] = json.loads(json.dumps(made))
    return copy


def document() -> Document:
    """The same as a checked document."""
    return Document.model_validate(document_json())
