"""One line on standard error that says where the search stands."""

from __future__ import annotations

from types import TracebackType
from typing import Self

from rich.console import Console
from rich.status import Status

from solver.domain.plan import Progress, TierResult


def gap_text(value: int, bound: int) -> str:
    """How far a value may be from the best, in per cent of the value."""
    gap = 100 * (value - bound) / value if value > 0 else 0.0
    return f"{gap:.1f} %" if gap > 0 else "0 %"


def progress_text(progress: Progress, seconds: float) -> str:
    """``worth: best 84, bound 80, gap 4.8 %, 31 bookings · 3 s of 15 s``."""
    parts = []
    if progress.value is not None:
        parts.append(f"best {progress.value}")
    if progress.bound is not None:
        parts.append(f"bound {progress.bound}")
    if progress.value is not None and progress.bound is not None:
        parts.append(f"gap {gap_text(progress.value, progress.bound)}")
    if progress.bookings:
        parts.append(f"{progress.bookings} bookings")
    found = ", ".join(parts) or "looking for a first plan"
    return f"{progress.tier}: {found} · {progress.seconds:.0f} s of {seconds:.0f} s"


def tier_text(tier: TierResult) -> str:
    """What is known about a tier: proved, or how far the best may still be."""
    if tier.proved:
        return "proved best"
    return f"not proved: the best is no lower than {tier.bound}, gap {gap_text(tier.value, tier.bound)}"


class LiveLine:
    """Shows progress while a search runs, on a terminal only; leaves nothing behind."""

    def __init__(self, console: Console, seconds: float) -> None:
        self._seconds = seconds
        self._status = Status("making ready", console=console) if console.is_terminal else None

    def __enter__(self) -> Self:
        if self._status:
            self._status.start()
        return self

    def __exit__(
        self, _kind: type[BaseException] | None, _error: BaseException | None, _trace: TracebackType | None
    ) -> None:
        if self._status:
            self._status.stop()

    def tell(self, progress: Progress) -> None:
        """Take note of where the search stands."""
        if self._status:
            self._status.update(progress_text(progress, self._seconds))
