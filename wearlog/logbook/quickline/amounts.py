"""Numbers as a line says them: digits, words ("twenty five", "a couple of"), and amounts of time ("1 1/2", "half an")."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from wearlog.logbook.quickline.scan import Role, Scan
from wearlog.logbook.quickline.words import WORDS

#: nobody says 41 1/2 h: from here on the whole number is looked at twice
_LARGE = 24
_HALF = 0.5
_QUARTER = 0.25

#: said before a unit, without a number
_SPOKEN = (
    *((("a", "half"), _HALF), (("half", "an"), _HALF), (("half", "a"), _HALF), (("half",), _HALF)),
    *((("a", "quarter", "of", "an"), _QUARTER), (("quarter", "of", "an"), _QUARTER), (("a", "quarter"), _QUARTER)),
    *((("quarter",), _QUARTER), (("three", "quarters", "of", "an"), 0.75), (("an",), 1.0)),
    (("a",), 1.0),
)
#: said behind a number or behind hours
AND_PARTS = ((("and", "a", "half"), _HALF), (("and", "a", "quarter"), _QUARTER))


@dataclass(slots=True, eq=False, repr=False)
class Amount:
    """A number before a unit, up to the token `stop`.

    Attributes
    ----------
    unsure : bool
        The whole number may as well be a position ("tine 3 1/2 h").
    comma : bool
        It was written with a decimal comma.
    """

    value: float
    stop: int
    unsure: bool = False
    comma: bool = False


@cache
def number_words() -> dict[str, int]:
    """Return the value of each word for a number."""
    return dict(WORDS.numbers)


def past(scan: Scan, index: int, *words: str) -> int:
    """Return the index behind `words` when they stand free at `index`, else `index`."""
    there = all(scan.word(index + offset) == word for offset, word in enumerate(words))
    return index + len(words) if there else index


def number_at(scan: Scan, index: int) -> tuple[int, int] | None:
    """Read digits or a number in words at `index`: its value and where it stops."""
    digits = scan.digits(index)
    if digits is not None:
        return digits, index + 1
    word = scan.word(index)
    values = number_words()
    if word == "half":
        stop = max(past(scan, index, "half", "dozen"), past(scan, index, "half", "a", "dozen"))
        return (6, stop) if stop > index else None
    if word == "a":
        word, index = scan.word(index + 1), index + 1
        if word not in ("couple", "pair", "dozen"):
            return number_at(scan, index) if word == "half" else None
    value = values.get(word, 0)
    if not value:
        return None
    ones = values.get(scan.word(index + 1), 10)
    if 20 <= value <= 90 and ones < 10 and scan.word(index + 1) not in ("couple", "pair"):
        return value + ones, index + 2
    return value, past(scan, index + 1, "of") if word in ("couple", "pair") else index + 1


def amount_at(scan: Scan, index: int) -> Amount | None:
    """Read the amount at `index` that stands before a unit: "20", "1.5", "1,5", "1 1/2", "one and a half", "half an"."""
    for words, value in _SPOKEN:
        stop = past(scan, index, *words)
        if stop > index and _is_unit(scan.word(stop)):
            return Amount(value, stop)
    fraction = _fraction_at(scan, index)
    if fraction is not None:
        return Amount(*fraction)
    if scan.sign(index, ".") and _decimals_behind(scan, index) and not _ends_number(scan, index):
        return Amount(_decimals(scan, index), index + 2)
    whole = number_at(scan, index)
    if whole is None or (scan.sign(index - 1, "./:") and scan.glued(index)):
        return None
    return _amount_behind(scan, index, *whole)


def _amount_behind(scan: Scan, index: int, whole: int, stop: int) -> Amount:
    """Read what belongs to the whole number before `stop`: a fraction, "and a half", or decimals."""
    unsure = whole > _LARGE or _may_be_position(scan, index, whole)
    fraction = _fraction_at(scan, stop)
    if fraction is not None:
        return Amount(whole + fraction[0], fraction[1], unsure=unsure)
    for words, part in AND_PARTS:
        behind = past(scan, stop, *words)
        if behind > stop and _is_unit(scan.word(behind)):
            return Amount(whole + part, behind, unsure=unsure)
    if scan.sign(stop, ".,") and scan.glued(stop) and _decimals_behind(scan, stop):
        comma = scan.word(stop) == ","
        return Amount(whole + _decimals(scan, stop), stop + 2, unsure=comma and unsure, comma=comma)
    return Amount(whole, stop)


def _is_unit(word: str) -> bool:
    return any(word in listed for listed in (WORDS.hours, WORDS.minutes, WORDS.seconds, WORDS.days, WORDS.weeks))


def _fraction_at(scan: Scan, index: int) -> tuple[float, int] | None:
    """Read "1/2" at `index`."""
    above, below = scan.digits(index, 2), scan.digits(index + 2, 2)
    if not above or not below or above >= below or not scan.sign(index + 1, "/"):
        return None
    return above / below, index + 3


def _ends_number(scan: Scan, mark: int) -> bool:
    return scan.glued(mark) and scan.digits(mark - 1) is not None


def _decimals_behind(scan: Scan, mark: int) -> bool:
    return scan.glued(mark + 1) and scan.digits(mark + 1, 3) is not None


def _decimals(scan: Scan, mark: int) -> float:
    digits = scan.tokens[mark + 1].text
    return float(f"0.{digits}")


def _may_be_position(scan: Scan, index: int, whole: int) -> bool:
    """Say whether the digits at `index` stand where a position can: right behind a part or a marker, or going on with a list."""
    if not scan.tokens[index].is_number:
        return False
    before = index - 1
    if before >= 0 and scan.roles[before] is Role.KIND:
        return True
    if scan.sign(before, "#") or scan.word(before) in WORDS.position_markers:
        return True
    while scan.sign(before, ",&+") or scan.word(before) == "and":
        before -= 1
    # a list of positions ascends: in "41, 1 1/2 h" the 1 is none, in "41, 42 1/2 h" the 42 may be one
    last = scan.digits(before)
    return last is not None and before < index - 1 and whole > last
