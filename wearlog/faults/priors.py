"""How likely each fault is before any sign: starting rates, marks, and what was found before (gamma-Poisson). No signs here."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.errors import DataError
from wearlog.facts.closed_lists import FaultMode, NodeKind
from wearlog.faults.circuit import Circuit, Node
from wearlog.faults.hypotheses import Hypothesis, branches
from wearlog.faults.rates import (
    NOT_ON_DIAGRAM_SHARE,
    RATES_PER_10000_HOURS,
    WHOLE_NODE_SHARE,
    intermittent_share,
    mark_factor,
)

Array = NDArray[np.float64]

#: how firm the starting rates are, in faults already seen: of a kind, and of one node among its kind (common practice, no source)
KIND_SHAPE: Final = 2.0
NODE_SHAPE: Final = 0.2
#: a finding on a sister machine counts half; one of another mode on the same node a quarter
SISTER_WEIGHT: Final = 0.5
OTHER_MODE_WEIGHT: Final = 0.25
#: a short with no fuse above it smokes at once, and nobody needs to look for it: this share of them still does
_NO_FUSE_SHARE: Final = 0.1
#: the starting share of faults that are on nothing drawn is worth this many faults
_NOT_ON_DIAGRAM_STRENGTH: Final = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PastFinding:
    """Where an earlier fault was found. `node` None or mode `not_found`: it was on nothing that is drawn."""

    node: str | None
    kind: NodeKind | None
    mode: FaultMode
    on_this_machine: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Experience:
    """What the farm has seen: machine hours watched (of this machine, and of all its sisters together), and what was found."""

    hours: float = 0.0
    sister_hours: float = 0.0
    findings: tuple[PastFinding, ...] = ()

    def __post_init__(self) -> None:
        if not (self.hours >= 0 and self.sister_hours >= 0):
            raise DataError("Hours watched cannot be below zero.", "Check the meter readings of the machine.")

    @property
    def weighted_hours(self) -> float:
        """Hours of this machine, and those of its sisters at their weight."""
        return self.hours + SISTER_WEIGHT * self.sister_hours


NO_EXPERIENCE: Final = Experience()


def gamma_poisson_rate(shape: float, mean: float, events: float, exposure: float) -> float:
    """Return the posterior mean of a rate: gamma prior of that shape and mean, `events` in `exposure`.

    Parameters
    ----------
    shape : float
        Shape of the gamma law, above 0.
    mean : float
        Mean of the gamma law, events per unit of exposure.
    events : float
        Events seen.
    exposure : float
        What they were seen in.

    Notes
    -----
    (shape + events) / (shape / mean + exposure), the conjugate posterior mean (NIST/SEMATECH e-Handbook 8.4.6).
    """
    if mean == 0:
        return 0.0
    return (shape + events) / (shape / mean + exposure)


def priors(circuit: Circuit, of: Sequence[Hypothesis], experience: Experience = NO_EXPERIENCE) -> Array:
    """Return the chance of each hypothesis before any sign.

    Parameters
    ----------
    circuit : Circuit
    of : sequence of Hypothesis
        As `hypotheses(circuit)` gives them.
    experience : Experience, optional

    Returns
    -------
    (len(of),) array
        Adds up to 1.
    """
    return _with_not_on_diagram(prior_weights(circuit, of, experience), of, experience)


def prior_weights(circuit: Circuit, of: Sequence[Hypothesis], experience: Experience = NO_EXPERIENCE) -> Array:
    """Return the rate of each hypothesis per 10,000 h; 0 for "not on this diagram".

    Parameters
    ----------
    circuit : Circuit
    of : sequence of Hypothesis
        (hypotheses,), in the order of the answer.
    experience : Experience, optional

    Returns
    -------
    (hypotheses,) array
        A hypothesis that is one of several sizes has the rate of all of them.
    """
    rates, shares = _Rates(circuit, experience), _Shares(circuit)
    weights = np.zeros(len(of))
    for row, hypothesis in enumerate(of):
        if hypothesis.node is not None:
            weights[row] = rates.of(hypothesis.node, hypothesis.mode) * shares.of(hypothesis)
    return weights


def with_not_on_diagram(weights: Array, experience: Experience = NO_EXPERIENCE) -> Array:
    """Return weights as chances that add up to 1, the last of them what is on nothing drawn.

    Parameters
    ----------
    weights : array of float
        (hypotheses,), the last 0: "not on this diagram".
    experience : Experience, optional
    """
    total, off = float(weights.sum()), _share_not_on_diagram(experience)
    if total <= 0:
        return np.append(np.zeros(weights.size - 1), 1.0)
    return np.append(weights[:-1] * ((1 - off) / total), off)


def _with_not_on_diagram(weights: Array, of: Sequence[Hypothesis], experience: Experience) -> Array:
    elsewhere = np.array([hypothesis.node is None for hypothesis in of])
    total = weights.sum()
    off = _share_not_on_diagram(experience) if total > 0 else 1.0
    return np.where(elsewhere, off / max(elsewhere.sum(), 1), weights * ((1 - off) / total if total > 0 else 0.0))


class _Rates:
    """Rates of nodes per 10,000 h after what was found on them; what the nodes of a kind have in common is summed once.

    Two gamma-Poisson steps: the other nodes of its kind move the rate of the kind; then the node's own findings move its own.
    """

    def __init__(self, circuit: Circuit, experience: Experience) -> None:
        self._nodes = {node.name: node for node in circuit.nodes}
        self._experience = experience
        self._known: dict[tuple[str, FaultMode], float] = {}
        self._exposure: dict[tuple[NodeKind, FaultMode], float] = {}
        self._findings: dict[tuple[NodeKind | None, FaultMode], float] = {}
        for finding in experience.findings:
            key = (finding.kind, finding.mode)
            self._findings[key] = self._findings.get(key, 0.0) + _weight(finding)

    def of(self, name: str, mode: FaultMode) -> float:
        key = (name, mode)
        if key not in self._known:
            self._known[key] = self._rate(self._nodes[name], mode)
        return self._known[key]

    def _rate(self, node: Node, mode: FaultMode) -> float:
        start = RATES_PER_10000_HOURS.get((node.kind, mode), 0.0)
        watched, factor = self._experience.weighted_hours / 10_000, mark_factor(node, mode)
        mine = [finding for finding in self._experience.findings if finding.node == node.name]
        own = sum(_weight(finding) * _bearing(finding, node, mode) for finding in mine)
        here = sum(_weight(finding) for finding in mine if finding.kind is node.kind and finding.mode is mode)
        others = self._findings.get((node.kind, mode), 0.0) - here
        peers = self._exposed(node.kind, mode) - factor
        of_kind = gamma_poisson_rate(KIND_SHAPE, start, others, watched * peers)
        return gamma_poisson_rate(NODE_SHAPE, of_kind * factor, own, watched)

    def _exposed(self, kind: NodeKind, mode: FaultMode) -> float:
        key = (kind, mode)
        if key not in self._exposure:
            self._exposure[key] = sum(mark_factor(node, mode) for node in self._nodes.values() if node.kind is kind)
        return self._exposure[key]


class _Shares:
    """Which share of a node's mode each hypothesis takes: steady or not, the whole node or one wire of it."""

    def __init__(self, circuit: Circuit) -> None:
        self._circuit = circuit
        self._nodes = {node.name: node for node in circuit.nodes}
        self._wires: dict[str, int] = {}
        self._unguarded: dict[str, bool] = {}

    def of(self, hypothesis: Hypothesis) -> float:
        name, mode = hypothesis.node, hypothesis.mode
        assert name is not None
        node = self._nodes[name]
        if name not in self._wires:
            guarded = not self._circuit.fed_by(name) or self._circuit.first_fuses_above(name)
            self._wires[name], self._unguarded[name] = len(branches(self._circuit, node)), not guarded
        moving = intermittent_share(node, mode)
        share = moving if hypothesis.intermittent else 1 - moving
        if mode is FaultMode.SHORT_TO_GROUND and self._unguarded[name]:
            share *= _NO_FUSE_SHARE
        wires = self._wires[name]
        if not wires or mode not in (FaultMode.OPEN, FaultMode.HIGH_RESISTANCE):
            return share
        return share * ((1 - WHOLE_NODE_SHARE) / wires if hypothesis.branch else WHOLE_NODE_SHARE)


def _weight(finding: PastFinding) -> float:
    return 1.0 if finding.on_this_machine else SISTER_WEIGHT


def _bearing(finding: PastFinding, node: Node, mode: FaultMode) -> float:
    if finding.node != node.name:
        return 0.0
    return 1.0 if finding.mode is mode else OTHER_MODE_WEIGHT


def _share_not_on_diagram(experience: Experience) -> float:
    missed = sum(_weight(f) for f in experience.findings if f.node is None or f.mode is FaultMode.NOT_FOUND)
    seen = sum(_weight(f) for f in experience.findings)
    start = _NOT_ON_DIAGRAM_STRENGTH
    return (NOT_ON_DIAGRAM_SHARE * start + missed) / (start + seen)
