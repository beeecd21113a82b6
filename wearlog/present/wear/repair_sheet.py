"""Repairs that come again as an answer: breakages of every machine by season, one per how much by now, whether ever closer."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Final
from uuid import UUID

from wearlog.errors import DataError
from wearlog.facts.closed_lists import MeterKind
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.charts import chart_lines
from wearlog.present.digits import NOTHING, Measures, number
from wearlog.present.json_form import rounded
from wearlog.present.sheet_faces import answer_lines
from wearlog.present.wear.records_alone_words import range_json
from wearlog.present.wear.wear_charts import repairs_chart
from wearlog.present.wear.wear_json import JSON_UNIT
from wearlog.present.wear.wear_words import rough
from wearlog.present.words import capital, counted
from wearlog.reckoning.wear.repairs_again import (
    FEWEST_FOR_A_LAW,
    BreakagesAhead,
    MachineRepairs,
    RateFrom,
    RepairsAgain,
    TrendTests,
    UsageBetween,
)
from wearlog.wear.power_law import PowerLaw
from wearlog.wear.trend import TrendTest

_LIKELY: Final = 0.05
#: e to a little more is no float any longer
_LARGEST: Final = 700.0


def repair_columns(found: Sequence[RepairsAgain]) -> tuple[AnswerColumn[MachineRepairs], ...]:
    """Return the columns, one of them for each season."""
    years = sorted({year for again in found for one in again.machines for year, _, _ in one.by_season})
    kinds = {again.kind for again in found}
    return (
        AnswerColumn(
            # one kind of machine alone is named
            kinds.pop().value if len(kinds) == 1 else "machine",
            lambda row, _: row.machine.name,
            "machine",
            lambda row, _: row.machine.name,
            least=10,
            most=20,
        ),
        data("meter", lambda row, _: row.meter_kind),
        *(_season_column(year, len(years) - place) for place, year in enumerate(years)),
        AnswerColumn(
            "all",
            lambda row, _: number(row.at_usage.size),
            "breakages",
            lambda row, _: row.at_usage.size,
            least=4,
            most=6,
            figures=True,
        ),
        AnswerColumn(
            "worked",
            lambda row, measures: measures.usage(row.meter_kind, row.usage),
            least=9,
            most=12,
            figures=True,
            gives=1,
        ),
        AnswerColumn(
            "now one per",
            lambda row, measures: between_text(row.now_between, row.meter_kind, measures),
            least=16,
            most=26,
        ),
        AnswerColumn(
            "trend", lambda row, _: trend_word(row.tests), "trend", lambda row, _: trend_word(row.tests), least=14
        ),
        data("ahead", _ahead_json),
        data("by_season", _by_season),
        AnswerColumn("", value=_in_its_units, inlaid=True),
    )


def _season_column(year: int, gives: int) -> AnswerColumn[MachineRepairs]:
    """The breakages of a season; the seasons furthest back give way first."""

    def count(row: MachineRepairs, measures: Measures) -> int | None:
        return next((count for season, count, _ in row.by_season if season == year), None)

    return AnswerColumn(
        str(year),
        lambda row, measures: number(count(row, measures)),
        value=count,
        least=4,
        most=6,
        figures=True,
        gives=1 + gives,
    )


def repair_sheet(found: Sequence[RepairsAgain], measures: Measures, *, none: str = "") -> AnswerSheet[MachineRepairs]:
    """Return the answer; `none` says why there is nothing to count up."""
    return AnswerSheet(
        name="repairs",
        columns=repair_columns(found),
        rows=[one for again in found for one in again.machines],
        measures=measures,
        headline=_headline(found),
        sentences=[sentence for again in found for sentence in _said(again, measures)],
        empty=none,
        beside={"together": [_together(again, measures) for again in found if len(again.machines) > 1]},
        key_of=lambda row: row.machine.id,
        shouts=lambda row: trend_word(row.tests) == "ever closer",
    )


def repair_lines(
    sheet: AnswerSheet[MachineRepairs], found: Sequence[RepairsAgain], wide: int, chart_wide: int = 96
) -> list[str]:
    """Return the table and its sentences, and for each kind of machine the mean count as a chart."""
    lines = answer_lines(sheet, wide)
    for again in found:
        chart = repairs_chart(again, sheet.measures)
        if chart is not None:
            lines += [
                "",
                *([f"{capital(_who(again))}:"] if len(found) > 1 else []),
                *chart_lines(chart, chart_wide, 16),
            ]
    return lines


def of_machine(found: Sequence[RepairsAgain], machine_id: UUID) -> list[RepairsAgain]:
    """Leave one machine: its own trend speaks, and a mean count over machines has no meaning."""
    return [
        replace(again, machines=(one,), mean=None, law=one.law, tests=one.tests, now_between=one.now_between)
        for again in found
        for one in again.machines
        if one.machine.id == machine_id
    ]


def _who(again: RepairsAgain) -> str:
    return again.machines[0].machine.name if len(again.machines) == 1 else f"all {again.kind.value}s together"


def _headline(found: Sequence[RepairsAgain]) -> str:
    rows = [one for again in found for one in again.machines]
    closer = [one.machine.name for one in rows if trend_word(one.tests) == "ever closer"]
    broke = counted(sum(one.at_usage.size for one in rows), "breakage")
    return f"{broke} on {counted(len(rows), 'machine')}; they come ever closer on {', '.join(closer) or 'none'}."


def _said(again: RepairsAgain, measures: Measures) -> list[str]:
    """Say the trend of a kind of machine, its count by season and how often it breaks by now."""
    who = _who(again)
    said = [capital(f"{who}: {trend_sentence(again.tests)}")]
    if again.machines[0].by_season:
        said.append(f"Counted up to the end of each season{_of(again)}: {_counted_up(again)}.")
    if again.now_between is not None:
        together = between_text(again.now_between, again.meter_kind, measures)
        more = f": {who} one per {together}" if len(again.machines) > 1 else ""
        said.append(f"Now one per, with its 90 % interval{more}. {_rule(again)}")
    ahead = [f"{one.machine.name} {ahead_text(one.ahead)}" for one in again.machines if one.ahead is not None]
    if ahead:
        said.append(
            f"Breakages over as much work as the last season's, in brackets nine seasons of ten: {', '.join(ahead)}."
        )
    return said


def _of(again: RepairsAgain) -> str:
    return f" on all {again.kind.value}s" if len(again.machines) > 1 else ""


def _counted_up(again: RepairsAgain) -> str:
    """Say the breakages of all machines of a kind up to the end of each season: "2021 38, 2022 95"."""
    seasons = zip(*(one.by_season for one in again.machines), strict=True)
    return ", ".join(f"{of_all[0][0]} {number(sum(so_far for _, _, so_far in of_all))}" for of_all in seasons)


def ahead_text(ahead: BreakagesAhead) -> str:
    """Return "12 (7-18)"."""
    return f"{number(ahead.count.mean, 1 if ahead.count.mean < 10 else 0)} ({ahead.count.low}-{ahead.count.high})"


def _ahead_json(row: MachineRepairs, measures: Measures) -> dict[str, Any] | None:
    if row.ahead is None:
        return None
    worked = rounded(measures.usage_number(row.meter_kind, row.ahead.usage), 1)
    return {
        "season": row.ahead.harvest_year,
        f"usage_{_unit(row.meter_kind, measures)}": worked,
        "breakages": range_json(row.ahead.count),
    }


def between_text(between: UsageBetween | None, meter: MeterKind, measures: Measures) -> str:
    """Return "87 h (71-106)", or a dash."""
    if between is None:
        return NOTHING
    middle, low, high = (rough(measures.usage_number(meter, one)) for one in (between.usage, between.low, between.high))
    return f"{middle} {measures.usage_unit(meter)} ({low}-{high})"


def _rule(again: RepairsAgain) -> str:
    """Say what the present rates of a table rest on: all on the same, or where the one takes over from the other."""
    every = [one.now_between for one in again.machines] + [again.now_between]
    kinds = {between.rests_on for between in every if between is not None}
    if len(kinds) == 1:
        return _rests_on(kinds.pop())
    return (
        f"From {FEWEST_FOR_A_LAW} breakages on it goes by their trend up to today (power law), with fewer by their count and "
        "what was worked."
    )


def _rests_on(basis: RateFrom) -> str:
    if basis is RateFrom.POWER_LAW:
        return "It goes by the trend of the breakages up to today (power law)."
    return (
        "It goes by the count of breakages and what was worked: the trend (power law) takes "
        f"{FEWEST_FOR_A_LAW} that did not all come at the end."
    )


def deciding(tests: TrendTests) -> TrendTest | None:
    """Return the test that speaks: the one that holds for gaps of any law, else the one against a constant rate."""
    return tests.lewis_robinson or tests.laplace


def trend_word(tests: TrendTests) -> str:
    """Return "ever closer", "ever rarer", "no trend shown" or "too few"."""
    test = deciding(tests)
    if test is None:
        return "too few"
    if test.p_value >= _LIKELY:
        return "no trend shown"
    return "ever closer" if test.p_worsening < test.p_improving else "ever rarer"


def trend_sentence(tests: TrendTests) -> str:
    """Say what the tests say, with their p-values."""
    test = deciding(tests)
    if test is None:
        return "too few breakages to tell a trend."
    named = (
        ("Laplace", tests.laplace),
        ("MIL-HDBK-189", tests.mil_hdbk_189),
        ("Lewis-Robinson", tests.lewis_robinson),
        ("reverse arrangements", tests.reverse_arrangements),
    )
    values = ", ".join(f"{name} {_p(one.p_value)}" for name, one in named if one is not None)
    said = {
        "ever closer": "breakages come ever closer",
        "ever rarer": "breakages come ever rarer",
        "no trend shown": "the records show no trend",
    }[trend_word(tests)]
    return f"{said} (chance of this without a trend: {values})."


def _p(value: float) -> str:
    return "under 0.001" if value < 0.001 else f"{value:.2g}"


def _by_season(row: MachineRepairs, measures: Measures) -> list[dict[str, int]]:
    return [{"season": year, "breakages": count, "so_far": total} for year, count, total in row.by_season]


def _in_its_units(row: MachineRepairs, measures: Measures) -> dict[str, Any]:
    worked = rounded(measures.usage_number(row.meter_kind, row.usage), 1)
    return {f"worked_{_unit(row.meter_kind, measures)}": worked, **_rate_and_trend(row, measures)}


def _together(again: RepairsAgain, measures: Measures) -> dict[str, Any]:
    return {
        "machines": again.kind,
        "meter": again.meter_kind,
        "breakages": sum(one.at_usage.size for one in again.machines),
        **_rate_and_trend(again, measures),
    }


def _rate_and_trend(one: MachineRepairs | RepairsAgain, measures: Measures) -> dict[str, Any]:
    interval = None if one.law is None else one.law.shape_interval()
    return {
        f"usage_between_now_{_unit(one.meter_kind, measures)}": _between(one.now_between, one.meter_kind, measures),
        "shape": None if one.law is None else rounded(one.law.shape),
        "shape_interval": None if interval is None else [rounded(interval.low), rounded(interval.high)],
        "law": None if one.law is None else _law_json(one.law, one.meter_kind, measures),
        "level": 0.9,
        "trend": trend_word(one.tests),
        "p_laplace": _value(one.tests.laplace),
        "p_mil_hdbk_189": _value(one.tests.mil_hdbk_189),
        "p_lewis_robinson": _value(one.tests.lewis_robinson),
        "p_reverse_arrangements": _value(one.tests.reverse_arrangements),
    }


def _law_json(law: PowerLaw, meter: MeterKind, measures: Measures) -> dict[str, float | None]:
    """Return the law as handbooks write it, expected count = coefficient x usage^shape, in the farm's unit.

    The shape freed of its bias and the normal interval are for machines watched from new to one age; else null.
    """
    unit = 1 / measures.usage_number(meter, 1.0)
    found: dict[str, float | None] = {
        "coefficient": _coefficient(law, unit),
        "shape_unbiased": None,
        "normal_low": None,
        "normal_high": None,
    }
    try:
        freed, normal = law.unbiased(), law.normal_usage_between_interval()
    except DataError:
        return found
    low, high = (_finite(measures.usage_number(meter, end)) for end in (normal.low, normal.high))
    return {**found, "shape_unbiased": rounded(freed.shape), "normal_low": low, "normal_high": high}


def _coefficient(law: PowerLaw, unit: float) -> float | None:
    """Return the coefficient for usage in such units; None where a steep law has none that is a number."""
    if not 0 < law.coefficient < math.inf:
        return None
    log = math.log(law.coefficient) + law.shape * math.log(unit)
    return _finite(math.exp(log)) if log < _LARGEST else None


def _finite(value: float) -> float | None:
    return float(f"{value:.6g}") if math.isfinite(value) and value > 0 else None


def _between(
    now: UsageBetween | None, meter: MeterKind, measures: Measures
) -> dict[str, float | str | bool | None] | None:
    if now is None:
        return None
    middle, low, high = (rounded(measures.usage_number(meter, end), 1) for end in (now.usage, now.low, now.high))
    return {"now": middle, "low": low, "high": high, "exact": now.exact, "rests_on": now.rests_on}


def _unit(meter: MeterKind, measures: Measures) -> str:
    return JSON_UNIT[measures.usage_unit(meter)]


def _value(test: TrendTest | None) -> float | None:
    return None if test is None else rounded(test.p_value, 5)
