"""Ready before it is asked: while nothing else is going on, the likely mishaps are mended ahead.

One at a time, in a process that steps back behind everything; whatever was made for an older plan goes.
"""

from __future__ import annotations

import datetime
import threading
from collections.abc import Callable

from service.errors import LapfulError, NotFound
from service.jobs import Jobs
from service.log import note
from service.mends.likely import Likely, likely, next_waking_day
from service.mends.mender import Mender
from service.mends.questions import WhatHangs, WhatNow
from service.store import Store
from service.store.hanging import hangs_of, keep_hangs
from service.store.offers import Offers, RestsOn
from solver.domain.plan import Plan
from solver.domain.week import Problem

LOOK_EVERY_S = 2.0
SEARCH_S = 8.0


class Ahead:
    """Mends ahead, in a thread of its own."""

    def __init__(
        self,
        store: Store,
        jobs: Jobs,
        *,
        every_s: float = LOOK_EVERY_S,
        clock: Callable[[], datetime.datetime] = lambda: datetime.datetime.now(datetime.UTC),
    ) -> None:
        self._store, self._jobs, self._offers = store, jobs, Offers(store)
        self._mender = Mender(polite=True)
        self._every_s, self._clock = every_s, clock
        self._given_up: set[tuple[int, str]] = set()
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._go, daemon=True, name="mend-ahead")
        self._thread.start()

    def close(self) -> None:
        """Stop at once."""
        self._over.set()
        self._mender.close()
        self._thread.join()

    def _go(self) -> None:
        while not self._over.wait(self._every_s):
            try:
                if not self._one():
                    self._mender.rest()
            except LapfulError as error:
                note("mending ahead was put off", why=error.name)

    def _one(self) -> bool:
        """Mend one likely mishap ahead; whether there was one to mend."""
        if not self._jobs.idle or not self._store.has_household():
            return False
        current = self._store.current()
        for week in current.document.weeks:
            problem = current.document.problem(week.id)
            stored = self._store.latest_plan(week.id)
            day = next_waking_day(problem, self._clock())
            if stored is None or not stored.is_current or day is None:
                continue
            rests_on = RestsOn(week.id, stored.id, current.made_from(week.id))
            if hangs_of(self._store, stored) is None and (stored.id, "") not in self._given_up:
                self._ask_what_hangs(problem, stored.plan, rests_on)
                return True
            wanted = list(likely(problem, stored.plan, day))
            self._offers.forget_ready(week.id, [one.title for one in wanted])
            made = self._offers.made_ready(week.id)
            for one in wanted:
                if one.title not in made and (stored.id, one.title) not in self._given_up:
                    self._mend(problem, stored.plan, one, rests_on)
                    return True
            return False
        return False

    def _ask_what_hangs(self, problem: Problem, plan: Plan, rests_on: RestsOn) -> None:
        try:
            keep_hangs(self._store, rests_on, self._mender.hanging(WhatHangs(problem=problem, plan=plan)))
        except LapfulError as error:
            self._given_up.add((rests_on.plan_id, ""))
            note("what hangs on one day could not be found", week=problem.week.id, why=error.name)

    def _mend(self, problem: Problem, plan: Plan, one: Likely, rests_on: RestsOn) -> None:
        asked = WhatNow(problem=problem, plan=plan, mishaps=one.mishaps, at=one.at, seconds=SEARCH_S)
        try:
            mending = self._mender.mend(asked)
            self._offers.keep(rests_on, mending, title=one.title)
        except NotFound:
            # The week was taken out, or planned anew, in the meantime: nothing to keep.
            note("a mend made ahead came too late", week=problem.week.id)
        except LapfulError as error:
            self._given_up.add((rests_on.plan_id, one.title))
            note("a mend could not be made ahead", week=problem.week.id, why=error.name)
