"""The spares to carry and the orders of each supplier as answers: what the season may take, what to buy, what running out costs."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from wearlog.facts.days import date_said
from wearlog.facts.work import order_mark
from wearlog.present.answer_sheet import ONLY_WITH_ROOM, AnswerColumn, AnswerSheet, RowRule, box, data, money_value
from wearlog.present.digits import NOTHING, Measures, amount, number, percent
from wearlog.present.json_form import money, rounded
from wearlog.present.plan.plan_line_sheet import order_days
from wearlog.present.plan.spare_bound import HELD, best_alone, has_costs, held_words, is_held
from wearlog.present.words import counted, listed
from wearlog.reckoning.plan.desk import SpareLine
from wearlog.reckoning.plan.order_dates import FirstAcre, OrderBy, first_acre
from wearlog.reckoning.plan.season_plan import SeasonPlanView
from wearlog.reckoning.plan.spares import PartNeed

#: a part that runs out with less than this chance is carried in enough numbers
_MAY_RUN_OUT: Final = 0.05

_NO_PART: Final = "No part in the log fits anything on the fleet; 'wearlog add part' enters one."


def spare_sheet(view: SeasonPlanView, measures: Measures) -> AnswerSheet[SpareLine]:
    """Return the answer; worth a look is a part of which some are bought, or that may well run out."""
    needs = view.needs
    return AnswerSheet(
        name="spares",
        columns=_columns(needs),
        rows=view.found.spares,
        measures=measures,
        sentences=held_words(view),
        empty=_NO_PART,
        rule=RowRule(
            _is_wanted, lambda left: f"Of {counted(left, 'part')} more there is enough.", "What is on hand is enough."
        ),
        key_of=lambda row: needs[row.need].shelf.part.id,
        about=lambda row, measures: _about(needs[row.need], row, measures),
    )


def _is_wanted(row: SpareLine) -> bool:
    return bool(row.advice.buy) or row.advice.run_out_chance >= _MAY_RUN_OUT


def _columns(needs: Sequence[PartNeed]) -> tuple[AnswerColumn[SpareLine], ...]:
    return (
        AnswerColumn(
            "number",
            lambda row, _: needs[row.need].shelf.part.number,
            "part",
            lambda row, _: needs[row.need].shelf.part.number,
            least=8,
            most=14,
            gives=1,
        ),
        AnswerColumn(
            "part",
            lambda row, _: needs[row.need].shelf.part.name,
            "name",
            lambda row, _: needs[row.need].shelf.part.name,
            least=16,
            most=34,
        ),
        AnswerColumn(
            "on hand",
            lambda row, _: number(needs[row.need].shelf.on_hand),
            "on_hand",
            lambda row, _: needs[row.need].shelf.on_hand,
            least=7,
            most=8,
            figures=True,
        ),
        data("for_replacement", lambda row, _: row.for_replacement),
        AnswerColumn(
            "expected",
            lambda row, _: number(row.advice.expected, 1),
            "expected",
            lambda row, _: rounded(row.advice.expected),
            least=8,
            most=8,
            figures=True,
            gives=2,
        ),
        AnswerColumn(
            "buy",
            lambda row, _: _buy(needs[row.need], row),
            "buy",
            lambda row, _: row.advice.buy,
            least=8,
            most=8,
            figures=True,
            tells_more=True,
        ),
        data("packs", lambda row, _: row.advice.packs),
        data("held_to_set", lambda row, _: is_held(needs[row.need], row)),
        data("best_alone", lambda row, measures: _alone(needs[row.need], row, measures)),
        AnswerColumn(
            "runs out",
            lambda row, _: percent(row.advice.run_out_chance),
            "run_out_chance",
            lambda row, _: rounded(row.advice.run_out_chance, 6),
            least=9,
            most=9,
            figures=True,
        ),
        AnswerColumn(
            "hours lost",
            lambda row, _: number(row.advice.hours_lost, 1),
            "hours_lost",
            lambda row, _: rounded(row.advice.hours_lost, 2),
            least=10,
            most=10,
            figures=True,
            gives=1,
        ),
        AnswerColumn(
            "without one",
            lambda row, measures: need_why(needs[row.need], measures),
            "wait_hours",
            lambda row, _: rounded(needs[row.need].wait_hours, 1),
            least=20,
            most=46,
            gives=ONLY_WITH_ROOM,
        ),
        data("priced", lambda row, _: needs[row.need].shelf.price_minor is not None),
    )


def _buy(need: PartNeed, row: SpareLine) -> str:
    if need.shelf.price_minor is None:
        return "no price"
    return number(row.advice.buy) if row.advice.buy else NOTHING


def need_why(need: PartNeed, measures: Measures) -> str:
    """Return what being without a part costs, and how that is known."""
    cost = f"{number(need.wait_hours)} h, {measures.money(need.wait_minor, cents=False)}"
    if need.hurried:
        return f"{cost} (in a hurry)"
    days = counted(need.lead_days, "day")
    return f"{cost} ({days} to get it{', a guess' if need.lead_guessed else ''})"


def _alone(need: PartNeed, row: SpareLine, measures: Measures) -> dict[str, Any] | None:
    found = None if not has_costs(need) else best_alone(need, row)
    if found is None:
        return None
    cost = money(round(found.expected_cost), measures.settings.currency)
    return {"pieces": round(found.level), "expected_cost": cost}


def _about(need: PartNeed, row: SpareLine, measures: Measures) -> str:
    part = need.shelf.part
    taken = f"; the replacements take {row.for_replacement}" if row.for_replacement else ""
    found = best_alone(need, row) if has_costs(need) else None
    alone = "" if found is None else f"; with no bound on money and sold singly, {number(found.level)} would lie there"
    held = f"; {HELD}" if is_held(need, row) else ""
    return f"{part.number} {part.name}: without one {need_why(need, measures)}{taken}{alone}{held}."


@dataclass(frozen=True, slots=True)
class OrderRow:
    """One line; money in whole minor units, None where there is no price. The sum of an order has no part.

    `by` is its last day to order; None where nobody knows when cutting begins.
    """

    number: str
    part: str
    packs: int
    pack_size: int
    pieces: int
    price_minor: int | None
    sum_minor: int | None
    part_id: UUID | None = None
    by: OrderBy | None = None


@dataclass(frozen=True, slots=True)
class SupplierLines:
    """One supplier's lines, their sum, and how many of them have no price.

    `mark` names this order: the season and a digest of its lines and its day, so that it is not received twice.
    """

    mark: str
    supplier: str
    rows: tuple[OrderRow, ...]
    sum_minor: int
    without_price: int
    first: FirstAcre | None = None

    @property
    def by(self) -> OrderBy | None:
        """The line that must go out first."""
        return min((row.by for row in self.rows if row.by is not None), key=lambda one: one.day, default=None)

    @property
    def heading(self) -> str:
        """The supplier's name, or that there is none."""
        return self.supplier or "No supplier written down"


