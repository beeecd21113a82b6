"""The whole history of a fleet as arrays: what the maths works on. No facts, no objects per row.

Rows point at each other by index into the id lists. Instants are microseconds since 1970 UTC; OPEN stands for "not yet".
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from enum import StrEnum
from itertools import groupby
from operator import itemgetter
from typing import Any, TypeVar
from uuid import UUID

import numpy as np
from sqlalchemy import Connection

from wearlog.collecting import no_collecting
from wearlog.facts.closed_lists import Action, Cause, Ground, MachineKind, MeterKind, Mode, Removal
from wearlog.facts.machines import ends_as_they_stand
from wearlog.harvest.by_line import Bools, Floats, Ints, order_by_line_and_time
from wearlog.progress import step
from wearlog.store.plain_reader import NONE, OPEN, PlainReader, pointing
from wearlog.store.shelf import PartFitRows, StockMoveRows, part_fits, stock_moves

__all__ = ["NONE", "OPEN", "Bools", "Floats", "Ints", "LogHistories", "code_of", "read_histories"]

R = TypeVar("R")


@dataclass(frozen=True, slots=True, eq=False)
class MachineRows:
    ids: tuple[UUID, ...]
    kind: Ints  #: index into MachineKind


@dataclass(frozen=True, slots=True, eq=False)
class PartKindRows:
    ids: tuple[UUID, ...]
    meter_kind: Ints  #: index into MeterKind: the meter that wears parts of this kind


@dataclass(frozen=True, slots=True, eq=False)
class ReadingRows:
    machine: Ints
    meter_kind: Ints  #: index into MeterKind
    at: Ints
    shown: Floats
    new_leg: Bools


@dataclass(frozen=True, slots=True, eq=False)
class RunRows:
    """By combine and start. `header`, `field` and `crop` are NONE where not written; `separator_seconds` is NaN there.

    `ground` is the field's.
    """

    combine: Ints
    header: Ints
    field: Ints
    crop: Ints
    ground: Ints
    start: Ints
    end: Ints
    area: Floats
    separator_seconds: Floats


@dataclass(frozen=True, slots=True, eq=False)
class HitchRows:
    """As they stand: whoever hangs somewhere else is over where it hung. `end` is OPEN while it hangs."""

    header: Ints
    combine: Ints
    start: Ints
    end: Ints


@dataclass(frozen=True, slots=True, eq=False)
class ComponentRows:
    ids: tuple[UUID, ...]
    machine: Ints
    part_kind: Ints
    positions: Ints


@dataclass(frozen=True, slots=True, eq=False)
class FittingRows:
    """By component, position and time. `age_when_fitted` is NaN where nobody knows.

    `removal` is NONE while the part is on or where no reason was written. `part` is the place of its part number in
    `LogHistories.parts`, NONE where nobody noted it.
    """

    component: Ints
    position: Ints
    fitted_at: Ints
    removed_at: Ints
    age_when_fitted: Floats
    removal: Ints
    part: Ints


@dataclass(frozen=True, slots=True, eq=False)
class BreakageRows:
    component: Ints
    at: Ints
    cause: Ints
    mode: Ints
    action: Ints
    positions: tuple[tuple[int, ...], ...]
    #: for each position when the fitting that broke was fitted, OPEN where nobody noted which it was
    broke_fitted_at: tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True, eq=False)
class MeasurementRows:
    component: Ints
    position: Ints
    at: Ints
    micrometres: Floats


@dataclass(frozen=True, slots=True, eq=False)
class LogHistories:
    """Everything the wear maths reads. `fields` and `crops` are the id lists that rows index, `parts` the part numbers."""

    machines: MachineRows
    part_kinds: PartKindRows
    fields: tuple[UUID, ...]
    crops: tuple[UUID, ...]
    readings: ReadingRows
    runs: RunRows
    hitches: HitchRows
    components: ComponentRows
    parts: tuple[str, ...]
    fittings: FittingRows
    breakages: BreakageRows
    measurements: MeasurementRows
    stock_moves: StockMoveRows
    part_fits: PartFitRows


def code_of(member: StrEnum) -> int:
    """Return the index by which rows name a member of a closed list."""
    return list(type(member)).index(member)


def read_histories(connection: Connection) -> LogHistories:
    """Read the histories of every machine in the log, voided rows left out."""
    # hundreds of thousands of small rows come and go here; the collector of garbage would look at each several times
    with no_collecting():
        return _read(PlainReader(connection))


def _read(reader: PlainReader) -> LogHistories:
    machine_rows = reader.rows("SELECT {id:id}, kind FROM machine WHERE {stands} ORDER BY id")
    kinds = _codes(MachineKind)
    machines = MachineRows(_ids(machine_rows), _ints([kinds[kind] for _, kind in machine_rows]))
    machine = _places(machine_rows)
    part_kind_rows = reader.rows("SELECT {id:id}, meter_kind FROM part_kind WHERE {stands} ORDER BY id")
    meters = _codes(MeterKind)
    field_rows = reader.rows("SELECT {id:id}, ground FROM field WHERE {stands} ORDER BY id")
    crop_rows = reader.rows("SELECT {id:id} FROM crop WHERE {stands} ORDER BY id")
    part_rows = reader.rows("SELECT {id:id}, number FROM part WHERE {stands} ORDER BY id")
    part = _places(part_rows)
    components, component = _components(reader, machine, _places(part_kind_rows))
    readings = _readings(reader, machine)
    step(0.1)
    runs = _runs(reader, machine, field_rows, _places(crop_rows))
    step(0.3)
    fittings = _fittings(reader, component, part)
    step(0.7)
    breakages = _breakages(reader, component)
    step(0.9)
    return LogHistories(
        machines=machines,
        part_kinds=PartKindRows(_ids(part_kind_rows), _ints([meters[meter] for _, meter in part_kind_rows])),
        fields=_ids(field_rows),
        crops=_ids(crop_rows),
        readings=readings,
        runs=runs,
        hitches=_hitches(reader, machine),
        components=components,
        parts=tuple(number for _, number in part_rows),
        fittings=fittings,
        breakages=breakages,
        measurements=_measurements(reader, component),
        stock_moves=stock_moves(reader, part),
        part_fits=part_fits(reader, part, _places(part_kind_rows)),
    )


def _codes(closed_list: type[StrEnum]) -> dict[str | None, int]:
    codes: dict[str | None, int] = {member.value: code for code, member in enumerate(closed_list)}
    codes[None] = NONE
    return codes


def _ids(rows: Sequence[Any]) -> tuple[UUID, ...]:
    return tuple(UUID(bytes=row[0]) for row in rows)


def _places(rows: Sequence[Any]) -> dict[Any, int]:
    """Where each id stands in its list."""
    return {row[0]: place for place, row in enumerate(rows)}


def _ints(values: Sequence[int]) -> Ints:
    return np.array(values, dtype=np.int64)


def _floats(values: Sequence[float | None]) -> Floats:
    return np.array(values, dtype=np.float64)


def _columns(rows: Sequence[Any], count: int) -> Iterator[Sequence[Any]]:
    return zip(*rows, strict=True) if rows else iter([()] * count)


def _readings(reader: PlainReader, machine: Mapping[Any, int]) -> ReadingRows:
    rows = reader.rows(
        "SELECT {id:m.machine_id}, m.kind, {us:r.at}, r.shown_usage, r.new_leg "
        "FROM reading r JOIN meter m ON r.meter_id = m.id WHERE {stands}",
        "r",
    )
    machines, kinds, at, shown, new_leg = _columns(rows, 5)
    codes = _codes(MeterKind)
    found = ReadingRows(
        pointing(machines, machine),
        _ints([codes[kind] for kind in kinds]),
        _ints(at),
        _floats(shown),
        np.array(new_leg, dtype=np.bool_),
    )
    return _only(found, found.machine != NONE)


def _runs(
    reader: PlainReader, machine: Mapping[Any, int], field_rows: Sequence[Any], crop: Mapping[Any, int]
) -> RunRows:
    (combines, headers, run_fields, crops), (start, end, area, seconds) = reader.columns(
        "run",
        ("combine_id", "header_id", "field_id", "crop_id"),
        ("{us:started_at}", "{us:ended_at}", "area_square_metres", "COALESCE(separator_seconds, -1)"),
    )
    grounds = _codes(Ground)
    ground_of_field = _ints([grounds[ground] for _, ground in field_rows] + [NONE])
    field = run_fields.pointing(_places(field_rows))
    found = RunRows(
        combine=combines.pointing(machine),
        header=headers.pointing(machine),
        field=field,
        crop=crops.pointing(crop),
        ground=ground_of_field[field],
        start=start,
        end=end,
        area=area.astype(np.float64),
        separator_seconds=np.where(seconds == -1, np.nan, seconds),
    )
    return _by_combine_and_time(_only(found, found.combine != NONE))


def _by_combine_and_time(runs: RunRows) -> RunRows:
    """As every reckoning goes through them."""
    order = order_by_line_and_time(runs.combine, runs.start)
    combine, start = runs.combine[order], runs.start[order]
    if ((combine[1:] == combine[:-1]) & (start[1:] == start[:-1])).any():
        # of those that begin at one instant, the order must not depend on who wrote first
        order = np.lexsort((runs.crop, runs.field, runs.header, runs.start, runs.combine))
    return _taken(runs, order)


def _hitches(reader: PlainReader, machine: Mapping[Any, int]) -> HitchRows:
    rows = reader.rows("SELECT {id:header_id}, {id:combine_id}, {us:from_at}, {us:to_at} FROM hitch WHERE {stands}")
    headers, combines, start, end = _columns(rows, 4)
    found = HitchRows(pointing(headers, machine), pointing(combines, machine), _ints(start), _ints(end))
    found = _only(found, (found.header != NONE) & (found.combine != NONE))
    stand = ends_as_they_stand(*(column.tolist() for column in (found.header, found.combine, found.start, found.end)))
    return replace(found, end=_ints(stand))


def _components(
    reader: PlainReader, machine: Mapping[Any, int], part_kind: Mapping[Any, int]
) -> tuple[ComponentRows, dict[Any, int]]:
    rows = reader.rows(
        "SELECT {id:id}, {id:machine_id}, {id:part_kind_id}, positions FROM component WHERE {stands} ORDER BY id"
    )
    _, machines, part_kinds, positions = _columns(rows, 4)
    found = ComponentRows(_ids(rows), pointing(machines, machine), pointing(part_kinds, part_kind), _ints(positions))
    return found, _places(rows)


def _fittings(reader: PlainReader, component: Mapping[Any, int], part: Mapping[Any, int]) -> FittingRows:
    code = " ".join(f"WHEN '{reason.value}' THEN {number}" for number, reason in enumerate(Removal))
    (components, parts), (position, fitted_at, removed_at, age, removal) = reader.columns(
        "fitting",
        ("component_id", "part_id"),
        (
            "position",
            "{us:fitted_at}",
            "{us:removed_at}",
            "COALESCE(age_when_fitted_usage, -1)",
            f"CASE removal {code} ELSE {NONE} END",
        ),
    )
    ages = np.where(age == -1, np.nan, age)
    found = FittingRows(
        components.pointing(component), position, fitted_at, removed_at, ages, removal, parts.pointing(part)
    )
    found = _only(found, found.component != NONE)
    place = found.component * (int(found.position.max(initial=0)) + 1) + found.position
    return _taken(found, np.lexsort((found.fitted_at, place)))


def _breakages(reader: PlainReader, component: Mapping[Any, int]) -> BreakageRows:
    found = reader.rows(
        "SELECT {id:id}, {id:component_id}, {us:at}, cause, mode, action FROM breakage WHERE {stands} ORDER BY at, id"
    )
    rows = [row for row in found if row[1] in component]
    ids, components, at, causes, modes, actions = _columns(rows, 6)
    where, noted = _broken_positions(reader)
    cause, mode, action = _codes(Cause), _codes(Mode), _codes(Action)
    return BreakageRows(
        pointing(components, component),
        _ints(at),
        _ints([cause[one] for one in causes]),
        _ints([mode[one] for one in modes]),
        _ints([action[one] for one in actions]),
        tuple(where.get(row_id, ()) for row_id in ids),
        tuple(tuple(noted.get((row_id, one), OPEN) for one in where.get(row_id, ())) for row_id in ids),
    )


def _broken_positions(reader: PlainReader) -> tuple[dict[Any, tuple[int, ...]], dict[tuple[Any, int], int]]:
    """The positions of each breakage, and when what broke there was fitted where somebody noted which fitting it was."""
    rows = reader.rows("SELECT {id:breakage_id}, position FROM breakage_position ORDER BY breakage_id, position")
    where = {row_id: tuple(position for _, position in some) for row_id, some in groupby(rows, itemgetter(0))}
    noted = reader.rows(
        "SELECT {id:p.breakage_id}, p.position, {us:f.fitted_at} FROM breakage_position p "
        "JOIN fitting f ON f.id = p.broke_fitting_id WHERE f.position = p.position AND {stands}",
        "f",
    )
    return where, {(row_id, position): fitted_at for row_id, position, fitted_at in noted}


def _measurements(reader: PlainReader, component: Mapping[Any, int]) -> MeasurementRows:
    rows = reader.rows(
        "SELECT {id:component_id}, position, {us:at}, measured_micrometres FROM measurement WHERE {stands} ORDER BY at, id"
    )
    components, positions, at, micrometres = _columns(rows, 4)
    found = MeasurementRows(pointing(components, component), _ints(positions), _ints(at), _floats(micrometres))
    return _only(found, found.component != NONE)


def _only(rows: R, kept: Bools) -> R:
    """The rows of which `kept` is true; the usual case, that all are, costs nothing."""
    return rows if kept.all() else _taken(rows, np.flatnonzero(kept))


def _taken(rows: R, order: Ints) -> R:
    """These rows, in this order."""
    columns = (getattr(rows, field.name) for field in fields(rows))  # type: ignore[arg-type]
    return type(rows)(*(column[order] for column in columns))
