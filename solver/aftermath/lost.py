"""A day or a part of it is lost: for everybody, for a child who is ill, for an adult who is away."""

from __future__ import annotations

from dataclasses import replace

from solver.aftermath.hours import hours_without
from solver.aftermath.state import (
    Aftermath,
    cancel,
    cancel_where,
    from_now,
    let_miss,
    name_of,
    new_id,
    points_in,
)
from solver.clock import SLOT_MIN
from solver.domain.base import DAY_MIN, DAYS, ChildId, Day, Window, clock_text
from solver.domain.mishap import (
    DayLost,
)
from solver.domain.week import (
    FixedKind,
    FixedPoint,
    Illness,
)
from solver.presence import Presence
from solver.words import day_name, listed


def day_lost(after: Aftermath, lost: DayLost) -> Aftermath:
    start = max(lost.start, from_now(after, lost.day))
    if start >= lost.end:
        return after
    window = Window(days=(lost.day,), start=start, end=lost.end)
    everybody = not lost.children and not lost.adults
    if everybody:
        after = _nothing_that_day(after, window)
    if lost.children:
        after = _ill(after, lost.children, window)
    for adult in lost.adults:
        after = _adult_out(after, adult, window)
    return replace(after, no_fuller_after=lost.day, lost=after.lost | {lost.day})


def _nothing_that_day(after: Aftermath, window: Window) -> Aftermath:
    learners = tuple(c.id for c in after.problem.household.children if c.learner)
    day = window.days[0]
    rest = FixedPoint(
        id=new_id(after, f"lost-{day}"), title="A day for rest", kind=FixedKind.LOST, days=(day,),
        start=window.start, end=min(window.end, DAY_MIN), children=learners,
    )  # fmt: skip
    after = cancel_where(after, window, lambda point: point.leaves_home, "the day is lost", ())
    return after.with_week(fixed_points=(*after.problem.week.fixed_points, rest))


def _ill(after: Aftermath, children: tuple[str, ...], window: Window) -> Aftermath:
    illnesses = tuple(Illness(child=child, when=(window,)) for child in children)
    after = after.with_week(ill=(*after.problem.week.ill, *illnesses))
    for child in children:
        after = _stays_home(after, child, window)
    after = _small_things_for_the_others(after, children)
    return replace(after, notes=(*after.notes, *_illness_notes(after, children, window)))


def _stays_home(after: Aftermath, child: str, window: Window) -> Aftermath:
    """An ill child goes nowhere; where no adult would stay, nobody goes."""
    day = window.days[0]
    name = name_of(after, child)
    for point in points_in(after, window):
        if child not in point.children or not point.leaves_home:
            continue
        if _somebody_stays(after, point, day):
            others = tuple(c for c in point.children if c != child)
            changed = point.model_copy(
                update={"children": others, "days": (day,), "id": new_id(after, f"{point.id}-{day}")}
            )
            after = cancel(after, point, day, f"{name} is ill and stays at home", (child,))
            if others or point.adults:
                after = after.with_week(fixed_points=(*after.problem.week.fixed_points, changed))
        else:
            why = f"{name} is ill, and there is no second adult to stay at home then"
            after = cancel(after, point, day, why, ())
    return after


def _somebody_stays(after: Aftermath, point: FixedPoint, day: Day) -> bool:
    presence = Presence(after.problem)
    first, last = point.taken_from // SLOT_MIN, -(-point.taken_until // SLOT_MIN)
    whole = (1 << last) - (1 << first)
    return any(
        presence.on_hand(adult.id, day) & whole == whole
        for adult in after.problem.household.adults
        if adult.id not in point.adults
    )


def _small_things_for_the_others(after: Aftermath, ill: tuple[ChildId, ...]) -> Aftermath:
    """What is fit for a tired day goes on for whoever is well."""
    fit = {activity.id for activity in after.problem.activities if activity.tired_ok}
    return let_miss(after, ill, lambda wish: wish.activity in fit)


def _illness_notes(after: Aftermath, children: tuple[str, ...], window: Window) -> list[str]:
    names = listed([name_of(after, child) for child in children])
    notes = [
        f"{names}: rest, lap books, an audio story, a short film within the minutes you allow. "
        "If you are worried, ask your doctor."
    ]
    day = window.days[0]
    for later in DAYS[day.index + 1 : day.index + 3]:
        for point in after.problem.household.fixed_points + after.problem.week.fixed_points:
            if point.on(later) and point.leaves_home and set(children) & set(point.children):
                by = clock_text(point.taken_from)
                notes.append(
                    f"{point.title} on {day_name(later)}: only if {names} has been well for 24 hours by {by} "
                    f"(48 after vomiting, if that is the group's rule); otherwise at home."
                )
    for adult in after.problem.household.adults:
        hours = after.problem.week.hours.get(adult.id, adult.hours)
        soon = [h for h in hours if h.days and any(d in h.days for d in DAYS[day.index + 1 : day.index + 2])]
        if soon and sum(len(h.days) for h in hours) == 1:
            notes.append(f"Ask {adult.name} whether {day_name(soon[0].days[0])} still suits.")
    return notes


def _adult_out(after: Aftermath, adult: str, window: Window) -> Aftermath:
    after = after.with_week(hours=hours_without(after, adult, window))
    alone = lambda point: point.adults == (adult,) and point.leaves_home  # noqa: E731
    return cancel_where(after, window, alone, f"{name_of(after, adult)} cannot go", ())
