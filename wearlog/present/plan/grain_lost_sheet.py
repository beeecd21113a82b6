"""What worn threshing parts cost in grain as an answer: a combine a row, what renewing its parts now saves and costs."""

from __future__ import annotations

import math
from typing import Any, Final

import numpy as np

from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.facts.work import Crop
from wearlog.plan.decide import Verdict
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data, money_value
from wearlog.present.digits import NOTHING, Measures, amount, low_to_high, number, percent, reckoned
from wearlog.present.json_form import money, rounded
from wearlog.present.words import ByCommand, counted, listed
from wearlog.reckoning.plan.grain_lost import GrainLost, GrainRow
from wearlog.units import POUND_GRAMS
from wearlog.wear.replacement import BestAge

_DO: Final = {Verdict.REPLACE: "renew now", Verdict.RUN: "run on", Verdict.EITHER_WAY: "either way"}
_TONNE: Final = 1e6
#: a bushel of wheat where nobody can say what one of the farm's crops weighs (60 lb; its test weight, common practice)
_BUSHEL: Final = 60 * float(POUND_GRAMS)
#: fewer days of checks say little beside the guess
_GUESS_BELOW: Final = 2


def grain_lost_sheet(view: GrainLost, measures: Measures) -> AnswerSheet[GrainRow]:
    """Return the combines whose loss was checked, the one first whose parts are most worth renewing."""
    answer = _answer(view, measures)
    return AnswerSheet(
        name="combines",
        columns=COLUMNS,
        rows=view.rows,
        measures=measures,
        headline=f"{answer} {_growth_said(view)}".strip() if view.rows else "",
        answer=answer if view.rows else "",
        sentences=_sentences(view),
        empty="No loss check says how old the threshing parts were: count behind the combine, with the yield of the field.",
        beside=_beside(view),
        key_of=lambda row: row.line.machine.id,
        about=_about,
        shouts=lambda row: row.verdict is Verdict.REPLACE,
    )


def _grain_unit(settings: FarmSettings) -> tuple[str, float]:
    """Return the unit in which grain of several crops is told, and its grams."""
    return ("t", _TONNE) if settings.is_metric else ("bu of 60 lb", _BUSHEL)


def price_grams(crop: Crop, settings: FarmSettings) -> float:
    """Return the grams that a crop's price is for: a tonne, or a bushel."""
    return _TONNE if settings.is_metric else float(crop.bushel_grams or _BUSHEL)


def _grain(grams: float, measures: Measures) -> str:
    unit, each = _grain_unit(measures.settings)
    return f"{number(grams / each, 1 if measures.settings.is_metric else 0)} {unit.split()[0]}"


def _range(row: GrainRow, measures: Measures) -> str:
    if row.saved_minor is None:
        return low_to_high(_grain(row.saved.quantile(0.1), measures), _grain(row.saved.quantile(0.9), measures))
    low, high = row.saved_minor.quantile(0.1), row.saved_minor.quantile(0.9)
    return low_to_high(reckoned(low), reckoned(high))


def _saves(row: GrainRow, measures: Measures) -> str:
    if row.saved_minor is None:
        return _grain(row.saved.expected, measures)
    return reckoned(row.saved_minor.expected)


def _costs(row: GrainRow, _: Measures) -> str:
    return reckoned(row.renewing_minor)


def _do(row: GrainRow, measures: Measures) -> str:
    if row.verdict is not None:
        return _DO[row.verdict]
    if row.pays_from is None:
        return "no price"
    unit, each = _grain_unit(measures.settings)
    return f"from {amount(row.pays_from * each)}/{unit.split()[0]}"


def _hours(best: BestAge | None, measures: Measures) -> str:
    if best is None:
        return NOTHING
    return "never" if math.isinf(best.age) else measures.usage(MeterKind.SEPARATOR_HOURS, best.age)


def _hours_value(best: BestAge | None) -> float | None:
    return None if best is None or math.isinf(best.age) else rounded(best.age / 3600, 1)


def _ends(row: GrainRow, measures: Measures) -> dict[str, Any] | None:
    if row.saved_minor is None:
        return None
    found = row.saved_minor
    return {
        "mean": money(found.expected, measures.settings.currency),
        "low": money(found.quantile(0.1), measures.settings.currency),
        "high": money(found.quantile(0.9), measures.settings.currency),
    }


