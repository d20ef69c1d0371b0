"""The command, run in this process, and what it said."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from service.command import main
from tests.service.house import document_json


class Said(NamedTuple):
    """How a run of the command ended."""

    code: int
    out: str
    err: str


Lapful = Callable[..., Said]


@pytest.fixture
def lapful(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Lapful:
    """Runs the command in this process."""
    monkeypatch.setenv("COLUMNS", "110")

    def run(*words: object) -> Said:
        monkeypatch.setattr(sys, "argv", ["lapful", *map(str, words)])
        with pytest.raises(SystemExit) as ended:
            main()
        said = capsys.readouterr()
        code = ended.value.code
        return Said(code if isinstance(code, int) else 0, said.out, said.err)

    return run


@pytest.fixture
def orchard(tmp_path: Path) -> Path:
    return write(tmp_path / "orchard.json", document_json())


def write(file: Path, content: Any) -> Path:
    file.write_text(json.dumps(content))
    return file
