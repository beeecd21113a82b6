"""One fault as the maths takes it in: signs, checks with their readings, visits, what was asked and known. Weighs nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from math import inf
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import CheckKind, CheckVerdict, FaultMode, FixEvidence, NodeKind
from wearlog.facts.electrics import Answer, Fault, FaultCheck, FaultVisit, Supplied
from wearlog.faults.battery_reading import NOTHING_AT_BATTERY
from wearlog.faults.checks import Check, checks_for
from wearlog.faults.circuit import Circuit
from wearlog.faults.circumstances import Circumstances, MeterShown
from wearlog.faults.data_line import Spot
from wearlog.faults.line_halving import opened_check
from wearlog.faults.line_volts import two_volts
from wearlog.faults.measured_text import measured_number
from wearlog.faults.priors import Experience, PastFinding
from wearlog.faults.readings import BUS_OHMS
from wearlog.faults.suspects import Case, Result
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.faults.fault_links import LinkedFaults, signs_of
from wearlog.reckoning.faults.fault_log import FaultLog, engine_hours

#: minutes of a check that nobody offers today, such as one entered by hand long ago
_MINUTES_UNKNOWN = 5.0

#: what a 12 V battery shows with the engine running, where nobody measured it (common practice, no source)
_USUAL_RUNNING_VOLTS: Final = 14.1

#: a machine whose battery ever showed more than this has 24 V
_MORE_THAN_12: Final = 18.0

_MILLION: Final = 1_000_000

_NOWHERE: Final = frozenset({CheckKind.BEYOND, CheckKind.MAKE_HAPPEN})

_UNIT: Final = {
    CheckKind.VOLTAGE: "V",
    CheckKind.VOLTAGE_DROP: "V",
    CheckKind.CONTINUITY: "ohm",
    CheckKind.RESISTANCE: "ohm",
}


def case_of(log: FaultLog, farm: Farm, fault: Fault, circuit: Circuit, linked: LinkedFaults) -> Case:
    """Return the case of a fault on what is drawn of its machine."""
    drawn = {node.name for node in circuit.nodes}
    checks = [(row, log.node_name(row.node_id)) for row in log.checks(fault)]
    at_nodes = [(row, name) for row, name in checks if name in drawn or row.kind in _NOWHERE]
    # what changed nothing when it was exchanged or mended was a repair that did not cure the fault
    tried = tuple(name for row, name in at_nodes if _is_vain_repair(row))
    now = farm.now if fault.closed_at is None else None
    visits = visits_of(fault, log.checks(fault), log.visits(fault), now)
    nominal = nominal_volts(log, fault, circuit)
    results = [_result(log, circuit, row, name, visits, nominal) for row, name in at_nodes if not _is_vain_repair(row)]
    return Case(
        circuit=circuit,
        signs=signs_of(log, fault, circuit),
        conditions=fault.conditions,
        experience=_experience(log, farm, fault, linked),
        results=tuple(_judged_from_battery(circuit, results, nominal)),
        repairs_tried=tried,
        circumstances=Circumstances(
            others_tried=fault.others_tried,
            conditions_asked=fault.conditions_asked,
            worked_on=tuple(node.name for node in circuit.nodes if node.name.casefold() in fault.worked_on.casefold()),
            present=visits.present,
            nominal_volts=nominal,
        ),
    )


def nominal_volts(log: FaultLog, fault: Fault, circuit: Circuit) -> int:
    """Return 24 for a machine whose battery is called so on the diagram or ever showed more than 18 V, else 12."""
    batteries = {node.name for node in circuit.nodes if node.kind is NodeKind.BATTERY}
    if any("24 v" in f"{node.name} {node.place}".casefold() for node in circuit.nodes if node.name in batteries):
        return 24
    for other in (one for one in log.faults if one.machine_id == fault.machine_id):
        for row in log.checks(other):
            own = row.kind is CheckKind.VOLTAGE and log.node_name(row.node_id) in batteries
            shown = (row.battery_micros or 0) / _MILLION
            if max(shown, (_value(row, "V") or 0.0) if own else 0.0) > _MORE_THAN_12:
                return 24
    return 12


def _is_vain_repair(row: FaultCheck) -> bool:
    return row.kind is CheckKind.SWAP and row.verdict is CheckVerdict.GOOD


def _value(row: FaultCheck, unit: str) -> float | None:
    """Return the figure of a reading: as it was stored, else out of the words."""
    if row.over_range:
        return inf if unit == "ohm" else None
    if row.reading_micros is not None and row.reading_unit is not None and row.reading_unit[0] == unit[0].lower():
        # of what was seen while it was moved the worse end is what the fault did
        worse = row.highest_micros if row.kind is CheckKind.VOLTAGE_DROP else row.lowest_micros
        return (row.reading_micros if worse is None else worse) / _MILLION
    value = measured_number(row.measured, unit)
    if value is not None and row.kind is CheckKind.VOLTAGE_DROP:
        return abs(value)
    # a voltage below zero tells of the probes, or of two wires swapped: its verdict counts, its size does not
    return value if value is None or value >= 0 else None


def _result(log: FaultLog, circuit: Circuit, row: FaultCheck, node: str, visits: Visits, nominal: int) -> Result:
    check = _check_made(circuit, row, node, log.node_name(row.second_node_id), nominal)
    unit = _UNIT.get(row.kind)
    value = _value(row, unit) if unit else None
    load_on = {Answer.YES: True, Answer.NO: False}.get(row.load_on) if row.load_on else None
    battery = None if row.battery_micros is None else row.battery_micros / _MILLION
    shown, line_volts = None, None
    if row.kind is CheckKind.VOLTAGE and node and circuit.bus_neighbours(node):
        line_volts = two_volts(row.measured)
        # one wire of a data line alone is no voltage that the battery gives
        value = line_volts[0] if line_volts else value if circuit.fed_by(node) else None
    if value is not None and (check.band is not None or row.kind is not CheckKind.RESISTANCE):
        shown = MeterShown(value=value, battery_volts=battery, load_on=load_on, supplied=row.supplied)
        shown = replace(shown, second=line_volts[1] if line_volts else None)
    return Result(
        check=check,
        verdict=row.verdict,
        measured=value if check.band is not None else None,
        reading=shown,
        visit=visits.of_check.get(row.id, 0),
    )


def _judged_from_battery(circuit: Circuit, results: list[Result], nominal: int) -> Iterator[Result]:
    """Give each voltage the battery's own reading of the same visit and state; with the engine running its usual one."""
    own: dict[tuple[int, Supplied | None], float] = {}
    for result in results:
        reading, visit = result.reading, result.visit
        if reading is None or result.check.kind not in (CheckKind.VOLTAGE, CheckKind.VOLTAGE_DROP):
            yield result
            continue
        is_own = result.check.kind is CheckKind.VOLTAGE and circuit.node(result.check.node).kind is NodeKind.BATTERY
        at_battery = reading.value if is_own else reading.battery_volts
        if at_battery is not None and at_battery < NOTHING_AT_BATTERY:
            at_battery = None
        if at_battery is not None:
            own[visit, reading.supplied] = at_battery
        volts = at_battery or own.get((visit, reading.supplied))
        if volts is None and reading.supplied is Supplied.RUNNING:
            volts = _USUAL_RUNNING_VOLTS * nominal / 12
        yield result if is_own else replace(result, reading=replace(reading, battery_volts=volts))


