"""``lapful why``: one question about a plan, answered in sentences."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from service.errors import BadInput
from service.files import pick_problem, read_document, read_plan
from solver.domain.faults import RelationError


def add_why(app: typer.Typer) -> None:
    """Add the command."""

    @app.command()
    def why(
        household: Annotated[Path, typer.Argument(metavar="HOUSEHOLD.json")],
        plan: Annotated[Path, typer.Argument(metavar="PLAN.json")],
        what: Annotated[str, typer.Argument(metavar="WISH-OR-BOOKING", help="An id, as plan prints it.")],
        week: Annotated[str | None, typer.Option(metavar="2027-W05")] = None,
        as_json: Annotated[bool, typer.Option("--json", help="Print the answer as JSON.")] = False,
    ) -> None:
        """Say why something sits where it sits, or why it was left over and what would free it."""
        # Loading the solver takes more than a second, which only this command should pay.
        from solver.why import why as ask

        found = read_plan(plan)
        problem = pick_problem(read_document(household), week or found.week)
        try:
            answer = ask(problem, found, what)
        except RelationError as error:
            raise BadInput("the question needs mending", error.faults) from None
        print(answer.model_dump_json(indent=2) if as_json else "\n".join(answer.sentences))
