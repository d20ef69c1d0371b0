"""What each trick of the search brings: the same weeks solved without it, one trick at a time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from pkgutil import resolve_name
from typing import Any
from unittest.mock import patch

from rich.table import Table

from service.bench.record import OURS, Run, gap_at_end, median

WITHOUT = "without "


class Named(tuple[str, ...]):
    """Things by their names, looked up when wanted: who lists the tricks need not load the engine."""

    def __new__(cls, *names: str) -> Named:
        return super().__new__(cls, names)

    def found(self) -> tuple[Any, ...]:
        return tuple(resolve_name(name) for name in self)


def _nothing(*_: Any) -> None:
    return None


def _nothing_lacks(*_: Any) -> Any:
    from solver.construct import Lack

    return Lack()


def _none_beside(_: Iterable[Any], latest: Any, apart: bool) -> Any:
    from solver.beside import Beside

    return Beside((), latest, apart)


TRICKS: dict[str, dict[str, Any]] = {
    "the linear rows' bound (and parts)": {"solver.tiers.MANY": 10**9},
    "parts": {"solver.parts.PATIENCE": 0},
    "parts of what the rows think cheapest": {
        "solver.parts.KINDS": Named("solver.parts.some_days", "solver.parts.some_goes")
    },
    "thorough workers": {"solver.running.THOROUGH": ()},
    "seeing first to what lacks": {"solver.construct._lack": _nothing_lacks},
    "more first weeks": {"solver.search.Beside": _none_beside},
    "a second process for them": {"solver.search.COPIES": False},
    "first weeks aside of the best": {"solver.construct.ASIDE": 0.0},
    "places for what counts, apart": {"solver.tiers.find_places": _nothing},
    "implied sums over windows": {
        "solver.rules.between._room_in_blocks": _nothing,
        "solver.rules.between._room_at": _nothing,
        "solver.rules.hands._hands_in_blocks": _nothing,
    },
    "days cut across waits": {"solver.rules.across._cut_days": _nothing},
}
"""What stands in its place, by the trick's name. None of them changes what a week may be."""


@contextmanager
def left_out(method: str) -> Iterator[None]:
    """While this lasts, the search does without the trick that the method names, if it names one."""
    with ExitStack() as stack:
        for target, instead in TRICKS.get(method.removeprefix(WITHOUT), {}).items():
            stack.enter_context(patch(target, instead.found() if isinstance(instead, Named) else instead))
        yield


def ablation_table(runs: Sequence[Run], tier: str = "worth") -> Table:
    """Medians of one tier with everything, and without each trick."""
    table = Table(title=f"Without one trick: tier {tier} (medians)", title_justify="left")
    table.add_column("week and search", no_wrap=True)
    for column in ("weeks", "value", "bound", "gap at end", "proved", "first plan s", "total s"):
        table.add_column(column, justify="right")
    for label in dict.fromkeys(run.instance.label for run in runs):
        for method in dict.fromkeys(run.method for run in runs if run.instance.label == label):
            mine = [r for r in runs if (r.instance.label, r.method) == (label, method) and tier in r.ends]
            if mine and (method == OURS or method.startswith(WITHOUT)):
                name = f"{label} {'with all' if method == OURS else method}"
                table.add_row(name, str(len(mine)), *_cells(mine, tier))
    return table


def _cells(runs: Sequence[Run], tier: str) -> Iterator[str]:
    ends = [run.ends[tier] for run in runs]
    yield _told(median(end.value for end in ends), "{:.0f}")
    yield _told(median(end.bound for end in ends), "{:.0f}")
    yield _told(median(gap_at_end(run, tier) for run in runs), "{:.1%}")
    yield f"{sum(end.proved for end in ends)} of {len(ends)}"
    yield _told(median(run.first_s for run in runs), "{:.2f}")
    yield _told(median(run.total_s for run in runs), "{:.1f}")


def _told(value: float | None, form: str) -> str:
    return "–" if value is None else form.format(value)
