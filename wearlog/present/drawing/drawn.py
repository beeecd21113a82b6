"""Pieces of text with what each is for, the characters that pictures are made of, the row of cautions, chances and ranges.

A picture says no colour: a face has an ink for each `InkRole`. A face that has ASCII alone writes `facts.plain_text.in_ascii`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum, unique
from itertools import groupby
from math import floor, log10
from typing import Final

from wearlog.facts.cautions import FROM_SEAT, acts_of, sentences_of
from wearlog.facts.closed_lists import Hazard
from wearlog.present.digits import NOTHING, number, percent
from wearlog.present.drawing.marks import FREE as FREE
from wearlog.present.drawing.marks import FULL as FULL
from wearlog.present.drawing.marks import HALF_FULL as HALF_FULL
from wearlog.present.drawing.marks import WANTS_A_HAND as WANTS_A_HAND
from wearlog.present.tables import width

#: fewer columns are a phone: shorter words, two acts
_PHONE = 72


_CAUTIONS: Final = " cautions"


def caution_row(
    hazards: Sequence[Hazard], columns: int, *, key: str = "!", count: int = 0, from_seat: bool = False
) -> Drawn:
    """Return the row in exactly so many columns; nothing where there is no danger.

    Parameters
    ----------
    hazards : sequence of Hazard
        What is dangerous in the work, the worst first.
    columns : int
        Cells of the row. What finds no room is left out whole, from the last act on; the key never is.
    key : str
        The key that brings the whole list.
    count : int
        Sentences of the whole list; 0: those of these dangers and the machine's own book.
    from_seat : bool
        The key is on and nothing is touched: the row says what that takes, and when the key comes out.
    """
    if not hazards:
        return ()
    narrow = columns < _PHONE
    between = ", " if narrow else "   "
    # the machine's own book stands last in the list
    count = count or len(sentences_of(hazards)) + 1
    word = f"{WANTS_A_HAND} CARE" + (" " if narrow else "  ")
    acts = [one[narrow] for one in FROM_SEAT] if from_seat else list(acts_of(hazards, short=narrow))
    key = f"{key} {'read' if narrow else 'all'} {count}"
    taken = width(word + between.join(acts)) + 2 + width(key)
    # an act is worth more than the word for all of them
    if not narrow and not taken <= columns < taken + width(_CAUTIONS):
        key += _CAUTIONS
    while len(acts) > 1 and width(word + between.join(acts)) + 2 + width(key) > columns:
        acts.pop()
    said = between.join(acts)
    gap = max(columns - width(word) - width(said) - width(key), 1)
    return (Piece(word + said, InkRole.ALARM), Piece(" " * gap), Piece(key, InkRole.TITLE))


@unique
class InkRole(StrEnum):
    """What a piece of text is for."""

    INK = "ink"
    #: dots, what is old, what matters less
    QUIET = "quiet"
    #: headings and keys
    TITLE = "title"
    #: a mark that wants a hand, with its word
    ALARM = "alarm"


@dataclass(frozen=True, slots=True)
class Piece:
    """Some characters, each one cell wide."""

    text: str
    role: InkRole = InkRole.INK


Drawn = Sequence[Piece]

#: what is lived, an interval and the cells of it that are lived already, the middle of it, and what goes on beyond the scale
LIVED, MIDDLE, GUESSED = "░", "●", "○"

LOW_END, HIGH_END, BETWEEN = "├", "┤", "─"

LIVED_LOW_END, LIVED_HIGH_END, LIVED_BETWEEN = "╞", "╡", "═"

GOES_ON, GOES_ON_BELOW = "→", "←"

EMPTY_BOX, FULL_BOX = "□", "■"

#: the parts of a sum, in their order
FILLS: Final = "█▓▒░"

NOTHING_SAVED, CROSSES_NOTHING = "│", "┼"


def joined(drawn: Iterable[Piece]) -> str:
    """Return the text of a picture without its roles."""
    return "".join(piece.text for piece in drawn)


def in_pieces(cells: Sequence[str], roles: Sequence[InkRole]) -> tuple[Piece, ...]:
    """Return cells as pieces, neighbours of one role together."""
    pairs = zip(cells, roles, strict=True)
    return tuple(Piece("".join(cell for cell, _ in group), role) for role, group in groupby(pairs, lambda one: one[1]))


def labels_line(labels: Iterable[tuple[int, str]], cells: int) -> str:
    """Return words at their cells in a line of `cells` cells; one that would touch the word before it is left out.

    The last word may stand over the end: a scale's unit does.
    """
    line = ""
    for cell, words in labels:
        if cell < len(line) + bool(line):
            continue
        line = line.ljust(cell) + words
    return line.ljust(cells)


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


_BOXES: Final = 10


def chance_figure(chance: float) -> str:
    """Return a chance for a list, in per cent: never 0 and never 100."""
    return "under 1 %" if chance < 0.01 else "over 99 %" if chance > 0.99 else percent(chance)


def share_boxes(share: float, boxes: int = _BOXES) -> Drawn:
    """Return a share of 0 to 1 as boxes, rounded: of a chance, of the money, of the hours."""
    full = round(min(max(share, 0.0), 1.0) * boxes)
    return (Piece(FULL_BOX * full + EMPTY_BOX * (boxes - full)),)


def amount_boxes(have: float, keep: float, most: int = _BOXES) -> Drawn:
    """Return what there is of what shall be there, a box for each piece where they find room.

    Parameters
    ----------
    have, keep : float
        Pieces on the shelf and pieces to keep; or what is used of a limit, and the limit.
    most : int
        So many boxes at most. Of more pieces each box stands for several: then one is left empty as long as any is wanting, and
        one is full as long as any is there.
    """
    most = max(most, 2)
    if max(have, keep) <= most or have >= keep:
        full = min(max(int(have), 0), most)
        return (Piece(FULL_BOX * full + EMPTY_BOX * max(min(int(keep), most) - full, 0)),)
    full = min(max(round(have / keep * most), int(have > 0)), most - 1)
    return (Piece(FULL_BOX * full + EMPTY_BOX * (most - full)),)


#: an interval whose ends are this far apart has two figures that mean something, a narrower one three
_WIDE: Final = 3.0


def to_figures(value: float, figures: int) -> float:
    """Return a number rounded to so many figures: 31,389 to three is 31,400."""
    if value == 0:
        return 0.0
    places = figures - 1 - floor(log10(abs(value)))
    return round(value, places)


def figures_of(value: float, figures: int = 3) -> str:
    """Return a number with so many figures and its thousands: 31,400, 9.84, 0.41.

    Examples
    --------
    >>> [figures_of(one) for one in (31389, 9.8449, 0.4096, 0)]
    ['31,400', '9.84', '0.41', '0']
    """
    rounded = to_figures(value, figures)
    if rounded == 0:
        return "0"
    places = max(figures - 1 - floor(log10(abs(rounded))), 0)
    text = number(rounded, places)
    return text.rstrip("0").rstrip(".") if "." in text else text


def about(value: float, unit: str = "") -> str:
    """Return a reckoned sum with three figures, and says so: "about 31,400 USD"."""
    return " ".join(one for one in ("about", figures_of(value), unit) if one)


def range_words(low: float | None, high: float | None, unit: str = "", *, to: bool = False) -> str:
    """Return an interval in one unit: "140-3,500 h", or with `to` "7,550 to 9,840 ac".

    Parameters
    ----------
    low, high : float or None
        Its two ends; a dash where one is not known. Three figures each; two where the high end is three times the low one or
        more, or where the interval crosses nothing.
    unit : str
        Stands once, behind.
    to : bool
        Say "to" between the ends, for a sentence; an interval that begins below nothing says it in any case.

    Examples
    --------
    >>> range_words(139, 3466, "h"), range_words(7547.2, 9843.1, "ac", to=True), range_words(-118, 833, "USD")
    ('140-3,500 h', '7,550 to 9,840 ac', '-120 to 830 USD')
    """
    if low is None or high is None:
        return NOTHING
    low_words, high_words = _ends(low, high)
    if low_words == high_words:
        return about(low, unit) if low != high else f"{low_words} {unit}".strip()
    between = " to " if to or low < 0 else "-"
    return f"{low_words}{between}{high_words} {unit}".strip()


def _ends(low: float, high: float) -> tuple[str, str]:
    if low > 0 and high > 0:
        figures = 2 if high >= _WIDE * low else 3
        return figures_of(low, figures), figures_of(high, figures)
    # ends about nothing share the step of the larger one
    places = 1 - floor(log10(max(abs(low), abs(high)))) if low or high else 0
    return tuple(number(round(end, places) + 0.0, max(places, 0)) for end in (low, high))  # type: ignore[return-value]
