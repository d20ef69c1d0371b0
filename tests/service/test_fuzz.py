"""What nobody should send, some of it: ``python -m service.bench.fuzz`` sends twenty thousand."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from service.app import create_app
from service.bench import fuzz
from service.bench.hostile import as_text, spoiled
from service.errors import BrokenJson, TooLarge
from service.guard import NESTING_LIMIT, VALUES_LIMIT, look_at
from service.store import Store
from solver.check import check
from solver.domain.plan import Plan
from solver.domain.week import Problem
from tests.service.conftest import Serve, load
from tests.service.house import NEXT_WEEK, WEEK, document_json


@pytest.mark.filterwarnings("ignore")
def test_nothing_breaks_and_nothing_hangs(tmp_path: Path) -> None:
    harm = fuzz.run(tmp_path, 160, seed=5, few=True)
    assert harm.broken == []
    assert harm.slow == []
    assert harm.flaws == []
    assert harm.requests >= 160
    assert {"drawn", "spoiled", "torn", "impossible", "flood", "address", "ordinary"} <= set(harm.kinds)
    assert harm.plans_checked == 1
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


def quick(problem: Problem, *, seed: int, **more: Any) -> Plan:
    """The real solver, held to half a second."""
    from solver.search import solve

    return solve(problem, **(more | {"seconds": 0.5, "seed": seed, "workers": 1}))


class AFamily(RuleBasedStateMachine):
    """Whatever a family does in whatever order: what it sees is what it did, and every plan holds."""

    folder: Path

    def __init__(self) -> None:
        super().__init__()
        AFamily.count += 1
        app = create_app(self.folder / str(AFamily.count), solve="tests.service.test_fuzz:quick")
        self.client = TestClient(app, base_url="http://localhost", raise_server_exceptions=False)
        self.client.__enter__()
        self.past: list[Any] = []
        self.future: list[Any] = []
        self.carried: Any = None
        self.plans = 0
        self.ticks = 0

    count = 0

    def _document(self) -> Any:
        return self.client.get("/api/document").json()

    def _state(self) -> Any:
        return self._document(), self.client.get(f"/api/weeks/{WEEK}/marks").json()

    def _changing(self, answer: Any, before: Any) -> None:
        assert answer.status_code == 200, answer.text
        if self._state() != before:
            self.past.append(before)
            self.future.clear()

    @initialize()
    def put_in(self) -> None:
        assert self.client.put("/api/document", json=document_json()).status_code == 200

    @rule(name=st.text(min_size=1, max_size=20).filter(lambda text: text.strip() and text.isprintable()))
    def rename(self, name: str) -> None:
        before = self._state()
        household = before[0]["household"] | {"name": name}
        self._changing(self.client.put("/api/household", json=household), before)

    @rule(times=st.integers(1, 3), rank=st.sampled_from(["promise", "staple", "extra"]))
    def wish(self, times: int, rank: str) -> None:
        before = self._state()
        wishes = [{"id": "story", "activity": "leaf-story", "rank": rank, "times": times}]
        self._changing(self.client.put(f"/api/weeks/{WEEK}/wishes", json=wishes), before)

    @rule()
    def take_the_second_week_out(self) -> None:
        before = self._state()
        first = before[0] | {"weeks": before[0]["weeks"][:1]}
        self._changing(self.client.put("/api/document", json=first), before)

    @precondition(lambda self: self.past)
    @rule()
    def undo(self) -> None:
        now = self._state()
        assert self.client.post("/api/undo").status_code == 200
        assert self._state() == self.past[-1]
        self.past.pop()
        self.future.append(now)

    @precondition(lambda self: self.future)
    @rule()
    def redo(self) -> None:
        now = self._state()
        assert self.client.post("/api/redo").status_code == 200
        assert self._state() == self.future[-1]
        self.future.pop()
        self.past.append(now)

    @rule(outcome=st.sampled_from(["done", "loved", "no"]))
    def tick(self, outcome: str) -> None:
        self.ticks += 1
        before, ident = self._state(), f"tick-number-{self.ticks}"
        at = f"2027-02-01T{self.ticks // 60:02}:{self.ticks % 60:02}:00Z"
        item = {"id": ident, "at": at, "week": WEEK, "booking": "story.1.1", "outcome": outcome}
        for _ in range(2):
            # Sent twice, as after a lost answer: it is taken once.
            answer = self.client.post("/api/outbox", json=[item])
            assert answer.json() == {"ids": [ident]}
        self._changing(answer, before)
        assert self._state()[1]["ticks"][0]["outcome"] == outcome

    @rule()
    def export(self) -> None:
        self.carried = self.client.get("/api/whole").json()

    @precondition(lambda self: self.carried)
    @rule()
    def take_in(self) -> None:
        before = self._state()
        self._changing(self.client.put("/api/whole", json=self.carried), before)
        assert self._document() == self.carried["document"]
        for plan in self.carried["plans"]:
            assert self.client.get(f"/api/weeks/{plan['week']}/plan").json()["plan"] == plan

    @precondition(lambda self: self.plans < 2)
    @rule(seed=st.integers(0, 9))
    def plan(self, seed: int) -> None:
        self.plans += 1
        job = self.client.post(f"/api/weeks/{WEEK}/solve", json={"seed": seed}).json()
        # The stream of events ends when the search does.
        self.client.get(f"/api/jobs/{job['id']}/events")
        ended = self.client.get(f"/api/jobs/{job['id']}").json()
        assert ended["state"] == "done", ended

    @rule()
    def cancel_a_plan(self) -> None:
        job = self.client.post(f"/api/weeks/{WEEK}/solve").json()
        assert self.client.delete(f"/api/jobs/{job['id']}").json()["state"] in ("cancelled", "done")

    @invariant()
    def every_current_plan_holds(self) -> None:
        for week in (WEEK, NEXT_WEEK):
            answer = self.client.get(f"/api/weeks/{week}/plan")
            if answer.status_code == 200 and answer.json()["is_current"]:
                store: Store = self.client.app.state.store  # type: ignore[attr-defined]
                problem = store.current().document.problem(week)
                assert check(problem, Plan.model_validate(answer.json()["plan"])) == []

    def teardown(self) -> None:
        self.client.__exit__(None, None, None)
        harm = fuzz.Harm()
        fuzz.look_after(self.folder / str(AFamily.count), harm)
        assert harm.well


def test_a_family_s_ways(tmp_path: Path) -> None:
    AFamily.folder = tmp_path
    few = settings(
        max_examples=4,
        stateful_step_count=14,
        deadline=None,
        database=None,
        derandomize=True,
        suppress_health_check=list(HealthCheck),
    )
    run_state_machine_as_test(AFamily, settings=few)
