"""A component of a machine in words: how long such parts last and on what that rests, what broke, what was measured."""

from __future__ import annotations

from math import sqrt
from typing import Final

from wearlog.facts.closed_lists import Dimension, Evidence
from wearlog.facts.positions import format_positions
from wearlog.present.digits import Measures, number
from wearlog.present.drawing.life_strip import Life
from wearlog.present.words import counted, word
from wearlog.reckoning.yard.machine_view import ComponentNow

#: what the interval of a life rests on where nothing failed yet; else it is the number of failures, in brackets
_RESTS_ON: Final = {Evidence.MACHINE_BOOK: "book", Evidence.PUBLISHED: "published"}

_TOLD_BY: Final = {
    Evidence.MACHINE_BOOK: "by the machine's book: none has failed yet",
    Evidence.PUBLISHED: "as published: none has failed yet",
}

#: an interval so many times as wide as its low end says no more than that the life is long
_NO_HIGH_END: Final = 100


def life_of_component(row: ComponentNow) -> Life:
    """Return the age of the oldest part of a component and the life of its like, both on the kind's meter."""
    life = row.life
    middle = life.median or (sqrt(life.low * life.high) if life.low and life.high else None)
    return Life(row.oldest, life.low, middle, life.high, guessed=not life.failures)


def life_words(row: ComponentNow, measures: Measures) -> str:
    """Return the interval, and in a word or a number of failures what it rests on."""
    life, meter = row.life, row.kind.meter_kind
    if life.low is None or life.high is None:
        return "no guess"
    low = _rounded(measures.usage_number(meter, life.low))
    rests_on = f"({life.failures})" if life.failures else _RESTS_ON.get(life.evidence, "guess")
    if life.high > _NO_HIGH_END * life.low:
        return f"over {low} {measures.usage_unit(meter)} {rests_on}"
    high = _rounded(measures.usage_number(meter, life.high))
    return f"{low}-{high} {measures.usage_unit(meter)} {rests_on}"


def about_component(row: ComponentNow, measures: Measures) -> str:
    """Return how long such parts last, and on what that rests, in words; then what broke, and what was measured."""
    said = [_life_told(row, measures)]
    if row.breakages:
        last = "" if row.last_broke is None else f", last on {measures.date_said(row.last_broke)}"
        said.append(f"broke {counted(row.breakages, 'time')}{last}")
    said += [one for one in (alarm_words(row), measured_words(row, measures)) if one]
    return f"{'; '.join(said)}."


def _life_told(row: ComponentNow, measures: Measures) -> str:
    life, meter = row.life, row.kind.meter_kind
    if life.low is None or life.high is None:
        return "nobody knows how long it lasts"
    low, high = (_rounded(measures.usage_number(meter, end)) for end in (life.low, life.high))
    lasts = f"over {low}" if life.high > _NO_HIGH_END * life.low else f"{low} to {high}"
    if life.failures:
        rests_on = f"90 % sure, from {counted(life.failures, 'failure')}"
    else:
        rests_on = _TOLD_BY.get(life.evidence, "a guess: none has failed yet")
    return f"half of such parts last {lasts} {measures.usage_unit(meter)} ({rests_on})"


def _rounded(usage: float) -> str:
    """Three digits that mean something: an interval that is thousands wide is not told to the unit."""
    digits = max(0, len(str(int(usage))) - 3)
    return number(round(usage, -digits))


def left_of(row: ComponentNow) -> list[int]:
    return [position.position for position in row.positions if position.left]


def alarm_words(row: ComponentNow) -> str:
    left = left_of(row)
    if not left:
        return ""
    # how many first: a narrow screen cuts the end
    return f"{len(left)} BROKEN: {format_positions(left)}" if row.component.positions > 1 else "BROKEN"


def left_briefly(row: ComponentNow) -> str:
    return f"{len(left_of(row))} BROKEN" if left_of(row) else ""


def measured_alone(row: ComponentNow, measures: Measures) -> str:
    if row.measured is None or row.kind.dimension is Dimension.NONE:
        return ""
    return measures.small_length(row.measured.measured_micrometres)


def measured_words(row: ComponentNow, measures: Measures) -> str:
    if row.measured is None or row.kind.dimension is Dimension.NONE:
        return ""
    limit = f", limit {measures.small_length(row.kind.limit_micrometres)}" if row.kind.limit_micrometres else ""
    return (
        f"{word(row.kind.dimension)} {measures.small_length(row.measured.measured_micrometres)}{limit}"
        f" ({measures.date_said(row.measured.at)})"
    )
