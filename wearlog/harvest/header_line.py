"""The meter lines of headers: what the combines used while each header cut. A header has no counter of its own."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from wearlog.facts.machines import ends_as_they_stand
from wearlog.harvest.by_line import Floats, Ints, expand, first_of_each, last_before
from wearlog.harvest.line_inputs import Readings, Runs, check_lines, same_length, whole
from wearlog.harvest.meter_line import MeterLines

#: the end of a hitch that has not ended yet
STILL_HITCHED: Final = np.iinfo(np.int64).max
#: the header of a run that does not name one
UNNAMED: Final = -1


@dataclass(frozen=True, slots=True, eq=False)
class Hitches:
    """Which header hung on which combine, half-open [start, end), in any order.

    A later hitch of the same header or on the same combine ends the one before it, so an end that was never entered does
    no harm.

    Parameters
    ----------
    header, combine : (n,) int64
    start, end : (n,) int64
        Microseconds since the epoch, UTC; STILL_HITCHED where the hitch is open.
    """

    header: Ints
    combine: Ints
    start: Ints
    end: Ints

    def __post_init__(self) -> None:
        for name in ("header", "combine", "start", "end"):
            object.__setattr__(self, name, whole(getattr(self, name), "columns of hitches"))
        same_length("hitches", self.header, self.combine, self.start, self.end)

    @classmethod
    def none(cls) -> Hitches:
        """Return no hitches at all."""
        nothing = np.empty(0, dtype=np.int64)
        return cls(nothing, nothing, nothing, nothing)


@dataclass(frozen=True, slots=True, eq=False)
class HeaderStretches:
    """Parts of runs that a header cut, half-open; a run may have none, one or several.

    Attributes
    ----------
    run : (n,) int64
        Row of the run.
    header : (n,) int64
    start, end : (n,) int64
        Within the run; microseconds since the epoch, UTC.
    """

    run: Ints
    header: Ints
    start: Ints
    end: Ints


def runs_of_headers(runs: Runs, header: Ints, hitches: Hitches) -> HeaderStretches:
    """Say which header cut which part of which run.

    Parameters
    ----------
    runs : Runs
        Runs of combines; `line` is the combine.
    header : (n,) int64
        The header that the run names, else UNNAMED: then the hitches of the combine say, each for its part of the run.
    hitches : Hitches
        Which header hung on which combine, from when to when (microseconds).

    Returns
    -------
    HeaderStretches
        Runs that name their header first, whole, then parts by hitches.
    """
    header = whole(header, "headers of runs")
    same_length("runs and their headers", runs.line, header)
    named, unnamed = np.flatnonzero(header != UNNAMED), np.flatnonzero(header == UNNAMED)
    if not unnamed.size:
        return HeaderStretches(named, header, runs.start, runs.end)
    hung = _one_at_a_time(hitches)
    combines = int(max(runs.line.max(initial=-1), hung.combine.max(initial=-1))) + 1
    first = first_of_each(hung.combine, combines)
    line = runs.line[unnamed]
    low = np.maximum(last_before(hung.start, first, line, runs.start[unnamed], "right"), first[line])
    high = last_before(hung.start, first, line, runs.end[unnamed], "left")
    which, hitch = expand(low, high)
    run = unnamed[which]
    start = np.maximum(runs.start[run], hung.start[hitch])
    end = np.minimum(runs.end[run], hung.end[hitch])
    some = end > start
    return HeaderStretches(
        run=np.concatenate((named, run[some])),
        header=np.concatenate((header[named], hung.header[hitch[some]])),
        start=np.concatenate((runs.start[named], start[some])),
        end=np.concatenate((runs.end[named], end[some])),
    )


def header_lines(count: int, stretches: HeaderStretches, runs: Runs, carriers: MeterLines | None = None) -> MeterLines:
    """Build the lines of `count` headers.

    Parameters
    ----------
    count : int
        Number of headers.
    stretches : HeaderStretches
        From `runs_of_headers` for these runs.
    runs : Runs
        The runs of the combines, the same that built `carriers`.
    carriers : MeterLines, optional
        The combines' lines of the meter wanted: each stretch takes its run's share of them, so that overlapping runs
        share what the meter gained and nothing is counted twice. Without it the runs' own usage counts (the area cut).

    Returns
    -------
    MeterLines
        Half-open sums of the stretches; usage outside runs and unhitched runs belong to no header.
    """
    check_lines(stretches.header, count, "stretches of headers")
    if carriers is None:
        share = (stretches.end - stretches.start) / (runs.end - runs.start)[stretches.run]
        parts, usage = stretches, np.nan_to_num(runs.usage)[stretches.run] * share
    else:
        parts, usage = _shares(stretches, runs, carriers)
    as_runs = Runs(parts.header, parts.start, parts.end, usage, np.zeros(usage.size))
    return MeterLines.build(count, Readings.none(), as_runs)


def _shares(stretches: HeaderStretches, runs: Runs, carriers: MeterLines) -> tuple[HeaderStretches, Floats]:
    """Cut the stretches at the anchors of their combine and give each part the usage its run accounts for there."""
    opens = carriers.knot_time[carriers.spans.opens]
    line = runs.line[stretches.run]
    low = last_before(opens, carriers.spans.first, line, stretches.start, "right")
    high = last_before(opens, carriers.spans.first, line, stretches.end, "left")
    which, span = expand(low, high)
    last_of_line = span + 1 == carriers.spans.first[line[which] + 1]
    closes = np.where(last_of_line, STILL_HITCHED, opens[np.minimum(span + 1, opens.size - 1)] if opens.size else 0)
    start = np.maximum(stretches.start[which], opens[span])
    end = np.minimum(stretches.end[which], closes)
    run, time = stretches.run[which], (end - start).astype(np.float64)
    said = carriers.runs_usage(runs)[run] * (time / (runs.end - runs.start)[run])
    usage = carriers.rates.per_usage[span] * said + carriers.rates.per_busy[span] * time
    return HeaderStretches(run, stretches.header[which], start, end), usage


def _one_at_a_time(hitches: Hitches) -> Hitches:
    """Return the hitches sorted by combine and start, each ended by the next on its combine or of its header."""
    header, combine, start, end = hitches.header, hitches.combine, hitches.start, hitches.end
    stand = ends_as_they_stand(header.tolist(), combine.tolist(), start.tolist(), end.tolist())
    order = np.lexsort((header, start, combine))
    return Hitches(header[order], combine[order], start[order], np.array(stand, dtype=np.int64)[order])
