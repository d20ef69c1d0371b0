"""A plan in whatever form somebody wants to take it away."""

from __future__ import annotations

import datetime

from service.paper.cells import CSV_TYPE, XLSX_TYPE, csv_bytes, xlsx_bytes
from service.paper.html import Read
from service.paper.sheet import week_sheet
from service.paper.tables import week_tables
from service.paper.takeover import takeover_page
from service.paper.wanted import Format, Wanted
from solver.domain.document import Document
from solver.domain.plan import Plan

MEDIA_TYPES = {
    Format.ICS: "text/calendar; charset=utf-8",
    Format.HTML: "text/html; charset=utf-8",
    Format.CSV: CSV_TYPE,
    Format.XLSX: XLSX_TYPE,
    Format.JSON: "application/json",
}


def exported(
    document: Document, plan: Plan, made_at: datetime.datetime, wanted: Wanted, as_read: Read = str
) -> bytes:
    """The plan in the wanted form."""
    problem = document.problem(plan.week, plan)
    if wanted.format is Format.ICS:
        # Only feeds need the calendar library, which takes a while to load.
        from service.paper.feed import Dated, calendar

        return calendar([Dated(problem, plan, made_at)], wanted.person)
    if wanted.format is Format.HTML:
        if wanted.day:
            return takeover_page(problem, plan, wanted.day, wanted.person, as_read=as_read).encode()
        return week_sheet(problem, plan, as_read=as_read).encode()
    if wanted.format is Format.JSON:
        from service.whole import Whole

        return Whole(document=document, plans=(plan,)).model_dump_json(indent=2).encode()
    tables = week_tables(problem, plan)
    return csv_bytes(tables) if wanted.format is Format.CSV else xlsx_bytes(tables)
