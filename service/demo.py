"""The invented households that come with Lapful."""

from __future__ import annotations

from pathlib import Path

from service.errors import NotFound

_INSTALLED = Path(__file__).parent / "demo_data"
_REPOSITORY = Path(__file__).parent.parent / "demo"
FIRST = "pond-week.json"


def demo_file(name: str = FIRST) -> Path:
    """Where a demo household lies: in the wheel, or in the repository."""
    for folder in (_INSTALLED, _REPOSITORY):
        if (folder / name).is_file():
            return folder / name
    raise NotFound(f"the demo household {name} is not here; install Lapful again")
