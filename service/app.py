"""The application, put together explicitly: store, jobs, routes, page, door."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import AbstractAsyncContextManager, asynccontextmanager, closing, contextmanager
from pathlib import Path
from typing import Any

from fastapi import FastAPI
from fastapi.telemetry import TelemetryConfig
from starlette.types import ASGIApp

from service.care.copying import copy_daily
from service.care.routes import router as care_router
from service.contract import DEFAULT_RESPONSES, codes_in, contract
from service.doors.keeper import Doorkeeper
from service.doors.network import is_loopback
from service.doors.routes import router as doors_router
from service.doors.tries import Tries
from service.guard import Guard, Scales
from service.job_routes import ROUTERS
from service.jobs import Jobs
from service.mend_routes import router as mend_router
from service.mends.mender import Mender
from service.mends.ready import Ahead
from service.page_routes import router as page_router
from service.problems import HANDLERS
from service.routes import our_version, router
from service.static import PAGE, page_route
from service.store import Store
from service.tongues.send import Code, Speaking
from service.views import SolveSettings
from service.weekview import Views
from service.worker import SOLVE

_QUIET = TelemetryConfig(tracing=False, metrics=False, logs=False, auto_configure=False)
"""The framework could report to a collector that the environment names; this one never does."""


def create_app(
    folder: Path,
    *,
    host: str = "127.0.0.1",
    page: Path = PAGE,
    solve: str = SOLVE,
    at_once: int = 1,
    grace_s: float = 60.0,
    limit_mib: int | None = None,
    begin: SolveSettings | None = None,
    ahead: bool = False,
    speaks: str = "http",
) -> FastAPI:
    """The service on a data folder, which is opened when the application starts.

    Whoever serves it holds the folder's lock (``FolderLock``): one server works in it at a time.

    With ``begin`` the first week is planned at once, unless it has a plan that is up to date; with
    ``ahead`` the likely mishaps of the next day are mended while nothing else is going on.
    """

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        with closing(Store(folder)) as store:
            jobs = Jobs(store, solve=solve, at_once=at_once, grace_s=grace_s, limit_mib=limit_mib)
            app.state.store, app.state.jobs, app.state.page = store, jobs, page
            app.state.views = Views(store, jobs)
            copying = asyncio.create_task(copy_daily(folder))
            with closing(jobs), closing(Mender()) as app.state.mender, _mending_ahead(store, jobs, ahead):
                if begin:
                    _begin(store, jobs, begin)
                try:
                    yield
                finally:
                    copying.cancel()

    app = bare_app(lifespan)
    app.router.routes.append(page_route(page))
    app.answers_to, app.speaks = host, speaks
    return app


@contextmanager
def _mending_ahead(store: Store, jobs: Jobs, wanted: bool) -> Iterator[None]:
    if not wanted:
        yield
        return
    with closing(Ahead(store, jobs)):
        yield


def _begin(store: Store, jobs: Jobs, settings: SolveSettings) -> None:
    week = store.current().document.weeks[0].id
    plan = store.latest_plan(week)
    if plan is None or not plan.is_current:
        jobs.start(week, settings)


class _App(FastAPI):
    """Says what it offers in our way, and stands behind the door with all it answers."""

    answers_to = "127.0.0.1"
    speaks = "http"
    tries: Tries
    _codes: frozenset[Code] | None = None

    def build_middleware_stack(self) -> ASGIApp:
        # Added as middleware, the door would stand inside the answer to a fault of ours.
        inside: ASGIApp = Scales(super().build_middleware_stack())
        if not is_loopback(self.answers_to):
            inside = Doorkeeper(inside, self.tries)
        return Speaking(Guard(inside, self.answers_to), self.codes)

    def codes(self) -> frozenset[Code]:
        """Every value that stands for something in the contract, with the name of its field."""
        if self._codes is None:
            self._codes = frozenset(codes_in(self.openapi()))
        return self._codes

    def openapi(self) -> dict[str, Any]:
        return contract(self)


def bare_app(lifespan: Callable[[FastAPI], AbstractAsyncContextManager[None]] | None = None) -> _App:
    """The routes and their contract alone, without a folder behind them."""
    app = _App(
        title="Lapful",
        summary="Plans one balanced week of learning at home for several small children.",
        version=our_version(),
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
        lifespan=lifespan,
        exception_handlers=HANDLERS,
        responses=DEFAULT_RESPONSES,
        telemetry=_QUIET,
    )
    app.tries = Tries()
    for one in (router, page_router, mend_router, care_router, doors_router, *ROUTERS):
        app.include_router(one)
    return app
