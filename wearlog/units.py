"""Units of measure: exact factors between what people write and the small whole numbers that are stored.

Areas are stored in square metres, durations in seconds, lengths in micrometres, masses in grams. The factors are exact by
definition of the international yard and pound (NIST SP 811, appendix B); an acre is the international acre of 43 560 square
feet, which differs from the older survey acre by 4 parts in a million.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal
from typing import Final

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
    "in": INCH_MICROMETRES,
    "ft": INCH_MICROMETRES * 12,
    "mm": Decimal(1_000),
    "m": Decimal(1_000_000),
    "um": Decimal(1),
    "lb": POUND_GRAMS,
    "kg": Decimal(1_000),
    "g": Decimal(1),
}


def to_stored(number: Decimal, unit: str) -> int:
    """Return `number` of `unit` in whole stored units, a half rounded to even. KeyError for a unit that is not listed."""
    return int((number * STORED_UNITS[unit]).to_integral_value(ROUND_HALF_EVEN))


def from_stored(stored: int, unit: str) -> Decimal:
    """Return the fewest decimals of `unit` that give back exactly `stored`: to_stored(from_stored(n, u), u) == n."""
    exact = Decimal(stored) / STORED_UNITS[unit]
    for places in range(12):
        short = exact.quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN)
        if to_stored(short, unit) == stored:
            return short
    return exact
