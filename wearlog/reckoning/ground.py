"""On which ground a machine worked: the run it was on at a moment, and the area it cut on each class of ground."""

from __future__ import annotations

import numpy as np

from wearlog.facts.closed_lists import Ground
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.meters import header_of_runs
from wearlog.store.histories import NONE, Floats, Ints

#: a day: what happens at most so long after a run still belongs to it
RUN_WINDOW = 24 * 3600 * 1_000_000


def run_at(farm: Farm, machine: Ints, at: Ints) -> Ints:
    """Return the run that each machine was on at each instant, or had ended at most a day before; NONE in winter.

    Parameters
    ----------
    machine, at : (n,) int64
        Place of a combine or header in the histories (NONE for no machine), and microseconds since 1970 UTC.
    """
    runs = farm.histories.runs
    best = np.full(at.size, NONE, dtype=np.int64)
    if not runs.start.size:
        return best
    for worked in (runs.combine, header_of_runs(farm.lines, runs.start.size)):
        order = np.lexsort((runs.start, worked))
        ranked = np.lexsort(
            (np.r_[np.zeros(order.size), np.ones(at.size)], np.r_[runs.start[order], at], np.r_[worked[order], machine])
        )
        is_run = ranked < order.size
        seen = np.cumsum(is_run) - 1
        last = np.empty(at.size, dtype=np.int64)
        last[ranked[~is_run] - order.size] = seen[~is_run]
        found = order[np.maximum(last, 0)]
        right = (last >= 0) & (machine != NONE) & (worked[found] == machine) & (at - runs.end[found] < RUN_WINDOW)
        best = np.where((best == NONE) & right, found, best)
    return best


def area_by_ground(farm: Farm, since: Ints, until: int) -> Floats:
    """Return what each machine cut on each class of ground during [since, until).

    Parameters
    ----------
    since : (machines,) int64
        From when on, for each machine.

    Returns
    -------
    (machines, 5) float64
        Square metres by Ground in its order, and last on ground nobody noted.
    """
    runs, stretches = farm.histories.runs, farm.lines.stretches
    machine = np.concatenate((runs.combine, stretches.header))
    run = np.concatenate((np.arange(runs.start.size), stretches.run))
    start = np.concatenate((runs.start, stretches.start))
    end = np.concatenate((runs.end, stretches.end))
    inside = np.maximum(np.minimum(end, until) - np.maximum(start, since[machine]), 0)
    area = runs.area[run] * inside / np.maximum((runs.end - runs.start)[run], 1)
    ground = np.where(runs.ground[run] == NONE, len(Ground), runs.ground[run])
    out = np.zeros((since.size, len(Ground) + 1))
    np.add.at(out, (machine, ground), area)
    return out
