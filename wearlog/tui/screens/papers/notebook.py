"""A notebook on the desk: what its columns are taken for, its rows as understood, its questions answered in place; a saves."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, Final

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.timer import Timer
from textual.widgets import Input, Static

from wearlog.errors import WearlogError
from wearlog.facts.plain_text import one_line
from wearlog.logbook.lines.open_notebook import SKIP, OpenBook, offer_answers, with_answer, with_column, with_offer
from wearlog.present.notebook_words import brought_told
from wearlog.tui.questions.papers import BookProgress, open_book, read_again, take_rows, words_of_columns
from wearlog.tui.screens.narrowing import PickScreen
from wearlog.tui.screens.over_screen import OverScreen
from wearlog.tui.screens.papers.notebook_lists import (
    AskedKey,
    ColumnKey,
    OfferKey,
    answer_ways,
    asked_about,
    asked_list,
    asked_of,
    column_list,
    desk_sentences,
    offer_about,
    row_about,
    row_list,
)
from wearlog.tui.screens.reading_page import ReadingPage
from wearlog.tui.widgets.answer_line import AnswerLine, SectionTabs
from wearlog.tui.widgets.form_line import LineInput
from wearlog.tui.widgets.lines import BottomLines
from wearlog.tui.widgets.list_rows import FixedSource
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.logbook.lines.notebook_answers import AskedLine
    from wearlog.logbook.lines.notebook_saving import NotebookBrought
    from wearlog.tui.door import Door

_SECTIONS: Final = ("Columns", "Rows", "Questions")
_COLUMNS, _ROWS, _ASKED = range(3)
#: seconds before it is told how far the reading is, and between two such times
_TELLS: Final = 0.3
_EMPTY: Final = ("No table stands in it.", "No row is sure yet.", "No row has to be asked about.")
_LOSES: Final = "What you answered is not saved: a saves it; Esc again leaves it."


class BroughtPage(ReadingPage):
    """What was made with the rows that were saved, and why others were left."""

    ABOUT: ClassVar[str] = (
        "What came of it: what was made with the rows that were saved, and which rows were left and why."
    )

    def __init__(self, said: Sequence[str]) -> None:
        super().__init__()
        self.said = said

    def begin(self) -> None:
        self.show(self.said[0], Text("\n".join(one_line(one) for one in self.said[1:]), end=""))


class NotebookScreen(OverScreen[None]):
    """The desk. Nothing is saved until a is pressed; what stays open can be brought in later with the same file."""

    ABOUT: ClassVar[str] = (
        "A notebook as it was understood. Columns: what each column is taken for and by what; Enter changes it. Rows: what would "
        "be saved, the first rows of each sort; m shows all; below the list the row in full with what is taken for granted. "
        "Questions: every row that has to be asked about; Enter opens the line for its answer, up and down go through what can "
        "be answered, a * behind it answers every row that asks the same, x leaves the row out. a saves the sure rows as one "
        "entry, with what you said of columns; the rest stays for later: the same file again brings nothing twice."
    )
    DEFAULT_CSS = """
    NotebookScreen {
        background: $paper;
        color: $ink;
        #title { dock: top; height: 1; background: $band; color: $mark; text-style: bold; padding: 0 1; }
        #details { height: auto; max-height: 40%; padding: 0 1; background: $paper; color: $ink; }
        #about { height: auto; }
        #answering { display: none; height: 1; background: $band; }
        #answering.-open { display: block; }
        #label { width: auto; height: 1; padding: 0 1; color: $mark; background: $band; text-style: bold; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "save the sure", tooltip="save the sure rows as one entry; the rest stays for later"),
        Binding("right", "section(1)", "section", key_display="←→", tooltip="the next section"),
        Binding("left", "section(-1)", "section before", show=False),
        Binding("m", "every", "all rows", tooltip="all rows as understood, or the first of each sort"),
        Binding("x", "take_out", "leave out", tooltip="leave the row of this question out"),
        Binding("escape", "close", "back"),
        Binding("question_mark,f1", "help", "keys", key_display="?"),
        *(Binding(key, f"go('{key}')", key, show=False) for key in ("up", "down")),
    ]

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.path = path
        self.book: OpenBook | None = None
        self.place = _COLUMNS
        self.every = False
        self.lines: list[AskedLine] = []
        self._progress: BookProgress | None = None
        self._telling: Timer | None = None
        self._asked_to_leave = False
        #: which of the ways to answer stands in the line
        self._way = -1

    def compose(self) -> ComposeResult:
        yield Static(Text(f"NOTEBOOK {one_line(self.path.name)}", end=""), id="title")
        yield AnswerLine("Reading ...", id="answer")
        yield SectionTabs()
        rows = WindowedList(FixedSource((), ()), id="rows")
        rows.row_cursor_always = True
        yield rows
        with VerticalScroll(id="details", can_focus=False):
            yield Static("", id="about", markup=False)
        with Horizontal(id="answering"):
            yield Static("answer", id="label", markup=False)
            yield LineInput(select_on_focus=False)
        yield BottomLines()

    @property
    def rows(self) -> WindowedList:
        """The list of the open section."""
        return self.query_one("#rows", WindowedList)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Keys work where they have an effect: m among the rows, x among the questions."""
        return {"every": self.place == _ROWS, "take_out": self.place == _ASKED}.get(action, True)

    # reading ------------------------------------------------------------------------------------------------------

    def on_mount(self) -> None:
        """Read the notebook after the first paint."""
        self.rows.focus()
        self.call_after_refresh(self._read, lambda progress: partial(open_book, path=self.path, progress=progress))

    def _read(self, question: Callable[[BookProgress], Callable[[Door], OpenBook]]) -> None:
        """Ask for the notebook understood anew; what is asked for last counts."""
        if self._progress is not None:
            self._progress.is_stopped = True
        progress = self._progress = BookProgress()
        if self._telling is None:
            self._telling = self.set_interval(_TELLS, self._tell)
        self.screens.ask(self, "book", question(progress), self._take, self._failed)

    def _tell(self) -> None:
        if self._progress is not None:
            self.query_one("#answer", AnswerLine).show(self._progress.said)

    def _read_ended(self) -> None:
        self._progress = None
        if self._telling is not None:
            self._telling.stop()
            self._telling = None

    def _take(self, book: OpenBook) -> None:
        first = self.book is None
        self._read_ended()
        self.book = book
        if first and book.desk.asked and not book.desk.sure:
            self.place = _ASKED
        self._show()

    def _failed(self, error: WearlogError) -> None:
        self._read_ended()
        sentence = f"{error.message} {error.hint}".strip()
        if self.book is None:
            self.query_one("#answer", AnswerLine).show(sentence)
            return
        self._show()
        self.say(sentence, alarm=True)

    # showing ------------------------------------------------------------------------------------------------------

    def _show(self) -> None:
        book = self.book
        if book is None:
            return
        self.query_one("#answer", AnswerLine).show(*desk_sentences(book))
        self.lines = asked_of(book)
        names = [_SECTIONS[0], _SECTIONS[1], f"{_SECTIONS[2]} {len(book.desk.asked) + len(book.desk.offers)}"]
        self.query_one(SectionTabs).show(names, self.place)
        self.rows.empty = _EMPTY[self.place]
        self.rows.show(self._source(book))
        self._about()
        self.refresh_bindings()

    def _source(self, book: OpenBook) -> FixedSource:
        if self.place == _COLUMNS:
            return column_list(book)
        return row_list(book, every=self.every) if self.place == _ROWS else asked_list(book, self.lines)

    def on_windowed_list_moved(self) -> None:
        """Show the row under the cursor in full."""
        self._about()

    def _about(self) -> None:
        row, about = self.rows.row, ""
        if self.book is not None and row is not None:
            if isinstance(row.key, AskedKey):
                about = asked_about(self.lines[row.key.number], self.lines)
            elif isinstance(row.key, OfferKey):
                about = offer_about(self.book, row.key.number)
            elif isinstance(row.key, tuple) and self.place == _ROWS:
                about = next((row_about(one) for one in self.book.desk.rows if one.place == row.key), "")
        self.query_one("#about", Static).update(Text(about, end=""))

    def action_section(self, step: int) -> None:
        """Go to the next section, or to the one before."""
        self._open((self.place + step) % len(_SECTIONS))

    def on_section_tabs_chosen(self, message: SectionTabs.Chosen) -> None:
        """Open the section that was clicked."""
        self._open(message.place)

    def _open(self, place: int) -> None:
        self._close_line()
        self.place = place
        self._show()
        self.rows.action_go("home")

    def action_every(self) -> None:
        """Show all rows, or the first of each sort."""
        self.every = not self.every
        self._show()

    # correcting and answering -------------------------------------------------------------------------------------

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Change what a column is taken for, or answer a question."""
        key = message.row.key
        if isinstance(key, ColumnKey):
            self._pick(key)
        elif isinstance(key, AskedKey):
            self._open_line(self.lines[key.number])
        elif isinstance(key, OfferKey):
            self._pick_offer(key.number)

    def _pick_offer(self, number: int) -> None:
        if self.book is None:
            return
        offer = self.book.desk.offers[number]
        answers = offer_answers(offer)

        def take(place: int | None) -> None:
            if place is not None and self.book is not None:
                self._again(with_offer(self.book, offer, answers[place][0]))

        self.screens.push(PickScreen(one_line(offer.says), [words for _, words in answers], 0), take)

    def _pick(self, key: ColumnKey) -> None:
        if self.book is None:
            return
        column = self.book.desk.notebook.tables[key.table].columns[key.column]
        words = list(words_of_columns())

        def take(place: int | None) -> None:
            if place is not None and self.book is not None:
                self._again(with_column(self.book, key.table, key.column, words[place]))

        label = f"{one_line(column.heading) or 'This column'} is"
        self.screens.push(PickScreen(label, words, words.index(column.holds.value)), take)

    def _again(self, book: OpenBook) -> None:
        self._asked_to_leave = False
        self._read(lambda progress: partial(read_again, book=book, progress=progress))

    def _open_line(self, line: AskedLine) -> None:
        entry = self.query_one(LineInput)
        self._way = -1
        entry.value = line.answer
        entry.placeholder = f"({', '.join(answer_ways(line)[:4])}; up and down go through them)"
        self.query_one("#answering").add_class("-open")
        entry.focus()

    def _close_line(self) -> None:
        self.query_one("#answering").remove_class("-open")
        self.rows.focus()

    def action_go(self, key: str) -> None:
        """Go through what can be answered."""
        line = self._asked_here()
        if line is None or not self.query_one(LineInput).has_focus:
            return
        ways = answer_ways(line)
        self._way = (self._way + (1 if key == "down" else -1 if self._way >= 0 else 0)) % len(ways)
        entry = self.query_one(LineInput)
        entry.value = ways[self._way]
        entry.cursor_position = len(entry.value)

    def _asked_here(self) -> AskedLine | None:
        row = self.rows.row
        return self.lines[row.key.number] if row is not None and isinstance(row.key, AskedKey) else None

    @on(Input.Submitted)
    def _answered(self, event: Input.Submitted) -> None:
        self._close_line()
        self._answer(event.value)

    def _answer(self, text: str) -> None:
        line = self._asked_here()
        if line is not None and self.book is not None and text.strip() != line.answer:
            self._again(with_answer(self.book, line, text.strip()))

    def action_take_out(self) -> None:
        """Leave the row of the question out."""
        self._answer(SKIP)

    # saving and leaving -------------------------------------------------------------------------------------------

    def action_add(self) -> None:
        """Save the sure rows as one entry."""
        if self.book is None or self._progress is not None:
            self.say("One moment: the notebook is being read.")
        elif not self.book.desk.sure:
            self.say("No row is sure and new: answer what is asked, or correct a column.")
        else:
            self.query_one("#answer", AnswerLine).show("Saving ...")
            self.screens.ask(self, "save", partial(take_rows, book=self.book), self._saved, self._failed)

    def _saved(self, found: tuple[OpenBook, NotebookBrought]) -> None:
        self.book, brought = found
        self._asked_to_leave = False
        said = brought_told(brought, len(brought.saved) + self.book.desk.new_rows, undo="u in the daybook")
        self._show()
        self.say(said[0])
        self.screens.something_entered()
        if len(said) > 1:
            self.screens.push(BroughtPage(said))

    def action_close(self) -> None:
        """Close the line of the answer; stop the reading; else leave, with answers that are not saved only at the second time."""
        if self.query_one("#answering").has_class("-open"):
            self._close_line()
        elif self._progress is not None:
            self._progress.is_stopped = True
            if self.book is None:
                self.dismiss()
        elif self.book is not None and self.book.unsaved and not self._asked_to_leave:
            self._asked_to_leave = True
            self.say(_LOSES, alarm=True)
        else:
            self.dismiss()
