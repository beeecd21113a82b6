"""The wear of kinds as JSON: the keys that other programs rest on, with more beside them. No words, no tables."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any
from uuid import UUID

from wearlog.facts.closed_lists import Ground, MeterKind
from wearlog.facts.machines import Machine
from wearlog.present.digits import Measures
from wearlog.present.guess_agreement import agreement_json
from wearlog.present.json_form import rounded
from wearlog.present.replacement_words import replacement_json
from wearlog.present.wear_words import is_known, rests_on, way_of_failing
from wearlog.reckoning.age_groups import AgeGroup
from wearlog.reckoning.kind_life import KindLife
from wearlog.reckoning.kind_view import KindView
from wearlog.reckoning.replacement_age import NoAge, ReplacementAge
from wearlog.reckoning.season_ahead import SeasonAhead
from wearlog.reckoning.wear_outlook import ComponentOutlook, KindOutlook
from wearlog.wear.intervals import Estimate

#: a unit as the end of a JSON key
JSON_UNIT = {"ac": "acres", "ha": "hectares", "h": "hours", "d": "days"}


def wear_json(
    rows: Sequence[KindOutlook],
    machines: Sequence[Machine],
    measures: Measures,
    machine: str | None = None,
    *,
    ahead: SeasonAhead | None = None,
) -> dict[str, Any]:
    """Return {"kinds": [...]}: each with its life, and each position that is fitted now; `machine` when it is of one alone.

    What nobody can reckon is null: parts of unknown age, and everything about a season of which nothing is known.
    """
    names = {one.id: one.name for one in machines}
    known = ahead is None or is_known(ahead)
    return {"kinds": [_kind(row, names, measures, machine, known=known) for row in rows]}


def kind_json(
    view: KindView, age: ReplacementAge | NoAge, machines: Sequence[Machine], measures: Measures
) -> dict[str, Any]:
    """Return the same of one kind, with the age at which replacing costs least."""
    machine = view.machine.name if view.machine else None
    found = wear_json([view.row], machines, measures, machine, ahead=view.ahead)
    found["kinds"][0]["replacement"] = replacement_json(age, view.row.life, measures)
    return found


def _kind(
    row: KindOutlook, names: dict[UUID, str], measures: Measures, machine: str | None, *, known: bool
) -> dict[str, Any]:
    life, meter = row.life, row.life.kind.meter_kind
    area = JSON_UNIT[measures.area_unit]
    rate = measures.per_thousand(row.breakages / life.area) if life.area > 0 else None
    stones = life.impact_conflict
    median, shape = life.median_life, None if life.posterior is None else life.posterior.shape()
    return {
        "kind": life.kind.name,
        "machine": machine,
        "meter": meter,
        "unit": JSON_UNIT[measures.usage_unit(meter)],
        "failures": round(life.lives.failures),
        "lives": round(life.lives.count),
        "exposure": _usage(life.lives.exposure, meter, measures),
        "life_median": _end(median, "median", meter, measures),
        "life_low": _end(median, "low", meter, measures),
        "life_high": _end(median, "high", meter, measures),
        "b10": _end(life.b10, "median", meter, measures),
        "level": 0.9,
        "shape": None
        if shape is None
        else {"median": rounded(shape.median), "low": rounded(shape.low), "high": rounded(shape.high)},
        "fails": None if shape is None else way_of_failing(life),
        "rests_on": rests_on(life),
        **agreement_json(life.guess_check),
        "lives_left_out": life.lives.left_out,
        "breakages": row.breakages,
        "impacts": row.impacts,
        f"breakages_per_1000_{area}": rounded(rate),
        f"impacts_per_1000_{area}_by_ground": _by_ground(life, measures),
        f"impacts_per_1000_{area}_by_ground_interval": _by_ground_interval(life, measures),
        "impact_guess": life.has_impact_guess,
        "impact_guess_conflict_p": None if stones is None else stones.p,
        "impacts_expected": _impacts_expected(row) if known else None,
        "expected_breakages": rounded(row.expected_known) if known else None,
        "expected_with_successors": rounded(row.failures_known) if known else None,
        "not_reckoned": row.not_reckoned,
        "unknown_age": row.unknown,
        "expected_of_unknown_age_at_steady_rate": rounded(row.expected_steady) if known else None,
        "now": [
            entry for component in row.components for entry in _now(component, meter, names, measures, known=known)
        ],
    }


def _by_ground(life: KindLife, measures: Measures) -> dict[str, float | None] | None:
    if life.impacts is None:
        return None
    rates = zip(Ground, life.impacts.rates, strict=True)
    return {ground.value: rounded(measures.per_thousand(rate.mean), 4) for ground, rate in rates}


def _by_ground_interval(life: KindLife, measures: Measures) -> dict[str, list[float | None]] | None:
    if life.impact_rates is None:
        return None
    return {
        ground.value: [rounded(measures.per_thousand(end), 4) for end in (rate.low, rate.high)]
        for ground, rate in zip(Ground, life.impact_rates, strict=True)
    }


def _impacts_expected(row: KindOutlook) -> dict[str, float | int | None] | None:
    counts = row.impact_counts()
    return None if counts is None else {"mean": rounded(counts.mean), "low": counts.low, "high": counts.high}


def _now(
    component: ComponentOutlook, meter: MeterKind, names: dict[UUID, str], measures: Measures, *, known: bool
) -> Iterator[dict[str, Any]]:
    """One entry for each position; what stones are expected to break is shared evenly over the positions."""
    by_stones = component.expected_impacts / component.positions
    places = sorted(
        ((position, group) for group in component.groups for position in group.positions), key=lambda place: place[0]
    )
    for position, group in places:
        # what has failed already is known whatever the season asks
        told = known or group.failed
        by_wear = None if group.survives is None or not told else 1 - group.survives
        in_all = None if by_wear is None else by_wear + group.successors + by_stones
        yield {
            "component": component.place,
            "position": position,
            "machine": names.get(component.machine_id),
            "age": _usage(group.age, meter, measures),
            "survive_season": rounded(group.survives, 4) if told else None,
            "survive_low": rounded(group.survives_low, 4) if told else None,
            "survive_high": rounded(group.survives_high, 4) if told else None,
            "expected_breakages": None if by_wear is None else rounded(by_wear + by_stones, 4),
            "expected_with_successors": rounded(in_all, 4),
            "state": _state(group),
            "past_limit_by_its_line": group.past_by_line,
        }


def _state(group: AgeGroup) -> str:
    if group.failed:
        return "failed"
    if group.age is None:
        return "age_unknown"
    return "measured" if group.by_measurement else "whole"


def _end(estimate: Estimate | None, which: str, meter: MeterKind, measures: Measures) -> float | None:
    return None if estimate is None else _usage(getattr(estimate, which), meter, measures)


def _usage(usage: float | None, meter: MeterKind, measures: Measures) -> float | None:
    return None if usage is None else rounded(measures.usage_number(meter, usage), 1)
