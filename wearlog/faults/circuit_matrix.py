"""A circuit as tables of yes and no: what lies below, behind one ground, under one fuse, on one data line."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.facts.closed_lists import NodeKind
from wearlog.faults.circuit import CONSUMERS, Circuit

Mask = NDArray[np.bool_]
Whole = NDArray[np.int64]

#: what fails without its ground and then takes along what it feeds
PASSES_ON: Final = frozenset({NodeKind.CONTROLLER, NodeKind.RELAY, NodeKind.SWITCH})
_KINDS: Final = tuple(NodeKind)
_KEPT: Final = 16


@dataclass(frozen=True, slots=True, eq=False)
class CircuitMatrix:
    """Who is behind whom; all arrays are over the nodes in the order of the circuit.

    Attributes
    ----------
    index : dict of str to int
    kinds : tuple of NodeKind
    kind_numbers : (n,) array of int
        The same, as places in the list of kinds.
    below : (n, n) array of bool
        [a, b]: b is fed through a.
    behind : (n, n) array of bool
        [a, b]: b's current returns through a.
    line : (n,) array of int
        Number of the data line a node is on; -1 for none.
    fuses_above : tuple of tuple of int
        The first fuses above each node.
    bus : tuple of tuple of int
        What shares a stretch of data line with each node.
    feeds, is_load : (n,) arrays of bool
    """

    index: dict[str, int]
    kinds: tuple[NodeKind, ...]
    kind_numbers: Whole
    below: Mask
    behind: Mask
    line: Whole
    fuses_above: tuple[tuple[int, ...], ...]
    bus: tuple[tuple[int, ...], ...]
    feeds: Mask
    is_load: Mask

    def under_fuse(self, node: int) -> Mask:
        """Return what a blown fuse above a node takes along, the fuse too; without a fuse what hangs on the node itself.

        Parameters
        ----------
        node : int
            Number of the node.
        """
        tops = self.fuses_above[node] or ((node,) if self.feeds[node] or self.below[:, node].any() else ())
        found = np.zeros(len(self.kinds), dtype=bool)
        for top in tops:
            found |= self.below[top]
            found[top] = True
        return found

    def of_kind(self, kinds: Iterable[NodeKind]) -> Mask:
        """Return which nodes are of one of these kinds.

        Parameters
        ----------
        kinds : iterable of NodeKind
            Any of them.
        """
        wanted = frozenset(kinds)
        return np.asarray(np.array([kind in wanted for kind in NodeKind])[self.kind_numbers], dtype=bool)


@lru_cache(maxsize=_KEPT)
def circuit_matrix(circuit: Circuit) -> CircuitMatrix:
    """Return a circuit as tables.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    """
    names = [node.name for node in circuit.nodes]
    index = {name: number for number, name in enumerate(names)}
    below = _closure(names, index, circuit.feeds)
    return CircuitMatrix(
        index=index,
        kinds=tuple(node.kind for node in circuit.nodes),
        kind_numbers=np.array([_KINDS.index(node.kind) for node in circuit.nodes], dtype=np.int64),
        below=below,
        behind=_closure(names, index, circuit.returned_from),
        line=_lines(circuit, names, index),
        fuses_above=tuple(tuple(index[fuse] for fuse in circuit.first_fuses_above(name)) for name in names),
        bus=tuple(tuple(index[other] for other in circuit.bus_neighbours(name)) for name in names),
        feeds=np.asarray(below.any(axis=1), dtype=bool),
        is_load=np.array([node.kind in CONSUMERS for node in circuit.nodes], dtype=bool),
    )


def _closure(names: list[str], index: dict[str, int], leads_to: Callable[[str], tuple[str, ...]]) -> Mask:
    """Return [a, b]: b is reached from a. One whole number holds the row of a node as bits; no rings are allowed in."""
    reached: dict[str, int] = {}
    waiting = list(names)
    while waiting:
        here = waiting[-1]
        open_ends = [other for other in leads_to(here) if other not in reached]
        if open_ends and here not in reached:
            waiting += open_ends
            continue
        waiting.pop()
        row = 0
        for other in leads_to(here):
            row |= reached[other] | (1 << index[other])
        reached[here] = row
    width = (len(names) + 7) // 8
    packed = b"".join(reached[name].to_bytes(width, "little") for name in names)
    bits = np.unpackbits(np.frombuffer(packed, dtype=np.uint8), bitorder="little")
    return np.asarray(bits.reshape(len(names), width * 8)[:, : len(names)], dtype=bool)


def _lines(circuit: Circuit, names: list[str], index: dict[str, int]) -> Whole:
    line, number = np.full(len(names), -1), 0
    for name in names:
        if line[index[name]] < 0 and (members := circuit.on_the_bus_of(name)):
            line[[index[member] for member in members]] = number
            number += 1
    return line
