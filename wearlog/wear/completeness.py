"""How complete a log is: of what was used by a count, the share that was entered; and what follows for lives and rates.

References
----------
G. Casella, An introduction to empirical Bayes data analysis, The American Statistician 39 (1985), 83-87: shares that lend each
other strength, each kind's belief beforehand being that of the others (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from wearlog.errors import DataError

#: a farm is believed to enter 19 of 20 pieces, as if 20 had been seen (common practice, no source)
_ENTERED_BEFORE: Final = 0.95
_PIECES_BEFORE: Final = 20.0
#: a log is called complete as long as so much of it may be there
COMPLETE: Final = 0.95
#: a count may be wrong by one piece, or by a hundredth of what lies there
_COUNTED_WRONG: Final = 1.0
_COUNTED_WRONG_SHARE: Final = 0.01


@dataclass(frozen=True, slots=True)
class UsedAndEntered:
    """Pieces of one kind between two counts of the shelf.

    Attributes
    ----------
    used : float
        That left the shelf by the counts, what came back taken off.
    entered : float
        Of breakages, planned work and uses that somebody entered; more than were used where parts came from elsewhere.
    counted : float
        Pieces in the first and the last count together.
    rough : float
        Pieces that broke and are entered without day and place: known to be missing among the others.
    """

    used: float
    entered: float
    counted: float = 0.0
    rough: float = 0.0

    @property
    def missing(self) -> float:
        """Pieces that no entry tells of."""
        return self.used - self.entered


@dataclass(frozen=True, slots=True)
class LogShare:
    """The share of a kind's pieces that was entered: a Beta law.

    Attributes
    ----------
    of : UsedAndEntered
    there, gone : float
        Its parameters: pieces entered and missing, with what was believed beforehand.
    """

    of: UsedAndEntered
    there: float
    gone: float

    @property
    def mean(self) -> float:
        return self.there / (self.there + self.gone)

    def quantile(self, chance: float) -> float:
        """Return the share that is not exceeded with a chance.

        Parameters
        ----------
        chance : float
            Strictly between 0 and 1.
        """
        # loaded by whoever asks: what opens the screens reads faults, work and stock, and none of this
        from scipy.special import betaincinv

        return float(betaincinv(self.there, self.gone, chance))

    @property
    def is_short(self) -> bool:
        """Whether the log is sure to lack more than a twentieth: the upper end of the 90 % interval lies under it.

        A difference that wrong counts can make says nothing.
        """
        by_chance = _COUNTED_WRONG + _COUNTED_WRONG_SHARE * self.of.counted
        is_sure = self.of.missing > by_chance or self.of.rough > _COUNTED_WRONG
        return is_sure and self.quantile(0.95) < COMPLETE

    @property
    def times(self) -> float:
        """How many times as many pieces break as were entered."""
        return 1 / self.mean


def log_shares(kinds: Sequence[UsedAndEntered]) -> tuple[LogShare, ...]:
    """Return the share entered of each kind of part on a farm.

    Parameters
    ----------
    kinds : sequence of UsedAndEntered
        One for each kind of which something was used.

    Raises
    ------
    DataError
        If nothing was used of a kind.

    Notes
    -----
    Who forgets to enter guards forgets sections too: of each kind is believed beforehand, as 20 pieces would say it, what the
    other kinds show together, and of the first one that 19 of 20 are entered. A kind of which more was entered than used counts
    with that surplus among the others, so that wrong counts cancel, and as complete for itself.
    """
    if any(not one.used > 0 for one in kinds):
        raise DataError("Nothing was used of a kind, so no share of it was entered.", "Leave that kind out.")
    used, entered = sum(one.used for one in kinds), sum(one.entered for one in kinds)
    found = []
    for one in kinds:
        others_used = used - one.used
        others = min(max(entered - one.entered, 0.0), others_used)
        before = (_PIECES_BEFORE * _ENTERED_BEFORE + others) / (_PIECES_BEFORE + others_used)
        mine = min(max(one.entered, 0.0), one.used)
        found.append(LogShare(one, _PIECES_BEFORE * before + mine, _PIECES_BEFORE * (1 - before) + one.used - mine))
    return tuple(found)
