"""Noting a check of an electrical fault: its place, what the meter showed in which state, the verdict. One deed each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from math import isinf
from typing import Final

from wearlog.errors import RefusedError, UsageError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, NodeKind
from wearlog.facts.electrics import (
    Answer,
    CircuitNode,
    Fault,
    FaultCheck,
    FaultOpening,
    Opened,
    ReadingUnit,
    Supplied,
)
from wearlog.facts.plain_text import one_line
from wearlog.faults.battery_reading import CHARGING, NOTHING_AT_BATTERY, TOO_LOW_TO_MEASURE, least_cranking_volts
from wearlog.faults.checks import DARK_BELOW, Check, checks_for, is_switched, judge
from wearlog.faults.circuit import Circuit
from wearlog.faults.data_line import LineClass, Spot, line_class
from wearlog.faults.line_halving import opened_check
from wearlog.faults.line_volts import VoltsClass, two_volts, volts_class
from wearlog.faults.measured_text import measured_number, measured_range
from wearlog.faults.readings import BUS_OHMS
from wearlog.faults.sized_offers import EXPECTED_TRY_IT
from wearlog.logbook.checks.doubts import NO_DOUBT_SETTLED
from wearlog.logbook.faults.circuits import circuit_on, nodes_on
from wearlog.logbook.faults.fault_doubts import ask_if_another_voltage, ask_if_told_otherwise, tries_told
from wearlog.logbook.faults.fault_sentences import CheckEntry, check_sentence, tries_sentence
from wearlog.logbook.faults.faulting import open_one
from wearlog.logbook.faults.second_place import second_place
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.said.signs import node_named
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_by_id, find_in_order, settings_of
from wearlog.store.opening import Store

_NOWHERE: Final = frozenset({CheckKind.BEYOND, CheckKind.MAKE_HAPPEN})
_UNITS: Final[dict[CheckKind, ReadingUnit]] = {
    CheckKind.VOLTAGE: ReadingUnit.VOLT,
    CheckKind.VOLTAGE_DROP: ReadingUnit.VOLT,
    CheckKind.CONTINUITY: ReadingUnit.OHM,
    CheckKind.RESISTANCE: ReadingUnit.OHM,
}
_WORD_OF: Final = {ReadingUnit.VOLT: "V", ReadingUnit.OHM: "ohm", ReadingUnit.AMPERE: "A"}
_MILLION: Final = 1_000_000
_WORKS: Final = frozenset({"works", "working"})
#: a battery that shows more is one of 24 V
_MORE_THAN_12: Final = 18.0
#: a charged 12 V battery at rest, where nobody measured it (published)
_CHARGED: Final = 12.6
#: a voltage this many times the battery's own is a slip of range, comma or battery (common practice, no source)
_FAR_MORE: Final = 1.5
#: what stands under supply: ohms read there say nothing
_FED: Final = frozenset({Supplied.KEY_ON, Supplied.CRANKING, Supplied.RUNNING})
#: a fault is noted at night, its first checks were made by day
_NOTED_LATER: Final = timedelta(days=1)


def note_check(
    store: Store, fault: Fault, entry: CheckEntry, *, at: datetime, sure: frozenset[str] = NO_DOUBT_SETTLED
) -> Done:
    """Note a check as the next line of the fault's checklist, with what a sound circuit shows there.

    Raises
    ------
    UsageError
        When neither a verdict is given nor a measured number that a published rule judges, or no place where it needs one.
    RefusedError
        When the fault is closed, or was opened more than a day later.
    DoubtError
        As `fault_doubts` has it, unless it is in `sure`.
    """
    with store.writing() as connection:
        fault = open_one(connection, fault.id)
        if at < fault.opened_at - _NOTED_LATER:
            raise RefusedError("That is more than a day before the fault was opened.", "Look at the time.")
        nodes = nodes_on(connection, fault.machine_id)
        node = _place(nodes, entry)
        circuit = circuit_on(connection, fault.machine_id)
        ask_if_another_voltage(connection, fault, nodes, replace(entry, node=node.name if node else ""), sure)
        made = find_in_order(connection, FaultCheck, "step", fault_id=fault.id)
        name = node.name if node else ""
        nominal = _nominal_volts(nodes, made, entry, node)
        second = second_place(circuit, nodes, entry, name)
        entry = replace(entry, second=second.name) if second is not None else entry
        offered = _offered(circuit, entry, name, nominal)
        check = FaultCheck(
            fault_id=fault.id,
            step=max((one.step for one in made), default=0) + 1,
            node_id=node.id if node else None,
            kind=entry.kind,
            expected=offered.expected if offered else "",
            measured=entry.measured,
            verdict=_verdict(circuit, entry, name, offered, _battery_volts(connection, made, entry), nominal),
            duration_seconds=entry.duration_seconds,
            at=at,
            second_node_id=second.id if second else None,
            place=entry.held,
        )
        check = _with_reading(check, entry)
        names = {one.id: one.name for one in nodes}
        speak = FarmSpeaker(settings_of(connection))
        ask_if_told_otherwise(connection, fault, names, tries_told([check], names, speak), sure)
        undone = _left_undone(connection, fault, check, nodes, at)
        said = check_sentence(speak, fault.title, check.step, entry, name, check.verdict, at)
        return save(store, connection, said, new=[check, *undone])


def note_tries(
    store: Store,
    fault: Fault,
    tries: Sequence[tuple[str, str]],
    *,
    at: datetime,
    sure: frozenset[str] = NO_DOUBT_SETTLED,
) -> Done:
    """Note what was tried from the seat in one go, each load as a line of the checklist: works, or dead, weak, erratic.

    Parameters
    ----------
    tries : sequence of (str, str)
        Each load with what it did; anything but "works" and "working" is bad, and stands as what was seen.

    Raises
    ------
    UsageError, NotFoundError
        When nothing was tried, and for a place that is not drawn.
    RefusedError
        When the fault is closed.
    DoubtError
        For a load that was told otherwise before, unless that is in `sure`.
    """
    if not tries:
        raise UsageError("Nothing was tried.", "Say of one load at least whether it works.")
    with store.writing() as connection:
        fault = open_one(connection, fault.id)
        nodes = nodes_on(connection, fault.machine_id)
        made = find_in_order(connection, FaultCheck, "step", fault_id=fault.id)
        step = max((one.step for one in made), default=0)
        new = []
        for number, (name, did) in enumerate(tries, start=1):
            works = did in _WORKS
            check = FaultCheck(
                fault_id=fault.id,
                step=step + number,
                node_id=node_named(nodes, name).id,
                kind=CheckKind.TRY_IT,
                expected=EXPECTED_TRY_IT,
                measured="" if works else did,
                verdict=CheckVerdict.GOOD if works else CheckVerdict.BAD,
                at=at,
            )
            new.append(check)
        speak, names = FarmSpeaker(settings_of(connection)), {one.id: one.name for one in nodes}
        ask_if_told_otherwise(connection, fault, names, tries_told(new, names, speak), sure)
        return save(store, connection, tries_sentence(speak, fault.title, tries, at), new=new)


def _place(nodes: Sequence[CircuitNode], entry: CheckEntry) -> CircuitNode | None:
    if entry.kind in _NOWHERE:
        return None
    if not entry.node:
        raise UsageError("Where was that?", "Name the place: wearlog faults check 1 look 'header plug' good")
    return node_named(nodes, entry.node)


def _with_reading(check: FaultCheck, entry: CheckEntry) -> FaultCheck:
    unit = _UNITS.get(entry.kind)
    value = measured_number(entry.measured, _WORD_OF[unit]) if unit else None
    if value is not None and entry.kind is CheckKind.VOLTAGE_DROP:
        value = abs(value)
    # below zero is not how much: the words keep it
    if unit is None or value is None or value < 0:
        return check
    ends = measured_range(entry.measured, _WORD_OF[unit])
    endless = isinf(value)
    return replace(
        check,
        reading_micros=None if endless else round(value * _MILLION),
        reading_unit=unit,
        over_range=endless,
        lowest_micros=round(ends[0] * _MILLION) if ends else None,
        highest_micros=round(ends[1] * _MILLION) if ends else None,
        load_on=None if entry.load_on is None else Answer.YES if entry.load_on else Answer.NO,
        supplied=entry.supplied,
        battery_micros=None if entry.battery_volts is None else round(entry.battery_volts * _MILLION),
    )


def _left_undone(
    connection: Connection, fault: Fault, check: FaultCheck, nodes: Sequence[CircuitNode], at: datetime
) -> tuple[FaultOpening, ...]:
    """Return what a check leaves undone, kept once: the first step with a lamp that in the fuse's place, an opened plug itself."""
    place = next((node for node in nodes if node.id == check.node_id), None)
    is_opened = check.kind is CheckKind.RESISTANCE and check.place == Spot.OPENED
    if place is None or not (is_opened or (check.kind is CheckKind.LAMP and place.kind is NodeKind.FUSE)):
        return ()
    left = Opened.UNPLUGGED if is_opened else Opened.LAMP_IN_PLACE
    open_now = (
        one for one in find_in_order(connection, FaultOpening, "at", fault_id=fault.id) if one.put_back_at is None
    )
    if any(one.opened is left and one.node_id == place.id for one in open_now):
        return ()
    return (FaultOpening(fault_id=fault.id, node_id=place.id, opened=left, at=at),)


