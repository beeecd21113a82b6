"""What the operator saw, and how well each fault would explain it. The table of codes is common practice, without a source."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.errors import DataError
from wearlog.facts.closed_lists import Condition, FaultMode, SignKind
from wearlog.facts.electrics import Told
from wearlog.faults.circuit import Circuit
from wearlog.faults.effects import Effects, FuseState, Status
from wearlog.faults.hypotheses import Hypothesis
from wearlog.faults.rates import condition_chance

Array = NDArray[np.float64]

#: share of signs that are read or written down wrongly (common practice, no source)
ERROR_RATE: Final = 0.05
#: a blown fuse is hard to misread: of that error rate, so much falls on fuses
FUSE_ERROR_SHARE: Final = 0.2

STATUS_OF: Final = {
    SignKind.WORKING: Status.WORKING,
    SignKind.DEAD: Status.DEAD,
    SignKind.ERRATIC: Status.ERRATIC,
    # weak, or not doing what it should: neither dead nor working
    SignKind.WEAK: Status.ERRATIC,
    SignKind.STAYS_ON: Status.ERRATIC,
    SignKind.WRONG_THING: Status.ERRATIC,
}
FUSE_STATE_OF: Final = {
    SignKind.FUSE_WHOLE: FuseState.WHOLE,
    SignKind.FUSE_BLEW_AT_ONCE: FuseState.BLEW_AT_ONCE,
    SignKind.FUSE_BLEW_LATER: FuseState.BLEW_LATER,
    SignKind.FUSE_BLEW_ON_MOVEMENT: FuseState.BLEW_ON_MOVEMENT,
}

_OPEN, _SHORT, _HIGH = FaultMode.OPEN, FaultMode.SHORT_TO_GROUND, FaultMode.HIGH_RESISTANCE
_FAILED, _OVERLOAD = FaultMode.FAILED_DEVICE, FaultMode.OVERLOAD

#: failure mode identifier -> how readily each fault brings that code
_POWER: Final = FaultMode.SHORT_TO_POWER
_CODE_MATCH: Final[dict[int, dict[FaultMode, float]]] = {
    2: {_HIGH: 0.5, _OPEN: 0.25, _FAILED: 0.25, _SHORT: 0.15},
    3: {_POWER: 0.6, _OPEN: 0.5, _HIGH: 0.3, _FAILED: 0.2, _SHORT: 0.05},
    4: {_SHORT: 0.6, _OPEN: 0.4, _HIGH: 0.2, _FAILED: 0.2},
    5: {_OPEN: 0.7, _FAILED: 0.5, _HIGH: 0.4, _SHORT: 0.05},
    6: {_SHORT: 0.7, _OVERLOAD: 0.6, _FAILED: 0.2, _OPEN: 0.03},
    8: {_FAILED: 0.4, _HIGH: 0.3, _OPEN: 0.2},
    9: {_HIGH: 0.5, _OPEN: 0.4, _SHORT: 0.4, _POWER: 0.4, _FAILED: 0.3},
    10: {_FAILED: 0.4, _HIGH: 0.3},
    12: {_FAILED: 0.6, _HIGH: 0.2, _OPEN: 0.2},
    19: {_HIGH: 0.5, _OPEN: 0.4, _SHORT: 0.4, _POWER: 0.4, _FAILED: 0.3},
    20: {_FAILED: 0.5, _HIGH: 0.3},
    21: {_FAILED: 0.5, _HIGH: 0.3},
}
_ERRATIC_CODE: Final = 2
_CODE_OTHERWISE: Final = 0.1
_CODE_OUT_OF_THE_BLUE: Final = 0.02
#: these report a reading that is valid: the trouble is real and not in the wiring
_REAL_CONDITION_CODES: Final = frozenset({0, 1, 7, 13, 15, 16, 17, 18})


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """One thing seen: at a node, at the fuse above it, or a code whose FMI names the failure mode.

    How it came to be known (`told`) is no part of what it is: two signs that differ in it alone are equal.
    """

    kind: SignKind
    node: str | None = None
    spn: int | None = None
    fmi: int | None = None
    told: Told | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, eq=False)
class Observation:
    """How likely each hypothesis makes each possible outcome, and which one came.

    Attributes
    ----------
    outcomes : (hypotheses, k) array
        Rows add up to 1. Column 0 is the outcome of a sound circuit.
    seen : int
        The column that was observed.
    """

    outcomes: Array
    seen: int

    def likelihood(self) -> Array:
        """Return the chance of what was seen under each hypothesis."""
        return np.asarray(self.outcomes[:, self.seen])


def observe(
    circuit: Circuit,
    of: Sequence[Hypothesis],
    their_effects: Effects,
    signs: Sequence[Sign],
    error_rate: float = ERROR_RATE,
) -> tuple[Observation, ...]:
    """Return one observation for each sign.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    of : sequence of Hypothesis
        (hypotheses,), in the order of the answer.
    their_effects : Effects
        What each of them does, from `effects`.
    signs : sequence of Sign
        What was seen, one observation each.
    error_rate : float
        Share of signs read wrongly; then any outcome is as likely as another. In [0, 1).

    Raises
    ------
    DataError
        For an error rate out of range, or a dead / erratic / working sign that names no node.
    NotFoundError
        For a sign at a node that is not on the diagram.
    """
    if not 0 <= error_rate < 1:
        raise DataError(f"An error rate of {error_rate:g} cannot be.", "Give a share from 0 to below 1, such as 0.05.")
    return tuple(_observe_one(circuit, of, their_effects, sign, error_rate) for sign in signs)


def condition_likelihood(circuit: Circuit, of: Sequence[Hypothesis], conditions: Sequence[Condition]) -> Array:
    """Return how likely each hypothesis makes the conditions that were noted. What was not noted says nothing.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    of : sequence of Hypothesis
        (hypotheses,), in the order of the answer.
    conditions : sequence of Condition
        What was noted; any number.
    """
    chances = np.ones(len(of))
    for row, hypothesis in enumerate(of):
        node = None if hypothesis.node is None else circuit.node(hypothesis.node)
        for condition in dict.fromkeys(conditions):
            chances[row] *= condition_chance(node, condition, intermittent=hypothesis.intermittent)
    return chances


def _observe_one(
    circuit: Circuit, of: Sequence[Hypothesis], their_effects: Effects, sign: Sign, error_rate: float
) -> Observation:
    if sign.node is not None:
        circuit.node(sign.node)
    if sign.kind is SignKind.CODE:
        outcomes, seen = _code_outcomes(of, their_effects, sign), 1
    elif sign.kind in STATUS_OF:
        if sign.node is None:
            raise DataError(f"The sign {sign.kind} names no node.", "Say what is dead, erratic or working.")
        outcomes = their_effects.status[:, their_effects.nodes.index(sign.node)]
        seen = int(STATUS_OF[sign.kind])
    else:
        outcomes, seen = _fuse_outcomes(circuit, their_effects, sign), int(FUSE_STATE_OF[sign.kind])
        error_rate *= FUSE_ERROR_SHARE
    return Observation((1 - error_rate) * outcomes + error_rate / outcomes.shape[1], seen)


def _fuse_outcomes(circuit: Circuit, their_effects: Effects, sign: Sign) -> Array:
    names = their_effects.fuses
    if sign.node in names:
        picked = [names.index(sign.node)]
    elif sign.node is not None:
        picked = [names.index(name) for name in circuit.first_fuses_above(sign.node)]
    else:
        picked = list(range(len(names)))
    if not picked:
        return np.full((their_effects.status.shape[0], len(FuseState)), 1 / len(FuseState))
    # "the fuse" of somebody who names none is the one that the fault would blow: the least whole
    rows = their_effects.fuse_state[:, picked]
    worst = rows[:, :, FuseState.WHOLE].argmin(axis=1)
    return np.asarray(rows[np.arange(len(rows)), worst])


def _code_outcomes(of: Sequence[Hypothesis], their_effects: Effects, sign: Sign) -> Array:
    if sign.node is None:
        touched = np.ones(len(of))
    else:
        touched = 1 - their_effects.status[:, their_effects.nodes.index(sign.node), Status.WORKING]
    match = np.array([code_match(hypothesis, sign.fmi) for hypothesis in of])
    shown = code_shown(touched, match)
    return np.column_stack((1 - shown, shown))


def code_shown(touched: Array, match: Array) -> Array:
    """Return the chance that a code shows, from whether the fault touches its node and how readily its mode brings it.

    Parameters
    ----------
    touched : array
        Whether (0 or 1) each fault touches the node of the code.
    match : array
        How readily its mode brings that code, 0 to 1, of the same shape.
    """
    return np.asarray(_CODE_OUT_OF_THE_BLUE + (1 - _CODE_OUT_OF_THE_BLUE) * touched * match)


def code_match(hypothesis: Hypothesis, fmi: int | None) -> float:
    """Return how readily a fault brings a code with that failure mode identifier.

    Parameters
    ----------
    hypothesis : Hypothesis
    fmi : int or None
        Failure mode identifier of J1939-73; None where the code was read without.
    """
    if hypothesis.mode is FaultMode.NOT_FOUND:
        return 0.5 if fmi in _REAL_CONDITION_CODES else 0.2
    readily = _CODE_MATCH.get(fmi, {}).get(hypothesis.mode, _CODE_OTHERWISE) if fmi is not None else _CODE_OTHERWISE
    # "erratic" is what the standard calls a fault that comes and goes
    return min(1.0, 2 * readily) if fmi == _ERRATIC_CODE and hypothesis.intermittent else readily
