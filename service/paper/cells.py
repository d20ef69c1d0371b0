"""Tables as CSV and XLSX. Nothing that a family typed can run in a spreadsheet."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

Cell = str | int | float | None
_RUNS = re.compile(r"^'*[=+\-@\t\r\n＝＋－＠]")
"""Beginnings that a spreadsheet takes for a formula (OWASP, CSV Injection: = + - @, tab, carriage return,
line feed and their full-width forms). An apostrophe before one of them was put there by us."""
XLSX_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
CSV_TYPE = "text/csv; charset=utf-8"


@dataclass(frozen=True)
class Table:
    """A named table."""

    name: str
    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def tamed(value: Cell) -> Cell:
    """The value, with an apostrophe before what would run as a formula."""
    if isinstance(value, str) and _RUNS.match(value):
        return f"'{value}"
    return value


def untamed(value: str) -> str:
    """What ``tamed`` was given."""
    return value[1:] if value.startswith("'") and _RUNS.match(value) else value


def csv_text(table: Table) -> str:
    """One table as CSV (RFC 4180: CRLF, quotes where needed)."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([tamed(cell) for cell in table.head])
    writer.writerows([tamed(cell) for cell in row] for row in table.rows)
    return out.getvalue()


def csv_bytes(tables: Sequence[Table]) -> bytes:
    """Tables one below the other with their names, or a single one alone; with a byte order mark,
    without which a spreadsheet misreads accents."""
    if len(tables) == 1:
        return csv_text(tables[0]).encode("utf-8-sig")
    parts = [f"{tamed(table.name)}\r\n{csv_text(table)}" for table in tables]
    return "\r\n".join(parts).encode("utf-8-sig")


def xlsx_bytes(tables: Iterable[Table]) -> bytes:
    """A workbook with one sheet for each table; text stays text."""
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    for table in tables:
        sheet = book.create_sheet(_sheet_name(table.name))
        sheet.freeze_panes = "A2"
        for row in (table.head, *table.rows):
            sheet.append([_typed(sheet, cell) for cell in row])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _typed(sheet: Any, value: Cell) -> object:
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

    if not isinstance(value, str):
        return value
    cell = WriteOnlyCell(sheet, value=ILLEGAL_CHARACTERS_RE.sub(" ", str(tamed(value))))
    cell.data_type = "s"
    return cell


def _sheet_name(name: str) -> str:
    return re.sub(r"[\\/*?:\[\]]", " ", name)[:31] or "table"
