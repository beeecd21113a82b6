"""A list of any length: only the rows in view are fetched and drawn; filter and order are the query's work, not the screen's."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, ClassVar, Final

from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Region, Size
from textual.message import Message

from wearlog.errors import WearlogError
from wearlog.present.tables import width
from wearlog.tui.host import Host, host_of
from wearlog.tui.widgets.list_face import PAGE, ListFace
from wearlog.tui.widgets.list_rows import FixedSource, ListOrder, ListRow, ListSource

if TYPE_CHECKING:
    from wearlog.tui.door import Door

#: asked for while a reload is on its way
EVERYTHING: Final = (-1, -1)
#: cells of these alone say nothing
NOTHING_SAID: Final = " -·"
#: the moving keys and what they do
MOVES = {
    "up": "one row up",
    "down": "one row down",
    "pageup": "a page up",
    "pagedown": "a page down",
    "home": "first row",
    "end": "last row",
}


class WindowedList(ListFace):
    """A table whose rows come in pages from a source."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "choose", "open", tooltip="open what is under the cursor"),
        *[Binding(key, f"go('{key}')", words, show=False) for key, words in MOVES.items()],
    ]

    class Chosen(Message):
        """Enter was pressed, or the row clicked a second time."""

        def __init__(self, windowed_list: WindowedList, row: ListRow) -> None:
            super().__init__()
            self.windowed_list = windowed_list
            self.row = row

        @property
        def control(self) -> WindowedList:
            return self.windowed_list

    class Moved(Message):
        """The cursor came to stand on another row; None while it is not there yet."""

        def __init__(self, windowed_list: WindowedList, row: ListRow | None) -> None:
            super().__init__()
            self.windowed_list = windowed_list
            self.row = row

        @property
        def control(self) -> WindowedList:
            return self.windowed_list

    def __init__(
        self, source: ListSource | None = None, *, empty: str = "", id: str | None = None, classes: str | None = None
    ) -> None:
        super().__init__(source, empty=empty, id=id, classes=classes)
        self._key: Hashable | None = None
        #: whether a person moved the cursor or opened a row: from then on it stays where it was put
        self.is_placed = False
        #: what is being fetched, so that it is not asked for again; everything during a reload
        self._asked: tuple[int, int] | None = None
        #: a source whose rows are on their way, where it has other columns than the rows that are shown
        self._coming: ListSource | None = None
        #: the order in which the rows that are shown were fetched
        self._fetched_in: ListOrder | None = None

    # what is shown ------------------------------------------------------------------------------------------------

    def show(self, source: ListSource, order: ListOrder | None = None, *, opens_on: Hashable | None = None) -> None:
        """Show another source, or the same one again: the cursor stays on its row if that is still there.

        Until somebody puts it elsewhere it stands on the row of the key `opens_on`, which the answer above the list speaks of.
        The rows that are shown stay until the new ones are there, so that a key pressed meanwhile has its row.
        """
        self.order = order or self.order
        if opens_on is not None and not self.is_placed:
            self._key = opens_on
        if isinstance(source, FixedSource):
            self.source, self._coming = source, None
            self._take_fixed(source)
            return
        # rows that were fetched have as many cells as their columns
        waits = bool(self.count) and tuple(source.columns) != tuple(self.source.columns)
        self.source, self._coming = (self.source, source) if waits else (source, None)
        self.reload()

    def sort_by(self, order: ListOrder) -> None:
        """Change filter or order; the cursor stays on its row if the filter lets it through."""
        self.order = order
        if isinstance(self.source, FixedSource) and self._coming is None:
            self._take_fixed(self.source)
            return
        self.reload()

    def reload(self) -> None:
        """Fetch the rows anew, because something was entered or the order changed."""
        source = self._coming or self.source
        if isinstance(source, FixedSource):
            return
        order, key = self.order, self._key
        # a row of which its source cannot tell the place is looked for where it was
        around = self.cursor if key is None or self._stays(source) else 0

        def question(door: Door) -> tuple[int | None, int, Sequence[ListRow]]:
            place = None if key is None else source.place_of(door, order, key)
            first = max(0, (around if place is None else place) - PAGE // 2)
            first -= first % PAGE
            return place, first, source.page(door, order, first, 2 * PAGE)

        self._asked = EVERYTHING
        self._screens.ask(self, "rows", question, self._take_reloaded, self._failed)
        self._screens.ask(self, "count", lambda door: source.count(door, order), self._take_count)

    @property
    def _screens(self) -> Host:
        return host_of(self)

    def _take_reloaded(self, found: tuple[int | None, int, Sequence[ListRow]]) -> None:
        place, first, rows = found
        self._asked = None
        self.source, self._coming = self._coming or self.source, None
        self.pages.clear()
        self.pages.keep(first, rows)
        if self.count is None or len(rows) < 2 * PAGE:
            # the count itself comes a little later; until then the list is as long as what is known of it
            self._set_count(first + len(rows))
        if place is None:
            place = self.pages.number_of(self._key)
        if place is None:
            place = self.cursor if self._stays(self.source) else first
        self._fetched_in = self.order
        self._move_to(place, keep_key=False)
        self.refresh()

    def _stays(self, source: ListSource) -> bool:
        """Whether the rows are the same ones in the same order, but for what was entered since."""
        return self.order == self._fetched_in and getattr(source, "keeps_place", False)

    def _take_count(self, count: int) -> None:
        self._set_count(count)
        if self.cursor >= count:
            self._move_to(max(0, count - 1), keep_key=False)

    def _take_fixed(self, source: FixedSource) -> None:
        rows = source.filtered(self.order)
        self.pages.clear()
        self.pages.keep(0, rows)
        self._set_count(len(rows))
        place = next((number for number, row in enumerate(rows) if row.key == self._key), min(self.cursor, len(rows)))
        self._move_to(place, keep_key=False)
        self.refresh()

    def _set_count(self, count: int) -> None:
        if count != self.count:
            self.count = count
            self.refresh()
        self._measure()

    def _measure(self) -> None:
        self.virtual_size = Size(self.size.width, self.tallness)

    def _failed(self, error: WearlogError) -> None:
        """Rows could not be fetched: say why, and ask again when they are next in view."""
        self._asked = None
        self._screens.say(f"{error.message} {error.hint}".strip(), alarm=True)

    @property
    def row(self) -> ListRow | None:
        """The row under the cursor."""
        return self.row_at(self.cursor)

    @property
    def unseen(self) -> dict[str, str]:
        """What the row under the cursor finds no room for, by the titles: cut and short cells first, then what gave way last."""
        row, columns = self.row, self.source.columns
        if row is None or row.heading:
            return {}
        shown = dict(self.shown(self.scrollable_content_region.width - 1))
        cut = [
            place for place, size in shown.items() if self._is_cut(row, place, size) or self._is_short(row, place, size)
        ]
        gone = (place for place in range(len(columns)) if place not in shown)
        left = [*cut, *sorted(gone, key=lambda place: columns[place].weight)]
        return {columns[place].title: row.cells[place] for place in left if row.cells[place].strip(NOTHING_SAID)}

    def has_room_for(self, title: str) -> bool:
        """Whether the column of this title stands in the list, in whichever form."""
        shown = dict(self.shown(self.scrollable_content_region.width - 1))
        return any(self.source.columns[place].title == title for place in shown)

    def _is_cut(self, row: ListRow, place: int, size: int) -> bool:
        """Whether words find no room: those of rows that are all known go on in the next line, but for clauses left out."""
        column = self.source.columns[place]
        goes_on = isinstance(self.source, FixedSource) and not column.clauses and not column.figures
        return not goes_on and width(row.cell(place, column.form_in(size)).strip()) > size

    def _is_short(self, row: ListRow, place: int, size: int) -> bool:
        """Whether a cell is shortened in so many cells."""
        return row.cell(place, self.source.columns[place].form_in(size)) != row.cells[place]

    def row_is_missing(self) -> None:
        """Ask for the rows that are in view and not here."""
        if isinstance(self.source, FixedSource) or not self.count or self._asked == EVERYTHING:
            return
        top = self.scroll_offset.y
        wanted = self.pages.missing(top, min(top + self.size.height, self.count - 1))
        if wanted is None or wanted == self._asked:
            return
        self._asked = wanted
        source, order, count, (first, size) = self.source, self.order, self.count, wanted
        from_end = getattr(source, "last_page", None)

        def question(door: Door) -> Sequence[ListRow]:
            # near the end it is quicker to count from there
            if from_end is not None and first > count // 2:
                found: Sequence[ListRow] = from_end(door, order, first, size, count)
                return found
            return source.page(door, order, first, size)

        self._screens.ask(self, "rows", question, partial(self._take_page, first), self._failed)

    def _take_page(self, first: int, rows: Sequence[ListRow]) -> None:
        self._asked = None
        self.pages.keep(first, rows, near=self.scroll_offset.y)
        if self._key is None:
            self._settle()
        self.refresh()

    # moving -------------------------------------------------------------------------------------------------------

    def begin_anew(self) -> None:
        """Forget where the cursor was put: other rows are coming."""
        self.cursor, self._key, self.is_placed = 0, None, False

    def action_go(self, key: str) -> None:
        """Move the cursor by one of the moving keys."""
        self.is_placed = True
        if key in ("up", "down") and self._go_on_within(key):
            return
        page = max(1, self.size.height - 2)
        last, here = (self.count or 1) - 1, self.line_of(self.cursor)
        step = {"up": -1, "down": 1}
        far = {"pageup": min(self.at_line(max(0, here - page))[0], self.cursor - 1)}
        far["pagedown"] = max(self.at_line(here + page)[0], self.cursor + 1)
        target = {"home": 0, "end": last, **far}.get(key, self.cursor + step.get(key, 0))
        self._move_to(self._past_headings(target, -1 if key in ("up", "pageup", "end") else 1))

    def _go_on_within(self, key: str) -> bool:
        """Show the rest of a row that is taller than the list; whether there was any."""
        room, top = max(1, self.size.height - 1), self.scroll_offset.y
        first, end = self.line_of(self.cursor), self.line_of(self.cursor + 1)
        to = min(top + room - 1, end - room) if key == "down" else max(first, top - room + 1)
        if end - first <= room or not first <= top < end or to == top or (to < top) is (key == "down"):
            return False
        self.scroll_to(y=to, animate=False)
        return True

    def _past_headings(self, number: int, way: int) -> int:
        """A heading cannot be chosen: go on in the same direction, or back where the list ends."""
        last = (self.count or 1) - 1
        number = min(max(number, 0), last)
        for direction in (way, -way):
            place = number
            while 0 <= place <= last:
                row = self.row_at(place)
                if row is None or not row.heading:
                    return place
                place += direction
        return number

    def _move_to(self, number: int, *, keep_key: bool = True) -> None:
        before = self.cursor
        self.cursor = self._past_headings(number, 1) if not keep_key else min(max(number, 0), (self.count or 1) - 1)
        self._scroll_to_cursor()
        self._refresh_row(before)
        self._refresh_row(self.cursor)
        self._settle()

    def move_to_key(self, key: Hashable) -> None:
        """Put the cursor on the row of a key if it has been fetched."""
        number = self.pages.number_of(key)
        if number is not None:
            self.is_placed = True
            self._move_to(number)

    def _settle(self) -> None:
        row = self.row
        self._key = row.key if row is not None else None
        self.post_message(self.Moved(self, row))
        if hasattr(self.screen, "opens_row"):
            self.screen.refresh_bindings()

    def _scroll_to_cursor(self) -> None:
        room = max(1, self.size.height - 1)
        top, first, end = self.scroll_offset.y, self.line_of(self.cursor), self.line_of(self.cursor + 1)
        if first < top:
            self.scroll_to(y=first if self.cursor > 1 else 0, animate=False)
        elif end > top + room:
            # the whole row, or as much of it from its beginning as finds room
            self.scroll_to(y=min(first, end - room), animate=False)

    def _refresh_row(self, number: int) -> None:
        top = self.scroll_offset.y - 1
        first, end = max(1, self.line_of(number) - top), min(self.size.height, self.line_of(number + 1) - top)
        if first < end:
            self.refresh(Region(0, first, self.size.width, end - first))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Nothing is opened where the screen opens no row, or not the one under the cursor."""
        opens = getattr(self.screen, "opens_row", lambda: hasattr(self.screen, "on_windowed_list_chosen"))
        return action != "choose" or bool(opens())

    def action_choose(self) -> None:
        """Choose the row under the cursor."""
        if self.row is not None and not self.row.heading:
            self.is_placed = True
            self.post_message(self.Chosen(self, self.row))

    def on_click(self, event: events.Click) -> None:
        """Move the cursor to the row; a click on the row under the cursor chooses it, on a title orders by its column."""
        if event.y == 0:
            self._order_by(event.x)
        number, _ = self.at_line(self.scroll_offset.y + event.y - 1)
        if event.y < 1 or number >= (self.count or 0):
            return
        if number == self.cursor:
            self.action_choose()
        else:
            self.is_placed = True
            self._move_to(self._past_headings(number, 1))

    def _order_by(self, x: int) -> None:
        """Order by the column whose title stands there; once more turns the order round."""
        columns, end = self.source.columns, 1
        for place, size in self.shown(self.scrollable_content_region.width - 1):
            start, end = end, end + size + 1
            name = columns[place].sort
            if name and start <= x < end:
                turned = self.order.sort == name and not self.order.backwards
                self.sort_by(replace(self.order, sort=name, backwards=turned))

    def watch_show_vertical_scrollbar(self) -> None:
        """Its cell is taken from the columns: what is told of the row under the cursor may be more now, or less."""
        if self.is_attached and self.count:
            self.post_message(self.Moved(self, self.row))

    def on_resize(self) -> None:
        """Keep the cursor in view."""
        self._measure()
        self._scroll_to_cursor()
