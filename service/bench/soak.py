"""Three devices write to a real server over HTTP, which is killed outright again and again.

``python -m service.bench.soak --edits 10000`` prints one table. Each device writes what only it writes (the
household's name, ticks, notes), so that after every kill it is known what must be there: what was answered,
and of what was on its way either the old or the new. Ends with 1 when anything else is found.
"""

from __future__ import annotations

import argparse
import contextlib
import http.client
import json
import random
import signal
import subprocess
import sys
import tempfile
import threading
import time
import uuid
from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from service.bench.load import resident_mib
from service.bench.telling import end, in_lines
from service.demo import demo_file
from service.files import read_document
from service.store import Store
from service.store.copies import FILE_NAME, connect, flaws

BETWEEN_KILLS = (20, 400)
PATIENCE_S = 60.0
BOOKINGS = 40


@dataclass
class Tally:
    """What the soak came to."""

    kept: int = 0
    kills: int = 0
    lost: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    flaws: list[str] = field(default_factory=list)
    slowest_start_s: float = 0.0
    slowest_answer_s: float = 0.0
    most_mib: float = 0.0
    file_mib: float = 0.0
    seconds: float = 0.0

    @property
    def well(self) -> bool:
        """Whether nothing was lost and nothing broke."""
        return not (self.lost or self.refused or self.flaws)


class Line:
    """One device's connection to the server as it is now."""

    def __init__(self, port: int, tally: Tally) -> None:
        self._http = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE_S)
        self._tally = tally

    def close(self) -> None:
        """Hang up."""
        self._http.close()

    def ask(self, method: str, path: str, body: Any = None) -> Any:
        """The answer; OSError or HTTPException when the server was killed before it came."""
        begun = time.monotonic()
        content = None if body is None else json.dumps(body)
        self._http.request(method, path, content, {"content-type": "application/json"})
        answer = self._http.getresponse()
        said = answer.read()
        self._tally.slowest_answer_s = max(self._tally.slowest_answer_s, time.monotonic() - begun)
        if answer.status >= 400:
            self._tally.refused.append(f"{method} {path}: {answer.status} {said[:200]!r}")
        return json.loads(said)


class Device(ABC):
    """Writes one kind of thing, and remembers what may be found of it: one value, or two after a kill."""

    def __init__(self, week: str) -> None:
        self._week = week
        self._number = 0
        self.may_be: dict[str, set[Any]] = {}

    def edit(self, line: Line) -> None:
        """One change more; it counts as made once it is answered."""
        self._number += 1
        key, value = self._next()
        self.may_be.setdefault(key, {None}).add(value)
        self._write(line, key, value)
        self.may_be[key] = {value}

    def compare(self, line: Line) -> Iterator[str]:
        """What is not as it must be; then it is known again what there is."""
        there = self._read(line)
        for key, values in self.may_be.items():
            found = there.get(key)
            if found not in values:
                yield f"{type(self).__name__} {key}: {found!r} instead of {sorted(map(str, values))}"
        self.may_be = {key: {there.get(key)} for key in self.may_be | there}

    @abstractmethod
    def _next(self) -> tuple[str, Any]:
        """What is written next: a key and its new value."""

    @abstractmethod
    def _write(self, line: Line, key: str, value: Any) -> None:
        """Send it."""

    @abstractmethod
    def _read(self, line: Line) -> dict[str, Any]:
        """What the server has, by key."""

    def _send(self, line: Line, **item: Any) -> None:
        moment = time.strftime("%Y-%m-%dT%H:%M:%S", time.gmtime()) + f".{self._number % 1000:03}Z"
        line.ask("POST", "/api/outbox", [{"id": uuid.uuid4().hex, "at": moment, "week": self._week, **item}])


class Namer(Device):
    """Calls the household by another name."""

    def _next(self) -> tuple[str, Any]:
        return "name", f"number {self._number}"

    def _write(self, line: Line, key: str, value: Any) -> None:
        line.ask("PUT", "/api/household", line.ask("GET", "/api/household") | {"name": value})

    def _read(self, line: Line) -> dict[str, Any]:
        return {"name": line.ask("GET", "/api/household")["name"]}


class Ticker(Device):
    """Ticks one booking after the other, each time otherwise than before."""

    def _next(self) -> tuple[str, Any]:
        turn, booking = divmod(self._number, BOOKINGS)
        return f"booking.{booking}.1", ("done", "loved", "no")[turn % 3]

    def _write(self, line: Line, key: str, value: Any) -> None:
        self._send(line, booking=key, outcome=value)

    def _read(self, line: Line) -> dict[str, Any]:
        marks = line.ask("GET", f"/api/weeks/{self._week}/marks")
        return {one["booking"]: one["outcome"] for one in marks["ticks"]}


