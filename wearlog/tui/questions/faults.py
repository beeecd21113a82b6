"""Questions of electrical faults: the list, one with its suspects, its trail, diagrams; and entering what was seen and done."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING
from uuid import UUID

from wearlog.errors import NotFoundError, WearlogError
from wearlog.present.words import saved_line

if TYPE_CHECKING:
    from collections.abc import Sequence

    from wearlog.facts.closed_lists import CheckKind
    from wearlog.facts.electrics import Fault, Opened
    from wearlog.facts.farm_settings import FarmSettings
    from wearlog.facts.machines import Machine
    from wearlog.logbook.faults.fault_sentences import CheckEntry, ToldMore
    from wearlog.logbook.faults.faulting import FindingEntry
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.present.faults.drawing_sheet import DrawnNode
    from wearlog.present.faults.fault_page import CasePage
    from wearlog.reckoning.faults.fault_list import FaultLine
    from wearlog.reckoning.faults.fault_log import FaultLog
    from wearlog.tui.door import Door


def faults(door: Door) -> AnswerSheet[FaultLine]:
    """Return every fault, the open ones first, then the latest."""
    from wearlog.present.digits import Measures
    from wearlog.present.faults.fault_sheet import fault_sheet
    from wearlog.reckoning.faults.fault_list import fault_lines

    with door.log.reading() as connection:
        farm = door.farm(connection)
        lines = fault_lines(connection, farm)
    names = {machine.id: machine.name for machine in farm.machines}
    return fault_sheet(lines, names, Measures(farm.settings))


def case(door: Door, fault_id: UUID, without: frozenset[CheckKind] = frozenset()) -> CasePage:
    """Return one fault with its suspects and what to do next."""
    from wearlog.present.digits import Measures
    from wearlog.present.faults.fault_page import case_page
    from wearlog.reckoning.faults.fault_case import advise, fault_case
    from wearlog.reckoning.faults.fault_log import read_fault_log

    with door.log.reading() as connection:
        farm = door.farm(connection)
        log = read_fault_log(connection)
        fault = _of(log, fault_id)
        found = fault_case(log, farm, fault)
    advice = None if fault.closed_at is not None else advise(found, most=1, without=without)
    return case_page(found, advice, Measures(farm.settings))


def checked(
    door: Door,
    fault_id: UUID,
    entry: CheckEntry,
    without: frozenset[CheckKind] = frozenset(),
    at: datetime | None = None,
    sure: frozenset[str] = frozenset(),
) -> tuple[str, CasePage]:
    """Note a check, and return what was saved with the fault as it stands then: the suspects change at once."""
    from wearlog.logbook.faults.checking import note_check

    done = note_check(door.log, _fault(door, fault_id), entry, at=at or door.now(), sure=sure)
    return saved_line(done), case(door, fault_id, without)


def tried(door: Door, fault_id: UUID, tries: Sequence[tuple[str, str]], sure: frozenset[str]) -> str:
    """Note the loads that were tried in one go, each with what it did."""
    from wearlog.logbook.faults.checking import note_tries

    return saved_line(note_tries(door.log, _fault(door, fault_id), tries, at=door.now(), sure=sure))


def told(door: Door, fault_id: UUID, more: ToldMore, sure: frozenset[str]) -> str:
    """Add what was seen and what was asked to an open fault."""
    from wearlog.logbook.faults.faulting import tell_more

    return saved_line(tell_more(door.log, _fault(door, fault_id), more, at=door.now(), sure=sure))


def undone(door: Door, fault_id: UUID, opened: Opened, node: str, note: str) -> str:
    """Keep what was unplugged or taken out and must be put back."""
    from wearlog.logbook.faults.faulting import note_undone

    return saved_line(note_undone(door.log, _fault(door, fault_id), opened, node, note=note, at=door.now()))


def put_back(door: Door, fault_id: UUID, node: str) -> str:
    """Note that it is put back: all of it, or what was undone at one place."""
    from wearlog.logbook.faults.faulting import put_back as put_it_back

    return saved_line(put_it_back(door.log, _fault(door, fault_id), node, at=door.now()))


def people(door: Door) -> tuple[str, ...]:
    """Return the names of those who work on the farm."""
    from wearlog.reckoning.faults.fault_log import read_fault_log

    with door.log.reading() as connection:
        return tuple(sorted(read_fault_log(connection).people.values()))


def closed(door: Door, fault_id: UUID, entry: FindingEntry, at: datetime, sure: frozenset[str]) -> str:
    """Note what a fault was and close it; say how sure the fix is."""
    from wearlog.logbook.faults.faulting import close_fault

    done = close_fault(door.log, _fault(door, fault_id), entry, at=at, sure=sure)
    return saved_line(done)


def _fault(door: Door, fault_id: UUID) -> Fault:
    from wearlog.reckoning.faults.fault_log import read_fault_log

    with door.log.reading() as connection:
        return _of(read_fault_log(connection), fault_id)


def _of(log: FaultLog, fault_id: UUID) -> Fault:
    fault = next((one for one in log.faults if one.id == fault_id), None)
    if fault is None:
        raise NotFoundError("This fault is not in the log any more.")
    return fault


def trail(door: Door, fault_id: UUID) -> tuple[str, ...]:
    """Return the trail of a fault over the seasons in lines, its heading first."""
    from wearlog.present.digits import Measures
    from wearlog.present.faults.fault_trail_sheet import trail_page
    from wearlog.reckoning.faults.fault_log import read_fault_log
    from wearlog.reckoning.faults.fault_trail import trail_of

    with door.log.reading() as connection:
        farm = door.farm(connection)
        log = read_fault_log(connection)
        return trail_page(trail_of(connection, log, farm, _of(log, fault_id)), Measures(farm.settings))


@dataclass(frozen=True, slots=True)
class DeviceStart:
    """Something that can be dead, erratic or working, and the circuit it is on."""

    name: str
    circuit: str


@dataclass(frozen=True, slots=True)
class MachineCircuits:
    """A machine as the form of a fault sees it: its circuits, its devices and its fuses."""

    machine: Machine
    circuits: tuple[str, ...]
    devices: tuple[DeviceStart, ...]
    fuses: tuple[DeviceStart, ...]


@dataclass(frozen=True, slots=True)
class FaultStart:
    """What the form of a fault starts from: the machines, those with a drawing first."""

    machines: tuple[MachineCircuits, ...]
    settings: FarmSettings


def fault_start(door: Door) -> FaultStart:
    """Return every machine with what is drawn of it."""
    from wearlog.facts.closed_lists import NodeKind
    from wearlog.reckoning.faults.fault_log import read_fault_log

    consumers = (NodeKind.DEVICE, NodeKind.SENSOR, NodeKind.CONTROLLER)
    with door.log.reading() as connection:
        farm, log = door.farm(connection), read_fault_log(connection)
    found = []
    for machine in farm.machines:
        nodes = log.machine_nodes(machine.id)
        found.append(
            MachineCircuits(
                machine,
                tuple(sorted({node.circuit for node in nodes})),
                tuple(DeviceStart(node.name, node.circuit) for node in nodes if node.kind in consumers),
                tuple(DeviceStart(node.name, node.circuit) for node in nodes if node.kind is NodeKind.FUSE),
            )
        )
    return FaultStart(tuple(sorted(found, key=lambda one: not one.devices)), farm.settings)


@dataclass(frozen=True, slots=True)
class NewFault:
    """A fault as it was told; `signs` and `conditions` in words."""

    machine: Machine
    title: str
    at: datetime
    circuit: str
    signs: tuple[str, ...]
    conditions: str
    note: str


def save_fault(door: Door, fault: NewFault, sure: frozenset[str]) -> tuple[UUID, str]:
    """Open a fault; return it with what was saved."""
    from wearlog.facts.electrics import Fault
    from wearlog.logbook.faults.faulting import open_fault

    done = open_fault(
        door.log,
        fault.machine,
        fault.title,
        at=fault.at,
        circuit=fault.circuit,
        conditions=fault.conditions,
        signs=fault.signs,
        note=fault.note,
        sure=sure,
    )
    opened = next(fact for fact in done.facts if isinstance(fact, Fault))
    return opened.id, saved_line(done)


@dataclass(frozen=True, slots=True)
class DiagramStart:
    """What is drawn of a machine as text, and the starting diagrams (name, text) that would fit it.

    `others` are the machines of its type; `is_shared` says whether they share a diagram, `differs` what this one has otherwise.
    """

    machine: Machine
    text: str
    starts: tuple[tuple[str, str], ...]
    others: tuple[str, ...] = ()
    is_shared: bool = False
    differs: tuple[str, ...] = ()


def diagram_start(door: Door, machine_id: UUID) -> DiagramStart:
    """Return what the editing of a machine's circuits starts from; the text is empty where nothing is drawn."""
    from wearlog.faults.starting_diagrams import STARTING_DIAGRAMS
    from wearlog.faults.type_diagram import differences, of_one_type
    from wearlog.present.faults.meter_sheet import diagram_text
    from wearlog.reckoning.faults.fault_list import diagram_of
    from wearlog.reckoning.faults.fault_log import read_fault_log

    with door.log.reading() as connection:
        machine = next((one for one in door.farm(connection).machines if one.id == machine_id), None)
        log = read_fault_log(connection)
    if machine is None:
        raise NotFoundError("This machine is not in the log any more.")
    here, others = log.drawn_on(machine.id), of_one_type(machine, log.machines)[1:]
    text = diagram_text(diagram_of(log, machine)) if here.nodes else ""
    fitting = [one for one in STARTING_DIAGRAMS if one.machine_kind is machine.kind] or STARTING_DIAGRAMS
    return DiagramStart(
        machine,
        text,
        tuple((one.name, one.text) for one in fitting),
        tuple(one.name for one in others),
        bool(here.shared or here.hides),
        differences(here),
    )


