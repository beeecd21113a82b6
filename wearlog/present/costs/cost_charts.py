"""The charts of costs: bars of what an acre costs, repairs by the hour and the published curve, yearly cost by years kept."""

from __future__ import annotations

import numpy as np

from wearlog.costs.economic_life import EconomicLife
from wearlog.costs.own_curve import OwnCurve
from wearlog.costs.published_curves import RepairCurve
from wearlog.costs.repair_curve import repair_share
from wearlog.facts.plain_text import one_line
from wearlog.facts.short_names import short_name
from wearlog.present.charts import Chart, Curve, Drawn
from wearlog.present.costs.cost_sheet import hours_name, per_area
from wearlog.present.digits import Measures, amount, number
from wearlog.present.drawing.drawn import joined
from wearlog.present.drawing.sum_strip import ratio_strip
from wearlog.present.tables import fit, folded, width, wrapped
from wearlog.reckoning.costs.costs import CostRow, CostTable
from wearlog.reckoning.costs.own_costs import MachineCurve, MachineLife

#: what a bar is made of, in the order of the columns: parts, labour, service, downtime
MARKS = ("█", "▓", "▒", "░")
#: cells of a name at most, of the figure, of the ratio to the curve, and of its strip where the whole is at least so wide
_NAME, _EACH, _RATIO, _STRIP, _ROOMY = 18, 6, 7, 14, 64
#: a bar of fewer cells says nothing
_SHORTEST = 10
_POINTS = 60
_STEP = 1.0


def cost_bars(table: CostTable, measures: Measures, wide: int, most: int) -> list[str]:
    """Return what an acre costs under each key as bars of its parts, and beside them repairs over the published curve.

    The curve is of repairs alone, so it is no mark on a bar of all costs: it is a ratio, on its own scale about 1.
    """
    rows = [row for row in table.rows if row.area > 0 and row.total_minor]
    ratios = {row.key: ratio for row in rows if (ratio := _of_the_curve(row)) is not None}
    names = {row.key: short_name(one_line(row.key)) for row in rows}
    name = min(max((width(one) for one in names.values()), default=0), _NAME)
    strip = _STRIP if wide >= _ROOMY else 0
    room = wide - name - _EACH - 2 - (_RATIO + strip if ratios else 0)
    each = {row.key: per_area(row, measures) or 0.0 for row in rows}
    top = max(each.values(), default=0.0)
    if not rows or top <= 0 or room < _SHORTEST:
        return []
    unit = f"{measures.settings.currency} an {'hectare' if measures.settings.is_metric else 'acre'}"
    lines = folded([f"{unit}: █ parts  ▓ labour  ▒ service  ░ downtime"], width=wide)
    if ratios:
        lines += folded([f"%: repairs against the published curve{'; ┼ is 100 %' if strip else ''}"], width=wide)
    for row in rows[:most]:
        bar = _bar(row, each[row.key] / top * room, room)
        figure = fit(amount(each[row.key]), _EACH, to_right=True)
        beside = _ratio_words(ratios[row.key], strip) if row.key in ratios else ""
        first, *rest = wrapped(names[row.key], name)
        lines += [f"{fit(first, name)} {figure} {bar}{beside}".rstrip(), *rest]
    if len(rows) > most:
        lines.append(f"and {len(rows) - most} more in the list")
    return lines


def _of_the_curve(row: CostRow) -> float | None:
    """Repairs over what the published curve expects of them; None where it expects nothing."""
    if not row.expected_repair_minor:
        return None
    return (row.parts_minor + row.labour_minor + row.service_minor) / row.expected_repair_minor


def _ratio_words(ratio: float, cells: int) -> str:
    """The ratio as a figure and, where there is room, on doublings about 1."""
    figure = fit(f"{number(100 * ratio)} %", _RATIO, to_right=True)
    return f"{figure} {joined(ratio_strip(ratio, cells - 1))}" if cells else figure


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
