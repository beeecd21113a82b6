"""A list of any length: only the rows in view are fetched and drawn; filter and order are the query's work, not the screen's."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import TYPE_CHECKING, ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Region, Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip

from wearlog.present.tables import fit
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListOrder, ListRow, ListSource, column_widths

if TYPE_CHECKING:
    from wearlog.tui.app import Screens

#: rows fetched at once; a screen shows far fewer, so the rows around it are there before they are needed
PAGE = 200
#: pages kept; older ones are fetched again
PAGES_KEPT = 12
WAITING = "..."
#: the moving keys and what they do
MOVES = {
    "up": "one row up",
    "down": "one row down",
    "pageup": "a page up",
    "pagedown": "a page down",
    "home": "first row",
    "end": "last row",
}


class WindowedList(ScrollView, can_focus=True, inherit_bindings=False):
    """A table whose rows come in pages from a source."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "windowed-list--title",
        "windowed-list--cursor",
        "windowed-list--heading",
        "windowed-list--alarm",
        "windowed-list--empty",
    }
    DEFAULT_CSS = """
    WindowedList {
        height: 1fr;
        background: $paper;
        color: $ink;
        scrollbar-size-horizontal: 0;
        scrollbar-size-vertical: 1;
        overflow-x: hidden;
        & .windowed-list--title { color: $mark; background: $paper; text-style: bold underline; }
        & .windowed-list--cursor { color: $chosen-ink; background: $chosen-paper; text-style: bold; }
        & .windowed-list--heading { color: $mark; background: $paper; text-style: bold; }
        & .windowed-list--alarm { color: $alarm; background: $paper; text-style: bold; }
        & .windowed-list--empty { color: $quiet; background: $paper; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "choose", "open", tooltip="open what is under the cursor"),
        *[Binding(key, f"go('{key}')", words, show=False) for key, words in MOVES.items()],
    ]

    cursor: reactive[int] = reactive(0, repaint=False)
    """Number of the row under the cursor, from 0."""

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
        super().__init__(id=id, classes=classes)
        self.source: ListSource = source or FixedSource((), ())
        self.order = ListOrder()
        self.empty = empty
        self.count: int | None = None
        self._pages: dict[int, Sequence[ListRow]] = {}
        self._key: Hashable | None = None
        self._asked: tuple[int, int] | None = None

    # what is shown ------------------------------------------------------------------------------------------------

    def show(self, source: ListSource, order: ListOrder | None = None) -> None:
        """Show another source, or the same one again: the cursor stays on its row if that is still there."""
        self.source = source
        self.order = order or self.order
        if isinstance(source, FixedSource):
            self._take_fixed(source)
            return
        self.reload()

    def sort_by(self, order: ListOrder) -> None:
        """Change filter or order; the cursor stays on its row if the filter lets it through."""
        self.order = order
        if isinstance(self.source, FixedSource):
            self._take_fixed(self.source)
            return
        self.reload()

    def reload(self) -> None:
        """Fetch the rows anew, because something was entered or the order changed."""
        if isinstance(self.source, FixedSource):
            return
        source, order, key, size = self.source, self.order, self._key, PAGE
        around = max(0, self.cursor - size // 2)

        def question(door: object) -> tuple[int | None, int, Sequence[ListRow]]:
            place = None if key is None else source.place_of(door, order, key)  # type: ignore[arg-type]
            first = max(0, place - size // 2) if place is not None else around if key is None else 0
            first -= first % size
            return place, first, source.page(door, order, first, 2 * size)  # type: ignore[arg-type]

        self._screens.gateway.ask(self, "rows", question, self._take_reloaded)
        self._screens.gateway.ask(self, "count", lambda door: source.count(door, order), self._take_count)

    @property
    def _screens(self) -> Screens:
        return self.app  # type: ignore[return-value]

    def _take_reloaded(self, found: tuple[int | None, int, Sequence[ListRow]]) -> None:
        place, first, rows = found
        self._pages = {}
        self._asked = None
        self._keep(first, rows)
        if self.count is None or len(rows) < 2 * PAGE:
            # the count itself comes a little later; until then the list is as long as what is known of it
            self._set_count(first + len(rows))
        self._move_to(place if place is not None else first, keep_key=False)
        self.refresh()

    def _take_count(self, count: int) -> None:
        self._set_count(count)
        if self.cursor >= count:
            self._move_to(max(0, count - 1), keep_key=False)

    def _take_fixed(self, source: FixedSource) -> None:
        rows = source.filtered(self.order)
        self._pages = {number: rows[number * PAGE : (number + 1) * PAGE] for number in range(-(-len(rows) // PAGE))}
        self._set_count(len(rows))
        place = next((number for number, row in enumerate(rows) if row.key == self._key), min(self.cursor, len(rows)))
        self._move_to(place, keep_key=False)
        self.refresh()

    def _set_count(self, count: int) -> None:
        if count != self.count:
            self.count = count
            self.virtual_size = Size(self.size.width, count + 1)
            self.refresh()

    def _keep(self, first: int, rows: Sequence[ListRow]) -> None:
        for start in range(0, len(rows), PAGE):
            self._pages[(first + start) // PAGE] = rows[start : start + PAGE]
        while len(self._pages) > PAGES_KEPT:
            farthest = max(self._pages, key=lambda number: abs(number * PAGE - self.scroll_offset.y))
            del self._pages[farthest]

    def row_at(self, number: int) -> ListRow | None:
        """Return a row if it has been fetched."""
        page = self._pages.get(number // PAGE)
        place = number % PAGE
        return page[place] if page is not None and 0 <= place < len(page) else None

    @property
    def row(self) -> ListRow | None:
        """The row under the cursor."""
        return self.row_at(self.cursor)

    def _fetch_missing(self) -> None:
        """Ask for the pages that are in view and not here, with one more on either side."""
        if isinstance(self.source, FixedSource) or not self.count:
            return
        top = self.scroll_offset.y
        first_page, last_page = top // PAGE, min(top + self.size.height, self.count - 1) // PAGE
        wanted = (max(0, first_page - 1), last_page + 1)
        missing = [number for number in range(first_page, last_page + 1) if number not in self._pages]
        if not missing or self._asked == wanted:
            return
        self._asked = wanted
        source, order = self.source, self.order
        first, size = wanted[0] * PAGE, (wanted[1] - wanted[0] + 1) * PAGE

        def take(rows: Sequence[ListRow]) -> None:
            self._asked = None
            self._keep(first, rows)
            if self._key is None:
                self._settle()
            self.refresh()

        count, from_end = self.count, getattr(source, "last_page", None)
        if from_end is not None and first > count // 2:
            # near the end it is quicker to count from there
            self._screens.gateway.ask(self, "rows", lambda door: from_end(door, order, first, size, count), take)
        else:
            self._screens.gateway.ask(self, "rows", lambda door: source.page(door, order, first, size), take)

    # moving -------------------------------------------------------------------------------------------------------

    def action_go(self, key: str) -> None:
        """Move the cursor by one of the moving keys."""
        page = max(1, self.size.height - 2)
        last = (self.count or 1) - 1
        step = {"up": -1, "down": 1, "pageup": -page, "pagedown": page}
        target = {"home": 0, "end": last}.get(key, self.cursor + step.get(key, 0))
        self._move_to(self._past_headings(target, -1 if key in ("up", "pageup", "end") else 1))

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
        for number in sorted(self._pages):
            for place, row in enumerate(self._pages[number]):
                if row.key == key:
                    self._move_to(number * PAGE + place)
                    return

    def _settle(self) -> None:
        row = self.row
        self._key = row.key if row is not None else None
        self.post_message(self.Moved(self, row))

    def _scroll_to_cursor(self) -> None:
        room = max(1, self.size.height - 1)
        top = self.scroll_offset.y
        if self.cursor < top:
            self.scroll_to(y=self.cursor if self.cursor > 1 else 0, animate=False)
        elif self.cursor >= top + room:
            self.scroll_to(y=self.cursor - room + 1, animate=False)

    def _refresh_row(self, number: int) -> None:
        y = number - self.scroll_offset.y + 1
        if 1 <= y < self.size.height:
            self.refresh(Region(0, y, self.size.width, 1))

    def action_choose(self) -> None:
        """Choose the row under the cursor."""
        if self.row is not None and not self.row.heading:
            self.post_message(self.Chosen(self, self.row))

    def on_click(self, event: events.Click) -> None:
        """Move the cursor to the row; a click on the row under the cursor chooses it."""
        number = self.scroll_offset.y + event.y - 1
        if event.y < 1 or number >= (self.count or 0):
            return
        if number == self.cursor:
            self.action_choose()
        else:
            self._move_to(self._past_headings(number, 1))

    def on_resize(self) -> None:
        """Keep the cursor in view."""
        self.virtual_size = Size(self.size.width, (self.count or 0) + 1)
        self._scroll_to_cursor()

    # drawing ------------------------------------------------------------------------------------------------------

    def render_line(self, y: int) -> Strip:
        """Draw one line: the titles, a row, or nothing."""
        wide = self.size.width
        base = self.rich_style
        if y == 0:
            return self._strip(self._titles(wide), self.get_component_rich_style("windowed-list--title"), wide)
        number = self.scroll_offset.y + y - 1
        if not self.count:
            words = self.empty if y == 1 and self.count == 0 else WAITING if y == 1 else ""
            return self._strip(words, self.get_component_rich_style("windowed-list--empty"), wide)
        if number >= self.count:
            return Strip.blank(wide, base)
        row = self.row_at(number)
        if row is None:
            self.call_later(self._fetch_missing)
            return self._strip(WAITING, base, wide)
        return self._strip(self._words(row, number, wide), self._row_style(row, number, base), wide)

    def _row_style(self, row: ListRow, number: int, base: Style) -> Style:
        if number == self.cursor and not row.heading and (self.has_focus or self.row_cursor_always):
            return self.get_component_rich_style("windowed-list--cursor")
        if row.heading:
            return self.get_component_rich_style("windowed-list--heading")
        return self.get_component_rich_style("windowed-list--alarm") if row.alarm else base

    #: show the cursor's row also while another widget has the focus
    row_cursor_always = False

    def _words(self, row: ListRow, number: int, wide: int) -> str:
        mark = ">" if number == self.cursor and not row.heading else " "
        if row.heading:
            return " ".join(row.cells)
        shown = column_widths(self.source.columns, wide - 1)
        return mark + " ".join(
            fit(row.cells[place], size, to_right=self.source.columns[place].figures) for place, size in shown
        )

    def _titles(self, wide: int) -> str:
        shown = column_widths(self.source.columns, wide - 1)
        return " " + " ".join(self._title(self.source.columns[place], size) for place, size in shown)

    def _title(self, column: ListColumn, size: int) -> str:
        title = column.title
        if column.sort and column.sort == self.order.sort:
            title = f"{title}{'↓' if self.order.backwards else '↑'}"
        return fit(title, size, to_right=column.figures)

    def _strip(self, words: str, style: Style, wide: int) -> Strip:
        return Strip([Segment(fit(words, wide), style)], wide)

    def on_focus(self) -> None:
        """Show the cursor."""
        self.refresh()

    def on_blur(self) -> None:
        """Hide the cursor's colours; its mark stays."""
        self.refresh()
