"""The week on a terminal, from plans made by hand."""

from __future__ import annotations

import io
from typing import Any

import pytest
from rich.console import Console

from service.show import LiveLine, show_plan
from service.show.live import gap_text, progress_text, tier_text
from service.show.rest import evening_minutes
from solver.domain.document import Document
from solver.domain.plan import Plan, PrepBooking, Progress, TierResult
from solver.domain.week import Problem
from tests.service.house import WEEK, document_json


def _problem() -> Problem:
    made = document_json()
    house = made["household"]
    house["children"][1]["naps"] = [{"start": "13:00", "length_min": 60}]
    house["children"].append({"id": "bud", "name": "Bud", "birth_month": "2026-06", "learner": False})
    house["holders"] = [{"id": "sill", "name": "window sill"}]
    house["limits"] = {"prep": [{"evening": "sunday_before", "minutes": 30}]}
    story = made["activities"][0]
    story["sittings"] = [story["sittings"][0], {**story["sittings"][0], "name": "Leaf story retold"}]
    story["waits"] = [{"kind": "dry", "holder": "sill"}]
    return Document.model_validate(made).problem(WEEK)


def _attends(*children: str) -> list[dict[str, Any]]:
    return [{"child": child, "version": "all", "minutes": 10, "help": 1} for child in children]


def _plan() -> Plan:
    common = {"wish": "story", "activity": "leaf-story", "minutes": 10, "stretch": "morning"}
    caution = {"text": "Wet leaves are slippery.", "source": "common practice, no source"}
    return Plan.model_validate(
        {
            "week": WEEK,
            "bookings": [
                {
                    **common,
                    "id": "story.1.2",
                    "sitting": 1,
                    "day": "tuesday",
                    "start": "09:00",
                    "place": "nest",
                    "attends": _attends("burr"),
                    "helpers": ["bramble"],
                    "cautions": [caution],
                },
                {
                    **common,
                    "id": "story.1.1",
                    "day": "monday",
                    "start": "08:30",
                    "place": "brook",
                    "attends": _attends("burr", "moss"),
                    "helpers": ["bramble"],
                    "along": ["bud"],
                    "alongside": "story.1.2",
                    "cautions": [caution],
                },
            ],
            "prep": [
                {
                    "wish": "story",
                    "task": "press",
                    "name": "press the leaves",
                    "minutes": 12,
                    "evening": "sunday_before",
                    "ready_for": "story.1.1",
                }
            ],
            "shopping": [
                {
                    "material": "glue",
                    "name": "glue",
                    "count": 2,
                    "unit": "stick",
                    "at": None,
                    "need_by": {"day": "monday", "time": "08:30"},
                    "cost": 3,
                }
            ],
            "waiting": [
                {
                    "after": "story.1.1",
                    "before": "story.1.2",
                    "kind": "dry",
                    "holder": "sill",
                    "since": {"day": "monday", "time": "08:40"},
                    "until": {"day": "tuesday", "time": "09:00"},
                }
            ],
            "left_over": [
                {
                    "wish": "walk",
                    "activity": "brook-walk",
                    "title": "Brook walk",
                    "go": go,
                    "sittings": [0],
                    "fate": "held_over",
                    "until": "while the leaves fall",
                    "reason": {"sentence": "It rains all week.", "freed_by": "a dry morning"},
                }
                for go in range(2)
            ],
            "tiers": [
                {"name": "promises", "value": 0, "bound": 0, "proved": True},
                {"name": "worth", "value": 60, "bound": 57, "proved": False},
            ],
        }
    )


@pytest.fixture
def shown() -> list[str]:
    """The lines of the plan above, wide enough that none is broken."""
    out = io.StringIO()
    show_plan(Console(file=out, width=240), _problem(), _plan())
    return [" ".join(line.split()) for line in out.getvalue().splitlines()]


