"""Printables over HTTP: bytes in, bytes out, always as a file to save and never as a page of ours."""

from __future__ import annotations

from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Body, Path, Query, Response

from service.printables.kinds import FileKind
from service.printables.shelf import Printable, keep_printable, printable_of, printables, take_out
from service.routes import StoreHere
from solver.domain.base import Name

router = APIRouter(prefix="/api/printables")
Ident = Annotated[str, Path(max_length=80)]
FILE: dict[int | str, dict[str, object]] = {200: {"content": {kind.value: {} for kind in FileKind}}}
FileBody = Annotated[bytes, Body(media_type="application/octet-stream")]


def saved(body: bytes, kind: FileKind, name: str) -> Response:
    """A file to save. Its kind is what its bytes say, and nothing in it may run or fetch."""
    headers = {
        "content-disposition": f"attachment; filename*=UTF-8''{quote(name, safe='')}",
        "cache-control": "private, no-cache",
    }
    return Response(body, media_type=kind.value, headers=headers)


@router.get("")
def get_printables(store: StoreHere) -> tuple[Printable, ...]:
    """All printables that are kept."""
    return printables(store)


@router.post("", status_code=201)
def post_printable(
    body: FileBody, store: StoreHere, name: Annotated[Name, Query(description="What it is called.")]
) -> Printable:
    """Keep a PDF or a picture; an activity's resource may then name its id."""
    return keep_printable(store, name, body)


@router.get("/{printable}/file", response_class=Response, responses=FILE)
def get_file(printable: Ident, store: StoreHere) -> Response:
    """The file itself, to save and print."""
    found, body = printable_of(store, printable)
    return saved(body, found.kind, found.file_name)


@router.delete("/{printable}", status_code=204)
def delete_printable(printable: Ident, store: StoreHere) -> None:
    """Take a printable out that no activity names."""
    take_out(store, printable)
