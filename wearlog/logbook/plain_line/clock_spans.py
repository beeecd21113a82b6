"""From when until when, as a line says it: "10am to 9pm", "from 15:30 to 15:50", "from 2 to 4", "9-5"; and "ten past four".

These are found before the positions, which they would be taken for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time, timedelta
from typing import Final

from wearlog.logbook.plain_line.groups import Group
from wearlog.logbook.plain_line.line import Line
from wearlog.logbook.plain_line.spans import TimeSpans
from wearlog.logbook.plain_line.when import MORNING_FROM, When
from wearlog.logbook.quickline.days import ClockSaid, TimeSaid
from wearlog.logbook.quickline.tokens import Role

_UNTIL: Final = ("til", "till", "until", "to", "-")
_AREAS: Final = ("ac", "acre", "acres", "ha", "hectare", "hectares")
#: minutes before or behind an hour, as people say them in figures
_MINUTES: Final = (5, 10, 20, 25)
_HALF_DAY: Final = 12 * 60


@dataclass(frozen=True, slots=True)
class _Clock:
    """A time of day: minutes of the day, where it stops, and whether it says which half of the day."""

    minutes: int
    stop: int
    sure: bool
    coloned: bool = False


@dataclass(frozen=True, slots=True)
class ClockSpan:
    """From when until when, in minutes of the day on which it began; `likely` where nobody said which half of the day."""

    start: int
    began: int
    ended: int
    likely: bool
    #: "between 4 and 5" says when it was, and not how long
    between: bool = False

    @property
    def seconds(self) -> int:
        """Return how long it was."""
        return (self.ended - self.began) * 60


def find_clock_span(line: Line, groups: Sequence[Group]) -> ClockSpan | None:
    """Claim the first span of two times of day; None where the line has none."""
    for index in range(len(line.tokens)):
        first = _clock(line, index)
        between = line.text(index - 1) == "between"
        until = ("and",) if between else _UNTIL
        if first is None:
            continue
        # the stroke of "10am-9pm" is none of the tokens
        stroke = first.sure and line.scan.glued(first.stop) and line.scan.digits(first.stop) is not None
        if not stroke and (line.text(first.stop) not in until or line.scan.roles[first.stop] is not None):
            continue
        second = _clock(line, first.stop + (not stroke))
        before = between or line.text(index - 1) == "from"
        if second is None or not (first.sure or second.sure or _bare_span(line, groups, second.stop, from_said=before)):
            continue
        line.scan.claim(index - before, second.stop, Role.TIME)
        return replace(_span(index, first, second), between=between)
    for index in range(len(line.tokens)):
        after = _clock(line, index + 1)
        if line.text(index) in ("til", "till", "until") and after is not None and after.sure:
            line.scan.claim(index, index + 1, Role.TIME)
    return None


def _bare_span(line: Line, groups: Sequence[Group], stop: int, *, from_said: bool) -> bool:
    """Say whether two bare figures are times of day and no positions: "from 2 to 4" of a part that has its number, "60 ac 9-5"."""
    behind = stop < len(line.tokens) and line.tokens[stop].is_word
    if behind and line.text(stop) not in ("and", "on", "in", "with", "today"):
        return False
    if groups:
        return from_said and all(_placed(line, group) for group in groups)
    return any(line.text(at) in _AREAS for at in range(len(line.tokens)))


def _placed(line: Line, group: Group) -> bool:
    """Say whether a part has its positions already, or is the only one of its kind."""
    parts = [
        part
        for machine in line.farm.vocabulary.machines
        for part in machine.components
        if part.kind_id in group.mark.kinds
    ]
    return bool(group.spots) or group.every or all(part.positions == 1 for part in parts)


def _span(index: int, first: _Clock, second: _Clock) -> ClockSpan:
    """Settle which half of the day each end is in: the one that is said says it of both, and the end comes next."""
    began, ended = first.minutes, second.minutes
    if first.coloned or (second.coloned and ended >= _HALF_DAY and began < ended):
        # on the clock of 24 hours both are said
        pass
    elif not first.sure and second.sure and not second.coloned:
        began = began % _HALF_DAY
        began += _HALF_DAY if began + _HALF_DAY < ended else 0
    elif not first.sure and began < MORNING_FROM * 60:
        began += _HALF_DAY
    # "from 4 to 4:30" leaves open which half of the day as "from 4 to 5" does
    open_end = (not second.sure and not second.coloned) or (not first.sure and second.coloned and ended < _HALF_DAY)
    if open_end:
        ended = ended % _HALF_DAY
    while ended <= began:
        ended += _HALF_DAY if open_end else 2 * _HALF_DAY
    return ClockSpan(index, began, ended, likely=not first.sure and open_end)


def _clock(line: Line, index: int) -> _Clock | None:
    """Read a time of day at `index`: 10am, 930pm, 15:30, noon, or a bare hour."""
    if line.scan.word(index) in ("noon", "midday"):
        return _Clock(_HALF_DAY, index + 1, sure=True)
    digits = line.scan.digits(index, 4)
    if digits is None or (line.scan.sign(index - 1, ".:/#") and line.scan.glued(index)):
        return None
    hour, minute, at = (digits // 100, digits % 100, index + 1) if digits > 99 else (digits, 0, index + 1)
    coloned = line.scan.sign(at, ":") and line.scan.digits(at + 1, 2) is not None
    if coloned:
        minute, at = line.scan.digits(at + 1, 2) or 0, at + 2
    half = line.text(at)
    if half in ("am", "pm") and 1 <= hour <= 12 and minute < 60:
        return _Clock((hour % 12 + (12 if half == "pm" else 0)) * 60 + minute, at + 1, sure=True)
    if coloned and hour < 24 and minute < 60:
        return _Clock(hour * 60 + minute, at, sure=True, coloned=True)
    late = line.farm.day_first or line.farm.is_metric
    if (
        late
        and 12 < hour < 24
        and len(line.text(index)) == 2
        and not line.scan.sign(at, "./%")
        and not _measures(line, at)
    ):
        return _Clock(hour * 60, at, sure=False, coloned=True)
    if len(line.text(index)) <= 2 and 1 <= hour <= 12 and not line.scan.sign(at, "./%") and not _measures(line, at):
        return _Clock(hour * 60, at, sure=False)
    return None


def _measures(line: Line, at: int) -> bool:
    """Say whether something counts right behind a figure, so that it is no hour: "2 to 4 hours", "9 acres"."""
    return line.text(at) in (
        *_AREAS,
        "h",
        "hr",
        "hrs",
        "hour",
        "hours",
        "min",
        "mins",
        "minutes",
        "days",
        "men",
        "people",
    )


def find_past(line: Line, groups: Sequence[Group], said: TimeSaid) -> list[str]:
    """Claim "twenty past three", and "ten to five" where the part has its number; return what is taken for granted."""
    for index in range(len(line.tokens)):
        minutes, hour = line.scan.digits(index, 2), line.scan.digits(index + 2, 2)
        direction = line.scan.word(index + 1)
        if minutes not in _MINUTES or hour is None or not 1 <= hour <= 12 or _measures(line, index + 3):
            continue
        back = direction in ("to", "before") and bool(groups) and all(_placed(line, group) for group in groups)
        if direction not in ("past", "after") and not (back and not _goes_on(line, index)):
            continue
        whole = (hour + 12 if hour < MORNING_FROM else hour) * 60
        at = whole - minutes if back else whole + minutes
        said.clocks.append(ClockSaid(index, time(at // 60 % 24, at % 60)))
        line.scan.claim(index, index + 3, Role.TIME)
        return ["half of day"]
    return []


def _goes_on(line: Line, index: int) -> bool:
    """Say whether the figure goes on with a list or stands behind "from": it is a position then."""
    at = index - 1
    return line.scan.sign(at, ",&+/#") or line.text(at) in ("and", "from", "no", "number") or line.tokens[at].is_number


def when_of_span(line: Line, span: ClockSpan, when: When) -> tuple[When, tuple[datetime, datetime]]:
    """Put a span on the day that the line names, else on the latest day on which it is over; return when it was, and both ends."""
    zone = line.now.tzinfo
    day = when.at.astimezone(zone).date() if when.dated else line.now.date()
    midnight = datetime.combine(day, datetime.min.time(), zone)
    assumed = tuple(one for one in when.assumed if one not in ("at", "time"))
    if not when.dated and (midnight + timedelta(minutes=span.ended)) > line.now:
        midnight -= timedelta(days=1)
        assumed = (*assumed, "day")
    began, ended = (midnight + timedelta(minutes=one) for one in (span.began, span.ended))
    if span.likely:
        assumed = (*assumed, "half of day")
    if span.between:
        assumed = (*assumed, "time")
    both = (began.astimezone(UTC), ended.astimezone(UTC))
    if both[1] > line.now:
        line.ask("That time is still to come.", "Write it when it is over.")
        return when, both
    return replace(when, at=both[0], assumed=assumed, timed=True), both


def stood_in_span(line: Line, spans: TimeSpans, span: ClockSpan) -> None:
    """Take the time from one clock to the other for how long it stood; ask where the line says another figure of it."""
    if span.between:
        return
    told = spans.stood if spans.stood is not None else spans.lone
    if told not in (None, span.seconds):
        line.ask("The line says in two ways how long it stood.", "Keep the times of day, or how long it was.")
    spans.stood = span.seconds
