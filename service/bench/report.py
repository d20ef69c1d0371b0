"""The bench's tables and its CSV."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Sequence
from typing import TextIO

from rich.console import Console
from rich.table import Table

from service.bench.ablation import WITHOUT, ablation_table
from service.bench.record import OURS, TIERS, Run, gap_at, gap_at_end, median, pairs, proof_seconds, ratio

MOMENTS = (1, 2, 5, 10, 15, 30)
"""Seconds at which gaps are read off."""
MEND_GOAL = 2.0
"""A family waits so many seconds for an offer."""


def show(console: Console, runs: Sequence[Run], seconds: float) -> None:
    """Everything for people."""
    console.print(_sizes(runs))
    for tier in TIERS:
        console.print(_tier(runs, tier, seconds))
    if any(run.method.startswith(WITHOUT) for run in runs):
        console.print(ablation_table(runs))
    elif any(run.method != OURS for run in runs):
        console.print(_against(runs))
    if any(run.mended for run in runs):
        console.print(_mends(runs))
    if any(run.marks for run in runs):
        console.print(_terms(runs))
    for run in runs:
        if run.failure:
            console.print(f"{run.instance.name}, {run.method}: {run.failure}", style="bold", markup=False)


def labels(runs: Iterable[Run]) -> list[str]:
    """The sizes and files in the order in which they were run."""
    return list(dict.fromkeys(run.instance.label for run in runs))


def _ours(runs: Sequence[Run], label: str) -> list[Run]:
    return [run for run in runs if run.instance.label == label and run.method == OURS]


def _of(runs: Sequence[Run], what: Callable[[Run], float | None], form: str = "{:.2f}") -> str:
    found = median(what(run) if run.ends else None for run in runs)
    return form.format(found) if found is not None else "–"


def _table(title: str, *columns: str) -> Table:
    table = Table(title=title, title_justify="left")
    table.add_column(columns[0], no_wrap=True)
    for column in columns[1:]:
        table.add_column(column, justify="right")
    return table


def _sizes(runs: Sequence[Run]) -> Table:
    table = _table(
        "Size and speed (medians; seconds and megabytes)", "week", "runs", "sittings", "candidates",
        "variables", "constraints", "candidates s", "build s", "first plan s", "total s", "peak MB", "faults",
    )  # fmt: skip
    for label in labels(runs):
        mine = _ours(runs, label)
        table.add_row(
            label,
            str(len(mine)),
            _of(mine, lambda run: run.facts.sittings if run.facts else None, "{:.0f}"),
            _of(mine, lambda run: run.candidates, "{:.0f}"),
            _of(mine, lambda run: run.variables, "{:.0f}"),
            _of(mine, lambda run: run.constraints, "{:.0f}"),
            _of(mine, lambda run: run.candidates_s),
            _of(mine, lambda run: run.build_s),
            _of(mine, lambda run: run.first_s),
            _of(mine, lambda run: run.total_s, "{:.1f}"),
            _of(mine, lambda run: run.peak_mb, "{:.0f}"),
            str(sum(run.violations for run in mine)),
        )
    return table


def _tier(runs: Sequence[Run], tier: str, seconds: float) -> Table:
    moments = [moment for moment in MOMENTS if moment <= seconds]
    columns = ["week", "value", "bound", *(f"gap {m} s" for m in moments), "gap at end", "proved", "proof s"]
    table = _table(f"Tier {tier} (medians; – when most had not begun, or had no proof)", *columns)
    for label in labels(runs):
        mine = [run for run in _ours(runs, label) if run.ends]
        if not mine:
            continue
        proved = sum(run.ends[tier].proved for run in mine)
        gaps = [_of(mine, lambda run, m=m: gap_at(run, tier, m), "{:.1%}") for m in moments]  # type: ignore[misc]
        table.add_row(
            label,
            _of(mine, lambda run: run.ends[tier].value, "{:.0f}"),
            _of(mine, lambda run: run.ends[tier].bound, "{:.0f}"),
            *gaps,
            _of(mine, lambda run: gap_at_end(run, tier), "{:.1%}"),
            f"{proved} of {len(mine)}",
            _of(mine, lambda run: proof_seconds(run, tier)),
        )
    return table


def _against(runs: Sequence[Run]) -> Table:
    table = _table(
        "Ours as a share of theirs (sums over the same instances; below 100 % is better)", "week and method",
        "instances", *TIERS, "all costs", "time", "their faults",
    )  # fmt: skip
    for label in labels(runs):
        for method in dict.fromkeys(run.method for run in runs if run.method != OURS):
            both = pairs(runs, label, method)
            if both:
                table.add_row(f"{label} {method}", str(len(both)), *_shares(both))
    return table


def _shares(both: list[tuple[Run, Run]]) -> list[str]:
    found = [_share([(o.ends[t].value, x.ends[t].value) for o, x in both]) for t in TIERS]
    found.append(_share([(ours.cost, other.cost) for ours, other in both]))
    ours_s, theirs_s = sum(o.total_s for o, _ in both), sum(x.total_s for _, x in both)
    found.append(f"{ours_s / theirs_s:.1f} ×" if theirs_s else "–")
    return [*found, str(sum(other.violations for _, other in both))]


def _share(values: list[tuple[int, int]]) -> str:
    ours, theirs = [o for o, _ in values], [t for _, t in values]
    share = ratio(ours, theirs)
    told = "both 0" if share is None and not sum(ours) else "–" if share is None else f"{share:.0%}"
    return f"{told} ({sum(ours)}:{sum(theirs)})"


def _mends(runs: Sequence[Run]) -> Table:
    table = _table(
        "Mends (seconds; the offer shown first, its changes proved the fewest of its kind)", "week",
        "mishaps", "first offer, median", "slowest", f"proved in {MEND_GOAL:g} s", "all offers, median",
        "faults",
    )  # fmt: skip
    for label in labels(runs):
        found = [mended for run in _ours(runs, label) for mended in run.mended]
        if not found:
            continue
        soon = sum(one.proved_s is not None and one.proved_s <= MEND_GOAL for one in found)
        table.add_row(
            label,
            str(len(found)),
            f"{median(one.first_s for one in found):.2f}",
            f"{max(one.first_s for one in found):.2f}",
            f"{soon} of {len(found)}",
            f"{median(one.total_s for one in found):.2f}",
            str(sum(one.violations for one in found)),
        )
    return table


def _terms(runs: Sequence[Run]) -> Table:
    table = _table(
        "A term, week after week (seconds)", "term", "weeks", "first week", "longest week", "in all"
    )
    for run in runs:
        if run.marks:
            weeks = [b - a for a, b in zip((0.0, *run.marks), run.marks, strict=False)]
            cells = (f"{weeks[0]:.1f}", f"{max(weeks):.1f}", f"{run.marks[-1]:.1f}")
            table.add_row(run.instance.name, str(len(weeks)), *cells)
    return table


COLUMNS = (
    "week", "seed", "method", "children", "adults", "activities", "sittings", "weeks", "candidates",
    "variables", "constraints", "candidates_s", "build_s", "first_plan_s", "total_s", "peak_mb", "faults",
    "failure", "tier", "value", "bound", "proved", "proof_s", *(f"gap_{moment}s" for moment in MOMENTS),
)  # fmt: skip


def write_csv(out: TextIO, runs: Sequence[Run]) -> None:
    """One line for each tier of each run."""
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for run in runs:
        for tier in run.ends or ("",):
            writer.writerow([*_run_cells(run), *_tier_cells(run, tier)])


def _run_cells(run: Run) -> list[object]:
    facts = run.facts
    size = (
        [facts.children, facts.adults, facts.activities, facts.sittings, facts.weeks] if facts else [""] * 5
    )
    return [
        run.instance.label, run.instance.seed, run.method, *size, run.candidates, run.variables,
        run.constraints, run.candidates_s, run.build_s, "" if run.first_s is None else run.first_s,
        run.total_s, run.peak_mb, run.violations, run.failure,
    ]  # fmt: skip


def _tier_cells(run: Run, tier: str) -> list[object]:
    if not tier:
        return [""] * (5 + len(MOMENTS))
    end = run.ends[tier]
    proof = proof_seconds(run, tier)
    gaps = [gap_at(run, tier, moment) for moment in MOMENTS]
    bound: object = "" if end.bound is None else end.bound
    cells: list[object] = [tier, end.value, bound, int(end.proved), "" if proof is None else proof]
    return [*cells, *("" if gap is None else round(gap, 4) for gap in gaps)]
