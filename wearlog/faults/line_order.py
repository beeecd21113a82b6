"""What comes first on a data line that lost one end: which controllers are still seen, then the terminators. Weighs nothing.

A reading of 120 ohm at a plug says that one end is lost. Which controllers are still seen costs a minute. With all seen the
terminators first take 10.4 min to the place and a plug first 12.5; some gone and others seen, a plug first takes 13.1 and an end
16.5 (exact search over two ends, two runs and two plugs of equal rates; computed).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from wearlog.facts.closed_lists import CheckKind, CheckVerdict, NodeKind, SignKind
from wearlog.facts.electrics import Answer
from wearlog.faults.checks import Check, line_check
from wearlog.faults.data_line import LineClass, Spot, line_class

if TYPE_CHECKING:
    from wearlog.faults.suspects import Case, Result

#: words of what a sound line shows
EXPECTED_SEEN: Final = "key on, engine off: the machine's own screen still sees it"
EXPECTED_IN_HAND: Final = "everything off, taken out: 120 ohm across its own two pins"
#: to read one controller off the screen, to take a terminator out and measure it (common practice, no source)
_SEEN_MINUTES: Final = 1.0
_IN_HAND_MINUTES: Final = 5.0


def first_on_line(case: Case, visit: int, without: frozenset[CheckKind] = frozenset()) -> tuple[Check, ...]:
    """Return what comes before anything else on a line that lost one end; empty where the rule has nothing to say.

    Parameters
    ----------
    case : Case
        With circumstances.
    visit : int
        The visit that is now: nothing here is told of a fault that is away.
    without : frozenset of CheckKind
        Kinds of check that cannot be made now.

    Returns
    -------
    tuple of Check
        All controllers that nobody spoke of yet, to be read off the screen in one go; once they are known each terminator that was
        not measured by itself. None of these once a terminator was found bad, or if some controllers are seen and others are gone:
        then it is a plug in the middle.
    """
    assert case.circumstances is not None
    line = _lost_one_end(case)
    if not line or case.circumstances.present.get(visit) is Answer.NO:
        return ()
    seen, gone, unknown = _controllers(case, line)
    if unknown and CheckKind.TRY_IT not in without:
        return tuple(_seen_check(case, name) for name in unknown)
    if CheckKind.RESISTANCE in without or (seen and gone):
        return ()
    ends = tuple(name for name in line if case.circuit.node(name).kind is NodeKind.TERMINATOR)
    measured = {name: result.verdict for name in ends for result in case.results if _is_own(result, name)}
    if CheckVerdict.BAD in measured.values():
        return ()
    return tuple(in_hand_check(case, name) for name in ends if name not in measured)


def in_hand_check(case: Case, name: str) -> Check:
    """Return the measuring of one terminator by itself, taken out.

    Parameters
    ----------
    case : Case
    name : str
        Of the terminator.
    """
    return line_check(case.circuit.node(name), Spot.IN_HAND, _IN_HAND_MINUTES, EXPECTED_IN_HAND)


def _seen_check(case: Case, name: str) -> Check:
    place = case.circuit.node(name).place
    return Check(kind=CheckKind.TRY_IT, node=name, minutes=_SEEN_MINUTES, place=place, expected=EXPECTED_SEEN)


def _lost_one_end(case: Case) -> tuple[str, ...]:
    """Return the nodes of the line whose latest reading, everything plugged in, was near 120 ohm; in the order of the diagram."""
    for result in reversed(case.results):
        check = result.check
        value = result.measured if result.reading is None else result.reading.value
        if check.is_of_line and check.spot is Spot.PLUG and value is not None:
            if line_class(value) is not LineClass.ONE_END:
                return ()
            line = case.circuit.on_the_bus_of(check.node)
            return tuple(node.name for node in case.circuit.nodes if node.name in line)
    return ()


def _controllers(case: Case, line: tuple[str, ...]) -> tuple[list[str], list[str], list[str]]:
    """Return the controllers of a line that are seen, that are gone, and that nobody spoke of."""
    known = dict(_told_of(case))
    names = [name for name in line if case.circuit.node(name).kind is NodeKind.CONTROLLER]
    seen = [name for name in names if known.get(name) is True]
    gone = [name for name in names if known.get(name) is False]
    return seen, gone, [name for name in names if name not in known]


def _told_of(case: Case) -> Iterator[tuple[str, bool]]:
    for sign in case.signs:
        if sign.node is not None and sign.kind in (SignKind.DEAD, SignKind.WORKING):
            yield sign.node, sign.kind is SignKind.WORKING
    for result in case.results:
        if result.check.kind is CheckKind.TRY_IT and result.verdict is not CheckVerdict.NOT_DONE:
            yield result.check.node, result.verdict is not CheckVerdict.BAD


def _is_own(result: Result, name: str) -> bool:
    """Whether a result is of the terminator itself: measured alone, or a repair; the line measured at it is not."""
    check = result.check
    if check.node != name or result.verdict is CheckVerdict.NOT_DONE:
        return False
    return check.kind is CheckKind.SWAP or (
        check.kind is CheckKind.RESISTANCE and (check.band is None or check.spot not in (Spot.PLUG, Spot.OPENED))
    )
