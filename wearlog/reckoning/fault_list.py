"""Electrical faults as a list: what is open, what was found, how long it has been quiet."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.electrics import CircuitNode, Fault, FaultCheck, FaultFinding, FaultSign
from wearlog.reckoning.farm import Farm
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
        Which episode of this circuit on this machine it is, and how many there are.
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
    seen: Counter[tuple[UUID, str]] = Counter()
    total = Counter((fault.machine_id, fault.circuit) for fault in faults)
    lines = []
    for number, fault in enumerate(faults, start=1):
        trail = (fault.machine_id, fault.circuit)
        seen[trail] += 1
        finding = findings.get(fault.id)
        lines.append(
            FaultLine(
                number=number,
                fault=fault,
                signs=tuple(signs[fault.id]),
                checks=tuple(checks[fault.id]),
                finding=finding,
                node=names.get(finding.node_id, "") if finding and finding.node_id else "",
                nth=seen[trail],
                of=total[trail],
                quiet_seconds=_quiet(farm, fault),
            )
        )
    lines.reverse()
    lines.sort(key=lambda line: line.fault.closed_at is not None)
    return tuple(lines)


def _quiet(farm: Farm, fault: Fault) -> float | None:
    if fault.closed_at is None:
        return None
    machine = farm.machine_number(fault.machine_id)
    start = [microseconds(fault.closed_at)]
    return float(farm.lines.usage(MeterKind.ENGINE_HOURS, [machine], start, [farm.now_microseconds])[0])
