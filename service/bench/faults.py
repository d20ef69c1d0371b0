"""Kills a writer again and again in the middle of its work, and counts what was lost.

``python -m service.bench.faults --rounds 100`` prints one table. A round: a process writes numbered
changes as fast as it can and says each one's number once it is kept; it is stopped at some moment and
its files are copied as they lie, with the torn tail of a half-written page behind them (power loss); then
it is killed outright. Both the copy and the folder must then be sound and hold every number that was said.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import NoReturn

from service.bench.telling import end, in_lines
from service.demo import demo_file
from service.files import read_document
from service.store import Store
from service.store.copies import FILE_NAME
from service.store.undoing import Changes
from solver.domain.document import Document

_TORN_MOST = 9000
"""More than two pages: the tail of a log that was being written when the plug was pulled."""
_WORD = "round "


@dataclass
class Tally:
    """What the rounds came to."""

    rounds: int = 0
    said: int = 0
    lost_after_kill: int = 0
    lost_after_power: int = 0
    unsound: int = 0
    seconds: float = 0.0
    slowest_opening_s: float = 0.0
    numbers: list[int] = field(default_factory=list)

    @property
    def well(self) -> bool:
        """Whether nothing was lost at all."""
        return not (self.lost_after_kill or self.lost_after_power or self.unsound)


def run(folder: Path, document: Document, rounds: int, seed: int, most_writes: int) -> Tally:
    """Kill a writer so many times on one folder."""
    chance, tally, begun = random.Random(seed), Tally(), time.monotonic()
    with closing(Store(folder)) as store:
        store.put_document(document)
    for _ in range(rounds):
        _round(folder, chance, tally, most_writes)
    tally.seconds = time.monotonic() - begun
    return tally


def _round(folder: Path, chance: random.Random, tally: Tally, most_writes: int) -> None:
    first = tally.numbers[-1] + 1 if tally.numbers else 1
    child, said = _start_writer(folder, first)
    with os.fdopen(said) as lines:
        before_power = _heard(lines.readline, chance.randint(1, most_writes))
        with tempfile.TemporaryDirectory() as aside:
            _stop(child)
            _copy_as_it_lies(folder, Path(aside), chance)
            os.kill(child, signal.SIGCONT)
            kept = _kept(Path(aside), tally)
        tally.lost_after_power += max(0, before_power - kept)
        last = _heard(lines.readline, chance.randint(1, most_writes))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        last = _number(lines.read().splitlines()[-1:]) or last
    kept = _kept(folder, tally)
    tally.lost_after_kill += max(0, last - kept)
    tally.rounds, tally.said = tally.rounds + 1, tally.said + last - first + 1
    tally.numbers.append(kept)


def _start_writer(folder: Path, first: int) -> tuple[int, int]:
    hears, says = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(hears)
        _write_on(folder, first, says)
    os.close(says)
    return child, hears


def _write_on(folder: Path, first: int, says: int) -> NoReturn:
    """In the child: write until killed; every fifth change takes one back and brings it back."""
    try:
        store, number = Store(folder), first
        house = store.current().document.household
        while True:
            store.put_household(house.model_copy(update={"name": f"{_WORD}{number}"}))
            os.write(says, f"{number}\n".encode())
            if number % 5 == 0:
                Changes(store).undo()
                Changes(store).redo()
            number += 1
    finally:
        os._exit(1)


def _heard(readline: Callable[[], str], count: int) -> int:
    found = ""
    for _ in range(count):
        found = readline()
    return _number([found])


def _number(lines: list[str]) -> int:
    return int(lines[0]) if lines and lines[0].strip() else 0


def _stop(child: int) -> None:
    os.kill(child, signal.SIGSTOP)
    os.waitpid(child, os.WUNTRACED)


def _copy_as_it_lies(folder: Path, aside: Path, chance: random.Random) -> None:
    for tail in ("", "-wal"):
        file = folder / (FILE_NAME + tail)
        if file.exists():
            shutil.copy(file, aside / file.name)
    with (aside / f"{FILE_NAME}-wal").open("ab") as log:
        log.write(chance.randbytes(chance.randint(0, _TORN_MOST)))


def _kept(folder: Path, tally: Tally) -> int:
    """The number that is kept; opening looks the whole file through."""
    begun = time.monotonic()
    try:
        with closing(Store(folder)) as store:
            name = store.current().document.household.name
            taken_back = any(change.undone for change in Changes(store).all())
    except Exception as error:
        tally.unsound += 1
        print(f"unsound: {error}", file=sys.stderr)
        return 0
    tally.slowest_opening_s = max(tally.slowest_opening_s, time.monotonic() - begun)
    found = int(name.removeprefix(_WORD)) if name.startswith(_WORD) else 0
    # Killed between taking back and bringing back: the number is kept, as a change to bring back.
    return found + taken_back


def table(tally: Tally) -> str:
    """The tally in words."""
    rows = (
        ("rounds of power loss and kill -9", tally.rounds),
        ("changes that were said to be kept", tally.said),
        ("of these lost after kill -9", tally.lost_after_kill),
        ("of these lost after power loss", tally.lost_after_power),
        ("files found unsound", tally.unsound),
        ("slowest opening, looked through", f"{tally.slowest_opening_s * 1000:.0f} ms"),
        ("time", f"{tally.seconds:.0f} s"),
    )
    return in_lines(rows)


def main() -> None:
    """Run the bench; exit 1 when anything was lost."""
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--rounds", type=int, default=100)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--writes", type=int, default=60, help="at most so many before each fault")
    given = words.parse_args()
    with tempfile.TemporaryDirectory(prefix="lapful-faults-") as folder:
        tally = run(
            Path(folder), read_document(demo_file("small.json")), given.rounds, given.seed, given.writes
        )
    end(table(tally), (), tally.well)


if __name__ == "__main__":
    main()