COLUMNS: Final[tuple[AnswerColumn[GrainRow], ...]] = (
    AnswerColumn(
        "combine",
        lambda row, _: row.line.machine.name,
        "combine",
        lambda row, _: row.line.machine.name,
        least=8,
        most=14,
    ),
    data("component", lambda row, _: row.line.component.place),
    AnswerColumn(
        "ran",
        lambda row, measures: measures.usage(MeterKind.SEPARATOR_HOURS, row.age),
        "age_hours",
        lambda row, _: rounded(row.age / 3600, 1),
        least=7,
        most=9,
        figures=True,
        gives=1,
        legend="ran: separator hours of the threshing parts.",
    ),
    AnswerColumn(
        "more lost",
        lambda row, _: f"{row.extra_now:.1f} %",
        "extra_loss_percent",
        lambda row, _: rounded(row.extra_now, 3),
        least=9,
        most=9,
        figures=True,
        gives=4,
        legend="more lost: of the crop, beyond what new parts lose.",
    ),
    AnswerColumn(
        "saves",
        _saves,
        "grain_saved_tonnes",
        lambda row, _: rounded(row.saved.expected / _TONNE, 2),
        least=7,
        most=10,
        figures=True,
        tells_more=True,
        legend="saves: grain that new parts would lose less over the season ahead, in money where every crop has a price; costs: "
        "renewing them now, less the failures it spares and the life it begins ({money}).",
    ),
    data("grain_saved_by_renewing", _ends),
    AnswerColumn("8 in 10", _range, least=12, most=18, figures=True, gives=3),
    AnswerColumn(
        "costs",
        _costs,
        "renewing_costs",
        money_value(lambda row: row.renewing_minor),
        least=6,
        most=9,
        figures=True,
    ),
    AnswerColumn("do", _do, "do", lambda row, _: row.verdict, least=10, most=16, tells_more=True),
    data(
        "pays_from_per_tonne",
        money_value(lambda row: None if row.pays_from is None else row.pays_from * _TONNE),
    ),
    data("gain_mean", money_value(lambda row: row.gain[0] if row.gain else None)),
    data("gain_low", money_value(lambda row: row.gain[1] if row.gain else None)),
    data("gain_high", money_value(lambda row: row.gain[2] if row.gain else None)),
    AnswerColumn(
        "renew at",
        lambda row, measures: _hours(row.with_grain or row.without_grain, measures),
        "renewal_age_hours",
        lambda row, _: _hours_value(row.with_grain),
        least=8,
        most=9,
        figures=True,
        gives=2,
        tells_more=True,
        legend="renew at: the age at which renewing costs least in the long run, with the grain where it has a price.",
    ),
    data("renewal_age_without_grain_hours", lambda row, _: _hours_value(row.without_grain)),
    data("check_worth", money_value(lambda row: row.check_minor)),
    data("checks", lambda row, _: row.checks),
    data("crops", lambda row, _: [one.crop for one in row.crops]),
    data("crops_left_out", lambda row, _: [*row.left_out]),
)


def _answer(view: GrainLost, measures: Measures) -> str:
    if not view.rows:
        return ""
    first = view.rows[0]
    name, area = one_line(first.line.machine.name), measures.area(first.area)
    saves, ends = _saves(first, measures), _range(first, measures)
    if first.saved_minor is not None:
        currency = measures.settings.currency
        saves = f"{saves} {currency} of grain"
    said = f"Renewing the {first.line.kind.name} of {name} now saves {saves} ({ends}) on {area} ahead"
    if first.renewing_minor is None:
        return f"{said}; what that costs nobody wrote."
    costs = f"and costs {reckoned(first.renewing_minor)} {measures.settings.currency}"
    if first.verdict is None:
        return f"{said} {costs}: it pays {_do(first, measures)} on."
    return f"{_do_first(first.verdict)}: {said[0].lower()}{said[1:]} {costs}."


def _do_first(verdict: Verdict) -> str:
    """Return what the figures say as the beginning of a sentence."""
    return {Verdict.REPLACE: "Renew", Verdict.RUN: "Run on", Verdict.EITHER_WAY: "Either way"}[verdict]


def _growth_said(view: GrainLost) -> str:
    if view.growth is None:
        return ""
    low, middle, high = (
        percent(float(np.expm1(end))) for end in (view.growth.low, view.growth.median, view.growth.high)
    )
    rest = f"{counted(view.days, 'day')} of checks"
    guess = ", so mostly a guess" if view.days < _GUESS_BELOW else ""
    return f"In a median life of the parts loss grows by {middle} ({low} to {high}); {rest}{guess}."


def _sentences(view: GrainLost) -> list[str]:
    found = [
        "Speed, moisture, setting and lodged crop move loss more than wear does; checks of one combine in one crop on one day "
        "count once. Loss is taken never to fall with wear. The plan's own saving does not hold the grain."
    ]
    crops = sorted({crop for row in view.rows for crop in row.left_out})
    if crops:
        found.append(f"Left out, for want of a loss check there or of a yield: {one_line(listed(crops))}.")
    if any(row.saved_minor is None for row in view.rows):
        found.append(
            ByCommand(
                "A crop without a price: say it with --price CROP MONEY, and money stands in place of grain.",
                "Grain and no money stands here, since the price of the day is not entered.",
            )
        )
    checked = view.checked
    for count, why in (
        (checked.without_yield, "without a yield or a kernel weight"),
        (checked.without_age, "of parts of an unknown age"),
        (checked.other_state, "not in standing crop"),
    ):
        if count:
            found.append(f"{counted(count, 'check')} {why} left out.")
    if view.unknown:
        found.append(f"Nobody knows how old the parts are on {one_line(listed([*view.unknown]))}.")
    if view.unchecked:
        found.append(f"No loss was checked on {one_line(listed([*view.unchecked]))}: no advice there.")
    return found


def _about(row: GrainRow, measures: Measures) -> str:
    name = one_line(row.line.machine.name)
    without = _hours(row.without_grain, measures)
    check = ""
    if row.check_minor is not None:
        check = f" One more check before you decide is worth {measures.money(row.check_minor, cents=False)}."
    with_grain = "" if row.with_grain is None else f"{_hours(row.with_grain, measures)} with the grain, "
    return (
        f"{name}: {counted(row.checks, 'day')} of checks in {one_line(listed([one.crop for one in row.crops]))}. Renew at "
        f"{with_grain}{without} without {'it' if with_grain else 'the grain'}.{check}"
    )


def _beside(view: GrainLost) -> dict[str, Any]:
    growth = view.growth
    shares = None
    if growth is not None:
        shares = {
            "median": rounded(float(np.expm1(growth.median)), 3),
            "low": rounded(float(np.expm1(growth.low)), 3),
            "high": rounded(float(np.expm1(growth.high)), 3),
        }
    return {"loss_growth_per_life": shares, "days_of_checks": view.days, "loss_checks": view.checked.checks}
