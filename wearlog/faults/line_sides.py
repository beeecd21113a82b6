"""What is left of a data line on each side of a plug that is opened. No chances here."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final, TypeVar

from wearlog.facts.closed_lists import NodeKind
from wearlog.faults.circuit import Circuit

T = TypeVar("T")

#: what has a plug on a data line
OPENS: Final = frozenset({NodeKind.CONNECTOR, NodeKind.CONTROLLER, NodeKind.TERMINATOR})


def sides_by(neighbours: Callable[[T], Sequence[T]], plug: T) -> tuple[tuple[T, frozenset[T]], ...]:
    """Return the sides of a plug of a data line: the place next to it that names the side, and all that hangs on it.

    Parameters
    ----------
    neighbours : callable
        Of a place, what shares a stretch of data line with it.
    plug : place
        A ring has one side.
    """
    sides: list[tuple[T, frozenset[T]]] = []
    for next_to in neighbours(plug):
        if any(next_to in side for _, side in sides):
            continue
        reached, waiting = set[T](), [next_to]
        while waiting:
            here = waiting.pop()
            reached.add(here)
            waiting += [other for other in neighbours(here) if other != plug and other not in reached]
        sides.append((next_to, frozenset(reached)))
    return tuple(sides)


def side_names(circuit: Circuit, plug: str) -> tuple[str, ...]:
    """Return the sides of a plug of a data line by the place that comes next on each, in the order of the diagram.

    Parameters
    ----------
    circuit : Circuit
    plug : str
        Its name.
    """
    named = {next_to for next_to, _ in sides_by(circuit.bus_neighbours, plug)}
    return tuple(node.name for node in circuit.nodes if node.name in named)
