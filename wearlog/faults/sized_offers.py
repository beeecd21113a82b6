"""Which checks can still tell something in a case with circumstances, and what they cost. Does not choose among them."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Final

from wearlog.facts.closed_lists import CheckKind, CheckVerdict, NodeKind, SignKind
from wearlog.facts.electrics import Answer
from wearlog.faults.checks import Check, checks_for
from wearlog.faults.circuit import CONSUMERS, Circuit
from wearlog.faults.circuit_matrix import circuit_matrix
from wearlog.faults.lamp_check import guarded_by, plugs_of
from wearlog.faults.results import Result
from wearlog.faults.signs import Sign
from wearlog.faults.suspects import Case

#: minutes of checks beside those of checks.py (common practice, no source)
TRY_IT_MINUTES: Final = 1.0
BEYOND_MINUTES: Final = 15.0
UNWRAP_MINUTES: Final = 15.0
MAKE_HAPPEN_MINUTES: Final = 8.0
LAMP_START_MINUTES: Final = 8.0
LAMP_MINUTES: Final = 4.0

_FUSE_SIGNS: Final = frozenset(kind for kind in SignKind if kind.startswith("fuse_"))
_OF_A_FUSE: Final = frozenset({CheckKind.LOOK, CheckKind.CONTINUITY, CheckKind.VOLTAGE})
_NEEDS_SUPPLY: Final = frozenset({CheckKind.VOLTAGE, CheckKind.VOLTAGE_DROP})
#: what a meter says of a fault that is away now is next to nothing
_BY_METER: Final = frozenset(
    {CheckKind.VOLTAGE, CheckKind.VOLTAGE_DROP, CheckKind.CONTINUITY, CheckKind.RESISTANCE, CheckKind.LAMP}
)
_NOT_REPEATED: Final = frozenset({CheckKind.LOOK, CheckKind.WIGGLE, CheckKind.SWAP, CheckKind.TRY_IT, CheckKind.UNWRAP})
_TOLD_OF_LOADS: Final = frozenset(SignKind) - _FUSE_SIGNS - {SignKind.CODE}

Key = tuple[CheckKind, str, str]

#: words of what a sound circuit shows, for the kinds that checks.py does not know
EXPECTED_TRY_IT: Final = "key on, engine off: switched on, it works as it should"
EXPECTED_BEYOND: Final = "nothing added to the wiring and nothing drawn wrong: radio, kit, another harness"
EXPECTED_UNWRAP: Final = "the covered run opened: no chafe, no green copper, no broken strand"
EXPECTED_MAKE_HAPPEN: Final = "shaken, warmed, wetted, raised onto its stops: nothing happens"


def offered_checks(case: Case, visit: int) -> tuple[Check, ...]:
    """Return the checks on offer.

    Parameters
    ----------
    case : Case
        With circumstances.
    visit : int
        The visit that is now: a meter check may be made again on another one.

    Notes
    -----
    Left out are what was made already, what a told fuse answers, and what needs supply under a blown fuse. A meter check may be
    made again on another visit if the fault may have been away when it was made. A look found good stays closed until the fault
    was seen again. A node that was repaired in vain is offered again: its repair may not have taken.
    """
    circumstances = case.circumstances
    assert circumstances is not None
    circuit = case.circuit
    closed = _made(case, visit) | _answered_by_fuses(case)
    offered = [*_plain(circuit, circumstances.nominal_volts), *_tries(case), *_lamps(case), *_unwraps(case)]
    if circumstances.present.get(visit) is Answer.NO:
        offered = [check for check in offered if check.kind not in _BY_METER]
        offered.append(
            Check(kind=CheckKind.MAKE_HAPPEN, node="", minutes=MAKE_HAPPEN_MINUTES, expected=EXPECTED_MAKE_HAPPEN)
        )
    offered.append(Check(kind=CheckKind.BEYOND, node="", minutes=BEYOND_MINUTES, expected=EXPECTED_BEYOND))
    return tuple(check for check in offered if (check.kind, check.node, check.second) not in closed)


def battery_check(case: Case) -> Check | None:
    """Return the check of the battery's own voltage, from which every later one is judged; None if it was made.

    Parameters
    ----------
    case : Case
    """
    assert case.circumstances is not None
    for check in _plain(case.circuit, case.circumstances.nominal_volts):
        if check.kind is CheckKind.VOLTAGE and case.circuit.node(check.node).kind is NodeKind.BATTERY:
            return None if any(_tells_supply(result, check) for result in case.results) else check
    return None


def _tells_supply(result: Result, battery: Check) -> bool:
    same = (result.check.kind, result.check.node) == (battery.kind, battery.node)
    by_the_way = result.reading is not None and result.reading.battery_volts is not None
    return by_the_way or (same and result.verdict is not CheckVerdict.NOT_DONE)


def lamp_start(case: Case, check: Check) -> Check | None:
    """Return the lamp's first step, every load of its fuse unplugged, if a check by lamp was not yet begun with it.

    Parameters
    ----------
    case : Case
    check : Check
    """
    if check.kind is not CheckKind.LAMP or check.node == check.second or _lamp_started(case, check.second):
        return None
    return _lamp(case.circuit, check.second, check.second, LAMP_START_MINUTES)


def _lamp_started(case: Case, fuse: str) -> list[Result]:
    return [r for r in case.results if r.check.kind is CheckKind.LAMP and r.check.node == fuse]


@lru_cache(maxsize=8)
def _plain(circuit: Circuit, nominal_volts: int) -> tuple[Check, ...]:
    return tuple(
        check for check in checks_for(circuit, nominal_volts=nominal_volts) if check.kind is not CheckKind.UNPLUG
    )


def _made(case: Case, visit: int) -> set[Key]:
    assert case.circumstances is not None
    present = case.circumstances.present
    seen_again = present.get(visit) is Answer.YES
    closed: set[Key] = set()
    for result in case.results:
        check, known = result.check, result.verdict is not CheckVerdict.NOT_DONE or result.reading is not None
        kept = check.kind in _NOT_REPEATED and not (check.kind is CheckKind.LOOK and seen_again)
        kept = kept or (check.kind in _BY_METER and present.get(result.visit) is Answer.YES)
        if known and check.kind is not CheckKind.BEYOND and (result.visit == visit or kept):
            closed.add((check.kind, check.node, check.second))
    for name in case.repairs_tried:
        closed -= {(CheckKind.VOLTAGE_DROP, name, "")}
        closed.add((CheckKind.SWAP, name, ""))
    return closed


def _answered_by_fuses(case: Case) -> set[Key]:
    closed: set[Key] = set()
    for sign in case.signs:
        for fuse in fuses_meant(case, sign) if sign.kind in _FUSE_SIGNS else ():
            closed |= {(kind, fuse, "") for kind in _OF_A_FUSE}
            dead = case.circuit.downstream(fuse) if sign.kind is not SignKind.FUSE_WHOLE else ()
            closed |= {(kind, name, "") for kind in _NEEDS_SUPPLY for name in dead}
    return closed


def fuses_meant(case: Case, sign: Sign) -> tuple[str, ...]:
    """Return the fuses a sign speaks of: the one it names, the one above its node, else those above what is dead.

    Parameters
    ----------
    case : Case
    sign : Sign
    """
    circuit = case.circuit
    if sign.node is not None:
        is_fuse = circuit.node(sign.node).kind is NodeKind.FUSE
        return (sign.node,) if is_fuse else circuit.first_fuses_above(sign.node)
    dead = [other.node for other in case.signs if other.kind is SignKind.DEAD and other.node is not None]
    return tuple(dict.fromkeys(fuse for name in dead for fuse in circuit.first_fuses_above(name)))


def _tries(case: Case) -> Iterator[Check]:
    told = {sign.node for sign in case.signs if sign.kind in _TOLD_OF_LOADS}
    for fuse in blown_fuses(case):
        told |= case.circuit.downstream(fuse)
    for node in case.circuit.nodes:
        if node.kind in CONSUMERS and node.name not in told:
            yield Check(
                kind=CheckKind.TRY_IT,
                node=node.name,
                minutes=TRY_IT_MINUTES,
                place=node.place,
                expected=EXPECTED_TRY_IT,
            )


def _lamps(case: Case) -> Iterator[Check]:
    """Yield the lamp in a blown fuse's place: all loads unplugged, then plug by plug; load by load if it was dark."""
    matrix = circuit_matrix(case.circuit)
    names = [node.name for node in case.circuit.nodes]
    for fuse in blown_fuses(case):
        started = _lamp_started(case, fuse)
        # a lamp at a plug has the unplugging before it, so that looking ahead sees what it is for
        minutes = LAMP_MINUTES + (0.0 if started else LAMP_START_MINUTES)
        if not started:
            yield _lamp(case.circuit, fuse, fuse, LAMP_START_MINUTES)
        if not started or started[-1].verdict is CheckVerdict.BAD:
            found = [names[plug] for plug in plugs_of(matrix, matrix.index[fuse])]
        else:
            guarded = guarded_by(matrix, matrix.index[fuse]) & matrix.is_load
            found = [name for name, guards in zip(names, guarded, strict=True) if guards]
        for name in found:
            yield _lamp(case.circuit, fuse, name, minutes)


