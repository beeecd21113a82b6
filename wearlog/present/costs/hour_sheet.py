"""What an hour of standing is worth by every way to value it, and published rates beside the farm's own figures, as answers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from wearlog.costs.downtime import Basis, HourValue
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data, money_value
from wearlog.present.digits import NOTHING, Measures, amount, number
from wearlog.present.json_form import money, rounded
from wearlog.present.words import ByCommand, word
from wearlog.reckoning.costs.published_beside import Measured, PublishedFigure
from wearlog.reckoning.harvest.hour_value import PUBLISHED_CURRENCY, HourWorth

_NAMES: Final = {
    Basis.SET: "the farm's own",
    Basis.TIMELINESS: "the crop that waits",
    Basis.IDLE_CREW: "people who wait",
    Basis.LOST_DAY: "a published lost day",
    Basis.HIRED_CAPACITY: "having it cut",
}


def hour_sheet(worth: HourWorth, measures: Measures) -> AnswerSheet[HourValue]:
    """Return every way in which an hour can be valued, the one that speaks first."""
    found = worth.found
    rows = sorted(found.considered, key=lambda one: (one is not found.used, -one.minor_per_hour))

    def stands_for(row: HourValue) -> str:
        if row is found.used:
            return "speaks"
        return "ceiling" if row is found.ceiling else ""

    columns: tuple[AnswerColumn[HourValue], ...] = (
        AnswerColumn(
            "an hour by", lambda row, _: _NAMES[row.basis], "basis", lambda row, _: row.basis, least=14, most=22
        ),
        AnswerColumn(
            "{money}",
            lambda row, _: amount(row.minor_per_hour),
            "per_hour",
            money_value(lambda row: row.minor_per_hour),
            least=8,
            most=10,
            figures=True,
        ),
        AnswerColumn(
            "", lambda row, _: stands_for(row), "stands_for", lambda row, _: stands_for(row) or None, least=7, most=8
        ),
        AnswerColumn("from", lambda row, _: row.source, "source", lambda row, _: row.source, least=20, most=56),
        data("evidence", lambda row, _: row.evidence),
    )
    return AnswerSheet(
        name="hours",
        columns=columns,
        rows=rows,
        measures=measures,
        headline=_headline(worth, measures),
        sentences=_said(worth, measures),
        beside=_beside(worth, measures),
        key_of=lambda row: row.basis,
        about=lambda row, _: f"{_NAMES[row.basis].capitalize()}: {row.source} ({word(row.evidence)}).",
    )


def _headline(worth: HourWorth, measures: Measures) -> str:
    reckoned = worth.settings.downtime_minor
    with_it = f"reckoned at {measures.money(reckoned)}" if reckoned else "left out of all costs"
    used = worth.found.used
    if used.basis is Basis.SET:
        return f"An hour of standing is {with_it}, as the farm set it."
    return f"An hour of standing is {with_it}; by what is known here it is worth {measures.money(used.minor_per_hour)}."


def _said(worth: HourWorth, measures: Measures) -> list[str]:
    found, said = worth.found, []
    if found.above_ceiling and found.ceiling is not None:
        said.append(
            f"Having it cut costs less: {measures.money(found.ceiling.minor_per_hour)} an hour for as much as the combine cuts."
        )
    if worth.season_minor is not None:
        said.append(
            f"Over the work ahead the crop loses about {measures.money(worth.season_minor, cents=False)} because cutting takes "
            f"its time ({number(100 * worth.loss_per_day, 1)} % a day; ASAE EP496, from memory)."
        )
    elif not worth.crop_is_known:
        grain = "t/ha and money a tonne" if worth.settings.is_metric else "bu/ac and money a bushel"
        unsaid = "What the waiting crop is worth nobody said"
        said.append(
            ByCommand(
                f"{unsaid}: --yield and --grain-price ({grain}) add it.", f"{unsaid}, so that it is in none of these."
            )
        )
    if worth.finish is None:
        said.append("Nothing is left to cut by the log, so neither the crop nor having it cut can be reckoned.")
    said.append(
        "Never two of them are added. The setting downtime_value_per_hour says with which one costs and plan reckon."
    )
    return said


def _beside(worth: HourWorth, measures: Measures) -> dict[str, Any]:
    finish, currency = worth.finish, worth.settings.currency
    acres = "hectares" if worth.settings.is_metric else "acres"
    return {
        "reckoned_with": money(worth.settings.downtime_minor, currency),
        "used": worth.found.used.basis,
        "above_ceiling": worth.found.above_ceiling,
        "loss_per_day": rounded(worth.loss_per_day, 5),
        "season_cost": money(worth.season_minor, currency),
        f"{acres}_left": None if finish is None else rounded(measures.area_number(finish.left), 1),
    }


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
