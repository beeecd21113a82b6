"""Measured wear of one kind, and where along its components it is hit, as answers."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Final
from uuid import UUID

from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.positions import at_positions, component_name, one_of, place_said, span_words
from wearlog.present.answer_sheet import ONLY_WITH_ROOM, AnswerColumn, AnswerSheet, RowRule, data
from wearlog.present.digits import NOTHING, Measures, number, percent
from wearlog.present.json_form import millimetres, rounded
from wearlog.present.wear.wear_json import JSON_UNIT
from wearlog.present.wear.wear_words import courses_said, rough
from wearlog.present.words import counted
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.wear.kind_view import HotPlace
from wearlog.reckoning.wear.measured_wear import MeasuredPart
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook
from wearlog.wear.measured import WearForm

#: parts that a page shows; the others are counted
_SHOWN: Final = 10

#: readings that a sentence names
_NAMED: Final = 6

#: why a part may last the season by its age and yet be worn out by its line, or the other way round
SMALLER_COUNTS: Final = (
    "Where a part was measured, the smaller of two chances to last counts: that of its age, and that of the measured "
    "line."
)


def measured_sheet(parts: Sequence[MeasuredPart], farm: Farm, measures: Measures) -> AnswerSheet[MeasuredPart]:
    """Return the answer of parts of one kind that stand in the order of urgency."""
    first = {id(part) for part in parts[:_SHOWN]}
    places = {id(part): place for place, part in enumerate(parts)}
    return AnswerSheet(
        name="measured",
        columns=_columns(parts, farm),
        rows=parts,
        measures=measures,
        sentences=measured_notes(parts, measures),
        empty="None of them was measured yet: 'wearlog measure' enters a reading.",
        rule=RowRule(
            lambda part: id(part) in first,
            lambda left: f"{counted(left, 'more part')} {'is' if left == 1 else 'are'} less likely to meet it: --all.",
        ),
        key_of=lambda part: (farm.components[part.component].id, places[id(part)]),
        shouts=lambda part: part.past_limit or part.past_by_line,
    )


def _columns(parts: Sequence[MeasuredPart], farm: Farm) -> tuple[AnswerColumn[MeasuredPart], ...]:
    def place(part: MeasuredPart, measures: Measures) -> str:
        component = farm.components[part.component]
        return component.place if component.positions == 1 else at_positions(component.place, [part.position])

    alone = len({part.machine for part in parts}) == len(parts)
    return (
        AnswerColumn(
            "machine",
            lambda part, _: farm.machines[part.machine].name,
            "machine",
            lambda part, _: farm.machines[part.machine].name,
            least=8,
            most=18,
        ),
        AnswerColumn(
            "place",
            place,
            "component",
            lambda part, _: farm.components[part.component].place,
            least=10,
            most=30,
            # where each machine has one of them its name says which
            gives=ONLY_WITH_ROOM if alone else 0,
        ),
        data("position", lambda part, _: part.position),
        AnswerColumn(
            "last reading",
            lambda part, measures: _length(part.micrometres[-1], part.elongation, measures),
            "measured_mm",
            lambda part, _: millimetres(float(part.micrometres[-1])),
            least=9,
            figures=True,
            gives=1,
            short=(lambda part, measures: measures.small_length(float(part.micrometres[-1])),),
            tells_more=True,
        ),
        data("elongation_percent", lambda part, _: rounded(part.elongation)),
        AnswerColumn(
            "limit",
            limit_text,
            "limit_mm",
            lambda part, _: millimetres(part.limit),
            least=9,
            figures=True,
            # a sentence says it too
            gives=3,
            short=(lambda part, measures: measures.small_length(part.limit),),
            tells_more=True,
        ),
        data("elongation_limit_percent", lambda part, _: rounded(part.elongation_limit)),
        AnswerColumn("meets it at", crossing_text, "line", line_json, least=21, most=34),
        AnswerColumn(
            "this season",
            _season_words,
            "chance_season",
            lambda part, _: rounded(part.chance),
            least=9,
            figures=True,
            short=(lambda part, _: season_text(part),),
            tells_more=True,
        ),
        AnswerColumn(
            "readings",
            _readings,
            "readings",
            lambda part, _: part.usage.size,
            least=8,
            figures=True,
            gives=2,
            tells_more=True,
        ),
        data("readings_apart", lambda part, _: len(part.outliers)),
        data("past_limit", lambda part, _: part.past_limit),
        data("past_limit_by_its_line", lambda part, _: part.past_by_line),
    )


def measured_notes(parts: Sequence[MeasuredPart], measures: Measures) -> list[str]:
    """Say how wear runs by the readings, which of them stand apart, and which parts must be past their limit by now."""
    if not parts:
        return []
    forms = ", ".join(sorted({_form(part) for part in parts}))
    notes = [
        f"The limit is {limit_text(parts[0], measures)}.",
        f"Wear is reckoned {forms}, averaged over straight, ever slower and ever faster by how well each holds the "
        "readings of the part; in brackets when the limit is met, 90 % ('from': not known to end).",
        *courses_said(parts),
        f"This season: the chance to meet the limit by its end. {SMALLER_COUNTS}",
    ]
    apart = [(part, reading) for part in parts for reading in part.outliers]
    if apart:
        said = ", ".join(_outlier(part, reading, measures) for part, reading in apart[:_NAMED])
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


def _season_words(part: MeasuredPart, measures: Measures) -> str:
    return {"PAST": "past its limit", "PAST?": "past it by its line"}.get(season_text(part), season_text(part))


def limit_text(part: MeasuredPart, measures: Measures) -> str:
    """Return the limit of a part, of a chain with its elongation: "20.147 in (3.0 %)"."""
    return _length(part.limit, part.elongation_limit, measures)


def _length(micrometres: float, elongation: float | None, measures: Measures) -> str:
    length = measures.small_length(float(micrometres))
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


def line_json(part: MeasuredPart, measures: Measures) -> dict[str, Any] | None:
    """Return where the line of a part goes, as JSON; null while its readings are too few for one."""
    crossing, meter = part.crossing(), part.kind.meter_kind
    if crossing is None:
        return None

    def usage(value: float | None) -> float | None:
        return None if value is None or math.isinf(value) else rounded(measures.usage_number(meter, value), 1)

    return {
        "unit": JSON_UNIT[measures.usage_unit(meter)],
        "since_fitted": not part.age_known,
        "now": usage(part.usage_now),
        "meets_limit_at": usage(crossing.usage),
        "meets_limit_low": usage(crossing.low),
        "meets_limit_high": usage(crossing.high),
        "level": crossing.level,
        "wear_runs": None
        if part.path is None
        else {course.replace(" ", "_"): rounded(chance) for course, chance in part.path.course_chances.items()},
        "chance_season": rounded(part.chance),
    }


def _usage(meter: MeterKind, usage: float | None, measures: Measures) -> str:
    return "" if usage is None or math.isinf(usage) else rough(measures.usage_number(meter, usage))


def _form(part: MeasuredPart) -> str:
    if part.line is None:
        return "from the next reading on"
    return "from the new value" if part.line.form is WearForm.LINE_THROUGH_NEW else "from the readings alone"


def _readings(part: MeasuredPart, measures: Measures) -> str:
    return f"{part.usage.size}, {len(part.outliers)} apart" if part.outliers else number(part.usage.size)


def _outlier(part: MeasuredPart, reading: int, measures: Measures) -> str:
    at = measures.usage(part.kind.meter_kind, float(part.usage[reading]))
    return f"{measures.small_length(float(part.micrometres[reading]))} at {at} (position {part.position})"


def hot_place_sheet(
    components: Sequence[ComponentOutlook], places: Sequence[HotPlace], names: Mapping[UUID, str], measures: Measures
) -> AnswerSheet[ComponentOutlook]:
    """Return the answer of the components of several positions; `names` are those of the machines."""
    hot = {place.component.id: place for place in places if place.is_hot}

    def window(row: ComponentOutlook) -> HotPlace | None:
        return hot.get(row.component_id)

    columns: tuple[AnswerColumn[ComponentOutlook], ...] = (
        AnswerColumn(
            "machine",
            lambda row, _: names.get(row.machine_id, NOTHING),
            "machine",
            lambda row, _: names.get(row.machine_id),
            least=8,
            most=18,
        ),
        AnswerColumn("place", lambda row, _: row.place, "component", lambda row, _: row.place, least=10, most=30),
        AnswerColumn(
            "positions",
            lambda row, _: number(row.positions),
            "positions",
            lambda row, _: row.positions,
            least=9,
            figures=True,
            gives=2,
        ),
        AnswerColumn(
            "broke",
            lambda row, _: number(row.breakages),
            "breakages",
            lambda row, _: row.breakages,
            least=5,
            figures=True,
            gives=1,
        ),
        AnswerColumn(
            "stones", lambda row, _: _window_text(window(row)), "hot", lambda row, _: _json(window(row)), least=18
        ),
    )
    return AnswerSheet(
        name="where",
        columns=columns,
        rows=[one for one in components if one.positions > 1],
        measures=measures,
        sentences=[hot_sentence(place, names) for place in places if place.is_hot],
        empty="It has one position on each component, so nothing can bunch.",
        key_of=lambda row: (row.component_id, 0),
        shouts=lambda row: row.component_id in hot,
    )


def _window_text(hot: HotPlace | None) -> str:
    return "no place stands out" if hot is None else f"HOT {span_words(hot.window.first, hot.window.last)}"


def _json(hot: HotPlace | None) -> dict[str, Any] | None:
    if hot is None:
        return None
    window = hot.window
    return {
        "first": window.first,
        "last": window.last,
        "hits": window.breakages,
        "of_hits": hot.hits,
        "times_as_often": rounded(window.ratio, 1),
        "p": rounded(window.p_value, 5),
        "rows_looked_at": hot.looked_at,
    }


def hot_sentence(place: HotPlace, names: Mapping[UUID, str]) -> str:
    """Say where stones hit more than they should, and what to look at."""
    window, component = place.window, place.component
    where = place_said(names.get(component.machine_id, ""), component_name(component.place, place.kind))
    if window.first == window.last:
        where = one_of(where)
    times = f"{window.ratio:.0f} times as often as elsewhere" if window.ratio < 1000 else "and nowhere else"
    return (
        f"HOT: {where} {_were_hit(place)} {times} ({window.breakages} of {counted(place.hits, 'hit')}; "
        f"p = {window.p_value:.2g} on {counted(place.looked_at, 'row')} looked at). "
        "Look there for a bent guard, a skid set low, a hold-down out of register."
    )


def _were_hit(place: HotPlace) -> str:
    window = place.window
    return f"{span_words(window.first, window.last)} {'was' if window.first == window.last else 'were'} hit"
