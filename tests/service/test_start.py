"""Six answers: what becomes of them, what was taken without asking, and a week worth keeping."""

from __future__ import annotations

import datetime
import io
import json
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.demo import demo_file
from service.errors import BadInput
from service.start.answers import Answers, PlaceAnswer, Standing
from service.start.asking import hours_in, naps_in, next_week, places_in, prep_in
from service.start.build import start
from solver.candidates import enumerate_candidates
from solver.check import check
from solver.domain.base import Evening
from solver.domain.document import Document
from solver.domain.week import Rank
from solver.outline import Outline
from solver.search import solve
from tests.service.conftest import Serve
from tests.service.saying import Lapful, write


def six(**more: Any) -> dict[str, Any]:
    """Answers of an invented family of finches."""
    made: dict[str, Any] = {
        "children": [
            {"name": "Siskin", "birth_month": "2021-12"},
            {"name": "Linnet", "birth_month": "2024-01"},
        ],
        "adults": [{"name": "Brambling", "hours": [{"start": "06:30", "end": "21:00"}]}],
        "prep": [{"evening": "sunday_before", "minutes": 30}, {"evening": "wednesday", "minutes": 20}],
        "theme": "pond life",
        "week": "2027-W05",
    }
    return made | more


ADA = {"name": "A", "birth_month": "2021-01"}
BABY = {"name": "Twite", "birth_month": "2026-06"}
TWO_ADULTS = [
    {"name": "Brambling", "hours": [{"start": "06:30", "end": "21:00"}]},
    {"name": "Serin", "hours": [{"days": ["saturday", "sunday"], "start": "08:00", "end": "20:00"}]},
]
HOUSES = {
    "pond": six(),
    "bread, a baby, little mess": six(
        theme="bread and grain", mess_a_day=2, children=[*six()["children"], BABY], adults=TWO_ADULTS
    ),
    "no evening, no yard": six(prep=[], places=[]),
    "one toddler": six(children=[{"name": "Linnet", "birth_month": "2024-12"}], theme=None),
    "weekends only": six(adults=[TWO_ADULTS[1]], places=["yard", "shops", "pond", "hall"]),
}


@pytest.mark.parametrize("name", ["pond", "bread, a baby, little mess", "weekends only"])
def test_the_first_week_is_worth_keeping(name: str) -> None:
    made = start(Answers.model_validate(HOUSES[name])).document
    problem = made.problem()
    plan = solve(problem, seconds=10, seed=1, workers=2)
    assert check(problem, plan) == []
    ranks = {wish.id: wish.rank for wish in problem.week.wishes}
    lost = [one.wish for one in plan.left_over if ranks[one.wish] is Rank.PROMISE]
    assert lost == [], "a promise of the first week is kept"
    days = {booking.day for booking in plan.bookings}
    assert days == set(problem.week.teaching_days), "every day has something"
    themed = [wish for wish in problem.week.wishes if wish.rank is Rank.EXTRA]
    placed = {booking.wish for booking in plan.bookings}
    assert len([wish for wish in themed if wish.id in placed]) >= len(themed) / 2


@pytest.mark.parametrize("name", HOUSES)
def test_every_wish_of_the_first_week_has_somewhere_to_go(name: str) -> None:
    problem = start(Answers.model_validate(HOUSES[name])).document.problem()
    blocked = {task.go.wish.id for task in enumerate_candidates(Outline(problem)).blocked}
    extras = {wish.id for wish in problem.week.wishes if wish.rank is not Rank.STAPLE}
    assert extras
    assert not extras & blocked
    assert len(problem.week.wishes) <= 16, "few and good"


