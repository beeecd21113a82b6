"""The season plan as a page of text: what to replace, what to carry, what to order, the sums, and what it rests on."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from textwrap import wrap
from typing import Any, Final

from wearlog.facts.cautions import BOOK_COMES_FIRST, CAUTIONS
from wearlog.present.answer_sheet import AnswerSheet
from wearlog.present.digits import NOTHING, Measures, amount, duration
from wearlog.present.order_sheet import order_sheet, unpriced, whole_order
from wearlog.present.plan_sum_words import (
    budget_words,
    limits_sentence,
    next_money_sentence,
    saving_sentence,
    shop_words,
    stops_sentence,
    want_of_parts_sentence,
)
from wearlog.present.plan_words import (
    hazards_of,
    how_sure,
    line_name,
    rests_on_lines,
    undecided_sentence,
    verdict_words,
    which_words,
)
from wearlog.present.sheet_faces import table_lines
from wearlog.present.spare_sheet import spare_sheet
from wearlog.present.tables import Column, text_table
from wearlog.present.words import capital, counted, listed, word
from wearlog.reckoning.plan_allocation import NextMoney
from wearlog.reckoning.plan_line import PlanLine
from wearlog.reckoning.season_plan import SeasonPlanView

#: columns of a page; tables keep within it, sentences are broken at it
WIDTH: Final = 100


def plan_lines_of_page(
    view: SeasonPlanView, more: NextMoney | None, measures: Measures, *, show_all: bool = False
) -> list[str]:
    """Return the page, line by line; `show_all` also lists what is best run as it is."""
    return [
        *head(view, measures),
        *_replace(view, measures, show_all=show_all),
        *_spares(view, measures, show_all=show_all),
        *_orders(view, measures),
        *_sums(view, more, measures),
        *_undecided(view, measures),
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
        f"Season plan {view.harvest_year}, {farm}, {measures.day(view.farm.now)}",
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


def listed_lines(view: SeasonPlanView, *, show_all: bool) -> list[int]:
    """Return the lines worth a look: in the plan, paying, or so close that it may be either way."""
    return [
        number_of
        for number_of, line in enumerate(view.lines)
        if view.found.replaced[number_of]
        or line.by_hand is not None
        or line.by_hand_done
        or (line.decision is not None and (show_all or line.saving_minor(line.best) > 0))
    ]


def best_run(view: SeasonPlanView, shown: Sequence[int]) -> int:
    """Count the components that are decided on and not listed."""
    in_list = set(shown)
    return sum(1 for number_of, line in enumerate(view.lines) if line.decision is not None and number_of not in in_list)


def _replace(view: SeasonPlanView, measures: Measures, *, show_all: bool) -> list[str]:
    shown = listed_lines(view, show_all=show_all)
    lines = ["", "BEFORE THE SEASON: REPLACE OR RUN ([x] is in the plan)"]
    lines += _told(caution_lines(view))
    if not shown:
        lines.append("  Nothing pays to replace before the season.")
    else:
        columns = (
            Column("", widest=3),
            Column("part", widest=29),
            Column("which", widest=12),
            Column("age", figures=True),
            Column("limit", figures=True),
            Column(f"saves {measures.settings.currency}", figures=True),
            Column("sure", figures=True),
            Column("says", widest=10),
        )
        lines += [f"  {line}" for line in text_table(columns, [_cells(view, one, measures) for one in shown])]
    rest = best_run(view, shown)
    if rest and not show_all:
        more = "more is best run as it is" if rest == 1 else "more are best run as they are"
        lines.append(f"  {capital(counted(rest, 'component'))} {more}; --all shows them.")
    return lines


def _cells(view: SeasonPlanView, at: int, measures: Measures) -> tuple[str, ...]:
    line, done = view.lines[at], view.found.replaced[at]
    meter, decision = line.kind.meter_kind, line.decision
    positions = done or line.proposed or line.best
    return (
        "[x]" if done else "[ ]",
        line_name(line),
        which_words(line, positions),
        measures.usage(meter, max(line.ages) if line.ages else None),
        measures.usage(meter, line.limit_age),
        NOTHING if decision is None else amount(line.saving_minor(positions), cents=False),
        how_sure(line, positions),
        verdict_words(line, in_plan=bool(done)),
    )


def caution_lines(view: SeasonPlanView) -> list[str]:
    """Return the cautions that stand before the planned work, each danger once."""
    found = []
    for hazard in hazards_of(view):
        sentences = [sentence for sentence in CAUTIONS[hazard] if sentence != BOOK_COMES_FIRST]
        found.append(f"! {capital(word(hazard))}: {' '.join(sentences)}")
    return [*found, f"! {BOOK_COMES_FIRST}"] if found else []


def _spares(view: SeasonPlanView, measures: Measures, *, show_all: bool) -> list[str]:
    sheet = spare_sheet(view, measures)
    return ["", "SPARES TO CARRY", *_shown(sheet if show_all else sheet.short())]


def _shown(sheet: AnswerSheet[Any]) -> list[str]:
    """The table of an answer, two cells in, and how many rows there are more."""
    table = [f"  {line}" for line in table_lines(sheet, WIDTH - 2)]
    return [*table, f"  {sheet.rest.removesuffix('.')}; --all shows them."] if sheet.rest else table


def _orders(view: SeasonPlanView, measures: Measures) -> list[str]:
    orders = view.found.orders
    lines = ["", "ORDER LIST"]
    if not orders.orders:
        return [*lines, "  Nothing to order."]
    for order in whole_order(view, measures).suppliers:
        lines.append(f"  {order.heading}")
        lines += [f"    {line}" for line in table_lines(order_sheet(order, measures), WIDTH - 4)]
    without = [
        line_name(line) for line, done in zip(view.lines, view.found.replaced, strict=True) if done and not line.part
    ]
    if without:
        lines += _told([f"Not in the order, since no part in the log fits: {listed(without)}."])
    lines.append(f"  The whole order: {measures.money(orders.sum_minor)}{unpriced(orders.without_price)}")
    return lines


def _sums(view: SeasonPlanView, more: NextMoney | None, measures: Measures) -> list[str]:
    totals = view.found.totals
    lines = [
        f"To pay at the counter {measures.money(view.found.orders.sum_minor)}; shop work {duration(totals.shop_seconds)}.",
        saving_sentence(view, measures),
        stops_sentence(view),
        want_of_parts_sentence(view),
        limits_sentence(view, measures),
    ]
    if more is not None:
        lines.append(next_money_sentence(view, more, measures))
    return ["", "THE SUMS", *_told(lines)]


def _undecided(view: SeasonPlanView, measures: Measures) -> list[str]:
    rows: list[PlanLine] = [line for line in view.lines if line.undecided is not None and line.by_hand is None]
    if not rows:
        return []
    return ["", "NOT DECIDED", *_told(undecided_sentence(line, measures) for line in rows)]
