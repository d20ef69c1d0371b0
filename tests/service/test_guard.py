"""The door: hosts, other sites' writes, headers; and the page's files behind it."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from service.app import create_app
from service.guard import host_name
from tests.service.conftest import Serve
from tests.service.house import WEEK, document_json


@pytest.mark.parametrize("host", ["localhost", "localhost:8765", "127.0.0.1:80", "[::1]:8765", "LOCALHOST"])
def test_our_own_names(client: TestClient, host: str) -> None:
    assert client.get("/api/health", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    ["pond.example", "localhost.pond.example", "", "localhost@pond.example", "[::1", "10.0.0.7", "a/b"],
)
def test_other_names_are_refused(client: TestClient, host: str) -> None:
    """A page that points its own name at this machine must not read the family's data."""
    answer = client.get("/api/health", headers={"host": host})
    assert answer.status_code == 421
    assert answer.headers["content-type"] == "application/problem+json"


def test_the_host_that_was_given_is_a_name_of_ours(serve: Serve) -> None:
    client = serve(host="Tablet.local")
    assert client.get("/api/health", headers={"host": "tablet.local:8765"}).status_code == 200
    assert client.get("/api/health", headers={"host": "10.0.0.7"}).status_code == 421


def test_on_every_address_any_bare_address_will_do(serve: Serve) -> None:
    client = serve(host="0.0.0.0")
    assert client.get("/api/health", headers={"host": "10.0.0.7:8765"}).status_code == 200
    assert client.get("/api/health", headers={"host": "pond.example"}).status_code == 421


def test_host_names() -> None:
    assert host_name("Pond.Example:8080") == "pond.example"
    assert host_name("pond.example/x") == ""


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://pond.example"},
        {"origin": "null"},
        {"origin": "http://localhost:9999"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_another_site_may_not_write(client: TestClient, headers: dict[str, str]) -> None:
    put = client.put(f"/api/weeks/{WEEK}/wishes", json=[], headers=headers)
    assert put.status_code == 403
    assert len(client.get(f"/api/weeks/{WEEK}").json()["wishes"]) == 2


@pytest.mark.parametrize("headers", [{"origin": "http://localhost"}, {"sec-fetch-site": "same-origin"}, {}])
def test_our_own_page_may_write(client: TestClient, headers: dict[str, str]) -> None:
    assert client.put(f"/api/weeks/{WEEK}/wishes", json=[], headers=headers).status_code == 200


@pytest.mark.parametrize("path", ["/", "/api/health", "/api/nonsense", "/nonsense"])
def test_every_answer_is_dressed(client: TestClient, path: str) -> None:
    headers = client.get(path).headers
    policy = headers["content-security-policy"]
    assert "default-src 'self'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"
    assert "access-control-allow-origin" not in headers


def test_refusals_are_dressed_too(client: TestClient) -> None:
    answer = client.get("/", headers={"host": "pond.example"})
    assert "content-security-policy" in answer.headers


def test_family_data_are_not_kept_by_caches(client: TestClient) -> None:
    assert client.get("/api/household").headers["cache-control"] == "no-store"
    assert client.get(f"/api/weeks/{WEEK}/view").headers["cache-control"] == "private, no-cache"


def test_without_a_page_it_says_how_to_build_it(client: TestClient) -> None:
    answer = client.get("/")
    assert answer.status_code == 200
    assert "npm" in answer.text
    assert "<script" not in answer.text
    assert "style" not in answer.text


@pytest.fixture
def paged(tmp_path: Path) -> TestClient:
    page = tmp_path / "page"
    (page / "assets").mkdir(parents=True)
    (page / "index.html").write_text("<!doctype html><title>Pond</title>")
    (page / "assets" / "pond-4f2a.js").write_text("export {}")
    return TestClient(create_app(tmp_path / "data", page=page), base_url="http://localhost")


def test_the_page_is_asked_for_anew_and_its_assets_are_kept(paged: TestClient) -> None:
    with paged as client:
        index = client.get("/")
        assert "Pond" in index.text
        assert index.headers["cache-control"] == "no-cache"
        script = client.get("/assets/pond-4f2a.js")
        assert "immutable" in script.headers["cache-control"]
        assert script.headers["content-type"].startswith("text/javascript")
        assert client.get("/api/health").json()["ok"] is True


@pytest.mark.parametrize("path", ["/assets/none.js", "/../data/lapful.db", "/%2e%2e/data/lapful.db", "/none"])
def test_nothing_outside_the_page_is_served(paged: TestClient, path: str) -> None:
    with paged as client:
        client.put("/api/document", json=document_json())
        answer = client.get(path)
        assert answer.status_code == 404
        assert "cache-control" not in answer.headers or "immutable" not in answer.headers["cache-control"]
