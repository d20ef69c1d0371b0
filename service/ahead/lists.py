"""All lists of the weeks ahead together."""

from __future__ import annotations

from collections.abc import Mapping

from service.ahead.demand import Plans, weeks_from
from service.ahead.evenings import evenings_of, later_prep
from service.ahead.loans import book_lines
from service.ahead.shopping import short_tools, to_buy
from service.ahead.views import Ahead
from solver.domain.base import MaterialId
from solver.domain.document import Document

WEEKS = 3


def ahead(
    document: Document,
    plans: Plans,
    first: str,
    count: int = WEEKS,
    ticked: Mapping[MaterialId, int] | None = None,
) -> Ahead:
    """What is to be made ready, bought and borrowed in so many weeks from the first on.

    ``ticked`` is what was used by things that are done, but not in the log yet.
    """
    weeks = weeks_from(document, first, count)
    known = {week.id: plans[week.id] for week in weeks if week.id in plans}
    return Ahead(
        weeks=tuple(week.id for week in weeks),
        planned=tuple(known),
        evenings=tuple(evenings_of(document, weeks, known)),
        later=tuple(later_prep(document, weeks, known)),
        to_buy=tuple(to_buy(document, weeks, known, ticked)),
        tools=tuple(short_tools(document, weeks, known)),
        books=tuple(book_lines(document, weeks, known)),
    )