def test_bookings_stand_in_their_day_and_stretch(shown: list[str]) -> None:
    monday = shown[shown.index("Monday") : shown.index("Tuesday")]
    assert any(line.startswith("Morning 08:30–08:40 Leaf story: Leaf story (1 of 2)") for line in monday)
    assert any("all; Bud along Bramble Brook" in line for line in monday)


def test_alongside_names_the_other(shown: list[str]) -> None:
    assert any("(1 of 2), alongside Leaf story: Leaf story retold (2 of 2) [1]" in line for line in shown)


def test_fixed_points_and_naps_are_there_in_order_of_time(shown: list[str]) -> None:
    monday = shown[shown.index("Monday") : shown.index("Tuesday")]
    times = [line for line in monday if "–" in line]
    assert "12:00–12:45 Lunch all Bramble" in times
    assert "13:00–14:00 nap Moss" in times
    starts = [next(word for word in line.split() if "–" in word) for line in times]
    assert starts == sorted(starts)


def test_a_caution_is_told_once_with_its_source(shown: list[str]) -> None:
    notes = [line for line in shown if "slippery" in line]
    assert notes == ["[1] Wet leaves are slippery. (common practice, no source)"]


def test_what_surrounds_the_week(shown: list[str]) -> None:
    for line in (
        "To make ready, Sunday evening before the week: 12 of 30 minutes",
        "press the leaves (12 min), for Leaf story: Leaf story (1 of 2)",
        "2 stick glue, costs 3: before the week, needed Monday 08:30",
        "dry (window sill): Leaf story: Leaf story (1 of 2), Monday 08:40 to Tuesday 09:00",
        "Brook walk (2 times), held over while the leaves fall: It rains all week. "
        "It would fit with this: a dry morning.",
        "promises: 0 (proved best)",
        "worth: 60 (not proved: the best is no lower than 57, gap 5.0 %)",
    ):
        assert line in shown, line


def test_days_off_without_bookings_are_left_out(shown: list[str]) -> None:
    assert "Friday" in shown
    assert "Saturday" not in shown


def test_proved_is_said_only_when_proved() -> None:
    assert tier_text(TierResult(name="a", value=5, bound=5, proved=True)) == "proved best"
    assert "not proved" in tier_text(TierResult(name="a", value=5, bound=5, proved=False))


@pytest.mark.parametrize(
    ("value", "bound", "text"), [(0, 0, "0 %"), (84, 80, "4.8 %"), (10, 0, "100.0 %"), (5, 7, "0 %")]
)
def test_gaps(value: int, bound: int, text: str) -> None:
    assert gap_text(value, bound) == text


def test_the_live_line() -> None:
    progress = Progress(tier="worth", value=84, bound=80, seconds=3.2, bookings=31)
    assert progress_text(progress, 15) == "worth: best 84, bound 80, gap 4.8 %, 31 bookings · 3 s of 15 s"
    assert "looking for a first plan" in progress_text(Progress(tier="worth", seconds=0), 15)


@pytest.mark.parametrize("terminal", [True, False])
def test_the_live_line_is_for_terminals_alone(terminal: bool) -> None:
    out = io.StringIO()
    with LiveLine(Console(file=out, force_terminal=terminal, width=100), 15) as line:
        line.tell(Progress(tier="worth", value=84, bound=80, seconds=3))
    assert ("best 84" in out.getvalue()) is terminal


def test_a_batch_warms_up_once() -> None:
    """The contract's sum: minutes without warm-up, then the largest warm-up of each batch once."""
    tasks = [_task(17, 3, "hob"), _task(10, 5, "hob"), _task(8, 0, None)]
    assert evening_minutes(tasks) == 17 + 10 + 5 + 8


def _task(minutes: int, warm_up: int, batch: str | None) -> PrepBooking:
    return PrepBooking(
        wish="w",
        task="t",
        name="t",
        minutes=minutes,
        warm_up_min=warm_up,
        batch=batch,
        evening="monday",
        ready_for="w.1.1",
    )
