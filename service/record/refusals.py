"""A refusal told on the page goes into the log at once, for that child and with its reason."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from service.paper.moments import date_of
from service.record.views import LOG, LogLine, Outcome, Refusal
from service.store import Store
from service.store.entries import Entry, entry
from service.store.ticking import Item, Refused
from solver.domain.document import Document
from solver.domain.plan import Booking, Plan
from solver.domain.week import Week


def refusal_lines(store: Store, items: Iterable[Item]) -> dict[str, Entry]:
    """The log line of each refusal, by the item's id; what nobody knows (any more) makes none."""
    refused = [(item, item.refused) for item in items if item.refused is not None]
    if not refused or not store.has_household():
        return {}
    document = store.current().document
    return {
        item.id: entry(LOG, line.id, line, line.date.isoformat())
        for item, refusal in refused
        for line in _lines(store, document, item, refusal)
    }


def _lines(store: Store, document: Document, item: Item, refusal: Refused) -> Iterator[LogLine]:
    week = next((one for one in document.weeks if one.id == item.week), None)
    known = {child.id for child in document.household.children}
    if week is None or item.booking is None or refusal.child not in known:
        return
    stored = store.latest_plan(week.id)
    booking = _booking(stored.plan, item.booking) if stored else None
    activity_id = booking.activity if booking else _wished(week, item.booking)
    activity = next((one for one in document.activities if one.id == activity_id), None)
    if activity is None:
        return
    there = next((one for one in booking.attends if one.child == refusal.child), None) if booking else None
    yield LogLine(
        id=f"{week.id} {item.booking} {refusal.child}",
        date=date_of(week.monday, booking.day) if booking else item.at.date(),
        child=refusal.child,
        title=activity.title,
        outcome=Outcome.NO,
        minutes=refusal.minutes,
        week=week.id,
        booking=item.booking,
        activity=activity.id,
        kind=activity.kind,
        areas=activity.areas,
        help=there.help if there else None,
        reason=_reason(refusal.reason),
        planned_min=there.minutes if there else None,
        start=booking.start if booking else None,
    )


def _booking(plan: Plan, ident: str) -> Booking | None:
    return next((one for one in plan.bookings if one.id == ident), None)


def _wished(week: Week, booking: str) -> str | None:
    """Told while the week was changed elsewhere: a booking's name still says which wish it was."""
    wish = booking.rsplit(".", 2)[0]
    return next((one.activity for one in week.wishes if one.id == wish), None)


def _reason(said: str) -> Refusal:
    return Refusal(said) if said in set(Refusal) else Refusal.OTHER
