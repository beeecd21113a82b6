"""How likely each suspect makes each outcome of a check, and a reading of a certain size. Arrays; chooses nothing.

Every answer comes twice: with the fault there at the moment, and with one that comes and goes away. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.facts.closed_lists import CheckKind, FaultMode, NodeKind
from wearlog.facts.electrics import Supplied
from wearlog.faults.both_ways import Both as Both
from wearlog.faults.checks import Check
from wearlog.faults.circumstances import MeterShown
from wearlog.faults.data_line import LineClass, LineFault, Spot, line_chances, line_class
from wearlog.faults.effects import as_read
from wearlog.faults.line_halving import is_opened, opened_outcomes
from wearlog.faults.line_volts import VoltsClass, volts_chance, volts_class
from wearlog.faults.reading_mass import (
    SLIP_SHARE,
    Seen,
    chance_across,
    chance_at_point,
    reading_across,
    reading_at_point,
)
from wearlog.faults.readings import drop_limit
from wearlog.faults.severity import Variant
from wearlog.faults.signs import ERROR_RATE
from wearlog.faults.sized_binary import bad_by_sense
from wearlog.faults.sized_hypotheses import VARIANTS, FaultTable
from wearlog.faults.sized_status import status_of, statuses_of
from wearlog.faults.sized_supply import likelihood_of_supply
from wearlog.faults.sized_views import (
    PART_MIX,
    POINT_MIX,
    PartView,
    PointView,
    views_across_parts,
    views_from_points,
)

Array = NDArray[np.float64]
Views = NDArray[np.int8]
Mask = NDArray[np.bool_]

#: outcomes of one check at most
MOST_OUTCOMES: Final = 5
#: a point shows: good, a little low, low, nothing; lost volts at the edges, and the volts that count as nothing
_LITTLE_LOST: Final = 0.5
_MUCH_LOST: Final = 1.0
_NOTHING_BELOW: Final = 0.3
#: ohms from end to end with the supply off: sound, high, very high, open
_CONTINUITY_EDGES: Final = (1.0, 50.0, 1e6)
_CONTINUITY: Final[dict[str, tuple[float, float, float, float]]] = {
    "sound": (0.97, 0.02, 0.005, 0.005),
    "mild": (0.93, 0.06, 0.005, 0.005),
    "medium": (0.60, 0.37, 0.02, 0.01),
    "severe": (0.15, 0.68, 0.15, 0.02),
    "open": (0.03, 0.01, 0.02, 0.94),
    "blown": (0.07, 0.005, 0.005, 0.92),
}
#: with all off: a switch or relay that failed is stuck closed, and what is not drawn feeds the place (common practice, no source)
_STUCK_CLOSED: Final = 0.5
_NOT_DRAWN_LIVE: Final = 0.1
_ALL_OFF: Final = (Seen.SOUND, Seen.NOTHING)
_POINT_KEPT_AWAY: Final = (PointView.UNDER_SHORT, PointView.UNDER_OVERLOAD)
#: classes of the data line in the order of outcomes: sound first
_LINE_OUTCOMES: Final = (
    (LineClass.SOUND, LineClass.LEADS),
    (LineClass.SHORTED,),
    (LineClass.RESISTANCE,),
    (LineClass.ONE_END,),
    (LineClass.TWO_FAULTS, LineClass.THIRD_END, LineClass.NO_END, LineClass.OVER_RANGE),
)
#: a terminator by itself, and its empty socket: 120 ohm is sound
_END_OUTCOMES: Final = (
    (LineClass.ONE_END,),
    (LineClass.SHORTED,),
    (LineClass.SOUND, LineClass.LEADS, LineClass.RESISTANCE),
    (LineClass.TWO_FAULTS, LineClass.THIRD_END, LineClass.NO_END, LineClass.OVER_RANGE),
)


def outcomes_of(table: FaultTable, check: Check, battery_volts: float) -> Both:
    """Return the chances of each outcome of a check.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    check : Check
        What would be done.
    battery_volts : float
        What the battery shows.

    Returns
    -------
    Both of (h, outcomes) arrays
        Column 0 is what a sound circuit shows; rows add up to 1.
    """
    if check.kind is CheckKind.TRY_IT:
        status = as_read(status_of(table, table.matrix.index[check.node]), ERROR_RATE)
        return Both(status, status)
    if is_opened(check):
        return opened_outcomes(table, check)
    if check.is_of_line:
        classes = _line(table, check)
        groups = _LINE_OUTCOMES if check.spot is Spot.PLUG else _END_OUTCOMES
        columns = [sum(classes[:, _CLASS_INDEX[cls]] for cls in group) for group in groups]
        return _away_as_sound(table, np.column_stack(columns))
    if check.kind is CheckKind.CONTINUITY:
        return _continuity(table, check)
    if check.kind is CheckKind.VOLTAGE and not _is_source(table, check):
        return _by_view(table, check, point_outcomes(battery_volts))
    if check.kind is CheckKind.VOLTAGE_DROP:
        return _by_view(table, check, part_outcomes(battery_volts, limit_of(table, check)))
    there, away = bad_by_sense(table, check)
    return Both(*(np.column_stack((1 - bad, bad)) for bad in (there, away)))


def outcomes_of_all(table: FaultTable, checks: Sequence[Check], battery_volts: float) -> Iterator[Both]:
    """Yield the chances of each outcome of many checks, as `outcomes_of` gives them one by one.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    checks : sequence of Check
        What could be done.
    battery_volts : float
        What the battery shows.
    """
    nodes = {
        kind: np.array([table.matrix.index[c.node] for c in checks if c.kind is kind], dtype=np.int64)
        for kind in (CheckKind.TRY_IT, CheckKind.VOLTAGE, CheckKind.VOLTAGE_DROP)
    }
    columns = dict.fromkeys(nodes, 0)
    status = as_read(statuses_of(table, nodes[CheckKind.TRY_IT]), ERROR_RATE)
    views = {
        CheckKind.VOLTAGE: views_from_points(table, nodes[CheckKind.VOLTAGE]),
        CheckKind.VOLTAGE_DROP: views_across_parts(table, nodes[CheckKind.VOLTAGE_DROP]),
    }
    at_point = point_outcomes(battery_volts)
    limits = {limit: part_outcomes(battery_volts, limit) for limit in {limit_of(table, c) for c in checks if c.node}}
    for check in checks:
        column = columns.get(check.kind, -1)
        columns[check.kind] = column + 1
        if check.kind is CheckKind.TRY_IT:
            yield Both(status[:, column], status[:, column])
        elif check.kind in views and not (check.kind is CheckKind.VOLTAGE and _is_source(table, check)):
            is_point = check.kind is CheckKind.VOLTAGE
            by_view = at_point if is_point else limits[limit_of(table, check)]
            seen = views[check.kind][:, column]
            yield Both(by_view[seen], by_view[_away(table, seen, at_point=is_point)])
        else:
            yield outcomes_of(table, check, battery_volts)


def likelihood_of_reading(table: FaultTable, check: Check, reading: MeterShown, battery_volts: float) -> Both | None:
    """Return how likely each suspect makes a reading of that size; None for a check that no such number decides.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    check : Check
        What was done.
    reading : MeterShown
        What the meter showed.
    battery_volts : float
        The battery's own reading in the same state; stands in where the reading names none.
    """
    if is_opened(check):
        return None
    if check.is_of_line:
        return _away_as_sound(table, _line(table, check)[:, _CLASS_INDEX[line_class(reading.value)]])
    if check.kind is CheckKind.CONTINUITY:
        column = int(np.searchsorted(_CONTINUITY_EDGES, reading.value))
        both = _continuity(table, check)
        return Both(both.there[:, column], both.away[:, column])
    if check.kind is CheckKind.VOLTAGE and reading.second is not None:
        return _away_as_sound(table, _line_volts(table, check, volts_class(reading.value, reading.second)))
    supply = reading.battery_volts or battery_volts
    if check.kind is CheckKind.VOLTAGE:
        if _is_source(table, check):
            return likelihood_of_supply(
                table, reading, 24 if supply > 18 else 12, at_alternator=_is_alternator(table, check)
            )
        if reading.supplied is Supplied.OFF and (past := _past_switches(table, check)) is not None:
            lit, dark = (reading_at_point(seen, reading.value, supply, load_on=False) for seen in _ALL_OFF)
            return Both(past * lit + (1 - past) * dark, np.where(table.moving, dark, past * lit + (1 - past) * dark))
        load_on = reading.load_on is not False
        by_seen = {seen: reading_at_point(seen, reading.value, supply, load_on=load_on) for seen in _POINT_SEEN}
        return _by_view(table, check, np.array([_mix(mix, by_seen) for mix in POINT_MIX.values()]))
    if check.kind is CheckKind.VOLTAGE_DROP and reading.load_on is not False:
        limit = limit_of(table, check)
        by_seen = {seen: reading_across(seen, reading.value, supply, limit) for seen in _PART_SEEN}
        return _by_view(table, check, np.array([_mix(mix, by_seen) for mix in PART_MIX.values()]))
    return None


def point_outcomes(battery_volts: float) -> Array:
    """Return (point views, 4): chances of good, a little low, low and nothing.

    Parameters
    ----------
    battery_volts : float
        What the battery shows.
    """
    edges = (battery_volts * 1.1, battery_volts - _LITTLE_LOST, battery_volts - _MUCH_LOST, _NOTHING_BELOW, 0.0)
    by_seen = {
        seen: np.array([chance_at_point(seen, low, high, battery_volts) for high, low in pairwise(edges)])
        for seen in _POINT_SEEN
    }
    widths = np.array([high - low for high, low in pairwise(edges)])
    return np.array([_slipped(_mix(mix, by_seen), widths) for mix in POINT_MIX.values()])


def part_outcomes(battery_volts: float, limit: float) -> Array:
    """Return (part views, 4): chances of within the limit, up to 1 V, more, and the whole supply.

    Parameters
    ----------
    battery_volts : float
        What the battery shows.
    limit : float
        What a sound part of that kind takes at most, volts.
    """
    edges = (0.0, limit, 1.0, battery_volts - 1.0, battery_volts * 1.1)
    by_seen = {
        seen: np.array([chance_across(seen, low, high, battery_volts, limit) for low, high in pairwise(edges)])
        for seen in _PART_SEEN
    }
    widths = np.diff(np.array(edges))
    return np.array([_slipped(_mix(mix, by_seen), widths) for mix in PART_MIX.values()])


def limit_of(table: FaultTable, check: Check) -> float:
    """Return what a sound part takes at most, volts.

    Parameters
    ----------
    table : FaultTable
    check : Check
    """
    return drop_limit(table.matrix.kinds[table.matrix.index[check.node]]).high


def _mix(mix: Mapping[Seen, float], by_seen: Mapping[Seen, Array | float]) -> Array:
    return np.asarray(sum(share * np.asarray(by_seen[seen]) for seen, share in mix.items()))


def _slipped(chances: Array, widths: Array) -> Array:
    return np.asarray((1 - SLIP_SHARE) * chances / chances.sum() + SLIP_SHARE * widths / widths.sum())


def _past_switches(table: FaultTable, check: Check) -> Array | None:
    """Return (h,): the chance that a place is live though all is switched off; None where no switch stands above it."""
    matrix, node = table.matrix, table.matrix.index[check.node]
    switches = matrix.below[:, node] & matrix.of_kind((NodeKind.SWITCH, NodeKind.RELAY))
    # one with no fuse above it is the battery's own, which may stay on
    above = np.array([place for place in np.flatnonzero(switches) if matrix.fuses_above[place]], dtype=np.int64)
    if not above.size:
        return None
    drawn = table.node >= 0
    under: Mask = np.asarray(matrix.below[above].any(axis=0), dtype=bool)
    stuck = table.is_mode(FaultMode.FAILED_DEVICE) & np.isin(table.node, above)
    on_power = table.is_mode(FaultMode.SHORT_TO_POWER) & under[table.node] & drawn
    chance = np.where(on_power, 1.0, np.where(stuck, _STUCK_CLOSED, 0.0))
    return np.where(drawn, chance, _NOT_DRAWN_LIVE)


def _by_view(table: FaultTable, check: Check, by_view: Array) -> Both:
    node = np.array([table.matrix.index[check.node]])
    at_point = check.kind is CheckKind.VOLTAGE
    views = (views_from_points if at_point else views_across_parts)(table, node)[:, 0]
    return Both(by_view[views], by_view[_away(table, views, at_point=at_point)])


def _away(table: FaultTable, views: Views, *, at_point: bool) -> Views:
    """Return the views while a fault that comes and goes is away: as sound, but a fuse that blew stays blown."""
    blown = table.is_mode(FaultMode.SHORT_TO_GROUND, FaultMode.OVERLOAD)
    stays = np.isin(views, _POINT_KEPT_AWAY) if at_point else blown
    return np.where(table.moving & ~stays, np.int8(0), views)


def _away_as_sound(table: FaultTable, there: Array) -> Both:
    """Away a fault reads as one that is nowhere: as the last row, "not on this diagram"."""
    moving = table.moving.reshape((-1,) + (1,) * (there.ndim - 1))
    return Both(there, np.where(moving, there[-1], there))


def _continuity(table: FaultTable, check: Check) -> Both:
    node = table.matrix.index[check.node]
    there = np.tile(np.array(_CONTINUITY["sound"]), (len(table.hypotheses), 1))
    itself = table.node == node
    for variant in (Variant.MILD, Variant.MEDIUM, Variant.SEVERE):
        there[itself & (table.variant == VARIANTS.index(variant))] = _CONTINUITY[variant.value]
    there[itself & table.is_mode(FaultMode.OPEN)] = _CONTINUITY["open"]
    one_wire = itself & table.wire
    there[one_wire] = 0.75 * there[one_wire] + 0.25 * np.array(_CONTINUITY["sound"])
    away = np.where(table.moving[:, None], np.array(_CONTINUITY["sound"]), there)
    guards = np.array([node in above for above in table.matrix.fuses_above] + [False])[table.node]
    blown = guards & table.is_mode(FaultMode.SHORT_TO_GROUND, FaultMode.OVERLOAD)
    there[blown], away[blown] = _CONTINUITY["blown"], _CONTINUITY["blown"]
    return Both(there, away)


def _line_volts(table: FaultTable, check: Check, shown: VoltsClass) -> Array:
    """Return (h,): the chance of what the two data wires show."""
    node = table.matrix.index[check.node]
    on_line = (table.node >= 0) & (table.matrix.line[table.node] == table.matrix.line[node])
    chances = np.array([volts_chance(fault, shown) for fault in _FAULTS])[_line_faults(table, check)]
    return np.where(on_line & table.is_mode(FaultMode.SHORT_TO_POWER), volts_chance(None, shown), chances)


def _line(table: FaultTable, check: Check) -> Array:
    """Return (h, classes): the chance of each class of ohms between the two data wires."""
    return np.asarray(_LINE_TABLE[_HELD.index(check.spot)][_line_faults(table, check)])


def _line_faults(table: FaultTable, check: Check) -> NDArray[np.int64]:
    """Return (h,): what each suspect is to the line, as its number among the faults of a line."""
    node = table.matrix.index[check.node]
    on_line = (table.node >= 0) & (table.matrix.line[table.node] == table.matrix.line[node]) & ~table.wire
    fault = np.full(len(table.hypotheses), _FAULTS.index(LineFault.ELSEWHERE))
    fault[on_line & table.is_mode(FaultMode.OPEN)] = _FAULTS.index(LineFault.OPEN)
    fault[on_line & table.is_mode(FaultMode.HIGH_RESISTANCE)] = _FAULTS.index(LineFault.RESISTANCE)
    fault[on_line & table.is_mode(FaultMode.SHORT_TO_GROUND)] = _FAULTS.index(LineFault.SHORT)
    if table.matrix.kinds[node] is NodeKind.TERMINATOR:
        fault[on_line & table.is_mode(FaultMode.OPEN) & (table.node == node)] = _FAULTS.index(LineFault.THIS_END)
    return fault


def _is_source(table: FaultTable, check: Check) -> bool:
    return table.matrix.kinds[table.matrix.index[check.node]] is NodeKind.BATTERY or _is_alternator(table, check)


def _is_alternator(table: FaultTable, check: Check) -> bool:
    return table.matrix.kinds[table.matrix.index[check.node]] is NodeKind.ALTERNATOR


_FAULTS: Final = tuple(LineFault)
_CLASS_INDEX: Final = {cls: number for number, cls in enumerate(LineClass)}
_HELD: Final = (Spot.PLUG, Spot.IN_HAND, Spot.SOCKET)
_LINE_TABLE: Final = np.array(
    [[[line_chances(fault, spot)[cls] for cls in LineClass] for fault in LineFault] for spot in _HELD]
)
_POINT_SEEN: Final = (Seen.SOUND, Seen.NOTHING, Seen.MILD, Seen.MEDIUM, Seen.SEVERE)
_PART_SEEN: Final = (Seen.AGED, Seen.NO_CURRENT, Seen.WHOLE_SUPPLY, Seen.MILD, Seen.MEDIUM, Seen.SEVERE)
assert [int(view) for view in PointView] == list(range(len(POINT_MIX)))
assert [int(view) for view in PartView] == list(range(len(PART_MIX)))
