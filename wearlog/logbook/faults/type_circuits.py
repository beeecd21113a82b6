"""A diagram that machines of one type share: read, edited for all of them or for one alone, given to the type, taken back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from uuid import UUID

from wearlog.errors import NotFoundError, RefusedError, UsageError
from wearlog.facts.electrics import (
    CircuitCut,
    CircuitEdge,
    CircuitNode,
    Fault,
    FaultCheck,
    FaultFinding,
    FaultOpening,
    FaultSign,
)
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine
from wearlog.faults.circuit import Circuit
from wearlog.faults.circuit_order import circuit_in_order
from wearlog.faults.type_diagram import OnMachine, differences, drawn_on, looks_of, of_one_type
from wearlog.ids import new_id
from wearlog.logbook.faults.circuit_edit import DiagramChange, DiagramRows, edited
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_by_id

#: rows of a fault that point at a place
_AT_A_PLACE = (FaultSign, FaultCheck, FaultFinding, FaultOpening)


@dataclass(frozen=True, slots=True)
class TypeDrawn:
    """What is drawn of the machines of one type; the first of them is the one in question."""

    machines: tuple[Machine, ...]
    nodes: tuple[CircuitNode, ...]
    edges: tuple[CircuitEdge, ...]
    cuts: tuple[CircuitCut, ...]

    @property
    def machine(self) -> Machine:
        return self.machines[0]

    @property
    def others(self) -> str:
        """The names of the other machines of the type."""
        return ", ".join(one.name for one in self.machines[1:])

    @property
    def holder(self) -> Machine | None:
        """The machine with which the shared rows are kept; None where nothing is shared."""
        held = {row.machine_id for row in self.nodes if row.shared}
        return next((one for one in self.machines if one.id in held), None)

    def on(self, machine: Machine | None = None) -> OnMachine:
        """Return what stands for a machine of the type, the first one if none is named."""
        first = machine or self.machine
        rest = (one for one in self.machines if one.id != first.id)
        return drawn_on((first, *rest), self.nodes, self.edges, self.cuts)

    def after(self, change: DiagramChange) -> TypeDrawn:
        """Return the same with a change done."""
        touched = (*change.new, *change.changed, *(replace(fact, voided=True) for fact in change.gone))
        by_id = {row.id: row for row in (*self.nodes, *self.edges, *self.cuts, *touched)}
        return TypeDrawn(
            tuple(
                next((row for row in touched if isinstance(row, Machine) and row.id == one.id), one)
                for one in self.machines
            ),
            tuple(row for row in by_id.values() if isinstance(row, CircuitNode) and not row.voided),
            tuple(row for row in by_id.values() if isinstance(row, CircuitEdge) and not row.voided),
            tuple(row for row in by_id.values() if isinstance(row, CircuitCut) and not row.voided),
        )


def read_type(connection: Connection, machine: Machine) -> TypeDrawn:
    """Read what is drawn of a machine and of the others of its type."""
    machines = of_one_type(machine, find_all(connection, Machine))
    ids = {one.id for one in machines}
    return TypeDrawn(
        machines,
        tuple(row for row in find_all(connection, CircuitNode) if row.machine_id in ids),
        tuple(find_all(connection, CircuitEdge)),
        tuple(find_all(connection, CircuitCut)),
    )


def nodes_on(connection: Connection, machine_id: UUID) -> list[CircuitNode]:
    """Return the places that are drawn of a machine: its own, and those of its type that it does not have otherwise."""
    return list(read_type(connection, find_by_id(connection, Machine, machine_id)).on().nodes)


def circuit_on(connection: Connection, machine_id: UUID) -> Circuit:
    """Return everything that is drawn of a machine, all its circuits together: connections cross their borders."""
    here = read_type(connection, find_by_id(connection, Machine, machine_id)).on()
    return circuit_in_order(here.nodes, here.edges)


def edited_for_type(
    connection: Connection, drawn: TypeDrawn, wanted: Circuit, circuit: str, *, only_add: bool
) -> DiagramChange:
    """Return what an edit changes for every machine of the type.

    Raises
    ------
    UsageError
        Where the machine has something otherwise: its text is not that of the type.
    """
    holder, here = drawn.holder, drawn.on()
    assert holder is not None
    if here.differs:
        raise UsageError(
            f"{drawn.machine.name} differs from the diagram of its type ({', '.join(differences(here))}).",
            f"Say --only-here, or edit it for all from {drawn.others}.",
        )
    # an edge is withdrawn as it stands in the log, not with the ends that stand here
    stored = {edge.id: edge for edge in drawn.edges}
    one = edited(DiagramRows(here.nodes, here.edges, history(connection)), wanted, holder, circuit, only_add=only_add)
    new = tuple(replace(row, shared=True) if isinstance(row, CircuitNode) else row for row in one.new)
    gone = tuple(stored.get(row.id, row) for row in one.gone)
    return DiagramChange(new, (*one.changed, *_like_before(drawn, one.changed)), gone, one.also)


def _like_before(drawn: TypeDrawn, changed: Iterable[Fact]) -> list[Fact]:
    """Rows of single machines that are no different from the shared one go on being like it."""
    before = {row.id: row for row in drawn.nodes}
    more: list[Fact] = []
    for row in changed:
        assert isinstance(row, CircuitNode)
        old = before[row.id]
        for one in drawn.nodes:
            if not one.shared and looks_of(old, one) == one:
                more.append(looks_of(row, one))
    return more


def edited_here(
    connection: Connection, drawn: TypeDrawn, wanted: Circuit, circuit: str, *, only_add: bool
) -> DiagramChange:
    """Return what an edit changes for the machine alone: what differs becomes its own, the diagram of the type stays.

    Raises
    ------
    UsageError
        Where no other machine is there to keep what is shared.
    """
    moved = _handed_over(drawn)
    drawn = drawn.after(DiagramChange(changed=moved))
    machine, here = drawn.machine, drawn.on()
    mine = history(connection, machine.id)
    one = edited(DiagramRows(here.nodes, here.edges, mine), wanted, machine, circuit, only_add=only_add)
    copies = _copied(here, one, machine)
    own = {row.id for row in here.own}
    gone = {row.id for row in one.gone}
    new: list[Fact] = [*(row for row in one.new if isinstance(row, CircuitNode)), *copies.values()]
    standing = {row.id for row in new} | {row.id for row in here.own if row.id not in gone}
    lines = [edge for edge in (*here.edges, *one.new) if isinstance(edge, CircuitEdge) and edge.id not in gone]
    kept = {edge.id for edge in here.own_edges}
    for edge in lines:
        start, end = (copies[at].id if at in copies else at for at in (edge.from_node_id, edge.to_node_id))
        if {start, end} <= standing and edge.id not in kept:
            new.append(CircuitEdge(from_node_id=start, to_node_id=end, kind=edge.kind))
    taken = [row for row in one.gone if isinstance(row, CircuitNode)]
    hidden = {row.name.casefold(): row for row in here.hides}
    out = [row if row.shared else hidden.get(row.name.casefold()) for row in taken]
    new += [CircuitCut(machine_id=machine.id, node_id=row.id) for row in out if row is not None]
    changed = [row for row in one.changed if row.id in own]
    void = [row for row in one.gone if row.id in own or row.id in kept]
    if not (new or changed or void):
        return DiagramChange()
    return DiagramChange(tuple(new), (*moved, *changed), tuple(void), one.also)


def _copied(here: OnMachine, change: DiagramChange, machine: Machine) -> dict[UUID, CircuitNode]:
    """Return the shared places that must become the machine's own: what looks otherwise, and both ends of what hangs otherwise."""
    shared = {row.id: row for row in here.shared}
    looks = {row.id: row for row in change.changed if isinstance(row, CircuitNode)}
    out = {row.id for row in change.gone if isinstance(row, CircuitNode)}
    ends = {end for e in change.new if isinstance(e, CircuitEdge) for end in (e.from_node_id, e.to_node_id)}
    for edge in change.gone:
        if isinstance(edge, CircuitEdge) and not {edge.from_node_id, edge.to_node_id} & out:
            ends |= {edge.from_node_id, edge.to_node_id}
    wanted = [row_id for row_id in shared if row_id in ends or row_id in looks]
    return {
        row_id: replace(looks.get(row_id, shared[row_id]), id=new_id(), machine_id=machine.id, shared=False)
        for row_id in wanted
    }


