"""The soak, small: ten thousand changes are ``python -m service.bench.soak``."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from service.bench import soak
from service.bench.soak import Line, Namer, Soak, Tally, Ticker, table


def test_what_was_answered_is_there_after_every_kill(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(soak, "BETWEEN_KILLS", (10, 12))
    tally = Soak(tmp_path, seed=3).run(edits=14, most_s=120)
    assert (tally.lost, tally.refused, tally.flaws) == ([], [], [])
    assert tally.kills >= 1
    assert tally.kept >= 14
    assert "found otherwise than answered" in table(tally)


class Forgetful(Line):
    """Stands in for a server that answers well and keeps nothing of the last change, or breaks before it."""

    def __init__(self, breaks: bool = False) -> None:
        super().__init__(0, Tally())
        self.breaks = breaks

    def ask(self, method: str, path: str, body: Any = None) -> Any:
        if self.breaks and method != "GET":
            raise ConnectionResetError
        return {"name": "number 0", "ticks": [], "notes": []}


@pytest.mark.parametrize("kind", [Namer, Ticker])
def test_the_soak_would_notice_a_loss(kind: type[soak.Device]) -> None:
    device = kind("2027-W05")
    device.edit(Forgetful())
    assert len(list(device.compare(Forgetful()))) == 1


def test_what_was_on_its_way_may_be_lost() -> None:
    device = Namer("2027-W05")
    assert list(device.compare(Forgetful())) == []
    with pytest.raises(ConnectionResetError):
        device.edit(Forgetful(breaks=True))
    assert list(device.compare(Forgetful())) == []
    assert device.may_be == {"name": {"number 0"}}
