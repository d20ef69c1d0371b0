"""The commands of the rest of the job, beside the plan. What they need is loaded when they run."""

from __future__ import annotations

import typer

from service.ahead.command import add_to as add_ahead
from service.catalogue.command import add_to as add_catalogue
from service.paper.command import add_to as add_paper
from service.record.command import add_to as add_record
from service.start.command import add_to as add_start


def add_commands(app: typer.Typer) -> None:
    """Add the commands of this side to ``lapful``."""
    add_start(app)
    add_paper(app)
    add_catalogue(app)
    add_ahead(app)
    add_record(app)
