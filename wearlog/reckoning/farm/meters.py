"""Every meter of every machine as one curve through time: combines by readings and runs, headers by the runs they cut."""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.harvest.header_line import HeaderStretches, Hitches, header_lines, runs_of_headers
from wearlog.harvest.line_inputs import Readings, Runs, refuse_impossible
from wearlog.harvest.meter_line import MeterLines
from wearlog.store.histories import Floats, LogHistories, code_of

#: until a machine's own is known: 35 ft at 4.5 mph and 70 % field efficiency cut 13.36 ac/h (computed, see docs/methods.md)
SECONDS_PER_SQUARE_METRE = 3600 / (13.36 * 4046.8564224)
#: the kinds that a machine's own counter can show
_COUNTERS: Final[tuple[MeterKind, ...]] = tuple(kind for kind in MeterKind if kind is not MeterKind.CALENDAR)
#: what a year adds to the age of a part that ages by the calendar
YEAR_SECONDS = 31_556_952.0
#: engine hours per separator hour until the machine's own readings say (common practice, no source)
ENGINE_PER_SEPARATOR = 1.2


class FleetLines:
    """The meter lines of all machines, by meter kind, each built when it is first asked for: few reckonings ask for all.

    What they are built from is checked at once, so that a wrong reading is told when the farm is read.

    Attributes
    ----------
    is_header : (machines,) bool
    stretches : HeaderStretches
        Which header cut which part of which run.
    """

    def __init__(self, histories: LogHistories) -> None:
        runs, hitches = histories.runs, histories.hitches
        self._count = len(histories.machines.ids)
        self._area_runs = Runs(runs.combine, runs.start, runs.end, runs.area, runs.area)
        self._hour_runs = Runs(runs.combine, runs.start, runs.end, runs.separator_seconds, runs.area)
        self._readings = {kind: _readings(histories, kind) for kind in _COUNTERS}
        for readings in self._readings.values():
            refuse_impossible(readings)
        self._carriers: dict[MeterKind, MeterLines] = {}
        self._headers: dict[MeterKind, MeterLines] = {}
        self.is_header: npt.NDArray[np.bool_] = histories.machines.kind == code_of(MachineKind.HEADER)
        self.stretches: HeaderStretches = runs_of_headers(
            self._area_runs, runs.header, Hitches(hitches.header, hitches.combine, hitches.start, hitches.end)
        )

    def carriers(self, kind: MeterKind) -> MeterLines:
        """Return the lines of what carries its own meter; lines are numbered as the machines are."""
        if kind not in self._carriers:
            # two threads that ask at once build the same line twice, which does no harm
            self._carriers[kind] = self._built(kind)
        return self._carriers[kind]

    def headers(self, kind: MeterKind) -> MeterLines:
        """Return the lines of headers, numbered as the machines are; hours come from the combines' own lines."""
        if kind not in self._headers:
            carriers = None if kind is MeterKind.AREA else self.carriers(kind)
            self._headers[kind] = header_lines(self._count, self.stretches, self._runs(kind), carriers)
        return self._headers[kind]

    def _built(self, kind: MeterKind) -> MeterLines:
        if kind is MeterKind.AREA:
            return MeterLines.build(self._count, self._readings[kind], self._runs(kind))
        return MeterLines.build(
            self._count,
            self._readings[kind],
            self._runs(kind),
            default_per_area=SECONDS_PER_SQUARE_METRE,
            learn_factor=kind is MeterKind.ENGINE_HOURS,
            default_factor=ENGINE_PER_SEPARATOR,
        )

    def _runs(self, kind: MeterKind) -> Runs:
        return self._area_runs if kind is MeterKind.AREA else self._hour_runs

    def at(self, kind: MeterKind, machine: npt.ArrayLike, times: npt.ArrayLike) -> Floats:
        """Return the cumulative usage of machines on one meter (seconds or square metres since its first knot).

        On the calendar it is the seconds since 1970.
        """
        which = np.asarray(machine, dtype=np.int64)
        when = np.broadcast_to(np.asarray(times, dtype=np.int64), which.shape)
        if kind is MeterKind.CALENDAR:
            # it runs by itself, whatever the machine does
            return when / 1e6
        found = np.zeros(which.shape)
        on_header = self.is_header[which]
        for mine, lines in ((on_header, self.headers), (~on_header, self.carriers)):
            if mine.any():
                found[mine] = lines(kind).at(which[mine], when[mine])
        return found

    def usage(self, kind: MeterKind, machine: npt.ArrayLike, start: npt.ArrayLike, end: npt.ArrayLike) -> Floats:
        """Return what machines used on one meter during [start, end), in seconds or square metres."""
        return self.at(kind, machine, end) - self.at(kind, machine, start)

    def shown(self, kind: MeterKind, machine: int, time: int) -> float:
        """Return what the counter of one machine shows at a time; a header's is its usage so far."""
        if self.is_header[machine]:
            return float(self.headers(kind).at([machine], [time])[0])
        return float(self.carriers(kind).displayed_at([machine], [time])[0])

    def run_on(self, kind: MeterKind, machine: int, times: npt.ArrayLike) -> Floats:
        """Return what the counter of a combine would show at times had it never been replaced, in seconds or square metres."""
        when = np.asarray(times, dtype=np.int64)
        lines = self.carriers(kind)
        first = int(lines.first_reading[machine])
        used = lines.at(np.full(when.size, machine), when)
        if first == int(lines.first_reading[machine + 1]):
            return used
        return np.asarray(np.maximum(lines.readings.value[first] + used - lines.reading_usage[first], 0.0))


def _readings(histories: LogHistories, kind: MeterKind) -> Readings:
    rows = histories.readings
    mine = rows.meter_kind == code_of(kind)
    return Readings(rows.machine[mine], rows.at[mine], rows.shown[mine], rows.new_leg[mine])