@dataclass(frozen=True, slots=True)
class DiagramRead:
    """A text read as a circuit: its drawing and what it still lacks; or the line it is wrong at (from 1) and why."""

    drawing: tuple[DrawnNode, ...] = ()
    gaps: tuple[str, ...] = ()
    wrong: str = ""
    wrong_line: int | None = None


def read_diagram(door: Door, text: str) -> DiagramRead:
    """Read a text as a circuit; what is wrong with it is an answer, not an error."""
    from wearlog.faults.diagram_text import parse_diagram
    from wearlog.present.faults.drawing_sheet import drawn_nodes
    from wearlog.present.faults.meter_sheet import gap_lines

    try:
        circuit = parse_diagram(text)
    except WearlogError as error:
        line = re.match(r"Line (\d+)\b", error.message)
        return DiagramRead(wrong=f"{error.message} {error.hint}".strip(), wrong_line=int(line[1]) if line else None)
    return DiagramRead(drawn_nodes(circuit), tuple(gap_lines(circuit)))


def save_diagram(door: Door, machine: Machine, text: str, *, only_here: bool | None = None) -> str:
    """Save the text as what is drawn of a machine, or of all of its type, as one entry."""
    from wearlog.logbook.faults.circuits import bring_in_diagram

    return saved_line(bring_in_diagram(door.log, machine, text, only_here=only_here))


def share_circuits(door: Door, machine: Machine) -> str:
    """Give what is drawn of a machine to all of its type."""
    from wearlog.logbook.faults.circuits import share_diagram

    return saved_line(share_diagram(door.log, machine))


def circuits_as_type(door: Door, machine: Machine) -> str:
    """Draw a machine as its type again."""
    from wearlog.logbook.faults.circuits import take_back_differences

    return saved_line(take_back_differences(door.log, machine))
