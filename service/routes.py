"""The resources under /api: parse, call, return."""

from __future__ import annotations

from collections.abc import AsyncIterator
from importlib.metadata import PackageNotFoundError, version
from typing import Annotated, Any

from anyio import to_thread
from fastapi import APIRouter, Depends, Header, Path, Query, Request, Response
from fastapi.sse import EventSourceResponse, ServerSentEvent

from service.bounds import InShort
from service.errors import KINDS, NotFound, Stale
from service.jobs import Jobs
from service.static import is_built
from service.store import Store, week_of
from service.views import Health, Job, SolveSettings, StoredPlan, WeekSummary, WeekView
from service.weekview import Sent, Views
from solver.domain.activity import Activity
from solver.domain.base import Frozen
from solver.domain.document import Document
from solver.domain.week import Household, LossProof, Week, Wish

router = APIRouter(prefix="/api")


# These wait for nothing; were they not async, each would be sent to a thread and back at every request.
async def _store(request: Request) -> Store:
    store: Store = request.app.state.store
    return store


async def _jobs(request: Request) -> Jobs:
    jobs: Jobs = request.app.state.jobs
    return jobs


async def _views(request: Request) -> Views:
    views: Views = request.app.state.views
    return views


IfMatch = Annotated[str | None, Header(alias="if-match")]


async def _expected(if_match: IfMatch = None) -> int | None:
    """The version that the writer has read; None when it writes regardless."""
    if if_match is None or if_match.strip() == "*":
        return None
    number = if_match.strip().strip('"')
    if not number.isdecimal() or len(number) > 18:
        raise Stale(f"If-Match {if_match[:40]!r} is no version of ours; send the ETag that was read")
    return int(number)


StoreHere = Annotated[Store, Depends(_store)]
JobsHere = Annotated[Jobs, Depends(_jobs)]
ViewsHere = Annotated[Views, Depends(_views)]
Expected = Annotated[int | None, Depends(_expected)]
WeekName = Annotated[str, Path(examples=["2027-W05"], max_length=80)]
JobName = Annotated[str, Path(max_length=80)]


def _tag(response: Response, number: int) -> None:
    response.headers["etag"] = f'"{number}"'


@router.get("/health")
def get_health(request: Request, store: StoreHere) -> Health:
    """Whether the server is well."""
    return Health(
        ok=True,
        version=our_version(),
        page_built=is_built(request.app.state.page),
        has_household=store.has_household(),
    )


def our_version() -> str:
    """The installed version, or a word that there is none."""
    try:
        return version("lapful")
    except PackageNotFoundError:
        return "not installed"


@router.get("/document")
def get_document(store: StoreHere, response: Response) -> Document:
    """Everything as one household file, the form that the command reads."""
    current = store.current()
    _tag(response, max(current.versions.values()))
    return current.document


@router.put("/document")
def put_document(
    document: Annotated[Document, InShort], store: StoreHere, expected: Expected, response: Response
) -> Document:
    """Replace household, activities and weeks by those of a household file."""
    _tag(response, store.put_document(document, expected))
    return document


@router.get("/household")
def get_household(store: StoreHere, response: Response) -> Household:
    """Who lives here, what the house offers, what it can bear."""
    current = store.current()
    _tag(response, current.versions["household"])
    return current.document.household


@router.put("/household")
def put_household(
    household: Annotated[Household, InShort], store: StoreHere, expected: Expected, response: Response
) -> Household:
    """Replace the household; it must still fit the activities and weeks."""
    _tag(response, store.put_household(household, expected))
    return household


@router.get("/activities")
def get_activities(store: StoreHere, response: Response) -> tuple[Activity, ...]:
    """All activities that are known."""
    current = store.current()
    _tag(response, current.versions["activities"])
    return current.document.activities


@router.get("/weeks")
def get_weeks(store: StoreHere) -> list[WeekSummary]:
    """All weeks, in short."""
    planned = store.weeks_with_plans()
    return [_summary(week, week.id in planned) for week in store.current().document.weeks]


def _summary(week: Week, has_plan: bool) -> WeekSummary:
    wishes = len(week.wishes)
    return WeekSummary(id=week.id, monday=week.monday, theme=week.theme, wishes=wishes, has_plan=has_plan)


@router.get("/weeks/{week}")
def get_week(week: WeekName, store: StoreHere, response: Response) -> Week:
    """One week: what is fixed and what is wished."""
    current = store.current()
    found = week_of(current.document, week)
    _tag(response, current.versions[week])
    return found


