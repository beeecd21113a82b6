"""One fault as the log tells it: its case on the diagram, who did it, what to check next, and what the last time showed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, FaultMode, FixEvidence, NodeKind, SignKind
from wearlog.facts.electrics import Fault, FaultCheck, FaultFinding
from wearlog.facts.machines import Machine
from wearlog.faults.cautions import Caution, cautions_for, further_cautions
from wearlog.faults.checks import Check, checks_for
from wearlog.faults.circuit import Circuit, Node
from wearlog.faults.measured_text import measured_number
from wearlog.faults.next_check import NextStep, checklist
from wearlog.faults.priors import Experience, PastFinding
from wearlog.faults.suspects import Case, Result, Suspects, suspects_of
from wearlog.faults.two_faults import TwoFaults, two_faults
from wearlog.reckoning.farm.whole_farm import Farm
from wearlog.reckoning.faults.fault_log import FaultLog, LinkedFaults, engine_hours, linked_faults, signs_of

_BLEW = frozenset({SignKind.FUSE_BLEW_AT_ONCE, SignKind.FUSE_BLEW_LATER, SignKind.FUSE_BLEW_ON_MOVEMENT})
#: minutes of a check that nobody offers today, such as one entered by hand long ago
_MINUTES_UNKNOWN = 5.0


@dataclass(frozen=True, slots=True)
class MadeCheck:
    """One line of a checklist as it was made; `minutes` None where nobody noted them."""

    step: int
    kind: CheckKind
    node: str
    expected: str
    measured: str
    verdict: CheckVerdict
    minutes: float | None


@dataclass(frozen=True, slots=True)
class PastTime:
    """An earlier fault of the same trail, with its checklist.

    Attributes
    ----------
    found_at : int or None
        The first step that was bad at the place that was found; None where no check showed it.
    node : str
        Empty where nothing was found.
    """

    fault: Fault
    number: int
    checks: tuple[MadeCheck, ...]
    finding: FaultFinding | None
    node: str
    found_at: int | None


@dataclass(frozen=True, slots=True, eq=False)
class FaultCase:
    """A fault with its suspects.

    Attributes
    ----------
    number : int
        In the list of faults.
    circuit : Circuit
        All that is drawn of the machine.
    checks : tuple of MadeCheck
        Its checklist so far.
    suspects : Suspects
    both : TwoFaults or None
        When no single fault explains what was seen.
    this_time : PastTime
        The fault itself, told like those before it.
    before : tuple of PastTime
        Earlier faults of the same trail, the latest first.
    """

    fault: Fault
    number: int
    machine: Machine
    circuit: Circuit
    suspects: Suspects
    both: TwoFaults | None
    this_time: PastTime
    before: tuple[PastTime, ...]

    @property
    def checks(self) -> tuple[MadeCheck, ...]:
        return self.this_time.checks


@dataclass(frozen=True, slots=True, eq=False)
class Advice:
    """What to do next on a case, in order, what to read before it, and the fuses that blew."""

    case: FaultCase
    steps: tuple[NextStep, ...]
    cautions: tuple[Caution, ...]
    blown: tuple[Node, ...]


def fault_case(log: FaultLog, farm: Farm, fault: Fault) -> FaultCase:
    """Return a fault with its suspects, by what was known when it opened and what was checked since.

    Raises
    ------
    NotFoundError
        When nothing is drawn of the machine.
    DataError
        When what is drawn is no circuit.
    """
    machine = next(one for one in farm.machines if one.id == fault.machine_id)
    circuit = log.circuit(machine.id)
    if not circuit.nodes:
        hint = f"Begin with 'wearlog faults diagram {machine.name} --start header', or draw your own."
        raise NotFoundError(f"Nothing is drawn of {machine.name} yet, so nothing can be suspected.", hint)
    linked = linked_faults(log, farm, machine.id, circuit)
    suspects = suspects_of(_case(log, farm, fault, circuit, linked))
    earlier = [one for one in linked.trail_of(fault) if one.opened_at < fault.opened_at]
    return FaultCase(
        fault=fault,
        number=log.number(fault),
        machine=machine,
        circuit=circuit,
        suspects=suspects,
        both=two_faults(suspects),
        this_time=past_time(log, fault),
        before=tuple(past_time(log, one) for one in reversed(earlier)),
    )


def advise(case: FaultCase, *, most: int = 5, without: frozenset[CheckKind] = frozenset()) -> Advice:
    """Return the next checks or repairs in order, and the cautions that stand before the first.

    Raises
    ------
    RefusedError
        When the fault is closed.

    Notes
    -----
    One stands where the last check was made. Before the first check of a fault all cautions are given, later those that the
    next step adds.
    """
    if case.fault.closed_at is not None:
        raise RefusedError(f"'{case.fault.title}' is closed.", "'wearlog faults open' opens it when it comes back.")
    here = _here(case)
    steps = checklist(case.suspects, most=most, here=here, without=without)
    first = steps[0].check.node if steps[0].check else steps[0].repair
    node = case.circuit.node(first) if first else None
    kind = steps[0].check.kind if steps[0].check else None
    read = further_cautions(node, kind) if case.checks else cautions_for(node, kind)
    return Advice(case, steps, read, blown_fuses(case))


def blown_fuses(case: FaultCase) -> tuple[Node, ...]:
    """Return the fuses that the signs say blew: those named, those above a place named, else those above what is dead."""
    circuit, signs = case.circuit, case.suspects.case.signs
    blew = [sign.node for sign in signs if sign.kind in _BLEW]
    dead = [sign.node for sign in signs if sign.kind is SignKind.DEAD] if None in blew else []
    found: dict[str, None] = {}
    for name in (*blew, *dead):
        if name is not None:
            is_fuse = circuit.node(name).kind is NodeKind.FUSE
            found |= dict.fromkeys((name,) if is_fuse else circuit.first_fuses_above(name))
    return tuple(circuit.node(name) for name in found)


def past_time(log: FaultLog, fault: Fault) -> PastTime:
    """Return the checklist of a fault, and what it led to."""
    checks = tuple(_made(log, row) for row in log.checks(fault))
    finding = log.finding(fault) if fault.closed_at is not None else None
    node = log.node_name(finding.node_id) if finding else ""
    bad = [one.step for one in checks if node and one.node == node and one.verdict is CheckVerdict.BAD]
    return PastTime(fault, log.number(fault), checks, finding, node, bad[0] if bad else None)


def _here(case: FaultCase) -> str | None:
    made = [one.node for one in case.checks if any(node.name == one.node for node in case.circuit.nodes)]
    return case.circuit.node(made[-1]).place if made else None


def _made(log: FaultLog, row: FaultCheck) -> MadeCheck:
    minutes = None if row.duration_seconds is None else row.duration_seconds / 60
    return MadeCheck(row.step, row.kind, log.node_name(row.node_id), row.expected, row.measured, row.verdict, minutes)


def _case(log: FaultLog, farm: Farm, fault: Fault, circuit: Circuit, linked: LinkedFaults) -> Case:
    drawn = {node.name for node in circuit.nodes}
    checks = [(row, log.node_name(row.node_id)) for row in log.checks(fault)]
    at_nodes = [(row, name) for row, name in checks if name in drawn]
    # what changed nothing when it was exchanged or mended was a repair that did not cure the fault
    tried = dict.fromkeys(name for row, name in at_nodes if _is_vain_repair(row))
    return Case(
        circuit=circuit,
        signs=signs_of(log, fault, circuit),
        conditions=fault.conditions,
        experience=_experience(log, farm, fault, linked),
        results=tuple(_result(circuit, row, name) for row, name in at_nodes if not _is_vain_repair(row)),
        repairs_tried=tuple(tried),
    )


def _is_vain_repair(row: FaultCheck) -> bool:
    return row.kind is CheckKind.SWAP and row.verdict is CheckVerdict.GOOD


def _result(circuit: Circuit, row: FaultCheck, node: str) -> Result:
    check = _check_made(circuit, row, node)
    measured = measured_number(row.measured, check.band.unit) if check.band else None
    return Result(check=check, verdict=row.verdict, measured=measured)


def _check_made(circuit: Circuit, row: FaultCheck, node: str) -> Check:
    """Return the check that a line of a checklist was; one that is not offered there today says little, and keeps its words."""
    offered = checks_for(circuit)
    same = next((check for check in offered if (check.kind, check.node) == (row.kind, node)), None)
    is_plug = circuit.node(node).kind is NodeKind.CONNECTOR
    if row.kind is CheckKind.RESISTANCE and is_plug and circuit.bus_neighbours(node):
        # between the two data wires it is one measurement wherever a plug gives access to it
        bus = next(
            (check for check in offered if check.band is not None and check.band.unit == "ohm" and _is_bus(check)), None
        )
        same = Check(kind=row.kind, node=node, minutes=_MINUTES_UNKNOWN, band=bus.band) if bus else same
    if same is not None and _is_bus(same) and not is_plug and row.expected != same.expected:
        same = None
    return same or Check(kind=row.kind, node=node, minutes=_MINUTES_UNKNOWN, expected=row.expected)


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
