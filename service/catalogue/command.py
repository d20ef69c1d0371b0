"""``lapful catalogue export`` and ``lapful catalogue import``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from service.errors import BadInput
from service.files import read_bytes, read_document
from solver.domain.faults import Fault

HouseholdFile = Annotated[Path, typer.Argument(metavar="HOUSEHOLD.json", help="The household file.")]


def add_to(app: typer.Typer) -> None:
    """Add the group of commands."""
    group = typer.Typer(help="The activities as a table.", no_args_is_help=True)
    group.command("export")(export)
    group.command("import")(take_in)
    app.add_typer(group, name="catalogue")


def _form(file: Path) -> str:
    form = file.suffix.lower().lstrip(".")
    if form not in ("csv", "xlsx"):
        message = "name a file that ends in .csv or .xlsx"
        raise BadInput(message, [Fault(path=str(file), message=message)])
    return form


def export(
    household: HouseholdFile,
    out: Annotated[Path, typer.Option(metavar="TABLE.xlsx", help="A file ending in .csv or .xlsx.")],
) -> None:
    """Write the activities of a household file as a table."""
    from service.catalogue.sheet import written

    document = read_document(household)
    _write(out, written(document.activities, _form(out)))
    print(f"Written: {out}, {len(document.activities)} activities")


def take_in(
    household: HouseholdFile,
    table: Annotated[Path, typer.Argument(metavar="TABLE.xlsx", help="A table as export writes it.")],
    out: Annotated[Path, typer.Option(help="The household file to write.")],
) -> None:
    """Bring a table's activities into a household file; known ids are replaced, others added."""
    from service.catalogue.sheet import read
    from service.catalogue.shelf import merged, what_changes

    document = read_document(household)
    activities = read(read_bytes(table), _form(table))
    brings = what_changes(document, activities)
    changed = merged(document, activities)
    _write(out, (changed.model_dump_json(indent=2) + "\n").encode())
    print(
        f"Written: {out}; {len(brings.added)} added, {len(brings.changed)} changed, {brings.same} as before"
    )


def _write(out: Path, body: bytes) -> None:
    try:
        out.write_bytes(body)
    except OSError as error:
        message = f"{error.strerror}; give a file that can be written"
        raise BadInput(message, [Fault(path=str(out), message=message)]) from error
