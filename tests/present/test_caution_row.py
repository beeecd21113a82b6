"""The row of cautions on a phone, at 80 and at 120 columns."""

from __future__ import annotations

import pytest

from wearlog.facts.closed_lists import Hazard
from wearlog.present.drawing.drawn import InkRole, caution_row, joined

KNIFE, WIRE = (Hazard.KNIFE,), (Hazard.ELECTRICAL,)
ALL = (Hazard.KNIFE, Hazard.ELECTRICAL, Hazard.ROTATING_DRIVE)


@pytest.mark.parametrize(
    ("hazards", "columns", "row"),
    [
        (KNIFE, 44, "▲ CARE key out, header on stop      ! read 4"),
        (WIRE, 44, "▲ CARE key out, battery lead off    ! read 8"),
        (KNIFE, 78, "▲ CARE  key out   header on its stop   cut-proof gloves       ! all 4 cautions"),
        (WIRE, 78, "▲ CARE  key out   negative lead off                           ! all 8 cautions"),
        (
            ALL,
            118,
            "▲ CARE  key out   header on its stop   cut-proof gloves   negative lead off   all still   guards back         "
            "! all 14",
        ),
        (ALL, 78, "▲ CARE  key out   header on its stop   cut-proof gloves      ! all 14 cautions"),
    ],
)
def test_the_row_has_its_width_and_the_key_at_its_end(hazards: tuple[Hazard, ...], columns: int, row: str) -> None:
    drawn = caution_row(hazards, columns)
    assert joined(drawn) == row
    assert len(row) == columns
    assert [piece.role for piece in drawn] == [InkRole.ALARM, InkRole.INK, InkRole.TITLE]


@pytest.mark.parametrize(
    ("columns", "row"),
    [
        (44, "▲ CARE all clear, start no drive    ! read 8"),
        (78, "▲ CARE  everybody clear   start no drive   key out before touching     ! all 8"),
    ],
)
def test_a_check_with_the_key_on_is_not_told_to_take_the_key_out(columns: int, row: str) -> None:
    assert joined(caution_row(WIRE, columns, from_seat=True)) == row
    assert caution_row((), columns, from_seat=True) == ()


def test_where_there_is_no_danger_there_is_no_row() -> None:
    assert caution_row((), 80) == ()