@router.put("/weeks/{week}/wishes")
def put_wishes(
    week: WeekName,
    wishes: Annotated[list[Wish], InShort],
    store: StoreHere,
    expected: Expected,
    response: Response,
) -> Week:
    """Replace the wishes of a week."""
    _tag(response, store.put_wishes(week, wishes, expected))
    return week_of(store.current().document, week)


class AskedLossProof(Frozen):
    """How safe from a lost day the promises are to be."""

    loss_proof: LossProof


@router.put("/weeks/{week}/loss-proof")
def put_loss_proof(
    week: WeekName, asked: AskedLossProof, store: StoreHere, expected: Expected, response: Response
) -> Week:
    """Set whether the next search for this week makes it loss-proof."""
    _tag(response, store.put_loss_proof(week, asked.loss_proof, expected))
    return week_of(store.current().document, week)


@router.get("/weeks/{week}/plan")
def get_plan(week: WeekName, store: StoreHere) -> StoredPlan:
    """The latest plan of a week."""
    week_of(store.current().document, week)
    stored = store.latest_plan(week)
    if stored is None:
        raise NotFound(f"the week {week} has no plan yet; start one at /api/weeks/{week}/solve")
    return stored


Picked = Annotated[str | None, Query(max_length=80)]
Known = Annotated[str | None, Header(alias="if-none-match")]
_AS_BEFORE: dict[int | str, dict[str, Any]] = {304: {"description": "Not changed"}}


@router.get(
    "/view",
    response_model=WeekView,
    responses=_AS_BEFORE | {204: {"description": "There is no week yet"}},
)
async def get_opening_view(views: ViewsHere, week: Picked = None, known: Known = None) -> Response:
    """What a page opens with: the week that was picked, else that of today, the next one or the last."""
    sent = await views.opening(week)
    return Response(status_code=204) if sent is None else _unless_known(sent, known)


@router.get("/weeks/{week}/view", response_model=WeekView, responses=_AS_BEFORE)
async def get_view(week: WeekName, views: ViewsHere, known: Known = None) -> Response:
    """All that the page needs to show a week, in one answer."""
    return _unless_known(await views.sent(week), known)


def _unless_known(sent: Sent, known: str | None) -> Response:
    headers = {"etag": sent.tag, "cache-control": "private, no-cache"}
    if sent.tag in {one.strip().removeprefix("W/") for one in (known or "").split(",")}:
        return Response(status_code=304, headers=headers)
    return Response(sent.body, media_type="application/json", headers=headers)


@router.post("/weeks/{week}/solve", status_code=202)
def post_solve(
    week: WeekName, jobs: JobsHere, response: Response, settings: SolveSettings | None = None
) -> Job:
    """Start a search for a plan; one that is under way for this week is cancelled."""
    job = jobs.start(week, settings or SolveSettings())
    response.headers["location"] = f"/api/jobs/{job.id}"
    return job


@router.get("/jobs/{job}")
def get_job(job: JobName, jobs: JobsHere) -> Job:
    """Where a job stands."""
    return jobs.get(job)


@router.delete("/jobs/{job}")
def delete_job(job: JobName, jobs: JobsHere) -> Job:
    """Cancel a job; one that is over stays as it ended."""
    return jobs.cancel(job)


@router.post("/jobs/{job}/enough")
def post_enough(job: JobName, jobs: JobsHere) -> Job:
    """End a search soon, with the best week that it has; one that is over stays as it ended."""
    return jobs.enough(job)


async def _known_job(job: JobName, jobs: JobsHere) -> str:
    # Asked before the stream begins: once it runs, its status can no longer say 404.
    return (await to_thread.run_sync(jobs.get, job)).id


@router.get("/jobs/{job}/events", response_class=EventSourceResponse)
async def get_job_events(
    job: Annotated[str, Depends(_known_job)], jobs: JobsHere
) -> AsyncIterator[ServerSentEvent]:
    """Server-sent events named ``job``: the whole job now and at each change, until it is over."""
    async for state in jobs.follow(job):
        yield ServerSentEvent(event="job", data=state)


@router.get("/problems/{name}", response_class=Response, responses={200: {"content": {"text/plain": {}}}})
def get_problem(name: Annotated[str, Path(max_length=80)]) -> Response:
    """What a kind of problem means, in words (RFC 9457: the type's own address)."""
    for kind in KINDS:
        if kind.name == name:
            return Response(f"{kind.title}. {kind.__doc__}", media_type="text/plain")
    raise NotFound(f"there is no problem called {name[:40]!r}")
