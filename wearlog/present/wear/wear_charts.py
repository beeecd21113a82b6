"""The charts of wear: survival with today's ages, a measurement against its limit, repairs counted up. Draws nothing itself."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from wearlog.present.charts import Chart, Curve, Drawn
from wearlog.present.digits import Measures
from wearlog.reckoning.wear.kind_life import FAILURES_FOR_FIT
from wearlog.reckoning.wear.measured_wear import MeasuredPart
from wearlog.reckoning.wear.records_alone import share_whole
from wearlog.reckoning.wear.repairs_again import RepairsAgain
from wearlog.reckoning.wear.wear_outlook import KindOutlook
from wearlog.units import INCH_MICROMETRES

Floats: TypeAlias = npt.NDArray[np.float64]

#: points along a curve: more than a chart has columns
_POINTS = 90
#: the curve ends where so few are left, or past the oldest part
_LEFT = 0.02


def survival_chart(row: KindOutlook, measures: Measures) -> Chart | None:
    """Return the share of new parts that reach an age, with its 90 % interval; None when nobody knows the life.

    The age of the oldest part on each component stands upright in it.
    """
    posterior, meter = row.life.law, row.life.kind.meter_kind
    if posterior is None:
        return None
    oldest = [one.oldest for one in row.components if one.oldest is not None]
    end = max(posterior.life_at(1 - _LEFT).median, 1.05 * max(oldest, default=0.0))
    ages = np.linspace(0.0, end, _POINTS)[1:]
    found = posterior.survival(ages)
    x = tuple(measures.usage_number(meter, float(age)) for age in ages)
    low, middle, high = (tuple((100 * column).tolist()) for column in (found.low, found.mean, found.high))
    counted = _counted_out(row, end, measures)
    return Chart(
        curves=(Curve(x, low, Drawn.FAINT), Curve(x, high, Drawn.FAINT), Curve(x, middle), *counted),
        x_label=f"age, {measures.usage_unit(meter)}",
        y_label=f"still whole, % (dots: 90 % interval; {'o: your own parts, counted; ' if counted else ''}upright: the oldest of "
        "each component today)",
        x_end=x[-1],
        upright=tuple(sorted({measures.usage_number(meter, age) for age in oldest})),
    )


def _counted_out(row: KindOutlook, end: float, measures: Measures) -> tuple[Curve, ...]:
    """Return the share still whole after each failure by the records alone, without any law; nothing before there are a few."""
    whole = share_whole(row.life)
    if whole is None or row.life.lives.failures < FAILURES_FOR_FIT:
        return ()
    inside = whole.age <= end
    ages = (measures.usage_number(row.life.kind.meter_kind, float(age)) for age in whole.age[inside])
    return (Curve(tuple(ages), tuple((100 * whole.survival[inside]).tolist()), Drawn.POINTS),)


def measurement_chart(part: MeasuredPart, measures: Measures) -> Chart | None:
    """Return the readings of one part with the wear expected and the limit; None while there is no line.

    Dotted uprights stand where the limit is met, with 90 %.
    """
    crossing = part.crossing()
    if part.line is None or crossing is None:
        return None
    meter, size = part.kind.meter_kind, 1000.0 if measures.settings.is_metric else float(INCH_MICROMETRES)
    furthest = [one for one in (crossing.usage, crossing.high) if one is not None and np.isfinite(one)]
    reach = 1.05 * max(furthest, default=0.0)
    end = max(part.usage_now + part.usage_ahead, min(reach, 3 * part.usage_now), 1.0)
    ages = np.linspace(0.0, end, _POINTS)
    line = (part.line if part.path is None else part.path).value_at(ages) / size
    readings = part.micrometres / size
    limit = part.limit / size
    everything = np.concatenate((line, readings, [limit]))
    low, high = float(everything.min()), float(everything.max())
    room = 0.05 * max(high - low, 1e-9)
    return Chart(
        curves=(
            Curve(tuple(measures.usage_number(meter, float(age)) for age in ages), tuple(line.tolist())),
            Curve(
                tuple(measures.usage_number(meter, float(age)) for age in part.usage),
                tuple(readings.tolist()),
                Drawn.POINTS,
            ),
            *(
                Curve((measures.usage_number(meter, at),) * 2, (low - room, high + room), Drawn.FAINT)
                for at in (crossing.low, crossing.high)
                if at is not None and at < end
            ),
        ),
        x_label=f"age, {measures.usage_unit(meter)}",
        y_label=f"measured, {'mm' if measures.settings.is_metric else 'in'} (level: limit; upright: today"
        f"{'; dots: meets it, 90 %' if crossing.low is not None else ''})",
        x_end=measures.usage_number(meter, end),
        y_low=low - room,
        y_high=high + room,
        upright=(measures.usage_number(meter, part.usage_now),),
        level=(limit,),
    )


def repairs_chart(again: RepairsAgain, measures: Measures) -> Chart | None:
    """Return the mean count of breakages per machine over its usage, with its 90 % interval; None before the first one."""
    if again.mean is None:
        return None
    low, high = again.mean.bounds()
    x = np.array([measures.usage_number(again.meter_kind, float(age)) for age in again.mean.age])
    drawn = ((low, Drawn.FAINT), (high, Drawn.FAINT), (again.mean.count, Drawn.FIRM))
    curves = [_stairs(x, column, how) for column, how in drawn]
    longest = max(measures.usage_number(again.meter_kind, one.usage) for one in again.machines)
    return Chart(
        curves=tuple(curves),
        x_label=f"since records began, {measures.usage_unit(again.meter_kind)}",
        y_label="breakages per machine, mean (dots: 90 % interval)",
        x_end=longest,
        y_high=float(np.nanmax(np.where(np.isfinite(high), high, 0.0))) or 1.0,
    )


def _stairs(x: Floats, y: Floats, drawn: Drawn) -> Curve:
    """Return a count that jumps at each x."""
    finite = np.where(np.isfinite(y), y, 0.0)
    return Curve(
        tuple(np.repeat(x, 2).tolist()), tuple(np.concatenate(([0.0], np.repeat(finite, 2)[:-1])).tolist()), drawn
    )
