"""A screen of sections: each a few sentences, a list, a chart with its table twin; t changes between chart and table.

The sections come as one frozen answer; the chart of the row under the cursor is drawn in a thread and put in when it is done.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from functools import partial
from textwrap import wrap
from typing import TYPE_CHECKING, ClassVar, Final

from rich.text import Text
from textual.binding import Binding, BindingType
from textual.containers import ScrollableContainer, VerticalScroll
from textual.widget import Widget
from textual.widgets import Static

from wearlog.facts.plain_text import plain
from wearlog.tui.screens.area import AreaScreen
from wearlog.tui.section import CAUTIONS, Picture, Section
from wearlog.tui.widgets.answer_line import AnswerLine, SectionTabs
from wearlog.tui.widgets.list_rows import FixedSource, ListRow
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import Hazard
    from wearlog.tui.door import Door

SECTION_KEYS: Final = (
    Binding("right", "section(1)", "section", key_display="←→", tooltip="the next section"),
    Binding("t", "twin", "chart/table", tooltip="the same as a chart or as a table"),
    Binding("left", "section(-1)", "section before", show=False),
    Binding("space", "further", "further down", show=False, tooltip="what stands further down the page"),
)
WORKING = "Working it out ... any key goes on."
_LOWEST, _HIGHEST, _WIDEST = 9, 24, 110
#: lines of a usual terminal: a lower one has no empty ones
_USUAL: Final = 24
#: rows that a list has at the least, its titles among them
_LEAST_ROWS: Final = 3


#: what a page is moved by
_UP_AND_DOWN: Final = ("up", "down", "home", "end", "pageup", "pagedown")


class SectionPage(VerticalScroll, inherit_bindings=False):
    """What stands below the list. It moves up and down alone: the arrows to the sides are the screen's, and shown as such."""

    BINDINGS: ClassVar[list[BindingType]] = [
        one for one in ScrollableContainer.BINDINGS if isinstance(one, Binding) and one.key in _UP_AND_DOWN
    ]


