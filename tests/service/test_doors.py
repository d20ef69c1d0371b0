"""The home network: nobody comes in without being paired, and nobody stays in who was shut out."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from service.app import create_app
from service.doors import tries as counting
from service.doors.invitation import invite
from service.doors.keeper import AUTHORITY, COOKIE, OPEN, OPEN_BELOW
from service.doors.network import home_address, is_here, is_loopback
from service.doors.tries import Tries
from service.errors import TooOften
from service.store import Store, devices
from tests.service.conftest import Serve
from tests.service.house import WEEK, document_json

TABLET = ("192.168.7.20", 40000)
LAPTOP = ("127.0.0.1", 40001)
From = Callable[..., TestClient]


@pytest.fixture
def home(serve: Serve) -> TestClient:
    """A server for the home network, seen from the machine that runs it."""
    client = serve(host="0.0.0.0")
    client._transport.client = LAPTOP  # type: ignore[attr-defined]
    assert client.put("/api/document", json=document_json()).status_code == 200
    return client


@pytest.fixture
def come(home: TestClient) -> From:
    """Somebody else at the same server."""

    def visitor(address: tuple[str, int] = TABLET) -> TestClient:
        client = TestClient(
            home.app, base_url="http://192.168.7.2:8027", client=address, raise_server_exceptions=False
        )
        client.follow_redirects = False
        return client

    return visitor


def _secret(home: TestClient) -> str:
    answer = home.post("/api/pairing/offer")
    assert answer.status_code == 200, answer.text
    secret: str = answer.json()["address"].partition("#")[2]
    return secret


def _pair(client: TestClient, secret: str, name: str = "Kitchen tablet") -> int:
    return client.post("/api/pairing", json={"secret": secret, "name": name}).status_code


def test_this_machine_needs_no_pairing(home: TestClient) -> None:
    assert home.get("/api/household").status_code == 200


def test_every_address_is_shut_to_strangers(home: TestClient, come: From) -> None:
    """Taken from the contract, so that a new address is tried as soon as it is there."""
    stranger = come()
    tried = 0
    for path, operations in home.get("/api/openapi.json").json()["paths"].items():
        if path in OPEN or path.startswith(OPEN_BELOW):
            continue
        for method in operations:
            answer = stranger.request(method, path.replace("{week}", WEEK))
            assert answer.status_code == 401, (method, path)
            assert answer.headers["www-authenticate"].startswith("Bearer")  # RFC 9110, section 11.6.1
            assert "hedgehog" not in answer.text
            tried += 1
    assert tried > 15
    assert stranger.get("/api/openapi.json").status_code == 401
    assert stranger.get("/assets/none.js").status_code == 401


def test_a_stranger_is_not_even_read(home: TestClient, come: From) -> None:
    """A whole household may weigh 64 MiB: nobody who is not let in may have the server read one."""
    deep = b"[" * 100 + b"]" * 100
    asked = {"content": deep, "headers": {"content-type": "application/json"}}
    for path in ("/api/whole", "/api/document"):
        assert come().post(path, **asked).status_code == 401
        assert home.post(path, **asked).status_code == 400


def test_what_is_open_tells_nothing_of_the_family(come: From) -> None:
    stranger = come()
    for path in (*OPEN - {"/api/pairing", AUTHORITY}, "/api/problems/stale"):
        answer = stranger.get(path)
        assert answer.status_code == 200, path
        assert "hedgehog" not in answer.text.lower()
        assert "unsafe" not in answer.headers["content-security-policy"]
    assert stranger.get("/feed/guessed.ics").status_code == 404


def test_a_stranger_s_page_leads_to_pairing(come: From) -> None:
    answer = come().get("/", headers={"accept": "text/html"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/pair")
    assert come().get("/").status_code == 401


def test_pairing_lets_one_device_in(home: TestClient, come: From) -> None:
    tablet, neighbour = come(), come(("192.168.7.66", 5))
    assert _pair(tablet, _secret(home)) == 201
    assert tablet.get("/api/household").status_code == 200
    assert tablet.put(f"/api/weeks/{WEEK}/wishes", json=[]).status_code == 200
    assert neighbour.get("/api/household").status_code == 401
    assert home.get("/api/devices").json()[0]["name"] == "Kitchen tablet"


def test_the_cookie_is_out_of_reach_of_scripts_and_other_sites(home: TestClient, come: From) -> None:
    answer = come().post("/api/pairing", json={"secret": _secret(home)})
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert answer.json().keys() == {"id", "name", "paired_at", "seen_on"}


def test_a_secret_is_good_once(home: TestClient, come: From) -> None:
    secret = _secret(home)
    assert _pair(come(), secret) == 201
    assert _pair(come(), secret) == 401


def test_a_newer_picture_ends_the_older(home: TestClient, come: From) -> None:
    older, newer = _secret(home), _secret(home)
    assert _pair(come(), older) == 401
    assert _pair(come(), newer) == 201


@pytest.mark.parametrize(("later", "status"), [(299, 201), (300, 401), (-1, 401), (-40_000_000, 401)])
def test_a_secret_is_good_for_five_minutes_of_a_clock_that_runs(
    home: TestClient, come: From, monkeypatch: pytest.MonkeyPatch, later: int, status: int
) -> None:
    """A clock that falls back ends it, rather than making it last."""
    begun = 1_800_000_000
    monkeypatch.setattr(devices, "_seconds", lambda: begun)
    secret = _secret(home)
    monkeypatch.setattr(devices, "_seconds", lambda: begun + later)
    assert _pair(come(), secret) == status


def test_a_device_is_shut_out_at_once(home: TestClient, come: From) -> None:
    tablet, other = come(), come()
    _pair(tablet, _secret(home), "Lost")
    _pair(other, _secret(home), "Kept")
    lost = next(one["id"] for one in home.get("/api/devices").json() if one["name"] == "Lost")
    assert home.delete(f"/api/devices/{lost}").status_code == 204
    assert tablet.get("/api/household").status_code == 401
    assert other.get("/api/household").status_code == 200
    assert home.delete(f"/api/devices/{lost}").status_code == 404


def test_tokens_and_secrets_are_kept_as_hashes_alone(home: TestClient, come: From, tmp_path: Path) -> None:
    tablet, spare = come(), _secret(home)
    _pair(tablet, spare)
    token, waiting = tablet.cookies[COOKIE], _secret(home)
    kept = b"".join(file.read_bytes() for file in (tmp_path / "data").rglob("*") if file.is_file())
    for secret in (token, spare, waiting):
        assert len(secret) >= 43, "256 bits"
        assert secret.encode() not in kept


def test_a_bearer_token_will_do_too(home: TestClient, come: From) -> None:
    tablet = come()
    _pair(tablet, _secret(home))
    token = tablet.cookies[COOKIE]
    app = come()
    assert app.get("/api/household", headers={"authorization": f"Bearer {token}"}).status_code == 200
    for wrong in (token[:-1], f"{token}x", "", "x" * 5000, token.swapcase()):
        answer = come().get("/api/household", headers={"authorization": f"Bearer {wrong}"})
        assert answer.status_code == 401


@pytest.mark.parametrize("cookie", ["lapful_device", "lapful_device=;;;", "=", '"', "lapful_device=\\x00"])
def test_strange_cookies(come: From, cookie: str) -> None:
    assert come().get("/api/household", headers={"cookie": cookie}).status_code == 401


def test_only_this_machine_lets_devices_in(home: TestClient, come: From) -> None:
    tablet = come()
    _pair(tablet, _secret(home))
    assert tablet.post("/api/pairing/offer").status_code == 401


@pytest.mark.parametrize("header", ["x-forwarded-for", "forwarded", "via", "x-real-ip"])
def test_a_proxy_on_this_machine_does_not_count_as_this_machine(home: TestClient, header: str) -> None:
    assert home.get("/api/household", headers={header: "203.0.113.9"}).status_code == 401


def test_another_site_cannot_pair_or_offer(home: TestClient, come: From) -> None:
    secret, headers = _secret(home), {"origin": "http://pond.example"}
    answer = come().post("/api/pairing", json={"secret": secret}, headers=headers)
    assert answer.status_code == 403
    assert home.post("/api/pairing/offer", headers=headers).status_code == 403


def test_guessing_is_slowed_down(home: TestClient, come: From) -> None:
    guesser = come(("192.168.7.66", 1))
    answers = [_pair(guesser, f"guess-{number}") for number in range(counting.EACH + 3)]
    assert answers == [401] * counting.EACH + [429] * 3
    late = guesser.post("/api/pairing", json={"secret": "x"})
    assert late.headers["retry-after"]
    assert _pair(come(), _secret(home)) == 201, "somebody else may still pair"


def test_guessing_tokens_is_slowed_down_too(come: From) -> None:
    guesser = come()
    wrong = {"authorization": "Bearer guess"}
    seen = {guesser.get("/api/household", headers=wrong).status_code for _ in range(counting.EACH + 1)}
    assert seen == {401, 429}


def test_tries_are_forgotten_after_a_minute_by_the_running_clock() -> None:
    at = [0.0]
    tries = Tries(lambda: at[0])
    for _ in range(counting.EACH):
        tries.admit("a")
        tries.wrong("a")
    with pytest.raises(TooOften):
        tries.admit("a")
    tries.admit("b")
    at[0] = counting.WINDOW_S
    tries.admit("a")


def test_many_addresses_together_are_slowed_down() -> None:
    tries = Tries(lambda: 0.0)
    for number in range(counting.TOGETHER):
        tries.admit(f"10.0.0.{number}")
        tries.wrong(f"10.0.0.{number}")
    with pytest.raises(TooOften):
        tries.admit("10.9.9.9")


def test_the_secret_is_in_the_fragment_alone(serve: Serve, tmp_path: Path) -> None:
    """RFC 3986, section 3.5: a fragment is not sent to the server."""
    store = Store(tmp_path / "alone")
    given = invite(store, "0.0.0.0", 8027)
    page, _, secret = given.address.partition("#")
    assert page.endswith(":8027/pair")
    assert len(secret) >= 43
    assert ET.fromstring(given.picture).tag.endswith("svg")
    store.close()


def test_a_server_for_this_machine_offers_nothing(serve: Serve) -> None:
    client = serve()
    client._transport.client = LAPTOP  # type: ignore[attr-defined]
    answer = client.post("/api/pairing/offer")
    assert answer.status_code == 422
    assert "--home-network" in answer.json()["detail"]


def test_a_home_server_without_its_names_is_still_found_by_address_alone(come: From) -> None:
    assert come().get("/api/health", headers={"host": "pond.example"}).status_code == 421


@pytest.mark.parametrize(
    ("host", "here"),
    [
        ("127.0.0.1", True),
        ("127.9.9.9", True),
        ("::1", True),
        ("::ffff:127.0.0.1", True),
        ("10.0.0.1", False),
    ],
)
def test_where_a_request_comes_from(host: str, here: bool) -> None:
    """RFC 1122 keeps 127.0.0.0/8 for the machine itself, RFC 4291 ::1."""
    assert is_here({"type": "http", "client": (host, 1), "headers": []}) is here


def test_listening_addresses() -> None:
    assert is_loopback("localhost")
    assert is_loopback("[::1]")
    assert not is_loopback("0.0.0.0")
    assert not is_loopback("::")
    assert not is_loopback("")
    assert home_address("[fd00::7]") == "fd00::7"


def test_a_page_folder_makes_no_hole(tmp_path: Path) -> None:
    page = tmp_path / "page"
    page.mkdir()
    (page / "index.html").write_text("<!doctype html><title>Pond</title>")
    app = create_app(tmp_path / "data", page=page, host="0.0.0.0")
    with TestClient(app, base_url="http://192.168.7.2", client=TABLET) as stranger:
        stranger.follow_redirects = False
        for path in ("/index.html", "/pair/../index.html", "//", "/pair.js/../index.html", "/PAIR", "/pair/"):
            answer = stranger.get(path)
            assert answer.status_code in (401, 404, 303, 307), path
            assert "Pond" not in answer.text
