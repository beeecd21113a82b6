"""Units of measure: numbers as people write them, and exact factors to the small whole numbers that are stored.

Areas are stored in square metres, durations in seconds, lengths in micrometres, masses in grams. The factors are exact by
definition of the international yard and pound (NIST SP 811, appendix B); an acre is the international acre of 43 560 square
feet, which differs from the older survey acre by 4 parts in a million.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Final

from wearlog.errors import UsageError

FOOT_METRES: Final = Decimal("0.3048")
ACRE_SQUARE_METRES: Final = 43560 * FOOT_METRES * FOOT_METRES
HECTARE_SQUARE_METRES: Final = Decimal(10_000)
INCH_MICROMETRES: Final = Decimal(25_400)
POUND_GRAMS: Final = Decimal("453.59237")
HOUR_SECONDS: Final = Decimal(3_600)
MILE_METRES: Final = Decimal("1609.344")

#: every unit that may follow a number or stand at the end of a column heading -> how many stored units it is
STORED_UNITS: Final[dict[str, Decimal]] = {
    "ac": ACRE_SQUARE_METRES,
    "ha": HECTARE_SQUARE_METRES,
    "m2": Decimal(1),
    "h": HOUR_SECONDS,
    "min": Decimal(60),
    "s": Decimal(1),
    # a month and a year are the mean ones of the calendar: 400 years are 146 097 days
    "d": Decimal(86_400),
    "wk": Decimal(604_800),
    "mo": Decimal(2_629_746),
    "y": Decimal(31_556_952),
    "in": INCH_MICROMETRES,
    "ft": INCH_MICROMETRES * 12,
    "mm": Decimal(1_000),
    "cm": Decimal(10_000),
    "m": Decimal(1_000_000),
    "um": Decimal(1),
    "lb": POUND_GRAMS,
    "kg": Decimal(1_000),
    "g": Decimal(1),
}


def to_stored(number: Decimal, unit: str) -> int:
    """Return `number` of `unit` in whole stored units, a half rounded to even. KeyError for a unit that is not listed."""
    return to_whole(number, STORED_UNITS[unit])


def from_stored(stored: int, unit: str) -> Decimal:
    """Return the fewest decimals of `unit` that give back exactly `stored`: to_stored(from_stored(n, u), u) == n."""
    return fewest_decimals(stored, STORED_UNITS[unit])


def to_whole(number: Decimal, factor: Decimal) -> int:
    """Return `number` times `factor` as a whole number, a half rounded to even."""
    return int((number * factor).to_integral_value(ROUND_HALF_EVEN))


def fewest_decimals(stored: int, factor: Decimal) -> Decimal:
    """Return the shortest decimal that `to_whole` turns into `stored` with the same factor."""
    exact = Decimal(stored) / factor
    for places in range(12):
        short = exact.quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN)
        if to_whole(short, factor) == stored:
            return short
    return exact


#: more digits before the decimal mark than any meter, area or sum of money of a farm has
MOST_DIGITS: Final = 15
#: more decimals than any program writes behind a number of common size (17 digits that mean something; some print 30)
MOST_DECIMALS: Final = 60
_PLAIN = re.compile(r"[+-]?[0-9]{1,15}(?:\.[0-9]{1,60})?")
_WRITTEN = re.compile(r"([+-]?) ?([0-9.,' ]*[0-9][.,]?)")
#: every kind of space and apostrophe that people and spreadsheets group thousands with, and the true minus sign
_ONE_KIND = str.maketrans(
    {"\u00a0": " ", "\u2007": " ", "\u2009": " ", "\u202f": " ", "\u2019": "'", "\u02bc": "'", "\u2212": "-"}
)


def read_number(text: str, *, decimal_comma: bool | None = None) -> Decimal:
    """Read a number as people write it: 2310.4, 1,234.5, 1 234,5 or 1'234.

    Parameters
    ----------
    text : str
        The number alone, without its unit. Thousands may be grouped by spaces, apostrophes or the mark that is not decimal.
    decimal_comma : bool or None
        True: the comma is the decimal mark (a lone point that cannot be a group is forgiven). False: the point is. None: the
        text decides, and a lone point is a decimal mark.

    Raises
    ------
    UsageError
        When the text is no number, is longer than `MOST_DIGITS` and `MOST_DECIMALS`, or can be read in two ways a thousand
        apart (1,234).

    Examples
    --------
    >>> read_number("2,310.4"), read_number("1 234,5")
    (Decimal('2310.4'), Decimal('1234.5'))
    >>> read_number("1,234", decimal_comma=False)
    Decimal('1234')
    """
    if decimal_comma is not True and _PLAIN.fullmatch(text):
        return Decimal(text)
    match = _WRITTEN.fullmatch(text.translate(_ONE_KIND).strip())
    if match is None:
        raise UsageError(f"'{text.strip()}' is not a number.", "Write digits, like 2310.4.")
    sign, body = match.groups()
    mark = _decimal_mark(body, text.strip(), decimal_comma=decimal_comma)
    whole, _, fraction = body.partition(mark) if mark else (body, "", "")
    digits = _ungrouped(whole)
    if digits is None or not (fraction.isdigit() or not fraction):
        wanted = {True: " here: the decimal mark is a comma", False: " here: the decimal mark is a point", None: ""}
        marked = wanted[decimal_comma] if "," in body or "." in body else ""
        raise UsageError(f"'{text.strip()}' is not a number{marked}.", "Write digits, like 2310.4.")
    if len(digits) > MOST_DIGITS or len(fraction) > MOST_DECIMALS:
        raise UsageError(
            f"'{text.strip()}' has too many digits.",
            f"At most {MOST_DIGITS} before the mark and {MOST_DECIMALS} after it.",
        )
    return Decimal(f"{sign}{digits or 0}.{fraction}" if fraction else f"{sign}{digits}")


_GROUPED = re.compile(r"[+-]?\d{1,3}(,\d{3})+(\.\d+)?")
_FRACTION = re.compile(r"(?P<sign>[-+\u2212]?)(?:(?P<whole>\d+)[ -]+)?(?P<top>\d+)[/\u2044](?P<bottom>\d+)")
#: no fuse of a machine is rated so high
_MOST_AMPERES: Final = 1_000


def plain_number(text: str) -> Decimal:
    """Read a number that a person types; a comma before three digits groups thousands, any other comma is decimal.

    A sheet uses `read_number` instead: it knows by its delimiter which mark is decimal, and nobody sees at once what it took.
    """
    clean = text.strip()
    return read_number(clean, decimal_comma=False if _GROUPED.fullmatch(clean) else None)


def with_fraction(text: str, number: Callable[[str], Decimal] = plain_number) -> Decimal:
    """Read 7/8, 19 7/8 or 19-7/8, as on a rule, or else a plain number. UsageError when it is neither."""
    match = _FRACTION.fullmatch(text.strip())
    if match is None:
        return number(text)
    bottom = Decimal(match["bottom"])
    if bottom == 0:
        raise UsageError(f"'{text}' divides by nothing.", "Write it like 19-7/8.")
    amount = Decimal(match["whole"] or 0) + Decimal(match["top"]) / bottom
    return -amount if match["sign"] in ("-", "\u2212") else amount


def milliamperes(text: str, number: Callable[[str], Decimal] = plain_number) -> int:
    """Read the rating of a fuse, "15", "7.5" or "15 A". UsageError when it is none."""
    amperes = number(text.strip().removesuffix("A").removesuffix("a").strip())
    if not 0 < amperes < _MOST_AMPERES:
        raise UsageError(f"'{text}' is not the rating of a fuse.", "Write it like 15 or 7.5.")
    return int(amperes * 1000)


def _decimal_mark(body: str, shown: str, *, decimal_comma: bool | None) -> str:
    """Return "," or "." or, when there is no decimal mark, an empty string."""
    commas, points = body.count(","), body.count(".")
    if commas and points:
        last = "," if body.rfind(",") > body.rfind(".") else "."
        return last if decimal_comma in (None, last == ",") and body.count(last) == 1 else ""
    if commas + points != 1 or (commas and decimal_comma is False):
        return ""
    mark = "," if commas else "."
    whole, _, fraction = body.partition(mark)
    may_be_group = len(fraction) == 3 and whole.isdigit() and len(whole) <= 3 and not whole.startswith("0")
    if may_be_group and decimal_comma is (None if commas else True):
        other = "." if commas else ","
        raise UsageError(
            f"'{shown}' can mean {whole}{fraction} or {whole}{other}{fraction}.",
            "Write the one that is meant in that form.",
        )
    return mark


def _ungrouped(whole: str) -> str | None:
    """Return the digits of `whole`, which may be grouped in threes by one kind of mark; None when it is not."""
    if whole.isdigit() or not whole:
        return whole
    group = next((mark for mark in " ',." if mark in whole), "")
    first, *others = whole.split(group)
    in_threes = 1 <= len(first) <= 3 and first[0] != "0" and all(len(one) == 3 and one.isdigit() for one in others)
    return whole.replace(group, "") if first.isdigit() and in_threes else None
