"""Chances, savings, amounts, sums, days, ratios and ranges as words and characters: exact, and never surer than they are."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.facts.plain_text import in_ascii
from wearlog.present.drawing.drawn import (
    about,
    amount_boxes,
    chance_figure,
    figures_of,
    joined,
    labels_line,
    range_words,
    share_boxes,
)
from wearlog.present.drawing.sum_strip import (
    SavingRange,
    SavingScale,
    bar,
    days_heading,
    days_strip,
    ratio_strip,
    saving_strip,
    sum_bar,
)


def test_a_chance_in_a_list_is_never_0_and_never_100() -> None:
    assert [chance_figure(one) for one in (0.0, 0.3, 1.0)] == ["under 1 %", "30 %", "over 99 %"]


def test_ten_boxes() -> None:
    assert [joined(share_boxes(one)) for one in (0.402, 0.04, 0.99)] == ["■■■■□□□□□□", "□□□□□□□□□□", "■■■■■■■■■■"]


def test_a_box_for_each_piece_to_keep() -> None:
    boxes = {pair: joined(amount_boxes(*pair)) for pair in ((5, 8), (0, 1), (3, 4), (44, 20), (9, 5), (3, 2))}
    assert list(boxes.values()) == ["■■■■■□□□", "□", "■■■□", "■■■■■■■■■■", "■■■■■■■■■", "■■■"]


def test_one_box_stays_empty_while_any_is_wanting_and_full_while_any_is_there() -> None:
    assert [joined(amount_boxes(*pair)) for pair in ((39, 40), (1, 40), (0, 40))] == [
        "■" * 9 + "□",
        "■" + "□" * 9,
        "□" * 10,
    ]


@pytest.mark.parametrize(
    ("cells", "heading", "sure", "crossing", "loss"),
    [
        (14, " 0    1k    2k", " │   ├───●───┤", "├┼●─┤         ", "●┤            "),
        (20, " 0       1k      2k ", " │      ├────●─────┤", "├┼─●──┤             ", "├●                  "),
        (
            30,
            "  0           1,000           ",
            "  │         ├───────●────────┤",
            "├─┼─●────┤                    ",
            "├●┤                           ",
        ),
    ],
)
def test_savings_of_one_list_on_one_scale(cells: int, heading: str, sure: str, crossing: str, loss: str) -> None:
    savings = [SavingRange(1500, 814, 2215), SavingRange(203, -150, 600), SavingRange(-80, -160, -20)]
    scale = SavingScale.of(savings, cells)
    assert [scale.heading(), *(joined(saving_strip(one, scale)) for one in savings)] == [heading, sure, crossing, loss]


def test_a_saving_whose_middle_alone_is_known_has_no_line() -> None:
    scale = SavingScale(0, 3000, 14)
    assert joined(saving_strip(SavingRange(222, -5, 480), scale)) == "├●┤           "
    assert joined(saving_strip(SavingRange(395), scale)) == "│ ●           "
    assert joined(saving_strip(None, scale)) == "│             "


def test_the_parts_of_a_sum_end_where_the_sum_does() -> None:
    assert joined(sum_bar([3.29, 0.54, 0.84, 2.71], 7.38, 40)) == "█" * 18 + "▓" * 3 + "▒" * 4 + "░" * 15
    assert joined(sum_bar([1, 1, 1, 1, 1], 10, 10)) == "█▓▒░░"
    assert joined(sum_bar([0, 0, 0, 0], 7.38, 40)) == ""


def test_a_plain_bar_goes_to_half_a_cell_and_shows_the_least() -> None:
    assert [joined(bar(value, 85.0, 28)) for value in (85.0, 17.1, 2.1, 0.01, 0.0)] == [
        "█" * 28,
        "█████▌",
        "▌",
        "▌",
        "",
    ]


def test_what_is_lived_and_every_fill_of_a_sum_is_told_apart_on_a_console_of_ascii() -> None:
    assert in_ascii("█▓▒░") == "#%=:"
    assert in_ascii("░░░·├═●═┤··→ ■■□□ ▌") == ":::.+=*=+..> ##-- |"


def test_days_by_how_sure_they_are() -> None:
    assert days_heading(70, 35) == "0    10   20   30   40   50   60   70"
    assert joined(days_strip(30.6, 47, 58, 65, top=70, cells=70)) == "█" * 31 + "▓" * 16 + "▒" * 11 + "░" * 7
    assert joined(days_strip(30.6, 29, 58, 65, top=70, cells=70)) == "█" * 31 + "▒" * 27 + "░" * 7


def test_a_ratio_against_one() -> None:
    drawn = [joined(ratio_strip(one, 21)) for one in (0.12, 1.0, 1.7, 30.0)]
    assert drawn == [" ●────────┼          ", "          ●          ", "          ┼─●        ", "          ┼─────────→"]
    assert joined(ratio_strip(0.12, 21, low=0.1, high=0.5)) == "─●────────┼          "


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (139, 3466, "140-3,500 h"),
        (7547, 9843, "7,550-9,840 h"),
        (103, 131, "103-131 h"),
        (0.124, 0.551, "0.12-0.55 h"),
        (0, 12, "0-12 h"),
        (-118, 833, "-120 to 830 h"),
        (1000.2, 1000.4, "about 1,000 h"),
        (0, 0, "0 h"),
        (None, 5, "-"),
    ],
)
def test_ranges_have_two_or_three_figures(low: float | None, high: float | None, words: str) -> None:
    assert range_words(low, high, "h") == words


def test_a_reckoned_sum_has_three_figures_and_says_about() -> None:
    assert about(31_389, "USD") == "about 31,400 USD"
    assert [figures_of(one, 2) for one in (0.0, 0.0456, 99.6, -12.34)] == ["0", "0.046", "100", "-12"]


def test_labels_that_would_touch_are_left_out() -> None:
    assert labels_line([(0, "0"), (1, "1"), (2, "2"), (5, "10")], 8) == "0 2  10 "


@given(
    st.lists(st.tuples(st.floats(-1e6, 1e6), st.floats(0, 1e6), st.floats(0, 1e6)), min_size=1, max_size=5),
    st.integers(6, 60),
)
def test_every_saving_strip_has_its_width(ends: list[tuple[float, float, float]], cells: int) -> None:
    savings = [SavingRange(middle, middle - below, middle + above) for middle, below, above in ends]
    scale = SavingScale.of(savings, cells)
    assert len(scale.heading()) == cells
    for saving in savings:
        strip = joined(saving_strip(saving, scale))
        assert len(strip) == cells
        assert in_ascii(strip).isascii()
        assert "●" in strip
