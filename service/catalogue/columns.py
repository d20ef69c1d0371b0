"""An activity as a row of cells, and a row as an activity."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from typing import Any

from service.catalogue.notation import (
    Unreadable,
    lighter_lines,
    lines,
    prep_line,
    read_lighter,
    read_prep,
    read_resource,
    read_sitting,
    read_version,
    read_wait,
    resource_line,
    sitting_line,
    version_line,
    wait_line,
)
from service.paper.cells import Cell
from solver.domain.activity import Activity


@dataclass(frozen=True)
class Column:
    """How one field is written in a cell and read from it."""

    name: str
    write: Callable[[Any], Cell]
    read: Callable[[str], Any]


def _as_text(value: Any) -> Cell:
    return None if value is None else str(value.value if isinstance(value, Enum) else value)


def _number(typed: str) -> int:
    # A spreadsheet may write a whole number as 3.0.
    plain = typed.removesuffix(".0")
    if not plain.lstrip("-").isdecimal():
        raise Unreadable(f"{typed[:40]!r} is no whole number; write one, like 2")
    return int(plain)


def _yes_no(typed: str) -> bool:
    word = typed.strip().lower()
    if word not in ("yes", "no", "true", "false", "1", "0"):
        raise Unreadable(f"{typed[:40]!r} is neither yes nor no; write one of them")
    return word in ("yes", "true", "1")


def _list(typed: str) -> list[str]:
    return [one.strip() for one in typed.split(",") if one.strip()]


def _text(name: str) -> Column:
    return Column(name, _as_text, lambda typed: typed)


def _whole(name: str) -> Column:
    return Column(name, lambda value: int(value), _number)


def _yes(name: str) -> Column:
    return Column(name, lambda value: "yes" if value else "no", _yes_no)


def _several(name: str) -> Column:
    return Column(name, lambda value: ", ".join(str(_as_text(one)) for one in value), _list)


def _lines(name: str, write: Callable[[Any], str], read: Callable[[str], Any]) -> Column:
    return Column(
        name,
        lambda value: "\n".join(write(one) for one in value),
        lambda typed: [read(line) for line in lines(typed)],
    )


COLUMNS: tuple[Column, ...] = (
    _text("id"),
    _text("title"),
    _text("kind"),
    _text("theme"),
    _several("areas"),
    _lines("versions", version_line, read_version),
    _lines("sittings", sitting_line, read_sitting),
    _lines("waits", wait_line, read_wait),
    _lines("prep", prep_line, read_prep),
    Column("lighter", lambda value: "\n".join(lighter_lines(value)) if value else None, read_lighter),
    _text("together"),
    _text("focus"),
    _text("alongside"),
    _whole("energy"),
    _whole("noise"),
    _yes("nap_ok"),
    _yes("tired_ok"),
    _text("weather"),
    _whole("adults_needed"),
    _whole("cost"),
    _several("hazards"),
    _several("allergens"),
    _text("caution"),
    _text("needs_first"),
    _text("book"),
    _whole("least_gap_days"),
    _lines("resources", resource_line, read_resource),
)
NAMES = tuple(column.name for column in COLUMNS)


def row_of(activity: Activity) -> tuple[Cell, ...]:
    """The cells of an activity."""
    return tuple(column.write(getattr(activity, column.name)) for column in COLUMNS)
