"""What a cell can mean only together with the rest of its row: positions left out, meters and sensors that the unit must suit."""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from wearlog.errors import UsageError
from wearlog.exchange.columns import Form
from wearlog.exchange.heading_units import (
    AREA_UNITS,
    BUSHELS_PER_ACRE,
    CALENDAR_UNITS,
    SENSOR_UNITS,
    TIME_UNITS,
    UNITS,
    Measure,
)
from wearlog.exchange.headings import BoundColumn
from wearlog.exchange.named_rows import NamedRows
from wearlog.facts.closed_lists import MeterKind, Sensor
from wearlog.facts.machines import Meter
from wearlog.facts.parts import PartKind
from wearlog.facts.positions import format_positions
from wearlog.facts.wearing import Component
from wearlog.facts.work import Crop
from wearlog.units import read_number, to_whole

#: forms that are looked at again when the rest of the row is known
LATE_FORMS: Final = (Form.USAGE, Form.AGE, Form.SENSOR)


def measure_of(values: dict[str, object], named: NamedRows) -> Measure:
    """Return the meter and the sensor by which the amounts of a row count, as far as the row says so."""
    kind, sensor = values.get("meter_kind"), values.get("sensor")
    meter = named.rows.get(values.get("meter_id"))  # type: ignore[call-overload]
    if isinstance(meter, Meter):
        kind = meter.kind
    component = named.rows.get(values.get("component_id"))  # type: ignore[call-overload]
    if isinstance(component, Component):
        part_kind = named.rows.get(component.part_kind_id)
        kind = part_kind.meter_kind if isinstance(part_kind, PartKind) else None
    return Measure(
        meter=kind if isinstance(kind, MeterKind) else None, sensor=sensor if isinstance(sensor, Sensor) else None
    )


#: what a meter counts -> the units of it, what that is called, and how its headings end
_HOURS: Final = (TIME_UNITS, "hours", "_h")
_COUNTED: Final = {
    MeterKind.AREA: (AREA_UNITS, "area", "_ac or _ha"),
    MeterKind.CALENDAR: (CALENDAR_UNITS, "days", "_d, _mo or _y"),
}


def refuse_wrong_unit(bound: BoundColumn, measure: Measure) -> None:
    """Refuse an amount whose heading has a unit that the row's meter or sensor does not count in."""
    if not bound.unit:
        return
    heading, form = bound.column.heading, bound.column.form
    if form is Form.SENSOR and measure.sensor is not None:
        fitting = SENSOR_UNITS[measure.sensor]
        if bound.unit not in fitting:
            sensor = str(measure.sensor).replace("_", " ")
            raise UsageError(f"The sensor {sensor} is not measured in {bound.unit}.", f"Use {heading}_{fitting[0]}.")
    elif form is not Form.SENSOR and measure.meter is not None:
        fitting, what, units = _COUNTED.get(measure.meter, _HOURS)
        if bound.unit not in fitting:
            raise UsageError(f"The meter counts {what}, not {bound.unit}.", f"Write it under {heading}{units}.")


def yield_from_bushels(text: str, values: dict[str, object], named: NamedRows, *, decimal_comma: bool | None) -> int:
    """Return grams per hectare of a yield in bushels per acre of the row's crop."""
    crop = named.rows.get(values.get("crop_id"))  # type: ignore[call-overload]
    if not isinstance(crop, Crop) or not crop.bushel_grams:
        raise UsageError(
            "Nobody knows what a bushel of this weighs.",
            "Give the crop, and its bushel in the sheet crop, or kg or lb.",
        )
    factor = UNITS[Form.MASS_PER_AREA][BUSHELS_PER_ACRE] * Decimal(crop.bushel_grams)
    number = read_number(text, decimal_comma=decimal_comma)
    if number < 0:
        raise UsageError(f"'{text}' is below 0.", "Write it without the minus sign.")
    return to_whole(number, factor)


def positions_left_out(sheet: str, values: dict[str, object], named: NamedRows) -> tuple[int, ...] | None:
    """Return what no positions mean: the only one, or all of them where a whole component is fitted or chosen.

    None when the component is not known, so that nothing can be said.
    """
    component = named.rows.get(values.get("component_id"))  # type: ignore[call-overload]
    if not isinstance(component, Component):
        return None
    if component.positions == 1 or sheet != "breakage":
        return tuple(range(1, component.positions + 1))
    raise UsageError(
        f"Which of the {component.positions} positions of '{component.place}'?", "Write positions like 41 or 41-43, 50."
    )


def refuse_positions_beyond(values: dict[str, object], named: NamedRows) -> None:
    """Refuse the positions of a row of fittings that its component does not have, all of them in one sentence."""
    component = named.rows.get(values.get("component_id"))  # type: ignore[call-overload]
    positions = values.get("position")
    if not isinstance(component, Component) or not isinstance(positions, tuple):
        return
    beyond = [position for position in positions if position > component.positions]
    if beyond:
        which = f"{'Position' if len(beyond) == 1 else 'Positions'} {format_positions(beyond)}"
        raise UsageError(
            f"{which} cannot be: '{component.place}' has {component.positions}.",
            "Correct the positions, or how many the component has.",
        )
