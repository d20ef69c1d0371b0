"""The catalogue as a table: the way there and back, what is refused and how it is said, editing, scaling."""

from __future__ import annotations

import io
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook

from service.catalogue.columns import NAMES
from service.catalogue.notation import (
    cut,
    joined,
    prep_line,
    read_prep,
    read_resource,
    read_sitting,
    read_version,
    read_wait,
    resource_line,
    sitting_line,
    version_line,
    wait_line,
)
from service.catalogue.scaling import scaled
from service.catalogue.sheet import read, written
from service.errors import BadInput
from solver.domain.activity import Activity, PrepTask, Resource, Sitting, Version, Wait
from solver.domain.document import Document
from tests.service.house import WEEK, document
from tests.service.saying import Lapful

DEMO = Document.model_validate_json((Path(__file__).parents[2] / "demo" / "pond-week.json").read_text())
TEXT = st.text(alphabet=st.characters(codec="utf-8", exclude_categories=["C"]) | st.just("\n"), max_size=40)
NAME = TEXT.map(str.strip).filter(lambda text: bool(text) and "\n" not in text)


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_a_round_trip_changes_nothing(form: str) -> None:
    assert read(written(DEMO.activities, form), form) == DEMO.activities


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_what_looks_like_a_formula_comes_back_as_typed(form: str) -> None:
    odd = DEMO.activities[0].model_copy(
        update={"title": "=SUM(A1:A9)", "caution": "-5 °C | no \\ more\nsecond line", "theme": "'=quoted"}
    )
    body = written([odd], form)
    assert read(body, form) == (odd,)
    if form == "xlsx":
        sheet = load_workbook(io.BytesIO(body)).worksheets[0]
        assert {cell.data_type for row in sheet.iter_rows() for cell in row} <= {"s", "n", "inlineStr"}


@given(pieces=st.lists(TEXT, min_size=1, max_size=5))
def test_any_pieces_survive_a_line(pieces: list[str]) -> None:
    line = joined(pieces)
    assert "\n" not in line
    assert cut(line) == pieces


@given(name=NAME, does=TEXT, low=st.integers(0, 99), more=st.integers(0, 99))
def test_any_version_survives(name: str, does: str, low: int, more: int) -> None:
    version = Version(id="one", age_from_months=low, age_to_months=low + more, does=does)
    assert Version.model_validate(read_version(version_line(version))) == version
    resource = Resource(name=name, address="", text=does)
    assert Resource.model_validate(read_resource(resource_line(resource))) == resource


def test_every_field_of_the_notation_survives() -> None:
    sitting = Sitting.model_validate(
        {
            "name": "bake | eat",
            "parts": {"younger": {"minutes": 5, "help": 0}, "older": {"minutes": 480, "help": 4}},
            "setup_min": 3,
            "cleanup_min": 4,
            "mess": 4,
            "places": ["table", "yard"],
            "needs": [{"material": "flour", "count": 3, "each_child": True}, {"material": "oven"}],
            "meals": ["lunch", "snack"],
        }
    )
    step = Sitting.model_validate({"name": "oven", "adult_min": 5, "adult_help": 1, "places": ["kitchen"]})
    for one in (sitting, step):
        assert Sitting.model_validate(read_sitting(sitting_line(one))) == one
    for wait in (
        Wait.model_validate(
            {"kind": "come to room warmth", "least_min": 5, "most_min": 9, "holder": "h", "units": 2}
        ),
        Wait.model_validate({"kind": "dry", "most_min": 0}),
    ):
        assert Wait.model_validate(read_wait(wait_line(wait))) == wait
    task = PrepTask(
        id="a",
        name="x",
        minutes=9,
        lead_min=60,
        keeps_days=0,
        noisy=True,
        batch="b",
        warm_up_min=3,
        holder="h",
        units=2,
    )
    assert PrepTask.model_validate(read_prep(prep_line(task))) == task


