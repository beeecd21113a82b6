"""What is to be brought in: a notebook or note by its path, or a printed sheet by its mark, entered line by line as one entry."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.widgets import Input

from wearlog.errors import WearlogError
from wearlog.facts.closed_lists import Dimension
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import ServiceItem
from wearlog.logbook.plan.sheet_entry import check_line
from wearlog.present.tables import width
from wearlog.present.words import counted
from wearlog.present.yard.inspection_sheet import printed_line_name, printed_name, printed_title
from wearlog.reckoning.yard.printed_sheets import PrintedSheet
from wearlog.tui.questions.papers import (
    PaperOffered,
    farm_settings_now,
    is_note_file,
    papers_offered,
    save_sheet,
    sheets_offered,
)
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.screens.narrowing import NarrowingScreen
from wearlog.tui.screens.papers.notebook import NotebookScreen
from wearlog.tui.typed import moment_reader
from wearlog.tui.widgets.form_line import FormField, FormLine
from wearlog.tui.widgets.lines import SayLine
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListRow
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.reckoning.yard.printed_sheets import PrintedLine
    from wearlog.tui.door import Door


def _columns(rows: Sequence[ListRow]) -> tuple[ListColumn, ...]:
    needs = tuple(max((width(row.cell(0, form)) for row in rows), default=0) for form in range(len(_SHORTER) + 1))
    return (
        ListColumn("sheet or file", 38, max(38, min(60, needs[0])), forms=needs),
        ListColumn("", 8, 60, weight=1),
    )


#: what a printed sheet's name leaves out where it finds no room, more and more of it
_SHORTER = ((" the season", " season"), (" inspection ", " "))


def _sheet_row(sheet: PrintedSheet, title: str) -> ListRow:
    names = [title]
    for long, short in _SHORTER:
        names.append(names[-1].replace(long, short))
    cells, *shorter = ((one, "printed sheet") for one in names)
    return ListRow(sheet, cells, shorter=tuple(shorter))


def _file_row(file: PaperOffered) -> ListRow:
    cells = (file.name, file.about)
    return ListRow(file.path, cells, shorter=(cells,) * len(_SHORTER))


class BringInScreen(NarrowingScreen[None]):
    """Opens what was picked."""

    ABOUT: ClassVar[str] = (
        "Type a few letters of a file's name, or its path (~/Downloads/...): what lies there is offered. Enter opens the one under "
        "the cursor, and goes into a folder. A notebook is any workbook or CSV file as a farm keeps it, a note a text of lines, "
        "typed or dictated elsewhere; opening one saves nothing. Ctrl+S opens all the notes of the folder that is typed. A printed "
        "sheet is opened by the mark at its top, and entered line by line."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+s", "take_all", "all notes", tooltip="open all the notes of the folder that is typed")
    ]

    def __init__(self) -> None:
        self.sheets: Sequence[PrintedSheet] = ()
        super().__init__("BRING IN", "(a file, its path, a sheet's mark)")

    def about_now(self) -> str:
        """Return the sentences of the help page."""
        return self.ABOUT

    def on_mount(self) -> None:
        """Offer what lies there."""
        self.query_one(WindowedList).empty = "No workbook, CSV file or text is called so. A path begins with ~ or /."
        self._offer("")
        self.screens.ask(self, "sheets", sheets_offered, self._take_sheets)

    def _take_sheets(self, sheets: Sequence[PrintedSheet]) -> None:
        self.sheets = sheets
        self._offer(self.query_one(Input).value)

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        # the files are asked for anew; the list narrows nothing itself
        event.prevent_default()
        self._offer(event.value)

    def _offer(self, typed: str) -> None:
        self.screens.ask(self, "offered", partial(papers_offered, typed=typed.strip()), self._show)

    def _show(self, found: Sequence[PaperOffered]) -> None:
        words = self.query_one(Input).value.casefold().split()
        named = [(one, f"{one.mark}  {printed_name(one)}") for one in self.sheets]
        sheets = [
            _sheet_row(one, title)
            for one, title in named
            if all(word in f"{title} {printed_title(one)}".casefold() for word in words)
        ]
        rows = (*map(_file_row, found), *sheets)
        self.query_one(WindowedList).show(FixedSource(_columns(rows), rows))

    @on(Input.Submitted)
    def _take(self) -> None:
        line, row = self.query_one(Input), self.query_one(WindowedList).row
        typed = line.value.strip()
        if row is not None and isinstance(row.key, PrintedSheet) and not Path(typed).expanduser().is_file():
            self.screens.ask(self, "settings", farm_settings_now, partial(self._open_sheet, row.key))
            return
        path = Path(typed).expanduser()
        chosen = str(path) if typed and path.is_file() else str(row.key) if row is not None else ""
        if not chosen:
            self.query_one(SayLine).say(f"There is no file or folder {typed or 'here'}.", alarm=True)
            return
        if chosen.endswith(os.sep):
            line.value = chosen
            line.cursor_position = len(chosen)
            return
        self.screens.ask(self, "sort", partial(is_note_file, path=Path(chosen)), partial(self._open_file, Path(chosen)))

    def _open_file(self, path: Path, is_note: bool) -> None:  # noqa: FBT001 - the answer of the question
        self.dismiss()
        if is_note:
            self.app.call_after_refresh(self.screens.open_note, path)
        else:
            self.screens.push(NotebookScreen(path))

    def action_take_all(self) -> None:
        """Open all the notes of the folder that is typed."""
        folder = Path(self.query_one(Input).value.strip() or ".").expanduser()
        if not folder.is_dir():
            self.query_one(SayLine).say(f"There is no folder {folder}.", alarm=True)
            return
        self._open_file(folder, is_note=True)

    def _open_sheet(self, sheet: PrintedSheet, settings: FarmSettings) -> None:
        self.dismiss()
        self.screens.push(SheetLinesScreen(sheet, settings))

    def on_windowed_list_chosen(self) -> None:
        """Open what was clicked."""
        self._take()


class SheetField(FormField):
    """One line of a sheet: its number and part, and room for what was written."""

    DEFAULT_CSS = """
    SheetField {
        & .form-line--label { width: 44; }
        &.-narrow .form-line--label { width: 28; height: auto; max-height: 2; }
    }
    """


class SheetLinesScreen(FormScreen):
    """The sheet. What was typed and not saved is kept until the screens are closed."""

    TITLE: ClassVar[str] = "SHEET"
    OF_LINES: ClassVar[bool] = True
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "enter", "next", tooltip="the next line", priority=True),
        Binding("ctrl+s", "save", "save", tooltip="save all lines as one entry", priority=True),
    ]
    ABOUT: ClassVar[str] = (
        "The lines stand as on the printed sheet. Enter goes to the next one, Up to the one before. Write a length with its unit "
        "(of several positions: 12: 0.02in), ok, or order, with positions: 41,42 order; several on one line parted by ;. Of a "
        "service write done. What is left empty was not looked at. All of it is one entry: what was measured goes into measured "
        "wear, what is to be ordered into the plan. Esc leaves it; what was typed is there again when the sheet is opened."
    )

    def __init__(self, sheet: PrintedSheet, settings: FarmSettings) -> None:
        super().__init__()
        self.sheet = sheet
        self.settings = settings

    def heading(self) -> str:
        # the machine first: at 46 columns the line ends before the round
        return f"SHEET {self.sheet.mark}  {printed_name(self.sheet)}"

    def questions(self) -> Iterable[FormLine]:
        for line in self.sheet.lines:
            yield SheetField(
                f"line-{line.number}",
                f"{line.number}. {printed_line_name(line)}",
                self._reader(line),
                hint=_hint(line),
            )
        yield FormField("at", "Looked at", moment_reader(self.now), hint="now", say=self.say_moment)

    def _reader(self, line: PrintedLine) -> Callable[[str], str]:
        def read(text: str) -> str:
            clean = text.strip()
            return check_line(line.place, line.kind, self.settings, clean) if clean else ""

        return read

    def prepare(self) -> None:
        """Put back what was typed before."""
        for name, text in self.screens.kept_typed.get(self.sheet.mark, {}).items():
            self.line(name).restore(text)

    def _said(self) -> dict[int, str]:
        return {one.number: text for one in self.sheet.lines if (text := self.answer(f"line-{one.number}"))}

    def summary(self) -> str:
        said = self._said()
        return f"{len(said)} of {counted(len(self.sheet.lines), 'line')}" if said else ""

    def saving(self) -> Callable[[Door], str]:
        return partial(save_sheet, sheet=self.sheet, said=self._said(), at=self.answer("at") or self.now())

    def saved(self, sentence: str) -> None:
        """What is in the log is kept nowhere else."""
        self.screens.kept_typed.pop(self.sheet.mark, None)
        super().saved(sentence)

    def blamed(self, error: WearlogError) -> FormLine | None:
        number = error.message.partition(":")[0].removeprefix("Line ")
        there = number.isdigit() and any(one.number == int(number) for one in self.sheet.lines)
        found: FormLine | None = self.line(f"line-{number}") if there else None
        return found

    def action_leave(self) -> None:
        """Leave; what was typed stays for the next time."""
        typed = {one.asks: one.kept() for one in self.lines if one.is_typed and one.kept().strip()}
        self.dismiss()
        if typed:
            self.screens.kept_typed[self.sheet.mark] = typed
            sentence = f"Sheet {self.sheet.mark} is not saved; what you typed is there again when you open it."
            self.app.call_after_refresh(self.screens.say, sentence, alarm=True)


def _hint(line: PrintedLine) -> str:
    if isinstance(line.place, ServiceItem):
        return "done"
    if line.kind is None:
        return "ok"
    return "a length, ok, order" if line.kind.dimension is not Dimension.NONE else "ok, order"
