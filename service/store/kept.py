"""What is kept: documents with versions, plans, jobs."""

from __future__ import annotations

import datetime
import hashlib
import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple, TypeVar

from pydantic import BaseModel, TypeAdapter, ValidationError
from sqlalchemy import Connection, delete, func, insert, select, update

from service.errors import BadInput, FolderError, LapfulError, NotFound, Stale
from service.store.database import FILE_NAME, Glance, open_database
from service.store.faults import told_plainly
from service.store.history import PUT_IN, Watched, next_version, noted
from service.store.job_tables import entries
from service.store.mend_tables import plan_hangs
from service.store.moments import now as now
from service.store.tables import documents, jobs, plans
from service.views import Job, JobState, StoredPlan
from solver.domain.activity import Activity
from solver.domain.document import Document
from solver.domain.faults import faults_of
from solver.domain.plan import Plan
from solver.domain.week import Household, LossProof, Week, Wish

HOUSEHOLD = "household"
ACTIVITIES = "activities"
PLANS_KEPT = 20
JOBS_KEPT = 50
_AS_PLANNED = ("prepared", "taken")
_FINAL = tuple(state.value for state in JobState if state.final)
_Kind = TypeVar("_Kind", Week, Document)
_ACTIVITIES = TypeAdapter(tuple[Activity, ...])


class Versioned(NamedTuple):
    """A document as it stands, with the versions of its parts by name."""

    document: Document
    versions: dict[str, int]
    marks: dict[str, str]
    """What tells whether a part holds the same as before, whatever its version."""

    def made_from(self, week: str) -> str:
        """What a plan of this week rests on. Taking a change back makes the plan before it current again."""
        return ".".join(self.marks.get(name, "") for name in (HOUSEHOLD, ACTIVITIES, week))


