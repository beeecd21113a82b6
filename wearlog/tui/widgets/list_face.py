"""The face of a long list: titles, rows, cursor, headings and alarms as lines of text. Fetches nothing, moves nothing."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Hashable, Sequence
from itertools import accumulate
from math import ceil
from typing import ClassVar, Final, NamedTuple

from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.geometry import Region
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.scrollbar import ScrollBar
from textual.strip import Strip

from wearlog.present.drawing.marks import WANTS_A_HAND
from wearlog.present.tables import fit, folded, whole_clauses, whole_words, width, wrapped
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListOrder, ListRow, ListSource, column_widths

#: rows fetched at once; a screen shows far fewer, so the rows around it are there before they are needed
PAGE: Final = 200
#: pages kept; older ones are fetched again
PAGES_KEPT: Final = 12
#: lines kept as they were drawn; a screen shows far fewer
LINES_KEPT: Final = 400
#: rules of style by which a line is more than its words and inks
_MORE_STYLE: Final = ("hatch", "tint", "text_opacity", "outline_top", "outline_right", "outline_bottom", "outline_left")


class PageKeeper:
    """Pages of `PAGE` rows by their number; every page but the last is full."""

    def __init__(self) -> None:
        self._pages: dict[int, Sequence[ListRow]] = {}

    def clear(self) -> None:
        """Forget all pages: the order has changed, or something was entered."""
        self._pages = {}

    def keep(self, first: int, rows: Sequence[ListRow], near: int | None = None) -> None:
        """Keep rows from number `first` on (the beginning of a page); with `near` the pages farthest from that row may go."""
        for start in range(0, len(rows), PAGE):
            self._pages[(first + start) // PAGE] = rows[start : start + PAGE]
        while near is not None and len(self._pages) > PAGES_KEPT:
            del self._pages[max(self._pages, key=lambda number: abs(number * PAGE - near))]

    def row_at(self, number: int) -> ListRow | None:
        """Return a row if it is here."""
        page = self._pages.get(number // PAGE)
        place = number % PAGE
        return page[place] if page is not None and 0 <= place < len(page) else None

    def number_of(self, key: Hashable) -> int | None:
        """Return the number of the row of a key, if it is here."""
        for page_number, page in self._pages.items():
            for place, row in enumerate(page):
                if row.key == key:
                    return page_number * PAGE + place
        return None

    def missing(self, top: int, bottom: int) -> tuple[int, int] | None:
        """Return (first row, how many) to fetch so that rows top to bottom are here; None when they are.

        One page more on either side comes along, so that the next step finds its rows.
        """
        first_page, last_page = top // PAGE, bottom // PAGE
        if all(number in self._pages for number in range(first_page, last_page + 1)):
            return None
        first_page = max(0, first_page - 1)
        return first_page * PAGE, (last_page + 2 - first_page) * PAGE


WAITING = "..."
#: a state is a mark or a word in capitals
_STATE: Final = re.compile(rf"{WANTS_A_HAND}|\b[A-Z]{{3,}}\b")


def _shouting(cells: Sequence[str], *, alarm: bool) -> frozenset[int]:
    """The cells that say that a hand is wanted: those with the mark; in a row of alarm also those with a word in capitals."""
    if not alarm:
        return frozenset(place for place, cell in enumerate(cells) if cell.lstrip().startswith(WANTS_A_HAND))
    return frozenset(place for place, cell in enumerate(cells) if _STATE.search(cell))


class ListInks(NamedTuple):
    """The inks of a list, and the colours under it; `is_plain` where nothing else of its style has a part in its lines."""

    base: Style
    title: Style
    heading: Style
    alarm: Style
    chosen: Style
    chosen_alarm: Style
    mark: Style
    under: tuple[Color, Color]
    is_plain: bool


class Look(NamedTuple):
    """What is the same for all lines of one paint: cells a line, inks, columns (number, cells), whether it has the focus."""

    wide: int
    inks: ListInks
    shown: Sequence[tuple[int, int]]
    is_chosen: bool


class ListFace(ScrollView, can_focus=True, inherit_bindings=False):
    """What a windowed list looks like. Only the lines in view are ever drawn."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "windowed-list--title",
        "windowed-list--cursor",
        "windowed-list--mark",
        "windowed-list--cursor-alarm",
        "windowed-list--heading",
        "windowed-list--alarm",
        "windowed-list--empty",
    }
    DEFAULT_CSS = """
    ListFace {
        height: 1fr;
        background: $paper;
        color: $ink;
        scrollbar-size-horizontal: 0;
        scrollbar-size-vertical: 1;
        overflow-x: hidden;
        & .windowed-list--title { color: $mark; background: $paper; text-style: bold underline; }
        & .windowed-list--cursor { color: $ink; background: $row-paper; text-style: bold; }
        & .windowed-list--cursor-alarm { color: $alarm; background: $row-paper; text-style: bold; }
        & .windowed-list--mark { color: $chosen-ink; background: $chosen-paper; text-style: bold; }
        & .windowed-list--heading { color: $mark; background: $paper; text-style: bold; }
        & .windowed-list--alarm { color: $alarm; background: $paper; text-style: bold; }
        & .windowed-list--empty { color: $quiet; background: $paper; }
    }
    """
    cursor: reactive[int] = reactive(0, repaint=False)
    """Number of the row under the cursor, from 0."""

    #: show the cursor's row also while another widget has the focus
    row_cursor_always = False

    def __init__(
        self, source: ListSource | None = None, *, empty: str = "", id: str | None = None, classes: str | None = None
    ) -> None:
        super().__init__(id=id, classes=classes)
        self.source: ListSource = source or FixedSource((), ())
        self.order = ListOrder()
        self.empty = empty
        self.count: int | None = None
        self.pages = PageKeeper()
        self._starts_for: tuple[object, ...] = ()
        self._kept_starts: tuple[int, ...] = ()
        self._shown_for: tuple[Sequence[ListColumn], int] = ((), 0)
        self._kept_shown: Sequence[tuple[int, int]] = ()
        self._inks: ListInks | None = None
        #: while a paint is on its way, what its lines have in common
        self._look: Look | None = None
        #: rows as they were drawn, by number, line within the row, and whether the cursor is there; how they looked, and of what
        self._drawn: dict[tuple[int, int, bool], tuple[ListRow, Strip]] = {}
        self._drawn_as: tuple[ListSource, Look] | None = None

    def row_at(self, number: int) -> ListRow | None:
        """Return a row if it has been fetched."""
        return self.pages.row_at(number)

    def row_is_missing(self) -> None:
        """A row that is in view has not been fetched."""

    def shown(self, wide: int) -> Sequence[tuple[int, int]]:
        """Return (number of the column, cells) for the columns that find room in so many cells, left to right."""
        columns = self.source.columns
        if self._shown_for[0] is not columns or self._shown_for[1] != wide:
            self._shown_for, self._kept_shown = (columns, wide), column_widths(columns, wide)
        return self._kept_shown

    def notify_style_update(self) -> None:
        """Other inks, or a place with other ones under it."""
        super().notify_style_update()
        self._inks = None

    def render_lines(self, crop: Region) -> list[Strip]:
        """Draw some lines. Between two keys most rows look as they did, so what was drawn is kept, as it was painted too."""
        self._look = look = self._looks()
        if self._drawn_as is None or self._drawn_as[0] is not self.source or self._drawn_as[1] != look:
            self._drawn, self._drawn_as = {}, (self.source, look)
        try:
            if not look.inks.is_plain:
                return super().render_lines(crop)
            filters, (base, paper) = self.get_line_filters(), look.inks.under
            under, strips = Style(bgcolor=(base + paper).rich_color), []
            for y in crop.line_range:
                strip = self.render_line(y).adjust_cell_length(self.size.width, under)
                for one in filters:
                    strip = strip.apply_filter(one, paper)
                strips.append(strip)
        finally:
            self._look = None
        is_whole = crop.column_span == (0, self.size.width)
        return strips if is_whole else [strip.crop(*crop.column_span) for strip in strips]

    def _looks(self) -> Look:
        # a scrollbar must not stand on the last figure
        wide = self.scrollable_content_region.width
        if self._inks is None:
            styles, ink = self.styles, self.get_component_rich_style
            has_more = any(styles.has_rule(name) for name in _MORE_STYLE) or styles.gutter or self.opacity != 1
            self._inks = ListInks(
                self.rich_style,
                title=ink("windowed-list--title"),
                heading=ink("windowed-list--heading"),
                alarm=ink("windowed-list--alarm"),
                chosen=ink("windowed-list--cursor"),
                chosen_alarm=ink("windowed-list--cursor-alarm"),
                mark=ink("windowed-list--mark"),
                under=self.background_colors,
                is_plain=not has_more,
            )
        return Look(wide, self._inks, self.shown(wide - 1), self.has_focus or self.row_cursor_always)

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        """In a long list the thumb of the scrollbar mostly stays where it is: then it is not painted anew."""
        bar = self.vertical_scrollbar
        if self.show_vertical_scrollbar and self._thumb(bar, bar.position) == self._thumb(bar, new_value):
            bar.set_reactive(ScrollBar.position, bar.validate_position(new_value))
        super().watch_scroll_y(old_value, new_value)

    def _thumb(self, bar: ScrollBar, position: float) -> int:
        """Where the thumb begins, in pieces of a cell as the bar draws it."""
        high, of, seen = bar.size.height, ceil(bar.window_virtual_size), ceil(bar.window_size)
        if not high or of <= seen:
            return 0
        tall = max(1, seen * high / of)
        return int((high - tall) * bar.validate_position(position) / (of - seen) * len(bar.renderer.VERTICAL_BARS))

    def render_line(self, y: int) -> Strip:
        """Draw one line: the titles, a row, or nothing."""
        look = self._look or self._looks()
        wide = look.wide
        if y == 0:
            return self._strip(self._titles(wide), look.inks.title, wide)
        if not self.count:
            lines = folded([self.empty], width=max(wide, 1)) if self.count == 0 else [WAITING]
            return self._strip("".join(lines[y - 1 : y]), self.get_component_rich_style("windowed-list--empty"), wide)
        number, piece = self.at_line(self.scroll_offset.y + y - 1)
        if number >= self.count:
            return Strip.blank(wide, look.inks.base)
        row = self.row_at(number)
        if row is None:
            self.call_later(self.row_is_missing)
            return self._strip(WAITING, look.inks.base, wide)
        return self._kept_row(row, (number, piece, number == self.cursor), look)

    def _kept_row(self, row: ListRow, place: tuple[int, int, bool], look: Look) -> Strip:
        """A line of a row: as it was drawn, if it was."""
        kept = self._drawn.get(place) if self._look is not None else None
        if kept is not None and kept[0] is row:
            return kept[1]
        _, piece, is_here = place
        if row.heading:
            words = "".join(self._lines_of_row(row, look.wide)[0][piece : piece + 1])
            drawn = self._strip(f" {words}", look.inks.heading, look.wide)
        else:
            drawn = self._row(row, piece, look, is_here=is_here)
        if self._look is not None:
            if len(self._drawn) >= LINES_KEPT:
                self._drawn.clear()
            self._drawn[place] = (row, drawn)
        return drawn

    def _row(self, row: ListRow, piece: int, look: Look, *, is_here: bool) -> Strip:
        """A line of a row: the cursor's sign is loud and its row is not; alarm ink has the word that asks for a hand."""
        is_chosen, wide = is_here and look.is_chosen, look.wide
        inks = look.inks
        ink, alarm = (inks.chosen, inks.chosen_alarm) if is_chosen else (inks.base, inks.alarm)
        sign = inks.mark if is_chosen and piece == 0 else ink
        columns, cells = self.source.columns, self._lines_of_row(row, wide)
        shouting = _shouting([" ".join(cell) for cell in cells], alarm=row.alarm)
        first, first_ink = ">" if is_here and piece == 0 else " ", sign
        if not is_here and piece == 0 and not shouting and row.alarm and any(_STATE.search(cell) for cell in row.cells):
            # the word found no room: its mark stands alone, and the word is told under the list
            first, first_ink = WANTS_A_HAND, alarm
        # what has one ink is one piece: every piece is passed on, cut and coloured by itself
        pieces, said, taken = [Segment(first, first_ink)], "", 1
        for place, (cell, (number, size)) in enumerate(zip(cells, look.shown, strict=True)):
            words = fit(cell[piece] if piece < len(cell) else "", size, to_right=columns[number].figures)
            gap = " " if place else ""
            taken += size + len(gap)
            if place in shouting:
                pieces += [Segment(said + gap, ink)] if said or gap else []
                pieces.append(Segment(words, alarm))
                said = ""
            else:
                said += gap + words
        left = wide - taken
        if said or left > 0:
            pieces.append(Segment(said + " " * max(left, 0), ink))
        return Strip(pieces, wide) if left >= 0 else Strip(pieces).crop(0, wide)

    # rows of several lines ----------------------------------------------------------------------------------------

    def _lines_of_row(self, row: ListRow, wide: int) -> list[list[str]]:
        """The lines of each cell of a row that are shown; a heading is one cell.

        Where all rows are known words that find no room go on below; pages of a query have one line a row.
        """
        whole = isinstance(self.source, FixedSource)
        if row.heading:
            words = " ".join(row.cells)
            if width(words) > wide - 1:
                # its second half gives way before it takes a second line
                words = words.rpartition("; ")[0] or words
            return [wrapped(words, wide - 1) if whole else [words]]
        columns, cells = self.source.columns, []
        for place, size in self.shown(wide - 1):
            words = row.cell(place, columns[place].form_in(size))
            if columns[place].clauses:
                words = whole_clauses(words, size)
            cells.append(wrapped(words, size) if whole and not columns[place].figures else [words])
        return cells

    @property
    def _starts(self) -> Sequence[int]:
        """The line in which each row begins, and one behind the last; empty where every row has one line."""
        if not isinstance(self.source, FixedSource) or (wide := self.scrollable_content_region.width) <= 1:
            return ()
        made_for = (self.source, self.order, self.count, wide)
        if self._starts_for != made_for:
            rows = [self.row_at(number) for number in range(self.count or 0)]
            tall = [max((len(one) for one in self._lines_of_row(row, wide)), default=1) if row else 1 for row in rows]
            self._starts_for = made_for
            self._kept_starts = () if all(one == 1 for one in tall) else tuple(accumulate(tall, initial=0))
        return self._kept_starts

    def line_of(self, number: int) -> int:
        """Return the line in which a row begins, from 0 under the titles; behind the last row how many lines there are."""
        starts = self._starts
        return starts[min(max(number, 0), len(starts) - 1)] if starts else number

    def at_line(self, line: int) -> tuple[int, int]:
        """Return the number of the row in a line, and which of its lines that is."""
        starts = self._starts
        if not starts:
            return line, 0
        number = min(bisect_right(starts, line) - 1, len(starts) - 1)
        return number, line - starts[number]

    @property
    def tallness(self) -> int:
        """How many lines titles and rows take."""
        return self.line_of(self.count or 0) + 1

    def _titles(self, wide: int) -> str:
        shown = self.shown(wide - 1)
        return " " + " ".join(self._title(self.source.columns[place], size) for place, size in shown)

    def _title(self, column: ListColumn, size: int) -> str:
        title = whole_words(column.title_in(size), size)
        if column.sort and column.sort == self.order.sort:
            mark = "v" if self.order.backwards else "^"
            title = f"{title} {mark}" if width(title) + 2 <= size else f"{title}{mark}"
        return fit(title, size, to_right=column.figures)

    def _strip(self, words: str, style: Style, wide: int) -> Strip:
        return Strip([Segment(fit(words, wide), style)], wide)

    def on_focus(self) -> None:
        """Show the cursor."""
        self.refresh()

    def on_blur(self) -> None:
        """Hide the cursor's colours; its mark stays."""
        self.refresh()
