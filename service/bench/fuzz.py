"""Sends the service what nobody should, and counts answers of 500, slow answers and harm done.

``python -m service.bench.fuzz --requests 20000`` prints one table. The kinds of request: cases that
schemathesis draws from our OpenAPI document, real bodies spoiled, torn text, bodies that never were,
and ordinary use in between (plan, take back, bring back, carry out and in), so that there is always
something to harm. The solver is stood in for by one that finds nothing, but for
the last week, which the real one makes: what is tried here is the service.
"""

from __future__ import annotations

import argparse
import copy
import json
import random
import re
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from service.app import create_app
from service.bench.hostile import RAW, as_text, floods, spoiled, torn
from service.bench.telling import end, in_lines
from service.demo import demo_file
from service.store import Store
from service.store.copies import FILE_NAME, connect, flaws
from solver.check import check
from solver.domain.plan import Plan
from solver.domain.week import Problem

REAL_SEED = 4711
SLOW_S = 2.0
HANG_S = 10.0
SEARCH_S = 120.0
_SEARCHES = re.compile(r"/(mend|soft|move|swap|lighter)$|/why/")
"""What searches before it answers: as long as was asked for, up to a minute, and the start of a process."""
_JSON = {"content-type": "application/json"}
_HERE = ("127.0.0.1", 50000)
_HEAVY = ("/api/document", "/api/whole", "/api/household", "/api/start", "/api/activities")
"""Bodies with so many fields that drawing one takes seconds: these are spoiled instead, which finds more."""


@dataclass
class Harm:
    """What the requests came to."""

    requests: int = 0
    statuses: Counter[int] = field(default_factory=Counter)
    kinds: Counter[str] = field(default_factory=Counter)
    broken: list[str] = field(default_factory=list)
    slow: list[str] = field(default_factory=list)
    late: int = 0
    most_work_s: float = 0.0
    slowest_s: float = 0.0
    flaws: list[str] = field(default_factory=list)
    plans_checked: int = 0
    bookings_checked: int = 0
    plans_refused: int = 0
    seconds: float = 0.0

    @property
    def well(self) -> bool:
        """Whether no harm was done."""
        return not (self.broken or self.slow or self.flaws or self.plans_refused)


def mostly_nothing(problem: Problem, *, seed: int, **_: object) -> Plan:
    """Stands in for the solver: a week with nothing in it, which always holds; for one seed the real one."""
    if seed != REAL_SEED:
        return Plan(week=problem.week.id)
    from solver.search import solve

    return solve(problem, seconds=1.0, seed=seed, workers=1)