class Store:
    """The household's data in one folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._file = folder / FILE_NAME
        self._engine = open_database(folder)
        self._glance = Glance(self._file)
        self._cached: Versioned | None = None
        try:
            self._look_inside()
        except LapfulError:
            self.close()
            raise

    def _look_inside(self) -> None:
        try:
            if self.has_household():
                self.current()
        except ValidationError as error:
            fault = faults_of(error)[0]
            why = f"this version cannot read what is kept there ({fault.path}: {fault.message})"
            raise FolderError(f"{self._file}: {why}; put back a backup with: lapful restore FILE") from error

    def close(self) -> None:
        """Let go of the file."""
        self._glance.close()
        self._engine.dispose()

    @contextmanager
    def _read(self) -> Iterator[Connection]:
        with told_plainly(self._file), self._engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def _write(self) -> Iterator[Connection]:
        with (
            told_plainly(self._file),
            self._engine.connect().execution_options(writes=True) as connection,
            connection.begin(),
        ):
            yield connection

    @contextmanager
    def _change(self, what: str, *more: Watched, beside: bool = False) -> Iterator[Connection]:
        """A write that the family can take back; ``beside`` promises that no document is touched."""
        watched = more if beside else (Watched(documents), *more)
        with self._write() as connection, noted(connection, what, *watched):
            yield connection

    def glance(self) -> int | None:
        """A number that is another one once anything was written, by whomever; None when it cannot be told.

        Never waits, so that it may be asked for where nothing must.
        """
        return self._glance.now()

    # Documents

    def has_household(self) -> bool:
        """Whether anything has been put in yet."""
        with self._read() as connection:
            return bool(_versions(connection))

    def current(self) -> Versioned:
        """Everything as it stands now.

        Raises
        ------
        NotFound
            When the store is empty.
        """
        with self._read() as connection:
            return self._current(connection)

    def _current(self, connection: Connection) -> Versioned:
        versions = _versions(connection)
        if not versions:
            raise NotFound("there is no household here yet; put one at /api/document")
        known = self._cached
        if known is None or known.versions != versions:
            known = self._cached = _load(connection)
        return known

    def put_document(self, document: Document, expected: int | None = None) -> int:
        """Replace household, activities and weeks; plans of weeks that stay are kept."""
        with self._change(PUT_IN, Watched(plans)) as connection:
            self._expect_file(connection, _versions(connection), expected)
            return write_document(connection, document)

    def put_household(self, household: Household, expected: int | None = None) -> int:
        """Replace the household; refused when activities or weeks no longer fit it."""
        with self._change("the household was changed") as connection:
            document, versions, _ = self._current(connection)
            _expect("the household", versions[HOUSEHOLD], expected, document.household)
            _refit(document, household=household)
            version = next_version(connection)
            _put(connection, HOUSEHOLD, household.model_dump_json(), version)
            return version

    def put_wishes(self, week_id: str, wishes: Sequence[Wish], expected: int | None = None) -> int:
        """Replace the wishes of a week; refused when they do not fit the rest."""
        return self._put_week(
            f"the wishes of {week_id} were changed", week_id, expected, wishes=tuple(wishes)
        )

    def put_loss_proof(self, week_id: str, asked: LossProof, expected: int | None = None) -> int:
        """Set how safe from a lost day the promises of a week are to be."""
        what = f"how {week_id} is to stand a lost day was changed"
        return self._put_week(what, week_id, expected, loss_proof=asked)

    def _put_week(self, what: str, week_id: str, expected: int | None, **parts: object) -> int:
        with self._change(what) as connection:
            document, versions, _ = self._current(connection)
            week = week_of(document, week_id)
            _expect(f"the week {week_id}", versions[week_id], expected, week)
            changed = _rebuilt(week, parts)
            weeks = tuple(changed if one.id == week_id else one for one in document.weeks)
            _refit(document, weeks=weeks)
            version = next_version(connection)
            _put(connection, week_id, changed.model_dump_json(), version)
            return version

    def _expect_file(self, connection: Connection, versions: dict[str, int], expected: int | None) -> None:
        newest = max(versions.values(), default=0)
        kept = self._current(connection).document if expected not in (None, newest) and versions else None
        _expect("the household file", newest, expected, kept)

    # Plans

    def add_plan(self, plan: Plan, made_from: str, what: str | None = None) -> int:
        """Keep a plan that passed the checker; with ``what``, as a change that can be taken back.

        Raises
        ------
        NotFound
            When its week was taken out meanwhile.
        """
        mine = Watched(plans, plans.c.week == plan.week)
        with self._change(what, mine) if what else self._write() as connection:
            return write_plan(connection, plan, made_from)

    def latest_plan(self, week_id: str) -> StoredPlan | None:
        """The newest plan of a week, or None."""
        with self._read() as connection:
            wanted = plans.c.week == week_id
            row = connection.execute(
                select(plans).where(wanted).order_by(plans.c.id.desc()).limit(1)
            ).one_or_none()
            if row is None:
                return None
            return StoredPlan(
                id=row.id,
                made_at=datetime.datetime.fromisoformat(row.made_at),
                is_current=row.made_from == self._current(connection).made_from(week_id),
                plan=Plan.model_validate_json(row.body),
            )

    def state_of(self, week_id: str) -> tuple[dict[str, int], int | None, object]:
        """What a view of this week rests on: the versions of all parts, its plan, what is told of it."""
        with self._read() as connection:
            newest = select(func.max(plans.c.id)).where(plans.c.week == week_id)
            hangs = select(plan_hangs.c.plan_id, plan_hangs.c.made_from).where(plan_hangs.c.week == week_id)
            told = [tuple(row) for row in connection.execute(hangs)]
            answers = select(entries.c.id, entries.c.day).where(entries.c.kind == "suggestion")
            told += [tuple(row) for row in connection.execute(answers)]
            return _versions(connection), connection.scalar(newest), told

    def weeks_with_plans(self) -> set[str]:
        """The ids of weeks that have been planned."""
        with self._read() as connection:
            return set(connection.scalars(select(plans.c.week).distinct()))

    # Jobs

    def add_job(self, job: Job) -> None:
        """Keep a new job, and forget the oldest that are over."""
        with self._write() as connection:
            number = connection.scalar(select(func.coalesce(func.max(jobs.c.number), 0) + 1)) or 1
            row = {"number": number, **_job_row(job)}
            connection.execute(insert(jobs).values(**row))
            old = jobs.c.number <= number - JOBS_KEPT
            connection.execute(delete(jobs).where(old, jobs.c.state.in_(_FINAL)))

    def save_job(self, job: Job) -> None:
        """Write a job's new state; one that is over stays as it ended."""
        with self._write() as connection:
            wanted = (jobs.c.id == job.id) & jobs.c.state.not_in(_FINAL)
            connection.execute(update(jobs).where(wanted).values(**_job_row(job)))

    def job(self, job_id: str) -> Job | None:
        """A job by its id, or None."""
        with self._read() as connection:
            body = connection.scalar(select(jobs.c.body).where(jobs.c.id == job_id))
        return Job.model_validate_json(body) if body else None

    def latest_job(self, week_id: str) -> Job | None:
        """The newest job of a week, or None."""
        newest = select(jobs.c.body).where(jobs.c.week == week_id).order_by(jobs.c.number.desc()).limit(1)
        with self._read() as connection:
            body = connection.scalar(newest)
        return Job.model_validate_json(body) if body else None

    def end_open_jobs(self, reason: str) -> int:
        """Mark jobs that a dead server left open as failed; how many there were."""
        with self._write() as connection:
            open_ones = connection.scalars(select(jobs.c.body).where(jobs.c.state.not_in(_FINAL))).all()
            for body in open_ones:
                ended = Job.model_validate_json(body).model_copy(
                    update={"state": JobState.FAILED, "reason": reason, "ended_at": now()}
                )
                connection.execute(update(jobs).where(jobs.c.id == ended.id).values(**_job_row(ended)))
            return len(open_ones)


