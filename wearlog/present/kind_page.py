"""One kind of part on a page: how long it lasts, what the season ahead threatens, its ages, chart, hot places, measurements."""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

from wearlog.facts.cautions import CAUTIONS
from wearlog.facts.closed_lists import Ground
from wearlog.facts.machines import Machine
from wearlog.facts.parts import PartKind
from wearlog.facts.positions import format_positions
from wearlog.present.charts import chart_lines
from wearlog.present.digits import NOTHING, Measures, number, percent, significant
from wearlog.present.measured_words import measured_lines
from wearlog.present.tables import Column, text_table
from wearlog.present.wear_charts import measurement_chart, survival_chart
from wearlog.present.wear_words import (
    difference_sentence,
    expected_text,
    folded,
    lasting,
    rests_on_in_a_sentence,
    rough,
    season_sentence,
    way_of_failing,
)
from wearlog.present.words import capital, counted, word
from wearlog.reckoning.age_groups import AgeGroup
from wearlog.reckoning.hot_windows import HotPlace
from wearlog.reckoning.kind_life import KindLife
from wearlog.reckoning.kind_view import KindView
from wearlog.reckoning.wear_outlook import ComponentOutlook

#: groups of one component that stand on the page; the rest is told together
_GROUPS = 5
#: chance from which on a measured part is drawn with its line and its limit
NEAR_LIMIT = 0.1

_MEANS = {
    "wear-out": "wear-out: the older it is, the sooner it fails, so that replacing before the season can pay",
    "early": "early breakage: the newer it is, the sooner it fails; look at the fitting and the parts, not at the age",
    "chance": "chance: a new one fails as readily as an old one, so that replacing it early gains nothing",
    "unclear": "not clear yet whether age matters",
}


def kind_lines(view: KindView, machines: Sequence[Machine], measures: Measures, width: int = 96) -> list[str]:
    """Return the page of a kind; `width` is that of its chart."""
    names = {machine.id: machine.name for machine in machines}
    chart = survival_chart(view.row, measures)
    lines = [
        *caution_lines(view.row.life.kind),
        *_life_block(view, measures),
        "",
        season_sentence(view.ahead, measures),
        *_ahead_lines(view, names, measures),
    ]
    if chart is not None:
        lines += ["", *chart_lines(chart, width, 18)]
    hot = [hot_sentence(place, names) for place in view.hot if place.is_hot]
    if hot:
        lines += ["", *folded(hot)]
    if view.measured:
        lines += ["", *measured_lines(view.measured, [machine.name for machine in machines], measures)]
        near = next((part for part in view.measured if (part.chance or 0.0) >= NEAR_LIMIT), None)
        drawn = None if near is None else measurement_chart(near, measures)
        if near is not None and drawn is not None:
            lines += ["", f"{machines[near.machine].name}, position {near.position}:", *chart_lines(drawn, width, 14)]
    return lines


def caution_lines(kind: PartKind) -> list[str]:
    """Return what to read before work on such a part."""
    if kind.hazard is None:
        return []
    return [f"Before you work on a {kind.name}:", *(f"  - {sentence}" for sentence in CAUTIONS[kind.hazard]), ""]


def _life_block(view: KindView, measures: Measures) -> list[str]:
    heading, *sentences = life_sentences(view, measures)
    return [heading, *folded(sentences, indent="  ")]


def life_sentences(view: KindView, measures: Measures) -> list[str]:
    """Say how long the kind lasts and what that rests on; a heading first."""
    life = view.row.life
    meter = life.kind.meter_kind
    on = f", on {view.machine.name} alone" if view.machine else ""
    lines = [f"{capital(life.kind.name)}, worn by {word(meter)}{on}"]
    if life.median_life is None or life.b10 is None:
        lines.append("How long it lasts nobody knows yet: nothing has worn out, and there is no starting guess.")
    else:
        lines += [
            f"Half of them last {lasting(meter, life.median_life, measures)}; the brackets hold it with 90 %.",
            f"One in ten is gone by {lasting(meter, life.b10, measures)}.",
            _shape_sentence(life),
        ]
    lines.append(f"Rests on {rests_on_in_a_sentence(life)}.")
    if life.fit is not None:
        median = rough(measures.usage_number(meter, life.fit.life_at(0.5)))
        lines.append(
            f"Without the starting guess (greatest likelihood): half last {median} {measures.usage_unit(meter)}, "
            f"shape {life.fit.shape:.1f}."
        )
    lines += _impact_lines(life, measures)
    lines.append(f"{difference_sentence(view.differ)}")
    return lines


