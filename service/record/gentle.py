"""Published figures beside a plan, as gentle notes: nothing is wrong, it is good to know."""

from __future__ import annotations

from collections.abc import Iterator

from service.record.views import GentleNote
from service.start.people import sleep_note
from solver.domain.activity import Kind
from solver.domain.base import Day
from solver.domain.people import Child
from solver.domain.plan import Plan
from solver.domain.week import Problem

WHO = (
    "World Health Organization, physical activity, sedentary behaviour and sleep under 5 years, 2019 (quoted)"
)
WHO_OLDER = "World Health Organization 2020, 5 to 17 years (from memory)"
AASM = "American Academy of Sleep Medicine, J Clin Sleep Med 2016;12:785-786"
LIVELY = 3
"""Energy from which a thing counts as lively here."""
SCREEN_MOST = 60


def gentle_notes(problem: Problem, plan: Plan) -> Iterator[GentleNote]:
    """Movement, screen and sleep of each child in this week."""
    monday = problem.week.monday
    for child in problem.household.children:
        months = child.age_months(monday.year, monday.month)
        if child.learner:
            yield from _movement(problem, plan, child, months)
            yield from _screen(problem, plan, child, months)
        if note := sleep_note(child, monday):
            yield GentleNote(child=child.id, text=note, source=AASM)


def _movement(problem: Problem, plan: Plan, child: Child, months: int) -> Iterator[GentleNote]:
    days = problem.week.teaching_days
    lively = sum(_minutes(problem, plan, child, day, lively=True) for day in days) // max(1, len(days))
    if lively >= 60 or months < 36:
        return
    if months < 60:
        figure = "at 3 to 4 years at least 180 minutes a day of any activity, 60 of them lively"
    else:
        figure = "from 5 years about 60 minutes a day of lively movement"
    said = (
        f"The plan itself holds about {lively} lively minutes a day for {child.name}; {figure}, are advised."
    )
    yield GentleNote(
        child=child.id,
        text=f"{said} Free play beside the plan counts too.",
        source=WHO if months < 60 else WHO_OLDER,
    )


def _screen(problem: Problem, plan: Plan, child: Child, months: int) -> Iterator[GentleNote]:
    most = 0 if months < 24 else SCREEN_MOST
    if months >= 60:
        return
    for day in problem.week.teaching_days:
        minutes = _minutes(problem, plan, child, day, lively=False)
        if minutes > most:
            figure = f"at most {most} minutes a day" if most else "no screen yet"
            on = day.value.capitalize()
            text = f"{child.name} has {minutes} minutes of screen on {on}; advised at this age: {figure}."
            yield GentleNote(child=child.id, text=f"{text} Less is better; the family decides.", source=WHO)


def _minutes(problem: Problem, plan: Plan, child: Child, day: Day, *, lively: bool) -> int:
    activities = {one.id: one for one in problem.activities}
    total = 0
    for booking in plan.bookings:
        activity = activities.get(booking.activity)
        if booking.day is day and activity:
            meant = activity.energy >= LIVELY if lively else activity.kind is Kind.SCREEN
            total += sum(one.minutes for one in booking.attends if one.child == child.id) if meant else 0
    return total
