"""How much of its life a part has behind it, as a strip: in seasons of use here, of its half-life, or in its own unit.

Three scales, one drawing: `SeasonScale` (doublings of a season, so that acres and hours compare), `HalfLifeScale` (each part on its
own half-life: every middle stands in one column) and `OwnScale` (the unit of one kind, for its page).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, isfinite, log2
from typing import Final

from wearlog.present.drawing.drawn import (
    FREE,
    FULL,
    LIVED,
    Drawn,
    InkRole,
    Places,
    in_pieces,
    interval_cells,
    labels_line,
    plain_form,
)

#: seasons at both ends of the scale of doublings: half a season and 32
_LEAST, _DOUBLINGS = 0.5, 6
_SEASON_LABELS: Final = ("½", "1", "2", "4", "8", "16", "32")
#: half-lives on the linear scale
_HALF_LIVES: Final = 2
_HALF_LIFE_LABELS: Final = ("0", "½", "1", "1½", "2")
#: a doubling by the width of the screen: (columns from, cells)
_CELLS_OF_DOUBLING: Final = ((120, 6), (72, 4), (0, 2))
_BEYOND: Final = 10_000
#: how the strip is read, under a list of strips; and what stands behind a figure where parts of unknown age are in none of it
_READ: Final = "Seasons of use here: ░ lived ├●┤ half fail ═ lived into it ○ guess → goes on"
_READ_BRIEFLY: Final = "Seasons: ░ lived ├●┤ half fail ○ guess"
_UNKNOWN, _UNKNOWN_BRIEFLY = "+n?: n more of unknown age", "?: more of unknown age"
#: narrower screens have the short form
_PHONE: Final = 72


def how_to_read(columns: int, *, unknown: bool) -> str:
    """Return the key of a list of strips for so many columns; `unknown`: figures of it leave out parts of unknown age."""
    strip, more = (_READ, _UNKNOWN) if columns >= _PHONE else (_READ_BRIEFLY, _UNKNOWN_BRIEFLY)
    return f"{strip}\n{more}" if unknown else strip


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

    @property
    def has_interval(self) -> bool:
        """Whether a life is known, with both ends."""
        return bool(self.median and self.low is not None and self.high is not None)


@dataclass(frozen=True, slots=True)
class SeasonScale:
    """Doublings of a season of use: `½ 1 2 4 8 16 32`, so many cells to a doubling."""

    doubling: int = 4

    @classmethod
    def for_width(cls, columns: int) -> SeasonScale:
        """Return the scale for a screen of so many columns: 2 cells to a doubling on a phone, 4 at 80, 6 from 120 on."""
        return cls(next(cells for least, cells in _CELLS_OF_DOUBLING if columns >= least))

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


@dataclass(frozen=True, slots=True)
class HalfLifeScale:
    """From new to twice the half-life, evenly: the middle stands in the middle cell of every strip."""

    half: int = 12

    @classmethod
    def for_width(cls, columns: int) -> HalfLifeScale:
        """Return the scale for a screen of so many columns: as wide as the scale of seasons there."""
        return cls(SeasonScale.for_width(columns).cells // 2)

    @property
    def cells(self) -> int:
        """Cells of the strip."""
        return _HALF_LIVES * self.half + 1

    def place(self, half_lives: float) -> int:
        """Return the cell of so many half-lives."""
        return _rounded(half_lives * self.half) if isfinite(half_lives) else _BEYOND

    def heading(self, *, plain: bool = False) -> str:
        """Return the half-lives over their cells."""
        labels = [
            plain_form(one).replace("11/2", "1.5").replace("1/2", ".5") if plain else one for one in _HALF_LIFE_LABELS
        ]
        if self.half < 8:
            labels = [one if place % 2 == 0 else "" for place, one in enumerate(labels)]
        places = [(place * self.half // 2, one) for place, one in enumerate(labels) if one]
        return labels_line(places, self.cells)


@dataclass(frozen=True, slots=True)
class OwnScale:
    """The unit of one kind, from 0 to `top`, evenly over `cells` cells."""

    top: float
    cells: int

    def place(self, usage: float) -> int:
        """Return the cell of a usage."""
        if not isfinite(usage) or self.top <= 0:
            return _BEYOND
        return _rounded(usage / self.top * (self.cells - 1))

    def heading(self, step: float, unit: str = "") -> str:
        """Return a figure over the cell of each step, and the unit behind the last."""
        count = floor(self.top / step + 1e-9) if step > 0 else 0
        labels = [(self.place(number * step), f"{number * step:,.0f}") for number in range(count + 1)]
        line = labels_line(labels, self.cells)
        return f"{line.rstrip()} {unit}".ljust(self.cells) if unit else line


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
    return _strip(life, season, scale)


def half_life_strip(life: Life, scale: HalfLifeScale) -> Drawn:
    """Draw a life on its own half-life: the middle of every strip in one column, lived up to today.

    Examples
    --------
    >>> from wearlog.present.drawing.drawn import joined
    >>> joined(half_life_strip(Life(10366, 15700, 19900, 27200), HalfLifeScale()))
    '░░░░░░░··├──●───┤········'
    """
    if not life.median:
        return interval_cells(None, 0, scale.cells)
    return _strip(life, life.median, scale)


def own_strip(life: Life, scale: OwnScale) -> Drawn:
    """Draw a life in its own unit; the kind page and a farm of which no season is known."""
    return _strip(life, 1.0, scale)


def life_bar(age: float | None, scale: OwnScale) -> Drawn:
    """Draw one part on the scale of its kind: what is lived, and today as a full cell; nothing where its age is not known."""
    if age is None or scale.cells <= 0:
        return in_pieces([" "] * max(scale.cells, 0), [InkRole.QUIET] * max(scale.cells, 0))
    today = min(max(scale.place(age), 0), scale.cells - 1)
    line = [LIVED] * today + [FULL] + [" "] * (scale.cells - today - 1)
    return in_pieces(line, [InkRole.QUIET] * today + [InkRole.INK] + [InkRole.QUIET] * (scale.cells - today - 1))


def seasons_left(life: Life, season: float | None) -> float | None:
    """Return the seasons until half of its like have failed, 0 where that is past; None where something is not known."""
    if life.age is None or not life.median or not season or season <= 0:
        return None
    return max(life.median - life.age, 0.0) / season


def seasons_left_words(life: Life, season: float | None) -> str:
    """Return the seasons until half have failed as a figure: 3.4, 12, "past"; a dot where nobody knows."""
    left = seasons_left(life, season)
    if left is None:
        return FREE
    if left <= 0:
        return "past"
    return f"{left:.0f}" if left >= 9.95 else f"{left:.1f}"


def _strip(life: Life, unit: float, scale: SeasonScale | HalfLifeScale | OwnScale) -> Drawn:
    places = None
    if life.median and life.low is not None and life.high is not None:
        low, middle, high = (scale.place(end / unit) for end in (life.low, life.median, life.high))
        places = Places(low, middle, high, life.guessed)
    lived = scale.place(life.age / unit) + 1 if life.age else 0
    return interval_cells(places, max(lived, 0), scale.cells)


def _rounded(value: float) -> int:
    return floor(value + 0.5)
