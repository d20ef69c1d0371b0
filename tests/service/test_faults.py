"""Faults on purpose: killed in the middle of writes, clocks and time zones that jump."""

from __future__ import annotations

import datetime
import os
import re
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from service.store import Store, history, moments
from service.store.undoing import Changes
from tests.service.conftest import Serve, job_in_state, load
from tests.service.house import WEEK, document


def test_nothing_that_was_said_to_be_kept_is_lost() -> None:
    """Some rounds of what ``python -m service.bench.faults`` does a hundred times."""
    words = ["--rounds", "4", "--writes", "12", "--seed", "7"]
    done = subprocess.run(
        [sys.executable, "-m", "service.bench.faults", *words], capture_output=True, text=True, timeout=120
    )
    assert done.returncode == 0, done.stdout + done.stderr
    figures = dict(re.findall(r"^(.*?) {2,}(\d+)", done.stdout, re.MULTILINE))
    assert figures["rounds of power loss and kill -9"] == "4"
    assert int(figures["changes that were said to be kept"]) >= 8


def test_the_fault_rounds_would_notice_a_loss(tmp_path: Path) -> None:
    """A store that says a change is kept before it is must be caught by the same count."""
    from service.bench.faults import Tally, _kept

    with closing(Store(tmp_path)) as store:
        store.put_document(document())
        house = store.current().document.household
        store.put_household(house.model_copy(update={"name": "round 7"}))
    assert _kept(tmp_path, Tally()) == 7
    (tmp_path / "lapful.db").write_bytes(b"torn" * 5000)
    tally = Tally()
    _kept(tmp_path, tally)
    assert not tally.well


@pytest.fixture
def zone() -> Iterator[Callable[[str], None]]:
    """Moves the machine to another time zone."""
    before = os.environ.get("TZ")

    def move(name: str | None) -> None:
        if name is None:
            os.environ.pop("TZ", None)
        else:
            os.environ["TZ"] = name
        time.tzset()

    yield move
    move(before)


def test_a_changed_time_zone_moves_nothing(tmp_path: Path, zone: Callable[[str], None]) -> None:
    """From UTC+14 to UTC-12 (IANA: Pacific/Kiritimati, Etc/GMT+12), a day and two hours apart."""
    zone("Pacific/Kiritimati")
    with closing(Store(tmp_path)) as store:
        store.put_document(document())
        before = (store.current(), Changes(store).all())
    zone("Etc/GMT+12")
    with closing(Store(tmp_path)) as store:
        assert (store.current(), Changes(store).all()) == before
        assert before[1][0].made_at.utcoffset() == datetime.timedelta(0)


def test_taking_back_goes_by_order_not_by_the_clock(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The clock falls back by a year between two changes."""
    years = iter((2027, 2027, 2026, 2026, 2026))
    monkeypatch.setattr(history, "now", lambda: datetime.datetime(next(years), 3, 1, tzinfo=datetime.UTC))
    with closing(Store(tmp_path)) as store:
        store.put_document(document())
        house = store.current().document.household
        for name in ("First", "Second"):
            store.put_household(house.model_copy(update={"name": name}))
        Changes(store).undo()
        assert store.current().document.household.name == "First"


def test_a_search_ends_in_time_although_the_clock_jumps(
    serve: Serve, monkeypatch: pytest.MonkeyPatch
) -> None:
    client = serve("endless", grace_s=0.3)
    load(client)
    monkeypatch.setattr(time, "time", lambda: 4_000_000_000.0)
    monkeypatch.setattr(moments, "now", lambda: datetime.datetime(1970, 1, 1, tzinfo=datetime.UTC))
    job = client.post(f"/api/weeks/{WEEK}/solve", json={"seconds": 0.5}).json()
    assert "no answer within" in job_in_state(client, job["id"], "failed")["reason"]
