"""What the server notes for whoever looks after it: one JSON object a line, never what a family wrote.

An exception's own words may quote a child's name or a secret, so only its kind and place are noted.
"""

from __future__ import annotations

import datetime
import json
import logging
import sys
import traceback
from pathlib import Path
from types import TracebackType
from typing import Any

_ROOT = Path(__file__).parent.parent
_log = logging.getLogger("lapful")


class JsonLines(logging.Formatter):
    """One line for each record, with what was given as ``facts``."""

    def format(self, record: logging.LogRecord) -> str:
        """The record as JSON."""
        moment = datetime.datetime.fromtimestamp(record.created, datetime.UTC)
        line: dict[str, Any] = {
            "at": moment.isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "from": record.name,
            "what": record.getMessage().strip(),
            **getattr(record, "facts", {}),
        }
        if record.exc_info and record.exc_info[0]:
            line["error"] = record.exc_info[0].__name__
            line["where"] = _frames(record.exc_info[2])
        return json.dumps(line, ensure_ascii=False)


def _frames(trace: TracebackType | None) -> list[str]:
    return [f"{_short(frame.filename)}:{frame.lineno} {frame.name}" for frame in traceback.extract_tb(trace)][
        -12:
    ]


def _short(file: str) -> str:
    path = Path(file)
    return str(path.relative_to(_ROOT)) if path.is_relative_to(_ROOT) else path.name


def note(what: str, **facts: str | int | float | None) -> None:
    """Note something that happened. Facts are ids, counts and states, never names."""
    _log.info(what, extra={"facts": facts})


def keep_log() -> None:
    """Send every record to standard error; on a terminal only what needs looking at."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(JsonLines())
    root = logging.getLogger()
    root.handlers = [handler]
    root.setLevel(logging.WARNING)
    _log.setLevel(logging.WARNING if sys.stderr.isatty() else logging.INFO)
