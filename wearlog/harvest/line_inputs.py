"""What a meter line is made from: readings and runs as arrays, checked once on the way in. No line is built here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from wearlog.errors import DataError
from wearlog.harvest.by_line import Bools, Floats, Ints

#: a run entered with no length still has its usage: it is laid into this one second
_INSTANT_MICROSECONDS: Final = 1_000_000


@dataclass(frozen=True, slots=True, eq=False)
class Readings:
    """Counter readings, in any order.

    Parameters
    ----------
    line : (n,) int64
        Which line (machine) each reading belongs to, from 0.
    at : (n,) int64
        Microseconds since the epoch, UTC.
    value : (n,) float64
        What the counter showed: seconds on an hour meter, square metres on an area meter. Not below zero.
    new_leg : (n,) bool
        True where the reading is the first of a replaced meter: nothing follows from its difference to the one before.

    Raises
    ------
    DataError
        Unequal lengths, times that are not whole numbers, or a value that is not finite or below zero.
    """

    line: Ints
    at: Ints
    value: Floats
    new_leg: Bools

    def __post_init__(self) -> None:
        _set(self, "line", whole(self.line, "line numbers of readings"))
        _set(self, "at", whole(self.at, "times of readings"))
        _set(self, "value", np.asarray(self.value, dtype=np.float64))
        _set(self, "new_leg", np.asarray(self.new_leg, dtype=np.bool_))
        same_length("readings", self.line, self.at, self.value, self.new_leg)
        _refuse(~(np.isfinite(self.value) & (self.value >= 0)), "A meter reading is missing or below zero", "reading")

    @classmethod
    def none(cls) -> Readings:
        """Return no readings at all."""
        nothing = np.empty(0, dtype=np.int64)
        return cls(nothing, nothing, np.empty(0), np.empty(0, dtype=np.bool_))

    def order(self) -> Ints:
        """Return the order of time: by line, instant, old meter before its replacement, value."""
        return np.lexsort((self.value, self.new_leg, self.at, self.line))

    def take(self, rows: Ints) -> Readings:
        """Return the named rows in the named order.

        Parameters
        ----------
        rows : array of int
            Numbers of the rows, in the order wanted.
        """
        return Readings(self.line[rows], self.at[rows], self.value[rows], self.new_leg[rows])


@dataclass(frozen=True, slots=True, eq=False)
class Runs:
    """Stretches of work, half-open [start, end), in any order; they may overlap.

    Parameters
    ----------
    line : (n,) int64
        Which line (machine) each run belongs to, from 0.
    start, end : (n,) int64
        Microseconds since the epoch, UTC. A run of no length is given one second, so that its usage is not lost.
    usage : (n,) float64
        What the run itself says it used, in the unit of the meter; NaN where it does not say.
    area : (n,) float64
        Square metres cut; NaN or 0 where not known. Used only for runs that do not say their usage.

    Raises
    ------
    DataError
        Unequal lengths, times that are not whole numbers, an end before its start, a usage or area below zero.
    """

    line: Ints
    start: Ints
    end: Ints
    usage: Floats
    area: Floats

    def __post_init__(self) -> None:
        start, end = whole(self.start, "starts of runs"), whole(self.end, "ends of runs")
        usage, area = np.asarray(self.usage, dtype=np.float64), np.asarray(self.area, dtype=np.float64)
        _set(self, "line", whole(self.line, "line numbers of runs"))
        same_length("runs", self.line, start, end, usage, area)
        _refuse(end < start, "A run ends before it starts", "run")
        _refuse((usage < 0) | np.isinf(usage), "The usage of a run is below zero or without bound", "run")
        _refuse((area < 0) | np.isinf(area), "The area of a run is below zero or without bound", "run")
        _set(self, "start", start)
        # a million runs are copied only if there is something to put right
        at_once = end == start
        _set(self, "end", np.where(at_once, start + _INSTANT_MICROSECONDS, end) if at_once.any() else end)
        _set(self, "usage", usage)
        _set(self, "area", np.nan_to_num(area) if np.isnan(area).any() else area)

    @classmethod
    def none(cls) -> Runs:
        """Return no runs at all."""
        nothing = np.empty(0, dtype=np.int64)
        return cls(nothing, nothing, nothing, np.empty(0), np.empty(0))


@dataclass(frozen=True, slots=True)
class ReadingFault:
    """One reading that cannot stand beside the one before it in the same leg; the indices are rows of the caller.

    `same_instant` is true where two different values are given for one and the same instant.
    """

    line: int
    earlier_index: int
    index: int
    earlier_at: int
    at: int
    earlier_value: float
    value: float
    same_instant: bool


def check_readings(readings: Readings) -> tuple[ReadingFault, ...]:
    """Say which readings cannot be right.

    A reading lower than the one before it on the same line is a fault unless it is the first of a replaced meter; so are
    two different values at one instant. The later of the two is named, though the earlier may be the slip of the pen.

    Parameters
    ----------
    readings : Readings
        Meter readings with line, time (microseconds) and value.

    Returns
    -------
    tuple of ReadingFault
        In order of line and time; empty when all can stand.
    """
    order = readings.order()
    line, at, value = readings.line[order], readings.at[order], readings.value[order]
    same_leg = (line[1:] == line[:-1]) & ~readings.new_leg[order][1:]
    lower = value[1:] < value[:-1]
    at_once = (at[1:] == at[:-1]) & (value[1:] != value[:-1])
    return tuple(
        ReadingFault(
            line=int(line[k]),
            earlier_index=int(order[k]),
            index=int(order[k + 1]),
            earlier_at=int(at[k]),
            at=int(at[k + 1]),
            earlier_value=float(value[k]),
            value=float(value[k + 1]),
            same_instant=bool(at[k] == at[k + 1]),
        )
        for k in np.flatnonzero(same_leg & (lower | at_once)).tolist()
    )


def refuse_impossible(readings: Readings) -> None:
    """Raise DataError for the first reading that cannot stand.

    Parameters
    ----------
    readings : Readings
        Meter readings with line, time (microseconds) and value.
    """
    faults = check_readings(readings)
    if not faults:
        return
    fault = faults[0]
    hint = "Correct one of the two, or say that the meter was replaced."
    if fault.same_instant:
        raise DataError(
            f"Two meter readings at one instant differ: {fault.earlier_value:g} and {fault.value:g} (line {fault.line}).",
            hint,
        )
    raise DataError(
        f"A meter reading of {fault.value:g} comes after one of {fault.earlier_value:g} (line {fault.line}).", hint
    )


def whole(numbers: npt.ArrayLike, what: str) -> Ints:
    """Return int64 numbers; a float is refused because it cannot hold every microsecond.

    Parameters
    ----------
    numbers : array_like
        (n,), whole numbers.
    what : str
        What the column is called in an error.
    """
    given = np.asarray(numbers)
    if given.size and given.dtype.kind not in "iu":
        raise DataError(
            f"The {what} are not whole numbers.", "Give int64 arrays: microseconds for times, rows for lines."
        )
    return given.astype(np.int64, copy=False)


def same_length(what: str, *columns: npt.NDArray[np.generic]) -> None:
    """Raise DataError unless all columns are one-dimensional and equally long.

    Parameters
    ----------
    what : str
        What the column is called in an error.
    *columns : npt.NDArray[np.generic]
        Of any length, the same for all.
    """
    if any(column.ndim != 1 or column.size != columns[0].size for column in columns):
        raise DataError(f"The columns of {what} are not equally long.", "Give one entry per row in every column.")


def check_lines(line: Ints, count: int, what: str) -> None:
    """Raise DataError for a row that belongs to no line.

    Parameters
    ----------
    line : array of int
        (n,), number of the line of each row.
    count : int
        Number of lines.
    what : str
        What the column is called in an error.
    """
    if line.size and not 0 <= int(line.min()) <= int(line.max()) < count:
        raise DataError(f"The {what} name a line that is not there.", f"Lines are numbered 0 to {count - 1}.")


def _refuse(wrong: Bools, sentence: str, what: str) -> None:
    if wrong.any():
        raise DataError(f"{sentence} ({what} {int(np.flatnonzero(wrong)[0])}, counted from 0).", f"Correct the {what}.")


def _set(record: object, name: str, column: npt.NDArray[np.generic]) -> None:
    object.__setattr__(record, name, column)
