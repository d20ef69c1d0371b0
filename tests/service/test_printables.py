"""Files that a family keeps: known by their bytes, bounded, saved and never run, carried and taken back."""

from __future__ import annotations

import base64
import hashlib
import json
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.care.copying import back_up
from service.catalogue.notation import read_resource, resource_line
from service.printables.kinds import FILE_LIMIT
from service.store import Store, keeping
from service.store.keeping import contents
from service.store.putback import restore
from solver.domain.activity import Resource
from tests.service.conftest import Serve, load
from tests.service.saying import Lapful

PDF = b"%PDF-1.7\n1 0 obj << >> endobj\n%%EOF\n"
PNG = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR4nGNgYGBgAAAABQABpfZFQAAAAABJRU5ErkJggg=="
)


def put(client: TestClient, body: bytes, name: str = "Frog cards.pdf") -> Any:
    return client.post("/api/printables", content=body, params={"name": name})


def naming(client: TestClient, printable: str) -> Any:
    story = client.get("/api/activities").json()[0]
    story["resources"] = [{"name": "cards", "file": printable}]
    return client.put(f"/api/activities/{story['id']}", json=story)


def test_a_file_comes_back_byte_for_byte_and_only_to_be_saved(client: TestClient) -> None:
    made = put(client, PDF)
    assert made.status_code == 201
    assert made.json()["mark"] == hashlib.sha256(PDF).hexdigest()
    answer = client.get(f"/api/printables/{made.json()['id']}/file")
    assert answer.content == PDF
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"] == "attachment; filename*=UTF-8''Frog%20cards.pdf"
    assert answer.headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize(
    ("body", "status"),
    [
        (b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>", 422),
        (b"<!doctype html><script>1</script>", 422),
        (b"MZ\x90\x00", 422),
        (b"", 422),
        (b" %PDF-1.7", 422),
        (PDF + b" " * FILE_LIMIT, 413),
    ],
)
def test_what_is_no_printable_is_refused_by_its_bytes(client: TestClient, body: bytes, status: int) -> None:
    answer = put(client, body, "nice.pdf")
    assert answer.status_code == status
    assert client.get("/api/printables").json() == []


def others(folder: Path) -> list[str]:
    """All files but the store's own, and the day's copy, which is made meanwhile."""
    files = (one.name for one in folder.rglob("*") if one.is_file() and one.parent.name != "backups")
    return sorted(name for name in files if not name.startswith("lapful.db"))


@pytest.mark.parametrize(
    "name", ["../../etc/passwd", "..\\up.pdf", 'a"; x="y', "línea\r\nSet-Cookie: a=b.pdf"]
)
def test_a_name_leads_nowhere(client: TestClient, tmp_path: Path, name: str) -> None:
    """Nothing is written under a name: contents lie in the store, and a header carries it in escapes."""
    before = others(tmp_path)
    made = put(client, PNG, name).json()
    said = client.get(f"/api/printables/{made['id']}/file").headers["content-disposition"]
    given = said.removeprefix("attachment; filename*=UTF-8''")
    assert not set(given) & set('/\\"; \r\n')
    assert given.endswith(".png"), "its ending is what it is, not what it was called"
    assert others(tmp_path) == before
    assert client.get("/api/printables/..%2F..%2Flapful.db/file").status_code == 404


def test_an_activity_names_what_is_kept_and_keeps_it(client: TestClient) -> None:
    assert naming(client, "nowhere").status_code == 422
    made = put(client, PDF).json()
    assert naming(client, made["id"]).status_code == 200
    refused = client.delete(f"/api/printables/{made['id']}")
    assert refused.status_code == 422
    assert "Leaf story need it" in refused.json()["detail"]
    amounts = client.get("/api/activities/leaf-story/amounts").json()
    assert amounts["resources"][0]["file"] == made["id"]


def test_taking_out_is_taken_back_with_its_content(client: TestClient) -> None:
    made = put(client, PDF).json()
    assert client.delete(f"/api/printables/{made['id']}").status_code == 204
    put(client, PNG, "leaf.png")
    assert client.get(f"/api/printables/{made['id']}/file").status_code == 404
    for _ in range(2):
        assert client.post("/api/undo").status_code == 200
    assert client.get(f"/api/printables/{made['id']}/file").content == PDF


def test_what_nothing_speaks_of_makes_room(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(keeping, "ALL_LIMIT", len(PDF) + len(PNG))
    put(client, PDF)
    put(client, PNG, "leaf.png")
    other = PDF + b"%other\n"
    assert put(client, other).status_code == 413
    assert len(client.get("/api/printables").json()) == 2
    for one in client.get("/api/printables").json():
        client.delete(f"/api/printables/{one['id']}")
    assert put(client, other).status_code == 413, "taking out can still be taken back"
    load(client)
    for number in range(60):
        client.put("/api/record/rules/burr", json=rule(number))
    assert put(client, other).status_code == 201, "those steps are forgotten by now"


def rule(target: int) -> dict[str, Any]:
    return {"child": "burr", "kind": "days", "since": "2027-01-01", "until": "2027-12-31", "target": target}


def test_a_backup_and_the_whole_household_hold_the_files(
    serve: Serve, store_with_file: Path, tmp_path: Path, lapful: Lapful
) -> None:
    whole = serve(folder=store_with_file)
    body = whole.get("/api/whole").json()
    assert [base64.b64decode(one) for one in body["files"]] == [PDF]
    assert whole.get("/api/whole", params={"files": False}).json()["files"] == []
    other = serve(folder=tmp_path / "other")
    assert other.put("/api/whole", json=body).json()["files"] == 1
    (named,) = other.get("/api/printables").json()
    assert other.get(f"/api/printables/{named['id']}/file").content == PDF
    carried = tmp_path / "whole.json"
    carried.write_text(json.dumps(body))
    said = lapful("import", carried, "--data", tmp_path / "third")
    assert (said.code, "1 files" in said.out) == (0, True), said.err
    copy = back_up(store_with_file, tmp_path / "copy.db")
    restore(copy, tmp_path / "back")
    with closing(Store(tmp_path / "back")) as store:
        assert contents(store) == (PDF,)


@pytest.fixture
def store_with_file(serve: Serve, tmp_path: Path) -> Path:
    client = serve(folder=tmp_path / "first")
    load(client)
    put(client, PDF)
    return tmp_path / "first"


def test_a_script_does_not_come_in_with_a_household(client: TestClient) -> None:
    body = client.get("/api/whole").json()
    body["files"] = [base64.b64encode(b"<script>").decode()]
    answer = client.put("/api/whole", json=body)
    assert answer.status_code == 422
    assert "neither a PDF nor" in answer.text


def test_a_table_carries_which_printable_it_is() -> None:
    for one in (Resource(name="cards", file="abc"), Resource(name="link", address="https://example.org")):
        assert Resource.model_validate(read_resource(resource_line(one))) == one
