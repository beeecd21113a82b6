"""All that the log holds about electrical faults, read once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING, TypeVar
from uuid import UUID

from wearlog.errors import NotFoundError, UsageError
from wearlog.facts.bookkeeping import Person
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.electrics import (
    CircuitCut,
    CircuitEdge,
    CircuitNode,
    Fault,
    FaultCheck,
    FaultFinding,
    FaultOpening,
    FaultSign,
    FaultVisit,
)
from wearlog.facts.machines import Machine
from wearlog.reckoning.farm import Farm
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_in_order
from wearlog.store.schema.types import microseconds

if TYPE_CHECKING:
    from wearlog.faults.circuit import Circuit
    from wearlog.faults.type_diagram import OnMachine

#: so many letters of an id are taken as a beginning of it; fewer are a number of the list or a word of the title
_SHORTEST_ID = 6

F = TypeVar("F", FaultSign, FaultCheck, FaultFinding, FaultVisit, FaultOpening)


@dataclass(frozen=True, eq=False)
class FaultLog:
    """Every fault in the order of opening; its number in lists is its place, counted from 1."""

    faults: tuple[Fault, ...]
    nodes: Mapping[UUID, CircuitNode]
    edges: tuple[CircuitEdge, ...]
    _signs: Mapping[UUID, tuple[FaultSign, ...]]
    _checks: Mapping[UUID, tuple[FaultCheck, ...]]
    _findings: Mapping[UUID, tuple[FaultFinding, ...]]
    _visits: Mapping[UUID, tuple[FaultVisit, ...]]
    _openings: Mapping[UUID, tuple[FaultOpening, ...]]
    people: Mapping[UUID, str]
    machines: tuple[Machine, ...] = ()
    cuts: tuple[CircuitCut, ...] = ()

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

    def visits(self, fault: Fault) -> tuple[FaultVisit, ...]:
        """Return what was said of the stretches of work on a fault, by their beginning."""
        return self._visits.get(fault.id, ())

    def undone(self, fault: Fault) -> tuple[FaultOpening, ...]:
        """Return what was undone on the machine for a fault and is not put back, the first first."""
        return tuple(one for one in self._openings.get(fault.id, ()) if one.put_back_at is None)

    def node_name(self, node_id: UUID | None) -> str:
        """Return the name of a node; empty for none, and for one that was withdrawn."""
        node = self.nodes.get(node_id) if node_id else None
        return node.name if node else ""

    def drawn_on(self, machine_id: UUID) -> OnMachine:
        """Return the rows that stand for a machine: its own, and those that its type shares."""
        # the list of open faults draws nothing: what a drawing is made of is loaded when one is asked for
        from wearlog.faults.type_diagram import OnMachine, drawn_on, of_one_type

        machine = next((one for one in self.machines if one.id == machine_id), None)
        if machine is None:
            return OnMachine((), (), (), (), (), ())
        of_type = of_one_type(machine, self.machines)
        nodes, edges = tuple(self.nodes.values()), self.edges
        # in the order in which they stand in the log, whichever machine they were drawn on
        drawn, joined = (
            sorted(place for one in of_type for place in places.get(one.id, ())) for places in self._drawn_by_machine
        )
        return drawn_on(of_type, [nodes[place] for place in drawn], [edges[place] for place in joined], self.cuts)

    @cached_property
    def _drawn_by_machine(self) -> tuple[Mapping[UUID, list[int]], Mapping[UUID, list[int]]]:
        """Places of the nodes by their machine, and of the edges by that of the node where each begins."""
        nodes: dict[UUID, list[int]] = defaultdict(list)
        edges: dict[UUID, list[int]] = defaultdict(list)
        for place, node in enumerate(self.nodes.values()):
            nodes[node.machine_id].append(place)
        for place, edge in enumerate(self.edges):
            if edge.from_node_id in self.nodes:
                edges[self.nodes[edge.from_node_id].machine_id].append(place)
        return nodes, edges

    def machine_nodes(self, machine_id: UUID) -> tuple[CircuitNode, ...]:
        """Return what is drawn of a machine."""
        return self.drawn_on(machine_id).nodes

    def circuit(self, machine_id: UUID) -> Circuit:
        """Return all that is drawn of a machine as one circuit: connections cross the borders of its circuits.

        Raises
        ------
        DataError
            When the rows are no circuit, as an import or a merge may leave them.
        """
        from wearlog.faults.circuit_order import circuit_in_order

        here = self.drawn_on(machine_id)
        return circuit_in_order(here.nodes, here.edges)


def read_fault_log(connection: Connection) -> FaultLog:
    """Read everything about electrical faults; the tables are small."""
    return FaultLog(
        faults=tuple(find_in_order(connection, Fault, "opened_at")),
        nodes={node.id: node for node in find_all(connection, CircuitNode)},
        edges=tuple(find_all(connection, CircuitEdge)),
        _signs=_by_fault(find_all(connection, FaultSign)),
        _checks=_by_fault(find_in_order(connection, FaultCheck, "step")),
        _findings=_by_fault(find_in_order(connection, FaultFinding, "at")),
        _visits=_by_fault(find_in_order(connection, FaultVisit, "started_at")),
        _openings=_by_fault(find_in_order(connection, FaultOpening, "at")),
        people={person.id: person.name for person in find_all(connection, Person)},
        machines=tuple(find_all(connection, Machine)),
        cuts=tuple(find_all(connection, CircuitCut)),
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
