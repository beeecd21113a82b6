"""What is drawn of a machine, whole or one circuit with all that it hangs on. Changes nothing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from wearlog.errors import NotFoundError
from wearlog.facts.machines import Machine
from wearlog.faults.circuit import Circuit
from wearlog.reckoning.fault_log import FaultLog


@dataclass(frozen=True, slots=True, eq=False)
class Diagram:
    """The diagram of a machine; `part` is what was asked for, `circuit` its name (empty for all)."""

    machine_name: str
    circuit: str
    whole: Circuit
    part: Circuit


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
    if not circuit:
        return Diagram(machine.name, "", whole, whole)
    rows = log.machine_nodes(machine.id)
    names = [row.name for row in rows if row.circuit.casefold() == circuit.casefold()]
    if not names:
        there = ", ".join(dict.fromkeys(row.circuit for row in rows))
        raise NotFoundError(f"{machine.name} has no circuit '{circuit}'.", f"There are: {there}.")
    kept = _with_what_they_hang_on(whole, names)
    nodes = tuple(node for node in whole.nodes if node.name in kept)
    edges = tuple(edge for edge in whole.edges if edge.start in kept and edge.end in kept)
    return Diagram(machine.name, circuit, whole, Circuit(nodes, edges))


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