def _shape_sentence(life: KindLife) -> str:
    assert life.posterior is not None
    shape = life.posterior.shape()
    return f"Shape {shape.median:.1f} ({shape.low:.1f}-{shape.high:.1f}), {_MEANS[way_of_failing(life)]}."


def _impact_lines(life: KindLife, measures: Measures) -> list[str]:
    if life.impacts is None:
        return []
    rates = zip(Ground, life.impacts.rates, strict=True)
    said = ", ".join(f"{word(ground)} {significant(measures.per_thousand(rate.mean))}" for ground, rate in rates)
    seen = number(sum(life.impacts.breakages))
    return [
        f"Broken by stones on one component per {measures.per_thousand_unit()}: {said} "
        f"({seen} seen, and the starting guess)."
    ]


def _ahead_lines(view: KindView, names: dict[UUID, str], measures: Measures) -> list[str]:
    row = view.row
    if not row.components:
        return ["It sits on no machine yet; 'wearlog add component' enters one."]
    columns = (
        Column("machine", widest=18),
        Column("place", widest=24),
        Column("positions", widest=24),
        Column("age", figures=True),
        Column("lasts the season"),
        Column("expected", figures=True),
    )
    cells = [line for one in row.components for line in _component_cells(one, view, names, measures)]
    wear = sum(one.expected_wear for one in row.components)
    stones = sum(one.expected_impacts for one in row.components)
    total = f"Expected to break: {expected_text(row.expected)} ({expected_text(wear)} by wear, {expected_text(stones)} by stones)."
    return [total, *text_table(columns, cells)]


def _component_cells(
    one: ComponentOutlook, view: KindView, names: dict[UUID, str], measures: Measures
) -> list[tuple[str, ...]]:
    meter = view.row.life.kind.meter_kind
    head = (names.get(one.machine_id, NOTHING), one.place)
    rows: list[tuple[str, ...]] = []
    for group in one.groups[:_GROUPS]:
        by_wear = 0.0 if group.survives is None else len(group.positions) * (1 - group.survives)
        where = "all" if len(group.positions) == one.positions > 1 else format_positions(group.positions)
        rows.append((*head, where, measures.usage(meter, group.age), chance_text(group), expected_text(by_wear)))
        head = ("", "")
    rest = one.groups[_GROUPS:]
    if rest:
        count = sum(len(group.positions) for group in rest)
        by_wear = sum(len(group.positions) * (1 - group.survives) for group in rest if group.survives is not None)
        rows.append((*head, f"{count} others", "younger", "", expected_text(by_wear)))
        head = ("", "")
    if not one.groups:
        rows.append((*head, "nothing fitted", NOTHING, NOTHING, NOTHING))
        head = ("", "")
    if one.expected_impacts:
        rows.append((*head, "any, by stones", "", "", expected_text(one.expected_impacts)))
    return rows


def chance_text(group: AgeGroup) -> str:
    """Return "82 % (78-87 %)", or why there is no such chance."""
    if group.failed:
        return "has failed, still runs"
    if group.survives is None:
        return "age unknown" if group.age is None else NOTHING
    if group.by_measurement:
        return f"{percent(group.survives)}, as measured"
    if group.survives_low is None or group.survives_high is None:
        return percent(group.survives)
    return f"{percent(group.survives)} ({group.survives_low * 100:.0f}-{group.survives_high * 100:.0f} %)"


def hot_sentence(place: HotPlace, names: dict[UUID, str]) -> str:
    """Say where stones hit more than they should, and what to look at."""
    window, where = place.window, f"{names.get(place.component.machine_id, NOTHING)}, {place.component.place}"
    times = f"{window.ratio:.0f} times as often as elsewhere" if window.ratio < 1000 else "and nowhere else"
    return (
        f"HOT: {where} {window.first}-{window.last} were hit {times} ({window.breakages} of {counted(place.hits, 'hit')}; "
        f"p = {window.p_value:.2g} on {counted(place.looked_at, 'row')} looked at). "
        "Look there for a bent guard, a skid set low, a hold-down out of register."
    )