class Fuzz:
    """One served folder under fire."""

    def __init__(self, client: Any, good: dict[str, Any], seed: int, harm: Harm) -> None:
        self._client = client
        self._good = good
        self._week = good["weeks"][0]["id"]
        self._known = {"week": self._week, "activity": good["activities"][0]["id"]}
        self._chance = random.Random(seed)
        self.harm = harm

    def send(self, kind: str, method: str, path: str, **more: Any) -> Any:
        """Send one request and look at its answer."""
        begun, worked = time.monotonic(), time.process_time()
        try:
            answer = self._client.request(method, path, **more)
        except UnicodeError:
            # The client itself refuses to put such an address or header on the wire.
            return None
        took, worked = time.monotonic() - begun, time.process_time() - worked
        harm, said = self.harm, f"{kind} {method} {path[:80]}"
        harm.requests, harm.slowest_s = harm.requests + 1, max(harm.slowest_s, took)
        harm.statuses[answer.status_code] += 1
        harm.kinds[kind] += 1
        if answer.status_code >= 500:
            harm.broken.append(f"{said}: {answer.status_code} {str(more)[:1500]}")
        elif answer.status_code >= 400 and "json" not in answer.headers.get("content-type", ""):
            harm.broken.append(f"{said}: {answer.status_code} is no problem document")
        harm.most_work_s = max(harm.most_work_s, worked)
        searches = _SEARCHES.search(path) is not None
        harm.late += took > SLOW_S and not searches
        # Other programs on the machine can make any answer late; work is what the request itself cost.
        if worked > SLOW_S or took > (SEARCH_S if searches else HANG_S):
            harm.slow.append(f"{said}: {took:.1f} s, of which {worked:.1f} s of work")
        return answer

    def bodies(self, count: int) -> None:
        """Spoiled, torn and impossible bodies, now and then with ordinary use between."""
        ways: tuple[Callable[[], None], ...] = (self._spoiled, self._spoiled, self._torn, self._address)
        for number in range(count):
            if number % 40 == 0:
                self._use()
            self._chance.choice(ways)()

    def impossible(self, most: int | None = None) -> None:
        """Every body that never was (or so many of them) to every address that takes one."""
        pairs = [(raw, *where) for raw in RAW for where in self._writes()]
        for raw, method, path in pairs if most is None else self._chance.sample(pairs, min(most, len(pairs))):
            self.send("impossible", method, path, content=raw, headers=_JSON)

    def flooded(self, most: int) -> None:
        """Real bodies with one list grown out of all bounds."""
        for method, path, body in self._targets():
            count = sum(1 for _ in floods(copy.deepcopy(body)))
            chosen = set(self._chance.sample(range(count), min(most, count)))
            for number, grown in enumerate(floods(copy.deepcopy(body))):
                if number in chosen:
                    self.send("flood", method, path, content=as_text(grown), headers=_JSON)

    def _writes(self) -> Iterator[tuple[str, str]]:
        for path, operations in self._client.app.openapi()["paths"].items():
            for method, operation in operations.items():
                if "requestBody" in operation:
                    yield method.upper(), path.replace("{week}", self._week)

    def _targets(self) -> tuple[tuple[str, str, Any], ...]:
        week, good = self._week, self._good
        whole = {"format": "lapful-whole/1", "document": good, "plans": [{"week": week}], "entries": []}
        return (
            ("PUT", "/api/document", good),
            ("PUT", "/api/household", good["household"]),
            ("PUT", f"/api/weeks/{week}/wishes", good["weeks"][0]["wishes"]),
            ("PUT", "/api/whole", whole),
            ("POST", f"/api/weeks/{week}/solve", {"seconds": 0.2, "seed": 1, "workers": 1}),
            ("POST", "/api/undo", {"change": 1}),
            ("POST", "/api/feeds", {"person": None}),
            ("POST", "/api/pairing", {"secret": "guess", "name": "Somebody"}),
        )

    def _spoiled(self) -> None:
        method, path, body = self._chance.choice(self._targets())
        content = as_text(spoiled(body, self._chance))
        self.send("spoiled", method, path, content=content, headers=_JSON | self._headers())

    def _torn(self) -> None:
        method, path, body = self._chance.choice(self._targets())
        self.send("torn", method, path, content=torn(as_text(body), self._chance), headers=_JSON)

    def _address(self) -> None:
        paths = list(self._client.app.openapi()["paths"])
        path = self._chance.choice(paths)
        while "{" in path:
            before, _, rest = path.partition("{")
            path = before + self._chance.choice(_STEPS) + rest.partition("}")[2]
        method = self._chance.choice(("GET", "GET", "DELETE", "POST", "HEAD", "OPTIONS", "PATCH"))
        query = self._chance.choice(_QUERIES)
        self.send("address", method, path + query, headers=self._headers())

    def _headers(self) -> dict[str, str]:
        return dict([self._chance.choice(_HEADERS)]) if self._chance.random() < 0.3 else {}

    def _use(self) -> None:
        """What a family does; each of it must succeed."""
        week = self._week
        steps = (
            ("PUT", "/api/document", self._good),
            ("PUT", f"/api/weeks/{week}/wishes", self._good["weeks"][0]["wishes"][:-1]),
            ("POST", "/api/undo", None),
            ("POST", "/api/redo", None),
            ("POST", f"/api/weeks/{week}/solve", {"seconds": 0.5, "workers": 1}),
            ("GET", f"/api/weeks/{week}/view", None),
        )
        for method, path, body in steps:
            answer = self.send("ordinary", method, path, **({"json": body} if body is not None else {}))
            if answer.status_code >= 400:
                self.harm.broken.append(f"ordinary {method} {path}: {answer.status_code} {answer.text[:300]}")

    def plan_at_last(self) -> None:
        """Put the good household in and plan it, so that there is a plan to hold against the checker."""
        self._use()
        job = self._client.post(f"/api/weeks/{self._week}/solve", json={"seed": REAL_SEED}).json()
        # Its events end when the search does.
        self._client.get(f"/api/jobs/{job['id']}/events")

    def drawn(self, schema: Any, most_for_each: int, only: str | None = None) -> None:
        """Cases that schemathesis draws from the contract, for every operation."""
        for found in schema.get_all_operations():
            operation: Any = found.ok()
            light = operation.path not in _HEAVY or operation.method.lower() == "get"
            if light and (only is None or only in operation.path):
                self._drawn(operation, most_for_each)

    def _aim(self, case: Any) -> None:
        """Mostly name things that are there, so that more than the search for them is tried."""
        for name in case.path_parameters or ():
            if name in self._known and self._chance.random() < 0.7:
                case.path_parameters[name] = self._known[name]
        if isinstance(case.body, dict) and type(case.body.get("seconds")) in (int, float):
            # That it may be a minute is known; the fuzz has others to ask.
            case.body["seconds"] = min(case.body["seconds"], 0.3)

    def _drawn(self, operation: Any, most: int) -> None:
        from hypothesis import HealthCheck, Phase, given, seed, settings

        @seed(self._chance.randrange(2**32))
        @settings(
            max_examples=most,
            database=None,
            deadline=None,
            phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )
        @given(case=operation.as_strategy())
        def send(case: Any) -> None:
            self._aim(case)
            given_words = case.as_transport_kwargs(base_url="http://localhost")
            given_words.pop("cookies", None)
            method, path = given_words.pop("method"), given_words.pop("url")
            self.send("drawn", method, path, **given_words)

        send()


