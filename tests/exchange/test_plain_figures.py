"""Plain figures under a heading with a unit come to what every other way of writing them comes to."""

from __future__ import annotations

from datetime import UTC
from decimal import Decimal
from typing import Final

from hypothesis import example, given
from hypothesis import strategies as st

from wearlog.errors import UsageError
from wearlog.exchange.cells import Convert, converter, read_measure
from wearlog.exchange.columns import SheetColumn, units_of
from wearlog.exchange.instants import FarmClock
from wearlog.exchange.sheets import SHEETS

SHOWN: Final[SheetColumn] = next(one for one in SHEETS["reading"] if one.field == "shown_usage")
UNITS: Final = units_of(SHOWN)
FIGURES = st.from_regex(r"\A[0-9]{1,10}(\.[0-9]{0,8})?\Z") | st.from_regex(
    r"\A[-+]?[0-9]{0,4}[.,' ]?[0-9]{0,4}( ?h)?\Z"
)


@given(FIGURES, st.sampled_from(sorted(UNITS)), st.sampled_from([True, False, None]))
@example("007.50", "h", None)
@example("0.0001", "h", False)
@example("1.234", "h", True)
@example("999999999.999999", "ac", None)
@example("1٣", "h", None)
def test_a_figure_comes_to_what_it_comes_to_in_decimals(text: str, unit: str, decimal_comma: bool | None) -> None:
    read = converter(SHOWN, unit, FarmClock(UTC), decimal_comma=decimal_comma)
    expected = said(lambda text: read_measure(text, UNITS[unit], unit, decimal_comma=decimal_comma), text)
    assert said(read, text) == expected
    # once more: the answer may be remembered
    assert said(read, text) == expected


def said(read: Convert, text: str) -> object:
    """Return what a text comes to, or why it comes to nothing."""
    try:
        return read(text)
    except UsageError as error:
        return error.message, error.hint


def test_what_is_no_whole_number_is_rounded_as_before() -> None:
    read = converter(SHOWN, "h", FarmClock(UTC), decimal_comma=None)
    assert [read("0.00013"), read("0.00014"), read("2.5")] == [0, 1, 9_000]
    assert Decimal("0.00014") * 3_600 > Decimal("0.5")
