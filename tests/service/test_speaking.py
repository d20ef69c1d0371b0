"""Answers over HTTP in another language: what is turned, what a page sends back, which version is which."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from fastapi.testclient import TestClient

from service.store import Store
from service.tongues import tongue_of
from tests.service.house import WEEK
from tests.service.papers import plan

SPANISH = {"accept-language": "es"}


@pytest.fixture
def planned(client: TestClient) -> TestClient:
    store: Store = client.app.state.store  # type: ignore[attr-defined]
    store.add_plan(plan(), store.current().made_from(WEEK))
    return client


def test_a_caution_is_told_in_spanish_and_the_family_s_names_stay(planned: TestClient) -> None:
    english = planned.get(f"/api/weeks/{WEEK}/view")
    spanish = planned.get(f"/api/weeks/{WEEK}/view", headers=SPANISH)
    assert spanish.headers["content-language"] == "es"
    assert int(spanish.headers["content-length"]) == len(spanish.content)

    def sources(answer: dict[str, object]) -> set[str]:
        bookings = answer["stored"]["plan"]["bookings"]  # type: ignore[index]
        return {one["source"] for booking in bookings for one in booking["cautions"]}

    assert sources(english.json()) == {"common practice, no source"}
    assert sources(spanish.json()) == {tongue_of("es").told("common practice, no source")}
    assert spanish.json()["household"]["children"] == english.json()["household"]["children"]


@pytest.mark.parametrize("path", ["/api/document", "/api/household", "/api/activities", f"/api/weeks/{WEEK}"])
def test_what_is_read_to_be_sent_back_stays_as_it_is(planned: TestClient, path: str) -> None:
    assert planned.get(path, headers=SPANISH).content == planned.get(path).content


def test_a_problem_is_told_in_spanish_even_there(planned: TestClient) -> None:
    plain = planned.put("/api/document", content="{").json()
    broken = planned.put("/api/document", content="{", headers=SPANISH)
    assert broken.status_code == plain["status"]
    assert broken.json()["title"] == tongue_of("es").turned(plain["title"]) != plain["title"]
    assert broken.json()["type"] == plain["type"]
    assert broken.headers["content-language"] == "es"


def test_each_language_has_its_own_version_of_a_view(planned: TestClient) -> None:
    path = f"/api/weeks/{WEEK}/view"
    tags = {
        tongue: planned.get(path, headers={"accept-language": tongue}).headers["etag"]
        for tongue in ("en", "es")
    }
    assert tags["en"] != tags["es"]
    for tongue, tag in tags.items():
        same = planned.get(path, headers={"accept-language": tongue, "if-none-match": tag})
        assert same.status_code == 304, tongue
        assert same.headers["etag"] == tag
        other = next(one for one in tags if one != tongue)
        assert planned.get(path, headers={"accept-language": other, "if-none-match": tag}).status_code == 200
    assert "accept-language" in planned.get(path).headers["vary"].lower()


def test_the_address_goes_before_the_cookie_and_the_cookie_before_the_browser(planned: TestClient) -> None:
    def spoken(address: str = "", **headers: str) -> str:
        answer = planned.get(f"/api/weeks/{WEEK}/sheet{address}", headers=headers)
        return str(re.findall(r'<html lang="(\w+)"', answer.text)[0])

    assert spoken() == "en"
    assert spoken(**SPANISH) == "es"
    assert spoken(**SPANISH, cookie="tongue=en") == "en"
    assert spoken(cookie="tongue=es") == "es"
    assert spoken("?tongue=es", cookie="tongue=en") == "es"
    assert spoken("?tongue=xx", **{"accept-language": "qq, es"}) == "en"


def test_no_value_that_stands_for_something_is_turned(planned: TestClient) -> None:
    """A page looks such values up in its own words."""
    codes = planned.app.codes()  # type: ignore[attr-defined]
    assert {("reason", "too hard"), ("standing", "published"), ("advice", "renew it")} <= codes

    def found(part: object, name: str = "") -> Iterator[tuple[str, str]]:
        if isinstance(part, dict):
            for key, one in part.items():
                yield from found(one, key)
        elif isinstance(part, list):
            for one in part:
                yield from found(one, name)
        elif isinstance(part, str) and (name, part) in codes:
            yield name, part

    path = f"/api/weeks/{WEEK}/view"
    assert list(found(planned.get(path, headers=SPANISH).json())) == list(found(planned.get(path).json()))


def test_what_something_is_called_is_turned_though_a_code_is_spelt_so(planned: TestClient) -> None:
    house = planned.get("/api/document").json()["household"]
    house["places"][0]["name"] = "hall"
    document = {**planned.get("/api/document").json(), "household": house}
    version = planned.get("/api/document").headers["etag"]
    assert planned.put("/api/document", json=document, headers={"if-match": version}).status_code < 300
    shown = planned.get(f"/api/weeks/{WEEK}/view", headers=SPANISH).json()["household"]["places"][0]
    assert (shown["id"], shown["name"]) == (house["places"][0]["id"], "pasillo")


def test_a_first_run_says_its_defaults_in_spanish_and_leaves_the_document(client: TestClient) -> None:
    answers = {
        "children": [
            {"name": "Hall", "birth_month": "2024-03"},
            {"name": "Linnet", "birth_month": "2026-03"},
        ],
        "adults": [{"name": "Oak", "hours": [{"start": "06:30", "end": "21:00"}]}],
        "theme": "ships",
        "week": WEEK,
    }
    plain = client.post("/api/start", json=answers).json()
    spoken = client.post("/api/start", json=answers, headers=SPANISH).json()
    assert spoken["document"] == plain["document"]
    for english, said in zip(plain["defaults"], spoken["defaults"], strict=True):
        assert (said["path"], said["standing"]) == (english["path"], english["standing"])
        assert said["says"] == tongue_of("es").turned(english["says"]), english["says"]
    for english, said in zip(plain["notes"], spoken["notes"], strict=True):
        assert said == tongue_of("es").turned(english), english
    assert plain["notes"]


def test_names_in_a_document_that_are_ours_are_told_beside_it(planned: TestClient) -> None:
    house = planned.get("/api/document").json()["household"]
    house["places"][0]["name"] = "hall"
    assert planned.put("/api/household", json=house).status_code == 200
    assert planned.get("/api/called", headers=SPANISH).json() == {"hall": "pasillo", "Lunch": "Comida"}
    assert planned.get("/api/called").json() == {}
    assert planned.get("/api/household", headers=SPANISH).json() == house


def test_what_was_said_on_friday_comes_back_as_it_was_typed(planned: TestClient) -> None:
    line = {"booking": "story.1.1", "outcome": "done", "minutes": {"burr": 10}, "note": "milk"}
    path = f"/api/weeks/{WEEK}/friday"
    assert planned.post(path, json={"lines": [line]}, headers=SPANISH).status_code < 300
    (draft,) = (one for one in planned.get(path, headers=SPANISH).json() if one["booking"] == "story.1.1")
    assert draft["said"]["note"] == "milk"


def test_where_a_fault_is_is_said_in_spanish_too(client: TestClient) -> None:
    where = "/api/catalogue/table?format=csv"
    answer = client.post(where, content=b"id,title\npond-song,Pond song\n", headers=SPANISH)
    assert answer.json()["faults"][0]["path"] == "fila 1", answer.text
