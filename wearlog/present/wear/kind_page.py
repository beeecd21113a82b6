"""One kind of part on a page: how long it lasts, what the season ahead threatens, its ages, chart, hot places, measurements."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from textwrap import wrap
from uuid import UUID

from wearlog.facts.cautions import CAUTIONS
from wearlog.facts.closed_lists import Ground
from wearlog.facts.machines import Machine
from wearlog.facts.parts import PartKind
from wearlog.facts.positions import format_positions
from wearlog.present.charts import Chart, chart_lines
from wearlog.present.digits import NOTHING, Measures, number, percent, significant
from wearlog.present.tables import WIDEST, Column, folded
from wearlog.present.wear.guess_agreement import conflict_sentence, parting_sentence, stones_sentence
from wearlog.present.wear.measured_words import measured_lines
from wearlog.present.wear.replacement_words import replacement_sentence
from wearlog.present.wear.wear_charts import measurement_chart, survival_chart
from wearlog.present.wear.wear_tables import trimmed_table
from wearlog.present.wear.wear_words import (
    difference_sentence,
    expected_text,
    failures_text,
    is_known,
    lasting,
    left_out_sentence,
    rests_on_in_a_sentence,
    rough,
    season_sentence,
    unknown_text,
    way_of_failing,
)
from wearlog.present.words import capital, counted, word
from wearlog.reckoning.wear.age_groups import AgeGroup
from wearlog.reckoning.wear.hot_windows import HotPlace
from wearlog.reckoning.wear.kind_life import KindLife
from wearlog.reckoning.wear.kind_view import KindView
from wearlog.reckoning.wear.replacement_age import NoAge, ReplacementAge
from wearlog.reckoning.wear.season_ahead import SeasonAhead
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook
from wearlog.wear.intervals import Estimate

#: groups of one component that stand on the page; the rest is told together
_GROUPS = 5
#: a chart is no wider
_CHART = 96
#: columns of the parts table that are cut for want of room: positions, place, machine, each with its least width
_GIVES = ((2, 10), (1, 12), (0, 8))
#: chance from which on a measured part is drawn with its line and its limit
NEAR_LIMIT = 0.1

_MEANS = {
    "wear-out": "wear-out: the older it is, the sooner it fails, so that replacing before the season can pay",
    "early": "early breakage: the newer it is, the sooner it fails; look at the fitting and the parts, not at the age",
    "chance": "chance: a new one fails as readily as an old one, so that replacing it early gains nothing",
    "unclear": "not clear yet whether age matters",
}


def kind_lines(
    view: KindView, age: ReplacementAge | NoAge, machines: Sequence[Machine], measures: Measures, width: int = WIDEST
) -> list[str]:
    """Return the page of a kind; `age` is that at which replacing costs least, it takes at most `width` columns."""
    names = {machine.id: machine.name for machine in machines}
    chart = survival_chart(view.row, measures)
    lines = [
        *caution_lines(view.row.life.kind, width),
        *_life_block(view, age, measures, width),
        "",
        *folded([season_sentence(view.ahead, measures)], width=width),
        *_ahead_lines(view, names, measures, width),
    ]
    if chart is not None:
        lines += ["", *_drawn(chart, width, 18)]
    hot = [hot_sentence(place, names) for place in view.hot if place.is_hot]
    if hot:
        lines += ["", *folded(hot, width=width)]
    if view.measured:
        lines += ["", *measured_lines(view.measured, [machine.name for machine in machines], measures, width)]
        near = next((part for part in view.measured if (part.chance or 0.0) >= NEAR_LIMIT), None)
        drawn = None if near is None else measurement_chart(near, measures)
        if near is not None and drawn is not None:
            lines += ["", f"{machines[near.machine].name}, position {near.position}:", *_drawn(drawn, width, 14)]
    return lines


def _drawn(chart: Chart, width: int, height: int) -> list[str]:
    """Return a chart whose heading is folded: it may be longer than the chart is wide."""
    heading, *drawn = chart_lines(chart, min(width, _CHART), height) or [""]
    return [*folded([heading], width=width), *drawn]


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


def _life_block(view: KindView, age: ReplacementAge | NoAge, measures: Measures, width: int) -> list[str]:
    heading, *sentences = life_sentences(view, age, measures)
    return [heading, *folded(sentences, indent="  ", width=width)]


def life_sentences(view: KindView, age: ReplacementAge | NoAge, measures: Measures) -> list[str]:
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
    lines += [
        f"Rests on {rests_on_in_a_sentence(life)}.",
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
    lines += [parting_sentence(life, measures), *_impact_lines(life, measures), difference_sentence(view.differ)]
    return [line for line in lines if line]


def _shape_sentence(life: KindLife) -> str:
    assert life.posterior is not None
    shape = life.posterior.shape()
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


def expected_sentence(view: KindView) -> str:
    """Say how many are expected to break in the season ahead, by what, and what is in none of it."""
    row = view.row
    if not is_known(view.ahead):
        failed = sum(len(group.positions) for one in row.components for group in one.groups if group.failed)
        return f"{number(failed)} failed and still on." if failed else ""
    groups = [group for one in row.components for group in one.groups]
    wear = "none known"
    if any_reckoned(groups):
        wear = expected_text(sum(one.expected_wear for one in row.components))
    counts = row.impact_counts()
    if counts is None:
        said = f"Expected to break: {wear} by wear"
    else:
        stones = expected_text(sum(one.expected_impacts for one in row.components))
        count = f"{counts.low} to {counts.high}" if counts.low < counts.high else str(counts.low)
        said = (
            f"Expected to break: {expected_text(row.expected_known)} ({wear} by wear, {stones} by stones: "
            f"{count} of these in nine seasons of ten)"
        )
    unknown = unknown_text(row, view.ahead)
    said = f"{said}; not in it: {unknown}." if unknown else f"{said}."
    failures = failures_text(row, view.ahead)
    return f"{said} With the successors of what breaks: {failures} failures." if failures else said


def _ahead_lines(view: KindView, names: dict[UUID, str], measures: Measures, width: int) -> list[str]:
    row = view.row
    if not row.components:
        return folded(["It sits on no machine yet; 'wearlog add component' enters one."], width=width)
    columns = (
        Column("machine", widest=18),
        Column("place", widest=24),
        Column("positions", widest=24),
        Column("age", figures=True),
        Column("lasts season by wear"),
        Column("expected", figures=True),
    )
    cells = [line for one in row.components for line in _component_cells(one, view, names, measures)]
    total = expected_sentence(view)
    return [*folded([total] if total else [], width=width), *trimmed_table(columns, cells, width, _GIVES)]


def _component_cells(
    one: ComponentOutlook, view: KindView, names: dict[UUID, str], measures: Measures
) -> list[tuple[str, ...]]:
    meter = view.row.life.kind.meter_kind
    head = (names.get(one.machine_id, NOTHING), one.place)
    rows: list[tuple[str, ...]] = []
    groups = shown_groups(one, view, measures)
    for group in groups[:_GROUPS]:
        where = "all" if len(group.positions) == one.positions > 1 else format_positions(group.positions)
        said, expected = chance_text(group, view.ahead), expected_text(group_expected(group, view.ahead))
        rows.append((*head, where, measures.usage(meter, group.age), said, expected))
        head = ("", "")
    rest = groups[_GROUPS:]
    if rest:
        count = sum(len(group.positions) for group in rest)
        known = [more for group in rest if (more := group_expected(group, view.ahead)) is not None]
        said = "age unknown" if all(group.age is None for group in rest) else "surer to last"
        rows.append((*head, f"{count} others", "", said, expected_text(sum(known) if known else None)))
        head = ("", "")
    if not one.groups:
        rows.append((*head, "nothing fitted", NOTHING, NOTHING, NOTHING))
        head = ("", "")
    if one.expected_impacts and is_known(view.ahead):
        rows.append((*head, "any, by stones", "", "", expected_text(one.expected_impacts)))
    return rows


def by_threat(groups: Sequence[AgeGroup]) -> list[AgeGroup]:
    """Return the parts of a component as a hand would look at them: failed, past by the line, least sure to last, unknown."""
    return sorted(
        groups, key=lambda one: (not one.failed, not one.past_by_line, 2.0 if one.survives is None else one.survives)
    )


def shown_groups(one: ComponentOutlook, view: KindView, measures: Measures) -> list[AgeGroup]:
    """Return the groups by threat, those in one that nobody could tell apart: measured parts have a group of their own each."""
    alike: dict[tuple[str, str], list[AgeGroup]] = {}
    for group in by_threat(one.groups):
        said = (measures.usage(view.row.life.kind.meter_kind, group.age), chance_text(group, view.ahead))
        alike.setdefault(said, []).append(group)
    return [_together(groups) for groups in alike.values()]


def _together(groups: Sequence[AgeGroup]) -> AgeGroup:
    """Return groups of one age and one chance as one that is expected to lose as many as they are."""
    positions = tuple(sorted(position for group in groups for position in group.positions))
    known = [len(group.positions) * group.survives for group in groups if group.survives is not None]
    survives = sum(known) / len(positions) if len(known) == len(groups) else None
    later = sum(len(group.positions) * group.successors for group in groups) / len(positions)
    if len(groups) == 1:
        return groups[0]
    return replace(groups[0], positions=positions, survives=survives, successors=later)


def any_reckoned(groups: Sequence[AgeGroup]) -> bool:
    """Whether anything is known of the wear of any of them, or there is none at all."""
    return not groups or any(group.expected is not None for group in groups)


def group_expected(group: AgeGroup, ahead: SeasonAhead) -> float | None:
    """Return the breakages by wear expected of a group; None where nobody can say."""
    return group.expected if group.failed or is_known(ahead) else None


def chance_text(group: AgeGroup, ahead: SeasonAhead) -> str:
    """Return "82 % (78-87 %)", or why there is no such chance."""
    if group.failed:
        return "has failed, still runs"
    if group.past_by_line:
        return "past limit by its line"
    if group.survives is None:
        return "age unknown" if group.age is None else NOTHING
    if not is_known(ahead):
        return NOTHING
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
