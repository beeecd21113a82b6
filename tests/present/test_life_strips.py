"""Lives as strips of characters: exact cells at 46, 80 and 120 columns, and what is not known is not drawn."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.screen_characters import CHARACTERS
from wearlog.facts.plain_text import in_ascii
from wearlog.present.drawing.drawn import InkRole, joined
from wearlog.present.drawing.life_strip import Life, SeasonScale, season_strip

#: a header's season, in acres
SEASON = 2758
SECTIONS = Life(3550, 7550, 8480, 9840)
GUARDS = Life(10366, 15700, 19900, 27200)
HOLD_DOWNS = Life(6775, 8000, 9550, 11200)
NEW_GUESS = Life(0, 1500, 3464, 8000, guessed=True)
AGE_UNKNOWN = Life(None, 7550, 8480, 9840)
LIFE_UNKNOWN = Life(3550)


@pytest.mark.parametrize(
    ("doubling", "heading", "sections", "guards"),
    [
        (2, "½   2   8   32", "░░░░·●┤······", "░░░░░░░├●┤···"),
        (4, "½   1   2   4   8   16  32", "░░░░░░····●┤·············", "░░░░░░░░░░░░░·├●─┤·······"),
        (
            6,
            "½     1     2     4     8     16    32",
            "░░░░░░░░░······├●┤···················",
            "░░░░░░░░░░░░░░░░░░···├─●──┤··········",
        ),
    ],
)
def test_seasons_by_doublings(doubling: int, heading: str, sections: str, guards: str) -> None:
    scale = SeasonScale(doubling)
    assert scale.heading() == heading
    assert joined(season_strip(SECTIONS, SEASON, scale)) == sections
    assert joined(season_strip(GUARDS, SEASON, scale)) == guards


def test_a_life_that_is_lived_into_has_double_lines_there() -> None:
    scale = SeasonScale()
    assert joined(season_strip(Life(12000, 8000, 9550, 11200), SEASON, scale)) == "░░░░░░░░░░╞●╡············"
    assert joined(season_strip(Life(7000, 5000, 9550, 20000), SEASON, scale)) == "░░░░░░░╞══─●───┤·········"


def test_an_end_in_the_cell_of_the_middle_is_left_out_and_never_moved() -> None:
    assert joined(season_strip(Life(100, 8400, 8480, 8500), SEASON, SeasonScale())) == "··········●··············"


def test_what_lies_beyond_the_scale_is_an_arrow() -> None:
    scale = SeasonScale()
    assert joined(season_strip(Life(1000, 40000, 70000, 200000), SEASON, scale)) == "·" * 19 + "├───●→"
    assert joined(season_strip(Life(1000, 200000, 300000, 400000), SEASON, scale)) == "·" * 24 + "→"
    assert joined(season_strip(Life(90000, 500, 700, 900), SEASON, scale)) == "←" + "░" * 24
    assert joined(season_strip(Life(90000, 500, 1400, 3000), SEASON, scale)) == "●═══╡" + "░" * 20


def test_a_guess_has_a_hollow_middle() -> None:
    assert joined(season_strip(NEW_GUESS, SEASON, SeasonScale())) == "├────○────┤··············"


def test_what_nobody_knows_is_not_drawn() -> None:
    scale = SeasonScale()
    assert joined(season_strip(AGE_UNKNOWN, SEASON, scale)) == "··········●┤·············"
    assert joined(season_strip(LIFE_UNKNOWN, SEASON, scale)) == "░░░░░░···················"
    assert joined(season_strip(SECTIONS, None, scale)) == "·" * 25


def test_the_strip_reads_the_same_in_plain_characters() -> None:
    assert in_ascii(joined(season_strip(GUARDS, SEASON, SeasonScale()))) == ":::::::::::::.+*-+......."
    assert SeasonScale().heading(plain=True) == ".5  1   2   4   8   16  32"


def test_grey_and_dots_are_quiet_and_the_interval_is_not() -> None:
    pieces = season_strip(SECTIONS, SEASON, SeasonScale())
    assert [(piece.text, piece.role) for piece in pieces] == [
        ("░░░░░░····", InkRole.QUIET),
        ("●┤", InkRole.INK),
        ("·············", InkRole.QUIET),
    ]


@given(
    age=st.none() | st.floats(0, 1e9),
    ends=st.lists(st.floats(1e-3, 1e9), min_size=3, max_size=3),
    season=st.floats(1e-2, 1e6),
    doubling=st.sampled_from((2, 4, 6)),
)
def test_every_strip_has_its_width_and_only_the_characters_of_the_grammar(
    age: float | None, ends: list[float], season: float, doubling: int
) -> None:
    scale = SeasonScale(doubling)
    strip = joined(season_strip(Life(age, *sorted(ends)), season, scale))
    assert len(strip) == scale.cells
    assert set(strip) <= CHARACTERS
    assert in_ascii(strip).isascii()
    assert len(in_ascii(strip)) == scale.cells
