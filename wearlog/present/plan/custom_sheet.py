"""Cutting for others, hiring and renting out as an answer: what an acre of it costs, part by part, beside the rate."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from wearlog.costs.custom_work import OWNING, SHORT_RUN, RateVerdict
from wearlog.facts.days import date_said
from wearlog.facts.plain_text import one_line
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import NOTHING, Measures, amount, number
from wearlog.present.json_form import money, rounded
from wearlog.present.words import capital, counted, ground_words, listed
from wearlog.reckoning.plan.custom_basis import Deal
from wearlog.reckoning.plan.custom_work import LEVEL, CustomView
from wearlog.units import ACRE_SQUARE_METRES, HECTARE_SQUARE_METRES

_NAMES: Final = {
    "wear": "wear by life",
    "stones": "stones",
    "repairs": "other repairs",
    "fuel": "fuel and oil",
    "labour": "labour",
    "standing": "standing",
    "value_lost": "value lost by use",
    "road": "road",
    "waiting": "own crop waits",
    OWNING: "owning",
}


_VERDICTS: Final = {
    RateVerdict.LOSES: "loses on each",
    RateVerdict.HELPS: "helps to pay for the machine",
    RateVerdict.PAYS: "pays",
}


_BARE: Final = {
    Deal.RENT_OUT: "It goes without driver and fuel.",
    Deal.RENT_IN: "Driver and fuel are yours both ways, so in neither. The rented one is taken to cut as much an hour, its road to "
    "be in the rate.",
}


@dataclass(frozen=True, slots=True)
class CostPart:
    """One part of the cost of an acre or hectare, in minor units; `is_spent`: the work itself brings it about."""

    name: str
    mean: float
    low: float
    high: float
    is_spent: bool


def _each(measures: Measures) -> float:
    return float(HECTARE_SQUARE_METRES if measures.settings.is_metric else ACRE_SQUARE_METRES)


def _part(name: str, draws: NDArray[np.float64] | float, measures: Measures, *, is_spent: bool) -> CostPart:
    values = np.asarray(draws, dtype=np.float64) * _each(measures)
    low, high = (float(np.quantile(values, end)) for end in LEVEL)
    return CostPart(name, float(values.mean()), low, high, is_spent)


def custom_parts(view: CustomView, measures: Measures) -> list[CostPart]:
    """Return the parts of the cost in their order; what the deal leaves to the other side is not among them."""
    theirs = ("fuel", "labour") if view.asked.deal.is_bare else ()
    parts = [_part(name, view.cost.parts[name], measures, is_spent=True) for name in SHORT_RUN if name not in theirs]
    if view.road:
        parts.append(_part("road", view.road, measures, is_spent=True))
    if view.waiting:
        parts.append(_part("waiting", view.waiting, measures, is_spent=True))
    return [*parts, _part(OWNING, view.cost.parts[OWNING], measures, is_spent=False)]


def custom_sheet(view: CustomView, measures: Measures) -> AnswerSheet[CostPart]:
    """Return what the work costs by part, and what the rate is worth."""
    short, full = (_part("", one, measures, is_spent=True) for one in (view.outlay, view.full))
    rate = None if view.asked.rate is None else view.asked.rate * _each(measures)
    headline = _headline(view, measures, short, full, rate)
    currency = measures.settings.currency
    return AnswerSheet(
        name="parts",
        columns=_COLUMNS,
        rows=custom_parts(view, measures),
        measures=measures,
        headline=headline,
        answer=headline,
        sentences=_sentences(view, measures),
        beside={
            "combine": view.machine.name,
            "ground": view.asked.ground,
            "deal": view.asked.deal,
            f"short_run_per_{_unit(measures)}": _money(short, currency),
            f"full_per_{_unit(measures)}": _money(full, currency),
            f"waiting_per_{_unit(measures)}": None
            if view.waiting is None
            else money(round(view.waiting * _each(measures)), currency),
            "rate_offered": None if rate is None else money(round(rate), currency),
            "gain": None if view.asked.rate is None else money(round(_gain(view)), currency),
            "verdict": view.verdict,
            "either_way": not view.is_sure if rate is not None else None,
            "days_later": rounded(view.days_later, 2),
            "days_sooner": rounded(view.days_sooner, 2),
            "sooner_worth": None if view.sooner is None else money(round(view.sooner), currency),
            "crop": view.crop_name or None,
            "pace_is_of_crop": view.pace_is_of_crop,
            "hour_of_standing": money(round(view.hour_minor), currency),
            "done_by": None if view.job is None else view.job.done_by.isoformat(),
            "too_late": None if view.job is None else view.job.is_too_late,
            "kinds_in_wear": list(view.in_wear),
            "kinds_in_repairs": list(view.in_repairs),
            "kinds_by_time": list(view.by_time),
            "left_out": list(view.left_out),
        },
        key_of=lambda row: row.name,
        about=_about,
    )


def _unit(measures: Measures) -> str:
    return "hectare" if measures.settings.is_metric else "acre"


def _money(part: CostPart, currency: str) -> dict[str, Any]:
    return {
        "mean": money(round(part.mean), currency),
        "low": money(round(part.low), currency),
        "high": money(round(part.high), currency),
    }


def _gain(view: CustomView) -> float:
    """What is left over for the whole area: of hiring what is saved."""
    left = ((view.asked.rate or 0.0) - float(view.outlay.mean())) * view.asked.area
    return -left if view.asked.deal.is_taken_in else left


def _headline(view: CustomView, measures: Measures, short: CostPart, full: CostPart, rate: float | None) -> str:
    each = f"{'a hectare' if measures.settings.is_metric else 'an acre'} of {ground_words(view.asked.ground)}"
    owned = (
        f"{amount(full.mean)} with its share of owning" if full.mean > short.mean else "what owning it costs left out"
    )
    costs = f"{amount(short.mean)} ({amount(short.low)}-{amount(short.high)}) by the work itself, {owned}"
    if rate is None:
        return f"{capital(each)} costs {measures.settings.currency} {costs}."
    hourly = view.asked.rate_per_hour
    said = f"{amount(rate)} for {each}" if hourly is None else f"{amount(hourly)} an hour ({amount(rate)} for {each})"
    if view.asked.deal.is_taken_in:
        return _taken_in(view, measures, said, costs)
    if view.job is not None and view.job.is_too_late:
        takes = f"{measures.area(view.asked.area)} take one combine {counted(view.job.days, 'day')}"
        return f"Not before {date_said(view.job.done_by)}: {takes}. {said} stands against {costs}."
    verdict = "" if view.verdict is None else _VERDICTS[view.verdict]
    way = verdict if view.is_sure else f"is either way, likely it {verdict}"
    gain = _gain(view)
    whole = (
        f"{measures.area(view.asked.area)} {'leave' if gain >= 0 else 'cost'} {measures.money(abs(gain), cents=False)}"
    )
    return f"{said} {way}: it costs {costs}; {whole} {'over' if gain >= 0 else 'more than they bring'}."


def _taken_in(view: CustomView, measures: Measures, said: str, costs: str) -> str:
    rented = view.asked.deal is Deal.RENT_IN
    own_way, own = ("Use your own", "your own costs") if rented else ("Cut it yourself", "yourself it costs")
    gain = _gain(view)
    whole = measures.money(abs(gain), cents=False)
    way = "Either way" if not view.is_sure else ("Rent it in" if rented else "Hire it") if gain > 0 else own_way
    more = "less" if gain > 0 else "more"
    less = f"{'renting' if rented else 'hiring'} costs {whole} {more} than the work itself on {measures.area(view.asked.area)}"
    return f"{way}: {said}; {own} {costs}; {less}."


def _sentences(view: CustomView, measures: Measures) -> list[str]:
    header = f" and {one_line(view.header.name)}" if view.header else " without a header"
    pace = f"{number(measures.area_number(view.capacity), 1)} {measures.area_unit}/h{_pace_of(view)}"
    said = [
        f"On {one_line(view.machine.name)}{header}, {pace}: "
        f"{number(view.asked.area / view.capacity, 1)} h of field time. Brackets: 8 in 10.",
        f"Wear by life: {counted(len(view.in_wear), 'kind')}; other repairs: {listed(list(view.in_repairs)) or 'no kind'} and what "
        "belongs to none, by the combine's own repairs where its records say, else as published. Each kind stands in one of them.",
    ]
    if view.by_time:
        said.append(f"Ages without work, so in neither: {listed(list(view.by_time))}.")
    if view.ground_is_new:
        said.append("This farm has cut no such ground: the stones are those of the starting guess.")
    if view.asked.deal.is_bare:
        said.append(_BARE[view.asked.deal])
    if view.crop_name and view.hour_minor and view.hour_minor != measures.settings.downtime_minor:
        loses = f"by what this {one_line(view.crop_name)} loses meanwhile"
        said.append(f"An hour of standing is {measures.money(round(view.hour_minor))}, {loses}.")
    if view.days_sooner:
        worth = "" if view.sooner is None else f", worth about {measures.money(round(view.sooner), cents=False)}"
        said.append(
            f"Beside your own it brings the harvest in {number(view.days_sooner, 1)} days sooner{worth}; that is not in it."
        )
    said += _done(view)
    if view.waiting:
        said.append(f"Own crop stands meanwhile: it is done {number(view.days_later, 1)} days later.")
    elif view.days_later:
        said.append(f"Own crop would be done {number(view.days_later, 1)} days later, which is not in it.")
    elif view.asked.deal is Deal.CUT_FOR_OTHERS:
        said.append("No own crop waits for it.")
    if view.left_out:
        said.append(f"Left out: {'; '.join(view.left_out)}.")
    return said


def _pace_of(view: CustomView) -> str:
    """Say what the pace is that of, where that is not plain."""
    if view.capacity_is_guess:
        return " (a guess)"
    if not view.crop_name:
        return ""
    crop = one_line(view.crop_name)
    return f" in {crop}" if view.pace_is_of_crop else f" in all crops (under 10 h of {crop} on record)"


def _done(view: CustomView) -> list[str]:
    job = view.job
    if job is None:
        return []
    own = "" if job.after_own is None else f" after your own ({date_said(job.after_own)}, 8 in 10)"
    late = (
        f" In other years cutting was over by {job.last_day.day} {job.last_day:%b}."
        if job.done_by > job.last_day
        else ""
    )
    return [f"Done by about {date_said(job.done_by)}{own}.{late}"]


def _about(row: CostPart, measures: Measures) -> str:
    spent = "spent because of the work" if row.is_spent else "paid whether the work is done or not"
    between = f"{amount(row.low)}-{amount(row.high)}"
    return f"{capital(_NAMES[row.name])}: {amount(row.mean)} for 1 {measures.area_unit}, 8 in 10 {between}; {spent}."


_COLUMNS: Final[tuple[AnswerColumn[CostPart], ...]] = (
    AnswerColumn("for 1 {area}", lambda row, _: _NAMES[row.name], "what", lambda row, _: row.name, least=12, most=20),
    AnswerColumn(
        "{money}",
        lambda row, _: amount(row.mean) if row.high > 0 else NOTHING,
        "per_{acre}",
        lambda row, measures: money(round(row.mean), measures.settings.currency),
        least=7,
        most=10,
        figures=True,
    ),
    AnswerColumn(
        "8 in 10",
        lambda row, _: f"{amount(row.low)}-{amount(row.high)}" if row.high - row.low >= 1 else "",
        least=10,
        most=16,
        figures=True,
        gives=2,
    ),
    AnswerColumn(
        "",
        lambda row, _: "spent" if row.is_spent else "owned",
        "spent",
        lambda row, _: row.is_spent,
        least=5,
        most=6,
        gives=3,
    ),
    data("low", lambda row, measures: money(round(row.low), measures.settings.currency)),
    data("high", lambda row, measures: money(round(row.high), measures.settings.currency)),
)
