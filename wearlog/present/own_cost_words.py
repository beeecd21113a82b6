"""The farm's own repair curve and the economic life of its combines, in words and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from wearlog.costs.economic_life import EconomicLife
from wearlog.costs.own_curve import OwnCurve
from wearlog.costs.published_curves import USUAL_VARIATION
from wearlog.present.digits import NOTHING, Measures, amount, number, percent
from wearlog.present.field_hours_words import curve_hours_sentence, hours_json, hours_name
from wearlog.present.json_form import money, rounded
from wearlog.present.tables import Column, text_table
from wearlog.present.words import counted
from wearlog.reckoning.own_costs import FleetCurves, MachineCurve, MachineLife


def curves_lines(curves: FleetCurves, measures: Measures) -> list[str]:
    """Return what was paid by hours in the field, the published curve beside it, and the curves of the farm's own."""
    if not curves.machines:
        return ["There is no combine yet; 'wearlog add combine NAME' enters one."]
    lines = []
    for machine in curves.machines:
        lines += [*_machine_lines(machine), ""]
    fleet = _curve_sentence(curves.fleet) if curves.fleet else f"no own curve: {curves.fleet_why_not}"
    published = curves.published
    hours = curve_hours_sentence([(machine.name, machine.basis) for machine in curves.machines])
    return [
        *lines,
        f"All combines together: {fleet}",
        f"The published curve of a {published.machine}: {published.factor:g} x (h / 1,000)^{published.exponent:g} of today's"
        f" list price; {published.source}; give or take {percent(USUAL_VARIATION)}."
        f" {hours}",
        f"In {measures.settings.currency}, parts, labour and service; what standing costs is in neither.",
    ]


def _machine_lines(machine: MachineCurve) -> list[str]:
    head = f"{machine.name}, {number(machine.hours)} {hours_name(machine.basis)} ({number(machine.engine_hours)} of the engine)"
    if not machine.seasons:
        return [f"{head}: no season with hours of use is on record."]
    columns = (
        Column("season"),
        Column(hours_name(machine.basis), figures=True),
        Column("paid", figures=True),
        Column("curve expects", figures=True),
    )
    rows = [
        (
            str(one.harvest_year),
            f"{number(one.from_hours)} to {number(one.to_hours)}",
            amount(one.repair_minor, cents=False),
            amount(one.published_minor, cents=False) if machine.list_price_minor else NOTHING,
        )
        for one in machine.seasons
    ]
    own = f"  Own curve: {_curve_sentence(machine.own)}" if machine.own else f"  No own curve: {machine.why_not}"
    return [head, *(f"  {line}" for line in text_table(columns, rows)), own]


def _curve_sentence(curve: OwnCurve) -> str:
    sentence = f"{curve.factor:.3g} x (h / 1,000)^{curve.exponent:.2f} of list price"
    if curve.exponent_low is not None and curve.exponent_high is not None:
        sentence += f" (exponent {curve.exponent_low:.1f} to {curve.exponent_high:.1f}, {percent(curve.level)} sure)"
    sentence += f", over {counted(curve.intervals, 'season')} and {number(curve.hours)} h"
    return f"{sentence}; the exponent is unusual, so look at the entries first." if curve.is_unusual else f"{sentence}."


def lives_lines(lives: Sequence[MachineLife], measures: Measures, interest: float) -> list[str]:
    """Return the economic life of each combine."""
    if not lives:
        return ["There is no combine yet; 'wearlog add combine NAME' enters one."]
    lines = []
    for life in lives:
        age = "age unknown" if life.age_years is None else f"{number(life.age_years)} years"
        hours = f"{number(life.hours)} {hours_name(life.basis)}"
        lines.append(f"{life.name}: {age}, {hours}, {number(life.hours_per_year)} a year")
        if life.missing:
            lines.append(f"  It needs: {life.missing}.")
        else:
            lines.append(
                f"  By the published curve: {_life_sentence(life.published, life.next_year_published_minor, measures)}"
            )
            whose = "all combines' own curve" if life.own_is_fleet else "its own curve"
            own = _life_sentence(life.own, life.next_year_own_minor, measures)
            lines.append(f"  By {whose}: {own}")
    return [
        *lines,
        "",
        "Cheapest age: where the mean yearly cost (value lost and repairs, from new at today's list price"
        f"{f', {interest:g} % interest' if interest else ', without interest'}) is least.",
        "Remaining value by ASAE D497 (coefficients from memory). Standing in harvest is not in it: see 'wearlog cost'.",
    ]


