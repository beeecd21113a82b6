"""The cutterbar strip as characters: every position in its place, marks that can be told apart, nothing hidden by packing."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.facts.positions import component_name, one_of, place_said
from wearlog.present.parts.strip_geometry import (
    NO_LIFE,
    NOTHING_FITTED,
    OLDEST,
    UNKNOWN_AGE,
    StripPicture,
    StripPosition,
    cell_of,
    close_up,
    positions_per_cell,
    shade_of,
    strip_rows,
)


def bar(count: int, **at: StripPosition) -> StripPicture:
    """A bar of new positions; p5=... is position 5."""
    new = StripPosition(0, 0, left=False, words="new")
    return StripPicture("bar", "section", tuple(at.get(f"p{one}", new) for one in range(1, count + 1)))


def test_180_positions_take_60_marks_of_3_in_74_columns() -> None:
    assert positions_per_cell(180, 74) == 3
    rows = strip_rows(bar(180), 74, cursor=180)
    assert len(rows.broke) == 60
    assert rows.pointer == " " * 59 + "^"
    # 20 stands over the mark of 19-21, the seventh; 60 over that of 61-63, which begins nearer to it than that of 58-60
    assert [rows.numbers.index(number) for number in ("1 ", "20", "40", "60", "160")] == [0, 6, 13, 20, 53]


def test_a_bar_that_fits_has_a_mark_for_each_position() -> None:
    rows = strip_rows(bar(12, p3=StripPosition(2, 4, left=False, words="")), 40, cursor=1, marked={2, 3})
    assert rows.per_cell == 1
    assert rows.broke == "··2·········"
    assert rows.age == "░░▓░░░░░░░░░"
    assert rows.pointer == "^**         "


def test_a_shared_mark_shows_the_sum_of_breakages_the_oldest_age_and_what_matters_most() -> None:
    picture = bar(
        6,
        p1=StripPosition(4, 1, left=False, words=""),
        p2=StripPosition(7, OLDEST, left=True, words=""),
        p4=StripPosition(0, NOTHING_FITTED, left=False, words=""),
        p6=StripPosition(1, UNKNOWN_AGE, left=False, words=""),
    )
    rows = strip_rows(picture, 3, cursor=5)
    assert (rows.broke, rows.age, rows.state) == ("+·1", "█░░", "Bo ")


def test_a_hot_span_is_marked_unless_something_matters_more() -> None:
    picture = StripPicture("bar", "section", bar(8, p4=StripPosition(0, 0, left=True, words="")).positions, hot=(3, 5))
    assert strip_rows(picture, 8, cursor=1).state == "  =B=   "


@pytest.mark.parametrize(
    ("age", "life", "fitted", "shade"),
    [(0.0, 100.0, True, 0), (50.0, 100.0, True, 3), (100.0, 100.0, True, OLDEST), (900.0, 100.0, True, OLDEST)],
)
def test_the_shade_is_full_at_the_end_of_the_life(age: float, life: float, fitted: bool, shade: int) -> None:
    assert shade_of(age, life, fitted=fitted) == shade


def test_no_life_to_compare_with_no_age_and_nothing_fitted_are_told_apart() -> None:
    assert shade_of(5.0, None, fitted=True) == NO_LIFE
    assert shade_of(None, 100.0, fitted=True) == UNKNOWN_AGE
    assert shade_of(None, 100.0, fitted=False) == NOTHING_FITTED


def test_the_close_up_has_the_cursor_in_the_middle_and_stops_at_the_ends() -> None:
    near = close_up(bar(160, p80=StripPosition(3, 0, left=True, words="")), 25, cursor=80, marked={81})
    assert (near.first, near.numbers, near.at) == (78, " 78   79  [80]  *81  82  ", 10)
    assert near.broke == "  ·    ·   3B    ·    ·  "
    assert close_up(bar(160), 25, cursor=1).first == 1
    assert close_up(bar(160), 25, cursor=160).first == 156


@given(count=st.integers(1, 400), wide=st.integers(10, 200), data=st.data())
def test_every_position_has_a_place_and_the_bar_never_grows_beyond_the_width(
    count: int, wide: int, data: st.DataObject
) -> None:
    cursor = data.draw(st.integers(1, count))
    rows = strip_rows(bar(count), wide, cursor=cursor)
    assert len({len(row) for row in (rows.numbers, rows.broke, rows.age, rows.state, rows.pointer)}) == 1
    assert len(rows.broke) <= wide
    assert rows.pointer[cell_of(cursor, rows.per_cell)] == "^"
    assert len(rows.broke) * rows.per_cell >= count


@given(count=st.integers(1, 400), wide=st.integers(10, 200))
def test_a_number_stands_over_the_cell_that_begins_nearest_to_it(count: int, wide: int) -> None:
    rows = strip_rows(bar(count), wide, cursor=1)
    for match in re.finditer(r"\d+", rows.numbers):
        begins = match.start() * rows.per_cell + 1
        assert abs(int(match[0]) - begins) <= rows.per_cell / 2


def test_what_is_marked_at_46_does_not_stand_under_50() -> None:
    rows = strip_rows(bar(160, p46=StripPosition(1, 0, left=True, words="")), 39, cursor=46)
    assert (rows.per_cell, rows.state.strip(), rows.pointer.strip()) == (5, "B", "^")
    assert rows.state.index("B") == rows.pointer.index("^") == rows.numbers.index("50") - 1


@pytest.mark.parametrize(
    ("place", "kind", "name"),
    [
        ("knife", "knife section", "knife section"),
        ("guards", "guard", "guards"),
        ("feeder house chain", "feeder conveyor chain", "feeder house chain"),
        ("left side", "drive belt", "left side: drive belt"),
        ("", "concave", "concave"),
    ],
)
def test_a_component_is_called_by_what_says_enough(place: str, kind: str, name: str) -> None:
    assert component_name(place, kind) == name


@pytest.mark.parametrize(
    ("many", "one"),
    [
        ("guards", "guard"),
        ("left side: bushes", "left side: bush"),
        ("batteries", "battery"),
        ("sickle teeth", "sickle tooth"),
        ("knives", "knife"),
        ("wiring harness", "wiring harness"),
        ("chassis", "chassis"),
        ("knife section", "knife section"),
    ],
)
def test_one_of_several_is_called_in_the_singular(many: str, one: str) -> None:
    assert one_of(many) == one


@pytest.mark.parametrize(
    ("count", "positions", "said"),
    [
        (80, (6,), "North, guard 6"),
        (80, (6, 7, 9), "North, guards 6-7, 9"),
        (2, (1, 2), "North, guards, all 2"),
        (80, (), "North, guards"),
        (1, (1,), "North, guards"),
    ],
)
def test_only_one_position_of_several_is_said_in_the_singular(
    count: int, positions: tuple[int, ...], said: str
) -> None:
    assert place_said("North", "guards", count, positions) == said


def test_what_cannot_be_shaded_has_a_mark_of_its_own() -> None:
    marks = [
        StripPosition(0, shade, left=False, words="") for shade in (NO_LIFE, UNKNOWN_AGE, NOTHING_FITTED, 0, OLDEST)
    ]
    assert strip_rows(StripPicture("bar", "slat", tuple(marks)), 5, cursor=1).age == "-?o░█"
