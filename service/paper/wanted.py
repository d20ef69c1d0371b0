"""What can be taken away, and in which form."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from solver.domain.base import Day


class Format(StrEnum):
    """The forms there are."""

    ICS = "ics"
    HTML = "html"
    CSV = "csv"
    XLSX = "xlsx"
    JSON = "json"


@dataclass(frozen=True)
class Wanted:
    """What to export: for whom (a feed, a page for taking over), and which day's page."""

    format: Format
    person: str | None = None
    day: Day | None = None
