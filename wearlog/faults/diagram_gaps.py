"""What a diagram still lacks before its suspects can be trusted. Refuses nothing: `Circuit` refuses what cannot be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wearlog.facts.closed_lists import NodeKind
from wearlog.faults.circuit import CONSUMERS, Circuit, Node
from wearlog.faults.fuses import is_blade_rating

_TERMINATORS_PER_BUS = 2


@dataclass(frozen=True, slots=True)
class Gap:
    """Something missing at a node (or on the whole diagram when `node` is None), and what to do about it."""

    node: str | None
    sentence: str
    hint: str


def gaps(circuit: Circuit) -> tuple[Gap, ...]:
    """Return what is missing on the diagram, in the order of its nodes; empty when it is complete.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    """
    found = [] if circuit.of_kind(NodeKind.BATTERY) else [_no_battery()]
    for node in circuit.nodes:
        found += _at_node(circuit, node)
    return (*found, *_bus_gaps(circuit))


def _no_battery() -> Gap:
    return Gap(
        None, "The diagram has no battery, so nothing says where the supply begins.", "Put the battery at the top."
    )


def _at_node(circuit: Circuit, node: Node) -> Iterator[Gap]:
    name = node.name
    if node.kind is NodeKind.DEVICE and "alternator" in name.casefold():
        yield Gap(
            name,
            f'"{name}" is drawn as a load: the checks would ask you to switch it on.',
            f'Draw it as a source: "{name}: alternator", and behind the battery "also fed by {name}".',
        )
    elif node.kind in CONSUMERS:
        if not circuit.fed_by(name):
            yield Gap(name, f'Nothing feeds "{name}".', "Draw it under the connector or wire that it hangs on.")
        elif not circuit.first_fuses_above(name):
            yield Gap(
                name,
                f'No fuse stands above "{name}": a short there has nothing to blow.',
                "Add the fuse that guards it.",
            )
        if not circuit.returns_to(name):
            yield Gap(name, f'"{name}" has no way back to ground.', "Say which ground it returns by.")
    if node.kind is NodeKind.FUSE:
        yield from _fuse_gaps(node)
    if node.kind is NodeKind.GROUND and not circuit.returned_from(name):
        yield Gap(name, f'Nothing returns by the ground "{name}".', "Say which devices return by it, or take it out.")
    if node.kind is NodeKind.TERMINATOR and not circuit.bus_neighbours(name):
        yield Gap(name, f'The terminator "{name}" is on no data line.', "Say which node of the data line it sits at.")


def _fuse_gaps(node: Node) -> Iterator[Gap]:
    if node.rating_milliamperes is None:
        yield Gap(
            node.name,
            f'The fuse "{node.name}" has no rating.',
            "Read it off the fuse panel's own list, not off the fuse.",
        )
    elif not is_blade_rating(node.rating_milliamperes):
        amperes = node.rating_milliamperes / 1000
        sentence = f'The fuse "{node.name}" is entered as {amperes:g} A, which is no usual blade rating.'
        yield Gap(node.name, sentence, "Check the number; other makes of link do exist.")


def _bus_gaps(circuit: Circuit) -> Iterator[Gap]:
    seen: set[str] = set()
    for node in circuit.nodes:
        bus = circuit.on_the_bus_of(node.name)
        if not bus or node.name in seen:
            continue
        seen |= bus
        fitted = sum(circuit.node(name).kind is NodeKind.TERMINATOR for name in bus)
        if fitted != _TERMINATORS_PER_BUS:
            sentence = f'The data line at "{node.name}" has {fitted} terminators; it needs {_TERMINATORS_PER_BUS}.'
            yield Gap(node.name, sentence, "Draw one at each end; they may sit inside a controller.")
