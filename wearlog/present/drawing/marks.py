"""The characters that a screen needs before it knows anything, and the bar of a share. It loads nothing."""

from __future__ import annotations

from typing import Final

WANTS_A_HAND: Final = "▲"
#: what is empty of a bar, what is full, and half a cell of it
FREE, FULL, HALF_FULL = "·", "█", "▌"


def share_bar(share: float, cells: int) -> str:
    """Return a bar of `cells` cells filled to `share` (0 to 1); what is empty is dotted, so that its end is seen."""
    filled = min(max(share, 0.0), 1.0) * cells
    whole = int(filled)
    bar = FULL * whole + (HALF_FULL if filled - whole >= 0.5 else "")
    return bar + FREE * (cells - len(bar))
