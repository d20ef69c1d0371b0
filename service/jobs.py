"""Solves as jobs: one spawned process each, the newest of a week wins, every end is written down."""

from __future__ import annotations

import asyncio
import signal
import threading
import time
import uuid
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from multiprocessing import connection, get_context
from multiprocessing.context import SpawnProcess
from typing import Any

from service.errors import Busy, LapfulError, NotFound
from service.limits import allowed_mib
from service.log import note
from service.store import Store, now, week_of
from service.views import Job, JobState, SolveSettings
from service.worker import ENOUGH, SOLVE, Message, run
from solver.domain.plan import Plan, Progress
from solver.domain.week import Problem

STOPPED = "the server was stopped"
REPLACED = "a newer search for this week took its place"
CANCELLED = "it was cancelled by hand"
NEW_WEEK = "a new week was made"
"""What is taken back when somebody liked the week before better."""
GRACE_S = 60.0
"""How long a search may overrun before it counts as hung."""
STOP_WITHIN_S = 1.0


@dataclass(frozen=True)
class End:
    """How a job ended."""

    state: JobState
    reason: str = ""
    plan_id: int | None = None
    by_fault: bool = False
    """The engine's own fault of memory ended the process: another course of the search may not meet it."""


@dataclass(eq=False)
class Task:
    """A job that is not over yet, with the thread that watches its process."""

    job: Job
    problem: Problem
    made_from: str
    stop: End | None = None
    process: SpawnProcess | None = None
    pipe: connection.Connection | None = None
    """To the process while it is at work."""
    thread: threading.Thread | None = None
    over: threading.Event = field(default_factory=threading.Event)
    listeners: set[Callable[[], object]] = field(default_factory=set)


