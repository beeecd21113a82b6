"""How well each suspect, with its size, explains what was told, what was kept silent, and under which conditions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.errors import DataError
from wearlog.facts.closed_lists import Condition, FaultMode, NodeKind, SignKind
from wearlog.facts.electrics import OthersTried, Told
from wearlog.faults.circuit import Circuit
from wearlog.faults.condition_groups import GROUPS, WORKS_ON, ConditionGroup, cause_chance, group_factor, groups_said
from wearlog.faults.effects import UNKNOWN, FuseState, Status, as_read, first_as_read
from wearlog.faults.not_drawn import silence_alone
from wearlog.faults.signs import (
    FUSE_ERROR_SHARE,
    FUSE_STATE_OF,
    STATUS_OF,
    Observation,
    Sign,
    code_match,
    code_shown,
)
from wearlog.faults.silence import FAILING_TOLD, WORKING_TOLD, first_told_factor, silent_factor
from wearlog.faults.sized_hypotheses import MODES, FaultTable
from wearlog.faults.sized_status import Way, fuse_states, rows_by_way, sort_of, status_of, ways_to

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

#: that a load stays on, and that it does the wrong thing, by what is wrong (common practice, no source)
_STAYS_ON: Final = (0.85, 0.10, 0.002)
_WRONG_THING: Final = (0.60, 0.15, 0.03)
_TOLD_KINDS: Final = frozenset(STATUS_OF)


def told_observations(
    circuit: Circuit, table: FaultTable, signs: Sequence[Sign], error_rate: float
) -> tuple[Observation, ...]:
    """Return one observation for each sign, in their order.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    table : FaultTable
        (h,) suspects.
    signs : sequence of Sign
        What was told or tried.
    error_rate : float
        Share of signs read wrongly, in [0, 1).

    Raises
    ------
    DataError
        For an error rate out of range, or a sign of a load that names no node.
    NotFoundError
        For a sign at a node that is not on the diagram.
    """
    if not 0 <= error_rate < 1:
        raise DataError(f"An error rate of {error_rate:g} cannot be.", "Give a share from 0 to below 1, such as 0.05.")
    return tuple(_observation(circuit, table, sign, error_rate) for sign in signs)


def silence_weights(
    table: FaultTable,
    signs: Sequence[Sign],
    others: OthersTried | None,
    error_rate: float,
    tried: Mapping[str, bool],
) -> tuple[Array, float]:
    """Return how well each suspect explains which loads nobody spoke of, and which one was told first.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    signs : sequence of Sign
        What was told or tried.
    others : OthersTried or None
        What the operator said of the other loads.
    error_rate : float
        Share of signs read wrongly.
    tried : mapping of str to bool
        Loads that were tried as a check, and whether they work.

    Returns
    -------
    (h,) array, float
        The second is of a fault on nothing drawn that takes one load alone. All 1 where no load was told at all: nothing is a
        silence yet.
    """
    silent, failed = _silent(table, signs, tried)
    if failed < 0:
        return np.ones(len(table.hypotheses)), 1.0
    counts, fails = _by_way(table, silent, error_rate)
    factor = np.exp((counts * np.log(silent_factor(fails, FAILING_TOLD[others], WORKING_TOLD))).sum(axis=(1, 2)))
    expected = (counts * fails).sum(axis=(1, 2))
    alone = silence_alone(silent.size, failed, FAILING_TOLD[others], error_rate)
    return np.asarray(factor * first_told_factor(expected[:, None], failed)), alone


def _silent(table: FaultTable, signs: Sequence[Sign], tried: Mapping[str, bool]) -> tuple[Whole, int]:
    """Return the loads that nobody spoke of or tried, and how many fail besides the first; -1 where none was told to fail."""
    spoken = {sign.node: sign for sign in signs if sign.node is not None and sign.kind in _TOLD_KINDS}
    failing = [sign for sign in spoken.values() if sign.kind is not SignKind.WORKING]
    if not any(sign.told is not Told.TRIED for sign in failing):
        return np.empty(0, dtype=np.int64), -1
    tried = {node: works for node, works in tried.items() if node not in spoken}
    is_load, known = table.matrix.is_load, spoken.keys() | tried.keys()
    silent = np.array([i for name, i in table.matrix.index.items() if is_load[i] and name not in known], dtype=np.int64)
    return silent, len(failing) - 1 + sum(not works for works in tried.values())


def _by_way(table: FaultTable, silent: Whole, error_rate: float) -> tuple[Array, Array]:
    """Return (h, ways, sorts) how many silent loads each suspect reaches so, and the chance that such a load fails."""
    sorts = np.array([sort_of(table.matrix.kinds[node]) for node in silent], dtype=np.int64)
    # sizes of one fault reach the same loads
    _, first, back = np.unique(table.cut * len(MODES) + table.mode, return_index=True, return_inverse=True)
    ways = ways_to(table.rows(first), silent)
    counts = np.zeros((len(first), len(Way), 2))
    for way in Way:
        met = ways == way
        for sort in (0, 1):
            counts[:, way, sort] = np.count_nonzero(met[:, sorts == sort], axis=1)
    fails = 1 - rows_by_way(table)[..., Status.WORKING]
    fails[table.node < 0] = 1 - UNKNOWN[Status.WORKING]
    return counts[back], (1 - error_rate) * fails + error_rate / 2


def condition_weights(circuit: Circuit, table: FaultTable, conditions: Sequence[Condition], *, asked: bool) -> Array:
    """Return how well each suspect explains the conditions; words that mean the same count as one.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    table : FaultTable
        (h,) suspects.
    conditions : sequence of Condition
        What was noted.
    asked : bool
        Whether the operator was asked for them: only then a silence is an answer.

    Returns
    -------
    (h,) array
    """
    factors = np.ones(len(table.hypotheses))
    for group in ConditionGroup if asked else groups_said(conditions):
        said = len(GROUPS[group] & set(conditions))
        works = np.array([bool(WORKS_ON[group] & node.marks) for node in circuit.nodes] + [False])[table.node]
        of = len(GROUPS[group]) if asked else said
        for moving in (False, True):
            factor = group_factor(cause_chance(WORKS_ON[group], group, comes_and_goes=moving), said, of)
            factors[works & (table.moving == moving)] *= factor
    return factors


def _observation(circuit: Circuit, table: FaultTable, sign: Sign, error_rate: float) -> Observation:
    node = None if sign.node is None else table.matrix.index[circuit.node(sign.node).name]
    if sign.kind is SignKind.CODE:
        outcomes, seen = _code(table, sign, node), 1
    elif sign.kind in (SignKind.STAYS_ON, SignKind.WRONG_THING):
        outcomes, seen = _odd(table, sign, node), 1
        error_rate *= FUSE_ERROR_SHARE
    elif sign.kind in STATUS_OF:
        outcomes, seen = status_of(table, _named(sign, node)), int(STATUS_OF[sign.kind])
    else:
        outcomes, seen = _fuse(circuit, table, sign), int(FUSE_STATE_OF[sign.kind])
        error_rate *= FUSE_ERROR_SHARE
    if sign.told is Told.FIRST and sign.kind in STATUS_OF and seen != Status.WORKING:
        return Observation(first_as_read(outcomes, error_rate), seen)
    return Observation(as_read(outcomes, error_rate), seen)


def _named(sign: Sign, node: int | None) -> int:
    if node is None:
        raise DataError(f"The sign {sign.kind} names no node.", "Say what is dead, erratic or working.")
    return node


def _odd(table: FaultTable, sign: Sign, node: int | None) -> Array:
    """A load that stays on is fed past its switch; one that does the wrong thing is reversed, or feeds back by its ground."""
    ways = ways_to(table, np.array([_named(sign, node)]))[:, 0]
    likely, possible, otherwise = _STAYS_ON if sign.kind is SignKind.STAYS_ON else _WRONG_THING
    shown = np.full(len(table.hypotheses), otherwise)
    if sign.kind is SignKind.STAYS_ON:
        stuck = table.is_mode(FaultMode.FAILED_DEVICE) & table.of_kind(NodeKind.RELAY, NodeKind.SWITCH)
        shown[stuck & (ways == Way.FEED)] = possible
        shown[table.is_mode(FaultMode.SHORT_TO_POWER) & (ways == Way.FEED)] = likely
    else:
        shown[ways == Way.GROUND] = possible
        upstream = table.feed_cut[table.cut, node] | (table.node == node)
        shown[table.is_mode(FaultMode.REVERSED) & upstream] = likely
    shown[table.node < 0] = possible
    return np.column_stack((1 - shown, shown))


def _fuse(circuit: Circuit, table: FaultTable, sign: Sign) -> Array:
    fuses = [i for i, kind in enumerate(table.matrix.kinds) if kind is NodeKind.FUSE]
    if sign.node is not None:
        node = table.matrix.index[sign.node]
        fuses = [node] if node in fuses else list(table.matrix.fuses_above[node])
    if not fuses:
        return np.full((len(table.hypotheses), len(FuseState)), 1 / len(FuseState))
    # "the fuse" of somebody who names none is the one that the fault would blow: the least whole
    rows = np.stack([fuse_states(table, fuse) for fuse in fuses], axis=1)
    worst = rows[:, :, FuseState.WHOLE].argmin(axis=1)
    return np.asarray(rows[np.arange(len(rows)), worst])


def _code(table: FaultTable, sign: Sign, node: int | None) -> Array:
    touched = np.ones(len(table.hypotheses)) if node is None else 1 - status_of(table, node)[:, Status.WORKING]
    match = np.array([code_match(hypothesis, sign.fmi) for hypothesis in table.hypotheses])
    shown = code_shown(touched, match)
    return np.column_stack((1 - shown, shown))
