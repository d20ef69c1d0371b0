"""What surrounds the week: prep evenings, shopping, what waits where, left over, costs, proof."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable

from rich.console import Console
from rich.table import Table
from rich.text import Text

from service.show.live import tier_text
from service.show.names import Names, moment_text, plain
from solver.check import COSTS, costs
from solver.domain.base import Evening
from solver.domain.plan import Fate, LeftOver, Plan, PrepBooking, Purchase, TierResult, Waiting
from solver.domain.week import Problem


def show_rest(console: Console, problem: Problem, plan: Plan, names: Names) -> None:
    """Print everything that is not a day."""
    _show_prep(console, problem, plan, names)
    _show_list(console, "To buy", (_purchase_text(one) for one in plan.shopping))
    _show_list(console, "Waiting meanwhile", (_waiting_text(one, plan, names) for one in plan.waiting))
    _show_list(console, "Left over, and why", _left_over_texts(plan.left_over))
    _show_hangs(console, plan)
    _show_costs(console, problem, plan)
    _show_tiers(console, plan.tiers)


def _show_list(console: Console, heading: str, lines: Iterable[str]) -> None:
    found = list(lines)
    if not found:
        return
    console.print(f"\n{heading}", style="bold")
    for line in found:
        console.print(f"  {line}", markup=False, highlight=False)


def _show_hangs(console: Console, plan: Plan) -> None:
    """Only where it was asked for."""
    if plan.hangs is not None:
        told = [f"{plain(one.title)} hangs on {one.day.value.capitalize()}. {one.why}" for one in plan.hangs]
        kept = ["Every promise would still fit, whichever day it is."]
        _show_list(console, "If a day were lost", told or kept)


def _show_prep(console: Console, problem: Problem, plan: Plan, names: Names) -> None:
    budgets = {one.evening: one.minutes for one in problem.household.limits.prep}
    evenings: dict[Evening, list[PrepBooking]] = defaultdict(list)
    for task in plan.prep:
        evenings[task.evening].append(task)
    titles = {booking.id: names.title(booking) for booking in plan.bookings}
    for evening in Evening:
        tasks = evenings.get(evening)
        if tasks:
            spent, budget = evening_minutes(tasks), budgets.get(evening, 0)
            heading = f"To make ready, {_evening_name(evening)}: {spent} of {budget} minutes"
            _show_list(console, heading, (_prep_text(task, titles) for task in tasks))


def _evening_name(evening: Evening) -> str:
    if evening is Evening.SUNDAY_BEFORE:
        return "Sunday evening before the week"
    return f"{evening.value.capitalize()} evening"


def evening_minutes(tasks: Iterable[PrepBooking]) -> int:
    """Minutes of an evening; a batch warms up once, for as long as its longest (rule *prep_minutes*)."""
    total = 0
    warm_ups: dict[str, int] = {}
    for task in tasks:
        total += task.minutes
        if task.batch:
            warm_ups[task.batch] = max(warm_ups.get(task.batch, 0), task.warm_up_min)
    return total + sum(warm_ups.values())


def _prep_text(task: PrepBooking, titles: dict[str, str]) -> str:
    shared = f", warm-up of {task.warm_up_min} min once for all" if task.batch and task.warm_up_min else ""
    wanted_for = titles.get(task.ready_for, task.ready_for)
    return f"{plain(task.name)} ({task.minutes} min{shared}), for {wanted_for}"


def _purchase_text(purchase: Purchase) -> str:
    where = moment_text(purchase.at) if purchase.at else "before the week"
    cost = f", costs {purchase.cost}" if purchase.cost else ""
    what = f"{purchase.count} {plain(purchase.unit)} {plain(purchase.name)}{cost}"
    return f"{what}: {where}, needed {moment_text(purchase.need_by)}"


def _waiting_text(waiting: Waiting, plan: Plan, names: Names) -> str:
    titles = {booking.id: names.title(booking) for booking in plan.bookings}
    ident = waiting.after or waiting.before or ""
    where = f" ({names.of(waiting.holder)})" if waiting.holder else ""
    since = moment_text(waiting.since) if waiting.since else "the evening before the week"
    until = moment_text(waiting.until) if waiting.until else "past the week"
    return f"{plain(waiting.kind)}{where}: {titles.get(ident, ident)}, {since} to {until}"


def _left_over_texts(left_over: Iterable[LeftOver]) -> Iterable[str]:
    """One line for each; goes that share their reason share their line."""
    counted = Counter(_left_over_text(one) for one in left_over)
    for (title, reason), times in counted.items():
        often = f" ({times} times)" if times > 1 else ""
        yield f"{title}{often}, {reason}"


def _left_over_text(one: LeftOver) -> tuple[str, str]:
    fate = "held over" if one.fate is Fate.HELD_OVER else "let go"
    until = f" {plain(one.until)}" if one.until else ""
    freed = f" It would fit with this: {plain(one.reason.freed_by)}." if one.reason.freed_by else ""
    return plain(one.title), f"{fate}{until}: {plain(one.reason.sentence)}{freed}"


def _show_costs(console: Console, problem: Problem, plan: Plan) -> None:
    sums: dict[tuple[str, str], int] = defaultdict(int)
    for cost in costs(problem, plan):
        sums[cost.tier, cost.key] += cost.amount
    if not sums:
        return
    table = Table(title="What it costs, rule by rule", title_justify="left", title_style="bold", box=None)
    for heading in ("tier", "rule", "amount", "what it counts"):
        table.add_column(heading, header_style="dim", justify="right" if heading == "amount" else "left")
    for (tier, key), amount in sums.items():
        meaning = (COSTS[key].__doc__ or "").strip().splitlines()[0]
        table.add_row(tier, key, str(amount), Text(meaning))
    console.print()
    console.print(table)


def _show_tiers(console: Console, tiers: Iterable[TierResult]) -> None:
    lines = (f"{tier.name}: {tier.value} ({tier_text(tier)})" for tier in tiers)
    _show_list(console, "How good it is", lines)
