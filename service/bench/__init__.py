"""The bench: a seeded generator of households, and figures on how well their weeks are solved."""

from service.bench.generate import make
from service.bench.run import Asked, main_bench

__all__ = ["Asked", "main_bench", "make"]
