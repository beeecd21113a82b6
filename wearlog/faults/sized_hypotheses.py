"""Everything that could be wrong, with its size, as arrays: for weighing many suspects at once. Not how likely."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.facts.closed_lists import FaultMode, NodeKind
from wearlog.faults.circuit import Circuit
from wearlog.faults.circuit_matrix import PASSES_ON, CircuitMatrix, circuit_matrix
from wearlog.faults.hypotheses import NOT_ON_DIAGRAM, Hypothesis, hypotheses
from wearlog.faults.severity import SIZES, Variant

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
Whole = NDArray[np.int64]

MODES: Final = tuple(FaultMode)
VARIANTS: Final = tuple(Variant)
GROUPS: Final = len(MODES) * 2 * len(VARIANTS)
_KEPT: Final = 8
#: how a source fails, and how often so (common practice, no source)
_OF_A_BATTERY: Final = {Variant.LOW: 0.79, Variant.DEAD_CELL: 0.21}
_OF_AN_ALTERNATOR: Final = {Variant.GIVES_NOTHING: 0.47, Variant.GIVES_TOO_LITTLE: 0.35, Variant.OVERCHARGES: 0.18}
#: wires that can touch a live one; and joints that can be put together the wrong way
_TOUCHES_POWER: Final = frozenset({NodeKind.WIRE_RUN, NodeKind.CONNECTOR, NodeKind.SPLICE})
_CAN_BE_REVERSED: Final = frozenset({NodeKind.CONNECTOR, NodeKind.SPLICE, NodeKind.DEVICE, NodeKind.SENSOR})


@dataclass(frozen=True, slots=True, eq=False)
class FaultTable:
    """Hypotheses as arrays, one row for each.

    Attributes
    ----------
    under_fuse : (n + 1, n) array of bool
        [a, b]: b dies when the fuse above a blows; the last row is of nothing.
    hypotheses : tuple of Hypothesis
        The last is "not on this diagram".
    share : (h,) array
        Of its mode at its node, wires and coming and going apart: which size.
    node : (h,) array of int
        -1: not on this diagram.
    mode, variant : (h,) arrays of int
        Into `MODES` and `VARIANTS`.
    moving, wire : (h,) arrays of bool
        Comes and goes; sits on one wire of several.
    cut : (h,) array of int
        Row of `feed_cut` and `ground_cut`.
    feed_cut, ground_cut : (cuts, n) arrays of bool
        Nodes that lose their feed, and their ground, when that place is open.
    """

    matrix: CircuitMatrix
    under_fuse: Mask
    hypotheses: tuple[Hypothesis, ...]
    share: Array
    node: Whole
    mode: Whole
    variant: Whole
    moving: Mask
    wire: Mask
    cut: Whole
    feed_cut: Mask
    ground_cut: Mask

    @property
    def group(self) -> Whole:
        """Return a number for mode, coming and going, and size together: below `GROUPS`."""
        return np.asarray((self.mode * 2 + self.moving) * len(VARIANTS) + self.variant)

    def is_mode(self, *modes: FaultMode) -> Mask:
        """Return which rows are of one of these modes; shape (rows,).

        Parameters
        ----------
        *modes : FaultMode
            What may be wrong at a place.
        """
        return np.asarray(np.array([mode in modes for mode in MODES])[self.mode], dtype=bool)

    def of_kind(self, *kinds: NodeKind) -> Mask:
        """Return which rows sit at a node of one of these kinds; shape (rows,).

        Parameters
        ----------
        *kinds : NodeKind
            A fault that is not on the diagram is of none.
        """
        return np.asarray(np.append(self.matrix.of_kind(kinds), False)[self.node], dtype=bool)

    def rows(self, picked: Whole) -> FaultTable:
        """Return the table of some rows only.

        Parameters
        ----------
        picked : array of int
            Numbers of the rows, in the order wanted.
        """
        return replace(
            self,
            hypotheses=tuple(self.hypotheses[row] for row in picked),
            share=self.share[picked],
            node=self.node[picked],
            mode=self.mode[picked],
            variant=self.variant[picked],
            moving=self.moving[picked],
            wire=self.wire[picked],
            cut=self.cut[picked],
        )


@lru_cache(maxsize=_KEPT)
def fault_table(circuit: Circuit, worked_on: tuple[str, ...] = ()) -> FaultTable:
    """Return everything that could be wrong on a circuit, sizes told apart.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    worked_on : tuple of str
        Nodes that somebody worked on: there something may be the wrong way round.
    """
    matrix = circuit_matrix(circuit)
    sized = [pair for one in hypotheses(circuit) if one.node for pair in _sizes(circuit, one)]
    sized += [(one, 1.0) for one in _further(circuit, worked_on)]
    all_of_them = (*(one for one, _ in sized), NOT_ON_DIAGRAM)
    keys: dict[tuple[str | None, str], int] = {}
    cut = np.array([keys.setdefault((one.node, one.branch), len(keys)) for one in all_of_them])
    passing = matrix.of_kind(PASSES_ON)
    feed = np.array([_cut(matrix.below, matrix, key, circuit.feeds) for key in keys])
    ground = np.array([_cut(matrix.behind, matrix, key, circuit.returned_from) for key in keys])
    for row in np.flatnonzero((ground & passing).any(axis=1)):
        ground[row] |= matrix.below[np.flatnonzero(ground[row] & passing)].any(axis=0)
    return FaultTable(
        matrix=matrix,
        under_fuse=np.array(
            [*map(matrix.under_fuse, range(len(matrix.kinds))), [False] * len(matrix.kinds)], dtype=bool
        ),
        hypotheses=all_of_them,
        share=np.array([*(share for _, share in sized), 1.0]),
        node=np.array([-1 if one.node is None else matrix.index[one.node] for one in all_of_them]),
        mode=np.array([MODES.index(one.mode) for one in all_of_them]),
        variant=np.array([VARIANTS.index(one.variant) for one in all_of_them]),
        moving=np.array([one.intermittent for one in all_of_them], dtype=bool),
        wire=np.array([bool(one.branch) for one in all_of_them], dtype=bool),
        cut=cut,
        feed_cut=feed,
        ground_cut=ground,
    )


def _sizes(circuit: Circuit, one: Hypothesis) -> Iterator[tuple[Hypothesis, float]]:
    """Yield a hypothesis in each of its sizes, with the share of that size."""
    assert one.node is not None
    kind = circuit.node(one.node).kind
    sizes: dict[Variant, float] = {}
    if one.mode is FaultMode.HIGH_RESISTANCE:
        sizes = {variant: size.share for variant, size in SIZES.items()}
    elif one.mode is FaultMode.FAILED_DEVICE and kind is NodeKind.BATTERY:
        sizes = _OF_A_BATTERY
    elif one.mode is FaultMode.FAILED_DEVICE and kind is NodeKind.ALTERNATOR:
        sizes = _OF_AN_ALTERNATOR
    if not sizes:
        yield one, 1.0
    for variant, share in sizes.items():
        moving, branch = one.intermittent, one.branch
        yield Hypothesis(node=one.node, mode=one.mode, intermittent=moving, branch=branch, variant=variant), share


def _further(circuit: Circuit, worked_on: tuple[str, ...]) -> Iterator[Hypothesis]:
    """Yield what the plain hypotheses leave out: a wire on a live one, and a joint put together the wrong way."""
    for node in circuit.nodes:
        on_line = bool(circuit.bus_neighbours(node.name))
        if node.kind in _TOUCHES_POWER and (on_line or circuit.feeds(node.name)):
            yield Hypothesis(node=node.name, mode=FaultMode.SHORT_TO_POWER)
        # a wire that stays on is noticed; a data line that touches the supply now and then is a fault that comes and goes
        if node.kind in _TOUCHES_POWER and on_line:
            yield Hypothesis(node=node.name, mode=FaultMode.SHORT_TO_POWER, intermittent=True)
        if node.kind in _CAN_BE_REVERSED and node.name in worked_on:
            yield Hypothesis(node=node.name, mode=FaultMode.REVERSED)


def _cut(
    table: Mask, matrix: CircuitMatrix, key: tuple[str | None, str], neighbours: Callable[[str], tuple[str, ...]]
) -> Mask:
    """Return what lies behind a node, or behind the wire from it to one neighbour: what is cut off when that is open."""
    name, branch = key
    if name is None or (branch and branch not in neighbours(name)):
        return np.zeros(len(matrix.kinds), dtype=bool)
    found = table[matrix.index[branch or name]].copy()
    if branch:
        found[matrix.index[branch]] = True
    return np.asarray(found, dtype=bool)