def _check_made(circuit: Circuit, row: FaultCheck, node: str, second: str, nominal: int) -> Check:
    """Return the check that a line of a checklist was; one that is not offered there today says little, and keeps its words."""
    if row.kind in _NOWHERE:
        return Check(kind=row.kind, node="", minutes=_MINUTES_UNKNOWN, expected=row.expected)
    if row.kind is CheckKind.LAMP:
        fuses = circuit.first_fuses_above(node)
        second = second or (fuses[0] if fuses else node)
    offered = checks_for(circuit, nominal_volts=nominal)
    same = next((check for check in offered if (check.kind, check.node) == (row.kind, node)), None)
    is_plug = circuit.node(node).kind is NodeKind.CONNECTOR
    on_line = bool(circuit.bus_neighbours(node))
    if row.kind is CheckKind.RESISTANCE and on_line and row.place == Spot.OPENED:
        drawn = {node.name for node in circuit.nodes}
        return replace(opened_check(circuit, node), second=second if second in drawn else "")
    if row.kind is CheckKind.RESISTANCE and on_line and row.place in (Spot.IN_HAND, Spot.SOCKET):
        return Check(kind=row.kind, node=node, minutes=_MINUTES_UNKNOWN, band=BUS_OHMS, spot=Spot(row.place))
    if row.kind is CheckKind.RESISTANCE and is_plug and on_line:
        # between the two data wires it is one measurement wherever a plug gives access to it
        same = Check(kind=row.kind, node=node, minutes=_MINUTES_UNKNOWN, band=BUS_OHMS)
    if same is not None and _is_bus(same) and not is_plug and row.expected != same.expected:
        same = None
    return same or Check(kind=row.kind, node=node, minutes=_MINUTES_UNKNOWN, expected=row.expected, second=second)