_STEPS = ("2027-W05", "%00", "..", "%2e%2e%2f", "x" * 300, "é", "null", "0", "-1", "monday", "a%20b", "ics")
_QUERIES = ("", "?format=ics", "?format=html&day=monday", "?for=nobody", "?format=%00", "?" + "a=1&" * 400)
_HEADERS = (
    ("if-match", '"1"'),
    ("if-match", "*"),
    ("if-match", '"' + "9" * 40 + '"'),
    ("if-none-match", '"x", W/"y"'),
    ("accept", "text/html"),
    ("content-length", "-5"),
    ("transfer-encoding", "chunked"),
    ("origin", "null"),
    ("host", "localhost:99999"),
    ("cookie", 'lapful_device="' + "x" * 3000),
    ("authorization", "Bearer " + "\x7f" * 10),
    ("range", "bytes=0-1,5-900"),
)


def run(folder: Path, wanted: int, seed: int, few: bool = False) -> Harm:
    """So many requests against a service of its own, and a look at what is then kept.

    With ``few`` there are fewer of what takes longest: impossible bodies and drawn cases.
    """
    import schemathesis
    from fastapi.testclient import TestClient

    good = json.loads(demo_file("small.json").read_text())
    harm, begun = Harm(), time.monotonic()
    app = create_app(folder, solve="service.bench.fuzz:mostly_nothing")
    # Read before the server has threads: Python 3.11's parser trips when two threads are in it at once.
    schema = schemathesis.openapi.from_dict(app.openapi())
    operations = sum(map(len, app.openapi()["paths"].values()))
    with TestClient(app, base_url="http://localhost", client=_HERE, raise_server_exceptions=False) as client:
        fuzz = Fuzz(client, good, seed, harm)
        fuzz.bodies(1)
        fuzz.impossible(12 if few else None)
        fuzz.flooded(max(1, wanted // 500))
        fuzz.drawn(schema, 2 if few else max(1, wanted // 2 // operations))
        fuzz.bodies(max(wanted // 3, (wanted - harm.requests) * 40 // 46 + 1))
        fuzz.plan_at_last()
    look_after(folder, harm)
    harm.seconds = time.monotonic() - begun
    return harm


def look_after(folder: Path, harm: Harm) -> None:
    """Look the store through, and hold every current plan against the checker."""
    with closing(connect(folder / FILE_NAME)) as connection:
        harm.flaws += flaws(connection)
    with closing(Store(folder)) as store:
        document = store.current().document
        for week in document.weeks:
            stored = store.latest_plan(week.id)
            if stored and stored.is_current:
                harm.plans_checked += 1
                harm.bookings_checked += len(stored.plan.bookings)
                harm.plans_refused += bool(check(document.problem(week.id), stored.plan))


def table(harm: Harm) -> str:
    """The harm in words."""
    kinds = ", ".join(f"{kind} {count}" for kind, count in sorted(harm.kinds.items()))
    statuses = ", ".join(f"{status}: {count}" for status, count in sorted(harm.statuses.items()))
    rows = (
        ("requests", harm.requests),
        ("answers of 500 and above", sum(n for status, n in harm.statuses.items() if status >= 500)),
        ("other wrong answers", len(harm.broken)),
        (f"answers later than {SLOW_S:.0f} s", harm.late),
        (f"more work than {SLOW_S:.0f} s, or hung", len(harm.slow)),
        ("most work for one answer", f"{harm.most_work_s * 1000:.0f} ms"),
        ("slowest answer", f"{harm.slowest_s * 1000:.0f} ms"),
        ("flaws in the store", len(harm.flaws)),
        ("current plans checked", harm.plans_checked),
        ("bookings in them", harm.bookings_checked),
        ("of these refused", harm.plans_refused),
        ("time", f"{harm.seconds:.0f} s"),
    )
    return "\n".join([in_lines(rows), f"kinds: {kinds}", f"answers: {statuses}"])


def main() -> None:
    """Run the bench; exit 1 when harm was done."""
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--requests", type=int, default=20_000)
    words.add_argument("--seed", type=int, default=1)
    given = words.parse_args()
    with tempfile.TemporaryDirectory(prefix="lapful-fuzz-") as folder:
        harm = run(Path(folder), given.requests, given.seed)
    end(table(harm), (*harm.broken[:10], *harm.slow[:10], *harm.flaws), harm.well)


if __name__ == "__main__":
    main()
