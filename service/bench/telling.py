"""How a bench that looks for harm says what it found, and ends."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from typing import NoReturn


def in_lines(rows: Iterable[tuple[str, object]]) -> str:
    """What was counted, a line each."""
    return "\n".join(f"{what:<36}{value!s:>12}" for what, value in rows)


def end(table: str, harm: Iterable[str], well: bool) -> NoReturn:
    """Print the table, the harm to standard error, and leave; with 1 when anything went wrong."""
    print(table)
    for one in harm:
        print(one, file=sys.stderr)
    sys.exit(0 if well else 1)
