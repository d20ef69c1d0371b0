"""``lapful record``: hours, areas and files, from a folder."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest
from openpyxl import load_workbook

from service.record.friday import keep_pass, pass_over
from service.record.views import RULE, Friday, Outcome, RecordRule
from service.store import Store
from service.store.entries import Entries, entry
from solver.domain.document import Document
from tests.service.house import WEEK
from tests.service.saying import Lapful
from tests.service.test_record import house, plan


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The orchard after a Friday on which everything was done."""
    made = house()
    made["activities"][0]["title"] = "=HYPERLINK(story)"
    rule = RecordRule(child="burr", kind="days", since="2027-01-01", until="2027-12-31", target=180)
    with closing(Store(tmp_path / "data")) as store:
        store.put_document(Document.model_validate(made))
        store.add_plan(plan(), store.current().made_from(WEEK))
        problem = store.current().document.problem(WEEK)
        keep_pass(store, pass_over(store, problem, plan()), Friday(rest=Outcome.DONE))
        Entries(store).put(entry(RULE, "burr", rule))
    return tmp_path / "data"


def test_hours_and_areas_are_said(folder: Path, lapful: Lapful) -> None:
    said = lapful("record", "hours", "--data", folder)
    assert said.code == 0, said.err
    # two stories of ten minutes and a walk of thirty, on three days
    assert "Burr: 3 days, 0.83 hours" in said.out
    assert "own rule: 3 of 180 days" in said.out
    assert "check your local law" in said.out
    later = lapful("record", "hours", "--data", folder, "--since", "2027-02-03")
    assert "Burr: 1 days, 0.50 hours" in later.out
    areas = lapful("record", "areas", "--data", folder).out
    assert "Burr: Literacy: 10 min in 2 times" in areas, "half of the stories; the other half is bird song"
    assert "Bird song (our own tag, not in the framework): 10 min" in areas


def test_tables_and_a_portfolio_are_written(folder: Path, tmp_path: Path, lapful: Lapful) -> None:
    for name in ("log.csv", "log.xlsx", "burr.html"):
        said = lapful("record", "export", "--data", folder, "--out", tmp_path / name, "--child", "burr")
        assert said.code == 0, said.err
    assert ",'=HYPERLINK(story)," in (tmp_path / "log.csv").read_text("utf-8-sig"), "it runs nowhere"
    cells = [cell for row in load_workbook(tmp_path / "log.xlsx")["log"].iter_rows() for cell in row]
    assert not [cell for cell in cells if cell.data_type == "f"]
    page = (tmp_path / "burr.html").read_text()
    assert "<h1>Burr</h1>" in page
    assert "2027-02-01 to 2027-02-03" in page


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["export", "--out", "log.pdf"], "ends in one of .csv, .xlsx, .html"),
        (["export", "--out", "moss.html"], "--child: a portfolio is one child's; give one of burr, moss"),
        (["hours", "--since", "2027-03-01", "--until", "2027-02-01"], "swap --since and --until"),
    ],
)
def test_what_cannot_be_is_said(folder: Path, lapful: Lapful, words: list[str], says: str) -> None:
    said = lapful("record", *words, "--data", folder)
    assert said.code == 2
    assert says in said.err


def test_a_folder_without_anything_is_said_so(tmp_path: Path, lapful: Lapful) -> None:
    said = lapful("record", "hours", "--data", tmp_path / "none")
    assert (said.code, "there is nothing kept" in said.err) == (2, True)
    assert not (tmp_path / "none").exists(), "looking makes nothing"
