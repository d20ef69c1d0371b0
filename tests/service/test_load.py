"""The load bench itself, small: twenty devices for a while are ``python -m service.bench.load``."""

from __future__ import annotations

import json
from pathlib import Path

from service.bench.load import READ, TICK, Phase, Work, run, table
from tests.service.house import document_json


def test_devices_read_and_tick_while_a_search_runs(tmp_path: Path) -> None:
    (tmp_path / "home.json").write_text(json.dumps(document_json()))
    phases, work = run(3, 0.9, [str(tmp_path / "home.json"), "--data", str(tmp_path / "data")], times=20)
    assert list(phases) == ["idle", "searching"]
    for phase in phases.values():
        assert phase.errors == []
        assert phase.took[READ]
        assert 10 < phase.server_mib < 1000
    assert 0 < work.read_ms + work.unchanged_ms + work.tick_ms < 1000


def test_shares_of_latencies() -> None:
    """Nearest rank over 1 to 100 ms: half lie below 51, all but one below 100."""
    phase = Phase()
    phase.took[READ] = [number / 1000 for number in range(100, 0, -1)]
    assert phase.at(READ, 0.5) == 51
    assert phase.at(READ, 0.99) == 100
    assert phase.at(TICK, 0.99) == 0
    shown = table({"idle": phase, "searching": phase}, Work(unchanged_ms=1.5))
    assert "reading: p99 ms                  100.0       100.0         1.0" in shown
    assert "a read, unchanged, processor ms        1.50" in shown
