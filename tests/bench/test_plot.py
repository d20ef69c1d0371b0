"""The plots are well-formed SVG and show what they were given."""

from __future__ import annotations

import itertools
from dataclasses import replace
from xml.etree import ElementTree

from service.bench.plot import Axis, gap_plot, gap_points, growth_plot
from service.bench.record import OURS, End, Event, Facts, Instance, Run

SVG = "{http://www.w3.org/2000/svg}"
EVENTS = (Event("worth", 200, 100, 1.0), Event("worth", 125, 100, 4.0))
RUN = Run(
    Instance("S", 7),
    OURS,
    facts=Facts(2, 1, 20, 53),
    candidates_s=0.1,
    build_s=0.4,
    first_s=0.3,
    ends={"worth": End(125, 100)},
    events=EVENTS,
)


def texts(svg: str) -> set[str]:
    return {element.text or "" for element in ElementTree.fromstring(svg).iter(f"{SVG}text")}


def test_the_gap_falls_in_steps_and_is_held_to_the_end() -> None:
    assert gap_points(RUN, "worth", 10.0) == ((1.0, 50.0), (4.0, 20.0), (10.0, 20.0))


def test_the_gap_plot_names_every_instance_and_tier() -> None:
    assert {"S 7", "S: worth", "gap, %"} <= texts(gap_plot([RUN], 10.0))


def test_the_growth_plot_shows_sizes_and_the_weeks_of_a_term() -> None:
    bigger = replace(RUN, instance=Instance("M", 1), facts=Facts(2, 2, 40, 76), build_s=1.0)
    term = replace(RUN, instance=Instance("term", 1), marks=(2.0, 4.1, 6.0))
    shown = texts(growth_plot([RUN, bigger, term]))
    assert {"growth with sittings", "growth with children", "growth with activities", "a term"} <= shown


def test_without_runs_the_plots_are_empty_and_well_formed() -> None:
    assert texts(gap_plot([], 10.0)) == set()
    assert texts(growth_plot([])) == set()


def test_names_at_one_spot_are_written_one_below_the_other() -> None:
    same = [replace(RUN, instance=Instance("S", seed)) for seed in range(4)]
    names = {f"S {seed}" for seed in range(4)}
    places = [
        float(element.get("y", ""))
        for element in ElementTree.fromstring(gap_plot(same, 10.0, ("worth",))).iter(f"{SVG}text")
        if element.text in names
    ]
    assert min(b - a for a, b in itertools.pairwise(places)) >= 12


def test_names_are_written_as_text() -> None:
    odd = replace(RUN, instance=Instance("<a&b>", 1))
    assert "<a&b>: worth" in texts(gap_plot([odd], 10.0))


def test_a_logarithmic_axis_puts_equal_factors_at_equal_distances() -> None:
    axis = Axis("seconds", 0.1, 10.0, logarithmic=True)
    assert axis.share(0.1) == 0.0
    assert abs(axis.share(1.0) - 0.5) < 1e-9
    assert axis.share(10.0) == 1.0
    assert axis.ticks() == [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0]
