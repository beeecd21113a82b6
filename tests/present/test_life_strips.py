"""Lives as strips of characters: exact cells at 46, 80 and 120 columns, on both scales, and what is not known is not drawn."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.present.drawing.drawn import CHARACTERS, InkRole, joined, plain_form
from wearlog.present.drawing.life_strip import (
    HalfLifeScale,
    Life,
    OwnScale,
    SeasonScale,
    half_life_strip,
    life_bar,
    own_strip,
    season_strip,
    seasons_left_words,
)

#: a header's season, in acres
SEASON = 2758
SECTIONS = Life(3550, 7550, 8480, 9840)
GUARDS = Life(10366, 15700, 19900, 27200)
HOLD_DOWNS = Life(6775, 8000, 9550, 11200)
NEW_GUESS = Life(0, 1500, 3464, 8000, guessed=True)
AGE_UNKNOWN = Life(None, 7550, 8480, 9840)
LIFE_UNKNOWN = Life(3550)


@pytest.mark.parametrize(
    ("columns", "heading", "sections", "guards"),
    [
        (46, "½   2   8   32", "░░░░·●┤······", "░░░░░░░├●┤···"),
        (80, "½   1   2   4   8   16  32", "░░░░░░····●┤·············", "░░░░░░░░░░░░░·├●─┤·······"),
        (
            120,
            "½     1     2     4     8     16    32",
            "░░░░░░░░░······├●┤···················",
            "░░░░░░░░░░░░░░░░░░···├─●──┤··········",
        ),
    ],
)
def test_seasons_by_doublings(columns: int, heading: str, sections: str, guards: str) -> None:
    scale = SeasonScale.for_width(columns)
    assert scale.heading() == heading
    assert joined(season_strip(SECTIONS, SEASON, scale)) == sections
    assert joined(season_strip(GUARDS, SEASON, scale)) == guards


@pytest.mark.parametrize(
    ("columns", "heading", "sections", "guards"),
    [
        (46, "0     1     2", "░░░░·├●┤·····", "░░░░·├●─┤····"),
        (80, "0     ½     1     1½    2", "░░░░░░·····├●─┤··········", "░░░░░░░··├──●───┤········"),
        (
            120,
            "0        ½        1        1½       2",
            "░░░░░░░░░·······├─●──┤···············",
            "░░░░░░░░░░····├───●──────┤···········",
        ),
    ],
)
def test_half_lives_evenly_with_every_middle_in_one_column(
    columns: int, heading: str, sections: str, guards: str
) -> None:
    scale = HalfLifeScale.for_width(columns)
    assert scale.heading() == heading
    strips = [joined(half_life_strip(life, scale)) for life in (SECTIONS, GUARDS)]
    assert strips == [sections, guards]
    assert {strip.index("●") for strip in strips} == {scale.half}


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
    assert joined(half_life_strip(NEW_GUESS, HalfLifeScale())) == "·····├──────○───────────→"


def test_what_nobody_knows_is_not_drawn() -> None:
    scale = SeasonScale()
    assert joined(season_strip(AGE_UNKNOWN, SEASON, scale)) == "··········●┤·············"
    assert joined(season_strip(LIFE_UNKNOWN, SEASON, scale)) == "░░░░░░···················"
    assert joined(season_strip(SECTIONS, None, scale)) == "·" * 25
    assert joined(half_life_strip(LIFE_UNKNOWN, HalfLifeScale())) == "·" * 25


def test_the_strip_reads_the_same_in_plain_characters() -> None:
    assert plain_form(joined(season_strip(GUARDS, SEASON, SeasonScale()))) == ":::::::::::::.|*-|......."
    assert SeasonScale().heading(plain=True) == ".5  1   2   4   8   16  32"
    assert HalfLifeScale().heading(plain=True) == "0     .5    1     1.5   2"


def test_grey_and_dots_are_quiet_and_the_interval_is_not() -> None:
    pieces = season_strip(SECTIONS, SEASON, SeasonScale())
    assert [(piece.text, piece.role) for piece in pieces] == [
        ("░░░░░░····", InkRole.QUIET),
        ("●┤", InkRole.INK),
        ("·············", InkRole.QUIET),
    ]


def test_a_kind_in_its_own_unit() -> None:
    scale = OwnScale(12000, 49)
    assert scale.heading(4000, "ac") == "0               4,000           8,000           12,000 ac"
    assert joined(own_strip(Life(None, 7550, 8480, 9840), scale)) == "·" * 30 + "├───●────┤" + "·" * 9
    assert joined(life_bar(3791, scale)) == "░" * 15 + "█" + " " * 33
    assert joined(life_bar(50_000, scale)) == "░" * 48 + "█"
    assert joined(life_bar(None, scale)) == " " * 49


def test_seasons_left_until_half_have_failed() -> None:
    lives = (SECTIONS, Life(9600, 1, 8480, 2), Life(0, 1, 80000, 2), AGE_UNKNOWN, LIFE_UNKNOWN)
    assert [seasons_left_words(life, SEASON) for life in lives] == ["1.8", "past", "29", "·", "·"]
    assert seasons_left_words(SECTIONS, None) == "·"


@given(
    age=st.none() | st.floats(0, 1e9),
    ends=st.lists(st.floats(1e-3, 1e9), min_size=3, max_size=3),
    season=st.floats(1e-2, 1e6),
    columns=st.sampled_from((46, 80, 120, 160)),
)
def test_every_strip_has_its_width_and_only_the_characters_of_the_grammar(
    age: float | None, ends: list[float], season: float, columns: int
) -> None:
    life = Life(age, *sorted(ends))
    seasons, halves = SeasonScale.for_width(columns), HalfLifeScale.for_width(columns)
    for strip, cells in (
        (joined(season_strip(life, season, seasons)), seasons.cells),
        (joined(half_life_strip(life, halves)), halves.cells),
    ):
        assert len(strip) == cells
        assert set(strip) <= CHARACTERS
        assert plain_form(strip).isascii()
        assert len(plain_form(strip)) == cells
