"""The age of every fitting, read off the meter line of the meter that wears it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wearlog.facts.closed_lists import MeterKind
from wearlog.reckoning.meters import FleetLines
from wearlog.store.histories import OPEN, Bools, Floats, Ints, LogHistories, code_of


@dataclass(frozen=True, slots=True, eq=False)
class FittingAges:
    """One row for each fitting of the histories, in their order.

    Attributes
    ----------
    entry : (n,) float64
        Age when fitted, in seconds or square metres of the kind's meter; NaN where nobody knows.
    exit : (n,) float64
        Age at its removal, or now; NaN where the entry is not known.
    used : (n,) float64
        Usage on this position, known for every fitting.
    on : (n,) bool
        Still fitted.
    machine, meter_kind : (n,) int64
    """

    entry: Floats
    exit: Floats
    used: Floats
    on: Bools
    machine: Ints
    meter_kind: Ints


def fitting_ages(histories: LogHistories, lines: FleetLines, now: int) -> FittingAges:
    """Read the age of every fitting off the meter lines.

    Parameters
    ----------
    now : int
        Microseconds since 1970 UTC. A fitting that is still on is as old as it is now; one fitted later has not begun.
    """
    fittings, components = histories.fittings, histories.components
    machine = components.machine[fittings.component]
    meter_kind = histories.part_kinds.meter_kind[components.part_kind[fittings.component]]
    end = np.minimum(fittings.removed_at, now)
    start = np.minimum(fittings.fitted_at, end)
    used = np.zeros(machine.size)
    for kind in MeterKind:
        worn = meter_kind == code_of(kind)
        used[worn] = lines.usage(kind, machine[worn], start[worn], end[worn])
    return FittingAges(
        entry=fittings.age_when_fitted,
        exit=fittings.age_when_fitted + used,
        used=used,
        on=(fittings.removed_at == OPEN) | (fittings.removed_at > now),
        machine=machine,
        meter_kind=meter_kind,
    )
