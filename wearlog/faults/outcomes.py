"""How likely each fault makes each check turn out bad. The figures are common practice, without a source; no costs here."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.facts.closed_lists import CheckKind, FaultMode, NodeKind
from wearlog.faults.checks import Check
from wearlog.faults.circuit import Circuit
from wearlog.faults.effects import Reach, reached
from wearlog.faults.hypotheses import Hypothesis
from wearlog.faults.readings import BusState, bus_state

Array = NDArray[np.float64]

_OPEN, _SHORT, _HIGH = FaultMode.OPEN, FaultMode.SHORT_TO_GROUND, FaultMode.HIGH_RESISTANCE
_FAILED, _OVERLOAD = FaultMode.FAILED_DEVICE, FaultMode.OVERLOAD

#: chance that a check turns out bad although the fault is elsewhere
FALSE_ALARM: Final[dict[CheckKind, float]] = {
    CheckKind.LOOK: 0.05,
    CheckKind.VOLTAGE: 0.03,
    CheckKind.VOLTAGE_DROP: 0.03,
    CheckKind.CONTINUITY: 0.03,
    CheckKind.RESISTANCE: 0.03,
    CheckKind.UNPLUG: 0.03,
    CheckKind.WIGGLE: 0.04,
    CheckKind.SWAP: 0.02,
}

#: a kind of check that is kept on the list but not yet reckoned with: bad or good alike under every fault
_TELLS_NOTHING: Final = 0.5

#: a fault that comes and goes is there, while one measures, this share of the time
CAUGHT: Final[dict[CheckKind, float]] = {
    CheckKind.LOOK: 0.8,
    CheckKind.VOLTAGE: 0.3,
    CheckKind.VOLTAGE_DROP: 0.35,
    CheckKind.CONTINUITY: 0.3,
    CheckKind.RESISTANCE: 0.3,
    CheckKind.UNPLUG: 0.35,
    CheckKind.SWAP: 0.4,
}

#: chance of a bad outcome when the fault is at the very node, steady
AT_NODE: Final[dict[CheckKind, dict[FaultMode, float]]] = {
    CheckKind.VOLTAGE_DROP: {_HIGH: 0.93, _OPEN: 0.97, _FAILED: 0.85},
    CheckKind.CONTINUITY: {_OPEN: 0.96, _HIGH: 0.25},
    CheckKind.RESISTANCE: {_FAILED: 0.80, _SHORT: 0.90, _OVERLOAD: 0.30},
    CheckKind.SWAP: {_FAILED: 0.97, _SHORT: 0.95, _OPEN: 0.90, _HIGH: 0.90},
}
LOOK: Final[dict[NodeKind, dict[FaultMode, float]]] = {
    NodeKind.BATTERY: {_HIGH: 0.70, _FAILED: 0.20, _OPEN: 0.80},
    NodeKind.FUSE: {_OPEN: 0.60, _HIGH: 0.40},
    NodeKind.RELAY: {_FAILED: 0.20, _HIGH: 0.30},
    NodeKind.SWITCH: {_FAILED: 0.15, _HIGH: 0.20},
    NodeKind.CONNECTOR: {_HIGH: 0.65, _OPEN: 0.50, _SHORT: 0.60},
    NodeKind.WIRE_RUN: {_SHORT: 0.60, _OPEN: 0.50, _HIGH: 0.30},
    NodeKind.SPLICE: {_HIGH: 0.50, _OPEN: 0.55, _SHORT: 0.50},
    NodeKind.DEVICE: {_FAILED: 0.20, _SHORT: 0.30, _OVERLOAD: 0.50},
    NodeKind.SENSOR: {_FAILED: 0.25, _SHORT: 0.30},
    NodeKind.CONTROLLER: {_FAILED: 0.10, _SHORT: 0.20},
    NodeKind.TERMINATOR: {_OPEN: 0.70, _SHORT: 0.30},
    NodeKind.GROUND: {_HIGH: 0.65, _OPEN: 0.80},
    NodeKind.ALTERNATOR: {_FAILED: 0.20, _HIGH: 0.40},
}
WIGGLE_COMING_AND_GOING: Final = 0.70
WIGGLE_STEADY: Final = 0.25
#: a fault on one wire of many is met by a check of the whole node this often
ON_ONE_WIRE: Final = 0.75

#: voltage missing or low further on
_NO_VOLTAGE: Final[dict[FaultMode, float]] = {_OPEN: 0.96, _FAILED: 0.96, _HIGH: 0.45, _SHORT: 0.93, _OVERLOAD: 0.60}
#: at the posts of a battery at rest, of an alternator with the engine running
_OWN_VOLTAGE: Final[dict[FaultMode, float]] = {_FAILED: 0.90, _HIGH: 0.15, _OPEN: 0.10}
BLOWN_FUSE: Final[dict[FaultMode, float]] = {_SHORT: 0.93, _OVERLOAD: 0.85}
_LAMP_GOES_OUT: Final[dict[FaultMode, float]] = {_SHORT: 0.95, _OVERLOAD: 0.50}
#: between the two data wires, for a fault on that data line
_BUS: Final[dict[FaultMode, float]] = {_OPEN: 0.93, _SHORT: 0.97, _HIGH: 0.40, _FAILED: 0.10}

#: which readings of the data line each mode gives when it gives a bad one
_BUS_STATES: Final[dict[FaultMode, tuple[BusState, ...]]] = {
    _OPEN: (BusState.TERMINATOR_MISSING, BusState.BOTH_MISSING),
    _SHORT: (BusState.SHORTED,),
}
_OTHER_BUS_STATE: Final = 0.15


def bad_chances(circuit: Circuit, checks: Sequence[Check], of: Sequence[Hypothesis]) -> Array:
    """Return the chance of a bad outcome of each check under each hypothesis.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    checks : sequence of Check
        (checks,), in the order of the answer.
    of : sequence of Hypothesis
        (hypotheses,), in the order of the answer.

    Returns
    -------
    (checks, hypotheses) array
        Strictly between 0 and 1: no check is taken as beyond doubt.
    """
    alarms = np.array([[FALSE_ALARM.get(check.kind, _TELLS_NOTHING)] for check in checks]).reshape(-1, 1)
    chances = np.repeat(alarms, len(of), axis=1)
    rows: dict[tuple[CheckKind, str], list[int]] = {}
    on_bus = [row for row, check in enumerate(checks) if check.is_of_line]
    for row, check in enumerate(checks):
        if row not in on_bus:
            rows.setdefault((check.kind, check.node), []).append(row)
    for column, hypothesis in enumerate(of):
        if hypothesis.node is None:
            continue
        for kind, name, chance in _tells(circuit, hypothesis):
            for row in rows.get((kind, name), ()):
                chances[row, column] = max(chances[row, column], chance)
        for row in on_bus:
            chances[row, column] = max(chances[row, column], _bus_chance(circuit, checks[row], hypothesis))
    return chances


def reading_likelihood(check: Check, measured: float, of: Sequence[Hypothesis]) -> Array:
    """Return how a bad reading's number itself speaks for each hypothesis: only the data line tells open from shorted.

    Parameters
    ----------
    check : Check
        The check that was made.
    measured : float
        The reading, in the unit of the check.
    of : sequence of Hypothesis
        (hypotheses,), in the order of the answer.

    Returns
    -------
    (len(of),) array
        Factors on top of the chance of a bad outcome; all 1 for other checks and for a good reading.
    """
    factors = np.ones(len(of))
    if not check.is_of_line or bus_state(measured) is BusState.SOUND:
        return factors
    state = bus_state(measured)
    for column, hypothesis in enumerate(of):
        states = _BUS_STATES.get(hypothesis.mode)
        if states is not None:
            factors[column] = 1.0 if state in states else _OTHER_BUS_STATE
        else:
            factors[column] = 0.5
    return factors


def _tells(circuit: Circuit, hypothesis: Hypothesis) -> Iterator[tuple[CheckKind, str, float]]:
    """Yield each check that a fault would turn bad, with the chance that it does."""
    yield from _tells_at_node(circuit, hypothesis)
    yield from _tells_by_voltage(circuit, hypothesis)
    name, mode = hypothesis.node, hypothesis.mode
    assert name is not None
    if mode not in (_SHORT, _OVERLOAD):
        return
    for above in (name, *circuit.upstream(name)):
        lamp = _LAMP_GOES_OUT[mode] * (0.7 if above == name and circuit.feeds(name) else 1.0)
        yield CheckKind.UNPLUG, above, _caught(lamp, CheckKind.UNPLUG, hypothesis)
    for fuse in circuit.first_fuses_above(name):
        # the fuse stays blown, whether the fault is there now or not
        yield CheckKind.CONTINUITY, fuse, BLOWN_FUSE[mode]
        yield CheckKind.LOOK, fuse, BLOWN_FUSE[mode]


def _tells_at_node(circuit: Circuit, hypothesis: Hypothesis) -> Iterator[tuple[CheckKind, str, float]]:
    name, mode = hypothesis.node, hypothesis.mode
    assert name is not None
    wire = ON_ONE_WIRE if hypothesis.branch else 1.0
    for kind, by_mode in (*AT_NODE.items(), (CheckKind.LOOK, LOOK[circuit.node(name).kind])):
        if mode in by_mode:
            yield kind, name, _caught(by_mode[mode] * wire, kind, hypothesis)
    yield CheckKind.WIGGLE, name, wire * (WIGGLE_COMING_AND_GOING if hypothesis.intermittent else WIGGLE_STEADY)


def _tells_by_voltage(circuit: Circuit, hypothesis: Hypothesis) -> Iterator[tuple[CheckKind, str, float]]:
    name, mode = hypothesis.node, hypothesis.mode
    assert name is not None
    kind = circuit.node(name).kind
    if kind in (NodeKind.BATTERY, NodeKind.ALTERNATOR):
        yield CheckKind.VOLTAGE, name, _caught(_OWN_VOLTAGE[mode], CheckKind.VOLTAGE, hypothesis)
    elif (
        mode in (_OPEN, _HIGH, _FAILED)
        and (circuit.feeds(name) and not hypothesis.branch)
        and kind is not NodeKind.CONTROLLER
    ):
        yield CheckKind.VOLTAGE, name, _caught(_NO_VOLTAGE[mode], CheckKind.VOLTAGE, hypothesis)
    for other, reach in reached(circuit, hypothesis):
        if reach is Reach.FEED:
            yield CheckKind.VOLTAGE, other, _caught(_NO_VOLTAGE[mode], CheckKind.VOLTAGE, hypothesis)
        elif reach is Reach.UNDER_BLOWN_FUSE:
            yield CheckKind.VOLTAGE, other, _NO_VOLTAGE[mode]


def _caught(steady: float, kind: CheckKind, hypothesis: Hypothesis) -> float:
    return steady * CAUGHT[kind] if hypothesis.intermittent else steady


def _bus_chance(circuit: Circuit, check: Check, hypothesis: Hypothesis) -> float:
    assert hypothesis.node is not None
    if hypothesis.node not in circuit.on_the_bus_of(check.node) or hypothesis.branch:
        return 0.0
    return _caught(_BUS.get(hypothesis.mode, 0.0), CheckKind.RESISTANCE, hypothesis)
