"""Reading the household's files: what cannot be read is said in one line with its mend."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel, ValidationError

from service.errors import BadInput, BrokenJson
from solver.domain.document import Document
from solver.domain.faults import Fault, RelationError, faults_of
from solver.domain.plan import Plan
from solver.domain.week import Problem

SIZE_LIMIT = 64 * 1024 * 1024
STANDARD_INPUT = Path("-")
_PLACE = re.compile(r"^Invalid JSON: (.*) at line (\d+) column (\d+)$")
_Read = TypeVar("_Read", bound=BaseModel)


def read_document(file: Path) -> Document:
    """The household file at this path (``-``: standard input).

    Raises
    ------
    BadInput
        When it cannot be read; the faults name the place and the mend.
    """
    return _read(file, Document)


def read_plan(file: Path) -> Plan:
    """The plan at this path, as ``lapful plan --json`` prints it."""
    return _read(file, Plan)


def pick_problem(document: Document, week: str | None) -> Problem:
    """The week to work on: the named one, or the first.

    Raises
    ------
    BadInput
        When the file has no such week.
    """
    try:
        return document.problem(week)
    except RelationError as error:
        known = ", ".join(one.id for one in document.weeks[:20])
        faults = [Fault(path="--week", message=f"{one.message} (there are: {known})") for one in error.faults]
        raise BadInput("there is no such week", faults) from error


def _read(file: Path, kind: type[_Read]) -> _Read:
    text = read_text(file)
    try:
        return kind.model_validate_json(text)
    except ValidationError as error:
        raise refused(file, error) from error


def refused(file: Path, error: ValidationError) -> BadInput:
    """What is wrong with a file, each fault with its place and mend."""
    first = error.errors(include_url=False, include_input=False)[0]
    if first["type"] == "json_invalid":
        return BrokenJson("not JSON", [_broken(file, first["msg"])])
    faults = [
        Fault(path=f"{file}: {fault.path}", message=fault.message.replace("\n", " "))
        for fault in faults_of(error)
    ]
    return BadInput("the file needs mending", faults)


def _broken(file: Path, message: str) -> Fault:
    found = _PLACE.match(message)
    if not found:
        return Fault(path=str(file), message=f"{message}; mend the JSON")
    why, line, column = found.groups()
    return Fault(path=f"{file}: line {line}, column {column}", message=f"not JSON: {why}; mend it there")


def read_text(file: Path) -> str:
    """The text of a file (``-``: standard input).

    Raises
    ------
    BadInput
        When it cannot be read, is too large or no UTF-8.
    """
    found = read_bytes(file)
    try:
        return found.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _unreadable(file, f"not UTF-8 at byte {error.start}; save it as UTF-8") from error


def read_bytes(file: Path) -> bytes:
    """What a file holds (``-``: standard input).

    Raises
    ------
    BadInput
        When it cannot be read or is too large.
    """
    try:
        found = _bytes(file)
    except IsADirectoryError:
        raise _unreadable(file, "this is a folder; name a file in it") from None
    except FileNotFoundError:
        raise _unreadable(file, "there is no such file; look at its name and folder") from None
    except OSError as error:
        raise _unreadable(file, f"{error.strerror}; give a file that can be read") from error
    if len(found) > SIZE_LIMIT:
        size = SIZE_LIMIT // 1024 // 1024
        raise _unreadable(file, f"more than {size} MiB; leave out what no week uses")
    return found


def _bytes(file: Path) -> bytes:
    if file == STANDARD_INPUT:
        return sys.stdin.buffer.read(SIZE_LIMIT + 1)
    with file.open("rb") as source:
        return source.read(SIZE_LIMIT + 1)


def _unreadable(file: Path, message: str) -> BadInput:
    return BadInput(message, [Fault(path=str(file), message=message)])
