"""One kind of part in full: how long it lasts, its parts now, chart, hot places, measurements. Command, screen and JSON read it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from textwrap import wrap
from typing import Any
from uuid import UUID

from wearlog.facts.cautions import CAUTIONS
from wearlog.facts.closed_lists import Ground
from wearlog.facts.departures import Departure
from wearlog.facts.parts import PartKind
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.charts import Chart, chart_lines
from wearlog.present.digits import Measures, number, significant
from wearlog.present.sheet_faces import answer_lines, sheet_json, table_lines
from wearlog.present.tables import WIDEST, folded
from wearlog.present.wear.kind_part_sheet import PartsNow, part_sheet
from wearlog.present.wear.life_table_words import conflict_sentence, parting_sentence, stones_sentence
from wearlog.present.wear.measured_sheet import hot_place_sheet, measured_sheet
from wearlog.present.wear.neighbour_sheet import neighbours_said
from wearlog.present.wear.records_alone_words import (
    range_json,
    records_alone_json,
    replacement_json,
    replacement_sentence,
)
from wearlog.present.wear.wear_charts import measurement_chart, survival_chart
from wearlog.present.wear.wear_sheet import wear_sheet
from wearlog.present.wear.wear_tables import survival_sheet
from wearlog.present.wear.wear_words import (
    difference_sentence,
    is_known,
    lasting,
    left_out_sentence,
    rests_on_in_a_sentence,
    rough,
    way_of_failing,
)
from wearlog.present.words import capital, word
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.wear.kind_life import KindLife
from wearlog.reckoning.wear.kind_view import KindView
from wearlog.reckoning.wear.measured_wear import MeasuredPart
from wearlog.reckoning.wear.replacement_age import NoAge, ReplacementAge
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook, KindOutlook
from wearlog.wear.intervals import Estimate

#: a chart is no wider
_CHART = 96
#: chance from which on a measured part is drawn with its line and its limit
NEAR_LIMIT = 0.1

_MEANS = {
    "wear-out": "wear-out: the older it is, the sooner it fails, so that replacing before the season can pay",
    "early": "early breakage: the newer it is, the sooner it fails; look at the fitting and the parts, not at the age",
    "chance": "chance: a new one fails as readily as an old one, so that replacing it early gains nothing",
    "unclear": "not clear yet whether age matters",
}


@dataclass(frozen=True, slots=True, eq=False)
class KindPage:
    """One kind, said once. `age` is that at which replacing costs least, `life` sentences under a `title`.

    `parts` are its components now, `where` those of several positions, `measured` its parts that were measured.
    """

    view: KindView
    farm: Farm
    age: ReplacementAge | NoAge
    measures: Measures
    title: str
    life: tuple[str, ...]
    parts: AnswerSheet[PartsNow]
    where: AnswerSheet[ComponentOutlook]
    measured: AnswerSheet[MeasuredPart]

    @property
    def machine_names(self) -> dict[UUID, str]:
        return {machine.id: machine.name for machine in self.farm.machines}


def kind_page(view: KindView, age: ReplacementAge | NoAge, farm: Farm, measures: Measures) -> KindPage:
    """Say one kind."""
    names = {machine.id: machine.name for machine in farm.machines}
    return KindPage(
        view=view,
        farm=farm,
        age=age,
        measures=measures,
        title=_title(view),
        life=tuple(_life_sentences(view, age, measures)),
        parts=part_sheet(view, names, measures),
        where=hot_place_sheet(view.row.components, view.hot, names, measures),
        measured=measured_sheet(view.measured, farm, measures),
    )


def kind_lines(page: KindPage, width: int = WIDEST, *, every: bool = False) -> list[str]:
    """Return the page in at most `width` columns; `every`: also the rows that are not worth a look."""
    parts, measured = (page.parts, page.measured) if every else (page.parts.short(), page.measured.short())
    blocks = [
        [*caution_lines(page.view.row.life.kind, width), page.title, *folded(page.life, indent="  ", width=width)],
        [*folded([parts.headline], width=width), *_with_rest(parts, width)],
        _drawn(survival_chart(page.view.row, page.measures), width, 18),
        answer_lines(page.where, width) if page.where.rows else [],
        answer_lines(measured, width) if measured.rows else [],
        _nearest(page, width),
    ]
    first, *others = (block for block in blocks if block)
    return [*first, *(line for block in others for line in ("", *block))]


def _with_rest(sheet: AnswerSheet[PartsNow], width: int) -> list[str]:
    return [*table_lines(sheet, width), *folded([sheet.rest] if sheet.rest else [], width=width)]


def _nearest(page: KindPage, width: int) -> list[str]:
    """The line and the limit of the measured part that is likeliest to meet it, where that is likely at all."""
    near = next((part for part in page.view.measured if (part.chance or 0.0) >= NEAR_LIMIT), None)
    drawn = [] if near is None else _drawn(measurement_chart(near, page.measures), width, 14)
    return [f"{page.farm.machines[near.machine].name}, position {near.position}:", *drawn] if near and drawn else []


def kind_json(page: KindPage) -> dict[str, Any]:
    """Return the kind as the JSON of all has it, and beside it what its page shows in tables of its own."""
    view, measures = page.view, page.measures
    sheet = wear_sheet([view.row], page.farm.machines, view.ahead, measures, machine=view.machine)
    tables: Iterable[AnswerSheet[Any]] = (
        page.parts,
        page.where,
        page.measured,
        survival_sheet(view.row, page.machine_names, measures),
    )
    beside = {key: rows for table in tables for key, rows in sheet_json(table).items()}
    columns = [
        *sheet.columns,
        data("to_break_range", lambda row, _: range_json(view.to_break) if is_known(view.ahead) else None),
        data("records_alone", lambda row, measures: records_alone_json(view.alone, row.life, measures)),
        data("replacement", lambda row, measures: replacement_json(page.age, row.life, measures)),
        *(_of_its_own(key, rows) for key, rows in beside.items()),
    ]
    return sheet_json(replace(sheet, columns=columns))


def _of_its_own(key: str, rows: Any) -> AnswerColumn[KindOutlook]:
    return data(key, lambda row, measures: rows)


def _drawn(chart: Chart | None, width: int, height: int) -> list[str]:
    """Return a chart whose heading is folded: it may be longer than the chart is wide."""
    if chart is None:
        return []
    heading, *drawn = chart_lines(chart, min(width, _CHART), height) or [""]
    return [*folded([heading], width=width), *drawn]


def _title(view: KindView) -> str:
    on = f", on {view.machine.name}" if view.machine else ""
    return f"{capital(view.row.life.kind.name)}, worn by {word(view.row.life.kind.meter_kind)}{on}"


def caution_lines(kind: PartKind, width: int = WIDEST) -> list[str]:
    """Return what to read before work on such a part."""
    if kind.hazard is None:
        return []
    cautions = (
        line
        for sentence in CAUTIONS[kind.hazard]
        for line in wrap(sentence, width, initial_indent="  - ", subsequent_indent="    ", break_on_hyphens=False)
    )
    # "the" goes with kinds whose name is a plural, too: the rasp bars
    return [f"Before you work on the {kind.name}:", *cautions, ""]


def _life_sentences(view: KindView, age: ReplacementAge | NoAge, measures: Measures) -> list[str]:
    """Say how long the kind lasts and what that rests on."""
    life = view.row.life
    meter = life.kind.meter_kind
    lines = []
    if life.median_life is None or life.b10 is None:
        lines.append("How long it lasts nobody knows yet: nothing has worn out, and there is no starting guess.")
    else:
        lines += [
            f"Half of them last {lasting(meter, life.median_life, measures)}; the brackets hold it with 90 %.",
            f"One in ten is gone by {lasting(meter, life.b10, measures)}.",
            _shape_sentence(life),
        ]
    lines += [
        f"Reckoned from {rests_on_in_a_sentence(life)}.",
        neighbours_said(life.kind, measures),
        conflict_sentence(life, measures),
        left_out_sentence(life.lives.left_out),
        replacement_sentence(age, life, measures),
    ]
    if life.fit is not None:
        median = rough(measures.usage_number(meter, life.fit.life_at(0.5)))
        lines.append(
            f"Without the starting guess (greatest likelihood): half last {median} {measures.usage_unit(meter)}, "
            f"shape {life.fit.shape:.1f}."
        )
    differ = difference_sentence(view.differ, own=life.machines is not None, aside=Departure.MACHINES in life.aside)
    lines += [parting_sentence(life, measures), *_impact_lines(life, measures), differ]
    return [line for line in lines if line]


def _shape_sentence(life: KindLife) -> str:
    assert life.law is not None
    shape = life.law.shape()
    return f"Shape {shape.median:.1f} ({shape.low:.1f}-{shape.high:.1f}), {_MEANS[way_of_failing(life)]}."


def _impact_lines(life: KindLife, measures: Measures) -> list[str]:
    if life.impacts is None or life.impact_rates is None:
        return []
    said = ", ".join(
        f"{word(ground)} {_rate_text(rate, measures)}" for ground, rate in zip(Ground, life.impact_rates, strict=True)
    )
    seen = number(sum(life.impacts.breakages))
    beside = "and the starting guess" if life.has_impact_guess else "and no starting guess"
    return [
        f"Broken by stones on one component per {measures.per_thousand_unit()}, on average (90 % interval): {said}; "
        f"{seen} seen, {beside}.",
        stones_sentence(life, measures),
    ]


def _rate_text(rate: Estimate, measures: Measures) -> str:
    middle, low, high = (
        significant(measures.per_thousand(one)) for one in (rate.mean or rate.median, rate.low, rate.high)
    )
    return f"{middle} ({low}-{high})"
