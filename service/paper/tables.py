"""A plan as tables: the week, the evenings, the shopping, what is left over."""

from __future__ import annotations

from service.paper.cells import Table
from service.paper.lines import evening_name, lines_of
from service.paper.moments import date_of
from service.show.names import moment_text
from solver.domain.base import clock_text
from solver.domain.plan import Plan
from solver.domain.week import Problem


def week_tables(problem: Problem, plan: Plan) -> tuple[Table, ...]:
    """Every table of a plan."""
    return _week(problem, plan), _prep(problem, plan), _shopping(plan), _left_over(plan)


def _week(problem: Problem, plan: Plan) -> Table:
    head = ("date", "day", "stretch", "start", "end", "what", "who", "adult", "adult from", "adult until")
    rows = tuple(
        (
            date_of(problem.week.monday, line.day).isoformat(),
            line.day.value,
            line.stretch,
            clock_text(line.booking.start),
            clock_text(line.booking.start + line.booking.minutes),
            line.title,
            line.children,
            line.adults,
            clock_text(line.adult_from),
            clock_text(line.adult_until),
            line.place,
            "promise" if line.promise else "",
            " · ".join(caution.text for caution in line.booking.cautions),
        )
        for line in lines_of(problem, plan)
    )
    return Table(f"week {plan.week}", (*head, "place", "rank", "take care"), rows)


def _prep(problem: Problem, plan: Plan) -> Table:
    titles = {line.booking.id: line.title for line in lines_of(problem, plan)}
    ordered = sorted(plan.prep, key=lambda task: (task.evening.index, task.batch or "", task.name))
    rows = tuple(
        (
            evening_name(task.evening),
            task.name,
            task.minutes,
            task.batch or "",
            titles.get(task.ready_for, task.ready_for),
        )
        for task in ordered
    )
    return Table("to make ready", ("evening", "what", "minutes", "batch", "for"), rows)


def _shopping(plan: Plan) -> Table:
    rows = tuple(
        (
            one.name,
            one.count,
            one.unit,
            moment_text(one.at) if one.at else "before the week",
            moment_text(one.need_by),
            one.cost,
        )
        for one in plan.shopping
    )
    return Table("to buy", ("what", "count", "unit", "shop", "need by", "cost"), rows)


def _left_over(plan: Plan) -> Table:
    rows = tuple(
        (one.title, one.fate.value.replace("_", " "), one.until, one.reason.sentence, one.reason.freed_by)
        for one in plan.left_over
    )
    return Table("left over", ("what", "fate", "until", "because", "would fit with"), rows)
