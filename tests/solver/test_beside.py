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


def come(beside: Beside[int], value: int) -> None:
    """Wait until so much has come, without taking it in."""
    until = time.monotonic() + PATIENCE_SECONDS
    while beside.latest < value and time.monotonic() < until:
        beside._take_in()
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


def test_what_comes_faster_than_it_is_taken_in_ends_all_the_same() -> None:
    with Beside(count(1), 0, apart=True) as beside:
        time.sleep(0.1)
    assert beside.latest > 0


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
        come(beside, 2)


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
