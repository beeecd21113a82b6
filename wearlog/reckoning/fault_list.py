"""Electrical faults as a list: what is open, what was found, how long it has been quiet."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from uuid import UUID

from wearlog.errors import DataError
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.electrics import CircuitNode, Fault, FaultCheck, FaultFinding, FaultSign
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.fault_links import linked_faults
from wearlog.reckoning.fault_log import FaultLog, read_fault_log
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_in_order
from wearlog.store.schema.types import microseconds


@dataclass(frozen=True, slots=True)
class FaultLine:
    """One episode.

    Attributes
    ----------
    number : int
        Its place in the order of opening, counted from 1: how a person calls it.
    finding : FaultFinding or None
        The last finding.
    node : str
        Name of the node it was found at; empty when none was.
    nth, of : int
        For which time this same fault is here, by its trail, and how many times it came in all.
    quiet_seconds : float or None
        Engine time since it was closed; None while it is open.
    """

    number: int
    fault: Fault
    signs: tuple[FaultSign, ...]
    checks: tuple[FaultCheck, ...]
    finding: FaultFinding | None
    node: str
    nth: int
    of: int
    quiet_seconds: float | None


def fault_lines(connection: Connection, farm: Farm) -> tuple[FaultLine, ...]:
    """Return every fault, the open ones first, then the latest."""
    faults = find_in_order(connection, Fault, "opened_at")
    signs: dict[UUID, list[FaultSign]] = defaultdict(list)
    for sign in find_all(connection, FaultSign):
        signs[sign.fault_id].append(sign)
    checks: dict[UUID, list[FaultCheck]] = defaultdict(list)
    for check in find_in_order(connection, FaultCheck, "step"):
        checks[check.fault_id].append(check)
    findings = {finding.fault_id: finding for finding in find_in_order(connection, FaultFinding, "at")}
    names = {node.id: node.name for node in find_all(connection, CircuitNode)}
    times = _times(read_fault_log(connection), farm)
    lines = []
    for number, fault in enumerate(faults, start=1):
        finding = findings.get(fault.id)
        lines.append(
            FaultLine(
                number=number,
                fault=fault,
                signs=tuple(signs[fault.id]),
                checks=tuple(checks[fault.id]),
                finding=finding,
                node=names.get(finding.node_id, "") if finding and finding.node_id else "",
                nth=times[fault.id][0],
                of=times[fault.id][1],
                quiet_seconds=_quiet(farm, fault),
            )
        )
    lines.reverse()
    lines.sort(key=lambda line: line.fault.closed_at is not None)
    return tuple(lines)


def _times(log: FaultLog, farm: Farm) -> dict[UUID, tuple[int, int]]:
    """Return of each fault for which time it is here and how often it came, as its case and its trail count.

    Where what is drawn of a machine is no circuit nothing can be linked: then each fault stands alone, as its case says.
    """
    found = {fault.id: (1, 1) for fault in log.faults}
    several = Counter(fault.machine_id for fault in log.faults)
    for machine_id in (one for one, count in several.items() if count > 1):
        try:
            linked = linked_faults(log, farm, machine_id, log.circuit(machine_id))
        except DataError:
            continue
        for trail in linked.trails:
            for nth, number in enumerate(trail.episodes, start=1):
                found[linked.faults[number].id] = (nth, len(trail.episodes))
    return found


def _quiet(farm: Farm, fault: Fault) -> float | None:
    if fault.closed_at is None:
        return None
    machine = farm.machine_number(fault.machine_id)
    start = [microseconds(fault.closed_at)]
    return float(farm.lines.usage(MeterKind.ENGINE_HOURS, [machine], start, [farm.now_microseconds])[0])