def _nominal_volts(
    nodes: Sequence[CircuitNode], made: Sequence[FaultCheck], entry: CheckEntry, node: CircuitNode | None
) -> int:
    """Return 24 for a machine whose battery is called so on the diagram, or showed more than 18 V for this fault, else 12."""
    batteries = [one for one in nodes if one.kind is NodeKind.BATTERY]
    if any("24 v" in f"{one.name} {one.place}".casefold() for one in batteries):
        return 24
    of_battery = {one.id for one in batteries}
    own = [row.reading_micros for row in made if row.kind is CheckKind.VOLTAGE and row.node_id in of_battery]
    shown = [(micros or 0) / _MILLION for micros in (*own, *(row.battery_micros for row in made))]
    if entry.kind is CheckKind.VOLTAGE and node in batteries:
        shown.append(measured_number(entry.measured, "V") or 0.0)
    return 24 if max([*shown, entry.battery_volts or 0.0]) > _MORE_THAN_12 else 12


def _offered(circuit: Circuit, entry: CheckEntry, node: str, nominal_volts: int) -> Check | None:
    if entry.kind is CheckKind.RESISTANCE and node and entry.held and circuit.bus_neighbours(node):
        if entry.held == Spot.OPENED:
            return opened_check(circuit, node)
        words = {Spot.IN_HAND: "across its own two pins: 120 ohm", Spot.SOCKET: "in its empty socket: 120 ohm"}
        spot = Spot(entry.held)
        return Check(
            kind=entry.kind, node=node, minutes=5.0, expected=words.get(spot, "60 ohm"), band=BUS_OHMS, spot=spot
        )
    offered = checks_for(circuit, nominal_volts=nominal_volts)
    if entry.kind is CheckKind.RESISTANCE and node and circuit.bus_neighbours(node):
        # between the two data wires it is one measurement wherever a plug gives access to it
        line = next((c for c in offered if c.kind is entry.kind and c.band is BUS_OHMS), None)
        if line is not None and circuit.node(node).kind is NodeKind.CONNECTOR:
            return replace(line, node=node)
    return next((c for c in offered if (c.kind, c.node) == (entry.kind, node)), None)


