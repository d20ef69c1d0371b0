"""Commands that look after what is kept. What they need is loaded when they run."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

FolderOption = Annotated[
    Path | None, typer.Option("--data", help="The data folder; the usual place for this user if not given.")
]


def add_commands(app: typer.Typer) -> None:
    """Add the commands of this side to ``lapful``."""
    app.command()(backup)
    app.command()(restore)


def backup(
    data: FolderOption = None,
    out: Annotated[Path | None, typer.Option(help="The file to write; a new one beside the data.")] = None,
) -> None:
    """Write everything into one file, also while the server runs."""
    from service.care.copying import back_up

    print(f"Everything is in {back_up(_folder(data), out)}")


def restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A file that lapful backup wrote.")],
    data: FolderOption = None,
) -> None:
    """Put a backup in place of what is kept; a damaged file is refused. Stop the server first."""
    from service.store.putback import restore as put_back

    done = put_back(file, _folder(data))
    print(f"Put back: {done.household or 'an empty household'}. Devices must be paired again.")
    if done.kept:
        print(f"What was there before is kept in {done.kept}")


def _folder(given: Path | None) -> Path:
    from service.store import default_folder

    return given or default_folder()