def table(change: Callable[[Any], None]) -> bytes:
    """The first three activities as a workbook, changed by hand."""
    book = load_workbook(io.BytesIO(written(DEMO.activities[:3], "xlsx")))
    change(book.worksheets[0])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def cell(name: str, row: int = 3) -> str:
    from openpyxl.utils import get_column_letter

    return f"{get_column_letter(NAMES.index(name) + 1)}{row}"


def set_to(name: str, value: Any) -> Callable[[Any], None]:
    def change(sheet: Any) -> None:
        sheet[cell(name)] = value

    return change


def refused(body: bytes, form: str = "xlsx") -> list[tuple[str, str]]:
    with pytest.raises(BadInput) as error:
        read(body, form)
    return [(fault.path, fault.message) for fault in error.value.faults]


def test_a_cell_that_could_not_be_read_is_not_missing_too() -> None:
    book = load_workbook(io.BytesIO(written(DEMO.activities, "xlsx")))
    book.worksheets[0]["B2"] = "=1+1"
    file = io.BytesIO()
    book.save(file)
    assert refused(file.getvalue()) == [
        ("row 2, column title", "a formula stands here; paste its value instead")
    ]


def test_an_empty_file_says_so(client: TestClient) -> None:
    answer = client.post("/api/catalogue/table?format=csv&keep=false")
    assert answer.json()["faults"][0]["path"] == "the file"


@pytest.mark.parametrize(
    ("name", "value", "says"),
    [
        ("cost", "=1+1", "a formula stands here; paste its value instead"),
        ("energy", "lots", "'lots' is no whole number; write one, like 2"),
        ("energy", 9, "this must be 5 at most"),
        ("nap_ok", "perhaps", "neither yes nor no"),
        ("kind", "nap", "'read-aloud'"),
        ("versions", "younger, 3-5", "write it like: younger | 30 to 53 months"),
        ("sittings", "play | for younger 8", "write a version with minutes and help"),
        ("sittings", "play | because", "begin with one of for, adult, set-up"),
        ("waits", "dry | slowly", "begin with one of least, most"),
        ("prep", "cut the card", "write it like: paste | cook the paste"),
        ("lighter", "one line only", "takes two lines"),
        ("resources", "a | b | c | d | e", "write it like: recipe"),
        ("id", "P01", "stands in row 2 already"),
    ],
)
def test_a_wrong_cell_is_named_with_its_mend(name: str, value: Any, says: str) -> None:
    faults = refused(table(set_to(name, value)))
    assert [path for path, _ in faults] == [f"row 3, column {name}"]
    assert says in faults[0][1]


def test_a_date_that_the_spreadsheet_made_is_named() -> None:
    import datetime

    faults = refused(table(set_to("versions", datetime.date(2026, 3, 5))))
    assert faults[0][0] == "row 3, column versions"
    assert "the spreadsheet made a date of it" in faults[0][1]
    assert "set the column to text" in faults[0][1]


def test_merged_cells_are_named() -> None:
    faults = refused(table(lambda sheet: sheet.merge_cells("B2:B4")))
    assert ("cells B2:B4", "these cells are merged; unmerge them and fill each one") in faults


def test_fifty_thousand_rows_are_refused_soon() -> None:
    book = Workbook(write_only=True)
    sheet = book.create_sheet()
    for _ in range(50_001):
        sheet.append(["id", "title"])
    out = io.BytesIO()
    book.save(out)
    began = time.process_time()
    assert "50000 rows; at most 20000 activities are taken" in refused(out.getvalue())[0][1]
    rows = b"id,title\r\n" + b"a,b\r\n" * 50_000
    assert "50000 rows; at most 20000" in refused(rows, "csv")[0][1]
    assert time.process_time() - began < 20