def test_answers_are_kept_and_the_rest_is_named() -> None:
    given = six(
        children=[
            {"name": "Siskin", "birth_month": "2021-12", "bed": "20:00", "naps": []},
            {"name": "Linnet", "birth_month": "2024-01"},
        ]
    )
    made = start(Answers.model_validate(given))
    siskin, linnet = made.document.household.children
    assert (siskin.bed, siskin.naps) == (20 * 60, ())
    assert linnet.naps[0].days_of_seven == 4
    paths = {one.path: one for one in made.defaults}
    assert "household.children[0].bed" not in paths, "it was answered"
    bed = paths["household.children[1].bed"]
    assert bed.standing is Standing.PUBLISHED
    assert "American Academy of Sleep Medicine" in bed.source
    attention = paths["household.children[1].attention"]
    assert attention.standing is Standing.COMMON_PRACTICE
    assert "no research gives minutes by age" in attention.source


def test_places_that_are_not_there_are_in_no_activity() -> None:
    made = start(Answers.model_validate(six(places=[]))).document
    known = {place.id for place in made.household.places}
    assert not known & {place.value for place in PlaceAnswer}
    assert all(set(s.places) <= known for a in made.activities for s in a.all_sittings)
    assert "P04" not in {activity.id for activity in made.activities}, "no pond, no visit to it"


def test_little_sleep_gets_a_gentle_note() -> None:
    late = {"name": "Siskin", "birth_month": "2023-02", "bed": "22:30", "wake": "06:30", "naps": []}
    made = start(Answers.model_validate(six(children=[late])))
    assert len(made.notes) == 1
    assert "about 8.0 hours in 24; 10 to 13 are advised" in made.notes[0]
    assert "your own doctor" in made.notes[0]


def test_a_theme_that_the_catalogue_lacks_is_said_so() -> None:
    made = start(Answers.model_validate(six(theme="volcanoes")))
    assert made.document.weeks[0].theme == "volcanoes"
    assert made.notes == (
        "The catalogue holds nothing for 'volcanoes' yet; it has bread and grain and pond life. The week has "
        "what suits any theme; add activities of your own in the catalogue.",
    )


def test_lunch_gives_way_to_an_early_nap() -> None:
    early = {"name": "Linnet", "birth_month": "2025-01", "naps": [{"start": "12:00", "length_min": 90}]}
    made = start(Answers.model_validate(six(children=[early])))
    lunch = next(point for point in made.document.household.fixed_points if point.id == "lunch")
    assert (lunch.start, lunch.end) == (11 * 60 + 15, 12 * 60)


@pytest.mark.parametrize(
    ("change", "path", "words"),
    [
        (
            {"children": [{"name": "A", "birth_month": "2021-01"}] * 2},
            "children[1].name",
            "two people are called",
        ),
        (
            {"children": [{"name": "A", "birth_month": "2031-01"}]},
            "children[0].birth_month",
            "after the week",
        ),
        ({"children": [BABY]}, "children", "from 18 months"),
        (
            {"children": [{**ADA, "wake": "09:00", "bed": "08:00"}]},
            "children[0].bed",
            "set a bedtime later than 09:00",
        ),
        (
            {"children": [ADA, {**BABY, "naps": [{"start": "05:00", "length_min": 60}]}]},
            "children[1].naps[0].start",
            "move or shorten it",
        ),
        (
            {
                "children": [
                    {**ADA, "naps": [{"start": time, "length_min": 60} for time in ("12:00", "12:55")]}
                ]
            },
            "children[0].naps[1].start",
            "two naps overlap",
        ),
    ],
)
def test_answers_that_make_no_sense_are_refused(change: dict[str, Any], path: str, words: str) -> None:
    with pytest.raises(BadInput) as refused:
        start(Answers.model_validate(six(**change)))
    assert (refused.value.faults[0].path, words in refused.value.faults[0].message) == (path, True)


def test_names_in_any_script_get_ids() -> None:
    children = [{"name": name, "birth_month": "2021-01"} for name in ("Zoë", "小鸟", "Zoe!")]
    made = start(Answers.model_validate(six(children=children))).document
    assert [child.id for child in made.household.children] == ["zoe", "person-2", "zoe-3"]


