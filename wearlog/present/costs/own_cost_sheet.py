"""Each combine's repairs beside the published curve as an answer: machine by machine, and season by season of one."""

from __future__ import annotations

from typing import Any, Final

from wearlog.costs.own_curve import OwnCurve
from wearlog.costs.published_curves import USUAL_VARIATION
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data, money_value
from wearlog.present.costs.cost_sheet import curve_hours_sentence, hours_json, hours_name
from wearlog.present.digits import NOTHING, Measures, amount, number, percent
from wearlog.present.json_form import money, rounded
from wearlog.present.sheet_faces import sheet_json
from wearlog.present.words import counted
from wearlog.reckoning.costs.own_costs import FleetCurves, MachineCurve, SeasonCost

NO_COMBINE: Final = "There is no combine yet; 'wearlog add combine NAME' enters one."


def _paid(curve: MachineCurve) -> int:
    return sum(one.repair_minor for one in curve.seasons)


def _expected(curve: MachineCurve) -> int | None:
    return sum(one.published_minor for one in curve.seasons) if curve.list_price_minor else None


def _times(curve: MachineCurve) -> float | None:
    expected = _expected(curve)
    return _paid(curve) / expected if expected else None


def _exponent(curve: MachineCurve, _: Measures) -> str:
    own = curve.own
    if own is None:
        return NOTHING
    if own.exponent_low is None or own.exponent_high is None:
        return f"{own.exponent:.2f}"
    return f"{own.exponent:.2f} ({own.exponent_low:.1f}-{own.exponent_high:.1f})"


_COLUMNS: Final[tuple[AnswerColumn[MachineCurve], ...]] = (
    AnswerColumn("combine", lambda one, _: one.name, "machine", lambda one, _: one.name, least=10, most=18),
    data("engine_hours", lambda one, _: rounded(one.engine_hours, 1)),
    AnswerColumn(
        "hours",
        lambda one, _: number(one.hours),
        "field_hours",
        lambda one, _: rounded(one.hours, 1),
        least=8,
        most=9,
        figures=True,
    ),
    data("hours_by", lambda one, _: hours_json(one.basis)["hours_by"]),
    data("engine_per_field_hour", lambda one, _: hours_json(one.basis)["engine_per_field_hour"]),
    data("list_price", money_value(lambda one: one.list_price_minor)),
    data("expected_to_date", money_value(lambda one: one.published_to_date_minor)),
    data("expected_per_hour", money_value(lambda one: one.published_per_hour_minor)),
    AnswerColumn("seasons", lambda one, _: str(len(one.seasons)), least=7, most=7, figures=True, gives=1),
    data("seasons", lambda one, measures: sheet_json(season_cost_sheet(one, measures))["seasons"]),
    AnswerColumn(
        "paid",
        lambda one, _: amount(_paid(one), cents=False),
        "paid",
        money_value(_paid),
        least=8,
        most=10,
        figures=True,
        legend="Paid: repairs since the log began (parts, labour, service).",
    ),
    AnswerColumn(
        "published",
        lambda one, _: amount(_expected(one), cents=False),
        "expected_repair",
        money_value(_expected),
        least=9,
        most=13,
        figures=True,
        legend="Published: what the published curve expects of the same hours; times: paid over that.",
    ),
    AnswerColumn(
        "times",
        lambda one, _: number(_times(one), 2),
        "times_expected",
        lambda one, _: rounded(_times(one)),
        least=5,
        most=6,
        figures=True,
    ),
    AnswerColumn(
        "grows as h^",
        _exponent,
        least=12,
        most=16,
        gives=2,
        legend="Grows as h^: repairs so far grow with this power of the hours (90 % sure); above 1 an hour costs more with age.",
    ),
    data("own_curve", lambda one, _: _curve_json(one.own)),
    data("why_not", lambda one, _: one.why_not or None),
)