@pytest.mark.parametrize(
    ("body", "form", "says"),
    [
        (b"", "csv", "no table"),
        (b"\xff\xfe", "csv", "save it as CSV UTF-8"),
        (b"id;title\r\n", "csv", "the column 'kind' is missing; add it"),
        (b"id,title,kind,versions,sittings,colour\r\n", "csv", "there is no column 'colour' here"),
        (b'id,title\r\n"open', "csv", "no table"),
        (b"not a workbook", "xlsx", "no XLSX workbook"),
        (b"PK\x05\x06" + b"\0" * 18, "xlsx", "no XLSX workbook"),
    ],
)
def test_a_wrong_file_is_said_so(body: bytes, form: str, says: str) -> None:
    assert any(says in message for _, message in refused(body, form))


def test_semicolons_are_read_too() -> None:
    body = written(DEMO.activities[4:5], "csv").decode("utf-8-sig")
    import csv

    out = io.StringIO()
    csv.writer(out, delimiter=";").writerows(csv.reader(io.StringIO(body)))
    assert read(out.getvalue().encode(), "csv") == DEMO.activities[4:5]


def test_a_table_over_http_is_all_or_nothing(client: TestClient) -> None:
    body = client.get("/api/catalogue/table", params={"format": "csv"}).content
    same = client.post("/api/catalogue/table", params={"format": "csv"}, content=body)
    assert same.json() == {"added": [], "changed": [], "same": 3}
    changed = body.replace(b"Leaf story", b"Leaf tale")
    trial = client.post("/api/catalogue/table", params={"format": "csv", "keep": False}, content=changed)
    assert trial.json() == {"added": [], "changed": ["leaf-story"], "same": 2}
    assert client.get("/api/activities").json()[0]["title"] == "Leaf story", "it was only tried"
    client.post("/api/catalogue/table", params={"format": "csv"}, content=changed)
    assert client.get("/api/activities").json()[0]["title"] == "Leaf tale"
    broken = changed.replace(b"Leaf tale", b"Leaf saga").replace(b"at brook", b"at moon")
    answer = client.post("/api/catalogue/table", params={"format": "csv"}, content=broken)
    assert answer.status_code == 422
    assert "there is no place 'moon'" in answer.text
    assert client.get("/api/activities").json()[0]["title"] == "Leaf tale"


def test_an_activity_is_edited_copied_put_away_and_taken_out(client: TestClient) -> None:
    first = client.get("/api/activities").json()[0]
    first["title"] = "Leaf epic"
    assert client.put("/api/activities/leaf-story", json=first).status_code == 200
    assert client.put("/api/activities/other", json=first).status_code == 422
    copy = client.post("/api/activities/leaf-story/copy").json()
    assert (copy["id"], copy["title"]) == ("leaf-story-2", "Leaf epic (2)")
    assert client.post("/api/activities/leaf-story/copy").json()["id"] == "leaf-story-3"
    assert client.put("/api/activities/leaf-story-2/away").status_code == 204
    shelf = {one["activity"]["id"]: one for one in client.get("/api/catalogue").json()}
    assert shelf["leaf-story-2"]["archived"]
    assert (shelf["leaf-story"]["archived"], shelf["leaf-story"]["wished"]) == (False, 1)
    client.delete("/api/activities/leaf-story-2/away")
    assert not any(one["archived"] for one in client.get("/api/catalogue").json())
    assert client.delete("/api/activities/leaf-story-2").status_code == 204
    gone = client.delete("/api/activities/leaf-story")
    assert gone.status_code == 422
    assert WEEK in gone.json()["detail"]
    for path in ("copy", "away"):
        method = client.post if path == "copy" else client.put
        assert method(f"/api/activities/nothing/{path}").status_code == 404


