"""Balance as a picture: a line for each area, a bead for each week, as large as its minutes."""

from __future__ import annotations

import math
from collections.abc import Iterable

from service.paper.html import text
from service.record.views import SubjectMinutes

_LEGEND = 440
"""So wide that the line at the bottom is read to its end, also over a single week."""
_ROW, _COLUMN, _LEFT, _TOP, _MOST = 30, 46, 268, 34, 13.0
_INK, _CORD, _OWN = "#2a251f", "#8a6a2c", "#fffdf8"


def balance(subjects: Iterable[SubjectMinutes], weeks: tuple[str, ...], title: str) -> str:
    """An SVG of one child's areas by week; tags of our own are hollow beads."""
    rows = list(subjects)
    most = max((minutes for row in rows for minutes in row.by_week.values()), default=1)
    width = max(_LEGEND, _LEFT + _COLUMN * len(weeks) + 12)
    height = _TOP + _ROW * max(1, len(rows)) + 24
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" role="img" '
        'font-family="sans-serif">',
        f"<title>{text(title)}</title>",
        *(_week(index, week) for index, week in enumerate(weeks)),
        *(_row(index, row, weeks, most) for index, row in enumerate(rows)),
        f'<text x="4" y="{height - 6}" font-size="10" fill="{_INK}">'
        "Filled: a domain of the framework. Hollow: a tag of our own. The number is minutes.</text>",
        "</svg>",
    ]
    return "\n".join(parts)


def _week(index: int, week: str) -> str:
    x = _LEFT + _COLUMN * index + _COLUMN // 2
    return f'<text x="{x}" y="18" font-size="11" text-anchor="middle" fill="{_INK}">{text(week[5:])}</text>'


def _row(index: int, row: SubjectMinutes, weeks: tuple[str, ...], most: int) -> str:
    y = _TOP + _ROW * index + _ROW // 2
    right = _LEFT + _COLUMN * max(1, len(weeks))
    name = f'<text x="4" y="{y + 4}" font-size="11" fill="{_INK}">{text(row.subject.name)}</text>'
    thread = f'<path d="M{_LEFT} {y}H{right}" stroke="{_CORD}" stroke-width="1.4"/>'
    return (
        name
        + thread
        + "".join(
            _bead(_LEFT + _COLUMN * at + _COLUMN // 2, y, row.by_week.get(week, 0), most, row.subject.own)
            for at, week in enumerate(weeks)
        )
    )


def _bead(x: int, y: int, minutes: int, most: int, own: bool) -> str:
    if not minutes:
        return ""
    # The area of a bead, not its width, stands for the minutes.
    radius = round(max(2.5, _MOST * math.sqrt(minutes / most)), 1)
    fill = _OWN if own else _CORD
    circle = f'<circle cx="{x}" cy="{y}" r="{radius}" fill="{fill}" stroke="{_CORD}" stroke-width="1.6"/>'
    number = f'<text x="{x}" y="{y - 12}" font-size="8" text-anchor="middle" fill="{_INK}">{minutes}</text>'
    return circle + number
