"""Bringing in a note of many lines: its lines shown as understood, the doubtful ones answered in place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Static

from wearlog.errors import UsageError
from wearlog.facts.plain_text import one_line
from wearlog.present.words import counted
from wearlog.tui.host import Host
from wearlog.tui.questions.inbox import NotedLine, NoteShown, answered, read_note, save_note
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.screens.over_screen import OverScreen
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.form_line import FormField, FormLine
from wearlog.tui.widgets.lines import BottomLines
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListRow
from wearlog.tui.widgets.windowed_list import WindowedList

_MARKS = {"save": "[x]", "asked": "?", "doubt": "?", "known": "in", "left": "[ ]"}
_COLUMNS = (
    ListColumn("", 3, 3),
    ListColumn("line", 4, 4, figures=True, about="its number in the note"),
    ListColumn("as understood", 20, 200),
)


class NoteLineScreen(FormScreen):
    """One line of a note: what is asked of it, its wording, its day."""

    TITLE: ClassVar[str] = "A LINE OF THE NOTE"
    ABOUT: ClassVar[str] = (
        "Write the line as it was meant, as you would log it; the day where the note does not say it (aug 14 2026, yesterday). It "
        "is understood anew; nothing is saved before Ctrl+S on the page of the note."
    )

    def __init__(self, shown: NoteShown, row: NotedLine, take: Callable[[NotedLine, str], None]) -> None:
        super().__init__()
        self.shown = shown
        self.row = row
        self.take = take

    def questions(self) -> Iterable[FormLine]:
        yield FormField("said", "Line", start=self.row.said or self.row.line.note.said)
        if self.row.line.no_day:
            yield FormField("day", "Day", self._read_day, hint="aug 14 2026; also for the others without one")

    def _read_day(self, text: str) -> str:
        if not text.strip():
            raise UsageError("Which day was it?", "Write it like 'aug 14 2026'.")
        answered(self.shown, self.row, day=text)
        return text.strip()

    def prepare(self) -> None:
        self.show_before("\n".join(self.row.words))

    def _answer(self) -> NotedLine:
        day = self.answer("day") if self.row.line.no_day else ""
        return answered(self.shown, self.row, said=one_line(self.line("said").text), day=day)

    def saves(self) -> str:
        """Say how the line is understood now, or what of it is still asked; it is saved on the page of the note."""
        if asked := self._asked():
            return asked
        row = self._answer()
        words = one_line(" ".join(row.words).removeprefix(f"line {row.line.note.number}: "))
        if row.state == "asked":
            return f"Still asked: {words.partition('? ')[2]}"
        return f"Enter takes it over: {words}"

    def save(self) -> None:
        """Take the answer over onto the page; it is saved there."""
        wrong = [line for line in self.lines if not line.check()]
        if wrong:
            self.focus_line(wrong[0])
            return
        self.dismiss()
        self.take(self._answer(), self.answer("day") if self.row.line.no_day else "")


class NoteScreen(OverScreen[None]):
    """The lines of a note as understood."""

    ABOUT: ClassVar[str] = (
        "Every line of the note as it is understood. [x] will be saved, ? waits for an answer, in is in the log already, [ ] is "
        "left out. Enter writes the line under the cursor otherwise or gives its day, Space takes it in or out, Ctrl+S saves "
        "all that are marked, each as an entry of its own. A line that was brought in once is not brought in again."
    )
    DEFAULT_CSS = """
    NoteScreen {
        background: $paper;
        color: $ink;
        #title { dock: top; height: 1; background: $band; color: $mark; text-style: bold; padding: 0 1; }
        #line { height: auto; max-height: 6; padding: 0 1; background: $paper; color: $ink; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "mark", "in/out", tooltip="save this line, or leave it out"),
        Binding("ctrl+s", "save", "save", tooltip="save all lines that are marked, each as an entry of its own"),
        Binding("escape", "close", "back"),
        Binding("f1,question_mark", "help", "keys", key_display="?"),
    ]

    def __init__(self, shown: NoteShown, name: str) -> None:
        super().__init__()
        self.shown = shown
        self.rows = list(shown.rows)
        self.note_name = name

    def compose(self) -> ComposeResult:
        yield Static(f"A NOTE: {one_line(self.note_name)}", id="title", markup=False)
        yield AnswerLine(id="answer")
        yield WindowedList(empty="The note says nothing.", id="lines")
        yield Static("", id="line", markup=False)
        yield BottomLines()

    @property
    def list(self) -> WindowedList:
        """The lines."""
        return self.query_one("#lines", WindowedList)

    def on_mount(self) -> None:
        """Show the lines."""
        self._show()
        self.list.focus()

    def _show(self) -> None:
        rows = [
            ListRow(place, (_MARKS[row.state], str(row.line.note.number), one_line(_one(row))), alarm=False)
            for place, row in enumerate(self.rows)
        ]
        self.list.show(FixedSource(_COLUMNS, rows))
        states = [row.state for row in self.rows]
        asked = states.count("asked") + states.count("doubt")
        said = f"Ctrl+S saves {counted(states.count('save'), 'line')}"
        more = [f"{asked} to ask about"] if asked else []
        more += [f"{states.count('known')} in the log already"] if "known" in states else []
        self.query_one(AnswerLine).show(f"{', '.join([said, *more])}.")
        self._tell()

    def on_windowed_list_moved(self) -> None:
        """Tell the line under the cursor whole."""
        self._tell()

    def _tell(self) -> None:
        row = self.row
        words = [] if row is None else [row.said or row.line.note.said, *row.words]
        self.query_one("#line", Static).update(Text("\n".join(map(one_line, words)), end=""))

    @property
    def row(self) -> NotedLine | None:
        """The line under the cursor."""
        found = self.list.row
        return self.rows[found.key] if found is not None and isinstance(found.key, int) else None

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Write the line otherwise, or give its day."""
        place = message.row.key
        assert isinstance(place, int)
        if self.rows[place].state == "known":
            self.say("This line is in the log already; u takes its entry back, on Entries.")
            return
        self.screens.push(NoteLineScreen(self.shown, self.rows[place], partial(self._take, place)))

    def _take(self, place: int, row: NotedLine, day: str) -> None:
        self.rows[place] = row
        if day:
            # one day is for all lines that stand under none
            for other, one in enumerate(self.rows):
                if one.line.no_day:
                    self.rows[other] = answered(self.shown, one, day=day)
        self._show()

    def action_mark(self) -> None:
        """Take the line under the cursor in, or out."""
        row, found = self.row, self.list.row
        if row is None or found is None or not isinstance(found.key, int):
            return
        if row.state == "asked":
            self.say("It must be understood first: Enter writes it otherwise.", alarm=True)
            return
        turned = {"save": "left", "left": "save", "doubt": "save"}.get(row.state, row.state)
        sure = row.sure | {row.doubt} if row.state == "doubt" else row.sure
        self.rows[found.key] = replace(row, state=turned, sure=sure)
        self._show()

    def action_save(self) -> None:
        """Save what is marked."""
        if not any(row.state == "save" for row in self.rows):
            self.say("No line is marked: nothing to save.", alarm=True)
            return
        self.screens.ask(self, "save", partial(save_note, rows=tuple(self.rows), now=self.shown.now), self._saved)

    def _saved(self, rows: Sequence[NotedLine]) -> None:
        before = sum(row.state == "known" for row in self.rows)
        self.rows = list(rows)
        count = sum(row.state == "known" for row in rows) - before
        left = sum(row.state in ("asked", "doubt") for row in rows)
        asks = f" {left} still {'asks' if left == 1 else 'ask'} something." if left else ""
        self._show()
        self.say(f"Saved {counted(count, 'line')}, an entry each.{asks}")
        self.screens.something_entered()


def _one(row: NotedLine) -> str:
    """What stands in the list: without the number, which has a column of its own."""
    said = row.words[0] if row.state != "asked" and row.state != "doubt" else " ".join(row.words[:2])
    return said.removeprefix(f"line {row.line.note.number}: ")


def open_note(screens: Host, path: Path) -> None:
    """Open a note, or all the notes of a folder."""

    def opened(shown: NoteShown) -> None:
        screens.push(NoteScreen(shown, path.name or str(path)))

    screens.ask(screens.screen, "note", partial(read_note, path=path), opened)
