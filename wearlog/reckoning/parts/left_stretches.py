"""How long parts ran on that were left in service broken, or were mended: until they broke again, or came off, or until now."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from wearlog.facts.closed_lists import Action, MeterKind, Mode
from wearlog.reckoning.farm import Farm
from wearlog.store.histories import OPEN, code_of


@dataclass(frozen=True, slots=True)
class LeftStretches:
    """What parts of one kind that were left in service so, or mended, ran in all (units of its meter), and how many broke again."""

    stretches: int
    breaks: int
    usage: float


@dataclass(frozen=True, slots=True)
class _Broke:
    at: int
    mode: int
    action: int


def left_stretches(farm: Farm, kind: int, mode: Mode) -> LeftStretches:
    """Return the record of one kind and one mode of failure.

    Mending or a new part ends a stretch without a break; a breakage of the same position that is replaced or left again is one.

    Parameters
    ----------
    kind : int
        Place of the kind in the histories.
    mode : Mode
        How it had failed when it was left.
    """
    return _stretches(farm, kind, Action.LEFT, mode)


def mended_stretches(farm: Farm, kind: int) -> LeftStretches:
    """Return the same of parts that were mended, however they had failed: here whatever breaks again is a break.

    Parameters
    ----------
    kind : int
        Place of the kind in the histories.
    """
    return _stretches(farm, kind, Action.MENDED, None)


def _stretches(farm: Farm, kind: int, action: Action, mode: Mode | None) -> LeftStretches:
    count, breaks, used = 0, 0, 0.0
    for (component, position), events in _by_position(farm, kind).items():
        for place, event in enumerate(events):
            if event.action != code_of(action) or (mode is not None and event.mode != code_of(mode)):
                continue
            end, broke, by_mending = _end(farm, component, position, event.at, events[place + 1 : place + 2])
            broke = broke and (action is Action.MENDED or not by_mending)
            count, breaks = count + 1, breaks + broke
            used += _used(farm, kind, component, event.at, end)
    return LeftStretches(count, breaks, used)


def _by_position(farm: Farm, kind: int) -> dict[tuple[int, int], list[_Broke]]:
    """What broke at each position of the kind, in the order of time, until now."""
    breakages, kind_of = farm.histories.breakages, farm.histories.components.part_kind
    found: dict[tuple[int, int], list[_Broke]] = defaultdict(list)
    rows = zip(
        breakages.component.tolist(),
        breakages.at.tolist(),
        breakages.mode.tolist(),
        breakages.action.tolist(),
        breakages.positions,
        strict=True,
    )
    for component, at, mode, action, positions in rows:
        if kind_of[component] == kind and at <= farm.now_microseconds:
            for position in positions:
                found[component, position].append(_Broke(at, mode, action))
    return found


def _end(farm: Farm, component: int, position: int, since: int, following: list[_Broke]) -> tuple[int, bool, bool]:
    """Return when a stretch that began at `since` was over, whether by breaking, and whether that was mended."""
    fittings = farm.histories.fittings
    mine = (fittings.component == component) & (fittings.position == position)
    off = fittings.removed_at[mine & (fittings.fitted_at < since) & (since < fittings.removed_at)]
    came_off = min([*off[off != OPEN].tolist(), farm.now_microseconds])
    if following and following[0].at <= came_off:
        return following[0].at, True, following[0].action == code_of(Action.MENDED)
    return came_off, False, False


def _used(farm: Farm, kind: int, component: int, start: int, end: int) -> float:
    machine = int(farm.histories.components.machine[component])
    meter = list(MeterKind)[int(farm.histories.part_kinds.meter_kind[kind])]
    return float(farm.lines.usage(meter, [machine], [start], [max(end, start)])[0])
