"""All that the log holds about electrical faults, read once: faults in order, their signs, checks and findings, the diagrams."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TypeVar
from uuid import UUID

from wearlog.errors import NotFoundError, UsageError
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.electrics import CircuitEdge, CircuitNode, Fault, FaultCheck, FaultFinding, FaultSign
from wearlog.faults.circuit import Circuit
from wearlog.faults.circuit_order import circuit_in_order
from wearlog.reckoning.farm import Farm
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_in_order
from wearlog.store.schema.types import microseconds

#: so many letters of an id are taken as a beginning of it; fewer are a number of the list or a word of the title
_SHORTEST_ID = 6

F = TypeVar("F", FaultSign, FaultCheck, FaultFinding)


@dataclass(frozen=True, slots=True, eq=False)
class FaultLog:
    """Every fault in the order of opening; its number in lists is its place, counted from 1."""

    faults: tuple[Fault, ...]
    nodes: Mapping[UUID, CircuitNode]
    edges: tuple[CircuitEdge, ...]
    _signs: Mapping[UUID, tuple[FaultSign, ...]]
    _checks: Mapping[UUID, tuple[FaultCheck, ...]]
    _findings: Mapping[UUID, tuple[FaultFinding, ...]]

    def number(self, fault: Fault) -> int:
        """Return the number under which lists show a fault."""
        return next(place for place, one in enumerate(self.faults, start=1) if one.id == fault.id)

    def signs(self, fault: Fault) -> tuple[FaultSign, ...]:
        return self._signs.get(fault.id, ())

    def checks(self, fault: Fault) -> tuple[FaultCheck, ...]:
        """Return the checklist in the order of its steps."""
        return self._checks.get(fault.id, ())

    def finding(self, fault: Fault) -> FaultFinding | None:
        """Return the last finding of a fault, if it has one."""
        found = self._findings.get(fault.id, ())
        return found[-1] if found else None

    def node_name(self, node_id: UUID | None) -> str:
        """Return the name of a node; empty for none, and for one that was withdrawn."""
        node = self.nodes.get(node_id) if node_id else None
        return node.name if node else ""

    def machine_nodes(self, machine_id: UUID) -> tuple[CircuitNode, ...]:
        """Return what is drawn of a machine."""
        return tuple(node for node in self.nodes.values() if node.machine_id == machine_id)

    def circuit(self, machine_id: UUID) -> Circuit:
        """Return all that is drawn of a machine as one circuit: connections cross the borders of its circuits.

        Raises
        ------
        DataError
            When the rows are no circuit, as an import or a merge may leave them.
        """
        nodes = self.machine_nodes(machine_id)
        ids = {node.id for node in nodes}
        mine = [edge for edge in self.edges if edge.from_node_id in ids and edge.to_node_id in ids]
        return circuit_in_order(nodes, mine)


def read_fault_log(connection: Connection) -> FaultLog:
    """Read everything about electrical faults; the tables are small."""
    return FaultLog(
        faults=tuple(find_in_order(connection, Fault, "opened_at")),
        nodes={node.id: node for node in find_all(connection, CircuitNode)},
        edges=tuple(find_all(connection, CircuitEdge)),
        _signs=_by_fault(find_all(connection, FaultSign)),
        _checks=_by_fault(find_in_order(connection, FaultCheck, "step")),
        _findings=_by_fault(find_in_order(connection, FaultFinding, "at")),
    )


def _by_fault(rows: Iterable[F]) -> dict[UUID, tuple[F, ...]]:
    found: dict[UUID, list[F]] = defaultdict(list)
    for row in rows:
        found[row.fault_id].append(row)
    return {fault_id: tuple(mine) for fault_id, mine in found.items()}


def fault_named(log: FaultLog, text: str) -> Fault:
    """Return the fault that a person means: by its number in the list, or a beginning of its title or of its id.

    Raises
    ------
    NotFoundError
        When there is none.
    UsageError
        When several begin so and not exactly one of them is open.
    """
    wanted = text.strip().casefold()
    if wanted.isdecimal() and len(wanted) < _SHORTEST_ID:
        if not 1 <= int(wanted) <= len(log.faults):
            raise NotFoundError(f"There is no fault {text.strip()}.", "'wearlog faults' lists them with their numbers.")
        return log.faults[int(wanted) - 1]
    found = [fault for fault in log.faults if _begins(fault, wanted)]
    still_open = [fault for fault in found if fault.closed_at is None]
    if len(found) > 1 and len(still_open) == 1:
        return still_open[0]
    if len(found) == 1:
        return found[0]
    if not found:
        raise NotFoundError(f"There is no fault '{text.strip()}'.", "'wearlog faults' lists them with their numbers.")
    numbers = ", ".join(str(log.number(fault)) for fault in found[:6])
    raise UsageError(f"'{text.strip()}' could be any of {len(found)} faults.", f"Give the number: {numbers}.")


def _begins(fault: Fault, wanted: str) -> bool:
    if not wanted:
        return False
    by_id = len(wanted) >= _SHORTEST_ID and str(fault.id).startswith(wanted)
    return by_id or fault.title.casefold().startswith(wanted)


def engine_hours(farm: Farm, machine_id: UUID, at: datetime) -> float:
    """Return the engine hours of a machine from the first entry of its meter to an instant."""
    return _at(farm, MeterKind.ENGINE_HOURS, machine_id, at) / 3600


def area_cut(farm: Farm, machine_id: UUID, at: datetime) -> float:
    """Return the square metres a machine had cut by an instant, from the first entry on."""
    return _at(farm, MeterKind.AREA, machine_id, at)


def _at(farm: Farm, kind: MeterKind, machine_id: UUID, at: datetime) -> float:
    return float(farm.lines.at(kind, [farm.machine_number(machine_id)], [microseconds(at)])[0])
