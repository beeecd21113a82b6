"""Parts measured past their limit: since when, whether a later reading took it back, and what befell them meanwhile. No ages."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wearlog.facts.closed_lists import Dimension
from wearlog.facts.parts import PartKind
from wearlog.harvest.by_line import first_of_each, last_before
from wearlog.store.histories import OPEN, Bools, Ints, LogHistories


@dataclass(frozen=True, slots=True, eq=False)
class PastLimit:
    """Runs of measurements past the limit of a fitting, with none within it between them; ordered by fitting and time.

    Attributes
    ----------
    fitting : (n,) int64
    at : (n,) int64
        The first measurement of the run.
    seen_at : (n,) int64
        The measurement before it, which lay within the limit; 0 where there is none.
    within_at : (n,) int64
        The measurement after the run, which lay within the limit again; OPEN where there is none yet.
    """

    fitting: Ints
    at: Ints
    seen_at: Ints
    within_at: Ints

    @property
    def still(self) -> Bools:
        """Whether the part has not been found within its limit since."""
        return np.asarray(self.within_at == OPEN)

    def during(self, fitting: Ints, at: Ints, fittings: int) -> Ints:
        """Return the run that was going on when something happened to a fitting, -1 where none was."""
        if not self.at.size:
            return np.full(at.size, -1, dtype=np.int64)
        first = first_of_each(self.fitting, fittings)
        found = last_before(self.at, first, fitting, at, "left")
        inside = (found >= first[fitting]) & (at <= self.within_at[np.maximum(found, 0)])
        return np.where(inside, found, -1)

    def take(self, rows: Bools) -> PastLimit:
        return PastLimit(self.fitting[rows], self.at[rows], self.seen_at[rows], self.within_at[rows])


def past_limit(histories: LogHistories, kinds: tuple[PartKind, ...], fitting: Ints, now: int) -> PastLimit:
    """Return the runs until now.

    Parameters
    ----------
    fitting : (measurements,) int64
        The fitting that each measurement was of, -1 where none was on.
    """
    rows = histories.measurements
    limit = np.array(
        [np.nan if kind.limit_micrometres is None else kind.limit_micrometres for kind in kinds] or [np.nan]
    )
    grows = np.array([kind.dimension is not Dimension.THICKNESS for kind in kinds] or [True])
    kind = histories.components.part_kind[rows.component]
    past = np.where(grows[kind], rows.micrometres >= limit[kind], rows.micrometres <= limit[kind])
    order = np.lexsort((rows.at, fitting))
    order = order[(fitting[order] >= 0) & (rows.at[order] <= now)]
    fitting, at, past = fitting[order], rows.at[order], past[order]
    # one row more on either side, of no fitting, so that the first and the last have neighbours too
    of, when, over = np.r_[-1, fitting, -1], np.r_[0, at, 0], np.r_[False, past, False]
    has_before, has_after = of[:-2] == fitting, of[2:] == fitting
    first = past & ~(has_before & over[:-2])
    last = past & ~(has_after & over[2:])
    seen_at, within_at = np.where(has_before, when[:-2], 0), np.where(has_after, when[2:], OPEN)
    return PastLimit(fitting[first], at[first], seen_at[first], within_at[last])