def _life_sentence(life: EconomicLife | None, next_year_minor: int | None, measures: Measures) -> str:
    if life is None:
        return "too few records for a curve."
    least = life.yearly_cost_minor[life.best_years - 1]
    text = f"cheapest to about {life.best_years} years ({life.as_good_from} to {life.as_good_to} are as good)"
    if life.still_falling:
        text = f"cheaper every year up to {life.best_years} years and beyond"
    text += f", {measures.money(least, cents=False)} a year"
    if next_year_minor is None:
        return f"{text}."
    past = next_year_minor > least
    said = "more than that: past its cheapest age" if past else "less than that: it still pays to keep"
    return f"{text}; one more year costs {measures.money(next_year_minor, cents=False)}, {said}."


def curves_json(curves: FleetCurves, measures: Measures) -> dict[str, Any]:
    """Return the curves as JSON."""
    currency = measures.settings.currency
    return {
        "machines": [
            {
                "machine": machine.name,
                "engine_hours": rounded(machine.engine_hours, 1),
                "field_hours": rounded(machine.hours, 1),
                **hours_json(machine.basis),
                "list_price": money(machine.list_price_minor, currency),
                "expected_to_date": money(machine.published_to_date_minor, currency),
                "seasons": [
                    {
                        "season": one.harvest_year,
                        "from_hours": rounded(one.from_hours, 1),
                        "to_hours": rounded(one.to_hours, 1),
                        "repair": money(one.repair_minor, currency),
                        "expected_repair": money(one.published_minor if machine.list_price_minor else None, currency),
                    }
                    for one in machine.seasons
                ],
                "own_curve": _curve_json(machine.own),
                "why_not": machine.why_not or None,
            }
            for machine in curves.machines
        ],
        "fleet_curve": _curve_json(curves.fleet),
        "fleet_why_not": curves.fleet_why_not or None,
        "published_curve": {
            "machine": curves.published.machine,
            "factor": curves.published.factor,
            "exponent": curves.published.exponent,
            "evidence": curves.published.evidence,
            "source": curves.published.source,
        },
    }


def _curve_json(curve: OwnCurve | None) -> dict[str, Any] | None:
    if curve is None:
        return None
    return {
        "factor": rounded(curve.factor, 8),
        "exponent": rounded(curve.exponent, 4),
        "exponent_low": rounded(curve.exponent_low, 4),
        "exponent_high": rounded(curve.exponent_high, 4),
        "level": curve.level,
        "seasons": curve.intervals,
        "field_hours": rounded(curve.hours, 1),
        "unusual": curve.is_unusual,
    }


def lives_json(lives: Sequence[MachineLife], measures: Measures, interest: float) -> dict[str, Any]:
    """Return the economic lives as JSON."""
    currency = measures.settings.currency
    return {
        "interest_percent": interest,
        "machines": [
            {
                "machine": life.name,
                "age_years": life.age_years,
                "engine_hours": rounded(life.engine_hours, 1),
                "field_hours": rounded(life.hours, 1),
                "field_hours_per_year": rounded(life.hours_per_year, 1),
                **hours_json(life.basis),
                "published": _life_json(life.published, life.next_year_published_minor, currency),
                "own": _life_json(life.own, life.next_year_own_minor, currency),
                "own_curve_of": None if life.own is None else "all_combines" if life.own_is_fleet else "this_combine",
                "missing": life.missing or None,
            }
            for life in lives
        ],
    }


def _life_json(life: EconomicLife | None, next_year_minor: int | None, currency: str) -> dict[str, Any] | None:
    if life is None:
        return None
    return {
        "best_years": life.best_years,
        "as_good_from": life.as_good_from,
        "as_good_to": life.as_good_to,
        "still_falling": life.still_falling,
        "yearly_cost": money(life.yearly_cost_minor[life.best_years - 1], currency),
        "next_year_cost": money(next_year_minor, currency),
    }
