"""The season plan as a screen shows it: its answers, its sums in words, what the limits did. Draws nothing."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from uuid import UUID

from wearlog.facts.closed_lists import Hazard
from wearlog.present.answer_sheet import AnswerSheet
from wearlog.present.digits import Measures, amount, duration, number, percent
from wearlog.present.plan.money_sheet import MoneyRow, money_sheets
from wearlog.present.plan.plan_line_sheet import PlanRow, plan_line_sheet, plan_rows, undecided_line_sheet
from wearlog.present.plan.plan_list import PlanAnswer, plan_answer, with_savings
from wearlog.present.plan.plan_page import (
    head,
    left_out_words,
    limits_sentence,
    next_money_sentence,
    parts_left_out,
    pushed_out_sentence,
    saving_words,
)
from wearlog.present.plan.plan_words import hazards_of, rests_on_lines, why_lines
from wearlog.present.plan.spare_sheet import OrderRow, order_sheets, spare_sheet
from wearlog.present.words import counted
from wearlog.reckoning.plan.allocation import NextMoney
from wearlog.reckoning.plan.desk import SpareLine
from wearlog.reckoning.plan.season_plan import SeasonPlanView

_NOT_SETTLED = "The rest of the money was being spent anew: what this would push out stands here when that is done."
_NOTHING_TO_COME = (
    "Nothing says what the machines will do, since no season is behind them: press a and plan what will be cut."
)


@dataclass(frozen=True, slots=True)
class PlanSums:
    """What a choice changes at once, in words: money, shop, stops, saving; and what the failures leave out."""

    pay: str
    shop: str
    stops: str
    saving: str
    left_out: str
    parts: str


@dataclass(frozen=True)
class PlanPage:
    """A plan in words; of the lists beside the lines each is made when it is first looked at.

    Attributes
    ----------
    view : SeasonPlanView
        The plan itself, and how its figures are written: measures.
    measures : Measures
    title, about : str
        Which season, and what is planned within which limits.
    hint : str
        What to do first, where nothing can be reckoned yet.
    harvest_year : int
    has_limits : (int or None, int or None)
        Money and shop seconds as they stand.
    lines, undecided : AnswerSheet of PlanRow
        The components decided on, those chosen by hand first, then the largest saving, and the others.
    sums : PlanSums
    bound, next_money : str
        What the limits did, and what more money would buy.
    answer : PlanAnswer
    listed : tuple of AnswerSheet of PlanRow
        `lines` and `undecided` for a list, each saving drawn as a strip.
    hazards : tuple of Hazard
        What is dangerous in the work that is planned.
    """

    view: SeasonPlanView
    measures: Measures
    title: str
    about: str
    hint: str
    harvest_year: int
    has_limits: tuple[int | None, int | None]
    lines: AnswerSheet[PlanRow]
    undecided: AnswerSheet[PlanRow]
    sums: PlanSums
    bound: str
    next_money: str
    answer: PlanAnswer
    listed: tuple[AnswerSheet[PlanRow], ...]
    hazards: tuple[Hazard, ...]

    @cached_property
    def spares(self) -> AnswerSheet[SpareLine]:
        """The spares to carry."""
        return spare_sheet(self.view, self.measures)

    @cached_property
    def orders(self) -> tuple[AnswerSheet[OrderRow], ...]:
        """The order, a list for each supplier."""
        return order_sheets(self.view, self.measures)

    @cached_property
    def money(self) -> tuple[AnswerSheet[MoneyRow], ...]:
        """What the money buys, and what it does not reach."""
        return money_sheets(self.view, self.measures)

    @cached_property
    def rests_on(self) -> tuple[str, ...]:
        """What the plan is reckoned from, in sentences."""
        return tuple(rests_on_lines(self.view, self.measures))

    @property
    def rows(self) -> dict[UUID, PlanRow]:
        """Every line by its component."""
        return {row.component_id: row for row in (*self.lines.rows, *self.undecided.rows)}


def plan_page(
    view: SeasonPlanView,
    saved: SeasonPlanView,
    more: NextMoney | None,
    measures: Measures,
    *,
    settling: bool = False,
    before: PlanPage | None = None,
) -> PlanPage:
    """Return a plan in words.

    Parameters
    ----------
    view : SeasonPlanView
        The plan as it is shown.
    saved : SeasonPlanView
        The plan as it is in the log.
    more : NextMoney or None
    measures : Measures
    settling : bool
        The rest of the money is not spent anew yet.
    before : PlanPage or None
        The page shown before: rows that did not change are taken from it.
    """
    rows = plan_rows(view, saved, before.rows if before is not None else None)
    lines, undecided = plan_line_sheet(view, measures, rows), undecided_line_sheet(view, measures, rows)
    made = before.lines.made if before is not None else {}
    words = {row: made[row] if row in made else lines.cells(row) for row in rows}
    title, about = (line.strip() for line in head(view, measures)[:2])
    bound, buys = limits_sentence(view, measures), ""
    if settling:
        bound = "Spending the rest of the money anew ..."
    elif more is not None:
        buys = next_money_sentence(view, more, measures)
    return PlanPage(
        view=view,
        measures=measures,
        title=title.split(",")[0],
        about=f"{view.harvest_year}: {about}",
        hint=_NOTHING_TO_COME if view.nothing_to_come else "",
        harvest_year=view.harvest_year,
        has_limits=(view.limits.budget_minor, view.limits.shop_seconds),
        lines=replace(lines, made=words),
        undecided=replace(undecided, made=words),
        sums=plan_sums(view, measures),
        bound=bound,
        next_money=buys,
        answer=plan_answer(view, measures, settling=settling),
        listed=(with_savings(lines, rows), with_savings(undecided, rows)),
        hazards=tuple(hazards_of(view)),
    )


def plan_sums(view: SeasonPlanView, measures: Measures) -> PlanSums:
    """Return the sums of a plan."""
    totals, limits, orders = view.found.totals, view.limits_left, view.found.orders
    currency = measures.settings.currency
    left = " left" if view.spent.received_minor else ""
    of_budget = "" if limits.budget_minor is None else f" of {amount(limits.budget_minor, cents=False)}"
    still = " still" if view.spent.shop_seconds else ""
    of_shop = "" if limits.shop_seconds is None else f" of{still} {number(limits.shop_seconds / 3600)}"
    unpriced = f", {counted(orders.without_price, 'line')} without a price" if orders.without_price else ""
    over = limits.budget_minor is not None and orders.sum_minor > limits.budget_minor
    avoided = totals.stops_avoided
    chance = percent(totals.stop_free_chance) if view.found.spares else "not known, no part in the log fits"
    fewer = f"{number(abs(avoided), 1)} {'fewer' if avoided >= 0 else 'more'} than replacing nothing"
    by_replacing, by_parts = saving_words(view, measures)
    not_reckoned = sum(parts_left_out(view))
    more = f" and those of {counted(not_reckoned, 'part')} of unknown age or life" if not_reckoned else ""
    return PlanSums(
        pay=f"pay {amount(orders.sum_minor)}{of_budget} {currency}{left}{unpriced}{' TOO MUCH' if over else ''}",
        shop=f"shop {duration(totals.shop_seconds)}{of_shop}",
        stops=f"failures {number(totals.stops, 1)}{more}, {fewer}; {number(totals.hours_down, 1)} h standing",
        # the second stands without its verb only where it is the same one
        saving=f"{by_replacing}, {by_parts.removeprefix('saves ') if by_replacing.startswith('saves') else by_parts}",
        left_out=f"Left out of the failures: {left_out_words(view)}." if not_reckoned else "",
        parts=f"Chance of no stop for want of a part: {chance}.",
    )


def why_page(
    view: SeasonPlanView, number_of_line: int, measures: Measures, *, settling: bool = False
) -> tuple[str, tuple[str, ...]]:
    """Return the heading and the sentences of why one component is replaced or run.

    While the rest of the money is not spent anew yet (`settling`) nobody knows what a line would push out.
    """
    lines = why_lines(view, number_of_line, measures)
    left_out = _NOT_SETTLED if settling else pushed_out_sentence(view, number_of_line, measures)
    return lines[0], (*([left_out] if left_out else []), *(line.removeprefix("  ") for line in lines[1:]))
