"""``lapful start``: six answers, on the terminal or from a file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from service.errors import BadInput
from service.files import read_text, refused
from service.show.names import plain
from solver.domain.faults import Fault

if TYPE_CHECKING:
    from service.start.answers import Answers, Started


def add_to(app: typer.Typer) -> None:
    """Add the command."""
    app.command("start")(start_here)


def start_here(
    answers: Annotated[
        Path | None,
        typer.Option(metavar="ANSWERS.json", help="The answers from a file; - reads standard input."),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(help="The household file to write; household.json on the terminal."),
    ] = None,
    replace: Annotated[bool, typer.Option("--replace", help="Overwrite the file that is there.")] = False,
) -> None:
    """Make a household file with a first week from six answers.

    With --answers and without --out, prints file, defaults and notes as one JSON object.
    """
    from service.start.build import start
    from service.start.home import pattern

    if answers is None:
        from service.start.asking import ask

        out = out or Path("household.json")
        _require_free(out, replace)
        given = ask(sorted({one.theme for one in pattern().activities if one.theme}))
    else:
        given = _read(answers)
    made = start(given)
    if out is None:
        print(made.model_dump_json(indent=2))
        return
    _require_free(out, replace)
    _write(out, made)
    _say(out, made)


def _read(file: Path) -> Answers:
    from pydantic import ValidationError

    from service.start.answers import Answers

    try:
        return Answers.model_validate_json(read_text(file))
    except ValidationError as error:
        raise refused(file, error) from error


def _require_free(out: Path, replace: bool) -> None:
    if out.exists() and not replace:
        message = "there is such a file already; give another --out, or add --replace"
        raise BadInput(message, [Fault(path=str(out), message=message)])


def _write(out: Path, made: Started) -> None:
    try:
        out.write_text(made.document.model_dump_json(indent=2) + "\n", encoding="utf-8")
    except OSError as error:
        message = f"{error.strerror}; give a file that can be written"
        raise BadInput(message, [Fault(path=str(out), message=message)]) from error


def _say(out: Path, made: Started) -> None:
    print("Taken without asking; change any of it in the file or on the page:")
    for one in made.defaults:
        source = f": {one.source}" if one.source else ""
        print(plain(f"  {one.says} ({one.standing.value}{source})"))
    for note in made.notes:
        print(plain(f"Note: {note}"))
    wishes = len(made.document.weeks[0].wishes)
    print(f"Written: {out}, with {wishes} wishes for {made.document.weeks[0].id}.")
    print(f"Next: lapful plan {out}")
