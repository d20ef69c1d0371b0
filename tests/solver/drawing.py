"""How the random households of the tests are drawn."""

from __future__ import annotations

from hypothesis import HealthCheck, settings


def quick(examples: int) -> settings:
    """The same households on every run, so that nobody's change fails for another's luck."""
    return settings(
        max_examples=examples,
        deadline=None,
        derandomize=True,
        database=None,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )
