"""The electrical faults of the farm as a list, and what is drawn of a machine."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from uuid import UUID

from wearlog.errors import DataError, NotFoundError
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.electrics import CircuitNode, Fault, FaultCheck, FaultFinding, FaultSign
from wearlog.facts.machines import Machine
from wearlog.faults.circuit import Circuit
from wearlog.faults.type_diagram import differences, of_one_type
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.faults.fault_log import FaultLog, linked_faults, read_fault_log
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_in_order
from wearlog.store.schema.types import microseconds


@dataclass(frozen=True, slots=True)
class FaultLine:
    """One episode.

    Attributes
    ----------
    number : int
        Its place in the order of opening, counted from 1: how a person calls it.
    finding : FaultFinding or None
        The last finding.
    node : str
        Name of the node it was found at; empty when none was.
    nth, of : int
        For which time this same fault is here, by its trail, and how many times it came in all.
    beside : int
        Number of the fault like it that was open when it was opened: the same time, told twice. 0 for none.
    quiet_seconds : float or None
        Engine time since it was closed; None while it is open.
    """

    number: int
    fault: Fault
    signs: tuple[FaultSign, ...]
    checks: tuple[FaultCheck, ...]
    finding: FaultFinding | None
    node: str
    nth: int
    of: int
    beside: int
    quiet_seconds: float | None


def fault_lines(connection: Connection, farm: Farm) -> tuple[FaultLine, ...]:
    """Return every fault, the open ones first, then the latest."""
    faults = find_in_order(connection, Fault, "opened_at")
    signs: dict[UUID, list[FaultSign]] = defaultdict(list)
    for sign in find_all(connection, FaultSign):
        signs[sign.fault_id].append(sign)
    checks: dict[UUID, list[FaultCheck]] = defaultdict(list)
    for check in find_in_order(connection, FaultCheck, "step"):
        checks[check.fault_id].append(check)
    findings = {finding.fault_id: finding for finding in find_in_order(connection, FaultFinding, "at")}
    names = {node.id: node.name for node in find_all(connection, CircuitNode)}
    times = _times(read_fault_log(connection), farm)
    lines = []
    for number, fault in enumerate(faults, start=1):
        finding = findings.get(fault.id)
        lines.append(
            FaultLine(
                number=number,
                fault=fault,
                signs=tuple(signs[fault.id]),
                checks=tuple(checks[fault.id]),
                finding=finding,
                node=names.get(finding.node_id, "") if finding and finding.node_id else "",
                nth=times[fault.id][0],
                of=times[fault.id][1],
                beside=times[fault.id][2],
                quiet_seconds=_quiet(farm, fault),
            )
        )
    lines.reverse()
    lines.sort(key=lambda line: line.fault.closed_at is not None)
    return tuple(lines)


def _times(log: FaultLog, farm: Farm) -> dict[UUID, tuple[int, int, int]]:
    """Return of each fault for which time it is here, how often it came, as its case and its trail count, and its double.

    Where what is drawn of a machine is no circuit nothing can be linked: then each fault stands alone, as its case says.
    """
    found = {fault.id: (1, 1, 0) for fault in log.faults}
    several = Counter(fault.machine_id for fault in log.faults)
    for machine_id in (one for one, count in several.items() if count > 1):
        try:
            linked = linked_faults(log, farm, machine_id, log.circuit(machine_id))
        except DataError:
            continue
        for trail in linked.trails:
            for nth, number in enumerate(trail.episodes, start=1):
                found[linked.faults[number].id] = (nth, len(trail.episodes), 0)
        for later, first in linked.beside.items():
            found[later] = (1, 1, log.number(first))
    return found


def _quiet(farm: Farm, fault: Fault) -> float | None:
    if fault.closed_at is None:
        return None
    machine = farm.machine_number(fault.machine_id)
    start = [microseconds(fault.closed_at)]
    return float(farm.lines.usage(MeterKind.ENGINE_HOURS, [machine], start, [farm.now_microseconds])[0])


@dataclass(frozen=True, slots=True, eq=False)
class Diagram:
    """The diagram of a machine; `part` is what was asked for, `circuit` its name (empty for all).

    Attributes
    ----------
    shared_with : tuple of str
        The other machines of its type, where the type has a diagram.
    differs : tuple of str
        What this machine has otherwise than its type, in words.
    """

    machine_name: str
    circuit: str
    whole: Circuit
    part: Circuit
    type_name: str = ""
    shared_with: tuple[str, ...] = ()
    differs: tuple[str, ...] = ()


def diagram_of(log: FaultLog, machine: Machine, circuit: str = "") -> Diagram:
    """Return what is drawn of a machine, or of one of its circuits.

    Raises
    ------
    NotFoundError
        When nothing is drawn, or no circuit is called so.
    """
    whole = log.circuit(machine.id)
    if not whole.nodes:
        hint = f"Begin with 'wearlog faults diagram {machine.name} --start header', or draw your own with --set FILE."
        raise NotFoundError(f"Nothing is drawn of {machine.name} yet.", hint)
    here = log.drawn_on(machine.id)
    others = of_one_type(machine, log.machines)[1:] if here.shared or here.hides else ()
    whose = machine.type_name, tuple(one.name for one in others), differences(here)
    if not circuit:
        return Diagram(machine.name, "", whole, whole, *whose)
    rows = here.nodes
    names = [row.name for row in rows if row.circuit.casefold() == circuit.casefold()]
    if not names:
        there = ", ".join(dict.fromkeys(row.circuit for row in rows))
        raise NotFoundError(f"{machine.name} has no circuit '{circuit}'.", f"There are: {there}.")
    kept = _with_what_they_hang_on(whole, names)
    nodes = tuple(node for node in whole.nodes if node.name in kept)
    edges = tuple(edge for edge in whole.edges if edge.start in kept and edge.end in kept)
    return Diagram(machine.name, circuit, whole, Circuit(nodes, edges), *whose)


def _with_what_they_hang_on(circuit: Circuit, names: Iterable[str]) -> frozenset[str]:
    reached: set[str] = set()
    waiting = list(names)
    while waiting:
        here = waiting.pop()
        if here not in reached:
            reached.add(here)
            waiting += _hangs_on(circuit, here)
    return frozenset(reached)


def _hangs_on(circuit: Circuit, name: str) -> Iterator[str]:
    yield from circuit.fed_by(name)
    yield from circuit.returns_to(name)
    yield from circuit.bus_neighbours(name)
