"""What a windowed list shows: columns, rows, an order, and where the rows come from. Draws nothing."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from wearlog.present.answer_sheet import ONLY_WITH_ROOM

if TYPE_CHECKING:
    from wearlog.tui.door import Door


@dataclass(frozen=True, slots=True)
class ListColumn:
    """A column at least `least` and at most `most` cells wide.

    `weight` says which columns go first when the screen is narrow: the heaviest number goes first, 0 always stays. `sort` is the
    name by which the source orders it, empty where it cannot. `room` are the cells down to which it is cut before a column of
    weight 2 and more goes; `forms` are the cells that the words need, and under it those of each shorter form that the rows have:
    with `room` they stay whole where the least widths of the others leave so much. `titles` stand over the
    shorter forms where the title fits the long one alone.
    """

    title: str
    least: int
    most: int
    figures: bool = False
    weight: int = 0
    sort: str = ""
    room: int = 0
    forms: tuple[int, ...] = ()
    titles: tuple[str, ...] = ()

    def title_in(self, size: int) -> str:
        """Return what stands over it in so many cells."""
        form = self.form_in(size)
        return self.titles[form - 1] if form and self.titles else self.title

    def form_in(self, size: int) -> int:
        """Return how often the words are shortened in so many cells."""
        return next((place for place, need in enumerate(self.forms) if need <= size), max(0, len(self.forms) - 1))


@dataclass(frozen=True, slots=True)
class ListRow:
    """A row in words, one cell for each column. A heading stands between rows; an alarm says so by a word in its cells too.

    `shorter` are the cells shortened once, twice, ..., for columns that have such forms.
    """

    key: Hashable
    cells: tuple[str, ...]
    heading: bool = False
    alarm: bool = False
    shorter: tuple[tuple[str, ...], ...] = ()

    def cell(self, place: int, form: int) -> str:
        """Return the words of a column, shortened so often."""
        return self.cells[place] if form == 0 else self.shorter[form - 1][place]


@dataclass(frozen=True, slots=True)
class ListOrder:
    """Filter words and order; `sort` empty means the source's usual order."""

    words: str = ""
    sort: str = ""
    backwards: bool = False


class ListSource(Protocol):
    """Where rows come from. All methods but `columns` run in a thread of the gateway and must not touch a widget."""

    @property
    def columns(self) -> Sequence[ListColumn]:
        """The columns, known at once."""

    def count(self, door: Door, order: ListOrder) -> int:
        """How many rows pass the filter."""

    def page(self, door: Door, order: ListOrder, first: int, size: int) -> Sequence[ListRow]:
        """The rows from number `first` on, at most `size` of them."""

    def place_of(self, door: Door, order: ListOrder, key: Hashable) -> int | None:
        """The number of the row of this key in the filtered order; None when it is not there (or cannot be told quickly)."""


@dataclass(frozen=True, slots=True)
class FixedSource:
    """Rows that are all known already: a few dozen, from an answer. Filters them by words itself."""

    columns: Sequence[ListColumn]
    rows: Sequence[ListRow]

    def filtered(self, order: ListOrder) -> Sequence[ListRow]:
        """Return the rows in which every word of the filter occurs."""
        words = order.words.casefold().split()
        if not words:
            return self.rows
        return [
            row
            for row in self.rows
            if not row.heading and all(word in " ".join(row.cells).casefold() for word in words)
        ]

    def count(self, door: Door, order: ListOrder) -> int:
        return len(self.filtered(order))

    def page(self, door: Door, order: ListOrder, first: int, size: int) -> Sequence[ListRow]:
        return self.filtered(order)[first : first + size]

    def place_of(self, door: Door, order: ListOrder, key: Hashable) -> int | None:
        return next((place for place, row in enumerate(self.filtered(order)) if row.key == key), None)


def column_widths(columns: Sequence[ListColumn], wide: int) -> list[tuple[int, int]]:
    """Share out the width: return (number of the column, cells) for the columns that are shown, left to right.

    Columns that stand only with room go where not all fit whole, then the heaviest until the least widths fit; what is left over
    then widens the columns in their order.
    """
    has_room = sum((column.forms or (column.most,))[-1] + 1 for column in columns) - 1 <= wide
    kept = [place for place, column in enumerate(columns) if column.weight < ONLY_WITH_ROOM or has_room]
    for lightest, asked in ((2, [max(one.least, one.room) for one in columns]), (1, [one.least for one in columns])):
        while len(kept) > 1 and sum(asked[place] + 1 for place in kept) - 1 > wide:
            heaviest = max(kept, key=lambda place: (columns[place].weight, place))
            if columns[heaviest].weight < lightest:
                break
            kept.remove(heaviest)
    sizes = {place: columns[place].least for place in kept}
    left = wide - (sum(sizes.values()) + len(kept) - 1)
    for place in kept:
        whole = columns[place].forms[0] - sizes[place] if columns[place].room and columns[place].forms else 0
        if 0 < whole <= left:
            sizes[place] += whole
            left -= whole
    for place in kept:
        column = columns[place]
        most = next((need for need in column.forms if need <= column.least + left), column.most)
        more = max(0, min(left, most - sizes[place]))
        sizes[place] += more
        left -= more
    return [(place, sizes[place]) for place in kept]
