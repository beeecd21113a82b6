"""What cells mean only together with the log or with other rows: the row they name, its id, its measures, ends not written."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from typing import Final
from uuid import UUID

from wearlog.errors import UsageError
from wearlog.exchange.cells import read_listed, read_text
from wearlog.exchange.columns import (
    AREA_UNITS,
    BUSHELS_PER_ACRE,
    CALENDAR_UNITS,
    SENSOR_UNITS,
    TIME_UNITS,
    UNITS,
    By,
    Form,
    Measure,
)
from wearlog.exchange.headings import NAME_FIELDS, OWN_FIELDS, Bindings, BoundColumn
from wearlog.exchange.rows_by_name import NamedRows, as_id, id_of_named_row, name_part
from wearlog.facts.closed_lists import Action, MeterKind, Removal, Sensor
from wearlog.facts.machines import Meter
from wearlog.facts.parts import PartKind
from wearlog.facts.plain_text import folded
from wearlog.facts.positions import format_positions
from wearlog.facts.wearing import Breakage, Component, Fitting
from wearlog.facts.work import Crop
from wearlog.ids import WORD_END, derived_id, derived_ids
from wearlog.units import read_number, to_whole


class Pointer:
    """One pointer column of a sheet.

    Attributes
    ----------
    answers : dict of (str, str, object) to UUID
        The rows that texts met before name.
    owner_index : int or None
        Where the machine or season stands that the row is of.
    """

    def __init__(self, bound: BoundColumn, bindings: Bindings, named: NamedRows) -> None:
        self.bound = bound
        self.column = bound.column
        helper = "season" if self.column.by is By.PLAN else "machine"
        owned = self.column.by not in (By.NAME, By.KEY)
        self.owner_index = bindings.index_of(helper) if owned else None
        self._owner_sheet = helper
        self._named = named
        self.answers: dict[tuple[str, str, object], UUID] = {}
        self._resolve: Callable[[str, object], UUID] = self._meter if self.column.by is By.METER else self._row

    def resolve(self, cells: list[str], values: dict[str, object]) -> UUID | None:
        """Return the row that the cells name; None when they name none. UsageError when there is no such row."""
        owner_text = cells[self.owner_index] if self.owner_index is not None else ""
        # a sign or a check names a node of the machine that its fault is on, or else of another
        fault = values.get("fault_id") if self.column.by is By.NODE else None
        return self.named(owner_text, cells[self.bound.index], fault)

    def named(self, owner_text: str, text: str, fault: object) -> UUID | None:
        """Return the row that the texts of a row name; see `resolve`."""
        if not text and not (self.column.by is By.PLAN and owner_text.strip()):
            return None
        asked = (owner_text, text, fault)
        if asked not in self.answers:
            self.answers[asked] = self._resolve(read_text(text), self._owner(owner_text.strip(), fault, text))
        return self.answers[asked]

    def _owner(self, owner_text: str, fault: object, text: str) -> UUID | None:
        if owner_text:
            return self._named.find(self._owner_sheet, None, read_text(owner_text))
        row = self._named.rows.get(fault) if isinstance(fault, UUID) else None
        machine_id = getattr(row, "machine_id", None)
        name = (machine_id, folded(read_text(text)))
        return machine_id if self._named.id_of_name(self.column.target, name) else None

    def _row(self, text: str, owner: object) -> UUID:
        if self.column.by is By.KEY:
            found = self._named.id_of_key(self.column.target, text)
            if found is not None:
                return found
        if self.column.by is By.SHARED_NODE:
            return self._named.shared_node(owner, text)
        return self._named.find(self.column.target, owner, text)

    def _meter(self, text: str, owner: object) -> UUID:
        by_key = self._named.id_of_key("meter", text)
        if by_key is not None:
            return by_key
        kind = read_listed(text, MeterKind)
        if owner is not None and self._named.id_of_name("meter", (owner, str(kind))) is None:
            machine = getattr(self._named.rows.get(owner), "name", "the machine") if isinstance(owner, UUID) else ""
            what = str(kind).replace("_", " ")
            raise UsageError(f"'{machine}' has no meter of {what}.", "Add it to the sheet meter.")
        return self._named.find("meter", owner, str(kind))


class RowIds:
    """Gives the ids of one sheet's rows, in their order."""

    def __init__(self, sheet: str, named: NamedRows) -> None:
        self.sheet = sheet
        self._named = named
        self._seen: Counter[str] = Counter()

    def of(self, values: dict[str, object], key: str, position: int | None = None, *, many: bool = False) -> UUID:
        """Return the id of a row, or of one of the `many` fittings of a row.

        A UUID is the id itself. A name that is known keeps its id. Any other key is good for the row as long as it stays. Without
        one, rows that agree in all their `OWN_FIELDS` are told apart by their order.
        """
        own = as_id(key)
        if own is not None:
            return derived_id(self.sheet, str(own), str(position)) if many else own
        if self.sheet in NAME_FIELDS:
            name = tuple(name_part(values.get(field, "")) for field in NAME_FIELDS[self.sheet])
            known = self._named.id_of_name(self.sheet, name)
            if known is not None:
                return known
            return derived_id(self.sheet, key) if key else id_of_named_row(self.sheet, name)
        if key:
            return derived_id(self.sheet, key) if position is None else derived_id(self.sheet, key, str(position))
        content = "\x1e".join([canonical_cell(values.get(field)) for field in OWN_FIELDS[self.sheet]])
        return self.of_content(content if position is None else f"{content}\x1e{position}")

    def of_key(self, key: str) -> UUID:
        """Return the id of a row of a sheet without names by its key."""
        return as_id(key) or derived_id(self.sheet, key)

    def of_content(self, content: str) -> UUID:
        """Return the id of a row without a key by what its `OWN_FIELDS` say."""
        self._seen[content] += 1
        return derived_id(self.sheet, content, str(self._seen[content]))

    def of_rows(self, keys: Sequence[str], contents: Sequence[str]) -> list[UUID]:
        """Return the ids of rows of a sheet without names: by its key of a row that has one, else by its content."""
        if any(keys):
            both = zip(keys, contents, strict=True)
            return [self.of_key(key) if key else self.of_content(content) for key, content in both]
        seen, sheet = self._seen, self.sheet
        words = []
        for content in contents:
            seen[content] = count = seen.get(content, 0) + 1
            words.append(f"{sheet}{WORD_END}{content}{WORD_END}{count}")
        return derived_ids(words)


