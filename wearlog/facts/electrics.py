"""Circuits of a machine as nodes and edges, and its electrical faults with their signs, checks and findings."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.facts.closed_lists import (
    CheckKind,
    Condition,
    EdgeKind,
    FaultMode,
    FixEvidence,
    NodeKind,
    SignKind,
    Verdict,
)
from wearlog.facts.fact import Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitNode(Fact):
    """A place on a circuit. `rating_milliamperes` is for fuses; the four marks say what makes it likelier to fail."""

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


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitEdge(Fact):
    """Current flows from one node to the next (feed), back to ground (return), or data runs both ways (bus)."""

    from_node_id: UUID
    to_node_id: UUID
    kind: EdgeKind = EdgeKind.FEED


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault(Fact):
    """One episode of an electrical fault, open while `closed_at` is None."""

    machine_id: UUID
    circuit: str = ""
    title: str
    opened_at: datetime
    closed_at: datetime | None = None
    conditions: tuple[Condition, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultSign(Fact):
    """What was seen at a node, or a code by the open standard: `spn` (suspect parameter) and `fmi` (failure mode)."""

    fault_id: UUID
    node_id: UUID | None = None
    sign: SignKind
    spn: int | None = None
    fmi: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultCheck(Fact):
    """One line of the checklist, in the order of `step`, kept for good."""

    fault_id: UUID
    step: int
    node_id: UUID | None = None
    kind: CheckKind
    expected: str = ""
    measured: str = ""
    verdict: Verdict = Verdict.NOT_DONE
    duration_seconds: int | None = None
    at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultFinding(Fact):
    fault_id: UUID
    node_id: UUID | None = None
    mode: FaultMode
    fix: str = ""
    evidence: FixEvidence
    at: datetime
