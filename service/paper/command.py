"""``lapful export`` and ``lapful import``."""

from __future__ import annotations

import datetime
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from pydantic import ValidationError

from service.errors import BadInput
from service.files import read_document, read_plan, read_text, refused
from service.paper.wanted import Format, Wanted
from solver.domain.base import Day
from solver.domain.document import Document
from solver.domain.faults import Fault
from solver.domain.plan import Plan

if TYPE_CHECKING:
    from service.whole import Taken, Whole

FolderOption = Annotated[
    Path | None, typer.Option("--data", help="The data folder; the usual place for this user if not given.")
]


def add_to(app: typer.Typer) -> None:
    """Add both commands."""
    app.command("export")(export)
    app.command("import")(take_in)


def export(
    household: Annotated[
        Path, typer.Argument(metavar="HOUSEHOLD.json", help="The household file; - reads standard input.")
    ],
    plan: Annotated[Path, typer.Argument(metavar="PLAN.json", help="A plan, as plan --json prints it.")],
    format: Annotated[Format, typer.Option(help="Which form.")],
    out: Annotated[
        Path, typer.Option(help="Where to; with ics a folder gets one file for each child and adult.")
    ],
    person: Annotated[
        str | None, typer.Option("--for", metavar="PERSON", help="Only this child's or adult's calendar.")
    ] = None,
    day: Annotated[
        Day | None, typer.Option(help="With html: the page for an adult who takes over this day.")
    ] = None,
) -> None:
    """Write a plan as calendar, printable page, tables, or one JSON file."""
    from service.paper.formats import exported

    document, found = read_document(household), read_plan(plan)
    _require_week(document, found)
    now = datetime.datetime.now(datetime.UTC)
    people = document.household.children + document.household.adults
    if format is Format.ICS and out.is_dir():
        for one in people:
            wanted = Wanted(format, one.id)
            _write(out / f"{one.id}.ics", exported(document, found, now, wanted))
        return
    if person is not None and person not in {one.id for one in people}:
        message = f"nobody here is {person[:40]!r}; there are {', '.join(one.id for one in people)}"
        raise BadInput(message, [Fault(path="--for", message=message)])
    _write(out, exported(document, found, now, Wanted(format, person, day)))


def _require_week(document: Document, plan: Plan) -> None:
    known = [week.id for week in document.weeks]
    if plan.week not in known:
        message = f"the plan is for {plan.week}, the household file has {', '.join(known)}; take its own plan"
        raise BadInput(message, [Fault(path="PLAN.json: week", message=message)])


def _write(out: Path, body: bytes) -> None:
    try:
        out.write_bytes(body)
    except OSError as error:
        message = f"{error.strerror}; give a file that can be written"
        raise BadInput(message, [Fault(path=str(out), message=message)]) from error
    print(f"Written: {out} ({len(body)} bytes)")


def take_in(
    file: Annotated[
        Path,
        typer.Argument(metavar="FILE.json", help="A whole household (export --format json) or one file."),
    ],
    data: FolderOption = None,
    replace: Annotated[
        bool, typer.Option("--replace", help="Let it take the place of what the folder holds.")
    ] = False,
) -> None:
    """Put a whole household, with its plans and record, into a data folder."""
    from service.store import FolderLock, Store, default_folder
    from service.whole import take_whole

    whole = read_whole(file)
    folder = data or default_folder()
    with closing(FolderLock(folder)), closing(Store(folder)) as store:
        if store.has_household() and not replace:
            name = store.current().document.household.name
            message = f"{folder} already holds {name!r}; give another --data, or add --replace"
            raise BadInput(message, [Fault(path="--data", message=message)])
        taken = take_whole(store, whole)
    _say(folder, taken)


def _say(folder: Path, taken: Taken) -> None:
    print(
        f"{folder}: {taken.weeks} weeks, {taken.plans} plans, {taken.entries} entries of the record, "
        f"{taken.files} files"
    )
    for week in taken.plans_left:
        print(f"The plan of {week} does not hold with these data and was left out; plan that week anew")


def read_whole(file: Path) -> Whole:
    """A whole household, or a household file as one without plans.

    Raises
    ------
    BadInput
        When the file is neither.
    """
    from service.whole import Whole

    text = read_text(file)
    try:
        if '"lapful-whole/' in text[:200]:
            return Whole.model_validate_json(text)
        return Whole(document=Document.model_validate_json(text))
    except ValidationError as error:
        raise refused(file, error) from error
