"""The bench's arithmetic, on runs made up by hand; the expected figures are worked out beside them."""

from __future__ import annotations

import csv
import io

import pytest

from service.bench.record import (
    OURS,
    End,
    Event,
    Facts,
    Instance,
    Run,
    gap,
    gap_at,
    median,
    pairs,
    proof_seconds,
    ratio,
    standing,
)
from service.bench.report import COLUMNS, gap_at_end, write_csv

EVENTS = (
    Event("staples", 4, 0, 0.5),
    Event("staples", 2, 2, 0.9),
    Event("worth", 200, 100, 1.0),
    Event("worth", 160, 90, 2.5),
    Event("worth", 150, 120, 6.0),
)


def run(seed: int = 1, method: str = OURS, worth: int = 150, **more: object) -> Run:
    ends = {
        "promises": End(0, 0, True),
        "staples": End(2, 2, True),
        "worth": End(worth, 120),
        "rhythm": End(40, 10),
    }
    return Run(Instance("S", seed), method, facts=Facts(2, 1, 20, 53), ends=ends, events=EVENTS, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("value", "bound", "expected"), [(200, 150, 0.25), (100, 100, 0.0), (0, 0, 0.0), (10, 12, 0.0)]
)
def test_a_gap_is_what_the_value_may_be_above_the_bound(value: int, bound: int, expected: float) -> None:
    assert gap(value, bound) == expected


def test_before_its_first_value_a_tier_stands_nowhere() -> None:
    assert standing(EVENTS, "worth", 0.99) is None
    assert gap_at(run(), "worth", 0.99) is None


def test_a_tier_stands_at_its_best_value_and_its_best_bound_so_far() -> None:
    assert standing(EVENTS, "worth", 1.0) == (200, 100)
    # The later event repeats an older, weaker bound: a bound once proved stays.
    assert standing(EVENTS, "worth", 5.0) == (160, 100)
    assert gap_at(run(), "worth", 5.0) == pytest.approx(60 / 160)
    assert gap_at(run(), "worth", 30.0) == pytest.approx(30 / 150)


def test_a_proof_is_where_value_and_bound_meet() -> None:
    assert proof_seconds(run(), "staples") == 0.9
    assert proof_seconds(run(), "worth") is None


def test_the_gap_at_the_end_is_the_checkers_value_against_the_bound() -> None:
    assert gap_at_end(run(worth=160), "worth") == pytest.approx(40 / 160)
    assert gap_at_end(run(), "staples") == 0.0


@pytest.mark.parametrize(
    ("values", "expected"),
    [([3.0, 1.0, 2.0], 2.0), ([1.0, 2.0, None], 2.0), ([1.0, None, None], None), ([], None)],
)
def test_in_a_median_a_run_without_a_figure_is_the_worst(
    values: list[float | None], expected: float | None
) -> None:
    assert median(values) == expected


def test_of_an_even_number_the_worse_middle_counts() -> None:
    assert median([1.0, 2.0, 3.0, 4.0]) == 3.0


def test_a_ratio_is_of_the_sums() -> None:
    assert ratio([10, 20], [40, 20]) == 0.5
    assert ratio([5], [0]) is None


def test_runs_are_compared_on_the_same_instance_only() -> None:
    ours, theirs = [run(1), run(2)], [run(2, "careful"), run(3, "careful")]
    assert [(a.instance.seed, b.instance.seed) for a, b in pairs([*ours, *theirs], "S", "careful")] == [
        (2, 2)
    ]


def test_all_costs_are_the_sum_of_the_tiers() -> None:
    assert run().cost == 0 + 2 + 150 + 40


def test_the_csv_has_a_line_for_each_tier_and_one_for_a_failure() -> None:
    out = io.StringIO()
    write_csv(out, [run(), Run(Instance("S", 2), OURS, failure="no answer in time")])
    rows = list(csv.DictReader(io.StringIO(out.getvalue())))
    assert list(rows[0]) == list(COLUMNS)
    assert [row["tier"] for row in rows] == ["promises", "staples", "worth", "rhythm", ""]
    assert (rows[1]["value"], rows[1]["proved"], rows[1]["proof_s"]) == ("2", "1", "0.9")
    assert rows[2]["gap_5s"] == "0.375"
    assert rows[4]["failure"] == "no answer in time"
