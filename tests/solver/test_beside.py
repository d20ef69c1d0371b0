"""What goes on beside: the last that came is there, an error is heard of, nothing stays behind."""

from __future__ import annotations

import gc
import os
import time
from collections.abc import Iterator
from itertools import count, islice

import pytest

from service.bench.generate import make
from solver.assemble import packed, unpacked
from solver.beside import Beside
from solver.candidates import enumerate_candidates
from solver.construct import construct
from solver.outline import Outline
from solver.running import few_collections

PATIENCE_SECONDS = 30
LAST = (999).to_bytes(2, "big")


def come(beside: Beside[int], value: int) -> None:
    """Wait until so much has come."""
    until = time.monotonic() + PATIENCE_SECONDS
    while beside.latest < value and time.monotonic() < until:
        time.sleep(0.01)


@pytest.mark.parametrize("apart", [True, False])
def test_the_last_that_came_is_there_afterwards(apart: bool) -> None:
    with Beside(iter([1, 2, 3]), 0, apart) as beside:
        come(beside, 3)
    assert beside.latest == 3


def test_it_goes_on_while_the_body_is_at_work() -> None:
    with Beside(slowly(), 0, apart=True) as beside:
        come(beside, 20)
    assert beside.latest >= 20


def test_what_comes_fast_is_not_held_up() -> None:
    """A pipe holds less than this, and the body never reads it."""
    with Beside((bytes(1000) + n.to_bytes(2, "big") for n in range(1000)), b"", apart=True) as beside:
        until = time.monotonic() + PATIENCE_SECONDS
        while not beside.latest.endswith(LAST) and time.monotonic() < until:
            time.sleep(0.01)
    assert beside.latest.endswith(LAST)


@pytest.mark.parametrize("apart", [True, False])
def test_whoever_waits_gets_all_of_it(apart: bool) -> None:
    with Beside(islice(slowly(), 50), 0, apart) as beside:
        assert beside.wait(PATIENCE_SECONDS)
        assert beside.latest == 50


def test_nobody_waits_for_good() -> None:
    with Beside(slowly(), 0, apart=True) as beside:
        assert not beside.wait(0.01)


def test_what_has_no_end_is_given_up() -> None:
    with Beside(count(1), 0, apart=True) as beside:
        come(beside, 1000)
    assert beside.latest >= 1000


def test_what_was_there_before_stays_when_nothing_comes() -> None:
    with Beside(iter(()), 7, apart=True) as beside:
        pass
    assert beside.latest == 7


def slowly() -> Iterator[int]:
    for number in count(1):
        time.sleep(0.001)
        yield number


def refusing() -> Iterator[int]:
    yield 1
    raise ValueError("the second one cannot be made")


@pytest.mark.parametrize("apart", [True, False])
def test_an_error_there_is_raised_here(apart: bool) -> None:
    with pytest.raises(ValueError, match="the second one"), Beside(refusing(), 0, apart) as beside:
        beside._taking.join(PATIENCE_SECONDS)


def test_an_error_of_the_body_is_what_is_raised_and_nothing_stays_behind() -> None:
    with pytest.raises(KeyError, match="mine"), Beside(count(), 0, apart=True) as beside:
        raise KeyError("mine")
    with pytest.raises(ProcessLookupError):
        os.kill(beside._child, 0)


def test_a_first_week_is_the_same_after_it_was_sent() -> None:
    problem = make("S", 1).problem()
    candidates = enumerate_candidates(Outline(problem))
    *_, chosen = islice(construct(candidates, seed=1), 3)
    assert chosen.evenings
    assert unpacked(candidates, packed(chosen)) == chosen


def test_python_looks_for_circles_as_before_when_the_many_are_made() -> None:
    before = gc.get_threshold()
    with few_collections():
        assert gc.get_threshold()[0] > before[0]
    assert gc.get_threshold() == before