def curve_sheet(curves: FleetCurves, measures: Measures) -> AnswerSheet[MachineCurve]:
    """Return what was paid and what the published curve expects of each combine."""
    published = curves.published
    return AnswerSheet(
        name="machines",
        columns=_COLUMNS,
        rows=curves.machines,
        measures=measures,
        headline=_fleet_sentence(curves),
        sentences=_rests_on(curves, measures) if curves.machines else (),
        empty=NO_COMBINE,
        beside={
            "fleet_curve": _curve_json(curves.fleet),
            "fleet_why_not": curves.fleet_why_not or None,
            "published_curve": {
                "machine": published.machine,
                "factor": published.factor,
                "exponent": published.exponent,
                "evidence": published.evidence,
                "source": published.source,
            },
        },
        key_of=id,
        about=lambda one, measures: _about(one, measures),
    )


def season_cost_sheet(curve: MachineCurve, measures: Measures) -> AnswerSheet[SeasonCost]:
    """Return what was paid for one combine season by season."""
    priced = bool(curve.list_price_minor)
    currency = measures.settings.currency

    def expected(one: SeasonCost) -> int | None:
        return one.published_minor if priced else None

    def by_the_hour(one: SeasonCost) -> float:
        return one.repair_minor / (one.to_hours - one.from_hours)

    columns: tuple[AnswerColumn[SeasonCost], ...] = (
        AnswerColumn("season", lambda one, _: str(one.harvest_year), "season", lambda one, _: one.harvest_year),
        AnswerColumn(
            hours_name(curve.basis),
            lambda one, _: f"{number(one.from_hours)} to {number(one.to_hours)}",
            figures=True,
        ),
        data("from_hours", lambda one, _: rounded(one.from_hours, 1)),
        data("to_hours", lambda one, _: rounded(one.to_hours, 1)),
        AnswerColumn(
            "paid",
            lambda one, _: amount(one.repair_minor, cents=False),
            "repair",
            lambda one, _: money(one.repair_minor, currency),
            figures=True,
        ),
        AnswerColumn(
            "an hour",
            lambda one, _: amount(by_the_hour(one)),
            "repair_per_hour",
            lambda one, _: money(round(by_the_hour(one)), currency),
            figures=True,
        ),
        AnswerColumn(
            "published",
            lambda one, _: amount(expected(one), cents=False),
            "expected_repair",
            lambda one, _: money(expected(one), currency),
            figures=True,
        ),
    )
    return AnswerSheet(
        name="seasons",
        columns=columns,
        rows=curve.seasons,
        measures=measures,
        headline=f"{curve.name}, {number(curve.hours)} {hours_name(curve.basis)} ({number(curve.engine_hours)} of the engine).",
        sentences=(_about(curve, measures),),
        empty="No season with hours of use is on record.",
    )


def _about(curve: MachineCurve, measures: Measures) -> str:
    said = []
    if curve.published_per_hour_minor is not None:
        said.append(f"The next hour costs {measures.money(curve.published_per_hour_minor)} by the published curve.")
    if curve.own is not None:
        said.append(f"Own curve: {_curve_sentence(curve.own)}")
    elif curve.why_not:
        said.append(f"No own curve: {curve.why_not}")
    return " ".join(said)


def _curve_sentence(curve: OwnCurve) -> str:
    sentence = f"{curve.factor:.3g} x (h / 1,000)^{curve.exponent:.2f} of list price"
    if curve.exponent_low is not None and curve.exponent_high is not None:
        sentence += f" (exponent {curve.exponent_low:.1f} to {curve.exponent_high:.1f}, {percent(curve.level)} sure)"
    sentence += f", over {counted(curve.intervals, 'season')} and {number(curve.hours)} h"
    return f"{sentence}; the exponent is unusual, so look at the entries first." if curve.is_unusual else f"{sentence}."


def _fleet_sentence(curves: FleetCurves) -> str:
    found = _curve_sentence(curves.fleet) if curves.fleet else f"no own curve: {curves.fleet_why_not}"
    return f"All combines together: {found}"


def _rests_on(curves: FleetCurves, measures: Measures) -> tuple[str, ...]:
    published = curves.published
    hours = curve_hours_sentence([(machine.name, machine.basis) for machine in curves.machines])
    return (
        _fleet_sentence(curves),
        f"The published curve of a {published.machine}: {published.factor:g} x (h / 1,000)^{published.exponent:g} of today's"
        f" list price; {published.source}; give or take {percent(USUAL_VARIATION)}. {hours}",
        f"In {measures.settings.currency}, parts, labour and service; what standing costs is in neither.",
    )


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
