"""The shelf on a screen: what there is of what shall be there as boxes, and what an order of it comes to."""

from __future__ import annotations

from dataclasses import replace

from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet
from wearlog.present.digits import NOTHING, Measures, number
from wearlog.present.drawing.drawn import WANTS_A_HAND, amount_boxes, joined
from wearlog.present.parts.stock_sheet import standing
from wearlog.reckoning.parts.stock import Shelf

#: boxes where there is room, and on a phone
_BOXES, _FEW = 10, 5
#: cells of a supplier where there is little room
_BRIEF = 12


def _boxes(row: Shelf, most: int) -> str:
    return joined(amount_boxes(max(row.on_hand, 0), row.part.keep_on_hand, most)) if row.part.keep_on_hand else ""


def _sum(row: Shelf, measures: Measures) -> str:
    if not row.order or row.part.price_minor is None:
        return NOTHING
    return measures.money(row.order * row.part.price_minor).rsplit(" ", 1)[0]


def _brief(row: Shelf, _: Measures) -> str:
    """The first words of a supplier's name, as many as are told apart at a glance."""
    first, *more = row.part.supplier.split() or [""]
    for word in more:
        if len(first) + 1 + len(word) > _BRIEF:
            break
        first = f"{first} {word}"
    return first


def with_boxes(sheet: AnswerSheet[Shelf]) -> AnswerSheet[Shelf]:
    """Return the shelf with boxes beside the counts; numbers of parts and suppliers are the first to go.

    Parameters
    ----------
    sheet : AnswerSheet of Shelf
    """
    columns = {column.key: column for column in sheet.shown if column.key}
    mark: AnswerColumn[Shelf] = AnswerColumn(
        "", lambda row, _: f"{WANTS_A_HAND} {said}" if (said := standing(row)) else "", least=5, most=14
    )
    have: AnswerColumn[Shelf] = AnswerColumn(
        "have", lambda row, _: number(row.on_hand), least=4, most=8, figures=True, order=lambda row: row.on_hand
    )
    # "24 of 5" reads like a share: what there is and what shall be are two figures
    keep = replace(columns["keep_on_hand"], least=4, gives=1)
    boxes: AnswerColumn[Shelf] = AnswerColumn(
        "",
        lambda row, _: _boxes(row, _BOXES),
        least=_FEW,
        most=_BOXES,
        gives=3,
        short=(lambda row, _: _boxes(row, _FEW),),
    )
    total: AnswerColumn[Shelf] = AnswerColumn(
        "sum, {money}", _sum, least=8, most=12, figures=True, gives=2, short=(_sum,), titles=("sum",)
    )
    part = replace(columns["name"], least=16, most=40, room=28)
    order = replace(columns["order"], gives=0)
    supplier = replace(columns["supplier"], title="from", least=_BRIEF, most=26, gives=2, short=(_brief,))
    numbers = replace(columns["number"], gives=6)
    return replace(sheet, columns=[mark, part, have, keep, boxes, order, total, supplier, numbers], made={})