def write_document(connection: Connection, document: Document) -> int:
    """Let this document take the place of the one that is kept; its version."""
    gone = set(_versions(connection)) - {HOUSEHOLD, ACTIVITIES} - {week.id for week in document.weeks}
    connection.execute(delete(documents).where(documents.c.name.in_(gone)))
    version = next_version(connection)
    for position, (name, body) in enumerate(_parts(document)):
        _put(connection, name, body, version, position)
    return version


def write_plan(connection: Connection, plan: Plan, made_from: str) -> int:
    """Keep a plan, and drop the oldest of its week; its id."""
    if plan.week not in _versions(connection):
        raise NotFound(f"the week {plan.week} was taken out while it was being planned")
    row = {
        "week": plan.week,
        "made_at": now().isoformat(),
        "made_from": made_from,
        "body": plan.model_dump_json(),
    }
    plan_id = connection.execute(insert(plans).values(**row)).lastrowid
    kept = select(plans.c.id).where(plans.c.week == plan.week).order_by(plans.c.id.desc())
    old = kept.offset(PLANS_KEPT).limit(-1)
    connection.execute(delete(plans).where(plans.c.id.in_(old)))
    return int(plan_id)


def week_of(document: Document, week_id: str) -> Week:
    """The week with this id.

    Raises
    ------
    NotFound
        When the document has no such week.
    """
    for week in document.weeks:
        if week.id == week_id:
            return week
    known = ", ".join(week.id for week in document.weeks)
    raise NotFound(f"there is no week {week_id[:40]!r}; there are {known}")


def _job_row(job: Job) -> dict[str, str]:
    return {"id": job.id, "week": job.week, "state": job.state.value, "body": job.model_dump_json()}


def _versions(connection: Connection) -> dict[str, int]:
    rows = connection.execute(select(documents.c.name, documents.c.version))
    return {row.name: row.version for row in rows}


def _expect(what: str, version: int, expected: int | None, kept: BaseModel | None) -> None:
    if expected is not None and expected != version:
        raise Stale(
            f"{what} is at version {version}, not {expected}; compare both, then change it",
            yours=expected,
            current=version,
            kept=kept.model_dump(mode="json") if kept else None,
        )


def _parts(document: Document) -> Iterator[tuple[str, str]]:
    yield HOUSEHOLD, document.household.model_dump_json()
    yield ACTIVITIES, _ACTIVITIES.dump_json(document.activities).decode()
    for week in document.weeks:
        yield week.id, week.model_dump_json()


def _put(connection: Connection, name: str, body: str, version: int, position: int | None = None) -> None:
    values: dict[str, object] = {"version": version, "body": body}
    if position is not None:
        values["position"] = position
    found = connection.execute(update(documents).where(documents.c.name == name).values(**values))
    if not found.rowcount:
        connection.execute(insert(documents).values(name=name, **values))


def _load(connection: Connection) -> Versioned:
    rows = connection.execute(select(documents).order_by(documents.c.position)).all()
    bodies = {row.name: row.body for row in rows}
    marks = {name: _mark(name, body) for name, body in bodies.items()}
    household = Household.model_validate_json(bodies.pop(HOUSEHOLD))
    activities = _ACTIVITIES.validate_json(bodies.pop(ACTIVITIES))
    weeks = tuple(Week.model_validate_json(body) for body in bodies.values())
    document = Document(household=household, activities=activities, weeks=weeks)
    return Versioned(document, {row.name: row.version for row in rows}, marks)


def _mark(name: str, body: str) -> str:
    if name not in (HOUSEHOLD, ACTIVITIES):
        # What was made ready, or used up as planned, makes no plan an old one.
        body = json.dumps({key: value for key, value in json.loads(body).items() if key not in _AS_PLANNED})
    return hashlib.sha256(body.encode()).hexdigest()[:16]


def reread(connection: Connection) -> Versioned | None:
    """Read everything inside a transaction that may still fail, so nothing of it is remembered.

    Raises
    ------
    ValidationError
        When the parts do not fit each other.
    """
    return _load(connection) if _versions(connection) else None


def _rebuilt(week: Week, changed: dict[str, object]) -> Week:
    """The week with other parts, checked again (a copy would not be)."""
    parts = {name: getattr(week, name) for name in Week.model_fields}
    return _checked(Week, parts | changed)


def _refit(document: Document, **changed: object) -> Document:
    parts = {name: getattr(document, name) for name in Document.model_fields}
    return _checked(Document, parts | changed)


def _checked(kind: type[_Kind], parts: dict[str, object]) -> _Kind:
    try:
        return kind.model_validate(parts)
    except ValidationError as error:
        raise BadInput("it does not fit the rest of the household's data", faults_of(error)) from error
