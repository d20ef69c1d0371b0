"""Household, activities, weeks and the page's one document over HTTP."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient

from tests.service.conftest import Serve
from tests.service.house import NEXT_WEEK, WEEK, document_json
from tests.service.test_coop import day


def test_an_empty_store_says_what_to_do(serve: Serve) -> None:
    client = serve()
    health = client.get("/api/health").json()
    answer = client.get("/api/household")
    assert health["ok"] is True
    assert health["has_household"] is False
    assert answer.status_code == 404
    assert "/api/document" in answer.json()["detail"]


def test_the_household_file_comes_back_as_it_went_in(client: TestClient) -> None:
    back = client.get("/api/document").json()
    given = document_json()
    assert back["household"]["children"][0]["id"] == given["household"]["children"][0]["id"]
    assert client.put("/api/document", json=back).json() == back


def test_data_outlive_the_server(serve: Serve) -> None:
    first = serve()
    first.put("/api/document", json=document_json())
    before = first.get("/api/household")
    first.__exit__(None, None, None)
    again = serve()
    assert again.get("/api/household").content == before.content
    assert again.get("/api/household").headers["etag"] == before.headers["etag"]


def test_weeks_are_listed_in_the_file_s_order(client: TestClient) -> None:
    weeks = client.get("/api/weeks").json()
    assert [week["id"] for week in weeks] == [WEEK, NEXT_WEEK]
    assert weeks[0]["monday"] == "2027-02-01"  # ISO 8601: 2027-W05-1
    assert weeks[0]["wishes"] == 2
    assert weeks[0]["has_plan"] is False


def test_activities(client: TestClient) -> None:
    assert [one["id"] for one in client.get("/api/activities").json()] == [
        "leaf-story",
        "acorn-count",
        "brook-walk",
    ]


def test_a_changed_household_has_a_new_version(client: TestClient) -> None:
    first = client.get("/api/household")
    household = first.json() | {"name": "Hedge hedgehogs"}
    put = client.put("/api/household", json=household, headers={"if-match": first.headers["etag"]})
    assert put.status_code == 200
    after = client.get("/api/household")
    assert after.json()["name"] == "Hedge hedgehogs"
    assert after.headers["etag"] == put.headers["etag"] != first.headers["etag"]


def test_a_stale_write_changes_nothing(client: TestClient) -> None:
    first = client.get("/api/household")
    client.put("/api/household", json=first.json() | {"name": "One"})
    late = client.put(
        "/api/household",
        json=first.json() | {"name": "Two"},
        headers={"if-match": first.headers["etag"]},
    )
    assert late.status_code == 412
    assert late.headers["content-type"] == "application/problem+json"
    assert late.json()["type"] == "/api/problems/stale"
    assert client.get("/api/household").json()["name"] == "One"


@pytest.mark.parametrize(
    ("path", "one", "two"),
    [
        ("activities/acorn-count", {"title": "Acorns"}, {"title": "Counting"}),
        ("coop/x", {"host": "Voles"}, {"host": "Shrews"}),
    ],
)
def test_one_thing_among_many_has_a_version_of_its_own(
    client: TestClient, path: str, one: dict[str, str], two: dict[str, str]
) -> None:
    """RFC 9110, 13.1.1: with a tag of what is no longer there nothing is written, and both are told."""
    path = f"/api/{path}"
    if "coop" in path:
        assert client.put(path, json=day()).status_code == 200
    read = client.get(path)
    first = client.put(path, json=read.json() | one, headers={"if-match": read.headers["etag"]})
    assert first.status_code == 200
    assert client.get(path).headers["etag"] == first.headers["etag"] != read.headers["etag"]
    late = client.put(path, json=read.json() | two, headers={"if-match": read.headers["etag"]})
    assert (late.status_code, late.json()["kept"]) == (412, client.get(path).json())
    assert client.get(path).json() == read.json() | one
    assert client.put(path, json=read.json() | two, headers={"if-match": "*"}).json() == read.json() | two
    client.put(f"/api/weeks/{NEXT_WEEK}/wishes", json=[])
    assert client.delete(path).status_code == 204
    gone = client.put(path, json=read.json(), headers={"if-match": first.headers["etag"]})
    assert (gone.status_code, client.get(path).status_code) == (412, 404)


def test_the_catalogue_tells_the_version_of_each(client: TestClient) -> None:
    for line in client.get("/api/catalogue").json():
        assert client.get(f"/api/activities/{line['activity']['id']}").headers["etag"] == line["tag"]


def test_versions_never_come_again(client: TestClient) -> None:
    """A week taken out and put back is not taken for the one that was read before."""
    etag = client.get(f"/api/weeks/{NEXT_WEEK}").headers["etag"]
    whole = client.get("/api/document").json()
    client.put("/api/document", json=whole | {"weeks": whole["weeks"][:1]})
    client.put("/api/document", json=whole)
    late = client.put(f"/api/weeks/{NEXT_WEEK}/wishes", json=[], headers={"if-match": etag})
    assert late.status_code == 412


def test_a_strange_if_match_is_stale(client: TestClient) -> None:
    for strange in ('"abc"', 'W/"1"', "1.5", "9" * 400):
        put = client.put(f"/api/weeks/{WEEK}/wishes", json=[], headers={"if-match": strange})
        assert put.status_code == 412, strange
    assert client.put(f"/api/weeks/{WEEK}/wishes", json=[], headers={"if-match": "*"}).status_code == 200


def test_wishes_are_replaced(client: TestClient) -> None:
    wishes = [{"id": "count", "activity": "acorn-count", "rank": "promise"}]
    put = client.put(f"/api/weeks/{WEEK}/wishes", json=wishes)
    assert put.status_code == 200
    assert [wish["id"] for wish in put.json()["wishes"]] == ["count"]
    assert client.get(f"/api/weeks/{WEEK}").json() == put.json()
    assert client.get(f"/api/weeks/{NEXT_WEEK}").json()["wishes"][0]["id"] == "count"


def test_wishes_that_fit_nothing_are_refused_with_the_mend(client: TestClient) -> None:
    put = client.put(f"/api/weeks/{WEEK}/wishes", json=[{"id": "w", "activity": "leaf-stori"}])
    assert put.status_code == 422
    fault = put.json()["faults"][0]
    assert fault["path"] == "weeks[0].wishes[0].activity"
    assert "did you mean 'leaf-story'?" in fault["message"]
    assert len(client.get(f"/api/weeks/{WEEK}").json()["wishes"]) == 2


def test_two_wishes_with_one_id_are_refused(client: TestClient) -> None:
    wish = {"id": "w", "activity": "leaf-story"}
    put = client.put(f"/api/weeks/{WEEK}/wishes", json=[wish, wish])
    assert put.status_code == 422
    assert "share the id 'w'" in put.json()["detail"] + str(put.json()["faults"])


def test_a_household_that_no_longer_fits_its_weeks_is_refused(client: TestClient) -> None:
    household = client.get("/api/household").json()
    household["places"] = household["places"][:1]
    put = client.put("/api/household", json=household)
    assert put.status_code == 422
    assert "there is no place 'brook'" in put.json()["faults"][0]["message"]
    assert len(client.get("/api/household").json()["places"]) == 2


@pytest.mark.parametrize(
    "zone", ["Orchard/Nest", "Europe", "europe/london", "../localtime", "localtime", "right/UTC"]
)
def test_a_zone_that_no_clock_knows_is_refused(client: TestClient, zone: str) -> None:
    """The page could not say what time it is there, and would show nothing at all."""
    put = client.put("/api/household", json=client.get("/api/household").json() | {"time_zone": zone})
    assert put.status_code == 422
    fault = put.json()["faults"][0]
    assert fault["path"] == "time_zone"
    assert f"{zone!r} is no time zone; write one like Europe/London" in fault["message"]
    assert client.get("/api/household").json()["time_zone"] == "UTC"


def test_the_view_holds_all_that_the_page_needs(client: TestClient) -> None:
    view = client.get(f"/api/weeks/{WEEK}/view").json()
    assert view["week"]["id"] == WEEK
    assert view["weeks"] == [WEEK, NEXT_WEEK]
    assert {one["id"] for one in view["activities"]} == {"leaf-story", "brook-walk"}
    assert view["fixed_points"][0]["id"] == "lunch"
    assert view["stored"] is None
    assert view["job"] is None


def test_an_unchanged_view_is_not_sent_again(client: TestClient) -> None:
    first = client.get(f"/api/weeks/{WEEK}/view")
    known = {"if-none-match": f'"other", W/{first.headers["etag"]}'}
    second = client.get(f"/api/weeks/{WEEK}/view", headers=known)
    assert second.status_code == 304
    assert second.content == b""
    assert second.headers["cache-control"] == "private, no-cache"
    client.put(f"/api/weeks/{WEEK}/wishes", json=[])
    assert client.get(f"/api/weeks/{WEEK}/view", headers=known).status_code == 200


def test_a_week_without_a_plan_has_none(client: TestClient) -> None:
    answer = client.get(f"/api/weeks/{WEEK}/plan")
    assert answer.status_code == 404
    assert "solve" in answer.json()["detail"]


def test_what_is_sent_has_every_field_that_the_contract_names(client: TestClient) -> None:
    schemas = client.get("/api/openapi.json").json()["components"]["schemas"]
    view = client.get(f"/api/weeks/{WEEK}/view").json()
    for name, sent in (
        ("WeekView", view),
        ("Household", view["household"]),
        ("Child", view["household"]["children"][0]),
        ("Week", view["week"]),
        ("Activity", view["activities"][0]),
        ("Wish", view["week"]["wishes"][0]),
    ):
        assert set(sent) == set(schemas[name]["required"]) == set(schemas[name]["properties"]), name
