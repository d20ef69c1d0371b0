"""``lapful export`` and ``lapful import`` from the outside."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from service.store import Store
from solver.domain.plan import Plan
from tests.service.house import WEEK, document_json
from tests.service.papers import plan
from tests.service.saying import Lapful, write


@pytest.fixture
def planned(tmp_path: Path) -> Path:
    file = tmp_path / "plan.json"
    file.write_text(plan().model_dump_json())
    return file


@pytest.mark.parametrize(
    ("form", "begins"),
    [
        ("ics", b"BEGIN:VCALENDAR"),
        ("html", b"<!doctype"),
        ("csv", b"\xef\xbb\xbf"),
        ("xlsx", b"PK"),
        ("json", b"{"),
    ],
)
def test_every_form_is_written(
    lapful: Lapful, orchard: Path, planned: Path, tmp_path: Path, form: str, begins: bytes
) -> None:
    out = tmp_path / f"week.{form}"
    said = lapful("export", orchard, planned, "--format", form, "--out", out)
    assert said.code == 0, said.err
    assert out.read_bytes().startswith(begins)


def test_a_folder_gets_a_calendar_for_each(
    lapful: Lapful, orchard: Path, planned: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "feeds"
    folder.mkdir()
    lapful("export", orchard, planned, "--format", "ics", "--out", folder)
    assert sorted(file.name for file in folder.iterdir()) == ["bramble.ics", "burr.ics", "moss.ics"]


def test_what_cannot_be_exported_is_said(
    lapful: Lapful, orchard: Path, planned: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    said = lapful("export", orchard, planned, "--format", "ics", "--out", out, "--for", "fir")
    assert (said.code, said.err) == (2, "--for: nobody here is 'fir'; there are burr, moss, bramble\n")
    said = lapful("export", orchard, planned, "--format", "csv", "--out", tmp_path / "no" / "where")
    assert said.code == 2
    assert "give a file that can be written" in said.err
    other = write(tmp_path / "other.json", json.loads(Plan(week="2028-W01").model_dump_json()))
    said = lapful("export", orchard, other, "--format", "csv", "--out", out)
    assert (said.code, "PLAN.json: week: the plan is for 2028-W01" in said.err) == (2, True)


def test_a_whole_household_is_taken_into_a_folder(
    lapful: Lapful, orchard: Path, planned: Path, tmp_path: Path
) -> None:
    out, data = tmp_path / "whole.json", tmp_path / "data"
    lapful("export", orchard, planned, "--format", "json", "--out", out)
    said = lapful("import", out, "--data", data)
    assert (said.code, "2 weeks, 1 plans" in said.out) == (0, True)
    store = Store(data)
    stored = store.latest_plan(WEEK)
    assert stored is not None
    assert stored.plan == plan()
    store.close()
    again = lapful("import", orchard, "--data", data)
    assert again.code == 2
    assert "already holds 'Orchard hedgehogs'; give another --data, or add --replace" in again.err
    assert lapful("import", orchard, "--data", data, "--replace").code == 0


def test_a_broken_file_changes_nothing(lapful: Lapful, orchard: Path, tmp_path: Path) -> None:
    data = tmp_path / "data"
    lapful("import", orchard, "--data", data)
    wrong = document_json()
    wrong["household"]["children"][0]["birth_month"] = "2031-01"
    said = lapful("import", write(tmp_path / "wrong.json", wrong), "--data", data, "--replace")
    assert said.code == 2
    assert "2031-01 is after the week; correct the year or the month" in said.err
    store = Store(data)
    assert store.current().document.household.children[0].birth_month == "2021-09"
    store.close()
