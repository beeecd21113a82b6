"""What a list shows: columns with the room they need, rows, an order, where they come from; and an answer as one. Draws nothing."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Final, Protocol

from wearlog.facts.plain_text import one_line
from wearlog.present.tables import ONLY_WITH_ROOM, width

# an empty list is painted before there is any answer: what answers are made of is loaded with the first
if TYPE_CHECKING:
    from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, Row
    from wearlog.present.digits import Measures
    from wearlog.tui.door import Door


#: cells that a column gives to its longest word
_LONGEST_WORD: Final = 14
#: cells under which a column of words is not pressed
_LEAST_WORDS: Final = 6


def list_columns(columns: Sequence[AnswerColumn[Row]], measures: Measures, name: str = "") -> tuple[ListColumn, ...]:
    """Return the columns of a list whose rows come page by page: nobody knows yet how much room they need."""
    return tuple(_list_column(column, measures, [column.most], name) for column in columns if column.is_shown)


def _list_column(column: AnswerColumn[Row], measures: Measures, needs: Sequence[int], name: str) -> ListColumn:
    """`needs` are the cells that the words need, and those of each shorter form; `name` is that of the answer."""
    from wearlog.tui.widgets.heading_words import meaning_of_heading

    forms = tuple(min(column.most, need) for need in needs)
    return ListColumn(
        column.heading(measures),
        min(column.least, forms[-1]),
        forms[0],
        column.figures,
        column.gives,
        column.order_name,
        min(column.room, forms[0]),
        forms if column.short else (),
        tuple(column.titles),
        column.clauses,
        meaning_of_heading(name, column, measures),
    )


@dataclass(frozen=True, slots=True)
class ListColumn:
    """A column at least `least` and at most `most` cells wide.

    `weight` says which columns go first when the screen is narrow: the heaviest number goes first, 0 always stays. `sort` is the
    name by which the source orders it, empty where it cannot. `room` are the cells down to which it is cut before a column of
    weight 2 and more goes; `forms` are the cells that the words need, and under it those of each shorter form that the rows have:
    with `room` they stay whole where the least widths of the others leave so much. `titles` stand over the
    shorter forms where the title fits the long one alone. With `clauses` words that find no room end with a whole clause. `about`
    is what its heading means, for the help page.
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
    clauses: bool = False
    about: str = ""

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

    `shorter` are the cells shortened once, twice, ..., for columns that have such forms; `also` are words by which people look for
    it that stand in no cell.
    """

    key: Hashable
    cells: tuple[str, ...]
    heading: bool = False
    alarm: bool = False
    shorter: tuple[tuple[str, ...], ...] = ()
    also: tuple[str, ...] = ()

    def cell(self, place: int, form: int) -> str:
        """Return the words of a column, shortened so often."""
        return self.cells[place] if form == 0 else self.shorter[form - 1][place]


@dataclass(frozen=True, slots=True)
class ListOrder:
    """Filter words and order; `sort` empty means the source's usual order."""

    words: str = ""
    sort: str = ""
    backwards: bool = False


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


@dataclass(frozen=True, slots=True)
class SheetSource(FixedSource):
    """The rows of an answer that is known whole. Unordered they stand as the answer has them."""

    orders: dict[str, Callable[[int], Any]] = field(default_factory=dict)

    def filtered(self, order: ListOrder) -> Sequence[ListRow]:
        """Return the rows that pass the filter, in the order that is asked for; what has no figure stands last either way."""
        # not by super(): a slotted dataclass is made anew and its own name then means another class
        found = FixedSource.filtered(self, order)
        by = self.orders.get(order.sort)
        if by is None:
            return found
        place_of = {id(row): place for place, row in enumerate(self.rows)}
        with_value = [row for row in found if by(place_of[id(row)]) is not None]
        without = [row for row in found if by(place_of[id(row)]) is None]
        ordered = sorted(with_value, key=lambda row: by(place_of[id(row)]), reverse=order.backwards)
        return [*ordered, *without]


def sheet_source(sheet: AnswerSheet[Row]) -> SheetSource:
    """Return the source of a list that shows an answer; no column is wider than what stands in it."""
    rows = _rows(sheet, sheet.listed)
    listed = _columns_for([sheet], rows)
    orders = {column.order_name: _by(column.order, sheet.listed) for column in sheet.shown if column.order is not None}
    return SheetSource(listed, rows, orders)


