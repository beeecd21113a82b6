"""The season plan as JSON; the keys of the lists `replace` and `spares` are fixed for outside use."""

from __future__ import annotations

from typing import Any

from wearlog.present.digits import Measures
from wearlog.present.json_form import money, rounded
from wearlog.present.order_sheet import order_sheets
from wearlog.present.plan_line_sheet import plan_line_sheet, plan_rows, undecided_line_sheet
from wearlog.present.plan_sum_words import parts_left_out
from wearlog.present.plan_words import line_name
from wearlog.present.sheet_faces import sheet_json
from wearlog.present.spare_sheet import spare_sheet
from wearlog.reckoning.plan_allocation import NextMoney
from wearlog.reckoning.season_plan import SeasonPlanView


def plan_json(view: SeasonPlanView, more: NextMoney | None, measures: Measures) -> dict[str, Any]:
    """Return the whole plan."""
    currency, found = measures.settings.currency, view.found
    rows = plan_rows(view)
    return {
        "season": view.harvest_year,
        "planned_area": rounded(measures.area_number(view.planned_area), 1),
        "area_unit": measures.area_unit,
        **sheet_json(plan_line_sheet(view, measures, rows)),
        **sheet_json(undecided_line_sheet(view, measures, rows)),
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