def _battery_volts(connection: Connection, made: Sequence[FaultCheck], entry: CheckEntry) -> float | None:
    """Return what the battery itself showed in this state: a voltage further on is judged against it."""
    if entry.battery_volts is not None:
        return entry.battery_volts
    for check in reversed(made):
        if check.kind is not CheckKind.VOLTAGE or check.node_id is None or check.supplied is not entry.supplied:
            continue
        if check.battery_micros is not None:
            return check.battery_micros / _MILLION
        node = find_by_id(connection, CircuitNode, check.node_id)
        volts = measured_number(check.measured, "V")
        if node.kind is NodeKind.BATTERY and volts is not None:
            return volts
    return None


def _verdict(
    circuit: Circuit, entry: CheckEntry, node: str, check: Check | None, battery_volts: float | None, nominal_volts: int
) -> CheckVerdict:
    if entry.verdict is not None:
        return entry.verdict
    if entry.kind is CheckKind.VOLTAGE and node and circuit.bus_neighbours(node):
        both = two_volts(entry.measured)
        if both is not None:
            return _of_line_volts(volts_class(*both))
        if not circuit.fed_by(node):
            raise UsageError(
                "A data line has two wires, and one reading alone tells nothing: what is the other?",
                "Give both, to the battery's own - post: --measured 'high 2.7 V, low 2.3 V'",
            )
    if check is not None and check.spot is Spot.OPENED:
        return CheckVerdict.BAD if entry.second else CheckVerdict.GOOD
    if check is None or check.band is None:
        where = f" at {node}" if node else ""
        raise UsageError(f"Was it good or bad{where}?", "Say good, bad, unclear or not-done.")
    measured = measured_number(entry.measured, check.band.unit)
    if measured is None:
        raise UsageError(
            f"'{one_line(entry.measured)}' is no reading in {check.band.unit}.",
            f"Give one like --measured '0.3 {check.band.unit}', or say good, bad or unclear.",
        )
    if entry.kind is CheckKind.VOLTAGE_DROP:
        # the sign tells how the probes lay, no more
        measured = abs(measured)
    elif measured < 0:
        raise UsageError(
            f"'{one_line(entry.measured)}' is below zero: the probes are swapped, or the two wires are at this place.",
            "Black on the battery's own - post, read again. Where it stays below zero, note it as bad.",
        )
    if check.band.unit == "ohm" and entry.supplied in _FED:
        raise UsageError(
            "Ohms are read with everything off: what is fed shows any figure.",
            "Switch off, key out, read again; or say good, bad or unclear.",
        )
    if check.spot is not Spot.PLUG:
        return CheckVerdict.GOOD if line_class(measured) is LineClass.ONE_END else CheckVerdict.BAD
    if entry.kind is CheckKind.VOLTAGE_DROP and entry.load_on is False:
        return CheckVerdict.UNCLEAR
    if entry.kind is CheckKind.VOLTAGE:
        return _of_voltage(circuit, entry, check, measured, battery_volts, nominal_volts)
    return judge(check, measured)


