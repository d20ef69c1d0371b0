"""Two plots as SVG by hand: the gap over time, and growth with size."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from html import escape

from service.bench.record import OURS, Run, gap, median

Point = tuple[float, float]
WIDTH, HEIGHT, LEFT, BOTTOM, TOP, RIGHT = 420, 300, 58, 46, 34, 70
DASHES = ("none", "7 3", "2 3", "9 3 2 3", "4 6", "1 5")
"""Lines are told apart by pattern and by name, not by colour."""
LETTERING = 12
"""Height of a line of text."""


@dataclass(frozen=True, slots=True)
class Line:
    """One series."""

    name: str
    points: tuple[Point, ...]
    dash: str = "none"
    steps: bool = False


@dataclass(frozen=True, slots=True)
class Axis:
    """From where to where, and how it is written; ``logarithmic`` for sizes and times."""

    title: str
    least: float
    most: float
    logarithmic: bool = False

    def share(self, value: float) -> float:
        """Where a value lies, from 0 to 1."""
        if not self.logarithmic:
            return (value - self.least) / (self.most - self.least)
        return math.log(max(value, self.least) / self.least) / math.log(self.most / self.least)

    def ticks(self) -> list[float]:
        """Round values to mark."""
        if not self.logarithmic:
            return [self.least + (self.most - self.least) * i / 4 for i in range(5)]
        low, high = math.floor(math.log10(self.least)), math.ceil(math.log10(self.most))
        found = [factor * 10.0**power for power in range(low, high + 1) for factor in (1, 2, 5)]
        return [tick for tick in found if self.least <= tick <= self.most]


def panel(title: str, x: Axis, y: Axis, lines: Iterable[Line], left: float = 0, top: float = 0) -> str:
    """One pair of axes with its lines."""
    parts = [f'<g transform="translate({left:.0f} {top:.0f})">', _text(LEFT, 18, title, "start", 600)]
    parts += [_tick(x, tick, across=True) for tick in x.ticks()]
    parts += [_tick(y, tick, across=False) for tick in y.ticks()]
    parts.append(_text((LEFT + WIDTH - RIGHT) / 2, HEIGHT - 8, x.title))
    parts.append(f'<g transform="rotate(-90 14 {HEIGHT / 2})">{_text(14, HEIGHT / 2, y.title)}</g>')
    drawn = [line for line in lines if line.points]
    parts += [_line(line, x, y) for line in drawn]
    return "".join([*parts, *_names(drawn, x, y), "</g>"])


def _names(lines: Iterable[Line], x: Axis, y: Axis) -> list[str]:
    """Each line's name at its end, moved down where it would cover another."""
    ends = sorted((_at(x, y, line.points[-1])[::-1], line.name) for line in lines)
    found, lowest = [], 0.0
    for (down, across), name in ends:
        lowest = max(down + 4, lowest + LETTERING)
        found.append(_text(across + 5, lowest, name, "start"))
    return found


def document(panels: Sequence[str], columns: int = 1) -> str:
    """A whole SVG, the panels side by side."""
    rows = -(-len(panels) // columns)
    width, height = columns * WIDTH, rows * HEIGHT
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" '
        f'height="{height}" font-family="sans-serif" font-size="11" fill="#222">'
        f'<rect width="{width}" height="{height}" fill="#fff"/>{"".join(panels)}</svg>\n'
    )


def _at(x: Axis, y: Axis, point: Point) -> Point:
    across = LEFT + x.share(point[0]) * (WIDTH - LEFT - RIGHT)
    return across, HEIGHT - BOTTOM - y.share(point[1]) * (HEIGHT - TOP - BOTTOM)


def _text(x: float, y: float, text: str, anchor: str = "middle", weight: int = 400) -> str:
    where = f'x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" font-weight="{weight}"'
    return f"<text {where}>{escape(text)}</text>"


def _tick(axis: Axis, value: float, across: bool) -> str:
    share, name = axis.share(value), f"{value:g}"
    if across:
        x = LEFT + share * (WIDTH - LEFT - RIGHT)
        rule = f'<path d="M{x:.1f} {TOP}V{HEIGHT - BOTTOM}" stroke="#ddd"/>'
        return rule + _text(x, HEIGHT - BOTTOM + 15, name)
    y = HEIGHT - BOTTOM - share * (HEIGHT - TOP - BOTTOM)
    rule = f'<path d="M{LEFT} {y:.1f}H{WIDTH - RIGHT}" stroke="#ddd"/>'
    return rule + _text(LEFT - 6, y + 4, name, "end")


