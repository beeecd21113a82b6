"""Numbers of a line that are positions: spans, lists, ordinals, so many from an end, every other one, all but one.

A number with a unit behind it, a time of day, or so many of something else is no position.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from wearlog.facts.positions import SPAN_WORDS
from wearlog.logbook.plain_line.line import Line
from wearlog.logbook.plain_line.spoken import ordinal_said
from wearlog.logbook.quickline.durations import duration_at
from wearlog.logbook.quickline.tokens import Role
from wearlog.logbook.quickline.words import WORDS

_MARKERS: Final = frozenset({"no", "nos", "nr", "number", "numbers", "position", "positions", "pos", "num"})
_EXCEPT: Final = frozenset({"except", "without", "minus", "less", "but", "not", "excluding", "bar"})
_SIDES: Final = ("left", "right")
_LETTERS: Final = ("l", "r", "lh", "rh")
#: what stands behind a figure that counts or measures something else
UNITS: Final = frozenset(
    {
        *(
            *WORDS.hours,
            *WORDS.minutes,
            *WORDS.days,
            *WORDS.weeks,
            "seconds",
            "mm",
            "cm",
            "km",
            "kmh",
            "mph",
            "nm",
            "amp",
            "amps",
        ),
        *(
            "ac",
            "acre",
            "acres",
            "ha",
            "hectare",
            "hectares",
            "volt",
            "volts",
            "v",
            "psi",
            "bar",
            "%",
            "percent",
            "lb",
            "lbs",
            "kg",
        ),
        *(
            "ft",
            "feet",
            "foot",
            "inch",
            "inches",
            "in",
            "bucks",
            "dollars",
            "each",
            "ea",
            "am",
            "pm",
            "men",
            "man",
            "guys",
            "people",
        ),
        *(
            "bu",
            "bushels",
            "gal",
            "gallons",
            "l",
            "litres",
            "liters",
            "rpm",
            "deg",
            "degrees",
            "x",
            "mh",
            "manhours",
            "oclock",
            "o'clock",
        ),
        *(
            "box",
            "boxes",
            "pack",
            "packs",
            "bag",
            "bags",
            "a",
            "ohm",
            "ohms",
            "mins",
            "years",
            "months",
            "times",
            "rows",
            "miles",
        ),
    }
)
#: homophones that dictation writes where a figure was said
_HEARD: Final = {"for": 4, "to": 2, "too": 2, "ate": 8, "won": 1, "tree": 3, "one": 1}
_JOINERS: Final = ",&+/;"


@dataclass(slots=True, eq=False)
class Number:
    """One figure or span at the tokens from `start` up to `stop`.

    `from_right` counts from the other end; `sure` where it can only be positions; `heard` where a homophone was written.
    """

    start: int
    stop: int
    first: int
    last: int
    from_right: bool = False
    last_from_right: bool = False
    sure: bool = False
    heard: bool = False
    either: bool = False
    side: str = ""


@dataclass(slots=True, eq=False)
class PositionList:
    """A list of numbers that stand together, and what is left out of it."""

    start: int
    stop: int
    numbers: list[Number]
    without: list[Number] = field(default_factory=list)
    step: int = 1
    #: so many from the left (1) or the right (-1) end
    from_end: int = 0


def spot_at(line: Line, index: int, *, homophones: bool = False) -> PositionList | None:
    """Read the list of positions that begins at `index`; None when none does. Claims nothing."""
    numbers: list[Number] = []
    at = index
    while (number := _number_at(line, at, homophones=homophones)) is not None:
        numbers.append(number)
        at = number.stop
        ahead = _past_joiners(line, at)
        homophones = False
        following = _number_at(line, ahead, homophones=False) if ahead < len(line.tokens) else None
        if following is None or (ahead == at and _slashed(line, ahead)):
            break
        if line.text(ahead - 1) == "or" and ahead > at:
            number.either = following.either = True
        at = ahead
    if not numbers:
        return None
    spot = PositionList(index, numbers[-1].stop, numbers)
    _read_exceptions(line, spot)
    return spot


def _slashed(line: Line, index: int) -> bool:
    """Say whether 7/28 stands at `index`: behind a list and without a sign before it, it is a day."""
    together = line.scan.sign(index + 1, "/") and line.scan.glued(index + 1) and line.scan.glued(index + 2)
    return together and line.scan.digits(index + 2) is not None


def except_at(line: Line, index: int) -> PositionList | None:
    """Read "except 5" at `index`, said of all positions; None when it does not stand there."""
    spot = PositionList(index, index, [])
    _read_exceptions(line, spot)
    return spot if spot.without else None


def _past_joiners(line: Line, index: int) -> int:
    at = index
    while line.scan.sign(at, _JOINERS) or line.scan.word(at) in ("and", "or", "plus", "also"):
        at += 1
    return at


def _number_at(line: Line, index: int, *, homophones: bool) -> Number | None:
    scan, start, sure = line.scan, index, False
    while scan.sign(index, "#") or scan.word(index) in _MARKERS or (index > start and scan.sign(index, ".:")):
        sure, index = True, index + 1
    first = _figure(line, index, homophones=homophones or sure)
    if first is None:
        return None
    value, stop, ordinal, heard = first
    sure = sure or ordinal
    number = Number(start, stop, value, value, sure=sure, heard=heard)
    if scan.word(stop) in _LETTERS and scan.glued(stop):
        number.side, stop = line.tokens[stop].shown, stop + 1
    number.stop, number.from_right, told = side_behind(line, stop)
    number.sure = number.sure or told
    number.last_from_right = number.from_right
    _read_span(line, number)
    return None if _measures(line, number) else number


def _figure(line: Line, index: int, *, homophones: bool) -> tuple[int, int, bool, bool] | None:
    """Return value, where it stops, whether it is an ordinal and whether a homophone was written."""
    scan = line.scan
    digits = scan.digits(index)
    if digits is not None:
        if scan.word(index + 1) in ("st", "nd", "rd", "th") and scan.glued(index + 1):
            return digits, index + 2, True, False
        return digits, index + 1, False, False
    ordinal = ordinal_said(scan.word(index))
    if ordinal is not None and scan.word(index + 1) == "from":
        return ordinal, index + 1, True, False
    word = scan.word(index)
    if homophones and word in _HEARD and _may_be_figure(line, index):
        return _HEARD[word], index + 1, False, word != "one"
    return None


def _may_be_figure(line: Line, index: int) -> bool:
    """Say whether what stands behind a homophone goes on as behind a figure: the end, a sign, "and", or what happened."""
    if line.text(index) == "one":
        return True
    after = index + 1
    while line.scan.word(after) in ("is", "are", "was", "were", "has", "have"):
        after += 1
    if after >= len(line.tokens) or line.scan.sign(after, ",.;"):
        return True
    if line.scan.word(after) == "and":
        return _figure(line, after + 1, homophones=True) is not None
    if line.text(index) in ("to", "too") and line.text(after) in ("loose", "long", "slack", "tight"):
        return False
    return line.scan.roles[after] is Role.SENSE


def side_behind(line: Line, index: int) -> tuple[int, bool, bool]:
    """Read "from the right (end)" at `index`: where it stops, whether it counts from the right, whether a side was said."""
    at = index
    if line.scan.word(at) == "in":
        at += 1
    if line.scan.word(at) in ("counted", "counting"):
        at += 1
    if line.scan.word(at) != "from":
        return index, False, False
    at += 1
    while line.scan.word(at) in ("the", "its"):
        at += 1
    side = line.scan.word(at)
    if side not in _SIDES:
        return index, False, False
    at += 1
    while line.scan.word(at) in ("end", "side", "hand"):
        at += 1
    return at, side == "right", True


def _read_span(line: Line, number: Number) -> None:
    """Read the end of a span behind `number`, if there is one: 41-43, 41..43, 41 to 43, 10 from the right thru 7 from right."""
    scan, at = line.scan, number.stop
    if scan.sign(at, "-"):
        at += 1
    elif scan.sign(at, ".") and scan.sign(at + 1, "."):
        at += 2 + scan.sign(at + 2, ".")
    elif scan.word(at) in SPAN_WORDS or (scan.word(at) == "up" and scan.word(at + 1) in SPAN_WORDS):
        at += 1 + (scan.word(at) == "up")
    else:
        return
    at += scan.sign(at, "#")
    end = _figure(line, at, homophones=False)
    if end is None:
        return
    number.last, stop, _, _ = end
    stop, from_right, told = side_behind(line, stop)
    number.stop, number.sure = stop, True
    number.last_from_right = from_right if told else number.from_right
    if told and not number.from_right and from_right and number.first >= number.last:
        number.from_right = True


def _measures(line: Line, number: Number) -> bool:
    """Say whether the figure measures or counts something else: a unit, a time of day, a decimal or a price stands at it."""
    scan, stop = line.scan, number.stop
    if scan.glued(stop) and line.tokens[stop].is_word:
        return True
    if duration_at(scan, number.start) is not None or _is_day(line, stop):
        return True
    if scan.word(stop) in UNITS and line.text(stop) != "in" and not (line.text(stop) == "a" and not scan.glued(stop)):
        return True
    if scan.sign(stop, ":") and scan.glued(stop) and scan.digits(stop + 1) is not None:
        return True
    if scan.sign(stop, ".,") and scan.glued(stop) and scan.glued(stop + 1) and scan.digits(stop + 1) is not None:
        return scan.sign(stop, ".")
    if scan.sign(stop, "%$/") and scan.glued(stop) and scan.digits(stop + 1) is None:
        return True
    if scan.sign(number.start - 1, "$") or (
        scan.sign(number.start - 1, ".:")
        and scan.glued(number.start)
        and not (number.start > 1 and line.tokens[number.start - 2].is_word)
    ):
        return True
    return scan.sign(stop, "/") and scan.digits(stop + 1) is not None and line.text(stop + 2) in UNITS


def _is_day(line: Line, stop: int) -> bool:
    """Say whether a month stands behind the figure: 28 july, 28th of july."""
    at = stop + (line.scan.word(stop) == "of")
    if not any(line.scan.word(at) in names for names in WORDS.months):
        return False
    behind = at + 1 + line.scan.sign(at + 1, ".")
    has_own = line.scan.digits(behind, 2) is not None and duration_at(line.scan, behind) is None
    return not has_own or line.text(behind + 1) == ":"


def _read_exceptions(line: Line, spot: PositionList) -> None:
    """Read "except 23", "but not 23 and 24" behind a list."""
    at = spot.stop
    at += line.scan.sign(at, ",")
    if line.scan.word(at) not in _EXCEPT:
        return
    at += 1
    while line.scan.word(at) in ("not", "for", "number", "no"):
        at += 1
    while (number := _number_at(line, at, homophones=False)) is not None:
        spot.without.append(number)
        spot.stop = number.stop
        at = _past_joiners(line, number.stop)


#: so many from the last one: "second to last"
_TO_LAST: Final = {"second": 2, "2nd": 2, "next": 2, "third": 3, "3rd": 3}


def to_last(line: Line, at: int) -> PositionList | None:
    """Read "second to last", whose "last" stands at `at`; None where only "last" stands there."""
    back = _TO_LAST.get(line.scan.word(at - 2), 0) if line.scan.word(at - 1) == "to" else 0
    if not back:
        return None
    number = Number(at - 2, at + 1, back, back, from_right=True, last_from_right=True, sure=True)
    return PositionList(at - 2, at + 1, [number])


#: words that say how many
COUNTS: Final = {"couple": 2, "pair": 2, "dozen": 12}


def counted(line: Line, at: int) -> tuple[int, int]:
    """Return how many "a couple", "half a dozen" or "2 dozen" at `at` are, and where that begins."""
    if line.text(at) == "dozen":
        half = next((at - back for back in (1, 2) if line.text(at - back) == "half"), None)
        if half is not None:
            return 6, half
        dozens = line.scan.digits(at - 1, 2)
        if dozens:
            return 12 * dozens, at - 1
    return COUNTS[line.text(at)], at


def asks_day(line: Line, spot: PositionList, *, told: bool) -> bool:
    """Ask about 11-3 behind what happened to a part that has its number already: it can be a day; say whether it was asked."""
    number = spot.numbers[0]
    lone = told and len(spot.numbers) == 1 and spot.stop == spot.start + 3 and line.text(spot.start + 1) == "-"
    small, large = sorted((number.first, number.last))
    behind = spot.start > 0 and line.scan.roles[spot.start - 1] is Role.SENSE
    if not (lone and behind and 1 <= small <= 12 and large <= 31):
        return False
    shown = line.scan.shown(spot.start, spot.stop)
    line.ask(f"Is '{shown}' positions or a day?", f"Write #{number.first}-{number.last}, or a day like july 28.")
    line.scan.claim(spot.start, spot.stop, Role.TIME)
    return True
