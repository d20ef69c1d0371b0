"""``lapful mend``: what happened, and up to three offers."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from service.errors import BadInput
from service.files import pick_problem, read_document, read_plan
from service.mishap_words import mishaps_said, moment_said
from service.show.names import moment_text, plain
from solver.domain.base import clock_text
from solver.domain.faults import Fault, RelationError
from solver.domain.mishap import Mending, Move, Offer
from solver.domain.plan import LeftOver


def add_mend(app: typer.Typer) -> None:
    """Add the command."""

    @app.command()
    def mend(
        household: Annotated[Path, typer.Argument(metavar="HOUSEHOLD.json")],
        plan: Annotated[Path, typer.Argument(metavar="PLAN.json")],
        mishap: Annotated[
            list[str],
            typer.Option(metavar="KIND:WHAT", help="What happened, for example day-lost:wednesday:pip."),
        ],
        at: Annotated[
            str | None,
            typer.Option(metavar="TIME", help="When it is now: wednesday@07:10, or 2027-02-03T07:10."),
        ] = None,
        week: Annotated[str | None, typer.Option(metavar="2027-W05")] = None,
        seconds: Annotated[float, typer.Option(min=0.1, max=3600, help="How long to search at most.")] = 5.0,
        seed: Annotated[int, typer.Option(min=0, max=2**31 - 1)] = 1,
        workers: Annotated[int, typer.Option(min=1, max=64, help="How many threads search.")] = 2,
        as_json: Annotated[bool, typer.Option("--json", help="Print the offers as JSON.")] = False,
    ) -> None:
        """Mend a week after something happened: up to three offers, each with the fewest changes."""
        # Loading the solver takes more than a second, which only this command should pay.
        from solver.mend import mend as search

        found = read_plan(plan)
        problem = pick_problem(read_document(household), week or found.week)
        happened = mishaps_said(problem, mishap)
        now = moment_said(problem, at) if at else None
        try:
            mending = search(problem, found, happened, at=now, seconds=seconds, seed=seed, workers=workers)
        except RelationError as error:
            raise BadInput("what happened does not fit this week", _faults(error, mishap)) from None
        print(mending.model_dump_json(indent=2)) if as_json else show_mending(Console(), mending)


def _faults(error: RelationError, said: list[str]) -> list[Fault]:
    """The faults under the words that were typed."""
    return [Fault(path=_said(fault.path, said), message=fault.message) for fault in error.faults]


def _said(path: str, said: list[str]) -> str:
    if path == "at":
        return "--at"
    for index, text in enumerate(said):
        if path.startswith(f"mishaps[{index}]"):
            return path.replace(f"mishaps[{index}]", f"--mishap {text}")
    return path


def show_mending(console: Console, mending: Mending) -> None:
    """Print the offers, each with what would be otherwise."""
    for number, offer in enumerate(mending.offers, start=1):
        console.print(f"\n{number}. {plain(offer.sentence)}", style="bold", markup=False, highlight=False)
        for line in _lines(offer):
            console.print(f"   {plain(line)}", markup=False, highlight=False)
    when = f"It is {moment_text(mending.at)}; what was before stays." if mending.at else ""
    console.print(f"\n{when} --json prints the whole weeks.".lstrip(), markup=False, highlight=False)


def _lines(offer: Offer) -> Iterator[str]:
    yield from (_move_text(move) for move in offer.moved)
    yield from (f"for another time: {_left_text(left)}" for left in offer.held_over)
    yield from (f"let go: {_left_text(left)}" for left in offer.let_go)
    for one in offer.cancelled:
        yield f"off: {one.title} on {one.day.value.capitalize()}: {one.why}. {one.tell}".strip()
    yield from offer.notes
    yield f"{offer.unchanged} bookings unchanged; {_bound_text(offer)}"


def _move_text(move: Move) -> str:
    before = f"{move.from_day.value.capitalize()} {clock_text(move.from_start)}"
    after = f"{move.to_day.value.capitalize()} {clock_text(move.to_start)}"
    if move.lighter and move.from_day is move.to_day:
        return f"the easy way: {move.title}, {after}"
    return f"moved: {move.title}, {before} to {after}" + (", the easy way" if move.lighter else "")


def _left_text(left: LeftOver) -> str:
    until = f" ({left.until})" if left.until else ""
    return f"{left.title}{until}. {left.reason.sentence}"


def _bound_text(offer: Offer) -> str:
    changes = offer.changes_bound
    if changes.proved:
        return "no mend of this kind with fewer changes is possible"
    return f"changes weigh {changes.value}, and at least {changes.bound} in any mend of this kind"
