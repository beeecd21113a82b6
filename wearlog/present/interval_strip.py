"""An interval on a row of cells: what is lived of it, its two ends, its middle, and what goes on beyond the scale."""

from __future__ import annotations

from dataclasses import dataclass

from wearlog.present.drawn import (
    BETWEEN,
    FREE,
    GOES_ON,
    GOES_ON_BELOW,
    GUESSED,
    HIGH_END,
    LIVED,
    LIVED_BETWEEN,
    LIVED_HIGH_END,
    LIVED_LOW_END,
    LOW_END,
    MIDDLE,
    InkRole,
    Piece,
    in_pieces,
)


@dataclass(frozen=True, slots=True)
class Places:
    """Where an interval lies, in cells from 0: any of them may lie before the first cell or behind the last.

    `guessed`: nothing speaks but a starting guess.
    """

    low: int
    middle: int
    high: int
    guessed: bool = False


def interval_cells(places: Places | None, lived: int, cells: int) -> tuple[Piece, ...]:
    """Draw an interval over the cells already lived.

    Parameters
    ----------
    places : Places or None
        None where nobody knows an interval: the lived cells are drawn alone.
    lived : int
        How many cells are lived, from the left; may be none, and more than there are.
    cells : int
        How many cells the strip has.

    Returns
    -------
    tuple of Piece
        Exactly `cells` cells. An end that would fall into the cell of the middle is left out, never moved; what lies beyond the
        strip is an arrow in its first or last cell.
    """
    line = [LIVED if cell < lived else FREE for cell in range(cells)]
    roles = [InkRole.QUIET] * cells
    if places is not None and cells > 0:
        for cell, sign in _signs(places, lived, cells).items():
            line[cell], roles[cell] = sign, InkRole.INK
    return in_pieces(line, roles)


def _signs(places: Places, lived: int, cells: int) -> dict[int, str]:
    def drawn(cell: int, free: str, over_lived: str) -> None:
        if 0 <= cell < cells:
            signs[cell] = over_lived if cell < lived else free

    signs: dict[int, str] = {}
    for cell in range(max(places.low, 0), min(places.high, cells - 1) + 1):
        drawn(cell, BETWEEN, LIVED_BETWEEN)
    if places.low != places.middle:
        drawn(places.low, LOW_END, LIVED_LOW_END)
    if places.high != places.middle:
        drawn(places.high, HIGH_END, LIVED_HIGH_END)
    if places.high >= cells:
        signs[cells - 1] = GOES_ON
    if places.low < 0:
        signs[0] = GOES_ON_BELOW
    middle = GUESSED if places.guessed else MIDDLE
    drawn(places.middle, middle, middle)
    return signs
