"""Whatever a family does, in whatever order, through the API: a state machine that hypothesis drives."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from fastapi.testclient import TestClient
from hypothesis import HealthCheck, Phase, settings
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
from service.store import Store
from solver.check import check
from solver.domain.base import DAYS
from solver.domain.plan import Plan
from solver.domain.week import Problem
from tests.service.house import NEXT_WEEK, WEEK, document, document_json

MENDS_MOST, MOVES_MOST, PLANS_MOST = 3, 2, 1
BOOKINGS = ("story.1.1", "story.2.1", "walk.1.1", "nothing")
MISHAPS = (
    {"kind": "day-lost", "day": "monday"},
    {"kind": "day-lost", "day": "tuesday", "children": ["burr"]},
    {"kind": "tired", "day": "monday"},
    {"kind": "sky", "day": "monday", "wet": True},
    {"kind": "missing", "what": "brook"},
    {"kind": "roster", "adult": "bramble", "day": "wednesday"},
    {"kind": "nap-failed", "child": "nobody", "day": "monday"},
)


def quick(problem: Problem, *, seed: int, **more: Any) -> Plan:
    """The real solver, held to half a second."""
    from solver.search import solve

    return solve(problem, **(more | {"seconds": 0.5, "seed": seed, "workers": 1}))


@cache
def first_plan() -> Plan:
    """A week to begin with."""
    return quick(document().problem(WEEK), seed=1)


@dataclass(frozen=True)
class Seen:
    """What the family sees at one moment."""

    document: Any
    marks: Any
    plan: Any
    solves: int
    """Searches cannot be taken back, so a plan found meanwhile stays."""
    newest: int | None
    """The change that would be taken back next."""

    @property
    def week(self) -> Any:
        (week,) = [one for one in self.document["weeks"] if one["id"] == WEEK]
        return week

    @property
    def week_rests_on(self) -> Any:
        return self.document["household"], self.document["activities"], self.week

    def looks_like(self, other: Seen) -> bool:
        same_plan = self.solves != other.solves or self.plan == other.plan
        return (self.document, self.marks) == (other.document, other.marks) and same_plan


@dataclass(frozen=True)
class Way:
    """An offer, or a way to move something, and what the family saw when it was made."""

    accept: str
    offered: Any
    seen: Seen
    plan_id: int


class AFamily(RuleBasedStateMachine):
    """What it sees is what it did, every plan holds, and nothing ends in a fault of ours."""

    folder: Path
    count = 0

    def __init__(self) -> None:
        super().__init__()
        AFamily.count += 1
        app = create_app(self.folder / str(AFamily.count), solve="tests.service.test_family_ways:quick")
        self.client = TestClient(app, base_url="http://localhost", raise_server_exceptions=False)
        self.client.__enter__()
        self.past: list[Seen] = []
        self.future: list[Seen] = []
        self.carried: Any = None
        self.ways: list[Way] = []
        self.solves = self.mends = self.moves = self.ticks = 0

    def _stored(self) -> Any:
        answer = self.client.get(f"/api/weeks/{WEEK}/plan")
        return answer.json() if answer.status_code == 200 else None

    def _seen(self) -> Seen:
        stored = self._stored()
        changes = self.client.get("/api/changes").json()
        return Seen(
            document=self.client.get("/api/document").json(),
            marks=self.client.get(f"/api/weeks/{WEEK}/marks").json(),
            plan=stored["plan"] if stored else None,
            solves=self.solves,
            newest=next((one["id"] for one in changes if not one["undone"]), None),
        )

    def _changing(self, answer: Any, before: Seen) -> None:
        assert answer.status_code == 200, answer.text
        self._noting(before)

    def _noting(self, before: Seen) -> None:
        if self._seen().newest != before.newest:
            self.past.append(before)
            self.future.clear()

    @initialize()
    def put_in(self) -> None:
        assert self.client.put("/api/document", json=document_json()).status_code == 200
        store: Store = self.client.app.state.store  # type: ignore[attr-defined]
        store.add_plan(first_plan(), store.current().made_from(WEEK))

    @rule(name=st.text(min_size=1, max_size=20).filter(lambda text: text.strip() and text.isprintable()))
    def rename(self, name: str) -> None:
        before = self._seen()
        household = before.document["household"] | {"name": name}
        self._changing(self.client.put("/api/household", json=household), before)

    @rule(times=st.integers(1, 3), rank=st.sampled_from(["promise", "staple", "extra"]))
    def wish(self, times: int, rank: str) -> None:
        before = self._seen()
        wishes = [{"id": "story", "activity": "leaf-story", "rank": rank, "times": times}]
        answer = self.client.put(f"/api/weeks/{WEEK}/wishes", json=wishes)
        if any(one["wish"] != "story" for one in before.week["firm"]):
            # What is held firm, or was done by now, is not wished away.
            assert answer.status_code == 422, answer.text
        else:
            self._changing(answer, before)

    @rule()
    def take_the_second_week_out(self) -> None:
        before = self._seen()
        first = before.document | {"weeks": before.document["weeks"][:1]}
        self._changing(self.client.put("/api/document", json=first), before)

    @precondition(lambda self: self.past)
    @rule()
    def undo(self) -> None:
        now = self._seen()
        assert self.client.post("/api/undo").status_code == 200
        assert self._seen().looks_like(self.past[-1])
        self.past.pop()
        self.future.append(now)

    @precondition(lambda self: self.future)
    @rule()
    def redo(self) -> None:
        now = self._seen()
        assert self.client.post("/api/redo").status_code == 200
        assert self._seen().looks_like(self.future[-1])
        self.future.pop()
        self.past.append(now)

    @rule(outcome=st.sampled_from(["done", "loved", "no"]))
    def tick(self, outcome: str) -> None:
        self.ticks += 1
        before, ident = self._seen(), f"tick-number-{self.ticks}"
        at = f"2027-02-01T{self.ticks // 60:02}:{self.ticks % 60:02}:00Z"
        item = {"id": ident, "at": at, "week": WEEK, "booking": "story.1.1", "outcome": outcome}
        for _ in range(2):
            # Sent twice, as after a lost answer: it is taken once.
            answer = self.client.post("/api/outbox", json=[item])
            assert answer.json() == {"ids": [ident]}
        self._changing(answer, before)
        assert self._seen().marks["ticks"][0]["outcome"] == outcome

    @rule()
    def export(self) -> None:
        self.carried = self.client.get("/api/whole").json()

    @precondition(lambda self: self.carried)
    @rule()
    def take_in(self) -> None:
        before = self._seen()
        answer = self.client.put("/api/whole", json=self.carried)
        self._changing(answer, before)
        assert self._seen().document == self.carried["document"]
        for plan in self.carried["plans"]:
            if plan["week"] not in answer.json()["plans_left"]:
                assert self.client.get(f"/api/weeks/{plan['week']}/plan").json()["plan"] == plan

    @precondition(lambda self: self.solves < PLANS_MOST)
    @rule(seed=st.integers(0, 9))
    def plan(self, seed: int) -> None:
        before = self._seen()
        self.solves += 1
        job = self.client.post(f"/api/weeks/{WEEK}/solve", json={"seed": seed}).json()
        # The stream of events ends when the search does.
        self.client.get(f"/api/jobs/{job['id']}/events")
        ended = self.client.get(f"/api/jobs/{job['id']}").json()
        assert ended["state"] == "done", ended
        self._noting(before)

    @rule()
    def cancel_a_plan(self) -> None:
        before = self._seen()
        job = self.client.post(f"/api/weeks/{WEEK}/solve").json()
        cancelled = self.client.delete(f"/api/jobs/{job['id']}").json()["state"]
        assert cancelled in ("cancelled", "done")
        self.solves += cancelled == "done"
        self._noting(before)

    @precondition(lambda self: self.mends < MENDS_MOST and self._stored())
    @rule(mishap=st.sampled_from(MISHAPS))
    def mend(self, mishap: dict[str, Any]) -> None:
        self.mends += 1
        seen, stored = self._seen(), self._stored()
        answer = self.client.post(f"/api/weeks/{WEEK}/mend", json={"mishaps": [mishap], "seconds": 0.3})
        # A plan that was overtaken may name what the week no longer has.
        told = 422 if "nobody" in mishap.values() or not stored["is_current"] else 200
        assert answer.status_code in (200, told), answer.text
        for one in answer.json().get("offers", ()):
            accept = f"/api/weeks/{WEEK}/offers/{one['id']}/accept"
            self.ways.append(Way(accept, one["offer"], seen, stored["id"]))

    @precondition(lambda self: self.moves < MOVES_MOST and self._stored())
    @rule(
        booking=st.sampled_from(BOOKINGS),
        day=st.sampled_from([one.value for one in DAYS[:5]]),
        stretch=st.sampled_from(["morning", "afternoon"]),
    )
    def move(self, booking: str, day: str, stretch: str) -> None:
        self.moves += 1
        seen, stored = self._seen(), self._stored()
        spot = {"day": day, "stretch": stretch}
        answer = self.client.post(f"/api/weeks/{WEEK}/bookings/{booking}/move", json=spot)
        known = booking in [one["id"] for one in stored["plan"]["bookings"]]
        # A plan that was overtaken, and does not hold any more, is not changed by hand.
        assert answer.status_code == (200 if known else 404) or (
            answer.status_code == 412 and not stored["is_current"]
        ), answer.text
        for one in answer.json().get("offers", ()):
            accept = f"/api/weeks/{WEEK}/offers/{one['id']}/accept"
            self.ways.append(Way(accept, one["offer"], seen, stored["id"]))

    @precondition(lambda self: self.ways)
    @rule(chance=st.randoms(use_true_random=False))
    def take_a_way(self, chance: Any) -> None:
        """What was offered is done as it was offered, or not at all when the week is another by now."""
        way = chance.choice(self.ways)
        before, stored = self._seen(), self._stored()
        answer = self.client.post(way.accept)
        after = self._seen()
        as_then = stored and stored["id"] == way.plan_id and before.week_rests_on == way.seen.week_rests_on
        if answer.status_code != 200:
            # Only the latest answers are kept (404).
            assert answer.status_code == 404 or (answer.status_code, as_then) == (412, False), answer.text
            assert after == before
            return
        assert as_then, "the week was changed since this was offered"
        self._changing(answer, before)
        assert (after.week, after.plan) == (way.offered["week"], way.offered["plan"])

    @precondition(lambda self: self._stored())
    @rule(booking=st.sampled_from(BOOKINGS), firm=st.booleans())
    def hold(self, booking: str, firm: bool) -> None:
        before, stored = self._seen(), self._stored()
        known = booking in [one["id"] for one in stored["plan"]["bookings"]]
        answer = self.client.put(f"/api/weeks/{WEEK}/bookings/{booking}/firm", json={"firm": firm})
        if answer.status_code == 200:
            self._changing(answer, before)
        else:
            assert answer.status_code == (412 if known else 404), answer.text

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
        max_examples=6,
        stateful_step_count=16,
        deadline=None,
        database=None,
        derandomize=True,
        # Smaller cases of a failure would each take as long as the whole test.
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    run_state_machine_as_test(AFamily, settings=few)
