"""The runner: every method on every instance, one after the other; table, CSV and plots."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console

from service.bench.ablation import TRICKS, WITHOUT
from service.bench.child import in_child
from service.bench.measure import Limits
from service.bench.plot import gap_plot, growth_plot
from service.bench.record import BASELINES, OURS, Instance, Run
from service.bench.report import show, write_csv
from service.bench.sizes import SIZES, USUAL

MILP_SIZES = ("S",)
"""The general-purpose model is only tried on small weeks."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What the bench is asked to do."""

    sizes: tuple[str, ...] = USUAL
    files: tuple[Path, ...] = ()
    seeds: int = 5
    seconds: float = 15.0
    workers: int = 2
    mends: int = 4
    baselines: tuple[str, ...] = BASELINES
    out: Path | None = None
    csv: bool = False
    ablation: bool = False

    @property
    def instances(self) -> list[Instance]:
        """Files first, then the sizes with all their seeds."""
        files = [Instance(path.stem, 1, path.resolve()) for path in self.files]
        return files + [Instance(size, seed + 1) for size in self.sizes for seed in range(self.seeds)]


def main_bench(asked: Asked) -> list[Run]:
    """Run the bench; the table goes to standard output (or the CSV does), the rest into ``out``."""
    told = Console(stderr=True)
    runs: list[Run] = []
    for instance in asked.instances:
        for run in _methods(asked, instance):
            runs.append(run)
            told.print(_in_short(run), markup=False, highlight=False)
    if asked.csv:
        write_csv(sys.stdout, runs)
    else:
        show(Console(width=None if sys.stdout.isatty() else 170), runs, asked.seconds)
    if asked.out:
        _write(asked.out, runs, asked.seconds)
    return runs


def _methods(asked: Asked, instance: Instance) -> Iterator[Run]:
    if asked.ablation:
        for method in (OURS, *(WITHOUT + trick for trick in TRICKS)):
            yield in_child(method, instance, Limits(asked.seconds, asked.workers))
        return
    limits = Limits(asked.seconds, asked.workers, asked.mends)
    weeks = SIZES[instance.label].weeks if instance.path is None else 1
    ours = in_child(OURS, instance, limits, weeks)
    yield ours
    if ours.marks or weeks > 1:
        return
    for method in asked.baselines:
        if method != "milp":
            yield in_child(method, instance, limits)
        elif instance.label in MILP_SIZES and ours.ends:
            upper = (ours.ends["promises"].value, ours.ends["staples"].value)
            yield in_child(method, instance, Limits(asked.seconds, asked.workers, upper=upper))


def _in_short(run: Run) -> str:
    if run.failure:
        return f"{run.instance.name} {run.method}: {run.failure}"
    costs = ", ".join(
        f"{tier} {end.value}{'?' if run.method == OURS and not end.proved else ''}"
        for tier, end in run.ends.items()
    )
    return f"{run.instance.name} {run.method}: {run.total_s:.1f} s, {costs}"


def _write(out: Path, runs: Sequence[Run], seconds: float) -> None:
    out.mkdir(parents=True, exist_ok=True)
    with (out / "bench.csv").open("w", encoding="utf-8", newline="") as file:
        write_csv(file, runs)
    (out / "gap.svg").write_text(gap_plot(runs, seconds), encoding="utf-8")
    (out / "growth.svg").write_text(growth_plot(runs), encoding="utf-8")