def _is_bus(check: Check) -> bool:
    return check.kind is CheckKind.RESISTANCE and check.band is not None


def _experience(log: FaultLog, farm: Farm, fault: Fault, linked: LinkedFaults) -> Experience:
    """Return what was known when the fault opened: hours watched and what had been found, on this machine and its sisters."""
    kinds = {machine.id: machine.kind for machine in farm.machines}
    sisters = [
        machine.id
        for machine in farm.machines
        if machine.kind is kinds[fault.machine_id] and machine.id != fault.machine_id and log.machine_nodes(machine.id)
    ]
    return Experience(
        hours=max(0.0, engine_hours(farm, fault.machine_id, fault.opened_at)),
        sister_hours=sum(max(0.0, engine_hours(farm, sister, fault.opened_at)) for sister in sisters),
        findings=tuple(_past_findings(log, fault, linked, frozenset(sisters))),
    )


def _past_findings(
    log: FaultLog, fault: Fault, linked: LinkedFaults, sisters: frozenset[object]
) -> Iterator[PastFinding]:
    """Yield what counts as found before: damage that was seen, and what was inferred here and did not come back since."""
    for earlier in log.faults:
        finding = log.finding(earlier)
        if finding is None or earlier.closed_at is None or earlier.closed_at > fault.opened_at:
            continue
        own = earlier.machine_id == fault.machine_id
        held = own and finding.evidence is FixEvidence.INFERRED and not linked.came_back_by(earlier, fault)
        if finding.evidence is not FixEvidence.SEEN and not held:
            continue
        if not own and earlier.machine_id not in sisters:
            continue
        node = log.nodes.get(finding.node_id) if finding.node_id else None
        mode = finding.mode if node else FaultMode.NOT_FOUND
        yield PastFinding(
            node=node.name if node else None, kind=node.kind if node else None, mode=mode, on_this_machine=own
        )


#: checks further apart belong to two visits, unless somebody said otherwise (common practice, no source)
APART: Final = timedelta(hours=4)


@dataclass(frozen=True, slots=True)
class Visits:
    """Visits by their number from 0.

    Attributes
    ----------
    of_check : mapping of check id to number
    present : mapping of number to Answer
        Of every visit that there is, the one that is now last; None where nobody said whether the fault was there.
    """

    of_check: Mapping[UUID, int]
    present: Mapping[int, Answer | None]


def visits_of(
    fault: Fault, checks: Sequence[FaultCheck], said: Sequence[FaultVisit], now: datetime | None = None
) -> Visits:
    """Return the visits of a fault.

    Parameters
    ----------
    checks, said : sequences
        Its checklist, and what was said of its visits.
    now : datetime or None
        More than four hours after the last check a further visit has begun; None for a fault that is closed.
    """
    rows = sorted(
        [(one.started_at, 0, index, one) for index, one in enumerate(said)]
        + [(one.at or fault.opened_at, 1, one.step, one) for one in checks],
        key=lambda row: row[:3],
    )
    of_check: dict[UUID, int] = {}
    of_visit: dict[UUID, int] = {}
    present: dict[int, Answer | None] = {}
    last: datetime | None = None
    for at, _, _, one in rows:
        if isinstance(one, FaultVisit):
            of_visit[one.id] = len(present)
            present[len(present)] = one.present
        elif one.fault_visit_id in of_visit:
            of_check[one.id] = of_visit[one.fault_visit_id]
        else:
            if last is None or at - last > APART:
                present[len(present)] = None
            of_check[one.id] = len(present) - 1
        last = at
    if not present or (now is not None and last is not None and now - last > APART):
        present[len(present)] = None
    return Visits(of_check, present)