@dataclass(frozen=True, slots=True)
class WholeOrder:
    """The lines of all suppliers and their sum."""

    currency: str
    suppliers: tuple[SupplierLines, ...]
    sum_minor: int


def whole_order(view: SeasonPlanView, measures: Measures) -> WholeOrder:
    """Return the order list of a plan."""
    suppliers = []
    first, days = first_acre(view.farm, view.season), order_days(view)
    for order in view.found.orders.orders:
        rows = []
        for line in order.lines:
            part = view.needs[line.part].shelf.part
            rows.append(
                OrderRow(
                    part.number,
                    part.name,
                    line.packs,
                    part.pack_size,
                    line.units,
                    line.price_minor,
                    line.sum_minor,
                    part.id,
                    days.get(part.id),
                )
            )
        mark = _mark(view, order.supplier, rows)
        suppliers.append(SupplierLines(mark, order.supplier, tuple(rows), order.sum_minor, order.without_price, first))
    return WholeOrder(measures.settings.currency, tuple(suppliers), view.found.orders.sum_minor)


def _mark(view: SeasonPlanView, supplier: str, rows: list[OrderRow]) -> str:
    """A short name that other lines, or the same lines on another day, do not have."""
    lines = [f"{view.farm.now.date()}|{supplier}", *(f"{row.number}|{row.pieces}|{row.price_minor}" for row in rows)]
    digest = hashlib.sha256("\n".join(lines).encode()).hexdigest()[:6]
    return order_mark(view.harvest_year, digest)


def order_sheet(order: SupplierLines, measures: Measures) -> AnswerSheet[OrderRow]:
    """Return the answer of one supplier: what to order in whole packs, and the sum."""
    currency = measures.settings.currency
    together = f"together{unpriced(order.without_price)}"
    return AnswerSheet(
        name="lines",
        columns=COLUMNS,
        rows=order.rows,
        measures=measures,
        headline=f"{order.heading}: {measures.money(order.sum_minor)}{unpriced(order.without_price)}{_by_words(order)}",
        foot=OrderRow("", together, 0, 1, 0, None, order.sum_minor),
        beside={
            "supplier": order.supplier or None,
            "sum": money(order.sum_minor, currency),
            "order_by": None if order.by is None else order.by.day.isoformat(),
            "first_acre": None if order.first is None else order.first.day.isoformat(),
        },
        sentences=[when_said(order)] if order.by is not None else [],
        about=lambda row, measures: _about_order(order, row),
        caption=f"{order.heading} (order {order.mark})",
        key_of=lambda row: (order.supplier, row.part_id),
    )