def _line(line: Line, x: Axis, y: Axis) -> str:
    spots = [_at(x, y, point) for point in line.points]
    path = f"M{spots[0][0]:.1f} {spots[0][1]:.1f}"
    for across, down in spots[1:]:
        path += f"H{across:.1f}V{down:.1f}" if line.steps else f"L{across:.1f} {down:.1f}"
    stroke = f'fill="none" stroke="#222" stroke-width="1.4" stroke-dasharray="{line.dash}"'
    dots = "" if line.steps else "".join(f'<circle cx="{a:.1f}" cy="{d:.1f}" r="2.6"/>' for a, d in spots)
    return f'<path d="{path}" {stroke}/>{dots}'


def gap_plot(runs: Sequence[Run], seconds: float, tiers: Sequence[str] = ("worth", "rhythm")) -> str:
    """The gap over time, one panel a tier and size, one line an instance."""
    sizes = list(dict.fromkeys(run.instance.label for run in runs if run.events))
    panels: list[str] = []
    for row, size in enumerate(sizes):
        mine = [run for run in runs if run.instance.label == size and run.events]
        for column, tier in enumerate(tiers):
            lines = [
                Line(run.instance.name, gap_points(run, tier, seconds), DASHES[i % len(DASHES)], steps=True)
                for i, run in enumerate(mine)
            ]
            x, y = Axis("seconds", 0.1, max(seconds, 1.0), True), Axis("gap, %", 0, 100)
            panels.append(panel(f"{size}: {tier}", x, y, lines, column * WIDTH, row * HEIGHT))
    return document(panels, len(tiers))


def gap_points(run: Run, tier: str, seconds: float) -> tuple[Point, ...]:
    """The steps of a tier's gap in per cent, held to the end."""
    value, bound, found = None, 0, []
    for event in run.events:
        if event.tier == tier:
            value = event.value if value is None else min(value, event.value)
            bound = max(bound, event.bound)
            found.append((event.seconds, 100 * gap(value, bound)))
    if found and found[-1][0] < seconds:
        found.append((seconds, found[-1][1]))
    return tuple(found)


GROWTH: dict[str, Callable[[Run], float]] = {
    "sittings": lambda run: run.facts.sittings if run.facts else 0,
    "children": lambda run: run.facts.children if run.facts else 0,
    "activities": lambda run: run.facts.activities if run.facts else 0,
}
TIMES: dict[str, Callable[[Run], float | None]] = {
    "candidates": lambda run: run.candidates_s,
    "build": lambda run: run.build_s,
    "first plan": lambda run: run.first_s,
}


def growth_plot(runs: Sequence[Run]) -> str:
    """How building and the first plan grow with sittings, children, activities; and a term with its weeks."""
    single = [run for run in runs if run.method == OURS and run.facts and not run.marks and run.ends]
    panels: list[str] = []
    for title, size_of in GROWTH.items():
        if single:
            panels.append(_growth(title, size_of, single, len(panels)))
    terms = [run for run in runs if run.marks]
    if terms:
        most = max(run.marks[-1] for run in terms)
        lines = [
            Line(
                run.instance.name,
                tuple((i + 1.0, s) for i, s in enumerate(run.marks)),
                DASHES[n % len(DASHES)],
            )
            for n, run in enumerate(terms)
        ]
        weeks = Axis("weeks", 0, max(len(run.marks) for run in terms))
        panels.append(panel("a term", weeks, Axis("seconds", 0, most), lines, *_spot(len(panels))))
    return document(panels, 2)


def _spot(index: int) -> tuple[int, int]:
    return index % 2 * WIDTH, index // 2 * HEIGHT


def _growth(title: str, size_of: Callable[[Run], float], runs: Sequence[Run], index: int) -> str:
    sizes = sorted({size_of(run) for run in runs})
    lines = []
    for number, (name, time_of) in enumerate(TIMES.items()):
        medians = [(size, median(time_of(run) for run in runs if size_of(run) == size)) for size in sizes]
        points = tuple((size, max(seconds, 0.01)) for size, seconds in medians if seconds is not None)
        lines.append(Line(name, points, DASHES[number]))
    seconds = [point[1] for line in lines for point in line.points] or [1.0]
    x = Axis(title, sizes[0] * 0.9, sizes[-1] * 1.1, True)
    y = Axis("seconds (median)", min(seconds) * 0.8, max(seconds) * 1.25, True)
    return panel(f"growth with {title}", x, y, lines, *_spot(index))
