"""Costs per acre in words, and as JSON."""

from __future__ import annotations

from typing import Any

from wearlog.present.digits import NOTHING, Measures, amount, number
from wearlog.present.field_hours_words import curve_hours_sentence, hours_json
from wearlog.present.json_form import money, rounded
from wearlog.present.tables import Column, text_table
from wearlog.present.words import listed
from wearlog.reckoning.costs import CostRow, CostTable


def per_area(row: CostRow, measures: Measures) -> float | None:
    """Return the cost of an acre (or hectare) in minor units; None where nothing was cut."""
    return row.total_minor / measures.area_number(row.area) if row.area > 0 else None


def cost_lines(table: CostTable, measures: Measures) -> list[str]:
    """Return the table of costs with what it rests on below."""
    columns = (
        Column(table.by.value, widest=28),
        Column(measures.area_unit, figures=True),
        Column("parts", figures=True),
        Column("labour", figures=True),
        Column("service", figures=True),
        Column("downtime", figures=True),
        Column("total", figures=True),
        Column(f"per {measures.area_unit}", figures=True),
        Column("curve expects", figures=True),
    )
    rows = [*table.rows]
    if table.elsewhere.total_minor:
        rows.append(table.elsewhere)
    lines = text_table(columns, [_cells(row, measures) for row in [*rows, table.total]])
    return [*lines, "", *cost_notes(table, measures)]


def _cells(row: CostRow, measures: Measures) -> tuple[str, ...]:
    each = per_area(row, measures)
    return (
        row.key,
        number(measures.area_number(row.area)) if row.area else NOTHING,
        amount(row.parts_minor, cents=False),
        amount(row.labour_minor, cents=False),
        amount(row.service_minor, cents=False),
        amount(row.downtime_minor, cents=False),
        amount(row.total_minor, cents=False),
        amount(each),
        amount(row.expected_repair_minor, cents=False),
    )


def cost_notes(table: CostTable, measures: Measures) -> list[str]:
    """Say at what rates it was reckoned, and what is in no sum."""
    settings = measures.settings
    notes = [
        f"In {settings.currency}. Labour at {measures.money(settings.labour_rate_minor)} an hour.",
        f"Downtime at {measures.money(settings.downtime_minor)} an hour: {settings.downtime_source}",
    ]
    if any(row.expected_repair_minor is not None for row in table.rows):
        notes.append(
            "The curve: ASAE D497 for combines (factors from memory), parts and labour only, give or take a quarter. "
            + curve_hours_sentence(table.curve_hours)
        )
    if table.calendar_years:
        years = listed([str(year) for year in table.calendar_years])
        notes.append(f"{years}: no season is entered, so the calendar year counts ('wearlog add season YEAR').")
    if table.unknown_units:
        notes.append(f"{table.unknown_units} pieces were used whose cost nobody wrote down; they are in no sum.")
    return notes


def cost_json(table: CostTable, measures: Measures) -> dict[str, Any]:
    """Return the costs as JSON."""
    return {
        "by": table.by,
        "rows": [_row_json(row, measures) for row in table.rows],
        "elsewhere": _row_json(table.elsewhere, measures),
        "total": _row_json(table.total, measures),
        "curve_hours": [{"machine": name, **hours_json(basis)} for name, basis in table.curve_hours],
        "pieces_of_unknown_cost": table.unknown_units,
        "calendar_years": list(table.calendar_years),
    }


def _row_json(row: CostRow, measures: Measures) -> dict[str, Any]:
    currency = measures.settings.currency
    each = per_area(row, measures)
    area = "hectares" if measures.settings.is_metric else "acres"
    return {
        "key": row.key,
        area: rounded(measures.area_number(row.area), 1),
        "hours": rounded(row.separator_seconds / 3600, 1),
        "parts": money(row.parts_minor, currency),
        "labour": money(row.labour_minor, currency),
        "service": money(row.service_minor, currency),
        "downtime": money(row.downtime_minor, currency),
        "total": money(row.total_minor, currency),
        "per_hectare" if measures.settings.is_metric else "per_acre": money(
            None if each is None else round(each), currency
        ),
        "expected_repair": money(row.expected_repair_minor, currency),
    }
