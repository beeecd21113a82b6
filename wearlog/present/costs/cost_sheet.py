"""What an acre costs as an answer: by machine, subsystem, part, season, crop or field, and what each is made of."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Final

from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data, money_value
from wearlog.present.digits import NOTHING, Measures, amount, number
from wearlog.present.json_form import money, rounded
from wearlog.present.sheet_faces import row_json
from wearlog.present.words import capital, listed
from wearlog.reckoning.costs.cost_events import FieldHours, HoursBy
from wearlog.reckoning.costs.costs import CostRow, CostTable, Split

_RATIO_OF = {
    HoursBy.OWN_RATIO: "the machine's own ratio",
    HoursBy.FARM_RATIO: "the ratio of this farm's counters",
    HoursBy.USUAL_RATIO: "common practice, no source",
}


def hours_name(basis: FieldHours) -> str:
    """Return what one calls the hours."""
    return "separator hours" if basis.by is HoursBy.SEPARATOR else "hours in the field"


def hours_source(basis: FieldHours) -> str:
    """Return what they are read off."""
    if basis.by is HoursBy.SEPARATOR:
        return "the separator's counter"
    if basis.by is HoursBy.RUNS:
        return "the runs alone, since the log began (no counter was read)"
    return f"the engine's counter, {basis.ratio:.2f} h to one in the field ({_RATIO_OF[basis.by]})"


def curve_hours_sentence(found: Sequence[tuple[str, FieldHours]]) -> str:
    """Say on which hours the curve runs, machines with the same source together."""
    by_source: dict[str, list[str]] = {}
    for name, basis in found:
        by_source.setdefault(hours_source(basis), []).append(name)
    told = "; ".join(f"by {source}: {listed(names)}" for source, names in by_source.items())
    return f"It runs on hours of use in the field, {told}."


def hours_json(basis: FieldHours) -> dict[str, Any]:
    """Return it as JSON."""
    return {"hours_by": basis.by, "engine_per_field_hour": rounded(basis.ratio, 4)}


#: the keys of the columns that a page shows which has no room for the rest
SHORT: Final = ("key", "per_{acre}", "total", "{acres}")


def per_area(row: CostRow, measures: Measures) -> float | None:
    """Return the cost of an acre (or hectare) in minor units; None where nothing was cut."""
    return None if row.per_area_minor is None else row.per_area_minor / measures.area_number(1.0)


def per_area_text(row: CostRow, measures: Measures) -> str:
    """Return the cost of an acre (or hectare) in sentences."""
    return number((per_area(row, measures) or 0.0) / 100, 2)


def _money(
    title: str, key: str, minor: Callable[[CostRow], int | None], least: int, gives: int = 0
) -> AnswerColumn[CostRow]:
    return AnswerColumn(
        title,
        lambda row, _: amount(minor(row), cents=False),
        key,
        money_value(minor),
        least=least,
        most=13,
        figures=True,
        gives=gives,
        order=lambda row: None if (found := minor(row)) is None else -found,
    )


def _each(row: CostRow, measures: Measures) -> dict[str, str] | None:
    each = per_area(row, measures)
    return money(None if each is None else round(each), measures.settings.currency)


def cost_columns(by: Split) -> tuple[AnswerColumn[CostRow], ...]:
    """Return the columns: under what, the answer, what it is made of, over which area, what the published curve expects."""
    return (
        AnswerColumn(
            by.value,
            lambda row, _: row.key or NOTHING,
            "key",
            lambda row, _: row.key,
            least=14,
            most=30,
            order=lambda row: row.key.casefold(),
        ),
        AnswerColumn(
            "per {area}",
            lambda row, measures: amount(per_area(row, measures)),
            "per_{acre}",
            _each,
            least=8,
            most=10,
            figures=True,
            order=lambda row: None if row.per_area_minor is None else -row.per_area_minor,
        ),
        _money("total", "total", lambda row: row.total_minor, 9),
        _money("parts", "parts", lambda row: row.parts_minor, 8),
        _money("labour", "labour", lambda row: row.labour_minor, 8, gives=3),
        _money("service", "service", lambda row: row.service_minor, 8, gives=1),
        _money("downtime", "downtime", lambda row: row.downtime_minor, 9, gives=2),
        AnswerColumn(
            "{area}",
            lambda row, measures: number(measures.area_number(row.area)) if row.area else NOTHING,
            "{acres}",
            lambda row, measures: rounded(measures.area_number(row.area), 1),
            least=7,
            most=9,
            figures=True,
            gives=4,
            order=lambda row: -row.area,
        ),
        data("hours", lambda row, _: rounded(row.separator_seconds / 3600, 1)),
        _money("published", "expected_repair", lambda row: row.expected_repair_minor, 9, gives=5),
    )


def cost_sheet(table: CostTable, measures: Measures, year: int | None = None) -> AnswerSheet[CostRow]:
    """Return the answer; `year` is the harvest year that it is of, None for all seasons."""
    columns = cost_columns(table.by)
    return AnswerSheet(
        name="rows",
        columns=columns,
        rows=table.rows,
        measures=measures,
        headline=_headline(table, measures, year),
        sentences=_rests_on(table, measures),
        empty="Nothing has cost anything yet, and nothing has been cut.",
        elsewhere=table.elsewhere if table.elsewhere.total_minor else None,
        foot=table.total,
        beside=_beside(table, columns, measures),
        key_of=id,
    )


def costs_of(table: CostTable, measures: Measures, year: int | None) -> str:
    """Return which seasons it is of and what they cost together: "season 2026: 65,326 USD"."""
    period = "all seasons" if year is None else f"season {year}"
    return f"{period}: {measures.money(table.total.total_minor, cents=False)}"


def _headline(table: CostTable, measures: Measures, year: int | None) -> str:
    each = per_area(table.total, measures)
    if each is None:
        return f"{capital(costs_of(table, measures, year))}; nothing has been cut."
    return (
        f"{capital(costs_of(table, measures, year))}, {measures.money(round(each))} per {measures.area_unit}:"
        " parts, labour, service and downtime."
    )


def _rests_on(table: CostTable, measures: Measures) -> list[str]:
    """Say at what rates it was reckoned, and what is in no sum."""
    settings = measures.settings
    notes = [
        f"In {settings.currency}. Labour at {measures.money(settings.labour_rate_minor)} an hour.",
        f"Downtime at {measures.money(settings.downtime_minor)} an hour: {settings.downtime_source}",
    ]
    if any(row.expected_repair_minor is not None for row in table.rows):
        notes.append(
            "The curve: ASAE D497 for combines (factors from memory), repairs alone without downtime, give or take a quarter. "
            + curve_hours_sentence(table.curve_hours)
        )
    if table.calendar_years:
        years = listed([str(year) for year in table.calendar_years])
        notes.append(f"{years}: no season is entered, so the calendar year counts ('wearlog add season YEAR').")
    if table.unknown_units:
        notes.append(f"{table.unknown_units} pieces were used whose cost nobody wrote down; they are in no sum.")
    return notes


def _beside(table: CostTable, columns: tuple[AnswerColumn[CostRow], ...], measures: Measures) -> dict[str, Any]:
    return {
        "by": table.by,
        "elsewhere": row_json(columns, table.elsewhere, measures),
        "total": row_json(columns, table.total, measures),
        "curve_hours": [{"machine": name, **hours_json(basis)} for name, basis in table.curve_hours],
        "pieces_of_unknown_cost": table.unknown_units,
        "calendar_years": list(table.calendar_years),
    }
