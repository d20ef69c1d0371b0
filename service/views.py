"""What the API sends and takes beyond the domain's own models."""

from __future__ import annotations

import datetime
from enum import StrEnum
from typing import Annotated

from pydantic import Field

from service.mends.suggest import Suggestion
from solver.domain.activity import Activity
from solver.domain.base import BookingId, Clock, Count, Frozen, Id, Name, Text
from solver.domain.plan import Hang, Plan, Progress
from solver.domain.week import FixedPoint, Household, LossProof, Week, WeekId
from solver.naps import NapLean


class JobState(StrEnum):
    """Where a job stands."""

    WAITING = "waiting"
    RUNNING = "running"
    DONE = "done"
    CANCELLED = "cancelled"
    FAILED = "failed"

    @property
    def final(self) -> bool:
        """Whether nothing can change any more."""
        return self in (JobState.DONE, JobState.CANCELLED, JobState.FAILED)


class SolveSettings(Frozen):
    """How to search."""

    seconds: Annotated[float, Field(gt=0, le=600)] = 15.0
    seed: Annotated[int, Field(ge=0, le=2**31 - 1)] = 1
    workers: Annotated[int, Field(ge=1, le=16)] = 2
    soft: bool = False
    """For a week further ahead, which will be planned again."""
    loss_proof: LossProof | None = None
    """For this search alone; None: as the week says."""


class Job(Frozen):
    """One search for a plan of one week."""

    id: Id
    week: WeekId
    state: JobState
    reason: Text = ""
    """Why it failed or was cancelled."""
    settings: SolveSettings
    progress: Progress | None = None
    plan_id: int | None = None
    """The stored plan, once the job is done."""
    created_at: datetime.datetime
    ended_at: datetime.datetime | None = None


class StoredPlan(Frozen):
    """A plan that passed the checker, and what it was made from."""

    id: int
    made_at: datetime.datetime
    is_current: bool
    """False when household, activities or week were changed after it was made."""
    plan: Plan


class WeekSummary(Frozen):
    """One line of the list of weeks."""

    id: WeekId
    monday: datetime.date
    theme: Name | None
    wishes: Count
    has_plan: bool


class AdultTime(Frozen):
    """From the adult's first move to the last: laying out, the way there and back, clearing."""

    start: Clock
    end: Clock


class WeekView(Frozen):
    """All that the page needs to show one week, in one answer."""

    week: Week
    monday: datetime.date
    weeks: tuple[WeekId, ...]
    """Every week in the store, in order."""
    household: Household
    activities: tuple[Activity, ...]
    """Those that this week wishes for or keeps as spares."""
    fixed_points: tuple[FixedPoint, ...]
    """The household's and this week's together, by start."""
    stored: StoredPlan | None
    """The latest plan."""
    adult_times: dict[BookingId, AdultTime]
    """For each booking of the plan."""
    hangs: tuple[Hang, ...] | None
    """Promises that would break if one day were lost; None while that is not known."""
    naps: tuple[NapLean, ...]
    """Bookings that are planned while somebody sleeps, and what to do if nobody does."""
    suggestions: tuple[Suggestion, ...]
    """What may do good after the last days; nothing happens until somebody takes it up."""
    job: Job | None
    """The latest job of this week."""


class Health(Frozen):
    """Whether the server is well."""

    ok: bool
    version: Text
    page_built: bool
    has_household: bool


class Change(Frozen):
    """Something that the family changed, which can be taken back."""

    id: int
    made_at: datetime.datetime
    what: Text
    """In words: what was changed."""
    whole: bool
    """Whether another household took the place of all that was here."""
    undone: bool
    """Whether it was taken back and could be brought back."""


class Device(Frozen):
    """A device of the home network that is let in."""

    id: Id
    name: Name
    paired_at: datetime.datetime
    seen_on: datetime.date
    """The last day on which it was here."""
