"""Calendar addresses, and the whole household as one file: who gets in, what is kept, what comes back."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from icalendar import Calendar

from service.errors import BadInput
from service.guard import BODY_LIMIT, WHOLE_LIMIT
from service.paper.feed import Dated, calendar
from service.store import Store, now
from service.store.entries import Entries, Entry
from service.store.feeds import Feeds
from service.whole import take_whole, whole_of
from solver.domain.document import Document
from solver.domain.plan import Caution
from tests.service.conftest import Serve
from tests.service.house import NEXT_WEEK, WEEK, document, document_json
from tests.service.papers import plan

DEMO = Path(__file__).parents[2] / "demo"


@pytest.fixture
def store(tmp_path: Path) -> Store:
    store = Store(tmp_path / "data")
    store.put_document(document())
    store.add_plan(plan(), store.current().made_from(WEEK))
    return store


def summaries(body: bytes) -> list[str]:
    return [str(event["summary"]) for event in Calendar.from_ical(body).walk("VEVENT")]


def test_each_person_has_their_own_calendar() -> None:
    made = document_json()
    made["household"]["adults"].append({"id": "thorn", "name": "Thorn"})
    week = Dated(Document.model_validate(made).problem(WEEK), plan(), now())
    assert summaries(calendar([week])) == ["Leaf story", "Leaf story", "Brook walk"]
    assert summaries(calendar([week], "burr")) == ["Leaf story", "Leaf story", "Brook walk"]
    assert summaries(calendar([week], "thorn")) == []
    with pytest.raises(BadInput, match="nobody here is 'fir'"):
        calendar([week], "fir")


def test_an_adult_sees_laying_out_and_the_way() -> None:
    week = Dated(document().problem(WEEK), plan(), now())
    mine = Calendar.from_ical(calendar([week], "bramble")).walk("VEVENT")[2]
    childs = Calendar.from_ical(calendar([week], "burr")).walk("VEVENT")[2]
    assert (childs["dtstart"].dt.hour, childs["dtstart"].dt.minute) == (9, 30)
    # five minutes to lay out, fifteen out of the door, ten on the way; ten on the way back
    assert (mine["dtstart"].dt.hour, mine["dtstart"].dt.minute) == (9, 0)
    assert (mine["dtend"].dt.hour, mine["dtend"].dt.minute) == (10, 10)
    assert "Wet stones" in childs["description"]
    assert "Not medical or legal advice" in childs["description"]


def test_prep_and_loans_are_in_the_adults_calendars() -> None:
    whole = Document.model_validate_json((DEMO / "pond-week.json").read_text())
    problem = whole.problem()
    task = {
        "wish": "frog-bowl",
        "task": "paste",
        "name": "cook the paste",
        "minutes": 15,
        "evening": "sunday_before",
        "ready_for": "frog-bowl.1.1",
    }
    made = plan().model_validate({"week": problem.week.id, "prep": [task]})
    week = Dated(problem, made, now())
    events = Calendar.from_ical(calendar([week], "juno")).walk("VEVENT")
    said = [str(event["summary"]) for event in events]
    assert said == ["Make ready: cook the paste", "Give back: Who lives in our pond?"]
    assert str(events[0]["dtstart"].dt) == "2027-04-18 20:00:00+01:00", "the Sunday before"
    assert summaries(calendar([week], "wren")) == []


def test_uids_stay_and_differ() -> None:
    def uids(person: str | None, made_at: int) -> list[str]:
        week = Dated(document().problem(WEEK), plan(), now().replace(year=made_at))
        return [str(one["uid"]) for one in Calendar.from_ical(calendar([week], person)).walk("VEVENT")]

    assert uids("burr", 2026) == uids("burr", 2027), "a new export changes events, it does not double them"
    assert len({*uids("burr", 2026), *uids("moss", 2026), *uids(None, 2026)}) == 9


def test_a_secret_address_serves_a_calendar_until_it_is_revoked(client: TestClient, store: Store) -> None:
    server: Store = client.app.state.store  # type: ignore[attr-defined]
    server.add_plan(plan(), server.current().made_from(WEEK))
    made = client.post("/api/feeds", json={"person": "burr"}).json()
    answer = client.get(made["path"])
    assert answer.status_code == 200
    assert answer.headers["content-type"].startswith("text/calendar")
    assert len(summaries(answer.content)) == 3
    assert client.get("/api/feeds").json() == [made["feed"]]
    assert client.delete(f"/api/feeds/{made['feed']['id']}").status_code == 204
    assert client.get(made["path"]).status_code == 404
    assert client.delete(f"/api/feeds/{made['feed']['id']}").status_code == 404


@pytest.mark.parametrize("guess", ["a", "burr", "%00", "x" * 43, "..%2fapi%2ffeeds", "' OR 1=1 --"])
def test_a_guessed_address_lets_nobody_in(client: TestClient, guess: str) -> None:
    client.post("/api/feeds", json={})
    answer = client.get(f"/feed/{guess}.ics")
    assert answer.status_code == 404
    assert "burr" not in answer.text
    assert "VCALENDAR" not in answer.text


def test_a_feed_of_somebody_who_is_gone_is_gone(client: TestClient) -> None:
    made = client.post("/api/feeds", json={"person": "moss"}).json()
    left = document_json()
    left["household"]["children"].pop()
    left["household"]["fixed_points"][0]["children"] = ["burr"]
    assert client.put("/api/document", json=left).status_code == 200
    assert client.get(made["path"]).status_code == 404


def test_nobody_unknown_gets_an_address(client: TestClient) -> None:
    assert client.post("/api/feeds", json={"person": "fir"}).status_code == 404


def test_the_store_does_not_know_the_secret(store: Store) -> None:
    token = Feeds(store).make("burr").token
    file = next(store.folder.glob("*.db"))
    with sqlite3.connect(file) as connection:
        kept = "\n".join(str(row) for row in connection.execute("SELECT * FROM feeds"))
    assert token not in kept
    assert Feeds(store).by_token(token) is not None
    assert len(token) >= 43, "256 bits"


def test_the_whole_household_goes_and_comes_back(store: Store, tmp_path: Path) -> None:
    line = Entry(kind="log", id="a", day="2027-02-01", body={"minutes": 9})
    Entries(store).put(line)
    whole = whole_of(store)
    other = Store(tmp_path / "other")
    taken = take_whole(other, whole)
    assert (taken.weeks, taken.plans, taken.entries, taken.plans_left) == (2, 1, 1, ())
    assert whole_of(other) == whole
    latest = other.latest_plan(WEEK)
    assert latest is not None
    assert latest.is_current
    assert other.latest_plan(NEXT_WEEK) is None


def test_a_plan_that_does_not_hold_stays_behind(store: Store, client: TestClient) -> None:
    bad = plan().model_copy(update={"bookings": (plan().bookings[0].model_copy(update={"start": 120}),)})
    whole = whole_of(store).model_copy(update={"plans": (bad,)})
    answer = client.put("/api/whole", json=whole.model_dump(mode="json"))
    assert answer.json() == {"weeks": 2, "plans": 0, "entries": 0, "files": 0, "plans_left": [WEEK]}


def test_the_whole_household_over_http(client: TestClient, serve: Serve, tmp_path: Path) -> None:
    before = client.get("/api/whole").json()
    assert before["format"] == "lapful-whole/1"
    second = serve(folder=tmp_path / "second")
    assert second.put("/api/whole", json=before).status_code == 200
    assert second.get("/api/whole").json() == before


def test_a_household_with_many_photos_comes_back_over_http(client: TestClient) -> None:
    """It was let out and then refused: three printables of 3 MiB were more than any body might have."""
    kind = {"content-type": "application/octet-stream"}
    for number in range(3):
        printable = b"%PDF-1.7\n" + bytes([number]) * 3 * 1024 * 1024
        answer = client.post(f"/api/printables?name=p{number}.pdf", content=printable, headers=kind)
        assert answer.status_code == 201
    whole = client.get("/api/whole")
    assert len(whole.content) > BODY_LIMIT
    answer = client.put("/api/whole", content=whole.content, headers={"content-type": "application/json"})
    assert answer.json()["files"] == 3
    too_large = str(WHOLE_LIMIT + 1)
    assert client.put("/api/whole", content=b"{}", headers={"content-length": too_large}).status_code == 413


def test_a_whole_household_put_in_by_mistake_is_taken_back_with_its_record(client: TestClient) -> None:
    store: Store = client.app.state.store  # type: ignore[attr-defined]
    Entries(store).put(Entry(kind="log", id="mine", day="2027-02-01", body={"minutes": 9}))
    other = {**client.get("/api/whole").json(), "entries": [], "plans": []}
    other["document"]["household"]["name"] = "Strangers"
    assert client.put("/api/whole", json=other).status_code == 200
    assert client.get("/api/whole").json()["entries"] == []
    assert client.post("/api/undo").status_code == 200
    after = client.get("/api/whole").json()
    assert after["document"]["household"]["name"] == "Orchard hedgehogs"
    assert [one["id"] for one in after["entries"]] == ["mine"]


def test_a_feed_speaks_spanish_at_its_address_and_no_line_grows_too_long(client: TestClient) -> None:
    """RFC 5545 section 3.1: a line holds at most 75 octets; folding it must leave the letters whole."""
    store: Store = client.app.state.store  # type: ignore[attr-defined]
    text = "Swallowed magnets pull together inside the body; they stay away from whoever mouths things."
    caution = Caution(text=text, source="common practice, no source")
    bookings = (*plan().bookings[:2], plan().bookings[2].model_copy(update={"cautions": (caution,)}))
    store.add_plan(plan().model_copy(update={"bookings": bookings}), store.current().made_from(WEEK))
    path = client.post("/api/feeds", json={"person": "burr"}).json()["path"]
    english, spanish = client.get(path), client.get(f"{path}?tongue=es")
    assert max(len(line) for line in spanish.content.split(b"\r\n")) <= 75
    walks = [Calendar.from_ical(one.content).walk("VEVENT")[2] for one in (english, spanish)]
    assert walks[0]["uid"] == walks[1]["uid"]
    assert str(walks[0]["description"]).count("\n") == str(walks[1]["description"]).count("\n")
    said = str(walks[1]["description"])
    assert "Quién participa: Burr, Moss" in said
    assert "Cuidado: Los imanes tragados se atraen unos a otros dentro del cuerpo;" in said
    assert "(práctica común, sin fuente)" in said
    assert "No es consejo médico ni legal; van primero las normas locales y su médico." in said
    assert summaries(spanish.content) == summaries(english.content), "what the family named stays"
