"""Circuits of a machine as nodes and edges, and its electrical faults with their signs, checks and findings."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum, unique
from uuid import UUID

from wearlog.facts.closed_lists import (
    CheckKind,
    CheckVerdict,
    Condition,
    EdgeKind,
    FaultMode,
    FixEvidence,
    NodeKind,
    SignKind,
)
from wearlog.facts.fact import Fact


@unique
class Told(StrEnum):
    """How a sign came to be known: said at once and unasked, said when the fault was told, or found by trying."""

    FIRST = "first"
    SAID = "said"
    TRIED = "tried"


@unique
class Answer(StrEnum):
    """A plain answer to a plain question; what was not asked is not an answer."""

    YES = "yes"
    NO = "no"
    CANNOT_TELL = "cannot_tell"


@unique
class OthersTried(StrEnum):
    """What the operator says of the other loads when a fault is told."""

    ALL_FINE = "all_fine"
    SOME_FAIL = "some_fail"
    NOT_TRIED = "not_tried"


@unique
class Supplied(StrEnum):
    """The state of the machine in which a reading was taken."""

    OFF = "off"
    RESTED = "rested"
    JUST_CHARGED = "just_charged"
    KEY_ON = "key_on"
    CRANKING = "cranking"
    RUNNING = "running"


@unique
class Opened(StrEnum):
    """What was undone on the machine while a fault was looked for, and must be put back."""

    UNPLUGGED = "unplugged"
    FUSE_OUT = "fuse_out"
    LAMP_IN_PLACE = "lamp_in_place"
    BATTERY_LEAD_OFF = "battery_lead_off"
    HEADER_ON_STOPS = "header_on_stops"
    SWITCHED_OFF = "switched_off"
    OTHER = "other"


@unique
class FixKind(StrEnum):
    """What sort of repair a finding got; it says how often such a repair has failed."""

    JOINT_MADE = "joint_made"
    PART_SWAPPED = "part_swapped"
    PROVED_UNDER_LOAD = "proved_under_load"
    OTHER = "other"


@unique
class ReadingUnit(StrEnum):
    """What the figure of an electrical check counts; stored in millionths of it."""

    VOLT = "volt"
    OHM = "ohm"
    AMPERE = "ampere"


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitNode(Fact):
    """A place on a circuit. `rating_milliamperes` is for fuses; the four marks say what makes it likelier to fail.

    What is known of the wire stands in words. A `shared` node is on every machine of the same type, but for those it was cut from.
    """

    machine_id: UUID
    circuit: str
    name: str
    kind: NodeKind
    place: str = ""
    rating_milliamperes: int | None = None
    passes_edge: bool = False
    moves_with_header: bool = False
    near_heat: bool = False
    outside: bool = False
    wire_colour: str = ""
    wire_number: str = ""
    wire_gauge: str = ""
    pins: str = ""
    splice_place: str = ""
    length_millimetres: int | None = None
    photo: str = ""
    shared: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitEdge(Fact):
    """Current flows from one node to the next (feed), back to ground (return), or data runs both ways (bus)."""

    from_node_id: UUID
    to_node_id: UUID
    kind: EdgeKind = EdgeKind.FEED


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitCut(Fact):
    """A node of the shared diagram that this machine does not have."""

    machine_id: UUID
    node_id: UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault(Fact):
    """One episode of an electrical fault, open while `closed_at` is None.

    `conditions_asked` says that the operator was asked for them: only then is silence about one an answer. `worked_on` is what was
    done on the machine since it last ran right.
    """

    machine_id: UUID
    circuit: str = ""
    title: str
    opened_at: datetime
    closed_at: datetime | None = None
    conditions: tuple[Condition, ...] = ()
    note: str = ""
    conditions_asked: bool = False
    others_tried: OthersTried | None = None
    worked_on: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultSign(Fact):
    """What was seen at a node, or a code by the open standard: `spn` (suspect parameter) and `fmi` (failure mode)."""

    fault_id: UUID
    node_id: UUID | None = None
    sign: SignKind
    spn: int | None = None
    fmi: int | None = None
    note: str = ""
    told: Told | None = None
    in_use: Answer | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultVisit(Fact):
    """One stretch of work on a fault; all checks of a visit share whether the fault was there (`present`)."""

    fault_id: UUID
    started_at: datetime
    ended_at: datetime | None = None
    present: Answer | None = None
    person_id: UUID | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultCheck(Fact):
    """One line of the checklist, in the order of `step`, kept for good.

    A reading is in millionths of its unit: the figure, and the lowest and highest seen while it was moved; `over_range` where the
    meter shows no end. `battery_micros` is the battery's own reading in the same state; `second_node_id` the other place of a check
    that has two (the fuse that a lamp stands for).
    """

    fault_id: UUID
    step: int
    node_id: UUID | None = None
    kind: CheckKind
    expected: str = ""
    measured: str = ""
    verdict: CheckVerdict = CheckVerdict.NOT_DONE
    duration_seconds: int | None = None
    at: datetime | None = None
    fault_visit_id: UUID | None = None
    reading_micros: int | None = None
    reading_unit: ReadingUnit | None = None
    lowest_micros: int | None = None
    highest_micros: int | None = None
    over_range: bool = False
    load_on: Answer | None = None
    supplied: Supplied | None = None
    battery_micros: int | None = None
    second_node_id: UUID | None = None
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultFinding(Fact):
    fault_id: UUID
    node_id: UUID | None = None
    mode: FaultMode
    fix: str = ""
    evidence: FixEvidence
    at: datetime
    fix_kind: FixKind | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultOpening(Fact):
    """Something undone on the machine while a fault was looked for; it is still so while `put_back_at` is None."""

    fault_id: UUID
    node_id: UUID | None = None
    opened: Opened
    at: datetime
    put_back_at: datetime | None = None
    note: str = ""
