"""Every meter of every machine as one curve through time: combines by readings and runs, headers by the runs they cut."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.harvest.header_line import HeaderStretches, Hitches, header_lines, runs_of_headers
from wearlog.harvest.line_inputs import Readings, Runs
from wearlog.harvest.meter_line import MeterLines
from wearlog.store.histories import Floats, Histories, Ints, code_of

#: until a machine's own is known: 35 ft at 4.5 mph and 70 % field efficiency cut 13.36 ac/h (computed, see docs/methods.md)
SECONDS_PER_SQUARE_METRE = 3600 / (13.36 * 4046.8564224)
#: engine hours per separator hour until the machine's own readings say (common practice, no source)
ENGINE_PER_SEPARATOR = 1.2


@dataclass(frozen=True, slots=True, eq=False)
class FleetLines:
    """The meter lines of all machines, by meter kind.

    Attributes
    ----------
    carriers, headers : tuple of MeterLines
        One for each MeterKind, in its order; lines are numbered as the machines are.
    is_header : (machines,) bool
    stretches : HeaderStretches
        Which header cut which part of which run.
    """

    carriers: tuple[MeterLines, ...]
    headers: tuple[MeterLines, ...]
    is_header: npt.NDArray[np.bool_]
    stretches: HeaderStretches

    def at(self, kind: MeterKind, machine: npt.ArrayLike, times: npt.ArrayLike) -> Floats:
        """Return the cumulative usage of machines on one meter (seconds or square metres since its first knot)."""
        which = np.asarray(machine, dtype=np.int64)
        when = np.broadcast_to(np.asarray(times, dtype=np.int64), which.shape)
        found = np.empty(which.shape)
        on_header = self.is_header[which]
        code = code_of(kind)
        found[on_header] = self.headers[code].at(which[on_header], when[on_header])
        found[~on_header] = self.carriers[code].at(which[~on_header], when[~on_header])
        return found

    def usage(self, kind: MeterKind, machine: npt.ArrayLike, start: npt.ArrayLike, end: npt.ArrayLike) -> Floats:
        """Return what machines used on one meter during [start, end), in seconds or square metres."""
        return self.at(kind, machine, end) - self.at(kind, machine, start)

    def shown(self, kind: MeterKind, machine: int, time: int) -> float:
        """Return what the counter of one machine shows at a time; a header's is its usage so far."""
        if self.is_header[machine]:
            return float(self.headers[code_of(kind)].at([machine], [time])[0])
        return float(self.carriers[code_of(kind)].displayed_at([machine], [time])[0])


def fleet_lines(histories: Histories) -> FleetLines:
    """Build the lines of every meter of every machine; cost is linear in readings and runs (and their sorting)."""
    count = len(histories.machines.ids)
    runs = histories.runs
    area_runs = Runs(runs.combine, runs.start, runs.end, runs.area, runs.area)
    hour_runs = Runs(runs.combine, runs.start, runs.end, runs.separator_seconds, runs.area)
    hitches = histories.hitches
    stretches = runs_of_headers(
        area_runs, runs.header, Hitches(hitches.header, hitches.combine, hitches.start, hitches.end)
    )
    by_kind = {
        MeterKind.AREA: (area_runs, MeterLines.build(count, _readings(histories, MeterKind.AREA), area_runs)),
        MeterKind.SEPARATOR_HOURS: (hour_runs, _hours(histories, MeterKind.SEPARATOR_HOURS, hour_runs)),
        MeterKind.ENGINE_HOURS: (hour_runs, _hours(histories, MeterKind.ENGINE_HOURS, hour_runs)),
    }
    carriers = tuple(by_kind[kind][1] for kind in MeterKind)
    headers = tuple(
        header_lines(count, stretches, by_kind[kind][0], None if kind is MeterKind.AREA else by_kind[kind][1])
        for kind in MeterKind
    )
    is_header = histories.machines.kind == code_of(MachineKind.HEADER)
    return FleetLines(carriers, headers, is_header, stretches)


def _hours(histories: Histories, kind: MeterKind, runs: Runs) -> MeterLines:
    return MeterLines.build(
        len(histories.machines.ids),
        _readings(histories, kind),
        runs,
        default_per_area=SECONDS_PER_SQUARE_METRE,
        learn_factor=kind is MeterKind.ENGINE_HOURS,
        default_factor=ENGINE_PER_SEPARATOR,
    )


def _readings(histories: Histories, kind: MeterKind) -> Readings:
    rows = histories.readings
    mine = rows.meter_kind == code_of(kind)
    return Readings(rows.machine[mine], rows.at[mine], rows.shown[mine], rows.new_leg[mine])


def header_of_runs(lines: FleetLines, run_count: int) -> Ints:
    """Return the header that cut each run (its first stretch), NONE where nothing was hitched."""
    header = np.full(run_count, -1, dtype=np.int64)
    # written backwards so that the first stretch of a run is the one that stays
    header[lines.stretches.run[::-1]] = lines.stretches.header[::-1]
    return header
