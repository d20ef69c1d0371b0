"""The week on a terminal."""

from service.show.live import LiveLine
from service.show.week import show_plan

__all__ = ["LiveLine", "show_plan"]