class SectionsScreen(AreaScreen):
    """Subclasses ask for their sections in `refresh_answer` and hand them to `show_sections`."""

    AUTO_FOCUS = ""
    DEFAULT_CSS = """
    SectionsScreen {
        #rows { height: auto; min-height: 2; }
        #rows.-alone { height: 1fr; }
        #page { height: 1fr; background: $paper; padding: 0 1; }
        #page:focus { background: $paper; background-tint: $paper 0%; }
        #words, #after { height: auto; color: $ink; background: $paper; }
        #picture { height: auto; color: $ink; background: $paper; text-wrap: nowrap; text-overflow: clip; }
        #picture.-below { margin: 1 0 0 0; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [*SECTION_KEYS]

    def __init__(self) -> None:
        super().__init__()
        self.sections: Sequence[Section] = ()
        self.place = 0
        self.as_table = False
        self._beside = ""
        self._drawn_for: tuple[object, ...] = ()

    def body(self) -> Iterable[Widget]:
        yield AnswerLine(WORKING, id="answer")
        yield SectionTabs()
        yield from self.above()
        rows = WindowedList(FixedSource((), ()), id="rows")
        rows.row_cursor_always = True
        yield rows
        yield from self.between()
        with SectionPage(id="page"):
            yield Static(WORKING, id="words", markup=False)
            yield Static("", id="picture", markup=False)
            yield Static("", id="after", markup=False)

    def show_answer(self, answer: str, *second: str, hazards: Sequence[Hazard] = ()) -> None:
        """Show what the screen answers, over its sections."""
        small = self.size.height < _USUAL
        self.query_one("#answer", AnswerLine).show(answer, *(second[:1] if small else second), hazards=hazards)

    def above(self) -> Iterable[Widget]:
        """Return what stands over the list."""
        return ()

    def between(self) -> Iterable[Widget]:
        """Return what stands between the list and the page."""
        return ()

    def about_now(self) -> str:
        """Return what the screen is for, then what each section means that says so."""
        return "\n\n".join((self.ABOUT, *(f"{one.name}: {one.about}" for one in self.sections if one.about)))

    @property
    def section(self) -> Section | None:
        """The open section."""
        return self.sections[self.place] if self.sections else None

    @property
    def rows(self) -> WindowedList:
        """The list of the open section."""
        return self.query_one("#rows", WindowedList)

    # showing ------------------------------------------------------------------------------------------------------

    def show_sections(self, sections: Sequence[Section], beside: str = "") -> None:
        """Show an answer; the section that was open stays open."""
        name = self.section.name if self.section else ""
        self.sections, self._beside = sections, beside
        self.place = next((place for place, one in enumerate(sections) if one.name == name), 0)
        self._open()

    def _open(self) -> None:
        section = self.section
        if section is None:
            return
        self._drawn_for = ()
        # the line above all says the same, if in fewer words
        self.query_one(SectionTabs).show([one.name for one in self.sections], self.place, self._beside, is_whole=True)
        rows, page = self.rows, self.query_one("#page", VerticalScroll)
        rows.display = bool(section.columns)
        rows.empty = section.empty
        # a row of air under the list, none where nothing is said
        words, picture, after = (self.query_one(f"#{one}", Static) for one in ("words", "picture", "after"))
        words.update(_text(section.before, gap=bool(section.columns)))
        after.update(_text(section.after, gap=bool(section.columns or section.before or section.picture)))
        picture.update("")
        words.display, after.display = bool(section.before), bool(section.after)
        page.scroll_home(animate=False)
        if section.columns:
            rows.show(FixedSource(section.columns, section.rows))
        self._share_height()
        if self.focused is None or not self.focused.display or self.focused in (rows, page):
            (rows if section.columns else page).focus()
        self.section_opened(section)
        self.call_after_refresh(self._fit)

    def _fit(self) -> None:
        """Now that the list knows its width: how many lines its rows take, and the chart for the room that is left."""
        self._share_height()
        self._draw()

    def section_opened(self, section: Section) -> None:
        """Follow the change of the section."""

    def _share_height(self) -> None:
        section = self.section
        if section is None:
            return
        has_page = bool(section.before or section.after or (section.picture is not None and not self._list_only))
        self.rows.set_class(not has_page, "-alone")
        has_picture = section.picture is not None and not self._list_only
        page = self.query_one("#page")
        others = [one for one in self.children if one.display and one not in (self.rows, page)]
        room = self.size.height - sum(one.outer_size.height + one.styles.margin.height for one in others)
        # a chart needs its lines; a list can be moved through, and leaves to its sentences what they need
        said = sum(len(wrap(one, max(20, self.size.width - 3))) for one in (*section.before, *section.after))
        gaps = bool(section.before) + bool(section.after)
        most = max(5, room + 1 - section.picture_lines) if has_picture else max(room // 2, room - said - gaps)
        self.rows.styles.max_height = None if not has_page else max(_LEAST_ROWS, min(most, self.rows.tallness))
        page.display = has_page
        picture = self.query_one("#picture")
        picture.display = has_picture
        picture.set_class(bool(section.columns) and self.size.height >= _USUAL, "-below")

    @property
    def _list_only(self) -> bool:
        """The list is the table twin of its own picture."""
        section = self.section
        return self.as_table and section is not None and bool(section.columns) and not self.has_twin(section)

    def has_twin(self, section: Section) -> bool:
        """Whether the picture of a section with a list has a table of its own beside the list."""
        return False

    def on_resize(self) -> None:
        """A chart is drawn for the room there is."""
        self._share_height()
        self.call_after_refresh(self._fit)

    def on_windowed_list_moved(self, message: WindowedList.Moved) -> None:
        """Draw the chart of the row under the cursor."""
        if message.windowed_list is self.rows:
            self.row_moved(message.row)
            self._draw()

    def row_moved(self, row: ListRow | None) -> None:
        """Follow the cursor."""

    def _draw(self) -> None:
        section, page = self.section, self.query_one("#page", VerticalScroll)
        if section is None or section.picture is None or self._list_only:
            return
        row = self.rows.row if section.columns else None
        key = row.key if row is not None else None
        wide = min(max(24, page.size.width - 3), _WIDEST)
        # what stands below may begin under the edge: Space shows it
        below = min(self.query_one("#after").size.height, 2)
        above = self.query_one("#words").size.height + self.query_one("#picture").styles.margin.top
        high = min(max(_LOWEST, page.size.height - above - below), _HIGHEST)
        wanted = (section, key, wide, high, self.as_table)
        if wanted == self._drawn_for or page.size.width == 0:
            return
        self._drawn_for = wanted
        question = partial(draw_picture, section.picture, key, (wide, high), as_table=self.as_table)
        self.screens.ask(self, "picture", question, self._put_picture)

    def _put_picture(self, lines: Sequence[str]) -> None:
        # it may come when a section is open that has none
        if self._drawn_for:
            self.query_one("#picture", Static).update(picture_text(lines))

    # keys ---------------------------------------------------------------------------------------------------------

    def action_section(self, step: int) -> None:
        """Go to the next section, or to the one before."""
        if self.sections:
            self.place = (self.place + step) % len(self.sections)
            self._open()

    def action_cautions(self) -> None:
        """Open the section of cautions."""
        place = next((place for place, one in enumerate(self.sections) if one.name == CAUTIONS), None)
        if place is None:
            self.say("No caution is known for this work; the machine's own book may have some.")
            return
        self.place = place
        self._open()

    def on_section_tabs_chosen(self, message: SectionTabs.Chosen) -> None:
        """Open the section that was clicked."""
        self.place = message.place
        self._open()

    def action_twin(self) -> None:
        """Change between chart and table."""
        section = self.section
        if section is None:
            return
        if section.picture is None:
            self.say("There is no chart here: this is all of it.")
            return
        self.as_table = not self.as_table
        self._open()

    def action_further(self) -> None:
        """Show what stands further down; at the end the beginning again."""
        page = self.query_one("#page", VerticalScroll)
        if page.scroll_offset.y >= page.max_scroll_y:
            page.scroll_home(animate=False)
        else:
            page.scroll_page_down(animate=False)


def draw_picture(
    picture: Callable[[Hashable | None], Picture | None],
    key: Hashable | None,
    size: tuple[int, int],
    door: Door,
    *,
    as_table: bool,
) -> Sequence[str]:
    """Make a picture and draw it in (columns, lines); a question of the gateway, so it runs in a thread."""
    from wearlog.present.charts import chart_lines

    found = picture(key)
    if found is None:
        return ()
    if as_table and found.twin:
        return found.twin
    wide, high = size
    if found.drawn_in is not None:
        return found.drawn_in(wide, high)
    if found.chart is None:
        return found.drawn
    label, below = wrap(found.chart.y_label, wide), list[str]()
    if len(label) > 2:
        # on a phone the curve keeps its rows: what its marks mean stands below it
        first, _, marks = found.chart.y_label.partition(" (")
        label, below = wrap(first, wide), wrap(marks.removesuffix(")"), wide)
    lines = chart_lines(found.chart, wide, high - len(label) + 1)
    return (*label, *lines[1:], *below) if lines else found.twin


def _text(lines: Sequence[str], *, wrap: bool = True, gap: bool = False) -> Text:
    # free of control codes, but with the spaces that a table or a chart stands on
    words = "\n".join(plain(f"|{line}|")[1:-1].replace("\n", " ") for line in lines)
    text = Text(f"\n{words}" if gap and words else words, end="")
    if not wrap:
        text.no_wrap, text.overflow = True, "crop"
    return text


def picture_text(lines: Sequence[str]) -> Text:
    """Return the lines of a chart or a table as they stand: cut at the edge, never wrapped."""
    return _text(lines, wrap=False)
