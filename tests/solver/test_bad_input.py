"""Nonsense in a file gets a clear fault with its path and the mend."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest
from pydantic import ValidationError

from solver.domain.document import Document
from solver.domain.faults import Fault, RelationError, faults_of
from tests.solver.demo_weeks import raw

Change = Callable[[dict[str, Any]], None]
MENDS = (
    "add", "choose", "correct", "end", "give", "later", "lower", "make", "move", "name", "raise", "remove",
    "must be", "must hold", "shorten", "spelling", "swap", "take", "use", "without", "write", "did you mean",
    "has weeks",
)  # fmt: skip


def faults(document: dict[str, Any]) -> list[Fault]:
    with pytest.raises(ValidationError) as caught:
        Document.model_validate_json(json.dumps(document))
    return faults_of(caught.value)


def put(path: str, value: Any) -> Change:
    """Set what a dotted path leads to; a number is a place in a list."""

    def change(document: dict[str, Any]) -> None:
        *way, last = [int(part) if part.isdigit() else part for part in path.split(".")]
        here: Any = document
        for part in way:
            here = here[part]
        here[last] = value

    return change


def twice(path: str) -> Change:
    """Repeat the first of a list."""

    def change(document: dict[str, Any]) -> None:
        here: Any = document
        for part in path.split("."):
            here = here[int(part) if part.isdigit() else part]
        here.append(here[0])

    return change


def drop(path: str) -> Change:
    def change(document: dict[str, Any]) -> None:
        *way, last = path.split(".")
        here: Any = document
        for part in way:
            here = here[int(part) if part.isdigit() else part]
        del here[last]

    return change


SWIM = {"id": "swim", "title": "Swimming", "kind": "class", "start": "15:00", "end": "16:00"}
NAP = {"start": "13:00", "length_min": 60}
WAIT = {"kind": "dry", "least_min": 60, "most_min": 30}
HOUSE = "household"
CHILD = f"{HOUSE}.children.0"
WEEK = "weeks.0"

NONSENSE: dict[str, tuple[Change, str, str]] = {
    "a week that the year has not": (put(f"{WEEK}.id", "2027-W53"), "weeks[0].id", "W01 to W52"),
    "a week that is no week": (put(f"{WEEK}.id", "next week"), "weeks[0].id", "2027-W05"),
    "week nought": (put(f"{WEEK}.id", "2027-W00"), "weeks[0].id", "W01 to W52"),
    "the year nought": (put(f"{WEEK}.id", "0000-W01"), "weeks[0].id", ""),
    "another format": (put("format", "lapful/9"), "format", "lapful/1"),
    "no household": (drop(HOUSE), HOUSE, "missing; add it"),
    "no weeks": (put("weeks", []), "weeks", "hold 1 at least"),
    "a number for a text": (put(f"{HOUSE}.name", 7), "household.name", "must be a text; write it in quotes"),
    "a text for a list": (
        put(f"{HOUSE}.children", "two"),
        "household.children",
        "write it in square brackets",
    ),
    "a field nobody knows": (put(f"{HOUSE}.colour", "red"), "household.colour", "remove it or correct"),
    "a field spelt wrongly": (put(f"{CHILD}.nap", [NAP]), "household.children[0].nap", "spelling"),
    "no children": (put(f"{HOUSE}.children", []), "household.children", "hold 1 at least"),
    "no adults": (put(f"{HOUSE}.adults", []), "household.adults", "hold 1 at least"),
    "no places": (put(f"{HOUSE}.places", []), "household.places", "hold 1 at least"),
    "no stretches": (put(f"{HOUSE}.stretches", []), "household.stretches", "hold 1 at least"),
    "two children with one id": (twice(f"{HOUSE}.children"), HOUSE, "two people share the id 'fern'"),
    "a child called as an adult": (put(f"{CHILD}.id", "kit"), HOUSE, "two people share the id 'kit'"),
    "two people with one name": (put(f"{CHILD}.name", "KIT "), f"{HOUSE}.adults", "two people are called"),
    "two places with one id": (twice(f"{HOUSE}.places"), HOUSE, "two places share"),
    "two wishes with one id": (twice(f"{WEEK}.wishes"), "weeks[0]", "two wishes share"),
    "two activities with one id": (twice("activities"), "", "two activities share"),
    "two weeks alike": (twice("weeks"), "", "two weeks share"),
    "an id with a slash": (put(f"{CHILD}.id", "a/b"), "household.children[0].id", "letters, figures"),
    "a nap at night": (
        put(f"{CHILD}.naps", [NAP | {"start": "19:00"}]),
        "household.children[0]",
        "move its start",
    ),
    "a nap before waking": (
        put(f"{CHILD}.naps", [NAP | {"start": "05:00"}]),
        "household.children[0]",
        "wake",
    ),
    "two naps at once": (put(f"{CHILD}.naps", [NAP, NAP]), "household.children[0]", "overlap; move one"),
    "a nap of no length": (put(f"{CHILD}.naps", [NAP | {"length_min": 0}]), "length_min", "more than 0"),
    "to bed before waking": (put(f"{CHILD}.bed", "06:00"), "household.children[0]", "set bed later"),
    "a time past midnight": (put(f"{CHILD}.bed", "25:00"), "household.children[0].bed", "HH:MM"),
    "half past twenty-four": (put(f"{CHILD}.bed", "24:30"), "household.children[0].bed", "HH:MM"),
    "a time in words": (put(f"{CHILD}.bed", "late"), "household.children[0].bed", "09:15"),
    "a birth in no month": (put(f"{CHILD}.birth_month", "2022-13"), "birth_month", "2021-09"),
    "a birth to come": (put(f"{CHILD}.birth_month", "2031-01"), "birth_month", "correct the year"),
    "negative minutes": (
        put("activities.0.sittings.0.setup_min", -5),
        "sittings[0].setup_min",
        "0 at least",
    ),
    "minutes of a year": (
        put("activities.0.sittings.0.setup_min", 525600),
        "setup_min",
        "10080 at most",
    ),
    "minutes in words": (put("activities.0.sittings.0.setup_min", "five"), "setup_min", "whole number"),
    "half a minute": (put("activities.0.sittings.0.setup_min", 0.5), "setup_min", "whole number"),
    "no number at all": (put(f"{HOUSE}.limits.free_share", "NaN"), "limits.free_share", "number"),
    "more than all free": (put(f"{HOUSE}.limits.free_share", 1.5), "limits.free_share", "0.9 at most"),
    "least above most": (
        put("activities.0.waits", [WAIT]),
        "activities[0].waits[0]",
        "lower least_min or raise",
    ),
    "too many waits": (
        put("activities.0.waits", [WAIT | {"most_min": None}] * 3),
        "activities[0]",
        "give 0 (between them) or 1",
    ),
    "a sitting nowhere": (put("activities.0.sittings.0.places", []), "sittings[0]", "name at least one"),
    "a sitting without anybody": (
        put("activities.0.sittings.0.parts", {}),
        "sittings[0]",
        "exactly one of them",
    ),
    "a sitting for an unknown version": (
        put("activities.0.sittings.0.parts", {"giant": {"minutes": 5}}),
        "activities[0]",
        "use one of",
    ),
    "no sittings": (put("activities.0.sittings", []), "activities[0].sittings", "hold 1 at least"),
    "a mess of nine": (put("activities.0.sittings.0.mess", 9), "sittings[0].mess", "must be 0, 1, 2, 3 or 4"),
    "a hazard nobody knows": (
        put("activities.0.hazards", ["dragons"]),
        "activities[0].hazards[0]",
        "must be 'small part'",
    ),
    "an unknown place": (
        put("activities.0.sittings.0.places", ["sofas"]),
        "activities[0].sittings[0].places",
        "did you mean 'sofa'",
    ),
    "an unknown book": (put("activities.0.book", "no-such"), "activities[0].book", "no book 'no-such'"),
    "an unknown activity": (
        put(f"{WEEK}.wishes.0.activity", "Z"),
        "weeks[0].wishes[0].activity",
        "add it, or name one of the 12",
    ),
    "an unknown child": (
        put(f"{WEEK}.wishes.0.children", ["ferne"]),
        "wishes[0].children",
        "did you mean 'fern'",
    ),
    "an unknown stretch": (
        put(f"{WEEK}.wishes.0.stretches", ["teatime"]),
        "wishes[0].stretches",
        "no stretch",
    ),
    "an unknown adult": (put(f"{WEEK}.hours", {"nobody": []}), "weeks[0].hours", "no adult 'nobody'"),
    "after itself": (
        put(f"{WEEK}.wishes.0.after", ["morning-time"]),
        "weeks[0].wishes[0].after",
        "other wish",
    ),
    "a wish nought times": (put(f"{WEEK}.wishes.0.times", 0), "weeks[0].wishes[0].times", "1 at least"),
    "a wish a hundred times": (put(f"{WEEK}.wishes.0.times", 100), "weeks[0].wishes[0].times", "28 at most"),
    "a day of no week": (put(f"{WEEK}.wishes.0.days", ["funday"]), "weeks[0].wishes[0].days[0]", "'monday'"),
    "a window the wrong way round": (
        put(f"{WEEK}.wishes.0.hours", [{"start": "10:00", "end": "09:00"}]),
        "weeks[0].wishes[0].hours[0]",
        "give a later end",
    ),
    "a class the wrong way round": (
        put(f"{WEEK}.fixed_points", [SWIM | {"end": "14:00"}]),
        "weeks[0].fixed_points[0]",
        "give a later end",
    ),
    "a class past midnight": (
        put(f"{WEEK}.fixed_points", [SWIM | {"travel_before_min": 2000}]),
        "weeks[0].fixed_points[0]",
        "shorten it",
    ),
    "a meal that is none": (
        put(f"{WEEK}.fixed_points", [SWIM | {"kind": "meal"}]),
        "fixed_points[0]",
        "which meal",
    ),
    "a class for nobody known": (
        put(f"{WEEK}.fixed_points", [SWIM | {"children": ["fred"]}]),
        "weeks[0].fixed_points[0].children",
        "no child 'fred'",
    ),
    "a shop at no time": (put(f"{WEEK}.shops", [{}]), "weeks[0].shops[0]", "give one"),
    "stretches over each other": (put(f"{HOUSE}.stretches.1.start", "08:40"), HOUSE, "end the first where"),
    "a sky for no hours": (
        put(f"{WEEK}.sky", [{"start": "09:00"}]),
        "weeks[0].sky[0].end",
        "missing; add it",
    ),
    "a firm booking of no wish": (put(f"{WEEK}.firm", [{}]), "weeks[0].firm[0].id", "missing"),
    "a list for a thing": (put(HOUSE, []), HOUSE, "curly brackets"),
    "nothing for a thing": (put(HOUSE, None), HOUSE, "curly brackets"),
}


@pytest.mark.parametrize(("change", "path", "message"), NONSENSE.values(), ids=NONSENSE)
def test_nonsense_is_named_with_its_place_and_the_mend(change: Change, path: str, message: str) -> None:
    document = raw("small")
    change(document)
    found = faults(document)
    assert any(path in fault.path and message in fault.message for fault in found), found
    for fault in found:
        assert fault.path
        assert any(word in fault.message.lower() for word in MENDS), fault
        assert "Traceback" not in fault.message


BROKEN = {
    "nothing": "",
    "half a document": '{"format": "lapful/1", "household": {',
    "a comma too many": '{"format": "lapful/1",}',
    "single quotes": "{'format': 'lapful/1'}",
    "not a thing": "42",
    "a list": "[]",
    "text": '"lapful/1"',
    "a byte that is no letter": "\x00",
    "very deep": "[" * 5000,
}


@pytest.mark.parametrize("text", BROKEN.values(), ids=BROKEN)
def test_what_is_no_document_is_said_so(text: str) -> None:
    with pytest.raises(ValidationError) as caught:
        Document.model_validate_json(text)
    found = faults_of(caught.value)
    assert found
    assert all(fault.path and fault.message for fault in found)


def test_many_faults_are_told_at_once_but_not_without_end() -> None:
    document = raw("small")
    for one in document["activities"]:
        one["colour"] = "red"
    assert len(faults(document)) == len(document["activities"])
    document["activities"] = document["activities"] * 10
    assert len(faults(document)) == 50


def test_wishes_that_wait_for_each_other_in_a_circle() -> None:
    document = raw("small")
    first, second = document["weeks"][0]["wishes"][:2]
    first["after"], second["after"] = [second["id"]], [first["id"]]
    (fault,) = faults(document)
    assert fault.path == "weeks[0].wishes"
    assert "circle" in fault.message
    assert "take one 'after' away" in fault.message


def test_a_week_that_is_not_in_the_file() -> None:
    with pytest.raises(RelationError, match="there is no week '2027-W17'; did you mean '2027-W16'"):
        Document.model_validate(raw("small")).problem("2027-W17")


def test_too_many_activities_or_wishes() -> None:
    document = raw("small")
    one = document["activities"][0] | {
        "lighter": None,
        "versions": [document["activities"][0]["versions"][0]],
    }
    one["sittings"] = [{"name": "wait", "adult_min": 5, "places": ["table"]}]
    document["activities"] = [one | {"id": f"a{i}"} for i in range(20_001)]
    document["weeks"][0]["wishes"] = [{"id": f"w{i}", "activity": "a0"} for i in range(401)]
    assert {fault.path for fault in faults(document)} >= {"activities", "weeks[0].wishes"}


def test_a_faulty_week_is_not_also_called_missing() -> None:
    """A document whose only week was impossible used to be told, besides, that it had no week."""
    document = raw("small")
    document["weeks"][0]["id"] = "2027-W53"
    assert [fault.path for fault in faults(document)] == ["weeks[0].id"]


def test_no_week_at_all_is_still_told() -> None:
    document = raw("small")
    document["weeks"] = []
    assert [fault.path for fault in faults(document)] == ["weeks"]
