"""What a plain line tells of a fault, as the logbook takes it: a title, and its sign at the place of the circuit that is meant."""

from __future__ import annotations

from collections.abc import Sequence

from wearlog.facts.closed_lists import SignKind
from wearlog.facts.electrics import CircuitNode
from wearlog.logbook.faults.faulting import ToldFault
from wearlog.logbook.plain_line import HeardEntry
from wearlog.logbook.quickline.tokens import words_of
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all

_SAID = {
    SignKind.DEAD: "dead",
    SignKind.ERRATIC: "erratic",
    SignKind.WORKING: "working",
    SignKind.WEAK: "weak",
    SignKind.STAYS_ON: "stays on",
    SignKind.FUSE_BLEW_AT_ONCE: "blew at once",
    SignKind.FUSE_BLEW_LATER: "blew later",
}
_OF_FUSE = (SignKind.FUSE_BLEW_AT_ONCE, SignKind.FUSE_BLEW_LATER)


def fault_of(connection: Connection, entry: HeardEntry) -> ToldFault:
    """Return the fault that an entry tells of; a sign at a place only where one place of the machine is meant."""
    assert entry.machine is not None
    assert entry.sign is not None
    conditions = ", ".join(one.value.replace("_", " ") for one in entry.conditions)
    title, circuit, signs = _told(
        find_all(connection, CircuitNode, machine_id=entry.machine.id), entry.kind, entry.sign
    )
    return ToldFault(title, circuit, signs, conditions, entry.note)


def _told(nodes: Sequence[CircuitNode], thing: str, sign: SignKind) -> tuple[str, str, tuple[str, ...]]:
    """Return title, circuit and signs."""
    if sign is SignKind.CODE:
        code = thing.removeprefix("code ")
        return thing, "", (code,) if "/" in code else ()
    said = _SAID[sign]
    node = _place(nodes, thing)
    if node is not None:
        return f"{thing} {said}", node.circuit, (f"{node.name} {said}",)
    return f"{thing} {said}", "", (f"fuse {said}",) if sign in _OF_FUSE else ()


def _place(nodes: Sequence[CircuitNode], thing: str) -> CircuitNode | None:
    """Return the one place whose name holds every word of the thing; None where none or several do."""
    wanted = set(words_of(thing))
    exact = [node for node in nodes if words_of(node.name) == words_of(thing)]
    fitting = exact or [node for node in nodes if wanted <= set(words_of(node.name))]
    return fitting[0] if len(fitting) == 1 else None