def _of_line_volts(shown: VoltsClass) -> CheckVerdict:
    if shown is VoltsClass.BETWEEN:
        return CheckVerdict.UNCLEAR
    return CheckVerdict.GOOD if shown is VoltsClass.SOUND else CheckVerdict.BAD


def _of_voltage(
    circuit: Circuit, entry: CheckEntry, check: Check, measured: float, battery_volts: float | None, nominal_volts: int
) -> CheckVerdict:
    """Judge the battery by the state it was read in, any other place by what is lost between the battery and it."""
    if circuit.node(check.node).kind in (NodeKind.BATTERY, NodeKind.ALTERNATOR):
        return _of_supply(check, measured, entry.supplied, nominal_volts)
    if entry.supplied is Supplied.OFF and is_switched(circuit, check.node):
        return CheckVerdict.GOOD if measured < DARK_BELOW else CheckVerdict.BAD
    if battery_volts is not None and battery_volts < NOTHING_AT_BATTERY:
        # nothing can be lost on the way from a battery that has nothing
        return CheckVerdict.UNCLEAR
    if battery_volts is not None and measured > _FAR_MORE * battery_volts:
        raise UsageError(
            f"'{one_line(entry.measured)}' is far more than the battery's {battery_volts:g} V.",
            "Look at the range and the comma, and at the battery's own reading; or say good, bad or unclear.",
        )
    if battery_volts is not None:
        return judge(check, measured, supply_volts=battery_volts)
    if entry.supplied in (None, Supplied.RESTED):
        return judge(check, measured, supply_volts=_CHARGED * nominal_volts / 12)
    raise UsageError(
        "What did the battery itself show in that state?",
        "A voltage is judged by what is lost on the way: give --battery 14.1, or good, bad, unclear.",
    )


def _of_supply(check: Check, volts: float, supplied: Supplied | None, nominal_volts: int) -> CheckVerdict:
    times = nominal_volts // 12
    if supplied in (None, Supplied.RESTED, Supplied.OFF):
        return judge(check, volts)
    if supplied is Supplied.JUST_CHARGED:
        return CheckVerdict.UNCLEAR
    if supplied is Supplied.RUNNING:
        good = CHARGING.low * times <= volts <= CHARGING.high * times
    elif supplied is Supplied.CRANKING:
        # without the air's temperature: that of 70 F, where a battery must hold most
        good = volts >= least_cranking_volts(70.0, nominal_volts=12 * times)
    else:
        good = volts >= TOO_LOW_TO_MEASURE * times
    return CheckVerdict.GOOD if good else CheckVerdict.BAD
