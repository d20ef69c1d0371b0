"""The catalogue as a CSV or XLSX file; every fault names its row, its column and the mend."""

from __future__ import annotations

import datetime
import io
import zipfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError

from service.catalogue.columns import COLUMNS, NAMES, row_of
from service.catalogue.notation import Unreadable
from service.errors import BadInput
from service.paper.cells import Table, csv_bytes, untamed, xlsx_bytes
from solver.domain.activity import Activity
from solver.domain.faults import Fault, faults_of

MOST_ROWS = 20_000
MOST_UNPACKED = 256 * 1024 * 1024
FAULTS_SHOWN = 50


@dataclass
class Rows:
    """What a file holds, row by row as text, with what is wrong with the file itself."""

    head: list[str]
    rows: list[tuple[int, list[str]]]
    """Number of the row as a spreadsheet shows it, and its cells."""
    faults: list[Fault] = field(default_factory=list)


def written(activities: Iterable[Activity], form: str) -> bytes:
    """The catalogue as ``csv`` or ``xlsx``."""
    table = Table("catalogue", NAMES, tuple(row_of(activity) for activity in activities))
    return xlsx_bytes([table]) if form == "xlsx" else csv_bytes([table])


def read(body: bytes, form: str) -> tuple[Activity, ...]:
    """The activities of such a file.

    Raises
    ------
    BadInput
        With a fault for each cell that needs mending; nothing is taken then.
    """
    rows = _xlsx_rows(body) if form == "xlsx" else _csv_rows(body)
    faults = _head_faults(rows.head)
    activities: list[Activity] = []
    if not faults:
        for number, cells in rows.rows:
            made = _activity(number, dict(zip(rows.head, cells, strict=False)), faults)
            activities += [made] if made else []
        faults += _repeated(rows)
    # A cell that could not be read is not missing too.
    told = {fault.path for fault in rows.faults}
    faults = [*rows.faults, *(fault for fault in faults if fault.path not in told)]
    if faults:
        more = f" (and {len(faults) - FAULTS_SHOWN} more)" if len(faults) > FAULTS_SHOWN else ""
        raise BadInput(f"the table needs mending; nothing was changed{more}", faults[:FAULTS_SHOWN])
    return tuple(activities)


def _head_faults(head: list[str]) -> list[Fault]:
    missing = [name for name in ("id", "title", "kind", "versions", "sittings") if name not in head]
    strange = [name for name in head if name and name not in NAMES]
    faults = [Fault(path="row 1", message=f"the column {name!r} is missing; add it") for name in missing]
    for name in strange[:5]:
        message = f"there is no column {name[:40]!r} here; remove it or use one of {', '.join(NAMES)}"
        faults.append(Fault(path="row 1", message=message))
    return faults


def _activity(number: int, cells: dict[str, str], faults: list[Fault]) -> Activity | None:
    raw: dict[str, Any] = {}
    found = len(faults)
    for column in COLUMNS:
        typed = untamed(cells.get(column.name, ""))
        if typed.strip():
            try:
                raw[column.name] = column.read(typed)
            except Unreadable as error:
                faults.append(Fault(path=f"row {number}, column {column.name}", message=str(error)))
    if len(faults) > found:
        return None
    try:
        return Activity.model_validate(raw)
    except ValidationError as error:
        faults += [_placed(number, fault) for fault in faults_of(error)]
        return None


def _placed(number: int, fault: Fault) -> Fault:
    column = fault.path.split(".")[0].split("[")[0]
    where = f"row {number}, column {column}" if column in NAMES else f"row {number}"
    inside = fault.path.removeprefix(column).strip(".")
    return Fault(
        path=where, message=f"{inside}: {fault.message}" if inside and column in NAMES else fault.message
    )


def _repeated(rows: Rows) -> Iterator[Fault]:
    if "id" not in rows.head:
        return
    at = rows.head.index("id")
    seen: dict[str, int] = {}
    for number, cells in rows.rows:
        ident = untamed(cells[at]) if at < len(cells) else ""
        if ident and ident in seen:
            message = f"{ident[:40]!r} stands in row {seen[ident]} already; give each activity its own id"
            yield Fault(path=f"row {number}, column id", message=message)
        seen.setdefault(ident, number)


