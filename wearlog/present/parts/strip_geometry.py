"""A bar of equal positions (a knife, its guards) as rows of characters, every position in its place. No colours, no keys."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from typing import Final

#: shading of an age: lowest when new, full at the high end of the life and beyond
SHADES: Final = "░░▒▒▓▓██"
OLDEST: Final = len(SHADES) - 1
UNKNOWN_AGE: Final = -1
NOTHING_FITTED: Final = -2
#: the age is known, but nobody knows how long such a part lasts
NO_LIFE: Final = -3

NO_BREAKAGE, MANY_BREAKAGES = "·", "+"
LEFT, EMPTY, HOT, UNKNOWN, NOT_COMPARED = "B", "o", "=", "?", "-"
CURSOR, MARKED = "^", "*"
#: cells of one position in the close-up: three digits and a bracket on either side
CLOSE_CELL: Final = 5


@dataclass(frozen=True, slots=True)
class StripPosition:
    """One position: how often it broke, its shade (0 to `OLDEST`, or one of the negative ones), and a sentence about it."""

    breakages: int
    shade: int
    left: bool
    words: str


@dataclass(frozen=True, slots=True)
class StripPicture:
    """A bar. Position 1 is the first of `positions` and stands at the left; `hot` is the span that breaks more than chance."""

    title: str
    one: str
    positions: tuple[StripPosition, ...]
    hot: tuple[int, int] | None = None
    hot_words: str = ""


@dataclass(frozen=True, slots=True)
class StripRows:
    """Rows of equal length, one character for each cell of `per_cell` positions."""

    per_cell: int
    numbers: str
    broke: str
    age: str
    state: str
    pointer: str


def shade_of(age: float | None, life_high: float | None, *, fitted: bool) -> int:
    """Return the shade of an age: full once the high end of the life is reached."""
    if not fitted:
        return NOTHING_FITTED
    if age is None:
        return UNKNOWN_AGE
    if not life_high:
        return NO_LIFE
    return min(OLDEST, int(age / life_high * OLDEST))


def positions_per_cell(count: int, wide: int) -> int:
    """Return how many neighbours share a cell so that all of them fit into `wide` cells: the same number everywhere."""
    return max(1, -(-count // max(1, wide)))


def cell_of(position: int, per_cell: int) -> int:
    """Return the cell, from 0, in which a position (from 1) stands."""
    return (position - 1) // per_cell


def strip_rows(picture: StripPicture, wide: int, *, cursor: int, marked: Collection[int] = ()) -> StripRows:
    """Draw the whole bar in at most `wide` cells.

    A cell shared by several positions shows the sum of their breakages (9 at most, then +), the oldest age, and the mark that
    matters most: B runs broken, o nothing fitted, = in the span that breaks more than chance.
    """
    per_cell = positions_per_cell(len(picture.positions), wide)
    groups = [picture.positions[start : start + per_cell] for start in range(0, len(picture.positions), per_cell)]
    pointer = [" "] * len(groups)
    for position in marked:
        pointer[cell_of(position, per_cell)] = MARKED
    pointer[cell_of(cursor, per_cell)] = CURSOR
    return StripRows(
        per_cell=per_cell,
        numbers=_numbers(len(picture.positions), per_cell, len(groups)),
        broke="".join(_count(sum(one.breakages for one in group)) for group in groups),
        age="".join(_shade(group) for group in groups),
        state="".join(_state(picture, group, place * per_cell + 1) for place, group in enumerate(groups)),
        pointer="".join(pointer),
    )


def _numbers(count: int, per_cell: int, cells: int) -> str:
    """Numbers at round distances, each over the cell that begins nearest to it: of five in a cell 46 must not stand under 50."""
    step = next(
        step for step in (5, 10, 20, 25, 50, 100, 200, 500, 1_000, 2_000) if step // per_cell >= 5 or step == 2_000
    )
    row = [" "] * cells
    for position in (1, *range(step, count + 1, step)):
        place, digits = (position - 1 + (per_cell - 1) // 2) // per_cell, str(position)
        if place + len(digits) <= cells and all(one == " " for one in row[max(0, place - 1) : place + len(digits)]):
            row[place : place + len(digits)] = digits
    return "".join(row)


def _count(breakages: int) -> str:
    if not breakages:
        return NO_BREAKAGE
    return str(breakages) if breakages <= 9 else MANY_BREAKAGES


def _shade(group: Sequence[StripPosition]) -> str:
    known = [one.shade for one in group if one.shade >= 0]
    if known:
        return SHADES[max(known)]
    if any(one.shade == NO_LIFE for one in group):
        return NOT_COMPARED
    return UNKNOWN if any(one.shade == UNKNOWN_AGE for one in group) else EMPTY


def _state(picture: StripPicture, group: Sequence[StripPosition], first: int) -> str:
    if any(one.left for one in group):
        return LEFT
    if any(one.shade == NOTHING_FITTED for one in group):
        return EMPTY
    if picture.hot is not None and picture.hot[0] < first + len(group) and first <= picture.hot[1]:
        return HOT
    return " "


@dataclass(frozen=True, slots=True)
class CloseUp:
    """The positions around the cursor, one cell of `CLOSE_CELL` characters each; `at` is where the cursor's cell begins."""

    first: int
    numbers: str
    broke: str
    age: str
    at: int


def close_up(picture: StripPicture, wide: int, *, cursor: int, marked: Collection[int] = ()) -> CloseUp:
    """Draw the neighbourhood of the cursor, the cursor in the middle where the bar allows."""
    count = len(picture.positions)
    room = max(1, min(count, wide // CLOSE_CELL))
    first = min(max(1, cursor - room // 2), count - room + 1)
    shown = range(first, first + room)

    def row(say: Callable[[int], str]) -> str:
        return "".join(f"{say(position):^{CLOSE_CELL}}" for position in shown)

    def broke(position: int) -> str:
        one = picture.positions[position - 1]
        return f"{_count(one.breakages)}{LEFT if one.left else ''}"

    return CloseUp(
        first=first,
        numbers=row(lambda position: _close_number(position, cursor, marked)),
        broke=row(broke),
        age=row(lambda position: _shade((picture.positions[position - 1],)) * 3),
        at=(cursor - first) * CLOSE_CELL,
    )


def _close_number(position: int, cursor: int, marked: Collection[int]) -> str:
    mark = MARKED if position in marked else ""
    return f"[{position}]" if position == cursor else f"{mark}{position}"
