"""The charts of costs: bars of what an acre costs, repairs by the hour beside the published curve, yearly cost by years kept."""

from __future__ import annotations

import numpy as np

from wearlog.costs.economic_life import EconomicLife
from wearlog.costs.own_curve import OwnCurve
from wearlog.costs.published_curves import RepairCurve
from wearlog.costs.repair_curve import repair_share
from wearlog.facts.plain_text import one_line
from wearlog.present.charts import Chart, Curve, Drawn
from wearlog.present.costs.cost_sheet import hours_name, per_area
from wearlog.present.digits import Measures, amount
from wearlog.present.tables import fit
from wearlog.reckoning.costs.costs import CostRow, CostTable
from wearlog.reckoning.costs.own_costs import MachineCurve, MachineLife

#: what a bar is made of, in the order of the columns: parts, labour, service, downtime
MARKS = ("█", "▓", "▒", "░")
PUBLISHED, FURTHER = "|", ">"
#: the published curve may stretch the bars so far; beyond that it is marked as further right
_STRETCH = 2.5
_NAME = 18
_POINTS = 60
_STEP = 1.0


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


def repair_chart(
    curve: MachineCurve, published: RepairCurve, fleet: OwnCurve | None, measures: Measures
) -> Chart | None:
    """Return what an hour cost in each season, the published curve and the own one; None without seasons or a price."""
    price = curve.list_price_minor
    if not curve.seasons or not price:
        return None
    end = 1.1 * max(curve.hours, curve.seasons[-1].to_hours)
    hours = np.linspace(0.0, end, _POINTS)
    x = tuple(hours.tolist())
    own = curve.own or fleet
    whose = "" if own is None else ", line: its own" if curve.own else ", line: of all combines"
    paid = [one.repair_minor / (one.to_hours - one.from_hours) / 100 for one in curve.seasons]
    middle = tuple((one.from_hours + one.to_hours) / 2 for one in curve.seasons)
    curves = [Curve(x, _by_the_hour(published, price, x), Drawn.FAINT)]
    if own is not None:
        curves.append(Curve(x, _by_the_hour(own.as_repair_curve(curve.name, published.life_hours), price, x)))
    top = 1.1 * max(*paid, *(max(one.y) for one in curves))
    curves.append(Curve(middle, tuple(paid), Drawn.POINTS))
    return Chart(
        curves=tuple(curves),
        x_label=hours_name(curve.basis),
        y_label=f"{curve.name}: repairs, {measures.settings.currency} an hour (o: each season, dots: published{whose})",
        x_end=end,
        y_high=top,
        upright=(curve.hours,),
    )


def _by_the_hour(curve: RepairCurve, price: int, x: tuple[float, ...]) -> tuple[float, ...]:
    hours = np.asarray(x)
    rise = repair_share(curve, hours + _STEP) - repair_share(curve, hours)
    return tuple((rise / _STEP * price / 100).tolist())


def life_chart(life: MachineLife, measures: Measures) -> Chart | None:
    """Return mean yearly cost by years kept from new on, published and own; today's age stands upright."""
    found = [one for one in (life.published, life.own) if one is not None]
    if not found:
        return None
    curves = [_yearly(life.published, Drawn.FAINT), _yearly(life.own, Drawn.FIRM)]
    most = max(max(one.yearly_cost_minor[2:]) for one in found) / 100
    least = min(min(one.yearly_cost_minor) for one in found) / 100
    whose = "" if life.own is None else ", line: all combines' own" if life.own_is_fleet else ", line: its own"
    end = float(found[0].years_kept[-1])
    return Chart(
        curves=tuple(one for one in curves if one is not None),
        x_label="years kept from new",
        y_label=f"{life.name}: mean yearly cost, {measures.settings.currency} (dots: published{whose}; upright: its age)",
        x_end=end,
        y_low=0.8 * least,
        y_high=most,
        upright=() if life.age_years is None or life.age_years > end else (life.age_years,),
    )


def _yearly(life: EconomicLife | None, drawn: Drawn) -> Curve | None:
    if life is None:
        return None
    # the first two years lose so much value that the rest of the curve would be flat beside them
    years, costs = life.years_kept[2:], life.yearly_cost_minor[2:]
    return Curve(tuple(float(year) for year in years), tuple(cost / 100 for cost in costs), drawn)
