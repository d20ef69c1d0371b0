"""Ids as the words that the household uses for them."""

from __future__ import annotations

from collections.abc import Iterable

from solver.domain.activity import Activity
from solver.domain.base import Moment, clock_text
from solver.domain.plan import Booking
from solver.domain.week import Problem


def plain(text: str) -> str:
    """Text without anything that could steer a terminal."""
    return "".join(sign if sign.isprintable() else " " for sign in text)


def moment_text(moment: Moment) -> str:
    """``Wednesday 10:00``."""
    return f"{moment.day.value.capitalize()} {clock_text(moment.time)}"


class Names:
    """Names of everything in a problem; an id that names nothing stands for itself."""

    def __init__(self, problem: Problem) -> None:
        house = problem.household
        self._names: dict[str, str] = {}
        for things in (house.children, house.adults, house.places, house.holders, house.stretches):
            self._names.update((thing.id, plain(thing.name)) for thing in things)
        self._activities = {activity.id: activity for activity in problem.activities}
        children = frozenset(child.id for child in house.children)
        self._everybody = (children, frozenset(child.id for child in house.children if child.learner))

    def of(self, ident: str) -> str:
        """The name of one thing."""
        return self._names.get(ident, ident)

    def all(self, idents: Iterable[str]) -> str:
        """Several names in a row."""
        return ", ".join(self.of(ident) for ident in idents)

    def who(self, idents: tuple[str, ...]) -> str:
        """The children named, or *all* when nobody of several (a baby takes no part) is missing."""
        if len(idents) > 1 and frozenset(idents) in self._everybody:
            return "all"
        return self.all(idents)

    def activity(self, ident: str) -> Activity | None:
        """The activity with this id."""
        return self._activities.get(ident)

    def title(self, booking: Booking) -> str:
        """What a booking is: its activity and, where there are several, its sitting."""
        activity = self.activity(booking.activity)
        if activity is None:
            return booking.activity
        if booking.lighter:
            return f"{plain(activity.title)} (the lighter way)"
        count = len(activity.sittings)
        if count == 1 or booking.sitting >= count:
            return plain(activity.title)
        sitting = activity.sittings[booking.sitting]
        return f"{plain(activity.title)}: {plain(sitting.name)} ({booking.sitting + 1} of {count})"
