"""The electrical faults of the farm as a list, and what is drawn of a machine."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from uuid import UUID

from wearlog.errors import DataError, NotFoundError
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.electrics import Fault, FaultCheck, FaultFinding, FaultSign
from wearlog.facts.machines import Machine
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.faults.fault_log import FaultLog, read_fault_log
from wearlog.store.connection import Connection
from wearlog.store.schema.types import microseconds

if TYPE_CHECKING:
    from wearlog.faults.circuit import Circuit


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
    times : FaultTimes
        What the trails of its machine say of it; they are followed when they are first asked for.
    quiet_seconds : float or None
        Engine time since it was closed; None while it is open.
    """

    number: int
    fault: Fault
    signs: tuple[FaultSign, ...]
    checks: tuple[FaultCheck, ...]
    finding: FaultFinding | None
    node: str
    times: FaultTimes
    quiet_seconds: float | None

    @property
    def nth(self) -> int:
        """For which time this same fault is here, by its trail."""
        return self.times.of(self.fault)[0]

    @property
    def of(self) -> int:
        """How many times it came in all."""
        return self.times.of(self.fault)[1]

    @property
    def beside(self) -> int:
        """Number of the fault like it that was open when it was opened: the same time, told twice. 0 for none."""
        return self.times.of(self.fault)[2]


def fault_lines(connection: Connection, farm: Farm) -> tuple[FaultLine, ...]:
    """Return every fault, the open ones first, then the latest."""
    log = read_fault_log(connection)
    times, quiet = FaultTimes(log, farm), _quiet(farm, log.faults)
    lines = []
    for number, fault in enumerate(log.faults, start=1):
        finding = log.finding(fault)
        lines.append(
            FaultLine(
                number=number,
                fault=fault,
                signs=log.signs(fault),
                checks=log.checks(fault),
                finding=finding,
                node=log.node_name(finding.node_id) if finding else "",
                times=times,
                quiet_seconds=quiet.get(fault.id),
            )
        )
    lines.reverse()
    lines.sort(key=lambda line: line.fault.closed_at is not None)
    return tuple(lines)


class FaultTimes:
    """For which time each fault is here, how often it came, and its double, as its case and its trail count.

    Where what is drawn of a machine is no circuit nothing can be linked: then each fault stands alone, as its case says.
    """

    def __init__(self, log: FaultLog, farm: Farm) -> None:
        self._log, self._farm = log, farm
        self._several = Counter(fault.machine_id for fault in log.faults)
        self._by_machine: dict[UUID, dict[UUID, tuple[int, int, int]]] = {}

    def of(self, fault: Fault) -> tuple[int, int, int]:
        """Return which time it is, how many there are, and the number of the fault that it is told beside (0 for none)."""
        if fault.machine_id not in self._by_machine:
            self._by_machine[fault.machine_id] = dict(self._linked(fault.machine_id))
        return self._by_machine[fault.machine_id].get(fault.id, (1, 1, 0))

    def _linked(self, machine_id: UUID) -> Iterator[tuple[UUID, tuple[int, int, int]]]:
        if self._several[machine_id] == 1:
            return
        # most machines have one fault at most, and then nothing of this is loaded
        from wearlog.reckoning.faults.fault_links import linked_faults

        try:
            linked = linked_faults(self._log, self._farm, machine_id, self._log.circuit(machine_id))
        except DataError:
            return
        for trail in linked.trails:
            for nth, number in enumerate(trail.episodes, start=1):
                yield linked.faults[number].id, (nth, len(trail.episodes), 0)
        for later, first in linked.beside.items():
            yield later, (1, 1, self._log.number(first))


def _quiet(farm: Farm, faults: Sequence[Fault]) -> dict[UUID, float]:
    """Return what the engine of its machine ran since each closed fault was closed, by its id; the meter is asked once for all."""
    closed = [
        (one.id, farm.machine_number(one.machine_id), one.closed_at) for one in faults if one.closed_at is not None
    ]
    since = [microseconds(at) for _, _, at in closed]
    ran = farm.lines.usage(MeterKind.ENGINE_HOURS, [place for _, place, _ in closed], since, farm.now_microseconds)
    return {fault_id: its for (fault_id, _, _), its in zip(closed, ran.tolist(), strict=True)}


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
    from wearlog.faults.circuit import Circuit
    from wearlog.faults.type_diagram import differences, of_one_type

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
