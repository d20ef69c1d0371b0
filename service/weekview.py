"""The one document that shows a week."""

from __future__ import annotations

import datetime
import hashlib
import threading
from collections import OrderedDict
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple
from zoneinfo import ZoneInfo

from anyio import to_thread

from service.jobs import Jobs
from service.mends.suggest import suggestions
from service.paper.moments import zone_of
from service.store import Store, week_of
from service.store.answers import answers_of
from service.store.hanging import hangs_of
from service.views import AdultTime, Job, WeekView
from solver.clock import minutes_of, sitting_of, slot_at, span_of
from solver.domain.base import BookingId
from solver.domain.plan import Plan
from solver.domain.week import FixedPoint, Problem, Week, WeekId
from solver.naps import leaning_on_naps

VIEWS_KEPT = 8


def week_view(store: Store, week_id: str, job: Job | None = None) -> WeekView:
    """Week, household, activities, plan and job together.

    Raises
    ------
    NotFound
        When there is no such week.
    """
    document = store.current().document
    week = week_of(document, week_id)
    stored = store.latest_plan(week_id)
    problem = document.problem(week_id, stored.plan if stored else None)
    return WeekView(
        week=week,
        monday=week.monday,
        weeks=tuple(one.id for one in document.weeks),
        household=problem.household,
        activities=problem.activities,
        fixed_points=_fixed_points(problem),
        stored=stored,
        adult_times=dict(adult_times(problem, stored.plan)) if stored else {},
        hangs=hangs_of(store, stored) if stored else None,
        naps=leaning_on_naps(problem, stored.plan) if stored else (),
        suggestions=tuple(suggestions(document, problem, stored.plan if stored else None, answers_of(store))),
        job=job,
    )


class Sent(NamedTuple):
    """A view as it is sent, and what tells whether it changed."""

    body: bytes
    tag: str


class _Weeks(NamedTuple):
    """The weeks there are, and where the family's day begins; the store at that glance."""

    glance: int | None
    weeks: tuple[Week, ...]
    zone: ZoneInfo


def week_on(weeks: Sequence[Week], date: datetime.date) -> WeekId | None:
    """The week of this date, else the next one, else the last; None when there is none at all."""
    ordered = sorted(weeks, key=lambda week: week.monday)
    ahead = (week for week in ordered if date < week.monday + datetime.timedelta(weeks=1))
    found = next(ahead, ordered[-1] if ordered else None)
    return found.id if found else None


class _Made(NamedTuple):
    """A view that was sent, and what it held for: the store at that glance, and the job as it stood."""

    glance: int | None
    without_job: Sent
    job: Job | None
    sent: Sent


class Views:
    """Views as they were sent last, made anew only when something in them changed.

    Several tablets ask every few seconds, while a search wants the whole machine and reports where it
    stands many times a second: so the job is put behind a view that is kept without it.
    """

    def __init__(
        self, store: Store, jobs: Jobs, now: Callable[[ZoneInfo], datetime.datetime] = datetime.datetime.now
    ) -> None:
        self._store = store
        self._jobs = jobs
        self._now = now
        self._weeks: _Weeks | None = None
        self._kept: OrderedDict[str, tuple[object, Sent]] = OrderedDict()
        self._made: dict[str, _Made] = {}
        self._making = threading.Lock()

    async def opening(self, picked: str | None = None) -> Sent | None:
        """The view of the picked week while there is one, else of today's; None while there is no week."""
        glance = self._store.glance()
        known = self._weeks
        if known is None or glance is None or known.glance != glance:
            known = self._weeks = await to_thread.run_sync(self._weeks_at, glance)
        week = next((one.id for one in known.weeks if one.id == picked), None)
        week = week or week_on(known.weeks, self._now(known.zone).date())
        return await self.sent(week) if week else None

    def _weeks_at(self, glance: int | None) -> _Weeks:
        if not self._store.has_household():
            return _Weeks(glance, (), ZoneInfo("UTC"))
        document = self._store.current().document
        return _Weeks(glance, document.weeks, zone_of(document.household))

    async def sent(self, week_id: str) -> Sent:
        """The view of this week; at once, without leaving the event loop, when nothing was written since.

        Raises
        ------
        NotFound
            When there is no such week.
        """
        # Asked for before anything is looked up: what changes meanwhile makes the next one new.
        glance = self._store.glance()
        made = self._made.get(week_id)
        if made is None or glance is None or made.glance != glance:
            return await to_thread.run_sync(self._made_anew, week_id, glance)
        job = made.job and self._jobs.as_it_stands(made.job)
        if job is not made.job:
            made = self._made[week_id] = made._replace(job=job, sent=_told(made.without_job, job))
        return made.sent

    def _made_anew(self, week_id: str, glance: int | None) -> Sent:
        job = self._jobs.latest(week_id)
        kept = self._without_job(week_id)
        made = _Made(glance, kept, job, _told(kept, job))
        if len(self._made) >= VIEWS_KEPT:
            self._made.clear()
        self._made[week_id] = made
        return made.sent

    def _without_job(self, week_id: str) -> Sent:
        # One at a time: when all tablets ask at once for what just changed, it is made once.
        with self._making:
            # As above.
            rests_on = self._store.state_of(week_id)
            known = self._kept.get(week_id)
            if known and known[0] == rests_on:
                return known[1]
            sent = _cut(week_view(self._store, week_id))
            self._kept[week_id] = (rests_on, sent)
            while len(self._kept) > VIEWS_KEPT:
                self._kept.popitem(last=False)
            return sent


_NO_JOB = b"null"


def _told(kept: Sent, job: Job | None) -> Sent:
    """The view with the job behind it."""
    told = job.model_dump_json().encode() if job else _NO_JOB
    tag = hashlib.sha256(kept.tag.encode() + told).hexdigest()[:32]
    return Sent(kept.body + told + b"}", f'"{tag}"')


def _cut(view: WeekView) -> Sent:
    """All of a view but its last field, the job, and the bracket behind it."""
    body = view.model_dump_json().encode()
    assert body.endswith(b'"job":null}'), "the job must stay the last field of a view"
    return Sent(body.removesuffix(_NO_JOB + b"}"), hashlib.sha256(body).hexdigest())


def _fixed_points(problem: Problem) -> tuple[FixedPoint, ...]:
    both = problem.household.fixed_points + problem.week.fixed_points
    return tuple(sorted(both, key=lambda point: (point.start, point.end, point.id)))


def adult_times(problem: Problem, plan: Plan) -> Iterator[tuple[BookingId, AdultTime]]:
    """For each booking whose activity and place are still known: its adult span."""
    activities = {activity.id: activity for activity in problem.activities}
    places = {place.id: place for place in problem.household.places}
    for booking in plan.bookings:
        activity, place = activities.get(booking.activity), places.get(booking.place)
        if activity is None or place is None or booking.sitting >= len(activity.sittings):
            continue
        if booking.lighter and activity.lighter is None:
            continue
        sitting = sitting_of(activity, booking.sitting, booking.lighter)
        span = span_of(sitting, booking.minutes, place, problem.household.limits)
        start = slot_at(booking.start)
        yield (
            booking.id,
            AdultTime(
                start=max(0, minutes_of(start - span.before)),
                end=min(24 * 60, minutes_of(start + span.after)),
            ),
        )