def _refuse(path: str, message: str) -> BadInput:
    return BadInput(message, [Fault(path=path, message=message)])


def _csv_rows(body: bytes) -> Rows:
    import pandas as pd

    try:
        text = body.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _refuse("the file", f"not UTF-8 at byte {error.start}; save it as CSV UTF-8") from error
    _require_few(text.count("\n"))
    head = text.split("\n", 1)[0]
    separator = max(",;\t", key=head.count)
    try:
        frame = pd.read_csv(
            io.StringIO(text),
            sep=separator,
            dtype=str,
            keep_default_na=False,
            header=None,
            skip_blank_lines=False,
        )
    except (pd.errors.ParserError, pd.errors.EmptyDataError, ValueError) as error:
        raise _refuse("the file", f"no table ({error}); each row has as many cells as the first") from error
    return _framed(frame.fillna("").values.tolist())


def _require_few(count: int) -> None:
    # A cell may hold several lines, so this counts generously; the rows are counted exactly later.
    if count > MOST_ROWS * 20:
        raise _too_many(count)


def _too_many(count: int) -> BadInput:
    return _refuse("the file", f"{count} rows; at most {MOST_ROWS} activities are taken, so split the table")


def _framed(table: list[list[Any]], faults: list[Fault] | None = None) -> Rows:
    if not table:
        raise _refuse("the file", "the table is empty; begin with a row of column names")
    if len(table) - 1 > MOST_ROWS:
        raise _too_many(len(table) - 1)
    head = [str(cell).strip().lower() for cell in table[0]]
    rows = [(number, [str(cell) for cell in cells]) for number, cells in enumerate(table[1:], 2)]
    kept = [(number, cells) for number, cells in rows if any(cell.strip() for cell in cells)]
    return Rows(head, kept, faults or [])


def _xlsx_rows(body: bytes) -> Rows:
    from openpyxl import load_workbook
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        with zipfile.ZipFile(io.BytesIO(body)) as packed:
            if sum(one.file_size for one in packed.infolist()) > MOST_UNPACKED:
                raise _refuse("the file", "it unpacks to more than any catalogue; export it anew")
        if (rows := _height(body)) > MOST_ROWS + 1:
            raise _too_many(rows - 1)
        sheet = load_workbook(io.BytesIO(body)).worksheets[0]
    except (zipfile.BadZipFile, InvalidFileException, KeyError, IndexError, OSError, ValueError) as error:
        raise _refuse("the file", f"no XLSX workbook ({error}); save it as .xlsx or as CSV UTF-8") from error
    faults = [_merged(str(span)) for span in sheet.merged_cells.ranges]
    head = [str(cell.value or "").strip().lower() for cell in next(sheet.iter_rows(max_row=1), ())]
    table = [[_cell(cell, head, faults) for cell in row] for row in sheet.iter_rows()]
    return _framed(table, faults)


def _height(body: bytes) -> int:
    from openpyxl import load_workbook

    book = load_workbook(io.BytesIO(body), read_only=True)
    try:
        return sum(1 for _ in zip(book.worksheets[0].iter_rows(), range(MOST_ROWS + 100_000), strict=False))
    finally:
        book.close()


def _merged(span: str) -> Fault:
    return Fault(path=f"cells {span}", message="these cells are merged; unmerge them and fill each one")


def _cell(cell: Any, head: list[str], faults: list[Fault]) -> str:
    value = cell.value
    name = head[cell.column - 1] if cell.column - 1 < len(head) else cell.column_letter
    where = f"row {cell.row}, column {name}"
    if cell.data_type == "f":
        faults.append(Fault(path=where, message="a formula stands here; paste its value instead"))
        return ""
    if isinstance(value, datetime.date | datetime.datetime | datetime.time):
        faults.append(
            Fault(
                path=where,
                message=f"the spreadsheet made a date of it ({value}); set the column to text, type anew",
            )
        )
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)
