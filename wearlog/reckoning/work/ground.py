"""On which ground a machine worked: the run it was on at a moment, and the area it cut on each class of ground."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wearlog.facts.closed_lists import Ground
from wearlog.harvest.by_line import first_of_each, last_before, order_by_line_and_time
from wearlog.reckoning.farm import Farm
from wearlog.store.histories import NONE, Floats, Ints

#: a day: what happens at most so long after a run still belongs to it
RUN_WINDOW = 24 * 3600 * 1_000_000


def run_at(farm: Farm, machine: Ints, at: Ints) -> Ints:
    """Return the run that each machine was on at each instant, or had ended at most a day before; NONE in winter.

    A header is on a run only for its own part of it.

    Parameters
    ----------
    machine, at : (n,) int64
        Place of a combine or header in the histories (NONE for no machine), and microseconds since 1970 UTC.
    """
    runs = farm.histories.runs
    best = np.full(at.size, NONE, dtype=np.int64)
    if not runs.start.size:
        return best
    asked = np.flatnonzero(machine != NONE)
    # one more, which NONE points at and nobody asks for
    wanted = np.zeros(len(farm.machines) + 1, dtype=bool)
    wanted[machine[asked]] = True
    stretches = farm.lines.stretches
    # a header by its own part of a run: what was put on in the middle of it had not cut what came before
    whole = (runs.combine, np.arange(runs.start.size), runs.start, runs.end)
    parts = (stretches.header, stretches.run, stretches.start, stretches.end)
    for worked, run_of, start, end in (whole, parts):
        rows = np.flatnonzero(wanted[worked])
        rows = rows[order_by_line_and_time(worked[rows], start[rows])]
        first = first_of_each(worked[rows], len(farm.machines))
        found = last_before(start[rows], first, machine[asked], at[asked], "right")
        there = found >= first[machine[asked]]
        row = rows[found[there]]
        right = at[asked[there]] - end[row] < RUN_WINDOW
        place, run = asked[there][right], run_of[row[right]]
        best[place] = np.where(best[place] == NONE, run, best[place])
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
    return area_since(farm, np.arange(since.size), since, until)


def area_since(farm: Farm, machine: Ints, since: Ints, until: int) -> Floats:
    """Return what machines cut on each class of ground during [since, until), one row for each machine asked for.

    Parameters
    ----------
    machine, since : (n,) int64
        Place of a machine in the histories (NONE: nothing is cut), and microseconds since 1970 UTC.

    Returns
    -------
    (n, 5) float64
        Square metres by Ground in its order, and last on ground nobody noted. The cost hardly depends on how many are asked.
    """
    runs, stretches = farm.histories.runs, farm.lines.stretches
    known = np.where(runs.ground == NONE, len(Ground), runs.ground)
    speed = runs.area / np.maximum(runs.end - runs.start, 1)
    line = np.concatenate((runs.combine, stretches.header))
    start = np.concatenate((runs.start, stretches.start))
    end = np.concatenate((runs.end, stretches.end))
    ground = np.concatenate((known, known[stretches.run]))
    rate = np.concatenate((speed, speed[stretches.run]))
    columns, machines = len(Ground) + 1, len(farm.machines)
    all_of_it = rate * np.maximum(np.minimum(end, until) - start, 0)
    total = np.bincount(line * columns + ground, weights=all_of_it, minlength=machines * columns).reshape(-1, columns)
    asked = np.maximum(machine, 0)
    area = total[asked] if machines else np.zeros((machine.size, columns))
    # most are asked from before their machine's first run on: only for the others is there something to take off
    first = np.full(machines, until, dtype=np.int64)
    np.minimum.at(first, line, start)
    late = np.flatnonzero(np.minimum(since, until) > first[asked]) if machines else np.zeros(0, dtype=np.int64)
    if late.size:
        wanted = np.zeros(machines, dtype=bool)
        wanted[asked[late]] = True
        rows = np.flatnonzero(wanted[line] & (start < since[late].max()))
        rows = rows[np.lexsort((start[rows], line[rows]))]
        cut = _Cut(first_of_each(line[rows], machines), start[rows], end[rows], ground[rows], rate[rows])
        area[late] -= cut.until(asked[late], np.minimum(since[late], until))
    return np.where((machine == NONE)[:, None], 0.0, np.maximum(area, 0.0))


@dataclass(frozen=True, slots=True, eq=False)
class _Cut:
    """Runs by machine (machine k owns first[k]:first[k + 1]) and start, each with its ground and square metres per microsecond."""

    first: Ints
    start: Ints
    end: Ints
    ground: Ints
    rate: Floats

    def until(self, machine: Ints, at: Ints) -> Floats:
        """Return what machines had cut until instants, by ground; each different question is added up once."""
        asked, place = np.unique(np.stack((machine, at)), axis=1, return_inverse=True)
        found = np.zeros((asked.shape[1], len(Ground) + 1))
        for row, (line, time) in enumerate(asked.T.tolist()):
            begin, stop = int(self.first[line]), int(self.first[line + 1])
            mine = slice(begin, begin + int(np.searchsorted(self.start[begin:stop], time)))
            area = self.rate[mine] * (np.minimum(self.end[mine], time) - self.start[mine])
            found[row] = np.bincount(self.ground[mine], weights=area, minlength=found.shape[1])
        return found[place.ravel()]


#: ground that may wear parts at a speed of its own
ROUGH = (Ground.STONY, Ground.VERY_STONY)


@dataclass(frozen=True, slots=True, eq=False)
class GroundLines:
    """What each machine had cut at any time, in all and on rough ground; as a meter line is read, but run by run.

    Runs by machine (machine k owns first[k]:first[k + 1]) and start; `before` is what was cut before each begins, (runs, 3): in
    all, on stony and on very stony ground.
    """

    first: Ints
    start: Ints
    end: Ints
    way: Ints
    rate: Floats
    before: Floats

    def cut(self, machine: Ints, at: Ints) -> tuple[Floats, Ints]:
        """Return what machines had cut at instants, and on which ground they were working.

        Parameters
        ----------
        machine, at : (n,) int64
            Place of a machine in the histories (NONE: nothing is cut), and microseconds since 1970 UTC.

        Returns
        -------
        (n, 3) float64
            Square metres in all, on stony, and on very stony ground.
        (n,) int64
            Place in `ROUGH` of the ground it was on, or had been on at most a day before; NONE on other ground and in winter.
        """
        asked = np.maximum(machine, 0)
        row = last_before(self.start, self.first, asked, at, "right")
        there = (row >= self.first[asked]) & (machine != NONE)
        row = np.where(there, row, 0)
        here = self.rate[row] * np.clip(at - self.start[row], 0, self.end[row] - self.start[row])
        found = self.before[row].copy()
        found[:, 0] += here
        for place in range(len(ROUGH)):
            found[:, place + 1] += np.where(self.way[row] == place, here, 0.0)
        on = np.where(there & (at - self.end[row] < RUN_WINDOW), self.way[row], NONE)
        return np.where(there[:, None], found, 0.0), on


def ground_lines(farm: Farm, machines: Ints) -> GroundLines | None:
    """Return what these machines had cut at any time, by ground; None where nobody noted rough ground.

    Ground that nobody noted counts with the clean: as the usual way.
    """
    runs, stretches = farm.histories.runs, farm.lines.stretches
    way = np.full(len(Ground) + 1, NONE, dtype=np.int64)
    way[[list(Ground).index(one) for one in ROUGH]] = np.arange(len(ROUGH))
    of_run = way[np.where(runs.ground == NONE, len(Ground), runs.ground)]
    if not (of_run != NONE).any():
        return None
    wanted = np.zeros(len(farm.machines), dtype=bool)
    wanted[machines] = True
    own, parts = np.flatnonzero(wanted[runs.combine]), np.flatnonzero(wanted[stretches.header])
    run = np.concatenate((own, stretches.run[parts]))
    line = np.concatenate((runs.combine[own], stretches.header[parts]))
    start = np.concatenate((runs.start[own], stretches.start[parts]))
    end = np.concatenate((runs.end[own], stretches.end[parts]))
    if not (of_run[run] != NONE).any():
        return None
    order = order_by_line_and_time(line, start)
    line, run, start, end = line[order], run[order], start[order], end[order]
    rate = runs.area[run] / np.maximum((runs.end - runs.start)[run], 1)
    done = rate * (end - start)
    columns = np.stack([done, *(np.where(of_run[run] == place, done, 0.0) for place in range(len(ROUGH)))], axis=1)
    before, first = np.cumsum(columns, axis=0) - columns, first_of_each(line, len(farm.machines))
    # each machine begins at nothing
    before -= before[first[line]]
    return GroundLines(first, start, end, of_run[run], rate, before)