class Noter(Device):
    """Writes down one note after the other."""

    def _next(self) -> tuple[str, Any]:
        return f"note {self._number}", True

    def _write(self, line: Line, key: str, value: Any) -> None:
        self._send(line, note=key)

    def _read(self, line: Line) -> dict[str, Any]:
        marks = line.ask("GET", f"/api/weeks/{self._week}/marks")
        return {one["text"]: True for one in marks["notes"]}


class Soak:
    """A folder, its devices, and one server after the other."""

    def __init__(self, folder: Path, seed: int) -> None:
        document = read_document(demo_file("small.json"))
        with closing(Store(folder)) as store:
            store.put_document(document)
        week = document.weeks[0].id
        self._folder, self._chance = folder, random.Random(seed)
        self._devices: tuple[Device, ...] = (Namer(week), Ticker(week), Noter(week))
        self.tally = Tally()

    def run(self, edits: int, most_s: float) -> Tally:
        """So many changes that were answered, or as many as there is time for."""
        begun = time.monotonic()
        while self.tally.kept < edits and time.monotonic() - begun < most_s and self.tally.well:
            with self._served() as (server, port):
                self._compare(port)
                self._life(server, port, min(self._chance.randint(*BETWEEN_KILLS), edits - self.tally.kept))
            self.tally.kills += 1
        with self._served() as (_, port):
            self._compare(port)
        with closing(connect(self._folder / FILE_NAME)) as connection:
            self.tally.flaws += flaws(connection)
        self.tally.file_mib = (self._folder / FILE_NAME).stat().st_size / 2**20
        self.tally.seconds = time.monotonic() - begun
        return self.tally

    @contextlib.contextmanager
    def _served(self) -> Iterator[tuple[subprocess.Popen[str], int]]:
        begun = time.monotonic()
        words = ["serve", "--port", "0", "--data", str(self._folder)]
        command = [sys.executable, "-m", "service", *words]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server:
            assert server.stdout is not None
            try:
                port = int(server.stdout.readline().split("://")[1].split(":")[1].split("/")[0])
                with closing(Line(port, self.tally)) as line:
                    line.ask("GET", "/api/health")
                self.tally.slowest_start_s = max(self.tally.slowest_start_s, time.monotonic() - begun)
                yield server, port
            finally:
                self.tally.most_mib = max(self.tally.most_mib, resident_mib(server.pid))
                server.send_signal(signal.SIGKILL)

    def _compare(self, port: int) -> None:
        with closing(Line(port, self.tally)) as line:
            for device in self._devices:
                self.tally.lost += device.compare(line)

    def _life(self, server: subprocess.Popen[str], port: int, edits: int) -> None:
        """All devices write at once, until the server is killed under their hands."""
        enough = threading.Semaphore(0)
        writing = [
            threading.Thread(target=self._write_on, args=(one, port, enough.release)) for one in self._devices
        ]
        for one in writing:
            one.start()
        for _ in range(edits):
            if not enough.acquire(timeout=PATIENCE_S):
                break
        time.sleep(self._chance.uniform(0, 0.02))
        self.tally.most_mib = max(self.tally.most_mib, resident_mib(server.pid))
        server.send_signal(signal.SIGKILL)
        for one in writing:
            one.join()

    def _write_on(self, device: Device, port: int, done: Callable[[], None]) -> None:
        # Ends with the server, whose death is what this is about.
        ends = contextlib.suppress(OSError, http.client.HTTPException)
        with closing(Line(port, self.tally)) as line, ends:
            while not self.tally.refused:
                device.edit(line)
                with _COUNTING:
                    self.tally.kept += 1
                done()


_COUNTING = threading.Lock()


def table(tally: Tally) -> str:
    """The tally in words."""
    rows = (
        ("changes that were answered", tally.kept),
        ("kills", tally.kills),
        ("found otherwise than answered", len(tally.lost)),
        ("refused or broken answers", len(tally.refused)),
        ("flaws in the store", len(tally.flaws)),
        ("slowest start, looked through", f"{tally.slowest_start_s * 1000:.0f} ms"),
        ("slowest answer", f"{tally.slowest_answer_s * 1000:.0f} ms"),
        ("server, most MiB", f"{tally.most_mib:.0f}"),
        ("store at the end, MiB", f"{tally.file_mib:.1f}"),
        ("time", f"{tally.seconds:.0f} s"),
    )
    return in_lines(rows)


def main() -> None:
    """Run the bench; exit 1 when anything was lost or broke."""
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--edits", type=int, default=10_000)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--most-seconds", type=float, default=1800.0)
    given = words.parse_args()
    with tempfile.TemporaryDirectory(prefix="lapful-soak-") as folder:
        tally = Soak(Path(folder), given.seed).run(given.edits, given.most_seconds)
    end(table(tally), (*tally.lost[:10], *tally.refused[:10], *tally.flaws), tally.well)


if __name__ == "__main__":
    main()
