"""Charts as lines of plain text, and figures of wear as people read them."""

from __future__ import annotations

import math
import subprocess
import sys

import pytest

from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.present.charts import Chart, Curve, Drawn, chart_lines, round_steps
from wearlog.present.digits import Measures
from wearlog.present.tables import folded
from wearlog.present.wear.wear_words import difference_sentence, expected_text, lasting, rough
from wearlog.wear.intervals import Estimate

CHART = Chart(
    curves=(Curve((0.0, 50.0, 100.0), (100.0, 60.0, 10.0)), Curve((10.0, 90.0), (80.0, 20.0), Drawn.POINTS)),
    x_label="age, ac",
    y_label="still whole, %",
    x_end=100.0,
    upright=(40.0,),
    level=(30.0,),
)


@pytest.mark.parametrize(("width", "height"), [(24, 6), (60, 12), (96, 18), (120, 40)])
def test_a_chart_keeps_within_its_room_and_has_no_colour(width: int, height: int) -> None:
    lines = chart_lines(CHART, width, height)
    assert 6 <= len(lines) <= height + 1
    assert max(len(line) for line in lines) <= width
    assert not any("\x1b" in line for line in lines)
    assert lines[0] == "still whole, %"
    assert lines[-1].strip() == "age, ac"


def test_a_chart_shows_its_points_its_marks_and_round_ticks() -> None:
    lines = chart_lines(CHART, 70, 16)
    body = "\n".join(lines[1:-2])
    assert body.count("o") == 2
    assert body.count("│") > 10
    assert "100┤" in body
    assert lines[-2].split() == ["0", "20", "40", "60", "80", "100"]


@pytest.mark.parametrize(("width", "height", "end"), [(10, 10, 100.0), (60, 3, 100.0), (60, 12, 0.0)])
def test_without_room_or_anything_to_show_there_is_no_chart(width: int, height: int, end: float) -> None:
    chart = Chart(CHART.curves, "x", "y", end)
    assert chart_lines(chart, width, height) == []
    assert chart_lines(Chart((), "x", "y", 1.0), 60, 12) == []


def test_one_chart_leaves_nothing_behind_for_the_next() -> None:
    first = chart_lines(CHART, 60, 12)
    chart_lines(Chart((Curve((0.0, 1.0), (5.0, 6.0)),), "other", "y", 1.0, 0.0, 10.0), 40, 10)
    assert chart_lines(CHART, 60, 12) == first


@pytest.mark.parametrize(
    ("low", "high", "most", "steps"),
    [
        (0, 100, 5, [0, 20, 40, 60, 80, 100]),
        (0, 12_000, 6, [0, 2000, 4000, 6000, 8000, 10_000, 12_000]),
        (19.5, 20.2, 4, [19.6, 19.8, 20.0, 20.2]),
    ],
)
def test_ticks_are_round(low: float, high: float, most: int, steps: list[float]) -> None:
    assert round_steps(low, high, most) == pytest.approx(steps)


def test_the_drawing_library_is_loaded_by_the_first_chart_only() -> None:
    code = "import sys, wearlog.present.charts; print('plotext' in sys.modules)"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "False"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (8484.3, "8,480"),
        (460_849, "461,000"),
        (99.96, "100"),
        (47.26, "47"),
        (4.726, "4.73"),
        (0.0123, "0.0123"),
        (0, "0"),
        (math.inf, "no end"),
    ],
)
def test_a_rough_figure_has_three_digits_that_mean_something(value: float, text: str) -> None:
    assert rough(value) == text


def test_a_life_is_written_with_its_interval_and_unit() -> None:
    estimate = Estimate(8484 * 4046.8564224, 7551 * 4046.8564224, 9839 * 4046.8564224, 0.9)
    assert lasting(MeterKind.AREA, estimate, Measures(FarmSettings())) == "8,480 (7,550-9,840) ac"
    assert lasting(MeterKind.AREA, estimate, Measures(FarmSettings(units="metric"))) == "3,430 (3,060-3,980) ha"
    assert lasting(MeterKind.AREA, None, Measures(FarmSettings())) == "-"


@pytest.mark.parametrize(
    ("expected", "text"), [(0, "0.0"), (0.01, "<0.1"), (0.05, "0.1"), (2.84, "2.8"), (9.97, "10"), (73.4, "73")]
)
def test_expected_counts_are_no_surer_than_they_are(expected: float, text: str) -> None:
    assert expected_text(expected) == text


@pytest.mark.parametrize(
    ("p_value", "words"),
    [(None, "cannot be told yet"), (0.0004, "p = under 0.001"), (0.2, "do not show that machines differ")],
)
def test_the_test_of_machines_is_said_in_words(p_value: float | None, words: str) -> None:
    assert words in difference_sentence(p_value)


def test_the_test_of_machines_never_says_another_thing_than_how_they_are_reckoned() -> None:
    assert difference_sentence(0.2, own=True).startswith("The machines may differ")
    assert difference_sentence(0.01, own=True).startswith("The machines differ")
    assert "each goes by its own life" in difference_sentence(0.2, own=True)
    assert "each goes by its own life" in difference_sentence(None, own=True)
    assert "taken as alike" in difference_sentence(0.01, aside=True)
    assert "all go by one life" in difference_sentence(0.01)


def test_long_sentences_are_folded() -> None:
    lines = folded(["one two three four"], indent="  ", width=12)
    assert lines == ["  one two", "    three", "    four"]


def test_without_the_drawing_library_the_chart_says_what_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("wearlog.present.charts.find_spec", lambda name: None)
    assert chart_lines(CHART, 80, 20) == [
        "still whole, %",
        "(the chart is not drawn: plotext is missing on this computer)",
    ]
