"""The screens on a console that knows few characters: what is painted passes through here and comes out as ASCII, cell for cell."""

from __future__ import annotations

import os
from functools import cache

from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

from wearlog import PLAIN_SETTING
from wearlog.facts.plain_text import in_ascii


def plain_is_asked_for() -> bool:
    """Say whether this console is to get ASCII alone."""
    return bool(os.environ.get(PLAIN_SETTING))


class PlainCells(LineFilter):
    """Each character as one of ASCII that takes as many cells, so that nothing on a screen moves."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Return the segments of a line with their text in ASCII."""
        return [
            one if one.control or one.text.isascii() else Segment("".join(map(_cell, one.text)), one.style)
            for one in segments
        ]


@cache
def _cell(char: str) -> str:
    room = cell_len(char)
    return char if char.isascii() else in_ascii(char)[: min(room, 1)].ljust(room)
