"""The drawing of a circuit as lines of a given width: a branch whose words find no room runs on below itself, and none is cut."""

from __future__ import annotations

from typing import Final

from wearlog.present.tables import folded

#: columns that the words of a branch have, however deep it stands
_LEAST_ROOM: Final = 16


def folded_branch(line: str, wide: int) -> list[str]:
    """Return a line of the drawing as lines of at most so many columns, the strokes going on beside what runs on.

    The last branch has the stroke of the others: the screens draw no other. A branch that leaves less than 16 columns of room is
    wider.

    Examples
    --------
    >>> folded_branch("│ └ Left work light; returns by Cab ground", 24)
    ['│ ├ Left work light;', '│     returns by Cab', '│     ground']
    """
    words = line.lstrip("├└│ ")
    strokes = line[: len(line) - len(words)]
    goes_on = strokes.replace("├", "│").replace("└", " ")
    first, *more = folded([words], width=max(wide - len(strokes), _LEAST_ROOM)) or [""]
    return [strokes.replace("└", "├") + first, *(goes_on + one for one in more)]
