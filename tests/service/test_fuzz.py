"""What nobody should send, some of it: ``python -m service.bench.fuzz`` sends twenty thousand."""

from __future__ import annotations

import json
import random
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from service.bench import fuzz
from service.bench.hostile import as_text, spoiled
from service.errors import BrokenJson, TooLarge
from service.guard import NESTING_LIMIT, VALUES_LIMIT, look_at
from service.store import Store
from tests.service.conftest import Serve, load
from tests.service.house import document_json


@pytest.mark.filterwarnings("ignore")
def test_nothing_breaks_and_nothing_hangs(tmp_path: Path) -> None:
    harm = fuzz.run(tmp_path, 160, seed=5, few=True)
    assert harm.broken == []
    assert harm.slow == []
    assert harm.flaws == []
    assert harm.requests >= 160
    assert {"drawn", "spoiled", "torn", "impossible", "flood", "address", "ordinary"} <= set(harm.kinds)
    assert harm.plans_checked == 1
    assert harm.bookings_checked > 5, "a week that the real search made"
    assert harm.plans_refused == 0
    assert harm.statuses[422] > 10, "spoiled bodies must reach the checks of the household"


def test_the_fuzz_would_notice_a_fault(serve: Serve, monkeypatch: pytest.MonkeyPatch) -> None:
    client = serve()
    load(client)

    def breaks(_: Store) -> bool:
        raise RuntimeError("acorns in the gears")

    monkeypatch.setattr(Store, "has_household", breaks)
    harm = fuzz.Harm()
    fuzz.Fuzz(client, document_json(), 1, harm).send("address", "GET", "/api/health")
    assert not harm.well


def _bracketed(depth: int) -> bytes:
    return b'{"a":' * (depth - 1) + b"[]" + b"}" * (depth - 1)


def test_nesting_is_limited_to_the_bracket() -> None:
    """RFC 8259, section 9: a parser may limit the depth of nesting."""
    look_at(_bracketed(NESTING_LIMIT), VALUES_LIMIT)
    with pytest.raises(BrokenJson):
        look_at(_bracketed(NESTING_LIMIT + 1), VALUES_LIMIT)
    for encoding in ("utf-8-sig", "utf-16", "utf-32"):
        with pytest.raises(BrokenJson):
            look_at(_bracketed(NESTING_LIMIT + 1).decode().encode(encoding), VALUES_LIMIT)


def test_brackets_in_texts_are_no_nesting() -> None:
    look_at(json.dumps(["[" * 500, '\\"[{' * 500, "\\"]).encode(), VALUES_LIMIT)


def test_values_are_limited_to_the_comma() -> None:
    look_at(b"[" + b"0," * 7 + b"0]", 7)
    with pytest.raises(TooLarge):
        look_at(b"[" + b"0," * 8 + b"0]", 7)
    look_at(b"name,born\n" * 9000, 7)


def test_spoiled_bodies_differ_from_the_good_one() -> None:
    good, chance = document_json(), random.Random(3)
    made = {as_text(spoiled(good, chance)) for _ in range(50)}
    assert len(made) > 40
    assert good == document_json()


@pytest.mark.parametrize("raw", [b'"' + b'\\"' * 2_000_000, b'"' * 4_000_000, b'"\\' * 2_000_000])
def test_texts_that_never_end_are_looked_at_once(client: TestClient, raw: bytes) -> None:
    """Each byte once: a search that went back at every quote would take hours."""
    headers = {"content-type": "application/json"}
    assert client.put("/api/document", content=b"{" * 70 + raw, headers=headers).status_code == 400
