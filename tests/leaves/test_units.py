"""Numbers as people write them, and exact factors to the whole numbers that are stored."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog import units
from wearlog.errors import UsageError
from wearlog.units import MOST_DIGITS, STORED_UNITS, from_stored, read_number, to_stored

# NIST SP 811 (2008), appendix B.8: the factors in bold there are exact
EXACT = [
    ("ft", "1", 304_800),
    ("in", "1", 25_400),
    ("lb", "1", 454),
    ("lb", "100000", 45_359_237),
    ("ha", "1", 10_000),
    ("h", "1", 3_600),
    ("min", "1", 60),
    ("mm", "0.5", 500),
    ("m", "9.14", 9_140_000),
    ("kg", "1.25", 1_250),
]


@pytest.mark.parametrize(("unit", "number", "stored"), EXACT)
def test_a_measure_is_stored_by_the_exact_factor(unit: str, number: str, stored: int) -> None:
    assert to_stored(Decimal(number), unit) == stored


def test_an_acre_is_the_international_one() -> None:
    """43,560 square feet of 0.3048 m exactly: 4,046.8564224 m2.

    The acre of the older U.S. survey foot is 4,046.872 6 m2 (NIST SP 811, B.8 and footnote on the survey foot).
    """
    assert Decimal("4046.8564224") == units.ACRE_SQUARE_METRES
    assert to_stored(Decimal(1000), "ac") == 4_046_856


def test_a_mile_is_5280_feet() -> None:
    assert units.MILE_METRES == 5280 * units.FOOT_METRES


def test_a_half_is_rounded_to_even() -> None:
    """Sums of many rounded entries do not drift upwards."""
    assert [to_stored(Decimal(n), "m2") for n in ("0.5", "1.5", "2.5", "-0.5", "-1.5")] == [0, 2, 2, 0, -2]


def test_an_unknown_unit_is_a_mistake_of_the_program() -> None:
    with pytest.raises(KeyError):
        to_stored(Decimal(1), "furlong")


@given(st.integers(-(10**15), 10**15), st.sampled_from(sorted(STORED_UNITS)))
def test_what_is_shown_in_full_is_stored_the_same_again(stored: int, unit: str) -> None:
    """Export and import again changes nothing, whatever the unit of the column."""
    assert to_stored(from_stored(stored, unit), unit) == stored


@pytest.mark.parametrize(
    ("stored", "unit", "shown"),
    [(2_589_988, "ac", "640"), (8_317_440, "h", "2310.4"), (0, "ac", "0"), (3_600, "h", "1"), (25_400, "in", "1")],
)
def test_no_more_decimals_are_shown_than_are_needed(stored: int, unit: str, shown: str) -> None:
    """640 acres are 2,589,988.11 m2, stored without the 0.11; the fewest decimals that give that back."""
    assert from_stored(stored, unit) == Decimal(shown)


PLAIN = [
    ("2310.4", "2310.4"),
    ("0", "0"),
    ("-3", "-3"),
    ("+7.50", "7.50"),
    (" 12 ", "12"),
    ("1,234.5", "1234.5"),
    ("1.234,5", "1234.5"),
    ("1 234,5", "1234.5"),
    ("1'234", "1234"),
    ("1’234’567.25", "1234567.25"),
    ("1\u00a0234\u202f567", "1234567"),
    ("1,234,567", "1234567"),
    ("1.234.567", "1234567"),
    ("12,5", "12.5"),
    ("0,125", "0.125"),
    ("1234,567", "1234.567"),
    ("−4", "-4"),
    ("1.234", "1.234"),
    ("5.", "5"),
]


@pytest.mark.parametrize(("written", "meant"), PLAIN)
def test_a_number_is_read_as_people_write_it(written: str, meant: str) -> None:
    assert read_number(written) == Decimal(meant)


@pytest.mark.parametrize(
    "written",
    ["", " ", "abc", "1.2.3", "1,2,3", "12,34,567", "1e5", "0x10", "NaN", "inf", "1 23", "--1", "1-", ",", "٣", "½"],
)
def test_what_is_no_number_is_refused_with_itself_in_the_sentence(written: str) -> None:
    with pytest.raises(UsageError) as raised:
        read_number(written)
    assert raised.value.message.startswith(f"'{written.strip()}' is not a number")
    assert raised.value.hint == "Write digits, like 2310.4."


def test_a_number_that_can_be_read_in_two_ways_is_asked_about() -> None:
    """1,234 acres is a thousand times 1.234 acres: no guess is made."""
    with pytest.raises(UsageError) as raised:
        read_number("1,234")
    assert raised.value.message == "'1,234' can mean 1234 or 1.234."


@pytest.mark.parametrize(
    ("written", "decimal_comma", "meant"),
    [
        ("1,234", True, "1.234"),
        ("1,234", False, "1234"),
        ("1.234,5", True, "1234.5"),
        ("1,234.5", False, "1234.5"),
        ("12.5", True, "12.5"),
        ("12.5", False, "12.5"),
    ],
)
def test_a_file_that_says_its_decimal_mark_is_believed(written: str, decimal_comma: bool, meant: str) -> None:
    assert read_number(written, decimal_comma=decimal_comma) == Decimal(meant)


@pytest.mark.parametrize(("written", "decimal_comma"), [("1.234,5", False), ("1,234.5", True), ("12,5", False)])
def test_the_other_mark_than_the_file_says_is_refused(written: str, decimal_comma: bool) -> None:
    with pytest.raises(UsageError, match="is not a number"):
        read_number(written, decimal_comma=decimal_comma)


@given(st.decimals(-(10**12), 10**12, allow_nan=False, allow_infinity=False, places=4))
def test_every_plain_number_is_read_back(number: Decimal) -> None:
    assert read_number(f"{number:f}") == number


@given(st.integers(0, 10**12), st.sampled_from([",", ".", " ", "'", "\u00a0", "\u202f"]))
def test_thousands_may_be_grouped_by_any_mark(number: int, mark: str) -> None:
    """With a fraction after it the meaning is plain, whatever the mark of the groups."""
    fraction = ".5" if mark != "." else ",5"
    assert read_number(f"{number:,}".replace(",", mark) + fraction) == Decimal(number) + Decimal("0.5")


def test_a_number_has_so_many_digits_and_no_more() -> None:
    """A key held down is not a meter reading."""
    assert read_number("9" * MOST_DIGITS) == Decimal(10**MOST_DIGITS - 1)
    with pytest.raises(UsageError, match="has too many digits"):
        read_number("9" * (MOST_DIGITS + 1))
