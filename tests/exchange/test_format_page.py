"""The page in docs/ says what the reader does, and the sheets hold every field of every fact."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

import pytest

from wearlog.exchange.format_page import format_page
from wearlog.exchange.headings import FACT_OF_SHEET, NAME_FIELDS, OWN_FIELDS, helpers_of
from wearlog.exchange.sheets import SHEETS

PAGE = Path(__file__).parents[2] / "docs" / "import-format.md"

#: sheet -> the fields that no column says, each with its reason
NO_COLUMN_YET: dict[str, frozenset[str]] = {
    # noted by the program when somebody enters it; of a row of a sheet it is read by time, which a late correction still corrects
    "breakage": frozenset({"broke_fitting_ids", "followed_fitting_ids"}),
}


def test_the_page_is_what_the_sheets_make_of_it() -> None:
    """After a change: python -m wearlog.exchange.format_page > docs/import-format.md"""
    assert PAGE.read_text("utf-8") == format_page()


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_field_of_a_fact_has_a_column(sheet: str) -> None:
    own = {field.name for field in fields(FACT_OF_SHEET[sheet])} - {"id", "voided"}
    assert [column.field for column in SHEETS[sheet] if column.field not in own] == []
    assert own - {column.field for column in SHEETS[sheet]} == NO_COLUMN_YET.get(sheet, frozenset())


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_sheet_says_how_its_rows_are_known_again(sheet: str) -> None:
    own = {field.name for field in fields(FACT_OF_SHEET[sheet])}
    assert (sheet in NAME_FIELDS) != (sheet in OWN_FIELDS)
    assert set(NAME_FIELDS.get(sheet) or OWN_FIELDS[sheet]) <= own


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_heading_stands_on_the_page(sheet: str) -> None:
    page = format_page()
    section = page[page.index(f"\n### {sheet}\n") :].split("\n### ", 2)[1]
    for heading in (*helpers_of(SHEETS[sheet]), *(column.heading for column in SHEETS[sheet])):
        assert f"`{heading}" in section


def test_what_is_pointed_at_comes_first() -> None:
    order = list(SHEETS)
    for sheet, columns in SHEETS.items():
        for column in columns:
            # a breakage may name another that took it along
            if column.target and column.target != sheet:
                assert order.index(column.target) < order.index(sheet)
