"""The season plan as a page of text: what to replace, what to carry, what to order, the sums, and what it rests on."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import wrap
from typing import Any, Final

from wearlog.facts.cautions import BOOK_COMES_FIRST, CAUTIONS
from wearlog.present.answer_sheet import AnswerSheet
from wearlog.present.digits import Measures
from wearlog.present.json_form import money, rounded
from wearlog.present.plan.money_sheet import money_sheets
from wearlog.present.plan.plan_line_sheet import PlanRow, plan_line_sheet, plan_rows, undecided_line_sheet
from wearlog.present.plan.plan_sum_words import budget_words, parts_left_out, shop_words, sum_sentences
from wearlog.present.plan.plan_words import hazards_of, line_name, rests_on_lines
from wearlog.present.plan.spare_sheet import order_sheet, order_sheets, spare_sheet, unpriced, when_said, whole_order
from wearlog.present.sheet_faces import sheet_json, table_lines
from wearlog.present.words import capital, listed, word
from wearlog.reckoning.plan.allocation import NextMoney
from wearlog.reckoning.plan.season_plan import SeasonPlanView

#: columns of a page; tables keep within it, sentences are broken at it
WIDTH: Final = 100


def plan_lines_of_page(
    view: SeasonPlanView, more: NextMoney | None, measures: Measures, *, show_all: bool = False
) -> list[str]:
    """Return the page, line by line; `show_all` also lists what is best run as it is."""
    rows = plan_rows(view)
    return [
        *head(view, measures),
        *_replace(view, rows, measures, show_all=show_all),
        *_spares(view, measures, show_all=show_all),
        *_orders(view, measures),
        *_money(view, measures),
        "",
        "THE SUMS",
        *_told(sum_sentences(view, more, measures)),
        *_undecided(view, rows, measures),
        "",
        "WHAT IT RESTS ON",
        *_told(rests_on_lines(view, measures)),
    ]


def _told(sentences: Iterable[str], *, indent: str = "  ") -> list[str]:
    """Sentences on lines of a page's width."""
    return [
        line
        for one in sentences
        if one
        for line in wrap(one, WIDTH, initial_indent=indent, subsequent_indent=f"{indent}  ")
    ]


def head(view: SeasonPlanView, measures: Measures) -> list[str]:
    """Return what is planned and within which limits."""
    farm = measures.settings.farm_name or "The fleet"
    limits = []
    if view.limits.budget_minor is not None:
        limits.append(budget_words(view, measures))
    if view.limits.shop_seconds is not None:
        limits.append(shop_words(view))
    area = f"{measures.area(view.planned_area)} planned" if view.planned_area else "no area planned"
    lines = [
        f"Season plan {view.harvest_year}, {farm}, {measures.date_said(view.farm.now)}",
        f"  {capital(area)}; {', '.join(limits) or 'no limit of money or shop hours'}.",
    ]
    if view.nothing_to_come:
        make = "" if view.plan is not None else f"'wearlog plan make {view.harvest_year}' and "
        lines += _told(
            [
                "Nothing says what the machines will do: no area is planned and no season is behind them. Begin with"
                f" {make}'wearlog plan area 640ac --ground stony'."
            ]
        )
    return lines


def _replace(view: SeasonPlanView, rows: list[PlanRow], measures: Measures, *, show_all: bool) -> list[str]:
    sheet = plan_line_sheet(view, measures, rows)
    return [
        "",
        f"BEFORE THE SEASON: REPLACE OR RUN ([x] is in the plan, saves in {measures.settings.currency})",
        *_told(caution_lines(view)),
        *_shown(sheet if show_all else sheet.short(), WIDTH + 2),
    ]


def caution_lines(view: SeasonPlanView) -> list[str]:
    """Return the cautions that stand before the planned work, each danger once."""
    found = []
    for hazard in hazards_of(view):
        sentences = [sentence for sentence in CAUTIONS[hazard] if sentence != BOOK_COMES_FIRST]
        found.append(f"! {capital(word(hazard))}: {' '.join(sentences)}")
    return [*found, f"! {BOOK_COMES_FIRST}"] if found else []


def _spares(view: SeasonPlanView, measures: Measures, *, show_all: bool) -> list[str]:
    sheet = spare_sheet(view, measures)
    return ["", "SPARES TO CARRY", *_shown(sheet if show_all else sheet.short()), *_told(sheet.sentences)]


def _shown(sheet: AnswerSheet[Any], wide: int = WIDTH - 2) -> list[str]:
    """The table of an answer, two cells in, and how many rows there are more."""
    table = [f"  {line}" for line in table_lines(sheet, wide)]
    return [*table, f"  {sheet.rest.removesuffix('.')}; --all shows them."] if sheet.rest else table


def _orders(view: SeasonPlanView, measures: Measures) -> list[str]:
    orders = view.found.orders
    lines = ["", "ORDER LIST"]
    if not orders.orders:
        return [*lines, "  Nothing to order."]
    for order in whole_order(view, measures).suppliers:
        lines.append(f"  {order.heading}")
        lines += [f"    {line}" for line in table_lines(order_sheet(order, measures), WIDTH - 4)]
        lines += _told([said]) if (said := when_said(order)) else []
    without = [
        line_name(line) for line, done in zip(view.lines, view.found.replaced, strict=True) if done and not line.part
    ]
    if without:
        lines += _told([f"Not in the order, since no part in the log fits: {listed(without)}."])
    lines.append(f"  The whole order: {measures.money(orders.sum_minor)}{unpriced(orders.without_price)}")
    return lines


def _money(view: SeasonPlanView, measures: Measures) -> list[str]:
    """What the money buys as bars, and after them what it does not reach."""
    sheets = [sheet for sheet in money_sheets(view, measures) if sheet.rows]
    lines = [line for sheet in sheets for line in ("", sheet.headline, *_shown(sheet))]
    return [*lines, *_told(sheets[0].legends)] if sheets else []


def _undecided(view: SeasonPlanView, rows: list[PlanRow], measures: Measures) -> list[str]:
    sheet = undecided_line_sheet(view, measures, rows)
    said = [sheet.about(row, measures) for row in sheet.rows]
    return ["", sheet.headline.upper(), *_told(said)] if said else []


def plan_json(view: SeasonPlanView, more: NextMoney | None, measures: Measures) -> dict[str, Any]:
    """Return the whole plan."""
    currency, found = measures.settings.currency, view.found
    rows = plan_rows(view)
    buys, ends_before = money_sheets(view, measures)
    return {
        "season": view.harvest_year,
        "planned_area": rounded(measures.area_number(view.planned_area), 1),
        "area_unit": measures.area_unit,
        **sheet_json(plan_line_sheet(view, measures, rows)),
        **sheet_json(undecided_line_sheet(view, measures, rows)),
        **sheet_json(spare_sheet(view, measures)),
        **sheet_json(buys),
        **sheet_json(ends_before),
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