def test_amounts_for_more_children(client: TestClient) -> None:
    house = document().model_dump(mode="json")
    house["household"]["materials"] = [
        {"id": "oats", "name": "oats", "reusable": False, "count": 9, "unit": "cup"},
        {"id": "bowl", "name": "bowl", "count": 2},
    ]
    story = house["activities"][0]
    story["sittings"][0]["needs"] = [
        {"material": "oats", "count": 2, "each_child": True},
        {"material": "bowl"},
    ]
    story["resources"] = [
        {"name": "recipe", "text": "For 2 children: 1 cup water, 2 cups starch. Stir for 5 min."}
    ]
    assert client.put("/api/document", json=house).status_code == 200
    made = client.get("/api/activities/leaf-story/amounts", params={"children": 3}).json()
    assert made["amounts"] == [
        {"material": "oats", "count": 6, "unit": "cup"},
        {"material": "bowl", "count": 1, "unit": "piece"},
    ]
    assert made["resources"][0]["text"] == "For 3 children: 1½ cup water, 3 cups starch. Stir for 5 min."


@pytest.mark.parametrize(
    ("text", "children", "says"),
    [
        ("60 g flour", 2, "120 g flour"),
        ("1/2 cup salt, 1 1/2 cups water", 2, "1 cup salt, 3 cups water"),
        ("½ tsp oil; 1½ tbsp lemon", 3, "1½ tsp oil; 4½ tbsp lemon"),
        ("bake at 180 °C for 20 min in a 30 cm tin", 4, "bake at 180 °C for 20 min in a 30 cm tin"),
        ("for 4 children: 100 g oats", 1, "for 1 child: 25 g oats"),
        ("0,5 l milk", 2, "1 l milk"),
        ("3 eggs for 9 children", 2, "⅔ eggs for 2 children"),
        ("1 cup milk for 7 children", 2, "0.29 cup milk for 2 children"),
        (
            "Para 2 niños: 2 tazas de harina, ½ cucharadita de sal",
            3,
            "Para 3 niños: 3 tazas de harina, ¾ cucharadita de sal",
        ),
        ("para 3 niñas: 3 huevos", 1, "para 1 niña: 1 huevos"),
    ],
)
def test_a_recipe_grows_with_the_children(text: str, children: int, says: str) -> None:
    assert scaled(Resource(name="recipe", text=text), children).text == says


@given(children=st.integers(1, 40), base=st.integers(1, 9))
def test_two_to_one_stays_two_to_one(children: int, base: int) -> None:
    """Starch to water 2:1, as many pages agree (common practice, no source)."""
    text = scaled(Resource(name="r", text=f"{2 * base} cups starch, {base} cups water"), children).text
    starch, water = (int(part.split()[0]) for part in text.split(", "))
    assert (starch, water) == (2 * base * children, base * children)


def test_the_command_carries_a_table_out_and_in(lapful: Lapful, orchard: Path, tmp_path: Path) -> None:
    sheet, out = tmp_path / "t.xlsx", tmp_path / "new.json"
    assert lapful("catalogue", "export", orchard, "--out", sheet).code == 0
    said = lapful("catalogue", "import", orchard, sheet, "--out", out)
    assert "0 added, 0 changed, 3 as before" in said.out
    assert Document.model_validate_json(out.read_text()) == document()
    assert lapful("catalogue", "export", orchard, "--out", tmp_path / "t.doc").code == 2
    broken = tmp_path / "b.csv"
    broken.write_bytes(b"id,title,kind,versions,sittings\r\nx,X,nap,,\r\n")
    said = lapful("catalogue", "import", orchard, broken, "--out", out)
    assert said.code == 2
    assert "row 2, column kind: " in said.err
    assert "row 2, column versions: this field is missing; add it" in said.err


def test_an_activity_of_ones_own_can_be_typed_in_a_few_cells() -> None:
    body = (
        "id,title,kind,versions,sittings\r\n"
        "sock-match,Match the socks,game,all | 30 to 80 months,play | for all 10 min help 1 | at sofa\r\n"
    )
    (made,) = read(body.encode(), "csv")
    assert made == Activity.model_validate(
        {
            "id": "sock-match",
            "title": "Match the socks",
            "kind": "game",
            "versions": [{"id": "all", "age_from_months": 30, "age_to_months": 80}],
            "sittings": [{"name": "play", "parts": {"all": {"minutes": 10, "help": 1}}, "places": ["sofa"]}],
        }
    )
