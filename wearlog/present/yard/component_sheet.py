"""What sits on a machine as an answer: every component with its age, how long its kind lasts, how often it broke, what it needs."""

from __future__ import annotations

from math import sqrt
from typing import Final

from wearlog.facts.closed_lists import Dimension, Evidence, MachineKind
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import component_name, format_positions
from wearlog.present.answer_sheet import ONLY_WITH_ROOM, AnswerColumn, AnswerSheet, data
from wearlog.present.digits import NOTHING, Measures, number
from wearlog.present.json_form import millimetres, rounded
from wearlog.present.wear.wear_json import JSON_UNIT
from wearlog.present.words import capital, listed, word
from wearlog.reckoning.yard.machine_view import ComponentNow, MachineView

#: what the interval of a life rests on where nothing failed yet; else it is the number of failures, in brackets
_RESTS_ON: Final = {Evidence.MACHINE_BOOK: "book", Evidence.PUBLISHED: "published"}
#: an interval so many times as wide as its low end says no more than that the life is long
_NO_HIGH_END: Final = 100


def component_sheet(view: MachineView, measures: Measures) -> AnswerSheet[ComponentNow]:
    """Return the answer; components stand by subsystem."""
    answer = _answer(view, measures)
    return AnswerSheet(
        name="components",
        columns=COLUMNS,
        rows=view.components,
        measures=measures,
        headline=f"{answer} {one_line(view.machine.name)}: {_about(view, measures)}".strip(),
        answer=answer,
        empty="Nothing is fitted to this machine in the log yet.",
        beside={"machine": view.machine.name},
        key_of=lambda row: row.component.id,
        shouts=lambda row: bool(_left(row)),
    )


def _end(row: ComponentNow, end: float | None, measures: Measures) -> float | None:
    return None if end is None else rounded(measures.usage_number(row.kind.meter_kind, end), 1)


COLUMNS: Final[tuple[AnswerColumn[ComponentNow], ...]] = (
    AnswerColumn(
        "",
        lambda row, _: capital(word(row.kind.subsystem)),
        "subsystem",
        lambda row, _: row.kind.subsystem,
        least=8,
        most=24,
        gives=ONLY_WITH_ROOM,
    ),
    AnswerColumn(
        "component",
        lambda row, _: component_name(row.component.place, row.kind.name),
        "component",
        lambda row, _: row.component.place,
        least=14,
        most=34,
    ),
    data("kind", lambda row, _: row.kind.name),
    data("positions", lambda row, _: row.component.positions),
    AnswerColumn(
        "age",
        lambda row, measures: "unknown" if row.oldest is None else measures.usage(row.kind.meter_kind, row.oldest),
        "age",
        lambda row, measures: _end(row, row.oldest, measures),
        least=9,
        most=9,
        figures=True,
        legend="age: of the oldest position whose age is known.",
    ),
    data("unit", lambda row, measures: JSON_UNIT[measures.usage_unit(row.kind.meter_kind)]),
    data("unknown_age", lambda row, _: row.unknown),
    AnswerColumn(
        "life (failures)",
        lambda row, measures: _life(row, measures),
        "life_low",
        lambda row, measures: _end(row, row.life.low, measures),
        least=21,
        most=28,
        gives=4,
        legend="life: half of them last so long, 90 % interval; in brackets the failures it rests on, guess: none yet.",
        tells_more=True,
    ),
    data("life_high", lambda row, measures: _end(row, row.life.high, measures)),
    data("failures", lambda row, _: row.life.failures),
    data("evidence", lambda row, _: row.life.evidence),
    AnswerColumn(
        "broke",
        lambda row, _: number(row.breakages) if row.breakages else NOTHING,
        "breakages",
        lambda row, _: row.breakages,
        least=5,
        most=7,
        figures=True,
        gives=1,
    ),
    AnswerColumn(
        "last broke",
        lambda row, measures: measures.day(row.last_broke),
        "last_broke",
        lambda row, measures: None if row.last_broke is None else measures.local(row.last_broke),
        least=10,
        gives=5,
    ),
    AnswerColumn("now", lambda row, measures: _alarm(row) or _measured(row, measures), least=7, most=44, gives=1),
    data("left_in_service", lambda row, _: _left(row)),
    data(
        "measured_mm", lambda row, _: None if row.measured is None else millimetres(row.measured.measured_micrometres)
    ),
)


def _answer(view: MachineView, measures: Measures) -> str:
    """What on it runs broken; else what is furthest into its life."""
    broken = [(_called(row), left) for row in view.components if (left := _left(row))]
    if broken:
        said = listed([name for name, _ in broken])
        return f"Broken and still on: {said}."
    # a wide interval must not make its part the first by its low end alone
    lived = [
        (row.oldest / sqrt(row.life.low * row.life.high), row)
        for row in view.components
        if row.oldest and row.life.low and row.life.high
    ]
    if not lived:
        return ""
    _, row = max(lived, key=lambda one: one[0])
    name = component_name(row.component.place, row.kind.name)
    age = measures.usage(row.kind.meter_kind, row.oldest)
    return f"Nothing runs broken. Furthest into its life: {name}, {age} old; half last {_life(row, measures).rpartition(' ')[0]}."


def _called(row: ComponentNow) -> str:
    name, left = component_name(row.component.place, row.kind.name), _left(row)
    return f"{name} {format_positions(left)}" if row.component.positions > 1 else name


def _about(view: MachineView, measures: Measures) -> str:
    shown = view.shown
    pieces = [word(view.machine.kind)]
    if view.machine.cut_width_micrometres:
        pieces.append(measures.width(view.machine.cut_width_micrometres))
    if shown.engine_seconds is not None:
        pieces.append(f"engine {number(shown.engine_seconds / 3600, 1)} h")
    if shown.separator_seconds is not None:
        pieces.append(f"separator {number(shown.separator_seconds / 3600, 1)} h")
    if view.machine.kind in (MachineKind.COMBINE, MachineKind.HEADER):
        pieces.append(f"{measures.area(shown.area)} cut in all, {measures.area(shown.season_area)} this season")
    if view.hitched_to is not None:
        verb = "on" if view.machine.kind is MachineKind.HEADER else "with"
        pieces.append(f"{verb} {one_line(view.hitched_to.name)}")
    return ", ".join(pieces)


def _life(row: ComponentNow, measures: Measures) -> str:
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


def _rounded(usage: float) -> str:
    """Three digits that mean something: an interval that is thousands wide is not told to the unit."""
    digits = max(0, len(str(int(usage))) - 3)
    return number(round(usage, -digits))


def _left(row: ComponentNow) -> list[int]:
    return [position.position for position in row.positions if position.left]


def _alarm(row: ComponentNow) -> str:
    left = _left(row)
    if not left:
        return ""
    # how many first: a narrow screen cuts the end
    return f"{len(left)} LEFT: {format_positions(left)}" if row.component.positions > 1 else "LEFT"


def _measured(row: ComponentNow, measures: Measures) -> str:
    if row.measured is None or row.kind.dimension is Dimension.NONE:
        return ""
    limit = f", limit {measures.small_length(row.kind.limit_micrometres)}" if row.kind.limit_micrometres else ""
    return (
        f"{word(row.kind.dimension)} {measures.small_length(row.measured.measured_micrometres)}{limit}"
        f" ({measures.day(row.measured.at)})"
    )