def blown_fuses(case: Case) -> tuple[str, ...]:
    """Return the fuses that the signs say blew.

    Parameters
    ----------
    case : Case
    """
    blown = [sign for sign in case.signs if sign.kind in _FUSE_SIGNS - {SignKind.FUSE_WHOLE}]
    return tuple(dict.fromkeys(fuse for sign in blown for fuse in fuses_meant(case, sign)))


def _lamp(circuit: Circuit, fuse: str, node: str, minutes: float) -> Check:
    if node == fuse:
        words = f'every load of "{fuse}" unplugged: the lamp in its place stays dark'
    elif circuit.node(node).kind in CONSUMERS:
        words = f'plugged back in with its switch off: the lamp in place of "{fuse}" stays dark'
    else:
        words = f'opened: the lamp in place of "{fuse}" stays lit; if it goes out, the short lies here or beyond'
    return Check(
        kind=CheckKind.LAMP, node=node, minutes=minutes, place=circuit.node(node).place, expected=words, second=fuse
    )


def _unwraps(case: Case) -> Iterator[Check]:
    """Yield the opening of a covered run whose look was good."""
    for result in case.results:
        node = result.check.node
        looked = result.check.kind is CheckKind.LOOK and result.verdict is CheckVerdict.GOOD
        if looked and case.circuit.node(node).kind is NodeKind.WIRE_RUN:
            place = case.circuit.node(node).place
            yield Check(kind=CheckKind.UNWRAP, node=node, minutes=UNWRAP_MINUTES, place=place, expected=EXPECTED_UNWRAP)
