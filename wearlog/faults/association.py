"""Whether two yes/no things go together: Fisher's exact test of a two-by-two table, and Holm's correction. Knows no faults."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wearlog.errors import DataError


@dataclass(frozen=True, slots=True)
class FisherResult:
    """Fisher's exact test.

    Attributes
    ----------
    p_more : float
        Chance of at least so many in the first cell if nothing goes together (one-sided).
    p_two_sided : float
        Of all tables no likelier than this one.
    odds_ratio : float
        Sample odds ratio; infinite with an empty off-diagonal cell, nan when a whole row or column is empty.
    """

    p_more: float
    p_two_sided: float
    odds_ratio: float


def fisher_exact(a: int, b: int, c: int, d: int) -> FisherResult:
    """Test the table [[a, b], [c, d]].

    Parameters
    ----------
    a, b, c, d : int
        Counts, not below zero.

    Raises
    ------
    DataError
        For a count below zero or an empty table.

    References
    ----------
    R. A. Fisher (1935), The Design of Experiments.
    """
    if min(a, b, c, d) < 0 or a + b + c + d == 0:
        raise DataError("A table of counts has none below zero and is not empty.", "Count the episodes again.")
    first, column, total = a + b, a + c, a + b + c + d
    cells = np.arange(max(0, column - (total - first)), min(first, column) + 1)
    chance = _hypergeometric(cells, first, column, total)
    here = chance[cells == a][0]
    # equal tables differ in the last digits of their logarithms: count those within a hair as equal
    two_sided = float(chance[chance <= here * (1 + 1e-7)].sum())
    off = b * c
    ratio = a * d / off if off else (float("inf") if a * d else float("nan"))
    return FisherResult(min(1.0, float(chance[cells >= a].sum())), min(1.0, two_sided), ratio)


def holm(p_values: Sequence[float]) -> tuple[float, ...]:
    """Return p-values corrected for having looked at all of them (S. Holm 1979, Scandinavian Journal of Statistics 6).

    Parameters
    ----------
    p_values : sequence of float
        (tests,), each between 0 and 1.
    """
    order = sorted(range(len(p_values)), key=lambda index: p_values[index])
    corrected, highest = [0.0] * len(p_values), 0.0
    for rank, index in enumerate(order):
        highest = max(highest, min(1.0, (len(p_values) - rank) * p_values[index]))
        corrected[index] = highest
    return tuple(corrected)


def _hypergeometric(cells: NDArray[np.int64], first: int, column: int, total: int) -> NDArray[np.float64]:
    # loaded by whoever asks: what opens the screens reads faults, work and stock, and none of this
    from scipy.special import gammaln

    def ln_choose(n: NDArray[np.int64] | int, k: NDArray[np.int64] | int) -> NDArray[np.float64]:
        n, k = np.asarray(n), np.asarray(k)
        return np.asarray(gammaln(n + 1) - gammaln(k + 1) - gammaln(n - k + 1))

    logs = ln_choose(first, cells) + ln_choose(total - first, column - cells) - ln_choose(total, column)
    return np.asarray(np.exp(logs))