def order_sheets(view: SeasonPlanView, measures: Measures) -> tuple[AnswerSheet[OrderRow], ...]:
    """Return the answer of each supplier, by name."""
    return tuple(order_sheet(order, measures) for order in whole_order(view, measures).suppliers)


def _by_words(order: SupplierLines) -> str:
    by = order.by
    if by is None:
        return ""
    return "; order today" if by.is_late else f"; order by {date_said(by.day)}"


def when_said(order: SupplierLines) -> str:
    """Return what the last day to order rests on; empty where nobody knows when cutting begins."""
    if order.by is None or order.first is None:
        return ""
    late = [row.number for row in order.rows if row.by is not None and row.by.is_late]
    now = f" Late already: {listed(late)}." if late else ""
    work = next((row.by.needed for row in order.rows if row.by is not None and row.by.for_work), None)
    before = "" if work is None else f"; what the work takes before that must begin, {date_said(work)}"
    taken = sum(row.by.taken for row in order.rows if row.by is not None)
    record = f"{counted(taken, 'delivery', 'deliveries')} {'is' if taken == 1 else 'are'}" if taken else "none is"
    return (
        f"Ordered by that day it is here 9 times in 10 before the first acre, {date_said(order.first.day)} at the earliest by "
        f"{counted(order.first.seasons, 'past season')}{before}. Quoted days count as two deliveries; {record} on record.{now}"
    )


def _about_order(order: SupplierLines, row: OrderRow) -> str:
    if row.by is None or order.first is None:
        return ""
    quoted = "nobody wrote how long it takes" if row.by.quoted is None else f"{counted(row.by.quoted, 'day')} quoted"
    taken = f", {counted(row.by.taken, 'delivery', 'deliveries')}" if row.by.taken else ""
    takes = f"{quoted}{taken}, 9 times in 10 here within {row.by.days}"
    what = "the work of the plan begins" if row.by.for_work else "the first acre"
    if row.by.is_late:
        return f"{row.part}: {takes}. Late: ordered today it is here before {what} with {percent(row.by.chance)}."
    if row.by.for_work:
        needed = f"The plan's work must begin by {date_said(row.by.needed)}"
    else:
        needed = f"First acre {date_said(order.first.day)} at the earliest"
    return f"{row.part}: {takes}. {needed}: order by {date_said(row.by.day)}."


def unpriced(count: int) -> str:
    """Return ", 2 lines without a price"; nothing where all have one."""
    return f", {counted(count, 'line')} without a price" if count else ""


def _packs(row: OrderRow, measures: Measures) -> str:
    return f"{row.packs} x {row.pack_size}" if row.pack_size > 1 else number(row.packs) if row.packs else ""


def _price(row: OrderRow, measures: Measures) -> str:
    return amount(row.price_minor) if row.packs else ""


COLUMNS: Final[tuple[AnswerColumn[OrderRow], ...]] = (
    AnswerColumn("number", lambda row, _: row.number, "part", lambda row, _: row.number, least=8, most=14, gives=1),
    AnswerColumn("part", lambda row, _: row.part, "name", lambda row, _: row.part, least=16, most=40),
    AnswerColumn(
        "packs",
        _packs,
        "packs",
        lambda row, _: row.packs or None,
        least=8,
        most=10,
        figures=True,
        gives=1,
    ),
    AnswerColumn(
        "pieces",
        lambda row, _: number(row.pieces) if row.pieces else "",
        "pieces",
        lambda row, _: row.pieces or None,
        least=6,
        most=8,
        figures=True,
    ),
    AnswerColumn(
        "each",
        _price,
        "price",
        money_value(lambda row: row.price_minor),
        least=9,
        most=11,
        figures=True,
    ),
    AnswerColumn(
        "sum",
        lambda row, _: amount(row.sum_minor),
        "sum",
        money_value(lambda row: row.sum_minor),
        least=9,
        most=12,
        figures=True,
    ),
    AnswerColumn(
        "order by",
        lambda row, _: "" if row.by is None else "today" if row.by.is_late else row.by.day.isoformat(),
        "order_by",
        lambda row, _: None if row.by is None else row.by.day.isoformat(),
        least=10,
        most=10,
        gives=2,
    ),
    data("days_9_in_10", lambda row, _: None if row.by is None else row.by.days),
    data("needed_on", lambda row, _: None if row.by is None else row.by.needed.isoformat()),
    data("deliveries", lambda row, _: None if row.by is None else row.by.taken),
    box("came"),
)
