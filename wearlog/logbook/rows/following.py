"""What hangs on a row: which other rows follow when it is changed by hand, and which go when it is taken back."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any, Final

from wearlog.facts.closed_lists import RepairKind
from wearlog.facts.electrics import Fault, FaultSign
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Hitch, Machine, Meter
from wearlog.facts.parts import Part, PartFit, StockMove
from wearlog.facts.wearing import Breakage, Component, Fitting, Repair
from wearlog.facts.work import Stoppage
from wearlog.logbook.rows.breakage_rows import breakage_changed, breakage_gone
from wearlog.logbook.rows.hanging import Hanging
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all


def following(connection: Connection, old: Fact, new: Fact) -> Hanging:
    """Return what else is written when `old` becomes `new`, without the row itself.

    What ended because this began goes on ending when this begins; what belongs to a breakage or repair keeps its time with it.
    """
    if isinstance(old, Breakage) and isinstance(new, Breakage):
        return breakage_changed(connection, old, new)
    if isinstance(old, Fitting) and isinstance(new, Fitting) and old.fitted_at != new.fitted_at:
        return Hanging(changed=[replace(one, removed_at=new.fitted_at) for one in _before(connection, old)])
    if isinstance(old, Hitch) and isinstance(new, Hitch) and old.from_at != new.from_at:
        return Hanging(changed=[replace(one, to_at=new.from_at) for one in _hitched_before(connection, old)])
    if isinstance(old, Repair) and isinstance(new, Repair) and old.started_at != new.started_at:
        return _repair_moved(connection, old, new)
    return Hanging()


def going_too(connection: Connection, fact: Fact) -> Hanging:
    """Return what else goes or changes when a row is taken back, without the row itself."""
    find = _GOING.get(type(fact))
    return find(connection, fact) if find else Hanging()


def _before(connection: Connection, fitting: Fitting) -> list[Fitting]:
    """What came off that position when this one went on."""
    same = find_all(connection, Fitting, component_id=fitting.component_id, position=fitting.position)
    return [one for one in same if one.removed_at == fitting.fitted_at and one.id != fitting.id]


def _hitched_before(connection: Connection, hitch: Hitch) -> list[Hitch]:
    return [
        one
        for one in find_all(connection, Hitch, to_at=hitch.from_at)
        if one.id != hitch.id and (one.header_id == hitch.header_id or one.combine_id == hitch.combine_id)
    ]


def _repair_moved(connection: Connection, old: Repair, new: Repair) -> Hanging:
    by = new.started_at - old.started_at
    stops = [
        replace(one, started_at=one.started_at + by, ended_at=one.ended_at + by if one.ended_at else None)
        for one in find_all(connection, Stoppage, repair_id=old.id)
        if one.started_at == old.started_at
    ]
    moves = [
        replace(one, at=new.started_at)
        for one in find_all(connection, StockMove, repair_id=old.id)
        if one.at == old.started_at
    ]
    return Hanging(changed=[*stops, *moves])


def _fitting_gone(connection: Connection, fitting: Fact) -> Hanging:
    assert isinstance(fitting, Fitting)
    back = [
        replace(one, removed_at=fitting.removed_at, removal=fitting.removal) for one in _before(connection, fitting)
    ]
    return Hanging(changed=back)


def _hitch_gone(connection: Connection, hitch: Fact) -> Hanging:
    assert isinstance(hitch, Hitch)
    return Hanging(changed=[replace(one, to_at=hitch.to_at) for one in _hitched_before(connection, hitch)])


def _repair_gone(connection: Connection, repair: Fact) -> Hanging:
    stops: Iterable[Fact] = find_all(connection, Stoppage, repair_id=repair.id)
    moves: Iterable[Fact] = find_all(connection, StockMove, repair_id=repair.id)
    return Hanging(gone=[*stops, *moves])


def _owned_rows(fact_type: type[Fact], field: str) -> Callable[[Connection, Fact], Hanging]:
    def find(connection: Connection, fact: Fact) -> Hanging:
        return Hanging(gone=list(find_all(connection, fact_type, **{field: fact.id})))

    return find


def _breakage_gone(connection: Connection, breakage: Fact) -> Hanging:
    assert isinstance(breakage, Breakage)
    back = breakage_gone(connection, breakage)
    repair = _repair_alone(connection, breakage)
    if repair is None:
        return back
    return Hanging(changed=back.changed, gone=[*back.gone, repair, *_repair_gone(connection, repair).gone])


def _repair_alone(connection: Connection, breakage: Breakage) -> Repair | None:
    """The repair that was entered with this breakage and with no other."""
    if breakage.repair_id is None or len(find_all(connection, Breakage, repair_id=breakage.repair_id)) > 1:
        return None
    found = find_all(connection, Repair, id=breakage.repair_id, kind=RepairKind.BREAKDOWN)
    return found[0] if found and found[0].started_at == breakage.at else None


_GOING: Final[dict[type[Fact], Callable[[Connection, Any], Hanging]]] = {
    Breakage: _breakage_gone,
    Fitting: _fitting_gone,
    Hitch: _hitch_gone,
    Repair: _repair_gone,
    Machine: _owned_rows(Meter, "machine_id"),
    Component: _owned_rows(Fitting, "component_id"),
    Part: _owned_rows(PartFit, "part_id"),
    Fault: _owned_rows(FaultSign, "fault_id"),
}
