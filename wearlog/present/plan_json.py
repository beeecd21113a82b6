"""The season plan as JSON; the keys of the lists `replace` and `spares` are fixed for outside use."""

from __future__ import annotations

from typing import Any

from wearlog.facts.positions import format_positions
from wearlog.present.digits import Measures
from wearlog.present.json_form import money, rounded
from wearlog.present.order_sheet import order_sheets
from wearlog.present.plan_sum_words import parts_left_out
from wearlog.present.plan_words import line_name, undecided_sentence
from wearlog.present.sheet_faces import sheet_json
from wearlog.present.spare_sheet import spare_sheet
from wearlog.reckoning.plan_allocation import NextMoney
from wearlog.reckoning.plan_line import PlanLine
from wearlog.reckoning.season_plan import SeasonPlanView


def plan_json(view: SeasonPlanView, more: NextMoney | None, measures: Measures) -> dict[str, Any]:
    """Return the whole plan."""
    currency, found = measures.settings.currency, view.found
    decided = [number for number, line in enumerate(view.lines) if line.decision is not None or found.replaced[number]]
    return {
        "season": view.harvest_year,
        "planned_area": rounded(measures.area_number(view.planned_area), 1),
        "area_unit": measures.area_unit,
        "replace": [line_json(view, number, measures) for number in decided],
        "undecided": [_undecided_json(line, measures) for line in view.lines if line.undecided is not None],
        **sheet_json(spare_sheet(view, measures)),
        "orders": [sheet_json(sheet) for sheet in order_sheets(view, measures)],
        "budget": money(view.limits.budget_minor, currency),
        "received": money(view.spent.received_minor, currency),
        "shop_hours": None if view.limits.shop_seconds is None else rounded(view.limits.shop_seconds / 3600, 1),
        "total": money(found.orders.sum_minor, currency),
        "lines_without_price": found.orders.without_price,
        "stop_free_chance": rounded(found.totals.stop_free_chance, 6) if found.spares else None,
        **_sums_json(view, more, currency),
    }


def line_json(view: SeasonPlanView, number: int, measures: Measures) -> dict[str, Any]:
    """Return one line, with all that its why needs."""
    line, done = view.lines[number], view.found.replaced[number]
    currency, meter, decision = measures.settings.currency, line.kind.meter_kind, line.decision
    positions = done or line.proposed or line.best
    saving = line.saving(positions)
    run = None if decision is None else decision.cost_run_minor
    median = line.life.median
    return {
        "component": line_name(line),
        "kind": line.kind.name,
        "positions": format_positions(positions),
        "age": _usage(line, max(line.ages) if line.ages else None, measures),
        "cost_keep": money(run, currency),
        "cost_replace": money(None if run is None or saving is None else run - saving.mean_minor, currency),
        "saving": money(None if saving is None else saving.mean_minor, currency),
        "limit_age": _usage(line, line.limit_age, measures),
        "do": line.by_hand or line.verdict,
        "by_hand": line.by_hand is not None,
        "done_by_hand": format_positions(line.by_hand_done) if line.by_hand_done else None,
        "in_plan": bool(done),
        "unit": measures.usage_unit(meter),
        "saving_low": money(None if saving is None else saving.low_minor, currency),
        "saving_high": money(None if saving is None else saving.high_minor, currency),
        "chance_saves": None if saving is None else rounded(saving.chance),
        "fails_in_season": None
        if decision is None
        else rounded(1 - min(one.lasts_season for one in decision.by_position)),
        "stops_run": rounded(line.stops(())),
        "stops_replaced": rounded(line.stops(positions)),
        "life_median": _usage(line, None if median is None else median.median, measures),
        "life_low": _usage(line, None if median is None else median.low, measures),
        "life_high": _usage(line, None if median is None else median.high, measures),
        "failures": rounded(line.life.failures, 1),
        "lives": rounded(line.life.lives, 1),
        "starting_guess": line.life.has_guess,
        "failed_positions": format_positions(line.failed),
        "measurements": line.life.measured,
        "part": None if line.part is None else line.part.part.number,
        "standing_from": line.basis.habits.standing.source,
    }


def _usage(line: PlanLine, usage: float | None, measures: Measures) -> float | None:
    return None if usage is None else rounded(measures.usage_number(line.kind.meter_kind, usage), 1)


def _undecided_json(line: PlanLine, measures: Measures) -> dict[str, Any]:
    return {
        "component": line_name(line),
        "kind": line.kind.name,
        "why": line.undecided,
        "said": undecided_sentence(line, measures),
        "worth_below": money(line.worth_below_minor, measures.settings.currency),
    }


def _sums_json(view: SeasonPlanView, more: NextMoney | None, currency: str) -> dict[str, Any]:
    totals, choice = view.found.totals, view.found.choice
    unknown_age, unknown_life = parts_left_out(view)
    return {
        "expected_saving": money(totals.saving_minor, currency),
        "saving_by_replacing": money(totals.saving_by_replacing_minor, currency),
        "shop_hours_worked": rounded(view.spent.shop_seconds / 3600, 1),
        "shop_hours_planned": rounded(totals.shop_seconds / 3600, 1),
        "stops_expected": rounded(totals.stops, 2),
        "stops_avoided": rounded(totals.stops_avoided, 2),
        "parts_of_unknown_age": unknown_age,
        "parts_of_unknown_life": unknown_life,
        "hours_standing": rounded(totals.hours_down, 1),
        "hours_waiting_for_parts": rounded(totals.hours_for_want_of_parts, 1),
        "bound": choice.bound,
        "overspent": money(choice.overspent_minor, currency),
        "all_that_pays": money(view.found.all_that_pays[0], currency),
        "next_money": None
        if more is None or view.limits.budget_minor is None
        else {
            "extra": money(more.more.extra_minor, currency),
            "saves": money(more.more.gain_minor, currency),
            "replaces": [line_name(view.lines[line]) for line in more.lines_added],
            "spares": [
                {"part": view.needs[need].shelf.part.number, "packs": packs} for need, packs in more.packs_added
            ],
            "instead_of": [line_name(view.lines[line]) for line in more.lines_dropped],
            "next_useful": money(more.more.next_useful_minor, currency),
        },
    }
