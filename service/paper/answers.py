"""Tables as answers over HTTP."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from functools import partial
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import Depends, Request, Response

from service.paper.cells import CSV_TYPE, XLSX_TYPE, Table, csv_bytes, xlsx_bytes
from service.paper.html import Read
from service.tongues import tongue_of
from service.tongues.send import marked_up, wanted


class TableForm(StrEnum):
    """Forms of a table."""

    CSV = "csv"
    XLSX = "xlsx"


TABLE_TYPES = {TableForm.CSV: CSV_TYPE, TableForm.XLSX: XLSX_TYPE}
TABLE_FILE: dict[int | str, dict[str, Any]] = {200: {"content": {kind: {} for kind in TABLE_TYPES.values()}}}
PAGE: dict[int | str, dict[str, Any]] = {200: {"content": {"text/html": {}}}}


def _as_read(request: Request) -> Read:
    code = wanted(request.scope)
    return partial(marked_up, tongue_of(code)) if code else str


def _as_spoken(request: Request) -> Read:
    code = wanted(request.scope)
    return tongue_of(code).told if code else str


AsRead = Annotated[Read, Depends(_as_read)]
AsSpoken = Annotated[Read, Depends(_as_spoken)]


def table_answer(tables: Sequence[Table], form: TableForm, name: str) -> Response:
    """Tables as a file to keep."""
    body = xlsx_bytes(tables) if form is TableForm.XLSX else csv_bytes(tables)
    return attached(body, TABLE_TYPES[form], f"{name}.{form.value}")


def attached(body: bytes, kind: str, name: str) -> Response:
    """A file to keep under this name."""
    headers = {"content-disposition": f'attachment; filename="{quote(name)}"'}
    return Response(body, media_type=kind, headers=headers)
