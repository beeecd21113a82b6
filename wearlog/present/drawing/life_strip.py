"""How much of its life a part has behind it, as a strip on doublings of a season of use, so that acres and hours compare."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, isfinite, log2
from typing import Final

from wearlog.present.drawing.drawn import (
    Drawn,
    Places,
    interval_cells,
    labels_line,
)

#: seasons at both ends of the scale of doublings: half a season and 32
_LEAST, _DOUBLINGS = 0.5, 6
_SEASON_LABELS: Final = ("½", "1", "2", "4", "8", "16", "32")
_BEYOND: Final = 10_000
#: how the strip is read, under a list of strips; and what stands behind a figure where parts of unknown age are in none of it
_READ: Final = "Seasons of use here: ░ lived ├●┤ half fail ═ lived into it ○ guess → goes on"
_READ_BRIEFLY: Final = "½-32 seasons: ░ lived ├●┤ half fail ○ guess"
_UNKNOWN, _UNKNOWN_BRIEFLY = "+{0}?: {0} more of unknown age", "?: more of unknown age, not counted"
_WORST: Final = "worst fails: the chance of the worst part"
#: narrower screens have the short form
_PHONE: Final = 72


def how_to_read(columns: int, *, unknown: int = 0, worst: bool = False) -> str:
    """Return the key of a list of strips for so many columns.

    Parameters
    ----------
    columns : int
    unknown : int
        So many parts of unknown age the first figure of the list leaves out that leaves out any.
    worst : bool
        The list has a column "worst fails"; a phone has no room for it.
    """
    if columns < _PHONE:
        return f"{_READ_BRIEFLY}\n{_UNKNOWN_BRIEFLY}" if unknown else _READ_BRIEFLY
    more = [*([_WORST] if worst else []), *([_UNKNOWN.format(unknown)] if unknown else [])]
    return f"{_READ}\n{'; '.join(more)}" if more else _READ


@dataclass(frozen=True, slots=True)
class Life:
    """A part's age and the interval in which half of its like have failed, all in one unit. None: nobody knows.

    `guessed`: nothing speaks but the starting guess.
    """

    age: float | None
    low: float | None = None
    median: float | None = None
    high: float | None = None
    guessed: bool = False


@dataclass(frozen=True, slots=True)
class SeasonScale:
    """Doublings of a season of use: `½ 1 2 4 8 16 32`, so many cells to a doubling."""

    doubling: int = 4

    @property
    def cells(self) -> int:
        """Cells of the strip."""
        return _DOUBLINGS * self.doubling + 1

    def place(self, seasons: float) -> int:
        """Return the cell of so many seasons; before the first or behind the last where the scale does not reach."""
        if seasons <= 0:
            return -1
        return _rounded(log2(seasons / _LEAST) * self.doubling) if isfinite(seasons) else _BEYOND

    def heading(self, *, plain: bool = False) -> str:
        """Return the seasons over their cells; on the narrow scale every second one."""
        step = 1 if self.doubling > 3 else 2
        labels = [".5" if plain and one == "½" else one for one in _SEASON_LABELS]
        return labels_line(
            [(place * self.doubling, labels[place]) for place in range(0, len(labels), step)], self.cells
        )


def season_strip(life: Life, season: float | None, scale: SeasonScale) -> Drawn:
    """Draw a life in seasons of use.

    Parameters
    ----------
    life : Life
    season : float or None
        What the machine runs in a usual season, in the unit of the life. None, or nothing: the strip is empty.
    scale : SeasonScale

    Examples
    --------
    >>> from wearlog.present.drawing.drawn import joined
    >>> joined(season_strip(Life(3550, 7550, 8480, 9840), 2758, SeasonScale()))
    '░░░░░░····●┤·············'
    """
    if not season or season <= 0:
        return interval_cells(None, 0, scale.cells)
    places = None
    if life.median and life.low is not None and life.high is not None:
        low, middle, high = (scale.place(end / season) for end in (life.low, life.median, life.high))
        places = Places(low, middle, high, life.guessed)
    lived = scale.place(life.age / season) + 1 if life.age else 0
    return interval_cells(places, max(lived, 0), scale.cells)


def _rounded(value: float) -> int:
    return floor(value + 0.5)
