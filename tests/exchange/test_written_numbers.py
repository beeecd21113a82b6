"""Numbers as other programs write them into sheets: many decimals, powers of ten; and what is none."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from wearlog.errors import UsageError
from wearlog.exchange.cells import read_written_number
from wearlog.exchange.source import read_source
from wearlog.logbook.names import KnownNames
from wearlog.units import read_number


@pytest.mark.parametrize(
    ("text", "decimal_comma", "number"),
    [
        ("1.4150000000000003", None, "1.4150000000000003"),
        ("1,4150000000000003", True, "1.4150000000000003"),
        ("2.12345678901234567890123456789", False, "2.12345678901234567890123456789"),
        ("1e3", None, "1000"),
        ("2.5E-2", False, "0.025"),
        ("-1.5e+00", None, "-1.5"),
        ("1,5e+01", True, "15"),
        ("1.5e+01", True, "15"),
        (".25E1", None, "2.5"),
        ("0e999", None, "0"),
        ("1 234.5", None, "1234.5"),
    ],
)
def test_a_number_of_a_program_is_a_number(text: str, decimal_comma: bool | None, number: str) -> None:
    assert read_written_number(text, decimal_comma=decimal_comma) == Decimal(number)


@pytest.mark.parametrize(
    ("text", "decimal_comma", "sentence"),
    [
        ("1e15", None, "'1e15' is too large."),
        ("1e999", None, "'1e999' is too large."),
        ("1,5e3", False, "'1,5e3' is not a number here: the decimal mark is a point."),
        ("e3", None, "'e3' is not a number."),
        ("1e", None, "'1e' is not a number."),
        ("1e3 ac", None, "'1e3 ac' is not a number."),
        ("nan", None, "'nan' is not a number."),
        ("1e1234", None, "'1e1234' is not a number."),
    ],
)
def test_what_is_too_large_or_no_number_is_refused(text: str, decimal_comma: bool | None, sentence: str) -> None:
    with pytest.raises(UsageError) as refused:
        read_written_number(text, decimal_comma=decimal_comma)
    assert refused.value.message == sentence
    assert refused.value.hint


def test_decimals_without_end_are_refused() -> None:
    with pytest.raises(UsageError, match="has too many digits"):
        read_number(f"1.{'3' * 61}")
    assert read_number(f"1,{'3' * 60}") == Decimal(f"1.{'3' * 60}")


def test_an_imported_sheet_takes_them(tmp_path: Path) -> None:
    """An area of 1.4150000000000003 ac is 5,726 m2; one of 1.2E+2 ac is 485,623 m2."""
    (tmp_path / "field.csv").write_text(
        "name,area_ac,ground\nLong Bench,1.4150000000000003,stony\nCoulee,1.2E+2,stony\n", "utf-8"
    )
    found = read_source(tmp_path, KnownNames(), time_zone="America/Chicago", now=datetime(2026, 6, 1, tzinfo=UTC))
    assert not found.problems
    areas = {row.name: row.area_square_metres for row in found.facts}
    assert areas == {"Long Bench": 5726, "Coulee": 485_623}
