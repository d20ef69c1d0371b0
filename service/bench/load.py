"""Twenty devices read and tick at one small server, first while it is idle, then while it searches.

``python -m service.bench.load --devices 20 --seconds 20`` starts ``lapful serve --demo`` in a process of its
own, prints one table of latencies by kind of request, and exits 1 when an answer was wrong. Server and
devices share the machine, so a figure also holds what the devices' own work costs it.
"""

from __future__ import annotations

import argparse
import asyncio
import datetime
import http.client
import json
import os
import random
import resource
import signal
import subprocess
import sys
import time
import uuid
from collections import defaultdict
from collections.abc import Callable, Coroutine, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

READ, TICK = "reading", "ticking"
_TICKS_OF = 5
_PAUSE_S = (0.2, 0.8)
_SOLVE_MOST_S = 600
_LOOK_EVERY_S = 0.5
_Found = TypeVar("_Found")


@dataclass
class Phase:
    """What one phase came to, in seconds by kind of request."""

    took: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    errors: list[str] = field(default_factory=list)
    searches: int = 0
    server_mib: float = 0.0
    search_mib: float = 0.0

    def at(self, kind: str, share: float) -> float:
        """The latency that this share of requests stayed below, in milliseconds."""
        sorted_s = sorted(self.took[kind])
        return sorted_s[min(len(sorted_s) - 1, int(share * len(sorted_s)))] * 1000 if sorted_s else 0.0


@dataclass
class Work:
    """What one request costs the server itself, in processor time: other programs do not change it."""

    read_ms: float = 0.0
    unchanged_ms: float = 0.0
    tick_ms: float = 0.0


class Device:
    """One tablet with one connection, as a browser keeps it."""

    def __init__(self, port: int, week: str, bookings: list[str], number: int) -> None:
        self._port, self._week, self._bookings = port, week, bookings
        self._chance = random.Random(number)
        self._tag = ""

    async def live(self, phase: Phase, until: float) -> None:
        """Read, and tick every fifth time, with a pause between."""
        reader, writer = await asyncio.open_connection("127.0.0.1", self._port)
        with closing(writer):
            while time.monotonic() < until:
                await asyncio.sleep(self._chance.uniform(*_PAUSE_S))
                kind = TICK if self._chance.randrange(_TICKS_OF) == 0 else READ
                begun = time.monotonic()
                writer.write(self._request(kind))
                status, headers, _ = await _answer(reader)
                phase.took[kind].append(time.monotonic() - begun)
                self._tag = headers.get("etag", self._tag) if kind == READ else self._tag
                if status not in (200, 304):
                    phase.errors.append(f"{kind}: {status}")

    async def costs(self, kind: str, pid: int, times: int, knows: bool = True) -> float:
        """Processor milliseconds of the server for one such request, one after the other."""
        reader, writer = await asyncio.open_connection("127.0.0.1", self._port)
        with closing(writer):
            before = _cpu_s(pid)
            for _ in range(times):
                self._tag = self._tag if knows else ""
                writer.write(self._request(kind))
                _, headers, _ = await _answer(reader)
                self._tag = headers.get("etag", self._tag)
            return (_cpu_s(pid) - before) / times * 1000

    def _request(self, kind: str) -> bytes:
        if kind == READ:
            known = f"if-none-match: {self._tag}\r\n" if self._tag else ""
            return f"GET /api/weeks/{self._week}/view HTTP/1.1\r\nhost: localhost\r\n{known}\r\n".encode()
        item = {
            "id": uuid.uuid4().hex,
            "at": datetime.datetime.now(datetime.UTC).isoformat(),
            "week": self._week,
            "booking": self._chance.choice(self._bookings),
            "outcome": self._chance.choice(("done", "loved", "no", None)),
        }
        body = json.dumps([item]).encode()
        head = f"POST /api/outbox HTTP/1.1\r\nhost: localhost\r\ncontent-length: {len(body)}\r\n"
        return f"{head}content-type: application/json\r\n\r\n".encode() + body


async def _answer(reader: asyncio.StreamReader) -> tuple[int, dict[str, str], bytes]:
    head = (await reader.readuntil(b"\r\n\r\n")).decode().split("\r\n")
    pairs = (line.partition(": ") for line in head[1:] if line)
    headers = {name.lower(): value for name, _, value in pairs}
    body = await reader.readexactly(int(headers.get("content-length", 0)))
    return int(head[0].split()[1]), headers, body


@contextmanager
def served(words: list[str]) -> Iterator[tuple[int, int]]:
    """A server in a process of its own: its port and process id."""
    command = [sys.executable, "-m", "service", "serve", "--port", "0", *words]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    try:
        line = process.stdout.readline()
        yield int(line.split("://")[1].split(":")[1].split("/")[0]), process.pid
    finally:
        process.send_signal(signal.SIGTERM)
        process.communicate()


def ask(port: int, method: str, path: str, body: Any = None) -> Any:
    """One request of the bench itself."""
    with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=60)) as connection:
        content = None if body is None else json.dumps(body)
        connection.request(method, path, content, {"content-type": "application/json"})
        return json.loads(connection.getresponse().read())


def _ended(port: int, job: str) -> None:
    """Wait for a search: its stream of events ends when it does."""
    with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=_SOLVE_MOST_S)) as connection:
        connection.request("GET", f"/api/jobs/{job}/events")
        connection.getresponse().read()


