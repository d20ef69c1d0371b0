"""``lapful bench``: a generated household on standard output, or the bench itself."""

from __future__ import annotations

import importlib.util
from collections.abc import Iterable
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from service.bench.record import BASELINES
from service.bench.sizes import SIZES, USUAL

Oracles = Annotated[
    bool, typer.Option("--oracles", help="Ask published problems with a known answer instead.")
]
MostSeconds = Annotated[
    float, typer.Option(min=0.1, max=3600, help="With --oracles: for each of the two questions.")
]
Only = Annotated[str, typer.Option(metavar="la01,…", help="With --oracles: these alone; all if not given.")]
Differential = Annotated[
    int | None,
    typer.Option(
        min=1, max=100_000, metavar="N", help="Compare N drawn households with HiGHS (from --seed on)."
    ),
]
Minimal = Annotated[
    int | None,
    typer.Option(
        min=1, max=100_000, metavar="N", help="Mend N small weeks and try every other mend (from --seed on)."
    ),
]


def add_bench(app: typer.Typer) -> None:
    """Add the subcommand."""
    app.command()(bench)


def bench(
    households: Annotated[
        list[Path] | None, typer.Argument(metavar="[HOUSEHOLD.json]…", help="Files to solve besides.")
    ] = None,
    made: Annotated[
        str | None, typer.Option("--make", metavar="|".join(SIZES), help="Print a generated household.")
    ] = None,
    seed: Annotated[int, typer.Option(min=0, help="With --make: which one.")] = 1,
    sizes: Annotated[
        str | None, typer.Option(metavar="S,M", help="Which sizes to run; S,M,L,XL if not given.")
    ] = None,
    seeds: Annotated[int, typer.Option(min=1, max=1000, help="How many of each size.")] = 5,
    seconds: Annotated[float, typer.Option(min=0.1, max=3600, help="For each search.")] = 15.0,
    workers: Annotated[int, typer.Option(min=1, max=64, help="How many threads search.")] = 2,
    mends: Annotated[int, typer.Option(min=0, max=100, help="Random mishaps to mend in each week.")] = 4,
    baselines: Annotated[
        str, typer.Option(metavar="careful,…", help="What to compare with; none to leave it out.")
    ] = ",".join(BASELINES),
    ablation: Annotated[
        bool, typer.Option("--ablation", help="Solve each week without one trick at a time instead.")
    ] = False,
    out: Annotated[Path | None, typer.Option(metavar="DIR", help="Write CSV and plots there.")] = None,
    as_csv: Annotated[bool, typer.Option("--csv", help="Print CSV instead of tables.")] = False,
    oracles: Oracles = False,
    most_seconds: MostSeconds = 60.0,
    only: Only = "",
    differential: Differential = None,
    minimal: Minimal = None,
) -> None:
    """Measure the solver on generated weeks, print one of them (--make), or hold it to other solvers."""
    if minimal is not None:
        _try_everything(minimal, seed)
        return
    if oracles or differential is not None:
        _hold(oracles, most_seconds, only, differential or 0, seed, workers)
        return
    if made is not None:
        _print_made(_one_of(made, SIZES, "--make"), seed)
        return
    files = tuple(households or ())
    # Files alone are meant as files alone.
    wanted = _listed(sizes, SIZES, "--sizes") if sizes is not None else () if files else USUAL
    against = () if baselines == "none" else _listed(baselines, BASELINES, "--baselines")
    from service.bench.run import Asked, main_bench

    runs = main_bench(Asked(wanted, files, seeds, seconds, workers, mends, against, out, as_csv, ablation))
    if any(run.failure or run.violations for run in runs if run.method not in BASELINES):
        raise typer.Exit(1)


def _print_made(size: str, seed: int) -> None:
    # No other command need wait for what only the bench uses.
    from service.bench.generate import make

    print(make(size, seed).model_dump_json(indent=2))


def _hold(oracles: bool, most: float, only: str, count: int, seed: int, workers: int) -> None:
    """Ask published problems, or compare drawn households; ends with 1 when anything contradicts us."""
    if importlib.util.find_spec("highspy") is None:
        raise typer.BadParameter("what this is held to needs HiGHS: pip install highspy")
    good = True
    if oracles:
        from service.bench.oracles import catalogue, main_oracles

        names = _listed(only, catalogue(), "--only")
        good = main_oracles(most, workers, names)
    if count:
        from service.bench.differential import SECONDS, main_differential

        good = main_differential(count, seed, SECONDS, workers) and good
    if not good:
        raise typer.Exit(1)


def _try_everything(count: int, seed: int) -> None:
    """Hold the fewest changes of small weeks to a search that tries everything; ends with 1 if any differ."""
    from service.bench.minimal import show_minimal

    if not show_minimal(Console(), count, first=seed):
        raise typer.Exit(1)


def _one_of(value: str, known: Iterable[str], option: str) -> str:
    names = list(known)
    if value not in names:
        raise typer.BadParameter(f"{option}: there is no {value!r}; use one of {', '.join(names)}")
    return value


def _listed(value: str, known: Iterable[str], option: str) -> tuple[str, ...]:
    return tuple(_one_of(part.strip(), known, option) for part in value.split(",") if part.strip())