def test_over_http_nothing_is_kept_unless_asked(serve: Serve) -> None:
    client = serve()
    assert client.get("/api/start/choices").json()["themes"] == ["bread and grain", "pond life"]
    answer = client.post("/api/start", json=six())
    assert answer.status_code == 200, answer.text
    assert Document.model_validate(answer.json()["document"])
    assert client.get("/api/document").status_code == 404
    assert client.post("/api/start", params={"keep": True}, json=six()).status_code == 200
    assert client.get("/api/household").json()["children"][0]["name"] == "Siskin"
    again = client.post("/api/start", params={"keep": True}, json=six(theme=None))
    assert again.status_code == 422
    assert "lives here already" in again.json()["detail"]
    assert client.post("/api/start", params={"keep": True, "replace": True}, json=six()).status_code == 200


def test_the_pond_week_moves_in_where_nobody_lives(serve: Serve) -> None:
    client = serve()
    assert client.post("/api/start/demo").status_code == 200
    assert client.get("/api/document").json() == start_pattern()
    again = client.post("/api/start/demo")
    assert (again.status_code, "lives here already" in again.json()["detail"]) == (422, True)


def start_pattern() -> Any:
    """The household of the pond week as it is shipped."""
    return json.loads(Document.model_validate_json(demo_file().read_text(encoding="utf-8")).model_dump_json())


def test_over_http_faults_are_named(client: TestClient) -> None:
    answer = client.post("/api/start", json=six(children=[{"name": "A", "birth_month": "09/2021"}]))
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["path"] == "children[0].birth_month"


def test_the_command_takes_answers_from_a_file(lapful: Lapful, tmp_path: Path) -> None:
    file, out = write(tmp_path / "answers.json", six()), tmp_path / "house.json"
    said = lapful("start", "--answers", file)
    assert set(json.loads(said.out)) == {"document", "defaults", "notes"}
    said = lapful("start", "--answers", file, "--out", out)
    assert said.code == 0
    assert "(common practice" in said.out
    assert f"Next: lapful plan {out}" in said.out
    assert Document.model_validate_json(out.read_text())
    again = lapful("start", "--answers", file, "--out", out)
    assert (again.code, "give another --out, or add --replace" in again.err) == (2, True)


def test_the_command_asks(lapful: Lapful, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    children, adults = "Siskin\n2021/12\n2021-12\n\n19:30\n\n", "Brambling\n7-20\n07:00-20:00\n\n"
    typed = children + adults + "1 3\n4\nsunday_before 30\npond life\n"
    monkeypatch.setattr("sys.stdin", io.StringIO(typed))
    out = tmp_path / "house.json"
    said = lapful("start", "--out", out)
    assert said.code == 0, said.err
    house = Document.model_validate_json(out.read_text()).household
    assert (house.children[0].bed, house.adults[0].hours[0].start) == (19 * 60 + 30, 7 * 60)
    assert house.limits.mess_sum_a_day == 4
    assert "write year and month" in said.out + said.err, "the wrong answer was asked again"
    assert {"yard", "pond"} <= {place.id for place in house.places}


def test_answers_as_people_type_them() -> None:
    windows = hours_in("mon-fri 15:00-20:00; sat,sun 8:00-20:00")
    assert [(len(one.days), one.start) for one in windows] == [(5, 900), (2, 480)]
    assert naps_in("none") == ()
    assert naps_in("") is None
    two = naps_in("9:15 60, 13:00 90")
    assert two is not None
    assert [nap.length_min for nap in two] == [60, 90]
    assert places_in("1, pond") == (PlaceAnswer.YARD, PlaceAnswer.POND)
    assert prep_in("sunday_before 30, wednesday 20")[1].evening is Evening.WEDNESDAY
    for wrong in ("mon 20:00-08:00", "fri-mon 08:00-09:00", "xyz 08:00-09:00", "", "morning"):
        with pytest.raises(ValueError, match=r"write|begin"):
            hours_in(wrong)


@pytest.mark.parametrize(
    ("today", "week"),
    [
        (datetime.date(2026, 12, 28), "2026-W53"),
        (datetime.date(2026, 12, 29), "2027-W01"),
        (datetime.date(2027, 1, 3), "2027-W01"),
    ],
)
def test_the_first_week_begins_next_monday(today: datetime.date, week: str) -> None:
    assert next_week(today) == week
