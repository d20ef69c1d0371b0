"""Where the server of a folder listens, told to the other commands through a small file beside the data."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from pydantic import ValidationError

from service.errors import FolderError, FolderInUse
from service.store import FolderLock
from solver.domain.base import Frozen

_FILE_NAME = "serving.json"


class Serving(Frozen):
    """Where a server listens."""

    host: str
    port: int
    scheme: str = "http"
    """How devices of the home network speak with it."""


@contextmanager
def telling(folder: Path, serving: Serving) -> Iterator[None]:
    """Let others know for as long as the server runs."""
    file = folder / _FILE_NAME
    try:
        file.write_text(serving.model_dump_json())
        os.chmod(file, 0o600)
    except OSError as error:
        raise FolderError(f"{file}: {error.strerror}; let this user write there") from error
    try:
        yield
    finally:
        file.unlink(missing_ok=True)


def whereabouts(folder: Path) -> Serving | None:
    """Where the folder's server listens, or None when none runs (a killed one leaves its file behind)."""
    if not (folder / _FILE_NAME).is_file() or not _is_held(folder):
        return None
    try:
        return Serving.model_validate_json((folder / _FILE_NAME).read_text())
    except (OSError, ValidationError):
        # It is being written or taken away at this moment.
        return None


def _is_held(folder: Path) -> bool:
    try:
        with closing(FolderLock(folder)):
            return False
    except FolderInUse:
        return True
