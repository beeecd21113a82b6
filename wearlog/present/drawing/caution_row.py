"""The one row of cautions under an answer: ▲ CARE, the acts that matter, and the key that brings the whole list."""

from __future__ import annotations

from collections.abc import Sequence

from wearlog.facts.cautions import acts_of, sentences_of
from wearlog.facts.closed_lists import Hazard
from wearlog.present.drawing.drawn import WANTS_A_HAND, Drawn, InkRole, Piece
from wearlog.present.tables import width

#: fewer columns are a phone: shorter words, two acts
_PHONE = 72


def caution_row(hazards: Sequence[Hazard], columns: int, *, key: str = "!", count: int = 0) -> Drawn:
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
    """
    if not hazards:
        return ()
    narrow = columns < _PHONE
    between = ", " if narrow else "   "
    # the machine's own book stands last in the list
    count = count or len(sentences_of(hazards)) + 1
    key = f"{key} all {count}" if narrow else f"{key} all {count} lines"
    word = f"{WANTS_A_HAND} CARE" + (" " if narrow else "  ")
    acts = list(acts_of(hazards, short=narrow))
    while len(acts) > 1 and width(word + between.join(acts)) + 2 + width(key) > columns:
        acts.pop()
    said = between.join(acts)
    gap = max(columns - width(word) - width(said) - width(key), 1)
    return (Piece(word + said, InkRole.ALARM), Piece(" " * gap), Piece(key, InkRole.TITLE))
