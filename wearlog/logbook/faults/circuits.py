"""Bringing in a circuit: from the indented text form, a second time as an edit; starting diagrams; sharing one among a type."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from wearlog.errors import RefusedError, UsageError
from wearlog.facts.electrics import CircuitCut, CircuitNode
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine
from wearlog.faults.circuit import Circuit
from wearlog.faults.circuit_order import circuit_in_order
from wearlog.faults.diagram_text import parse_diagram
from wearlog.faults.starting_diagrams import starting_diagram
from wearlog.logbook.faults.circuit_edit import DiagramChange, DiagramRows, edited
from wearlog.logbook.faults.type_circuits import (
    TypeDrawn,
    circuit_on,
    edited_for_type,
    edited_here,
    given_to_type,
    history,
    kept_from_type,
    nodes_on,
    read_type,
    taken_back,
)
from wearlog.logbook.names import known_names
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.opening import Store

__all__ = [
    "bring_in_diagram",
    "circuit_on",
    "nodes_on",
    "put_starting_diagram",
    "share_diagram",
    "take_back_differences",
    "unshare_diagram",
]


def bring_in_diagram(
    store: Store, machine: Machine, text: str, *, circuit: str = "", only_here: bool | None = None
) -> Done:
    """Enter a diagram, or edit the one that is there: afterwards it stands in the log as the text has it.

    Parameters
    ----------
    text : str
        As `parse_diagram` reads it. Nodes are known by their names, which are the machine's own, in any case of letters.
    circuit : str
        Only this circuit is edited; nodes of others may stand in the text to hang on, and stay. Empty: the text is all of the
        machine.
    only_here : bool, optional
        Of a diagram that machines of a type share: whether the edit counts for this machine alone, or for all of them. Not said:
        for all, unless the machine differs from its type already.

    Raises
    ------
    UsageError, DataError
        As `parse_diagram`, and when the whole of a machine would be no circuit any more.
    RefusedError
        When nothing would change.

    Notes
    -----
    A node that is gone from the text is withdrawn only if nothing rests on it: no sign, check or finding of a fault, and no
    connection of another circuit. Otherwise it stays, and the answer says so.
    """
    wanted = parse_diagram(text)
    with store.writing() as connection:
        drawn = read_type(connection, machine)
        change, whose = _edited(connection, drawn, wanted, circuit, only_here=only_here)
        return _save(store, connection, drawn, change, f"drew {circuit or 'the diagram'} of {whose}")


def put_starting_diagram(
    store: Store, machine: Machine, name: str, *, circuit: str = "", only_here: bool | None = None
) -> Done:
    """Put a starting diagram onto a machine, to be adapted. What is drawn already stays as it is.

    Raises
    ------
    NotFoundError
        When there is no starting diagram of that name.
    RefusedError
        When all of it is there already.
    """
    start = starting_diagram(name)
    with store.writing() as connection:
        drawn = read_type(connection, machine)
        change, whose = _edited(
            connection, drawn, start.circuit(), circuit or start.name, only_here=only_here, only_add=True
        )
        also = (f"{start.label}; layout and ratings are common practice, without a source",)
        return _save(store, connection, drawn, replace(change, also=also), f"drew starting diagram '{name}' of {whose}")


def share_diagram(
    store: Store, machine: Machine, *, circuit: str = "", type_name: str = "", share: bool = True
) -> Done:
    """Say of which type a machine is, and give its diagram (or one circuit of it) to all machines of that type.

    Parameters
    ----------
    type_name : str
        In the farm's own words; empty: the type stays.
    share : bool
        Give the diagram; otherwise only the type is said.

    Raises
    ------
    UsageError, RefusedError
        Where no type is said, and where there is nothing to give.

    Notes
    -----
    A machine of the type that has places of the same names keeps them: they are what differs there.
    """
    with store.writing() as connection:
        typed = replace(machine, type_name=" ".join(type_name.split()) or machine.type_name)
        new_type = (typed,) if typed != machine else ()
        drawn = read_type(connection, typed)
        change = given_to_type(drawn, circuit) if share else DiagramChange()
        if not (new_type or share):
            raise RefusedError(f"{machine.name} is of this type already.", "")
        said = [f"{machine.name} is of the type '{typed.type_name}'"] if new_type else []
        others = f"with {drawn.others}" if drawn.others else "once another is of this type"
        said += [f"{machine.name} shares what is drawn of it, {_counted(change.changed)}, {others}"] if share else []
        whole = replace(change, changed=(*new_type, *change.changed))
        return _save(store, connection, drawn, whole, "; ".join(said), counted=False)


def unshare_diagram(store: Store, machine: Machine) -> Done:
    """Make a diagram that a machine shares its own again. RefusedError where it shares none, or another's faults rest on it."""
    with store.writing() as connection:
        drawn = read_type(connection, machine)
        said = f"the diagram of {machine.name} is shared no more"
        return _save(store, connection, drawn, kept_from_type(connection, drawn), said)