def _handed_over(drawn: TypeDrawn) -> tuple[Fact, ...]:
    """Return the shared rows that the machine itself keeps, given to another of the type: its own may then differ."""
    held = [row for row in drawn.nodes if row.shared and row.machine_id == drawn.machine.id]
    if not held:
        return ()
    names = {row.name.casefold() for row in held}
    for other in drawn.machines[1:]:
        if not names & {row.name.casefold() for row in drawn.nodes if row.machine_id == other.id}:
            return tuple(replace(row, machine_id=other.id) for row in held)
    raise UsageError(
        f"No other machine can keep the diagram of the type for {drawn.machine.name}.",
        "Leave out --only-here, or take back what differs on another: wearlog faults diagram merlin --as-type",
    )


def given_to_type(drawn: TypeDrawn, circuit: str) -> DiagramChange:
    """Return the change by which a machine's own places become those of its type.

    Raises
    ------
    UsageError, RefusedError
        Where no type is said, and where there is nothing to give.
    """
    machine, here = drawn.machine, drawn.on()
    if not machine.type_name.strip():
        raise UsageError(
            f"It is not said of which type {machine.name} is.", "Say it: --type '30 ft flex', and of the others too."
        )
    hidden = {row.name.casefold() for row in here.hides}
    rows = [
        row
        for row in here.own
        if row.name.casefold() not in hidden and (not circuit or row.circuit.casefold() == circuit.casefold())
    ]
    if not rows:
        raise RefusedError(f"Nothing of {machine.name} is left to share.", "Look at 'wearlog faults diagram' first.")
    return DiagramChange(changed=tuple(replace(row, shared=True) for row in rows))


