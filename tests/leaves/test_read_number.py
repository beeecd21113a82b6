"""Numbers as people write them are read; what can be read in two ways is refused with a sentence."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.errors import UsageError
from wearlog.units import fewest_decimals, from_stored, read_number, to_stored, to_whole

WRITTEN = [
    ("2310.4", None, "2310.4"),
    ("1 234,5", None, "1234.5"),
    ("1,234.5", None, "1234.5"),
    ("1.234,5", None, "1234.5"),
    ("1'234", None, "1234"),
    ("1’234.25", None, "1234.25"),
    ("1\u00a0234,5", None, "1234.5"),
    ("1\u202f234\u202f567", None, "1234567"),
    ("1\u2009234", None, "1234"),
    ("1,234,567", None, "1234567"),
    ("1.234.567", None, "1234567"),
    ("12,5", None, "12.5"),
    ("0,125", None, "0.125"),
    ("1234,567", None, "1234.567"),
    ("1.234", None, "1.234"),
    (" 7 ", None, "7"),
    (".5", None, "0.5"),
    ("5.", None, "5"),
    ("+3", None, "3"),
    ("-3,5", None, "-3.5"),
    ("\u22123", None, "-3"),
    ("1,234", True, "1.234"),
    ("1.234,5", True, "1234.5"),
    ("2310.4", True, "2310.4"),
    ("1,234", False, "1234"),
    ("1.234", False, "1.234"),
]


@pytest.mark.parametrize(("text", "decimal_comma", "number"), WRITTEN)
def test_a_number_is_read_as_its_writer_meant_it(text: str, decimal_comma: bool | None, number: str) -> None:
    assert read_number(text, decimal_comma=decimal_comma) == Decimal(number)


REFUSED = [
    ("1,234", None, "'1,234' can mean 1234 or 1.234."),
    ("1.234", True, "'1.234' can mean 1234 or 1,234."),
    ("12,5", False, "'12,5' is not a number here: the decimal mark is a point."),
    ("0,125", False, "'0,125' is not a number here: the decimal mark is a point."),
    ("1,234.5", True, "'1,234.5' is not a number here: the decimal mark is a comma."),
    ("12 34", None, "'12 34' is not a number."),
    ("1,23,456", None, "'1,23,456' is not a number."),
    ("1 234'567", None, "'1 234'567' is not a number."),
    ("twelve", None, "'twelve' is not a number."),
    ("1e3", None, "'1e3' is not a number."),
    ("", None, "'' is not a number."),
    (",", None, "',' is not a number."),
    ("-", None, "'-' is not a number."),
    ("\u0663", None, "'\u0663' is not a number."),
    ("12 ac", None, "'12 ac' is not a number."),
    ("1234567890123456", None, "'1234567890123456' has too many digits."),
]


@pytest.mark.parametrize(("text", "decimal_comma", "sentence"), REFUSED)
def test_what_is_no_number_or_has_two_meanings_is_refused(text: str, decimal_comma: bool | None, sentence: str) -> None:
    with pytest.raises(UsageError) as refused:
        read_number(text, decimal_comma=decimal_comma)
    assert refused.value.message == sentence
    assert refused.value.hint


@given(st.decimals(-(10**12), 10**12, places=3), st.sampled_from(["", ",", " ", "'"]))
def test_a_number_written_with_points_and_any_grouping_reads_back(number: Decimal, group: str) -> None:
    """Three decimals behind a point can be no group when the point is the decimal mark."""
    assert read_number(f"{number:,.3f}".replace(",", group), decimal_comma=False) == number


@given(st.decimals(-(10**12), 10**12, places=3))
def test_a_number_written_with_a_decimal_comma_reads_back(number: Decimal) -> None:
    written = f"{number:,.3f}".translate({ord(","): ".", ord("."): ","})
    assert read_number(written, decimal_comma=True) == number


@given(st.integers(0, 10**12), st.sampled_from(["ac", "ha", "h", "min", "in", "ft", "mm", "lb", "kg", "g", "s"]))
def test_the_fewest_decimals_give_back_what_is_stored(stored: int, unit: str) -> None:
    short = from_stored(stored, unit)
    assert to_stored(short, unit) == stored
    fewer = short.as_tuple().exponent
    assert isinstance(fewer, int)
    if fewer < 0:
        assert to_stored(round(short, -fewer - 1), unit) != stored


def test_any_factor_will_do() -> None:
    assert to_whole(Decimal("0.3"), Decimal("247105.38")) == 74132
    assert fewest_decimals(74132, Decimal("247105.38")) == Decimal("0.3")
