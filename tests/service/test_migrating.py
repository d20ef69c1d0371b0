"""Every earlier version of the store, with data in it, comes up to this one with all of it."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from service.store import Store, copies
from service.store.copies import FILE_NAME
from service.store.database import head_revision, make_engine, migrate, scripts
from service.store.kept import _parts
from solver.domain.plan import Plan
from tests.service.house import WEEK, document

Rows = list[tuple[Any, ...]]
_MOMENT = "2027-02-01T08:00:00+00:00"
_JOB = (
    '{"id": "j", "week": "2027-W05", "state": "done", "settings": {}, "created_at": "2027-02-01T08:00:00Z"}'
)
SEEDS: dict[str, dict[str, Rows]] = {
    "0001": {
        "documents": [(name, 3, number, body) for number, (name, body) in enumerate(_parts(document()))],
        "plans": [(5, WEEK, _MOMENT, "1.1.1", Plan(week=WEEK, seed=8).model_dump_json())],
        "jobs": [("j", 1, WEEK, "done", _JOB)],
    },
    "safe_0001": {
        "changes": [(4, _MOMENT, "the household was changed", 0, 9, "{}", "[]")],
        "pairings": [("hash", 1_800_000_000)],
        "devices": [("d1", "Kitchen", "token", _MOMENT, "2027-02-01")],
    },
    "mend_0002": {"plan_hangs": [(5, WEEK, "1.1.1", "[]")]},
    "file_0001": {"files": [("0" * 64, 5, b"%PDF-")]},
}
"""Rows as the code of that version wrote them, for the tables that it brought."""
REVISIONS = [script.revision for script in scripts().walk_revisions()][::-1]


def test_there_is_one_head() -> None:
    assert len(scripts().get_heads()) == 1


@pytest.mark.parametrize("revision", REVISIONS)
def test_an_earlier_version_with_data_comes_up(tmp_path: Path, revision: str) -> None:
    folder = tmp_path / "old"
    folder.mkdir()
    _make(folder / FILE_NAME, revision)
    before = _everything(folder / FILE_NAME)
    with closing(Store(folder)) as store:
        assert store.current().document == document()
        assert store.current().versions["household"] == 3
        plan = store.latest_plan(WEEK)
        assert plan is not None
        assert (plan.id, plan.plan.seed) == (5, 8)
        assert store.job("j") is not None
    after = _everything(folder / FILE_NAME)
    for table, rows in before.items():
        assert _known(rows, after[table]), f"{table} lost something on the way"
    saved = [one.name for one in copies.copies(folder)]
    assert len(saved) == (revision != head_revision()), "what was there before an update is kept"
    assert all(name.startswith(f"before-update-{revision}") for name in saved)


def _make(file: Path, revision: str) -> None:
    """A file as that version left it: brought up step by step, each step's tables filled."""
    engine = make_engine(file)
    for step in REVISIONS[: REVISIONS.index(revision) + 1]:
        migrate(engine, step)
        with closing(sqlite3.connect(file)) as connection:
            for table, rows in SEEDS.get(step, {}).items():
                marks = ", ".join("?" * len(rows[0]))
                connection.executemany(f"INSERT INTO {table} VALUES ({marks})", rows)
            connection.commit()
    engine.dispose()


def _everything(file: Path) -> dict[str, list[dict[str, Any]]]:
    with closing(sqlite3.connect(file)) as connection:
        connection.row_factory = sqlite3.Row
        names = [
            row[0]
            for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
            if row[0] != "alembic_version"
        ]
        return {name: [dict(row) for row in connection.execute(f"SELECT * FROM {name}")] for name in names}


def _known(before: list[dict[str, Any]], after: list[dict[str, Any]]) -> bool:
    return all(any(old.items() <= new.items() for new in after) for old in before)
