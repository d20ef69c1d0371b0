"""The store: migrations, all or nothing, one server at a time."""

from __future__ import annotations

import sqlite3
import stat
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import inspect

from service.errors import BadInput, FolderError, FolderInUse, NotFound, Stale
from service.store import FolderLock, Store, default_folder
from service.store.database import FILE_NAME, make_engine, migrate
from service.store.kept import JOBS_KEPT, PLANS_KEPT
from service.store.tables import metadata
from service.views import Job, JobState, SolveSettings
from solver.domain.plan import Plan
from solver.domain.week import Household
from tests.service.house import NEXT_WEEK, WEEK, document

BREAKS_HALFWAY = """
import sqlalchemy as sa
from alembic import op
revision = "0002"
down_revision = "0001"
def upgrade():
    op.create_table("seedlings", sa.Column("id", sa.Integer, primary_key=True))
    op.execute("INSERT INTO seedlings VALUES (1)")
    op.execute("INSERT INTO no_such_table VALUES (1)")
"""


@pytest.fixture
def store(tmp_path: Path) -> Store:
    store = Store(tmp_path / "data")
    store.put_document(document())
    return store


def test_migrations_make_the_tables_that_the_code_uses(tmp_path: Path) -> None:
    engine = make_engine(tmp_path / "new.db")
    migrate(engine)
    with engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []
    engine.dispose()


def test_migrating_again_changes_nothing(store: Store) -> None:
    before = store.current()
    again = Store(store.folder)
    assert again.current() == before


def test_a_migration_that_breaks_leaves_nothing_behind(tmp_path: Path) -> None:
    import service.migrations

    versions = tmp_path / "migrations" / "versions"
    versions.mkdir(parents=True)
    (versions.parent / "env.py").write_text(Path(service.migrations.__path__[0], "env.py").read_text())
    first = Path(service.migrations.__path__[0], "versions", "m0001_first.py")
    (versions / first.name).write_text(first.read_text())
    (versions / "m0002_breaks.py").write_text(BREAKS_HALFWAY)
    engine = make_engine(tmp_path / "new.db")
    with pytest.raises(Exception, match="no_such_table"):
        migrate(engine, migrations=versions.parent)
    assert "seedlings" not in inspect(engine).get_table_names()
    with engine.connect() as connection:
        assert MigrationContext.configure(connection).get_current_revision() == "0001"
    engine.dispose()


def test_the_file_is_written_ahead_with_foreign_keys(store: Store) -> None:
    with store._engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
        assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1


def test_a_write_that_fails_halfway_changes_nothing(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    before = store.current().versions
    with store._engine.connect() as connection:
        connection.exec_driver_sql(
            "CREATE TRIGGER no_more BEFORE UPDATE ON documents WHEN NEW.name = 'activities' "
            "BEGIN SELECT RAISE(ABORT, 'the ink ran out'); END"
        )
        connection.commit()
    with pytest.raises(Exception, match="the ink ran out"):
        store.put_document(document())
    assert store.current().versions == before


def test_an_expected_version(store: Store) -> None:
    household = store.current().document.household
    version = store.current().versions["household"]
    assert store.put_household(household, version) == version + 1
    with pytest.raises(Stale):
        store.put_household(household, version)


def test_relations_are_checked_on_every_write(store: Store) -> None:
    house = store.current().document.household
    parts = house.model_dump() | {"stretches": house.stretches, "places": house.places[:1]}
    with pytest.raises(BadInput) as caught:
        store.put_household(Household.model_validate(parts))
    assert "brook" in caught.value.faults[0].message


def test_plans_go_with_their_week(store: Store) -> None:
    store.add_plan(Plan(week=NEXT_WEEK), "1.1.1")
    whole = store.current().document
    store.put_document(whole.model_copy(update={"weeks": whole.weeks[:1]}))
    assert store.latest_plan(NEXT_WEEK) is None
    with pytest.raises(NotFound):
        store.add_plan(Plan(week=NEXT_WEEK), "1.1.1")


def test_plans_of_weeks_that_stay_are_kept(store: Store) -> None:
    store.add_plan(Plan(week=WEEK), "1.1.1")
    store.put_document(document())
    assert store.latest_plan(WEEK) is not None


def test_only_the_last_plans_and_jobs_are_kept(store: Store) -> None:
    for number in range(PLANS_KEPT + 5):
        store.add_plan(Plan(week=WEEK, seed=number), "1.1.1")
    latest = store.latest_plan(WEEK)
    assert latest is not None
    assert latest.plan.seed == PLANS_KEPT + 4
    for number in range(JOBS_KEPT + 5):
        store.add_job(_job(f"j{number}", JobState.RUNNING if number == 0 else JobState.DONE))
    assert store.job("j0") is not None, "a job that is not over is never forgotten"
    assert store.job("j1") is None
    assert store.job(f"j{JOBS_KEPT + 4}") is not None
    with sqlite3.connect(store.folder / FILE_NAME) as file:
        assert file.execute("SELECT count(*) FROM plans").fetchone() == (PLANS_KEPT,)
    file.close()


def test_a_job_that_is_over_stays_over(store: Store) -> None:
    store.add_job(_job("a", JobState.RUNNING))
    store.save_job(_job("a", JobState.CANCELLED))
    store.save_job(_job("a", JobState.DONE))
    found = store.job("a")
    assert found is not None
    assert found.state is JobState.CANCELLED


def _job(ident: str, state: JobState) -> Job:
    moment = "2027-02-01T08:00:00Z"
    return Job(id=ident, week=WEEK, state=state, settings=SolveSettings(), created_at=moment)


def test_a_damaged_file_is_named(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_bytes(b"these are not the pages of a database" * 100)
    with pytest.raises(FolderError, match=r"lapful\.db"):
        Store(tmp_path)


def test_a_file_from_a_newer_version_is_left_alone(store: Store) -> None:
    with sqlite3.connect(store.folder / FILE_NAME) as file:
        file.execute("UPDATE alembic_version SET version_num = '9999'")
    file.close()
    with pytest.raises(FolderError, match="newer version"):
        Store(store.folder)


def test_a_folder_that_is_a_file(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("")
    with pytest.raises(FolderError, match="taken"):
        Store(tmp_path / "taken")


def test_a_new_folder_is_for_its_owner_alone(store: Store) -> None:
    assert stat.S_IMODE(store.folder.stat().st_mode) == 0o700


def test_one_server_at_a_time(store: Store) -> None:
    lock = FolderLock(store.folder)
    with pytest.raises(FolderInUse):
        FolderLock(store.folder)
    lock.close()
    FolderLock(store.folder).close()


def test_the_default_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """XDG Base Directory Specification 0.8: relative paths are invalid and ignored."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert default_folder() == tmp_path / "lapful"
    monkeypatch.setenv("XDG_DATA_HOME", "relative")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert default_folder() == tmp_path / ".local" / "share" / "lapful"
