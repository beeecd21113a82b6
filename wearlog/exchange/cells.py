"""One cell of the import format: how a value is written into it, and what its text means, by a function for each form.

Where the cell stands, whose row it is and what its pointers point at are not known here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from difflib import get_close_matches
from enum import StrEnum
from functools import partial
from typing import Final, TypeAlias

from wearlog.errors import UsageError
from wearlog.exchange.cell_text import guarded, unguarded
from wearlog.exchange.columns import UNITS, Form, SheetColumn, units_of
from wearlog.exchange.instants import FarmClock, read_day
from wearlog.facts.plain_text import folded, plain
from wearlog.facts.positions import format_positions, parse_positions
from wearlog.logbook.said.choices import choice_said
from wearlog.logbook.said.measures import AGE_WORDS, HOURS, hours, kin, measure
from wearlog.logbook.said.opening_words import WEEKDAYS, read_clock, read_distance, read_weekday, written_clock
from wearlog.logbook.said.rough_ages import is_rough, without_about
from wearlog.units import MOST_DIGITS, fewest_decimals, milliamperes, read_number, to_whole, with_fraction


def written_cell(column: SheetColumn, unit: str, value: object, clock: FarmClock, mark: str = ".") -> str:
    """Return a value in the unit of its heading, with as many decimals as give back exactly what is stored.

    Parameters
    ----------
    clock : FarmClock
        By which instants are written.
    mark : str
        The decimal mark.
    """
    if value is None:
        return UNKNOWN if column.form is Form.AGE else ""
    if isinstance(value, bool):
        return "yes" if value else ""
    if isinstance(value, int) and column.form is Form.CLOCK:
        return written_clock(value)
    if isinstance(value, int) and column.form is Form.WEEKDAY:
        return WEEKDAYS[value]
    if isinstance(value, int) and column.form is not Form.POSITIONS:
        return format(fewest_decimals(value, units_of(column)[unit]), "f").replace(".", mark)
    return _text(column, value, clock)


def _text(column: SheetColumn, value: object, clock: FarmClock) -> str:
    if isinstance(value, datetime):
        return clock.write(value)
    if isinstance(value, date):
        return value.isoformat()
    if column.form is Form.POSITIONS:
        return format_positions(value if isinstance(value, tuple) else (value,))
    if isinstance(value, Sequence) and not isinstance(value, str):
        return guarded(", ".join(str(one) for one in value))
    return guarded(str(value))


#: 1e3, 2.5E-2, 1,4e+00
_NUMBER_WITH_POWER: Final = re.compile(r"([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+))[eE]([+-]?\d{1,3})")


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
    match = _NUMBER_WITH_POWER.fullmatch(text.strip())
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


Convert: TypeAlias = Callable[[str], object]

#: a letter, a mark for feet or inches, the bar of a fraction, the colon of a clock
_SAYS_MORE: Final = re.compile(r"[A-Za-z/⁄:\"″”]|'$")

#: 1.5e3: the letter is no unit
_WITH_POWER: Final = re.compile(r"[-+]?[\d.,]+[eE][-+]?\d{1,3}")

#: what is written for a life that began before anyone wrote it down
UNKNOWN: Final = "unknown"

#: columns repeat themselves: the same crop, the same area, the same hours
MOST_REMEMBERED: Final = 10_000

#: of a millimetre
_MICROMETRES: Final = 1000

_YES: Final = frozenset({"yes", "y", "true", "x", "1"})

_NO: Final = frozenset({"no", "n", "false", "0"})


def read_text(text: str) -> str:
    """Free text, plain; a guard against formulas is taken off."""
    return unguarded(plain(text))


def read_count(text: str, *, decimal_comma: bool | None = None) -> int:
    """A whole number, not below 0."""
    if text.isascii() and text.isdigit() and len(text) < 16:
        return int(text)
    number = _not_below_0(text, decimal_comma=decimal_comma)
    if number != number.to_integral_value():
        raise UsageError(f"'{text}' is not a whole number.", "Write it without decimals.")
    return int(number)


def read_measure(text: str, factor: Decimal, unit: str = "", *, decimal_comma: bool | None = None) -> int:
    """An amount as whole stored units: in the unit of its heading, or in the one that the cell says itself."""
    family = kin(unit) if _SAYS_MORE.search(text) and not _WITH_POWER.fullmatch(text) else ()
    if not family:
        return to_whole(_not_below_0(text, decimal_comma=decimal_comma), factor)
    if is_rough(text):
        raise UsageError(
            f"'{text}' says how old something is: here stands a figure.", f"Write it in {unit}, like 400 {unit}."
        )
    number = partial(read_written_number, decimal_comma=decimal_comma)
    if unit in HOURS:
        return hours(text, unit, number)
    return measure(text, family, unit, partial(with_fraction, number=number))


@dataclass(frozen=True, slots=True)
class RoughAge:
    """An age told by seasons or by the machine's own; what it comes to is known with the component of its row."""

    text: str


def read_age(text: str, factor: Decimal, unit: str = "", *, decimal_comma: bool | None = None) -> int | RoughAge | None:
    """An age in stored units, or words for it: unknown, new, about 3 seasons."""
    word = without_about(text)
    if word in AGE_WORDS:
        return AGE_WORDS[word]
    if is_rough(word):
        return RoughAge(text)
    if not any(one.isdigit() for one in word):
        raise UsageError(f"'{text}' says no age.", "Write new, unknown, its figure, about 3 seasons, or since new.")
    return read_measure(word, factor, unit, decimal_comma=decimal_comma)


