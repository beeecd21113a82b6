"""What gives way where an answer has no room, on table and list alike: long words, columns by weight, the end of the longest."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import pytest

from wearlog.facts.farm_settings import FarmSettings
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet
from wearlog.present.digits import Measures
from wearlog.present.sheet_faces import answer_lines, table_lines
from wearlog.tui.widgets.list_rows import column_widths, sheet_source


class Part(NamedTuple):
    name: str
    price: str
    seen: int


ROWS = (Part("knife section of steel", "4.60", 71), Part("guard", "30.70", 8))
COLUMNS: tuple[AnswerColumn[Part], ...] = (
    AnswerColumn("part", lambda row, _: row.name, "name", lambda row, _: row.name, least=6, most=30, room=12),
    AnswerColumn("price", lambda row, _: row.price, "price", figures=True, least=5, gives=2, legend="price: each."),
    AnswerColumn(
        "rests on",
        lambda row, _: f"{row.seen} seen to wear out",
        "seen",
        lambda row, _: row.seen,
        least=8,
        short=(lambda row, _: f"{row.seen} worn out", lambda row, _: f"{row.seen} seen"),
    ),
)
SHEET = AnswerSheet("parts", COLUMNS, ROWS, Measures(FarmSettings()), sentences=["Said of {area}."])


@pytest.mark.parametrize(
    ("wide", "row"),
    [
        (None, "knife section of steel   4.60  71 seen to wear out"),
        (50, "knife section of steel   4.60  71 seen to wear out"),
        (49, "knife section of steel   4.60  71 worn out"),
        (39, "knife section of steel   4.60  71 seen"),
        (38, "knife section of ste…   4.60  71 seen"),
        (29, "knife secti…   4.60  71 seen"),
        # under its room the name is cut no further while another column can go
        (28, "knife section of …  71 seen"),
        (16, "knife…  71 seen"),
    ],
)
def test_words_are_shortened_before_a_name_is_cut_and_a_column_goes_before_it_is_cut_short(
    wide: int | None, row: str
) -> None:
    assert table_lines(SHEET, wide)[2] == row


@pytest.mark.parametrize(
    ("wide", "cells"),
    [
        (60, ["knife section of steel", "4.60", "71 seen to wear out"]),
        (48, ["knife section of steel", "4.60", "71 seen to wear out"]),
        (47, ["knife section of steel", "4.60", "71 worn out"]),
        (37, ["knife section of steel", "4.60", "71 seen"]),
        (27, ["knife section of steel", "4.60", "71 seen"]),
        (26, ["knife section of steel", "71 seen"]),
    ],
)
def test_a_list_shortens_the_same_words_by_the_same_rule(wide: int, cells: list[str]) -> None:
    source = sheet_source(SHEET)
    shown = column_widths(source.columns, wide)
    assert [source.rows[0].cell(place, source.columns[place].form_in(size)) for place, size in shown] == cells
    assert sum(size for _, size in shown) + len(shown) - 1 <= wide


LIVES = AnswerSheet(
    "lives",
    (
        replace(COLUMNS[0], room=0),
        AnswerColumn(
            "lasts",
            lambda row, _: f"{100 * row.seen} (1-2) ac",
            "lasts",
            least=6,
            room=14,
            short=(lambda row, _: "1-2 ac",),
        ),
        replace(COLUMNS[1], gives=1),
        COLUMNS[2],
    ),
    ROWS,
    Measures(FarmSettings()),
)


@pytest.mark.parametrize(
    ("wide", "cells"),
    [
        (None, ["knife section of steel", "7100 (1-2) ac", "4.60", "71 seen to wear out"]),
        (57, ["knife section of steel", "7100 (1-2) ac", "4.60", "71 worn out"]),
        (40, ["knife s…", "7100 (1-2) ac", "4.60", "71 seen"]),
        # others are cut and shortened before an interval loses its middle, and go before it goes
        (38, ["knife…", "7100 (1-2) ac", "4.60", "71 seen"]),
        (32, ["knife …", "1-2 ac", "4.60", "71 seen"]),
        (27, ["knife se…", "1-2 ac", "71 seen"]),
    ],
)
def test_an_interval_stays_whole_while_others_can_be_cut_and_alone_before_its_column_goes(
    wide: int | None, cells: list[str]
) -> None:
    line = table_lines(LIVES, wide)[2]
    assert [cell.strip() for cell in line.split("  ") if cell.strip()] == cells
    if wide is not None:
        source = sheet_source(LIVES)
        listed = column_widths(source.columns, wide)
        words = [source.rows[0].cell(place, source.columns[place].form_in(size)) for place, size in listed]
        assert words[1] == cells[1]


def test_only_the_columns_that_found_room_are_explained() -> None:
    assert answer_lines(SHEET, 50)[-2:] == ["Said of ac.", "price: each."]
    assert answer_lines(SHEET, 28)[-1] == "Said of ac."
