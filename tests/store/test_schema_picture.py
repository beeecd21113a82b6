"""The page of the tables is what the tables are."""

from __future__ import annotations

import re
from importlib.metadata import version
from pathlib import Path

import pytest
from sqlalchemy import Column, Integer, Table

from wearlog.store.revision import REVISIONS
from wearlog.store.schema.catalogue import TABLE_OF_FACT
from wearlog.store.schema.types import WHOLE
from wearlog.store.schema_picture import COUNTS, UNITS, schema_page, unit_of

PAGE = Path(__file__).parents[2] / "docs" / "schema.md"
TABLES = next(iter(TABLE_OF_FACT.values())).metadata.tables


def test_the_page_in_docs_is_what_the_tables_are() -> None:
    """After a change: python -m wearlog.store.schema_picture > docs/schema.md"""
    assert PAGE.read_text("utf-8") == schema_page()


@pytest.mark.parametrize("table", TABLES.values(), ids=list(TABLES))
def test_every_table_stands_on_the_page_once_with_its_columns(table: Table) -> None:
    page = schema_page()
    assert page.count(f"\n### {table.name}\n") == 1
    section = page[page.index(f"\n### {table.name}\n") :].split("\n##", 2)[1]
    for column in table.columns:
        shown = f"| `{column.name}` |"
        assert section.count(shown) == (0 if column.name in ("id", "voided") and table in TABLE_OF_FACT.values() else 1)
        for key in column.foreign_keys:
            row = next(line for line in section.splitlines() if line.startswith(shown))
            assert row.endswith(f"| {key.column.table.name} |")


def test_what_points_at_a_table_is_drawn_behind_it() -> None:
    whole_lines = schema_page().replace(",\n" + " " * 20, ", ").splitlines()
    drawn = dict(line.strip().split(" <- ") for line in whole_lines if " <- " in line)
    arrows = {key.strip(): set(value.split(", ")) for key, value in drawn.items()}
    wanted: dict[str, set[str]] = {}
    for table in TABLES.values():
        for key in table.foreign_keys:
            if key.column.table is not table:
                wanted.setdefault(key.column.table.name, set()).add(table.name)
    assert arrows == wanted


def test_every_whole_number_says_its_unit_or_what_it_counts() -> None:
    whole = [column for table in TABLES.values() for column in table.columns if isinstance(column.type, type(WHOLE))]
    assert len(whole) > 80
    assert [column.name for column in whole if not unit_of(column)] == []
    names = {column.name for column in whole}
    assert {words for words, _ in UNITS if not any(words in name for name in names)} == set()
    assert set(COUNTS) - names == set()


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("yield_grams_per_hectare", "grams on a hectare"),
        ("shown_usage", "seconds on an hour meter, square metres on the area meter"),
        ("area_square_metres", "square metres"),
        ("list_price_minor", "smallest coins of the farm's money"),
    ],
)
def test_a_name_says_its_unit(name: str, unit: str) -> None:
    assert unit_of(Column(name, WHOLE)) == unit
    assert unit_of(Column(name, Integer().with_variant(Integer(), "sqlite"))) == ""
    with pytest.raises(KeyError):
        unit_of(Column("weight", WHOLE))


def test_the_page_of_changes_tells_of_every_revision_and_of_this_version() -> None:
    headings = [line for line in PAGE.with_name("changes.md").read_text("utf-8").splitlines() if line.startswith("##")]
    told = [revision for line in headings for revision in re.findall(r"\bRevision (\d{4})\b", line)]
    assert tuple(reversed(told)) == REVISIONS
    assert any(f"wearlog {version('wearlog')}" in line for line in headings)
