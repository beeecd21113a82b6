"""Published rates, repairs and values with the farm's own figures beside them, as an answer."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import NOTHING, Measures, amount, number
from wearlog.present.json_form import money, rounded
from wearlog.present.words import word
from wearlog.reckoning.costs.published_beside import Measured, PublishedFigure
from wearlog.reckoning.harvest.hour_value import PUBLISHED_CURRENCY


def _words(row: PublishedFigure, figure: float | None) -> str:
    if figure is None:
        return NOTHING
    return amount(figure) if row.measured is Measured.MONEY else f"{number(100 * figure)} %"


def _value(row: PublishedFigure, figure: float | None) -> Any:
    if figure is None:
        return None
    return money(round(figure), PUBLISHED_CURRENCY) if row.measured is Measured.MONEY else rounded(figure, 4)


_COLUMNS: tuple[AnswerColumn[PublishedFigure], ...] = (
    AnswerColumn("of", lambda row, _: row.about, "about", lambda row, _: row.about, least=10, most=14),
    AnswerColumn("what", lambda row, _: row.what, "what", lambda row, _: row.what, least=14, most=38),
    AnswerColumn(
        "published",
        lambda row, _: _words(row, row.published),
        "published",
        lambda row, _: _value(row, row.published),
        least=8,
        most=10,
        figures=True,
    ),
    AnswerColumn(
        "here",
        lambda row, _: _words(row, row.own),
        "own",
        lambda row, _: _value(row, row.own),
        least=7,
        most=10,
        figures=True,
    ),
    AnswerColumn("per", lambda row, _: row.per, "per", lambda row, _: row.per, least=5, most=14),
    data("measured", lambda row, _: row.measured),
    AnswerColumn(
        "year",
        lambda row, _: NOTHING if row.year is None else str(row.year),
        "year",
        lambda row, _: row.year,
        least=4,
        most=4,
        figures=True,
        gives=1,
    ),
    AnswerColumn("source", lambda row, _: row.source, "source", lambda row, _: row.source, least=16, most=44, gives=2),
    data("evidence", lambda row, _: row.evidence),
)


def published_sheet(rows: Sequence[PublishedFigure], measures: Measures) -> AnswerSheet[PublishedFigure]:
    """Return the published figures, each with what the log has beside it."""
    beside = sum(row.own is not None for row in rows)
    return AnswerSheet(
        name="published",
        columns=_COLUMNS,
        rows=rows,
        measures=measures,
        headline=f"{len(rows)} published figures, {beside} with the farm's own beside them.",
        sentences=(
            "Money in US dollars. Having it cut: beside it what an acre costs by the log, which has neither fuel nor the price of "
            "the combine in it. Repairs and value left are shares of today's list price of such a machine.",
        ),
        key_of=id,
        about=lambda row, _: f"{row.what}: {row.source} ({word(row.evidence)}).",
    )
