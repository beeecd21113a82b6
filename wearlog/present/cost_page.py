"""Costs for a screen: rows of a split, bars of what an acre costs by its parts, the curves and economic lives as rows."""

from __future__ import annotations

from wearlog.costs.economic_life import EconomicLife
from wearlog.facts.plain_text import one_line
from wearlog.present.cost_words import cost_notes, per_area
from wearlog.present.digits import NOTHING, Measures, amount, number
from wearlog.present.field_hours_words import hours_name
from wearlog.present.tables import Column, fit, text_table
from wearlog.reckoning.costs import CostRow, CostTable
from wearlog.reckoning.own_costs import MachineCurve, MachineLife

#: what a bar is made of, in the order of the columns: parts, labour, service, downtime
MARKS = ("█", "▓", "▒", "░")
PUBLISHED, FURTHER = "|", ">"
#: the published curve may stretch the bars so far; beyond that it is marked as further right
_STRETCH = 2.5
_NAME = 18


def cost_cells(row: CostRow, measures: Measures) -> tuple[str, ...]:
    """Return key, cost of an acre, total, parts, labour, service, downtime, area, what the published curve expects."""
    money = (row.total_minor, row.parts_minor, row.labour_minor, row.service_minor, row.downtime_minor)
    return (
        one_line(row.key) or NOTHING,
        amount(per_area(row, measures)),
        *(amount(one, cents=False) for one in money),
        number(measures.area_number(row.area)) if row.area else NOTHING,
        amount(row.expected_repair_minor, cents=False),
    )


def shown_rows(table: CostTable) -> tuple[CostRow, ...]:
    """Return the rows, what belongs to none of them, and the total."""
    elsewhere = (table.elsewhere,) if table.elsewhere.total_minor else ()
    return (*table.rows, *elsewhere, table.total)


def cost_bars(table: CostTable, measures: Measures, wide: int, most: int) -> list[str]:
    """Return what an acre costs under each key as bars of its parts; `|` is what the published curve expects."""
    rows = [row for row in table.rows if row.area > 0 and row.total_minor]
    room = wide - _NAME - 12
    each = {row.key: per_area(row, measures) or 0.0 for row in rows}
    expected = {row.key: (row.expected_repair_minor or 0) / measures.area_number(row.area) for row in rows}
    most_own = max(each.values(), default=0.0)
    top = min(max([most_own, *expected.values()]), _STRETCH * most_own)
    if not rows or top <= 0 or room < 10:
        return []
    unit = f"{measures.settings.currency} an {'hectare' if measures.settings.is_metric else 'acre'}"
    lines = [f"{unit}: █ parts  ▓ labour  ▒ service  ░ downtime"]
    if any(expected.values()):
        lines.append("| the published curve of repairs over the same hours (> further)")
    for row in rows[:most]:
        bar = _bar(row, each[row.key] / top * room, room)
        if expected[row.key]:
            at = min(max(round(expected[row.key] / top * room), 1), room) - 1
            bar = f"{bar[:at]}{FURTHER if expected[row.key] > top else PUBLISHED}{bar[at + 1 :]}"
        lines.append(f"{fit(one_line(row.key), _NAME)} {fit(amount(each[row.key]), 9, to_right=True)} {bar.rstrip()}")
    if len(rows) > most:
        lines.append(f"and {len(rows) - most} more in the list")
    return lines


def _bar(row: CostRow, cells: float, room: int) -> str:
    """Fill cells by the share of each part so that together they are as long as the whole, rounded once."""
    parts = (row.parts_minor, row.labour_minor, row.service_minor, row.downtime_minor)
    total = max(row.total_minor, 1)
    bar, sofar = "", 0
    for mark, part in zip(MARKS, parts, strict=True):
        sofar += part
        bar += mark * (round(sofar / total * cells) - len(bar))
    return bar.ljust(room)


def table_notes(table: CostTable, measures: Measures) -> tuple[str, ...]:
    """Say what the costs rest on, for a screen that folds them itself."""
    return tuple(one_line(note) for note in cost_notes(table, measures))


def curve_cells(curve: MachineCurve) -> tuple[str, ...]:
    """Return name, hours in the field, seasons, repairs paid, what the curve expected of the same hours, the own exponent."""
    paid = sum(one.repair_minor for one in curve.seasons)
    expected = sum(one.published_minor for one in curve.seasons)
    priced = bool(curve.list_price_minor)
    own = NOTHING if curve.own is None else f"{curve.own.exponent:.2f}"
    if curve.own is not None and curve.own.exponent_low is not None and curve.own.exponent_high is not None:
        own = f"{own} ({curve.own.exponent_low:.1f}-{curve.own.exponent_high:.1f})"
    ratio = f"{paid / expected:.2f}" if priced and expected else NOTHING
    return (
        one_line(curve.name),
        number(curve.hours),
        str(len(curve.seasons)),
        amount(paid, cents=False),
        amount(expected, cents=False) if priced else NOTHING,
        ratio,
        own,
    )


def life_cells(life: MachineLife) -> tuple[str, ...]:
    """Return name, age, cheapest age by the published curve and by the own one, and what the next year is."""
    age = NOTHING if life.age_years is None else f"{number(life.age_years)} y"
    if life.missing:
        return (one_line(life.name), age, NOTHING, NOTHING, f"needs {life.missing}")
    return (
        one_line(life.name),
        age,
        _best(life.published),
        _best(life.own) if life.own else "too few records",
        _next(life),
    )


def _best(life: EconomicLife | None) -> str:
    if life is None:
        return NOTHING
    if life.still_falling:
        return f"over {life.best_years} y"
    return f"{life.best_years} y ({life.as_good_from}-{life.as_good_to})"


def _next(life: MachineLife) -> str:
    found, ahead = life.own or life.published, life.next_year_own_minor or life.next_year_published_minor
    if found is None or ahead is None:
        return NOTHING
    return "PAST its cheapest age" if ahead > found.yearly_cost_minor[found.best_years - 1] else "pays to keep"


def season_lines(curve: MachineCurve) -> list[str]:
    """Return the table twin of a machine's curve: what was paid season by season."""
    columns = (
        Column("season"),
        Column(hours_name(curve.basis), figures=True),
        Column("paid", figures=True),
        Column("an hour", figures=True),
        Column("curve expects", figures=True),
    )
    rows = [
        (
            str(one.harvest_year),
            f"{number(one.from_hours)} to {number(one.to_hours)}",
            amount(one.repair_minor, cents=False),
            amount(one.repair_minor / (one.to_hours - one.from_hours)),
            amount(one.published_minor, cents=False) if curve.list_price_minor else NOTHING,
        )
        for one in curve.seasons
    ]
    return text_table(columns, rows)


def year_lines(life: MachineLife) -> list[str]:
    """Return the table twin of an economic life: mean yearly cost by years kept."""
    if life.published is None:
        return []
    columns = (Column("kept", figures=True), Column("published", figures=True), Column("own", figures=True))
    rows = []
    for place, years in enumerate(life.published.years_kept):
        own = NOTHING if life.own is None else amount(life.own.yearly_cost_minor[place], cents=False)
        rows.append((f"{years} y", amount(life.published.yearly_cost_minor[place], cents=False), own))
    return text_table(columns, rows)
