"""Array types of the wear maths and how plain numbers become them; knows nothing of lives or laws.

Frozen records that hold arrays compare by identity (eq=False): two arrays have no single answer to "equal?".
"""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError

FloatArray: TypeAlias = NDArray[np.float64]
BoolArray: TypeAlias = NDArray[np.bool_]
IntArray: TypeAlias = NDArray[np.int64]

_THREADLESS = 10_000  # columns up to this length never wake the threads
_SHORT = 1_000  # so few are sorted as they are
_THREADLESS_PRODUCT = 250_000  # nor do tables with so many multiplications


def fixed(array: NDArray[np.generic]) -> None:
    """Make `array` read-only, so that a frozen record around it is frozen through and through.

    Parameters
    ----------
    array : array
        The array; any shape.
    """
    array.setflags(write=False)


def float_column(values: ArrayLike, name: str, length: int | None = None) -> FloatArray:
    """Return `values` as a new one-dimensional float array; a single number fills `length` rows.

    Parameters
    ----------
    values : array_like
        One column (n,), or one number.
    name : str
        What the column is called in an error.
    length : int or None
        Rows wanted; None for as many as there are.

    Raises
    ------
    DataError
        If the values are not numbers, not one column, or not `length` of them.
    """
    try:
        column = np.array(values, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise DataError(f"The {name} column holds something that is not a number.", "Leave numbers only.") from error
    if column.ndim == 0 and length is not None:
        return np.full(length, column)
    if column.ndim != 1:
        raise DataError(f"The {name} values are not one plain column.", "Give one number per row.")
    if length is not None and len(column) != length:
        raise DataError(
            f"The {name} column has {len(column)} rows where {length} are expected.", "Give every column as many rows."
        )
    return column


def bool_column(values: ArrayLike, name: str, length: int | None = None) -> BoolArray:
    """Return `values` as a new one-dimensional array of truth values; see `float_column` for length and errors.

    Parameters
    ----------
    values : array_like
        One column (n,), or one number.
    name : str
        What the column is called in an error.
    length : int or None
        Rows wanted; None for as many as there are.
    """
    column = float_column(values, name, length)
    odd = (column != 0) & (column != 1)
    if odd.any():
        row = int(np.flatnonzero(odd)[0]) + 1
        raise DataError(f"The {name} column says {column[row - 1]:g} in row {row}.", "Write 1 for yes and 0 for no.")
    return np.asarray(column == 1)


def dot(one: FloatArray, other: FloatArray) -> float:
    """Return the sum of products.

    Long columns go without the linear algebra library, whose threads wait for each other (up to 50 times the work
    itself) on a machine that has other things to do.

    Parameters
    ----------
    one : array
        (n,).
    other : array
        (n,).
    """
    if len(one) <= _THREADLESS:
        return float(one @ other)
    return float(np.einsum("i,i->", one, other))


def product(one: FloatArray, other: FloatArray) -> FloatArray:
    """Return the product of two tables, reckoned in blocks of rows so small that the threads of `dot` never wake.

    Parameters
    ----------
    one : array
        (m, n).
    other : array
        (n, k).
    """
    rows = max(_THREADLESS_PRODUCT // max(other.size, 1), 1)
    if len(one) <= rows:
        return np.asarray(one @ other)
    return np.concatenate([one[start : start + rows] @ other for start in range(0, len(one), rows)])


def stable_order(values: FloatArray) -> IntArray:
    """Return the places of numbers in rising order, equal ones as they stand: `np.argsort(values, kind="stable")`, sooner.

    Sorting that does not keep equal numbers in order is several times as fast where the processor compares many at once; which of
    them are equal is then put in order by itself.

    Parameters
    ----------
    values : array
        (n,), none of them NaN.
    """
    if values.size <= _SHORT:
        return np.argsort(values, kind="stable")
    order = np.argsort(values)
    ordered = values[order]
    new = ordered[1:] != ordered[:-1]
    if not new.all():
        group = np.zeros(order.size, dtype=np.int64)
        np.cumsum(new, out=group[1:])
        group *= order.size
        group += order
        group.sort()
        order = group % order.size
    return order


def checked_level(level: float) -> float:
    """Return the level of an interval, which lies strictly between 0 and 1.

    Parameters
    ----------
    level : float
        Chance that the interval covers, strictly between 0 and 1.
    """
    if not 0 < level < 1:
        raise DataError(f"An interval of level {level:g} cannot be given.", "Choose a level between 0 and 1, say 0.9.")
    return level