def canonical_cell(value: object) -> str:
    """Return a value as it tells rows without a key apart."""
    if value is None or value is False:
        return ""
    if type(value) is str:
        return value
    if isinstance(value, UUID):
        return f"{value.int:x}"
    return value.isoformat() if isinstance(value, datetime) else str(value)


#: forms that are looked at again when the rest of the row is known
LATE_FORMS: Final = (Form.USAGE, Form.AGE, Form.SENSOR)


#: the fields of a row that decide by what its amounts count
MEASURED_BY: Final = ("meter_kind", "sensor", "meter_id", "component_id")


def measure_of(values: dict[str, object], named: NamedRows) -> Measure:
    """Return the meter and the sensor by which the amounts of a row count, as far as the row says so."""
    kind, sensor = values.get("meter_kind"), values.get("sensor")
    meter = named.rows.get(values.get("meter_id"))  # type: ignore[call-overload]
    if isinstance(meter, Meter):
        kind = meter.kind
    component = named.rows.get(values.get("component_id"))  # type: ignore[call-overload]
    if isinstance(component, Component) and "meter_kind" not in values:
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


def ended_by_the_next(fittings: Sequence[Fitting]) -> list[Fitting]:
    """Return the fittings in their order, each open one that another follows ended by it as a planned change."""
    at_position: dict[tuple[UUID, int], list[int]] = defaultdict(list)
    for index, fitting in enumerate(fittings):
        at_position[fitting.component_id, fitting.position].append(index)
    ended = list(fittings)
    for indices in at_position.values():
        indices.sort(key=lambda index: fittings[index].fitted_at)
        for index, following in pairwise(indices):
            fitting, then = fittings[index], fittings[following].fitted_at
            if fitting.removed_at is None and then > fitting.fitted_at:
                ended[index] = replace(fitting, removed_at=then, removal=fitting.removal or Removal.PLANNED)
    return ended


#: a part fitted by a row of its own so soon after the breakage is the one that replaced it
SAME_REPAIR: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Replaced:
    """`fittings` are those given, in their order, some of them ended; each of `new` comes with the breakage it follows from."""

    fittings: list[Fitting]
    new: list[tuple[Breakage, Fitting]]


def replaced_parts(fittings: Sequence[Fitting], breakages: Iterable[Breakage]) -> Replaced:
    """Work out the fittings that breakages end and begin.

    Parameters
    ----------
    fittings : sequence of Fitting
        As they were written; one without an end is taken to last until the next at its position.
    breakages : iterable of Breakage
        Those whose fittings are to follow; only replaced ones have any.
    """
    current = {fitting.id: fitting for fitting in fittings}
    here: dict[tuple[UUID, int], list[UUID]] = defaultdict(list)
    for fitting in fittings:
        here[fitting.component_id, fitting.position].append(fitting.id)
    causes: dict[UUID, Breakage] = {}
    for breakage in sorted(breakages, key=lambda one: (one.at, one.id)):
        if breakage.action is not Action.REPLACED:
            continue
        for position in breakage.positions:
            ids = here[breakage.component_id, position]
            changed = _change(breakage, position, [current[one] for one in ids])
            for fitting in changed:
                if fitting.id not in current:
                    ids.append(fitting.id)
                    causes[fitting.id] = breakage
                current[fitting.id] = fitting
    return Replaced(
        [current[fitting.id] for fitting in fittings], [(breakage, current[made]) for made, breakage in causes.items()]
    )


def _change(breakage: Breakage, position: int, there: Sequence[Fitting]) -> list[Fitting]:
    """Return the fittings that one breakage changes or begins at one position."""
    at = breakage.at
    before = max((one for one in there if one.fitted_at < at), key=lambda one: one.fitted_at, default=None)
    after = min((one.fitted_at for one in there if one.fitted_at >= at), default=None)
    on = before if before is not None and (before.removed_at is None or before.removed_at > at) else None
    written = after is not None and after <= at + SAME_REPAIR
    if written or any(one.removed_at == at for one in there):
        # the replacement has a row of its own; only the reason why the old part came off may be missing
        is_open = on is not None and on.removed_at is None
        return [replace(on, removed_at=at, removal=on.removal or Removal.BROKE)] if on and is_open else []
    new = Fitting(
        id=derived_id("fitting", str(breakage.id), str(position)),
        component_id=breakage.component_id,
        position=position,
        fitted_at=at,
        removed_at=on.removed_at if on else None,
        removal=on.removal if on else None,
    )
    return [replace(on, removed_at=at, removal=Removal.BROKE), new] if on else [new]
