"""``lapful mend`` from the outside: what is typed, what is printed, how it ends."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from service.mishap_words import FORMS, mishaps_said, moment_said
from solver.check import check
from solver.domain.base import Moment
from solver.domain.document import Document
from solver.domain.mishap import Offer
from solver.domain.week import Problem
from tests.service.house import WEEK, document, document_json
from tests.service.saying import Lapful, write

FIELDS = ("sentence", "moved", "held_over", "let_go", "cancelled", "added", "changes_bound", "plan")
QUICK = ("--workers", 1, "--seconds", 2)


@pytest.fixture
def planned(lapful: Lapful, orchard: Path, tmp_path: Path) -> tuple[Path, Path]:
    """The household's file and a plan of its first week."""
    printed = lapful("plan", orchard, *QUICK, "--json").out
    return orchard, write(tmp_path / "plan.json", json.loads(printed))


def booking(planned: tuple[Path, Path], wish: str) -> dict[str, Any]:
    found: dict[str, Any] = next(
        b for b in json.loads(planned[1].read_text())["bookings"] if b["wish"] == wish
    )
    return found


def test_json_is_the_offers_alone(lapful: Lapful, planned: tuple[Path, Path]) -> None:
    day = booking(planned, "walk")["day"]
    said = lapful("mend", *planned, "--mishap", f"day-lost:{day}", *QUICK, "--json")
    assert (said.code, said.err) == (0, "")
    offers = json.loads(said.out)["offers"]
    assert 1 <= len(offers) <= 3
    for offer in offers:
        assert set(FIELDS) <= set(offer)
        assert {"value", "bound", "proved"} <= set(offer["changes_bound"])
        assert not [b for b in offer["plan"]["bookings"] if b["day"] == day]


def test_every_plan_holds_in_the_week_of_its_offer(lapful: Lapful, planned: tuple[Path, Path]) -> None:
    said = lapful("mend", *planned, "--mishap", "day-lost:monday:burr", *QUICK, "--json")
    for raw in json.loads(said.out)["offers"]:
        offer = Offer.model_validate(raw)
        changed = document_json() | {"weeks": [offer.week.model_dump(mode="json")]}
        assert check(Document.model_validate(changed).problem(), offer.plan) == []


def test_people_go_by_name_too(lapful: Lapful, planned: tuple[Path, Path]) -> None:
    by_id, by_name = (
        json.loads(lapful("mend", *planned, "--mishap", f"day-lost:monday:{who}", *QUICK, "--json").out)
        for who in ("burr", "Burr")
    )
    assert by_id["mishaps"] == by_name["mishaps"]


def test_it_is_told_in_sentences(lapful: Lapful, planned: tuple[Path, Path]) -> None:
    day = booking(planned, "walk")["day"]
    said = lapful("mend", *planned, "--mishap", f"rain:{day}", "--mishap", f"tired:{day}", *QUICK)
    assert said.code == 0
    assert said.out.lstrip().startswith("1. ")
    assert "what was before stays" in said.out
    assert "bookings unchanged" in said.out


def test_the_past_stays(lapful: Lapful, planned: tuple[Path, Path]) -> None:
    lost = ("--mishap", "day-lost:friday", "--at", "friday@23:00")
    said = lapful("mend", *planned, *lost, *QUICK, "--json")
    kept = {b["id"]: b["start"] for b in json.loads(said.out)["offers"][0]["plan"]["bookings"]}
    assert kept == {b["id"]: b["start"] for b in json.loads(planned[1].read_text())["bookings"]}


