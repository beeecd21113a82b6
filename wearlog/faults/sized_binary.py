"""Checks that eyes, hands and a lamp decide: the chance that each turns out bad under each suspect. Common practice, no source."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.facts.closed_lists import CheckKind, FaultMode, NodeKind
from wearlog.faults.checks import Check
from wearlog.faults.lamp_check import bright_at_start, bright_when_plugged, out_at_plug
from wearlog.faults.outcomes import (
    AT_NODE,
    BLOWN_FUSE,
    CAUGHT,
    FALSE_ALARM,
    LOOK,
    ON_ONE_WIRE,
    WIGGLE_COMING_AND_GOING,
    WIGGLE_STEADY,
)
from wearlog.faults.sized_hypotheses import FaultTable

Array = NDArray[np.float64]

#: looking beyond the diagram finds so much of what is there; unwrapping a covered run shows nearly all
BEYOND_FINDS: Final = 0.70
UNWRAP_FINDS: Final = 0.90
MADE_TO_HAPPEN: Final = 0.70
_NOT_THERE: Final = 0.01
_SHORTING: Final = (FaultMode.SHORT_TO_GROUND, FaultMode.OVERLOAD)
_REVERSED_LOOK: Final = 0.50
_BATTERY_AT_REST: Final = 0.90


def bad_by_sense(table: FaultTable, check: Check) -> tuple[Array, Array]:
    """Return the chance of a bad outcome with the fault there, and with one that comes and goes away.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    check : Check
        A look, wiggle, swap, lamp and the like; a kind that tells nothing is bad half the time under all.

    Returns
    -------
    two (h,) arrays
        A look and a wiggle find what they find whether the fault shows at the moment or not: their two are equal.
    """
    if check.kind is CheckKind.BEYOND:
        found = np.where(table.node < 0, BEYOND_FINDS, _NOT_THERE)
        return found, found
    if check.kind is CheckKind.MAKE_HAPPEN:
        shown = np.where(table.moving, MADE_TO_HAPPEN, FALSE_ALARM[CheckKind.WIGGLE])
        return shown, shown
    node = table.matrix.index[check.node]
    itself = table.node == node
    wire = np.where(table.wire, ON_ONE_WIRE, 1.0)
    if check.kind is CheckKind.LAMP or (check.kind is CheckKind.UNPLUG and check.second):
        lit = _lamp(table, check, node)
        return lit, lit
    if check.kind is CheckKind.WIGGLE:
        caught = wire * np.where(table.moving, WIGGLE_COMING_AND_GOING, WIGGLE_STEADY)
        bad = np.where(itself, caught, FALSE_ALARM[CheckKind.WIGGLE])
        return bad, bad
    if check.kind in (CheckKind.LOOK, CheckKind.UNWRAP):
        bad = _look(table, check, node, itself, wire)
        return bad, bad
    if check.kind in (CheckKind.SWAP, CheckKind.RESISTANCE):
        return _at_node(table, check.kind, itself, wire)
    if check.kind is CheckKind.VOLTAGE:
        failed = itself & table.is_mode(FaultMode.FAILED_DEVICE)
        bad = np.where(failed, _BATTERY_AT_REST, FALSE_ALARM[CheckKind.VOLTAGE])
        return bad, bad
    half = np.full(len(table.hypotheses), 0.5)
    return half, half


def _lamp(table: FaultTable, check: Check, node: int) -> Array:
    fuse = table.matrix.index[check.second or check.node]
    if node == fuse:
        return bright_at_start(table, fuse)
    if table.matrix.is_load[node]:
        return bright_when_plugged(table, fuse, node)
    return out_at_plug(table, fuse, node)


def _look(table: FaultTable, check: Check, node: int, itself: NDArray[np.bool_], wire: Array) -> Array:
    bad = np.full(len(table.hypotheses), FALSE_ALARM[CheckKind.LOOK])
    for mode, chance in LOOK[table.matrix.kinds[node]].items():
        seen = UNWRAP_FINDS if check.kind is CheckKind.UNWRAP else chance
        caught = seen * wire * np.where(table.moving, CAUGHT[CheckKind.LOOK], 1.0)
        bad = np.where(itself & table.is_mode(mode), caught, bad)
    # what touched a live wire looks as what touched ground
    chafed = LOOK[table.matrix.kinds[node]].get(FaultMode.SHORT_TO_GROUND, FALSE_ALARM[CheckKind.LOOK])
    chafed = UNWRAP_FINDS if check.kind is CheckKind.UNWRAP else chafed
    on_power = itself & table.is_mode(FaultMode.SHORT_TO_POWER)
    bad = np.where(on_power, chafed * np.where(table.moving, CAUGHT[CheckKind.LOOK], 1.0), bad)
    bad = np.where(itself & table.is_mode(FaultMode.REVERSED), _REVERSED_LOOK, bad)
    if table.matrix.kinds[node] is not NodeKind.FUSE:
        return bad
    guards = np.array([node in above for above in table.matrix.fuses_above] + [False])[table.node]
    for mode in _SHORTING:
        bad = np.where(guards & table.is_mode(mode), BLOWN_FUSE[mode], bad)
    return bad


def _at_node(table: FaultTable, kind: CheckKind, itself: NDArray[np.bool_], wire: Array) -> tuple[Array, Array]:
    there = np.full(len(table.hypotheses), FALSE_ALARM[kind])
    for mode, chance in AT_NODE[kind].items():
        there = np.where(itself & table.is_mode(mode), chance * wire, there)
    return there, np.where(table.moving, FALSE_ALARM[kind], there)