def run(devices: int, seconds: float, words: list[str], times: int = 200) -> tuple[dict[str, Phase], Work]:
    """Both phases at one server, and what single requests cost it; each of these is sent so many times."""
    with served(words) as (port, pid):
        week = ask(port, "GET", "/api/weeks")[0]["id"]
        first = ask(port, "GET", f"/api/weeks/{week}/view")["job"]
        if first:
            _ended(port, first["id"])
        view = ask(port, "GET", f"/api/weeks/{week}/view")
        bookings = [one["id"] for one in view["stored"]["plan"]["bookings"]] if view["stored"] else ["none"]
        crowd = [Device(port, week, bookings, number) for number in range(devices)]
        work = _apart(lambda: _work(Device(port, week, bookings, devices), pid, times))
        phases = {
            "idle": _phase(crowd, seconds, pid),
            "searching": _phase(crowd, seconds, pid, lambda phase, until: _search(phase, until, port, week)),
        }
        return phases, work


async def _work(device: Device, pid: int, times: int) -> Work:
    return Work(
        read_ms=await device.costs(READ, pid, times, knows=False),
        unchanged_ms=await device.costs(READ, pid, times),
        tick_ms=await device.costs(TICK, pid, times),
    )


def _apart(work: Callable[[], Coroutine[Any, Any, _Found]]) -> _Found:
    # In a thread of its own, since whoever asks may have an event loop running already.
    with ThreadPoolExecutor(1) as apart:
        return apart.submit(lambda: asyncio.run(work())).result()


def _phase(
    crowd: list[Device], seconds: float, pid: int, beside: Callable[[Phase, float], None] | None = None
) -> Phase:
    phase, until = Phase(), time.monotonic() + seconds

    async def everybody() -> None:
        others = [asyncio.to_thread(beside, phase, until)] if beside else []
        devices = (device.live(phase, until) for device in crowd)
        await asyncio.gather(_watch_memory(phase, until, pid), *devices, *others)

    _apart(everybody)
    return phase


def _search(phase: Phase, until: float, port: int, week: str) -> None:
    """One search after the other; a week that is proved is searched anew with another seed."""
    while time.monotonic() < until:
        phase.searches += 1
        settings = {"seconds": max(1.0, until - time.monotonic()), "seed": phase.searches, "workers": 2}
        job = ask(port, "POST", f"/api/weeks/{week}/solve", settings)
        _ended(port, job["id"])
        ended = ask(port, "GET", f"/api/jobs/{job['id']}")
        if ended["state"] != "done":
            phase.errors.append(f"search {ended['state']}: {ended['reason']}")


async def _watch_memory(phase: Phase, until: float, pid: int) -> None:
    while time.monotonic() < until:
        phase.server_mib = max(phase.server_mib, resident_mib(pid))
        phase.search_mib = max(phase.search_mib, sum(resident_mib(child) for child in _children(pid)))
        await asyncio.sleep(_LOOK_EVERY_S)


def _cpu_s(pid: int) -> float:
    times = os.sysconf("SC_CLK_TCK")
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / times


def resident_mib(pid: int) -> float:
    """Memory that a process holds now; nothing when it is gone."""
    try:
        lines = Path(f"/proc/{pid}/status").read_text().splitlines()
    except OSError:
        return 0.0
    return sum(int(line.split()[1]) for line in lines if line.startswith("VmRSS")) / 1024


def _children(pid: int) -> list[int]:
    try:
        text = Path(f"/proc/{pid}/task/{pid}/children").read_text()
        threads = [
            Path(f"/proc/{pid}/task/{one.name}/children") for one in Path(f"/proc/{pid}/task").iterdir()
        ]
        return [
            int(child) for child in {*text.split(), *" ".join(one.read_text() for one in threads).split()}
        ]
    except OSError:
        return []


def table(phases: Mapping[str, Phase], work: Work) -> str:
    """Both phases side by side, with how much slower the second is; then what one request costs."""
    lines = [f"{'':<26}" + "".join(f"{name:>12}" for name in (*phases, "ratio"))]
    for kind in (READ, TICK):
        lines.append(_row(f"{kind}: requests", [len(phase.took[kind]) for phase in phases.values()], ""))
        for share, name in ((0.5, "p50"), (0.99, "p99"), (1.0, "slowest")):
            found = [phase.at(kind, share) for phase in phases.values()]
            ratio = f"{found[-1] / found[0]:.1f}" if found[0] else ""
            lines.append(_row(f"{kind}: {name} ms", [f"{one:.1f}" for one in found], ratio))
    lines.append(_row("errors", [len(phase.errors) for phase in phases.values()], ""))
    lines.append(_row("searches", [phase.searches for phase in phases.values()], ""))
    lines.append(_row("server, most MiB", [f"{phase.server_mib:.0f}" for phase in phases.values()], ""))
    lines.append(_row("search, most MiB", [f"{phase.search_mib:.0f}" for phase in phases.values()], ""))
    costs = {"a read": work.read_ms, "a read, unchanged": work.unchanged_ms, "a tick": work.tick_ms}
    lines += [_row(f"{what}, processor ms", [f"{cost:.2f}"], "") for what, cost in costs.items()]
    return "\n".join(lines)


def _row(what: str, values: list[Any], last: str) -> str:
    return f"{what:<26}" + "".join(f"{value!s:>12}" for value in (*values, last))


def main() -> None:
    """Run the bench; exit 1 when an answer was wrong."""
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--devices", type=int, default=20)
    words.add_argument("--seconds", type=float, default=20.0, help="for each of the two phases")
    words.add_argument("--serve", nargs="*", default=["--demo"], help="what to serve")
    given = words.parse_args()
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    resource.setrlimit(resource.RLIMIT_NOFILE, (max(soft, min(hard, 4096)), hard))
    phases, work = run(given.devices, given.seconds, given.serve)
    print(table(phases, work))
    wrong = [error for phase in phases.values() for error in phase.errors]
    for error in wrong[:10]:
        print(error, file=sys.stderr)
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
