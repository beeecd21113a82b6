"""The daybook: breakages, work and entries as sections of one area, each a list of its own; an entry can be taken back there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar
from uuid import UUID

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Static

from wearlog.facts.days import days_said
from wearlog.facts.plain_text import one_line
from wearlog.present.tables import width
from wearlog.tui.host import Host
from wearlog.tui.questions.history import DeedRows, RowKey, UndoAnswer, last_entry, undo_deed
from wearlog.tui.questions.work import deeds
from wearlog.tui.screens.area import ListArea
from wearlog.tui.screens.over_screen import OverScreen
from wearlog.tui.screens.reading_page import ReadingPage
from wearlog.tui.widgets.answer_line import AnswerLine, SectionTabs
from wearlog.tui.widgets.lines import BottomLines
from wearlog.tui.widgets.list_rows import ListOrder, ListRow, ListSource
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.tui.door import Door


_AFTER = "An undo stays in the history, and u on it there brings everything back."


def take_back(
    screens: Host,
    owner: Screen[Any],
    then: Callable[[str], None],
    deed_id: UUID | None = None,
    *,
    agreed: bool = False,
) -> None:
    """Take an entry back, the last one of this device if none is named, and hand the sentence that says so to `then`."""

    def answered(found: UndoAnswer) -> None:
        if found.question:
            again = partial(take_back, screens, owner, then, found.deed_id, agreed=True)
            screens.push(AskUndoPage(found.question, again))
        else:
            then(found.said)

    screens.ask(owner, "undo", partial(undo_deed, deed_id=deed_id, agreed=agreed), answered)


class AskUndoPage(ReadingPage):
    """The question before much is taken back; nothing happens unless y is pressed."""

    ABOUT: ClassVar[str] = (
        "One undo takes one entry back, whole; this entry is a whole import, or wrote more rows than anybody types. y takes it "
        "back, the other keys leave the log as it is. An undo stays in the history and can itself be taken back there."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("y", "agree", "take it back", tooltip="take all of it back"),
        Binding("n,escape,q", "close", "leave it", tooltip="leave the log as it is"),
    ]

    def __init__(self, question: str, agreed: Callable[[], None]) -> None:
        super().__init__()
        self.question = question
        self.agreed = agreed

    def begin(self) -> None:
        self.show("TAKE ALL OF IT BACK?", Text(f"{self.question}\n{_AFTER}\n\ny takes it back, n leaves it.", end=""))

    def action_agree(self) -> None:
        """Take it back."""
        self.dismiss()
        self.screens.say("Taking it back ...")
        self.app.call_after_refresh(self.agreed)

    def action_close(self) -> None:
        """Leave everything as it is."""
        self.dismiss()
        self.app.call_after_refresh(self.screens.say, "Nothing was taken back.")


class DeedScreen(OverScreen[None]):
    """The rows of one deed; under the list the one under the cursor in full."""

    ABOUT: ClassVar[str] = (
        "Every row of the log that this entry wrote. Under the list stands the row under the cursor in full: each field with what "
        "it says, or what it said before and says now. u takes the whole entry back."
    )
    DEFAULT_CSS = """
    DeedScreen {
        background: $paper;
        color: $ink;
        #title { dock: top; height: auto; max-height: 3; background: $band; color: $mark; text-style: bold; padding: 0 1; }
        #details { height: auto; max-height: 50%; padding: 0 1; background: $paper; color: $ink; border-top: solid $quiet; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "close", "back"),
        Binding("u", "undo_this", "undo this", tooltip="take this whole entry back"),
        Binding("f1,question_mark", "help", "keys", key_display="?"),
    ]

    def __init__(self, deed_id: UUID, cells: Sequence[str]) -> None:
        super().__init__()
        self.deed_id = deed_id
        self.cells = cells

    def compose(self) -> ComposeResult:
        entered, by, mark, said, rows = self.cells
        title = f"{entered} on {by}: {said} ({rows} {'row' if rows == '1' else 'rows'}{', ' + mark if mark else ''})"
        yield Static(Text(one_line(title), end=""), id="title", markup=False)
        yield WindowedList(empty="This entry wrote nothing.")
        with VerticalScroll(id="details", can_focus=False):
            yield Static("", id="fields", markup=False)
        yield BottomLines()

    def on_mount(self) -> None:
        """Fetch the rows."""
        rows = self.query_one(WindowedList)
        rows.focus()
        self.call_after_refresh(rows.show, DeedRows(self.deed_id))

    def on_windowed_list_moved(self, message: WindowedList.Moved) -> None:
        """Show the row under the cursor in full."""
        key = message.row.key if message.row is not None else None
        details = "\n".join(key.details) if isinstance(key, RowKey) else ""
        self.query_one("#fields", Static).update(Text(details, end=""))

    def action_undo_this(self) -> None:
        """Take the entry back; a refusal is said here, else the history says what was done."""
        take_back(self.screens, self, self._taken_back, self.deed_id)

    def _taken_back(self, said: str) -> None:
        self.dismiss()
        self.app.call_after_refresh(self.screens.say, f"{said}. u on it takes that back again.")
        self.screens.something_entered()


