"""Copies by hand, and one each day while the server runs."""

from __future__ import annotations

import asyncio
import logging
from pathlib import Path

from service.errors import BadInput, LapfulError
from service.store.copies import FILE_NAME, copy_store, daily_copy, new_copy_name
from solver.domain.faults import Fault

LOOK_EVERY_S = 600.0
_log = logging.getLogger("lapful.copies")


def back_up(folder: Path, out: Path | None) -> Path:
    """One file with everything, made while the store may be in use.

    Raises
    ------
    LapfulError
        When there is nothing to copy, it is damaged, or the file cannot be written or is there already.
    """
    source = folder / FILE_NAME
    if not source.is_file():
        raise _refused("--data", f"there is nothing kept in {folder}; give the folder that is served")
    if out is not None and (out.exists() or out.is_symlink()):
        raise _refused("--out", f"{out} is there already; give another name")
    if out is not None and not out.parent.is_dir():
        raise _refused("--out", f"there is no folder {out.parent}; make it first")
    return copy_store(source, out or new_copy_name(folder, "by-hand"))


async def copy_daily(folder: Path, every_s: float = LOOK_EVERY_S) -> None:
    """Make sure of a copy each day, for as long as the server runs."""
    while True:
        try:
            await asyncio.to_thread(daily_copy, folder)
        except LapfulError as error:
            # The family's work goes on; lapful doctor shows how old the newest copy is.
            _log.error("no copy today: %s", error.detail)
        await asyncio.sleep(every_s)


def _refused(path: str, message: str) -> BadInput:
    return BadInput(message, [Fault(path=path, message=message)])