def take_back_differences(store: Store, machine: Machine, place: str = "") -> Done:
    """Draw a machine as its type is drawn again, everywhere or at one place. NotFoundError where nothing differs."""
    with store.writing() as connection:
        drawn = read_type(connection, machine)
        where = f" at {place.strip()}" if place.strip() else ""
        change = taken_back(connection, drawn, place)
        return _save(store, connection, drawn, change, f"{machine.name} is drawn as its type{where}", counted=False)


def _edited(
    connection: Connection,
    drawn: TypeDrawn,
    wanted: Circuit,
    circuit: str,
    *,
    only_here: bool | None,
    only_add: bool = False,
) -> tuple[DiagramChange, str]:
    """Return the change, and of whose diagram it is, in words."""
    machine, here = drawn.machine, drawn.on()
    if drawn.holder is None:
        if only_here is False:
            raise UsageError(
                f"{machine.name} shares no diagram.", f"First: wearlog faults diagram {machine.name} --share"
            )
        alone = DiagramRows(here.nodes, here.edges, history(connection))
        return edited(alone, wanted, machine, circuit, only_add=only_add), machine.name
    if here.differs if only_here is None else only_here:
        change = edited_here(connection, drawn, wanted, circuit, only_add=only_add)
        return change, f"{machine.name} alone"
    change = edited_for_type(connection, drawn, wanted, circuit, only_add=only_add)
    return change, f"the type '{machine.type_name}' ({', '.join(one.name for one in drawn.machines)})"


def _save(
    store: Store, connection: Connection, drawn: TypeDrawn, change: DiagramChange, what: str, *, counted: bool = True
) -> Done:
    new, changed, gone = change.new, change.changed, change.gone
    if not (new or changed or gone):
        raise RefusedError(
            f"{drawn.machine.name} has all of this already.", "Change the text first, or look at the drawing."
        )
    _refuse_no_circuit(drawn.after(change))
    counts = (("added", new), ("changed", changed), ("took out", gone))
    told = "; ".join(f"{did} {_counted(rows)}" for did, rows in counts if rows)
    said = f"{what}: {told}" if counted else what
    known = known_names(connection)
    return save(store, connection, said, new=new, changed=changed, gone=gone, known=known, also=change.also)


def _counted(rows: Sequence[Fact]) -> str:
    """Return "2 places and 1 connection"."""
    nodes = sum(isinstance(row, CircuitNode) for row in rows)
    cuts = sum(isinstance(row, CircuitCut) for row in rows)
    pairs = ((nodes, "place"), (len(rows) - nodes - cuts, "connection"), (cuts, "place that is not here"))
    words = (f"{count} {one if count == 1 else _MANY[one]}" for count, one in pairs if count)
    return " and ".join(words)


_MANY = {"place": "places", "connection": "connections", "place that is not here": "places that are not here"}


def _refuse_no_circuit(drawn: TypeDrawn) -> None:
    """Raise DataError when what is drawn of a machine of the type would be no circuit: a ring through two circuits, say."""
    for machine in drawn.machines:
        here = drawn.on(machine)
        circuit_in_order(here.nodes, here.edges)