class Jobs:
    """Starts, watches and ends solves. ``solve`` names the function that the worker runs."""

    def __init__(
        self,
        store: Store,
        *,
        solve: str = SOLVE,
        at_once: int = 1,
        grace_s: float = GRACE_S,
        limit_mib: int | None = None,
    ) -> None:
        self._store = store
        self._solve_name = solve
        self._at_once = at_once
        self._grace_s = grace_s
        self._limit_mib = limit_mib or allowed_mib()
        self._tasks: dict[str, Task] = {}
        self._busy = 0
        self._closed = False
        self._turn = threading.Condition()
        store.end_open_jobs(STOPPED)

    def start(self, week_id: str, settings: SolveSettings) -> Job:
        """Begin a solve of this week; one that is under way for it is cancelled.

        Raises
        ------
        NotFound
            When there is no such week.
        Busy
            When the server is stopping.
        """
        current = self._store.current()
        problem = current.document.problem(week_of(current.document, week_id).id)
        job = Job(
            id=uuid.uuid4().hex,
            week=week_id,
            state=JobState.WAITING,
            settings=settings,
            created_at=now(),
        )
        for older in self._begun(Task(job, problem, current.made_from(week_id))):
            self._end(older, End(JobState.CANCELLED, REPLACED))
        return job

    def _begun(self, task: Task) -> list[Task]:
        """Let the task run; those of its week that were under way."""
        job = task.job
        with self._turn:
            if self._closed:
                raise Busy("the server is stopping; nothing is searched for any more")
            older = [one for one in self._tasks.values() if one.job.week == job.week]
            self._store.add_job(job)
            self._tasks[job.id] = task
            name = f"job-{job.id}"
            task.thread = threading.Thread(target=self._watch, args=(task,), daemon=True, name=name)
            task.thread.start()
        return older

    def get(self, job_id: str) -> Job:
        """A job as it stands.

        Raises
        ------
        NotFound
            When there is no such job.
        """
        task = self._tasks.get(job_id)
        job = task.job if task else self._store.job(job_id)
        if job is None:
            raise NotFound(f"there is no job {job_id[:40]!r}; start one at /api/weeks/WEEK/solve")
        return job

    def as_it_stands(self, job: Job) -> Job:
        """The same job now, as far as that is known without looking it up."""
        task = self._tasks.get(job.id)
        return task.job if task else job

    @property
    def idle(self) -> bool:
        """Whether nothing is searched for."""
        return not self._tasks

    def latest(self, week_id: str) -> Job | None:
        """The newest job of a week as it stands."""
        job = self._store.latest_job(week_id)
        return self.get(job.id) if job else None

    def cancel(self, job_id: str) -> Job:
        """End a job within a second; one that is over stays as it is."""
        task = self._tasks.get(job_id)
        if task:
            self._end(task, End(JobState.CANCELLED, CANCELLED))
            task.over.wait(STOP_WITHIN_S)
        return self.get(job_id)

    def enough(self, job_id: str) -> Job:
        """Let a search end soon with the best it has; one that waits its turn or is over stays as it is."""
        task = self._tasks.get(job_id)
        with self._turn:
            if task and task.pipe:
                # A process that has just ended hears nothing more; its end is on the way.
                with suppress(OSError):
                    task.pipe.send(ENOUGH)
        return self.get(job_id)

    def wait(self, job_id: str, seconds: float) -> Job:
        """The job once it is over, or as it stands when that takes too long."""
        task = self._tasks.get(job_id)
        if task:
            task.over.wait(seconds)
        return self.get(job_id)

    def close(self) -> None:
        """End all jobs, because the server stops; no thread of theirs outlives this."""
        with self._turn:
            self._closed = True
            tasks = list(self._tasks.values())
        for task in tasks:
            self._end(task, End(JobState.FAILED, STOPPED))
        for task in tasks:
            # Its process was killed, so nothing keeps it; it still writes, and the store closes next.
            if task.thread is not None:
                task.thread.join()

    async def follow(self, job_id: str) -> AsyncIterator[Job]:
        """The job now, then at every change, until it is over."""
        task = self._tasks.get(job_id)
        if task is None:
            yield self.get(job_id)
            return
        changed = asyncio.Event()
        loop = asyncio.get_running_loop()
        with self._listening(task, lambda: loop.call_soon_threadsafe(changed.set)):
            while True:
                changed.clear()
                job = task.job
                yield job
                if job.state.final:
                    return
                await changed.wait()

    @contextmanager
    def _listening(self, task: Task, tell: Callable[[], object]) -> Iterator[None]:
        with self._turn:
            task.listeners.add(tell)
        try:
            yield
        finally:
            with self._turn:
                task.listeners.discard(tell)

    def _end(self, task: Task, end: End) -> None:
        with self._turn:
            if task.stop is None:
                task.stop = end
            if task.process is not None and not task.over.is_set():
                task.process.kill()
            self._turn.notify_all()

    def _watch(self, task: Task) -> None:
        end = End(JobState.FAILED, "the server lost sight of it")
        try:
            end = self._ended(task)
        except LapfulError as error:
            end = End(JobState.FAILED, error.detail)
        except OSError as error:
            # The system may refuse a process or a pipe.
            end = End(JobState.FAILED, f"the search could not be started ({error.strerror}); try again later")
        finally:
            self._finish(task, end)

    def _ended(self, task: Task) -> End:
        with self._my_turn(task):
            if task.stop:
                return task.stop
            end = self._solve(task, task.job.settings)
            if end.by_fault and not task.stop:
                note("a search begins again", job=task.job.id, why=end.reason)
                end = self._solve(
                    task, task.job.settings.model_copy(update={"seed": task.job.settings.seed + 1})
                )
            # Whoever ended it says why; what the dying process said then does not count.
            return task.stop or end

    @contextmanager
    def _my_turn(self, task: Task) -> Iterator[None]:
        with self._turn:
            self._turn.wait_for(lambda: task.stop is not None or self._busy < self._at_once)
            self._busy += 1
        try:
            yield
        finally:
            with self._turn:
                self._busy -= 1
                self._turn.notify_all()

    def _solve(self, task: Task, settings: SolveSettings) -> End:
        ours, theirs = get_context("spawn").Pipe()
        with ours:
            with theirs:
                process = self._spawn(task, settings, theirs)
            with self._turn:
                task.pipe = ours
            try:
                return self._listen(task, ours, process)
            finally:
                with self._turn:
                    task.pipe = None
                self._reap(task, process)

    def _spawn(self, task: Task, settings: SolveSettings, pipe: connection.Connection) -> SpawnProcess:
        job = task.job
        given: tuple[Any, ...] = (
            pipe,
            task.problem.model_dump_json(),
            settings.model_dump_json(),
            self._solve_name,
            self._limit_mib,
        )
        process = get_context("spawn").Process(target=run, args=given, daemon=True, name=f"solve-{job.id}")
        process.start()
        with self._turn:
            task.process = process
            if task.stop:
                process.kill()
        return process

    def _reap(self, task: Task, process: SpawnProcess) -> None:
        process.join(STOP_WITHIN_S)
        with self._turn:
            task.process = None
            process.kill()
        process.join()

    def _listen(self, task: Task, receiver: connection.Connection, process: SpawnProcess) -> End:
        allowed = task.job.settings.seconds + self._grace_s
        deadline = time.monotonic() + allowed
        while receiver.poll(max(0.0, deadline - time.monotonic())):
            try:
                message: Message = receiver.recv()
            except (EOFError, OSError):
                return self._crashed(process)
            end = self._heard(task, message)
            if end:
                return end
        return End(JobState.FAILED, f"it gave no answer within {allowed:.0f} seconds and was stopped")

    def _crashed(self, process: SpawnProcess) -> End:
        process.join(STOP_WITHIN_S)
        code = process.exitcode
        how = f"signal {-code}" if code is not None and code < 0 else f"exit code {code}"
        # C++ gives up with an abort when memory is refused; the system ends with a kill when it has none.
        short = code in (-signal.SIGABRT, -signal.SIGKILL, -signal.SIGSEGV)
        perhaps = (
            f"; perhaps the {self._limit_mib} MiB of memory that it may use were too few" if short else ""
        )
        told = f"the solver's process ended without an answer ({how}){perhaps}"
        return End(JobState.FAILED, told, by_fault=code in (-signal.SIGSEGV, -signal.SIGBUS))

    def _heard(self, task: Task, message: Message) -> End | None:
        if message.kind == "started":
            self._change(task, state=JobState.RUNNING)
            self._store.save_job(task.job)
        elif message.kind == "progress":
            self._change(task, progress=Progress.model_validate_json(message.body))
        elif message.kind == "failed":
            return End(JobState.FAILED, message.body[:1000])
        else:
            return self._keep(task, Plan.model_validate_json(message.body))
        return None

    def _keep(self, task: Task, plan: Plan) -> End:
        kept = plan.model_copy(update={"soft": task.job.settings.soft})
        # A soft plan comes with its week, and goes with it when that is taken back.
        what = None if kept.soft else NEW_WEEK
        return End(JobState.DONE, plan_id=self._store.add_plan(kept, task.made_from, what))

    def _change(self, task: Task, **changes: Any) -> None:
        task.job = task.job.model_copy(update=changes)
        with self._turn:
            listeners = list(task.listeners)
        for tell in listeners:
            tell()

    def _finish(self, task: Task, end: End) -> None:
        ended = {"state": end.state, "reason": end.reason, "plan_id": end.plan_id, "ended_at": now()}
        final = task.job.model_copy(update=ended)
        try:
            self._store.save_job(final)
        finally:
            self._change(task, **ended)
            note("a search ended", job=task.job.id, state=end.state.value)
            with self._turn:
                del self._tasks[task.job.id]
            task.over.set()
