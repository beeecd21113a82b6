"""Repairs that come again in words: breakages counted up by season and usage, and whether they come ever closer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any
from uuid import UUID

from wearlog.facts.closed_lists import MeterKind
from wearlog.present.charts import chart_lines
from wearlog.present.digits import NOTHING, Measures
from wearlog.present.json_form import rounded
from wearlog.present.tables import Column, folded, text_table
from wearlog.present.wear_charts import repairs_chart
from wearlog.present.wear_json import JSON_UNIT
from wearlog.present.wear_tables import counted_up
from wearlog.present.wear_words import rough
from wearlog.present.words import capital
from wearlog.reckoning.repairs_again import (
    FEWEST_FOR_A_LAW,
    MachineRepairs,
    RateFrom,
    RepairsAgain,
    TrendTests,
    UsageBetween,
)
from wearlog.wear.trend import TrendTest

_LIKELY = 0.05


def repair_lines(found: Sequence[RepairsAgain], measures: Measures, width: int = 96) -> list[str]:
    """Return a section for each kind of machine: the count by season, the trend of each machine, the mean count as a chart."""
    lines: list[str] = []
    for again in found:
        lines += ["", *_section(again, measures, width)]
    return lines[1:]


def of_machine(found: Sequence[RepairsAgain], machine_id: UUID) -> list[RepairsAgain]:
    """Leave one machine: its own trend speaks, and a mean count over machines has no meaning."""
    return [
        replace(again, machines=(one,), mean=None, law=one.law, tests=one.tests, now_between=one.now_between)
        for again in found
        for one in again.machines
        if one.machine.id == machine_id
    ]


def _section(again: RepairsAgain, measures: Measures, width: int) -> list[str]:
    seasons = [year for year, _, _ in again.machines[0].by_season]
    columns = (
        Column(again.kind.value, widest=20),
        *(Column(str(year), figures=True) for year in seasons),
        Column("all", figures=True),
        Column("worked", figures=True),
        Column("now one per"),
        Column("trend"),
    )
    lines = text_table(columns, [_cells(one, measures) for one in again.machines])
    who = again.machines[0].machine.name if len(again.machines) == 1 else f"all {again.kind.value}s together"
    said = [capital(f"{who}: {trend_sentence(again.tests)}")]
    if seasons:
        said.append(f"Counted up to the end of each season: {counted_up(again)}.")
    if again.now_between is not None:
        together = between_text(again.now_between, again.meter_kind, measures)
        more = f": {who} one per {together}" if len(again.machines) > 1 else ""
        said.append(f"Now one per, with its 90 % interval{more}. {_rule(again)}")
    lines += folded(said)
    chart = repairs_chart(again, measures)
    if chart is not None:
        lines += ["", *chart_lines(chart, width, 16)]
    return lines


def _cells(one: MachineRepairs, measures: Measures) -> tuple[str, ...]:
    return (
        one.machine.name,
        *(str(count) for _, count, _ in one.by_season),
        str(one.at_usage.size),
        measures.usage(one.meter_kind, one.usage),
        between_text(one.now_between, one.meter_kind, measures),
        trend_word(one.tests),
    )


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


def now_sentence(again: RepairsAgain, measures: Measures) -> str:
    """Say how often all machines of a kind break by now and what that rests on; "" before the first breakage."""
    now = again.now_between
    if now is None:
        return ""
    between = between_text(now, again.meter_kind, measures)
    return f"Now one per {between}, 90 % interval in brackets. {_rests_on(now.rests_on)}"


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


def repair_json(found: Sequence[RepairsAgain], measures: Measures) -> dict[str, Any]:
    """Return the same as JSON."""
    return {
        "repairs": [_machine(one, measures) for again in found for one in again.machines],
        "together": [_together(again, measures) for again in found if len(again.machines) > 1],
    }


def _machine(one: MachineRepairs, measures: Measures) -> dict[str, Any]:
    return {
        "machine": one.machine.name,
        "meter": one.meter_kind,
        f"worked_{_unit(one.meter_kind, measures)}": rounded(measures.usage_number(one.meter_kind, one.usage), 1),
        "breakages": one.at_usage.size,
        "by_season": [{"season": year, "breakages": count, "so_far": total} for year, count, total in one.by_season],
        **_rate_and_trend(one, measures),
    }


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
        "level": 0.9,
        "trend": trend_word(one.tests),
        "p_laplace": _value(one.tests.laplace),
        "p_mil_hdbk_189": _value(one.tests.mil_hdbk_189),
        "p_lewis_robinson": _value(one.tests.lewis_robinson),
        "p_reverse_arrangements": _value(one.tests.reverse_arrangements),
    }


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
