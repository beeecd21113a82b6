"""Which plug of a shorted data line is opened next, so that the short is halved."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from wearlog.facts.closed_lists import CheckKind
from wearlog.facts.electrics import Answer
from wearlog.faults.data_line import LineClass, Spot, line_class
from wearlog.faults.line_halving import Array, bits_of_opened, is_opened, opened_check, shorts_alone
from wearlog.faults.line_sides import OPENS

if TYPE_CHECKING:
    from wearlog.faults.checks import Check
    from wearlog.faults.sized_hypotheses import FaultTable
    from wearlog.faults.suspects import Case, Result

#: below this many bits an opened plug no longer halves anything: what is left is looked at (common practice, no source)
_LEAST_BITS: Final = 0.30


def halving_check(
    case: Case, table: FaultTable, weight: Array, present: Array, visit: int, without: frozenset[CheckKind]
) -> Check | None:
    """Return the plug of a shorted data line that is opened next; None where no short is to be halved, or no plug halves it.

    Parameters
    ----------
    case : Case
        With circumstances.
    table : FaultTable
        (h,) suspects.
    weight, present : (h,) arrays
        The chance of each suspect, and that it is there now.
    visit : int
        The visit that is now.
    without : frozenset of CheckKind
        Kinds of check that cannot be made now.

    Notes
    -----
    0 ohm shows a short, whatever else there is: only shorts of this line are weighed. The plug that tells most about the place by
    the minute comes first: with equal weights the one in the middle.
    """
    assert case.circumstances is not None
    line, short = _shorted_line(case), shorts_to_find(case, table, weight, visit)
    if short is None or CheckKind.RESISTANCE in without:
        return None
    opened = {result.check.node for result in case.results if result.visit == visit and is_opened(result.check)}
    tried = set(case.repairs_tried)
    found = [
        opened_check(case.circuit, name)
        for name in line
        if name not in opened | tried and case.circuit.node(name).kind in OPENS
    ]
    told = [(bits_of_opened(table, check, short, present), check) for check in found]
    best = max(told, key=lambda one: one[0] / one[1].minutes, default=None)
    return None if best is None or best[0] < _LEAST_BITS else best[1]


def shorts_to_find(case: Case, table: FaultTable, weight: Array, visit: int) -> Array | None:
    """Return the chances of the shorts of a line that read near 0 ohm, alone; None where none is to be found now.

    Parameters
    ----------
    case : Case
        With circumstances.
    table : FaultTable
        (h,) suspects.
    weight : (h,) array
        The chance of each suspect.
    visit : int
        The visit that is now.
    """
    assert case.circumstances is not None
    line = _shorted_line(case)
    if not line or case.circumstances.present.get(visit) is Answer.NO:
        return None
    short = shorts_alone(table, table.matrix.index[line[0]], weight)
    return short if short.any() else None


def opens_first(case: Case, check: Check | None) -> bool:
    """Return whether a check is the first of a case to open a plug of the data line: the battery's lead comes off before it.

    Parameters
    ----------
    case : Case
    check : Check or None
        None: a repair.
    """
    return check is not None and is_opened(check) and not any(is_opened(result.check) for result in case.results)


def _shorted_line(case: Case) -> tuple[str, ...]:
    """Return the nodes of the line whose latest reading, everything plugged in, was near 0 ohm; in the order of the diagram."""
    for result in reversed(case.results):
        check, value = result.check, _ohms(result)
        if check.is_of_line and check.spot is Spot.PLUG and value is not None:
            line = case.circuit.on_the_bus_of(check.node) if line_class(value) is LineClass.SHORTED else frozenset()
            return tuple(node.name for node in case.circuit.nodes if node.name in line)
    return ()


def _ohms(result: Result) -> float | None:
    return result.measured if result.reading is None else result.reading.value