class ToldBelow(ListArea):
    """A list below which stands what the row under the cursor has no room for."""

    AREA: ClassVar[str] = "daybook"
    DEFAULT_CSS = """
    ToldBelow {
        #here { display: none; height: auto; max-height: 2; padding: 0 1; background: $paper; color: $ink; }
        #here.-there { display: block; }
    }
    """

    def body(self) -> Iterable[Widget]:
        yield from super().body()
        yield Static("", id="here", markup=False)

    def on_windowed_list_moved(self) -> None:
        """Say of the row under the cursor what its columns have no room for, the number of its entry among it."""
        unseen = self.rows.unseen
        # the number by which a command takes an entry is the last thing that a person looks for
        number = unseen.pop("no.", "")
        said = "; ".join(f"{title} {days_said(words)}".strip() for title, words in unseen.items())
        said = "; ".join(one for one in (said, f"entry {number}" if number else "") if one)
        here = self.query_one("#here", Static)
        here.set_class(bool(said), "-there")
        now, before = one_line(said), str(here.content)
        # each is at most one line: nothing on the screen moves, so nothing is laid out anew for every row that is passed
        is_line = bool(now and before) and max(width(now), width(before)) <= here.content_size.width
        if now != before:
            here.update(Text(now, end=""), layout=not is_line)

    def on_resize(self) -> None:
        """Other columns find room."""
        self.call_after_refresh(self.on_windowed_list_moved)


class DaybookSection(ToldBelow):
    """Subclasses give `MODE`, their name among the sections, `answer`, and what a list gives."""

    MODE: ClassVar[str] = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("right", "section(1)", "section", key_display="←→", tooltip="the next section of the daybook"),
        Binding("left", "section(-1)", "section before", show=False),
        Binding("i", "bring_in", "bring in", tooltip="bring in a notebook, a note, or what stands on a printed sheet"),
        Binding("a", "add", "a note", show=False, tooltip="bring in a note of many lines, typed or dictated elsewhere"),
    ]

    def body(self) -> Iterable[Widget]:
        yield AnswerLine("Opening the log ...", id="answer")
        yield SectionTabs()
        yield from super().body()

    def on_mount(self) -> None:
        """Name the sections."""
        super().on_mount()
        self.query_one(SectionTabs).show([name for _, name in self._sections], self._place)

    def answer(self) -> Callable[[Door], tuple[str, str]] | None:
        """Return the question of what happened last: the answer and its second half. None while that is not known."""
        return None

    def refresh_answer(self) -> None:
        super().refresh_answer()
        question = self.answer()
        if question is not None:
            self.screens.ask(self, "answer", question, lambda said: self.query_one(AnswerLine).show(*said))

    @property
    def _sections(self) -> tuple[tuple[str, str], ...]:
        return self.screens.sections_of(self.AREA)

    @property
    def _place(self) -> int:
        return [mode for mode, _ in self._sections].index(self.MODE)

    def action_bring_in(self) -> None:
        """Open the list of what can be brought in."""
        self.screens.open_papers()

    def action_add(self) -> None:
        """The same by the key that adds to a list."""
        self.action_bring_in()

    def action_section(self, step: int) -> None:
        """Go to the next section, or to the one before."""
        self._open_section((self._place + step) % len(self._sections))

    def on_section_tabs_chosen(self, message: SectionTabs.Chosen) -> None:
        """Open the section that was clicked."""
        self._open_section(message.place)

    def _open_section(self, place: int) -> None:
        self.screens.action_open_area(self._sections[place][0])


class HistoryScreen(DaybookSection):
    """All deeds, the latest first."""

    MODE: ClassVar[str] = "history"
    ABOUT: ClassVar[str] = (
        "Everything that was ever entered, the latest first: when, on which device, in one sentence, and how many rows of the log "
        "it wrote. Enter shows those row by row. u takes back the entry under the cursor, whole; what later entries rest on is "
        "refused with the reason, before an import or very many rows it asks, and nothing is ever lost: an undo can itself be "
        "taken back. / filters, o orders."
    )
    EMPTY: ClassVar[str] = "No entry here."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("u", "undo_this", "undo this", tooltip="take back the entry under the cursor"),
        Binding("a", "add", "a note", tooltip="bring in a note of many lines, typed or dictated elsewhere"),
    ]
    usual_order = ListOrder(sort="when", backwards=True)

    def answer(self) -> Callable[[Door], tuple[str, str]] | None:
        return last_entry

    def source(self) -> ListSource | None:
        return deeds()

    def action_undo_this(self) -> None:
        """Take back the entry under the cursor."""
        row = self.rows.row
        if row is not None and isinstance(row.key, UUID):
            self.take_back(row.key)

    def take_back(self, deed_id: UUID) -> None:
        """Take back an entry; a refusal is said in its own words."""
        self.say("Taking it back ...")
        take_back(self.screens, self, self._taken_back, deed_id)

    def _taken_back(self, said: str) -> None:
        self.screens.say(f"{said}. u on it takes that back again.")
        self.screens.something_entered()

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Show what the entry did."""

        row: ListRow = message.row
        if isinstance(row.key, UUID):
            self.screens.push(DeedScreen(row.key, row.cells))