def taken_back(connection: Connection, drawn: TypeDrawn, place: str) -> DiagramChange:
    """Return the change by which a machine has again what its type has; `place` "": everything.

    Raises
    ------
    NotFoundError
        When nothing differs, or not there.
    """
    here, machine = drawn.on(), drawn.machine
    meant = place.strip().casefold()
    of_type = {row.name.casefold(): row for row in here.hides}
    own = [row for row in here.own if here.differs and meant in ("", row.name.casefold())]
    names = {row.id: row.name.casefold() for row in drawn.nodes}
    cuts = [cut for cut in drawn.cuts if cut.machine_id == machine.id and meant in ("", names.get(cut.node_id))]
    if not (own or cuts):
        where = f" at '{place.strip()}'" if place.strip() else ""
        raise NotFoundError(f"{machine.name} is like its type{where}.", "'wearlog faults diagram' says what differs.")
    rested = history(connection, machine.id)
    stays = [row for row in own if row.id in rested and row.name.casefold() not in of_type]
    goes = {row.id: of_type.get(row.name.casefold()) for row in own if row not in stays}
    lines = [edge for edge in here.own_edges if {edge.from_node_id, edge.to_node_id} & goes.keys()]
    told = tuple(f"kept {row.name}: faults of the past rest on it" for row in stays)
    gone = (*lines, *(row for row in own if row.id in goes), *cuts)
    return DiagramChange(changed=tuple(_pointed_again(connection, goes)), gone=gone, also=told)


def _pointed_again(connection: Connection, to: dict[UUID, CircuitNode | None]) -> Iterable[Fact]:
    """Yield what the faults of the past say of a place that goes, said of the type's place of that name."""
    for kind in _AT_A_PLACE:
        for row in find_all(connection, kind):
            places = {name: to[at] for name in ("node_id", "second_node_id") if (at := getattr(row, name, None)) in to}
            if places:
                yield replace(row, **{name: new.id for name, new in places.items() if new is not None})  # type: ignore[arg-type]


def kept_from_type(connection: Connection, drawn: TypeDrawn) -> DiagramChange:
    """Return the change by which what a machine shares is its own again.

    Raises
    ------
    RefusedError
        When it shares nothing, or when the faults of another machine rest on it.
    """
    machine = drawn.machine
    held = [row for row in drawn.nodes if row.shared and row.machine_id == machine.id]
    if not held:
        holder = drawn.holder
        hint = f"{holder.name} does: say it of that machine." if holder else "Nothing of this type is shared."
        raise RefusedError(f"{machine.name} shares no diagram.", hint)
    for other in drawn.machines[1:]:
        if history(connection, other.id) & {row.id for row in held}:
            raise RefusedError(
                f"Faults of {other.name} rest on this diagram.",
                f"Give {other.name} another type if it is another machine.",
            )
    return DiagramChange(changed=tuple(replace(row, shared=False) for row in held))


def history(connection: Connection, machine_id: UUID | None = None) -> frozenset[UUID]:
    """Return the places that the faults of a machine speak of, or of all machines."""
    mine = {one.id for one in find_all(connection, Fault) if machine_id in (None, one.machine_id)}
    every = [row for kind in _AT_A_PLACE for row in find_all(connection, kind)]
    rows = [row for row in every if getattr(row, "fault_id", None) in mine]
    ends = [getattr(row, name, None) for row in rows for name in ("node_id", "second_node_id")]
    return frozenset(at for at in ends if at is not None)
