"""Measured wear in words: the last reading, the limit, how wear runs, when the limit will be met, what stands apart."""

from __future__ import annotations

import math
from collections.abc import Sequence

from wearlog.facts.closed_lists import MeterKind
from wearlog.present.digits import NOTHING, Measures, percent
from wearlog.present.tables import WIDEST, Column, folded, text_table, width
from wearlog.present.wear.wear_tables import trimmed_table
from wearlog.present.wear.wear_words import courses_said, rough
from wearlog.present.words import counted
from wearlog.reckoning.wear.measured_wear import MeasuredPart
from wearlog.wear.measured import WearForm

#: parts that stand on the page; the others are counted
_SHOWN = 10
#: columns that are cut for want of room where the limit has gone already: the age at which it is met, the machine
_GIVES = ((3, 23), (0, 8), (3, 12))

_LIMIT = Column("limit", figures=True)

#: why a part may last the season by its age and yet be worn out by its line, or the other way round
SMALLER_COUNTS = (
    "Where a part was measured, the smaller of two chances to last counts: that of its age, and that of the measured "
    "line."
)


def measured_lines(
    parts: Sequence[MeasuredPart], machine_names: Sequence[str], measures: Measures, wide: int = WIDEST
) -> list[str]:
    """Return the table of measured parts of one kind in their order, in at most `wide` columns.

    `machine_names` stand in the order of the histories. Where there is no room, the limit of all of them is told below.
    """
    columns = (
        Column("measured", widest=24),
        Column("position", figures=True),
        Column("last reading", figures=True),
        _LIMIT,
        Column("meets it at"),
        Column("this season", figures=True),
    )
    cells = [_cells(part, machine_names[part.machine], measures) for part in parts[:_SHOWN]]
    lines, notes = text_table(columns, cells), measured_notes(parts, measures)
    if max(width(line) for line in lines) > wide and parts:
        limit = columns.index(_LIMIT)
        without = [(*row[:limit], *row[limit + 1 :]) for row in cells]
        lines = trimmed_table([one for one in columns if one is not _LIMIT], without, wide, _GIVES)
        notes.insert(0, f"The limit is {cells[0][limit]}.")
    if len(parts) > _SHOWN:
        lines.append(f"and {len(parts) - _SHOWN} more")
    return [*lines, *folded(notes, width=wide)]


def measured_notes(parts: Sequence[MeasuredPart], measures: Measures) -> list[str]:
    """Say how wear runs by the readings, which of them stand apart, and which parts must be past their limit by now."""
    if not parts:
        return []
    forms = ", ".join(sorted({_form(part) for part in parts}))
    notes = [
        f"Wear is reckoned {forms}, averaged over straight, ever slower and ever faster by how well each holds the "
        "readings of the part; in brackets when the limit is met, 90 % ('from': not known to end).",
        *courses_said(parts),
        f"This season: the chance to meet the limit by its end. {SMALLER_COUNTS}",
    ]
    apart = [(part, reading) for part in parts for reading in part.outliers]
    if apart:
        said = ", ".join(_outlier(part, reading, measures) for part, reading in apart[:6])
        stand = "stands" if len(apart) == 1 else "stand"
        notes.append(
            f"{counted(len(apart), 'reading')} {stand} apart from the rest and {'is' if len(apart) == 1 else 'are'} "
            f"in the line all the same: {said}."
        )
    past = sum(part.past_by_line for part in parts)
    if past:
        notes.append(
            f"{counted(past, 'part')} must be past {'its' if past == 1 else 'their'} limit by now, by the line: measure again."
        )
    return notes


def season_text(part: MeasuredPart) -> str:
    """Return the chance of meeting the limit by the end of the season ahead; PAST where it lies behind."""
    if part.past_limit:
        return "PAST"
    if part.past_by_line:
        return "PAST?"
    return NOTHING if part.chance is None else percent(part.chance)


def _cells(part: MeasuredPart, machine: str, measures: Measures) -> tuple[str, ...]:
    season = {"PAST": "past its limit", "PAST?": "past it by its line"}.get(season_text(part), season_text(part))
    return (
        machine,
        str(part.position),
        _reading(part, float(part.micrometres[-1]), part.elongation, measures),
        _reading(part, part.limit, part.elongation_limit, measures),
        crossing_text(part, measures),
        season,
    )


def _reading(part: MeasuredPart, micrometres: float, elongation: float | None, measures: Measures) -> str:
    length = measures.small_length(micrometres)
    return length if elongation is None else f"{length} ({elongation:.1f} %)"


def crossing_text(part: MeasuredPart, measures: Measures) -> str:
    """Return "1,210 h (1,150-1,290)", said of the part's age, or what is missing."""
    crossing = part.crossing()
    if crossing is None:
        return "one more reading needed"
    meter = part.kind.meter_kind
    unit = f"{measures.usage_unit(meter)}{'' if part.age_known else ' since fitted'}"
    middle, low, high = (_usage(meter, end, measures) for end in (crossing.usage, crossing.low, crossing.high))
    if part.past_limit:
        return f"met by {high} {unit}" if crossing.low in (0, crossing.high) else f"met at {low}-{high} {unit}"
    if not low:
        return f"{middle} {unit}, no interval yet" if middle else "no wear seen yet"
    return f"{middle or 'not known'} ({f'{low}-{high}' if high else f'from {low}'}) {unit}"


def _usage(meter: MeterKind, usage: float | None, measures: Measures) -> str:
    return "" if usage is None or math.isinf(usage) else rough(measures.usage_number(meter, usage))


def _form(part: MeasuredPart) -> str:
    if part.line is None:
        return "from the next reading on"
    return "from the new value" if part.line.form is WearForm.LINE_THROUGH_NEW else "from the readings alone"


def _outlier(part: MeasuredPart, reading: int, measures: Measures) -> str:
    at = measures.usage(part.kind.meter_kind, float(part.usage[reading]))
    return f"{measures.small_length(float(part.micrometres[reading]))} at {at} (position {part.position})"
