"""The other place of a check that has two: the fuse in whose place a lamp is, the side of an opened plug that shows 0 ohm."""

from __future__ import annotations

from collections.abc import Sequence

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, NodeKind
from wearlog.facts.electrics import CircuitNode
from wearlog.faults.circuit import Circuit
from wearlog.faults.data_line import LineClass, Spot, line_class
from wearlog.faults.line_sides import side_names
from wearlog.faults.measured_text import measured_number
from wearlog.logbook.faults.fault_sentences import CheckEntry
from wearlog.logbook.said.signs import node_named


def second_place(circuit: Circuit, nodes: Sequence[CircuitNode], entry: CheckEntry, name: str) -> CircuitNode | None:
    """Return the fuse that a lamp stands for: the one named, the place itself if it is one, else the one fuse above it.

    Of a plug opened on a data line: the next place on the side that showed 0 ohm.
    """
    if entry.held == Spot.OPENED and entry.kind is CheckKind.RESISTANCE:
        return _side(circuit, nodes, entry, name)
    if entry.kind is not CheckKind.LAMP:
        return None
    if entry.second:
        fuse = node_named(nodes, entry.second)
        if fuse.kind is not NodeKind.FUSE or (fuse.name != name and fuse.name not in circuit.upstream(name)):
            raise UsageError(
                f"No current goes through '{fuse.name}' as a fuse to '{name}': a lamp there tells nothing of it.",
                "Name a fuse that feeds the place: --in-place-of 'header fuse'",
            )
        return fuse
    itself = circuit.node(name).kind is NodeKind.FUSE
    above = (name,) if itself else circuit.first_fuses_above(name)
    if len(above) != 1:
        raise UsageError("In place of which fuse is the lamp?", "Say it: --in-place-of 'header fuse'")
    return next(node for node in nodes if node.name == above[0])


def _side(circuit: Circuit, nodes: Sequence[CircuitNode], entry: CheckEntry, name: str) -> CircuitNode | None:
    """Return the next place on the side of an opened plug that showed 0 ohm; None where neither did, or it is not clear."""
    sides = side_names(circuit, name)
    if not sides:
        raise UsageError(
            f"'{name}' is on no data line.", "A plug of the data line is opened, and both sides are measured."
        )
    if entry.verdict in (CheckVerdict.UNCLEAR, CheckVerdict.NOT_DONE):
        return None
    there = f"Its sides are {' and '.join(repr(side) for side in sides)}."
    if entry.second:
        side = node_named([node for node in nodes if node.name in sides], entry.second)
        if entry.verdict is CheckVerdict.GOOD:
            raise UsageError(
                f"Good says that neither side shows 0 ohm, and '{side.name}' is named as one that does.", there
            )
        return side
    ohms = measured_number(entry.measured, "ohm")
    is_short = entry.verdict is CheckVerdict.BAD or (ohms is not None and line_class(ohms) is LineClass.SHORTED)
    if is_short and len(sides) == 1:
        return next(node for node in nodes if node.name == sides[0])
    if is_short:
        raise UsageError("On which side of the opened plug was it 0 ohm?", f"{there} Say it: --side '{sides[0]}'")
    if entry.verdict is None and len(sides) > 1:
        raise UsageError(
            "An opened plug is measured on both sides: does either show 0 ohm?",
            f"{there} One does: --side '{sides[0]}'; neither: say good.",
        )
    return None
