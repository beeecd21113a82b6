"""Numbers as other programs write them into files: with many decimals, or with a power of ten. Knows no unit."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Final

from wearlog.errors import UsageError
from wearlog.units import MOST_DIGITS, read_number

#: 1e3, 2.5E-2, 1,4e+00
_WITH_POWER: Final = re.compile(r"([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+))[eE]([+-]?\d{1,3})")


def read_written_number(text: str, *, decimal_comma: bool | None = None, most_digits: int = MOST_DIGITS) -> Decimal:
    """Read a number of a file: as people write it (`read_number`), or with a power of ten.

    Parameters
    ----------
    text : str
        The number alone.
    decimal_comma : bool or None
        As for `read_number`; with a power of ten a lone mark is always the decimal one, unless the file's is the other.
    most_digits : int
        Digits before the decimal mark, the power of ten worked out.

    Raises
    ------
    UsageError
        When the text is no number, or too large.
    """
    match = _WITH_POWER.fullmatch(text.strip())
    if match is None:
        return read_number(text, decimal_comma=decimal_comma)
    digits, power = match.groups()
    if "," in digits and decimal_comma is False:
        raise UsageError(
            f"'{text.strip()}' is not a number here: the decimal mark is a point.", "Write digits, like 2310.4."
        )
    number = Decimal(digits.replace(",", ".")).scaleb(int(power))
    if number and number.adjusted() >= most_digits:
        raise UsageError(f"'{text.strip()}' is too large.", f"At most {most_digits} digits before the mark.")
    return number
