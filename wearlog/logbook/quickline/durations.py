"""Numbers and amounts of time as a line says them ("twenty five", "1 1/2 h", "1h20"), and who stood or worked that long.

A comma is a decimal comma only before hours ("1,5 h"), and a number right behind a part may be its position ("tine 3 1/2 h"):
where two readings fit, that is a question and not a guess.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from wearlog.logbook.quickline.tokens import Role, Scan
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


_HOUR = 3_600
_DAY = 86_400
#: a longer standstill or job is a slip of the finger
MOST_SECONDS = 1_000 * _HOUR
#: small words between a duration and the word that says what it was
_BETWEEN = ("of", "for", "in", "the", "a", "about", "time", "was", "were", "took", "by", "ca")


@dataclass(slots=True, eq=False, repr=False)
class Duration:
    """A duration at the tokens from `start` up to `stop`.

    Attributes
    ----------
    in_days : bool
        It was said in days or weeks.
    doubt : tuple of (code, message, hint) or None
        Why it can be read in another way.
    """

    start: int
    stop: int
    seconds: int
    in_days: bool = False
    doubt: tuple[str, str, str] | None = None


@dataclass(slots=True, eq=False, repr=False)
class Durations:
    """What the durations of a line say; `ago` are the ones followed by "ago"."""

    downtime_seconds: int | None
    labour_seconds: int | None
    ago: tuple[Duration, ...]


@cache
def units() -> dict[str, int]:
    """Return the seconds in each word for a unit of time."""
    sizes = ((WORDS.hours, _HOUR), (WORDS.minutes, 60), (WORDS.seconds, 1), (WORDS.days, _DAY), (WORDS.weeks, 7 * _DAY))
    return {word: size for listed, size in sizes for word in listed}


def duration_at(scan: Scan, index: int) -> Duration | None:
    """Read the duration that begins at `index`; None when there is none. Claims nothing."""
    clock = _hours_and_minutes(scan, index)
    if clock is not None:
        return clock
    amount = amount_at(scan, index)
    if amount is None or scan.word(amount.stop) not in units():
        return None
    size = units()[scan.word(amount.stop)]
    ends_span = (scan.sign(index - 1, "-") or scan.word(index - 1) in WORDS.span) and scan.digits(index - 2) is not None
    if (amount.comma and size != _HOUR) or (ends_span and amount.stop > index + 1):
        return None
    stop = _past_dot(scan, amount.stop + 1)
    seconds = round(amount.value * size)
    if size == _HOUR:
        more, stop = _beyond_hours(scan, stop)
        seconds += more
    doubt = _doubt(scan, index, amount, ends_span=ends_span)
    return Duration(index, stop, seconds, in_days=size >= _DAY, doubt=doubt)


def _past_dot(scan: Scan, index: int) -> int:
    """Step over the dot of an abbreviation ("20 min.")."""
    return index + 1 if scan.sign(index, ".") and scan.glued(index) else index


def _doubt(scan: Scan, index: int, amount: Amount, *, ends_span: bool) -> tuple[str, str, str] | None:
    """Say what else the amount may be: the end of a span, or a position and a short time."""
    unit = scan.tokens[amount.stop].shown
    if ends_span:
        shown = f"{scan.shown(index - 2, amount.stop)} {unit}"
        return "range", f"'{shown}' is a span, not one duration.", f"Write one figure, like {amount.value:g} {unit}."
    if not amount.unsure:
        return None
    position, rest = scan.tokens[index].shown, f"{scan.shown(index, amount.stop)} {unit}"
    message = f"'{rest}' can be one duration, or the position {position} and a shorter duration."
    return "unsure_duration", message, "Write the duration in minutes, or put it before the part."


def _hours_and_minutes(scan: Scan, index: int) -> Duration | None:
    """Read "1:20 h" and "1h20"; from 13 hours on they look like a time of day, which is a doubt."""
    hours, minutes = scan.digits(index, 2), scan.digits(index + 2, 2)
    together = scan.glued(index + 1) and scan.glued(index + 2)
    if hours is None or minutes is None or not together or minutes > 59 or len(scan.tokens[index + 2].text) != 2:
        return None
    if scan.sign(index + 1, ":") and scan.word(index + 3) in WORDS.hours:
        stop = index + 4
    elif scan.word(index + 1) == "h":
        stop = index + 4 if scan.word(index + 3) in WORDS.minutes else index + 3
    else:
        return None
    doubt = None
    if hours > 12:
        message = f"'{scan.shown(index, stop)}' can be a time of day or a duration."
        hint = f"Write {hours}:{minutes:02} for the time, or {hours} h {minutes} min for the duration."
        doubt = ("unsure_duration", message, hint)
    return Duration(index, stop, hours * _HOUR + minutes * 60, doubt=doubt)


def _beyond_hours(scan: Scan, index: int) -> tuple[int, int]:
    """Read what may follow hours ("and a half", "20 min", "and twenty minutes"): the seconds and where it stops."""
    for words, part in AND_PARTS:
        stop = past(scan, index, *words)
        if stop > index and scan.word(stop) not in units():
            return round(part * _HOUR), stop
    minutes = number_at(scan, past(scan, index, "and"))
    if minutes is None or scan.word(minutes[1]) not in WORDS.minutes or minutes[0] > 59:
        return 0, index
    return minutes[0] * 60, _past_dot(scan, minutes[1] + 1)


def find_durations(scan: Scan) -> Durations:
    """Claim every duration of the line, with the words beside it that say what it was."""
    found: list[Duration] = []
    index = 0
    while index < len(scan.tokens):
        duration = duration_at(scan, index)
        if duration is not None:
            found.append(duration)
            start = (
                duration.start - 2 if duration.doubt is not None and duration.doubt[0] == "range" else duration.start
            )
            scan.claim(start, duration.stop, Role.DURATION)
        index = index + 1 if duration is None else duration.stop
    ago = tuple(duration for duration in found if scan.word(duration.stop) == "ago")
    for duration in found:
        _check(scan, duration, may_be_long=duration in ago)
    for duration in ago:
        scan.claim(duration.stop, duration.stop + 1, Role.TIME)
    stood, worked = _sort(scan, [duration for duration in found if duration not in ago])
    return Durations(_only(scan, stood, "stood"), _only(scan, worked, "worked"), ago)


def _check(scan: Scan, duration: Duration, *, may_be_long: bool) -> None:
    """Blame a duration that can be read in two ways or is too long."""
    if duration.doubt is not None:
        scan.blame(*duration.doubt, duration.start)
    elif duration.seconds > MOST_SECONDS and not may_be_long:
        shown = scan.shown(duration.start, duration.stop)
        message, hint = (
            f"'{shown}' is longer than a season lasts.",
            "Write a time of day like 16:20, a duration like 20 min.",
        )
        scan.blame("too_long_duration", message, hint, duration.start)


def _sort(scan: Scan, found: list[Duration]) -> tuple[list[Duration], list[Duration]]:
    """Part the durations into those the machine stood and those people worked, by the word before or behind each."""
    stood: list[Duration] = []
    worked: list[Duration] = []
    marked_by: dict[int, Duration] = {}
    for duration in found:
        is_work = False
        for mark in (_mark(scan, duration.start - 1, -1), _mark(scan, duration.stop, 1)):
            if mark is None:
                continue
            if marked_by.setdefault(mark, duration) is duration:
                is_work = is_work or scan.tokens[mark].text in WORDS.worked
            else:
                shown = scan.tokens[mark].shown
                scan.blame("unsure_mark", f"'{shown}' stands between two durations.", "Put a comma beside it.", mark)
        (worked if is_work else stood).append(duration)
    for mark in marked_by:
        scan.senses[:] = [one for one in scan.senses if not one.start <= mark < one.stop]
        scan.claim(mark, mark + 1, Role.DURATION)
    for duration in worked:
        if duration.in_days:
            message, hint = "How long a day of work is differs.", "Write the work in hours, like 10 h labour."
            scan.blame("days_of_work", message, hint, duration.start)
    return stood, worked


def _mark(scan: Scan, index: int, step: int) -> int | None:
    """Find the word beside a duration that says what it was ("labour", "down"), over small words but not over a comma."""
    while scan.word(index) in _BETWEEN:
        index += step
    inside = 0 <= index < len(scan.tokens)
    is_free_or_sense = inside and scan.roles[index] in (None, Role.SENSE)
    known = is_free_or_sense and scan.tokens[index].text in (*WORDS.stood, *WORDS.worked)
    # "lost 20 min" is time, "lost, 20 min" is a part that is missing
    return index if known else None


def _only(scan: Scan, durations: list[Duration], what: str) -> int | None:
    """Return the seconds of the one duration; blame a second one."""
    if len(durations) > 1:
        shown = [f"'{scan.shown(one.start, one.stop)}'" for one in durations]
        message = (
            f"There are {len(durations)} durations, {', '.join(shown[:-1])} and {shown[-1]}, for the time it {what}."
        )
        if what == "worked":
            message = message.replace("it worked", "people worked")
        hint = "Write 'labour' beside the working time." if what == "stood" else "Write their sum."
        scan.blame("two_durations", message, hint, durations[1].start)
    return durations[0].seconds if durations else None