def blocks_source(sheets: Sequence[AnswerSheet[Row]], below: Sequence[str] = ()) -> FixedSource:
    """Return the rows of several answers with the same columns, each under its headline; sentences stand `below` the last."""
    rows: list[ListRow] = []
    for sheet in sheets:
        if sheet.headline and sheet.rows:
            rows.append(ListRow(sheet.headline, (one_line(sheet.headline),), heading=True))
        rows += _rows(sheet, sheet.listed)
    listed = _columns_for(sheets, [row for row in rows if not row.heading])
    rows += [ListRow(said, (one_line(said),), heading=True) for said in below]
    return FixedSource(listed, rows)


def headed_source(sheet: AnswerSheet[Row], over: str) -> FixedSource:
    """Return rows under headings: what the column of the key `over` says stands over its rows, and not in them."""
    (heading,) = (column for column in sheet.columns if column.key == over)
    within = replace(sheet, columns=[column for column in sheet.columns if column is not heading], made={})
    plain = _rows(within, within.listed)
    rows: list[ListRow] = []
    said = ""
    for row, listed in zip(within.listed, plain, strict=True):
        if (words := heading.cell(row, sheet.measures)) != said:
            said = words
            rows.append(ListRow(said, (said.upper(),), heading=True))
        rows.append(listed)
    return FixedSource(_columns_for([within], plain), rows)


def list_with_sums(sheet: AnswerSheet[Row]) -> tuple[Sequence[ListColumn], Sequence[ListRow]]:
    """Return columns and rows of a list that is only looked at: the sums stand last."""
    rows = _rows(sheet, sheet.listed if sheet.foot is None or not sheet.listed else [*sheet.listed, sheet.foot])
    return _columns_for([sheet], rows), rows


def _rows(sheet: AnswerSheet[Row], rows: Sequence[Row]) -> list[ListRow]:
    return [
        ListRow(sheet.key_of(row), cells, alarm=sheet.shouts(row), shorter=tuple(shorter))
        for row in rows
        for cells, *shorter in (sheet.forms(row),)
    ]


def _columns_for(sheets: Sequence[AnswerSheet[Row]], rows: Sequence[ListRow]) -> list[ListColumn]:
    """The columns, as wide as what stands in them."""
    if not sheets:
        return []
    from wearlog.facts.farm_settings import NOTHING

    columns, measures = sheets[0].shown, sheets[0].measures

    def needs(place: int, column: AnswerColumn[Row]) -> list[int]:
        titles = [column.heading(measures), *column.titles]
        return [
            max([width(titles[min(form, len(titles) - 1)]), *(width(row.cell(place, form)) for row in rows)])
            for form in range(len(column.short) + 1)
        ]

    def least(place: int, column: AnswerColumn[Row]) -> int:
        """A figure is whole or not there at all; a word is divided only where it is longer than most of a phone."""
        last = len(column.short)
        title = column.titles[-1] if column.titles else column.heading(measures)
        pieces = [row.cell(place, last) for row in rows]
        if not column.figures:
            pieces = [word for cell in pieces for word in cell.split()]
        need = max((width(one) for one in (*pieces, *title.split())), default=0)
        return need if column.figures else min(need, _LONGEST_WORD)

    def gives(place: int, column: AnswerColumn[Row]) -> int:
        """A column in which no row has anything takes no room from one that has."""
        is_bare = bool(rows) and not any(row.cells[place].strip(f" {NOTHING}") for row in rows)
        return ONLY_WITH_ROOM if column.gives and is_bare else column.gives

    return [
        replace(listed, least=min(max(listed.least, least(place, column)), listed.most), weight=gives(place, column))
        for place, column in enumerate(columns)
        for listed in (_list_column(column, measures, needs(place, column), sheets[0].name),)
    ]


def _by(order: Callable[[Row], Any], rows: Sequence[Row]) -> Callable[[int], Any]:
    return lambda place: order(rows[place])


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
    while sum(sizes.values()) + len(kept) - 1 > wide:
        # what is left needs more than there is: words give way, they go on in a second line
        words = [place for place in kept if not columns[place].figures and sizes[place] > _LEAST_WORDS]
        if not words:
            break
        sizes[max(words, key=lambda place: sizes[place])] -= 1
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