@pytest.mark.parametrize(
    ("words", "field", "mend"),
    [
        (("--mishap", "flood:monday"), "--mishap flood:monday", "there are: day-lost"),
        (("--mishap", "day-lost:mnday"), "--mishap day-lost:mnday", "did you mean 'monday'?"),
        (("--mishap", "day-lost:monday:bur"), "--mishap day-lost:monday:bur", "did you mean 'burr'?"),
        (("--mishap", "day-lost:monday@17:00-13:00"), "--mishap day-lost", "give a later end"),
        (("--mishap", "nap-failed:burr"), "--mishap nap-failed:burr", "nap-failed:pip@tuesday"),
        (("--mishap", "late:35"), "--at", "monday@12:10"),
        (("--mishap", "late:soon", "--at", "monday@12:10"), "--mishap late:soon", "write it like 35"),
        (("--mishap", "late:9999", "--at", "monday@12:10"), "--mishap late:9999: minutes", "600"),
        (("--mishap", "missing:nst"), "--mishap missing:nst.what", "did you mean 'nest'?"),
        (("--mishap", "still-wet:walk.1.9:30"), "--mishap still-wet:walk.1.9:30.booking", "did you mean"),
        (("--mishap", "hooked:walk.1.1"), "--mishap hooked:walk.1.1", "hooked:BOOKING:40"),
        (("--mishap", "refused:walk.1.1:burr"), "--mishap refused", "refused:BOOKING:CHILD:sticky"),
        (("--mishap", "roster:bramble@monday"), "--mishap roster", "away"),
        (("--mishap", "roster:bramble@monday:25:00-26:00"), "--mishap roster", "is not a time of day"),
        (("--mishap", "tired:monday", "--at", "noon"), "--at", "wednesday@07:10"),
        (("--mishap", "tired:monday", "--at", "2027-02-09T12:00"), "--at", f"not in week {WEEK}"),
    ],
)
def test_what_is_wrong_is_said_with_the_field_and_the_mend(
    lapful: Lapful, planned: tuple[Path, Path], words: tuple[str, ...], field: str, mend: str
) -> None:
    said = lapful("mend", *planned, *words, *QUICK)
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith(field)
    assert mend in said.err


def test_something_must_have_happened(lapful: Lapful, planned: tuple[Path, Path]) -> None:
    said = lapful("mend", *planned)
    assert said.code == 2
    assert "--mishap" in said.err


@pytest.fixture
def problem() -> Problem:
    return document().problem(WEEK)


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("day-lost:wednesday", {"kind": "day-lost", "day": "wednesday"}),
        ("day-lost:wednesday:burr", {"children": ("burr",)}),
        ("day-lost:wednesday:Burr,Moss", {"children": ("burr", "moss")}),
        ("day-lost:wednesday:bramble", {"adults": ("bramble",)}),
        ("day-lost:wednesday@13:00-17:00", {"start": "13:00", "end": "17:00"}),
        ("day-lost:wednesday@13:00-17:00:burr", {"start": "13:00", "children": ("burr",)}),
        ("nap-failed:burr@tuesday", {"kind": "nap-failed", "child": "burr", "day": "tuesday"}),
        ("late:35", {"kind": "late", "minutes": 35}),
        ("missing:table@thursday", {"kind": "missing", "what": "table", "day": "thursday"}),
        ("missing:table", {"day": None}),
        ("rain:wednesday", {"kind": "sky", "wet": True, "windy": False}),
        ("heat:wednesday@9:00-12:00", {"too_hot": True, "start": "09:00", "end": "12:00"}),
        ("wind:wed", {"windy": True, "day": "wednesday"}),
        ("ice:wednesday", {"icy": True}),
        ("still-wet:frog-bowl.1.1:120", {"booking": "frog-bowl.1.1", "minutes": 120}),
        ("refused:walk.1.1:Moss:too long", {"child": "moss", "reason": "too long"}),
        ("hooked:walk.1.1:40", {"kind": "hooked", "booking": "walk.1.1", "minutes": 40}),
        ("tired:thursday", {"kind": "tired", "day": "thursday"}),
        ("roster:Bramble@wednesday:13:00-17:00", {"adult": "bramble", "start": "13:00", "end": "17:00"}),
        ("roster:bramble@wednesday:away", {"kind": "roster", "start": None, "end": None}),
    ],
)
def test_every_form(problem: Problem, said: str, meant: dict[str, Any]) -> None:
    (mishap,) = mishaps_said(problem, [said])
    told = mishap.model_dump(mode="json")
    assert {key: told[key] for key in meant} == json.loads(json.dumps(meant))


def test_every_kind_has_its_form_shown() -> None:
    assert {"day-lost", "nap-failed", "late", "missing", "rain", "heat", "wind", "ice"} <= set(FORMS)


@pytest.mark.parametrize("text", ["wednesday@07:10", "Wed@7:10", "2027-02-03T07:10", "2027-02-03 07:10"])
def test_a_time_may_be_a_day_or_a_date(problem: Problem, text: str) -> None:
    assert moment_said(problem, text) == Moment.model_validate({"day": "wednesday", "time": "07:10"})
