"""The bench: a seeded generator of households, and figures on how well their weeks are solved."""

from service.bench.generate import make

__all__ = ["make"]