def read_age_without_unit(text: str) -> int | RoughAge | None:
    """An age under a heading that has no unit: 0, a word, or told roughly."""
    age = read_age(text, Decimal(1))
    if age and not isinstance(age, RoughAge):
        raise UsageError(f"The age '{text}' has no unit.", "Put the unit into the heading: age_when_fitted_h or _ac.")
    return age


def read_flag(text: str) -> bool:
    """Yes or no."""
    word = text.casefold()
    if word in _YES:
        return True
    if word in _NO:
        return False
    raise UsageError(f"'{text}' is neither yes nor no.", "Write yes or no.")


def read_listed(text: str, closed_list: type[StrEnum]) -> StrEnum:
    """One value of a closed list, or a word of the plain line for it; the case and spaces for underscores do not matter."""
    found = choice_said(text, closed_list)
    if found is None:
        values = [str(value) for value in closed_list]
        raise UsageError(f"'{text}' is not in the list.", _nearest_of(re.sub(r"[\s-]+", "_", folded(text)), values))
    return found


def _nearest_of(word: str, values: Sequence[str]) -> str:
    close = get_close_matches(word, values, n=1, cutoff=0.7)
    return f"Did you mean {close[0]}?" if close else f"Write one of: {', '.join(values)}."


def read_several(text: str, closed_list: type[StrEnum]) -> tuple[StrEnum, ...]:
    """Values of a closed list, separated by commas."""
    return tuple(read_listed(word.strip(), closed_list) for word in re.split("[,;]", text) if word.strip())


def read_words(text: str) -> tuple[str, ...]:
    """Words of a person, separated by commas."""
    return tuple(word.strip() for word in re.split("[,;]", read_text(text)) if word.strip())


def read_positions(text: str) -> tuple[int, ...]:
    """Positions like 41-43, 50."""
    return parse_positions(text)


def _not_below_0(text: str, *, decimal_comma: bool | None) -> Decimal:
    number = read_written_number(text, decimal_comma=decimal_comma)
    if number < 0:
        raise UsageError(f"'{text}' is below 0.", "Write it without the minus sign.")
    return number


def converter(column: SheetColumn, unit: str, clock: FarmClock, *, decimal_comma: bool | None) -> Convert:
    """Return the function that reads the cells of one column, whose heading ends in `unit`."""
    form = column.form
    factor = units_of(column).get(unit, Decimal(1))
    if form is Form.TEXT:
        return read_text
    if form is Form.WORDS:
        return read_words
    if form is Form.COUNT:
        return lambda text: read_count(text, decimal_comma=decimal_comma)
    if form is Form.AGE:
        if not unit:
            return read_age_without_unit
        return remembered(lambda text: read_age(text, factor, unit, decimal_comma=decimal_comma))
    if form is Form.MILLIMETRES:
        length = UNITS[Form.LENGTH][unit]
        return lambda text: round(read_measure(text, length, unit, decimal_comma=decimal_comma) / _MICROMETRES)
    if form is Form.DISTANCE:
        return lambda text: read_distance(text, unit, partial(read_written_number, decimal_comma=decimal_comma))
    if form is Form.CLOCK:
        return read_clock
    if form is Form.WEEKDAY:
        return read_weekday
    if form is Form.AMPERES:
        return lambda text: milliamperes(text, partial(read_written_number, decimal_comma=decimal_comma))
    if form is Form.INSTANT:
        return lambda text: clock.read(text, column.lone_day)
    if form is Form.DAY:
        return read_day
    if form is Form.FLAG:
        return read_flag
    if form is Form.POSITIONS:
        return read_positions
    if column.closed_list is not None:
        closed_list, read = column.closed_list, read_several if form is Form.SEVERAL else read_listed
        return remembered(lambda text: read(text, closed_list))
    measured = remembered(lambda text: read_measure(text, factor, unit, decimal_comma=decimal_comma))
    return measured if decimal_comma is True else _figures_first(measured, factor)


#: digits that mean the same in every way of writing numbers but that of the decimal comma
_FIGURE: Final = re.compile(r"([0-9]{1,9})(?:\.([0-9]{1,6}))?")


def _figures_first(read: Convert, factor: Decimal) -> Convert:
    """Return the same function for amounts, with plain figures that come to a whole number worked out in whole numbers."""
    # the figure and the factor together have fewer digits than a Decimal keeps
    if factor != int(factor) or not 0 < factor < 10**12:
        return read
    times, figure = int(factor), _FIGURE.fullmatch

    def answer(text: str) -> object:
        found = figure(text)
        if found is not None:
            whole, fraction = found.groups("")
            count, rest = divmod(int(whole + fraction) * times, 10 ** len(fraction))
            if not rest:
                return count
        return read(text)

    return answer


def remembered(read: Convert) -> Convert:
    """Return the same function with the answers kept for the first `MOST_REMEMBERED` different texts of a column."""
    answers: dict[str, object] = {}

    def answer(text: str) -> object:
        if text in answers:
            return answers[text]
        found = read(text)
        if len(answers) < MOST_REMEMBERED:
            answers[text] = found
        return found

    return answer
