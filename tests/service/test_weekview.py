"""What the page is told about an adult's time, against the contract's adult span."""

from __future__ import annotations

import datetime
from contextlib import closing

import pytest
from fastapi.testclient import TestClient

from service.jobs import Jobs
from service.store import Store
from service.views import Job, WeekView
from service.weekview import Views, adult_times, week_on
from solver.domain.plan import Booking, Plan, Progress
from tests.service.conftest import Serve, load, until
from tests.service.house import NEXT_WEEK, WEEK, document


def _booking(**more: object) -> Booking:
    given = {
        "id": "walk.1.1",
        "wish": "walk",
        "activity": "brook-walk",
        "day": "monday",
        "start": "09:00",
        "minutes": 30,
        "place": "brook",
    }
    return Booking.model_validate(given | more)


def _times(booking: Booking) -> dict[str, dict[str, str]]:
    plan = Plan(week=WEEK, bookings=(booking,))
    return {ident: time.model_dump() for ident, time in adult_times(document().problem(WEEK), plan)}


def test_an_outing_takes_the_adult_from_laying_out_to_being_back() -> None:
    """5 minutes of laying out, 15 to get out of the door, 10 there; 30 of walking, 10 back."""
    assert _times(_booking()) == {"walk.1.1": {"start": "08:30", "end": "09:40"}}


def test_at_home_only_laying_out_counts() -> None:
    story = _booking(id="story.1.1", wish="story", activity="leaf-story", minutes=10, place="nest")
    assert _times(story) == {"story.1.1": {"start": "08:55", "end": "09:10"}}


def test_the_ends_of_the_day_are_kept() -> None:
    assert _times(_booking(start="00:10"))["walk.1.1"]["start"] == "00:00"
    assert _times(_booking(start="23:50"))["walk.1.1"]["end"] == "24:00"


@pytest.mark.parametrize(
    "gone", [{"activity": "old"}, {"place": "old"}, {"sitting": 3}, {"lighter": True}], ids=str
)
def test_bookings_of_things_that_are_gone_have_none(gone: dict[str, object]) -> None:
    """An old plan stays readable after its activity or place was taken out."""
    assert _times(_booking(**gone)) == {}


def test_a_fault_of_ours_shows_no_insides(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    def breaks(_: Store) -> bool:
        raise RuntimeError("acorns in the gears")

    monkeypatch.setattr(Store, "has_household", breaks)
    answer = client.get("/api/health")
    assert answer.status_code == 500
    assert answer.headers["content-type"] == "application/problem+json"
    assert "acorns" not in answer.text
    assert "content-security-policy" in answer.headers


def test_a_view_with_its_job_is_one_document(client: TestClient) -> None:
    """It is sent in two pieces, of which the first is kept; together they are what the contract says."""
    assert WeekView.model_validate(client.get(f"/api/weeks/{WEEK}/view").json()).job is None
    job = client.post(f"/api/weeks/{WEEK}/solve").json()
    client.get(f"/api/jobs/{job['id']}/events")
    first = client.get(f"/api/weeks/{WEEK}/view")
    assert WeekView.model_validate(first.json()).job == Job.model_validate(
        client.get(f"/api/jobs/{job['id']}").json()
    )
    again = client.post(f"/api/weeks/{WEEK}/solve").json()
    second = client.get(f"/api/weeks/{WEEK}/view")
    assert second.json()["job"]["id"] == again["id"]
    assert second.headers["etag"] != first.headers["etag"]


def test_what_another_process_writes_is_seen_at_once(client: TestClient) -> None:
    """A command may write while the server keeps what it sent last."""
    store: Store = client.app.state.store  # type: ignore[attr-defined]
    path = f"/api/weeks/{WEEK}/view"
    tag = client.get(path).headers["etag"]
    assert client.get(path, headers={"if-none-match": tag}).status_code == 304
    with closing(Store(store.folder)) as other:
        home = other.current().document.household
        other.put_household(home.model_copy(update={"name": "Hedge under the pear"}))
    answer = client.get(path, headers={"if-none-match": tag})
    assert (answer.status_code, answer.json()["household"]["name"]) == (200, "Hedge under the pear")


@pytest.mark.parametrize(
    ("date", "week"),
    [
        ("2026-12-24", WEEK),
        ("2027-02-01", WEEK),
        ("2027-02-07", WEEK),
        ("2027-02-08", NEXT_WEEK),
        ("2027-06-01", NEXT_WEEK),
    ],
)
def test_a_page_opens_with_the_week_of_today_else_the_next_else_the_last(date: str, week: str) -> None:
    weeks = document().weeks
    assert week_on(weeks[::-1], datetime.date.fromisoformat(date)) == week
    assert week_on((), datetime.date.fromisoformat(date)) is None


def test_today_is_where_the_family_lives(client: TestClient) -> None:
    """On Sunday evening in Auckland the new week has begun; in Honolulu it has not (tz database)."""
    views: Views = client.app.state.views  # type: ignore[attr-defined]
    moment = datetime.datetime(2027, 2, 7, 12, 0, tzinfo=datetime.UTC)
    views._now = moment.astimezone
    house = client.get("/api/household").json()
    for zone, week in (("Pacific/Auckland", NEXT_WEEK), ("Pacific/Honolulu", WEEK)):
        assert client.put("/api/household", json=house | {"time_zone": zone}).status_code == 200
        today = client.get("/api/view")
        assert today.json()["week"]["id"] == week
        assert today.content == client.get(f"/api/weeks/{week}/view").content
        again = client.get("/api/view", headers={"if-none-match": today.headers["etag"]})
        assert again.status_code == 304


def test_a_picked_week_stays_as_long_as_it_is_there(client: TestClient) -> None:
    for week in (WEEK, NEXT_WEEK):
        assert client.get("/api/view", params={"week": week}).json()["week"]["id"] == week
    gone = client.get("/api/view", params={"week": "2027-W07"})
    assert gone.content == client.get("/api/view").content


def test_before_there_is_a_household_there_is_no_view(serve: Serve) -> None:
    client = serve()
    answer = client.get("/api/view")
    assert (answer.status_code, answer.content) == (204, b"")
    load(client)
    assert client.get("/api/view").json()["week"]["id"] in {WEEK, NEXT_WEEK}


def test_what_did_not_change_is_not_looked_up_again(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = f"/api/weeks/{WEEK}/view"
    first = client.get(path)
    looked: list[str] = []
    monkeypatch.setattr(Store, "_read", lambda _: looked.append("read"))
    assert client.get(path).content == first.content
    assert client.get(path, headers={"if-none-match": first.headers["etag"]}).status_code == 304
    assert looked == []


def test_a_search_that_stands_elsewhere_makes_the_view_new(serve: Serve) -> None:
    """Where a search stands is not written down, so nothing but itself tells that it moved on."""
    client = serve("endless")
    load(client)
    job = client.post(f"/api/weeks/{WEEK}/solve").json()
    jobs: Jobs = client.app.state.jobs  # type: ignore[attr-defined]
    until(lambda: jobs.get(job["id"]).progress)
    path = f"/api/weeks/{WEEK}/view"
    before = client.get(path)
    assert before.json()["job"]["progress"]["value"] == 9
    jobs._change(jobs._tasks[job["id"]], progress=Progress(tier="worth", value=7, bound=1, seconds=0.2))
    after = client.get(path, headers={"if-none-match": before.headers["etag"]})
    assert (after.status_code, after.json()["job"]["progress"]["value"]) == (200, 7)
