"""What is to be brought in: a notebook picked from those that lie there or by its path, or a printed sheet by its mark."""

from __future__ import annotations

import os
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import ClassVar

from textual import on
from textual.widgets import Input

from wearlog.facts.farm_settings import FarmSettings
from wearlog.present.yard.inspection_sheet import printed_title
from wearlog.reckoning.yard.printed_sheets import PrintedSheet
from wearlog.tui.questions.papers import PaperOffered, farm_settings_now, papers_offered, sheets_offered
from wearlog.tui.screens.narrowing import NarrowingScreen
from wearlog.tui.screens.papers.notebook import NotebookScreen
from wearlog.tui.screens.papers.sheet_lines import SheetLinesScreen
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListRow
from wearlog.tui.widgets.windowed_list import WindowedList

_COLUMNS = (ListColumn("sheet or file", 26, 60), ListColumn("", 8, 60, weight=1))


class BringInScreen(NarrowingScreen[None]):
    """Opens what was picked."""

    ABOUT: ClassVar[str] = (
        "Type a few letters of a file's name, or its path (~/Downloads/...): what lies there is offered. Enter opens the one under "
        "the cursor, and goes into a folder. A notebook is any workbook or CSV file as a farm keeps it; opening one saves nothing. "
        "A printed sheet is opened by the mark at its top, and entered line by line."
    )

    def __init__(self) -> None:
        self.sheets: Sequence[PrintedSheet] = ()
        super().__init__("BRING IN", "(a file or its path, or the mark of a sheet)")

    def about_now(self) -> str:
        """Return the sentences of the help page."""
        return self.ABOUT

    def on_mount(self) -> None:
        """Offer what lies there."""
        self.query_one(WindowedList).empty = "No workbook or CSV file is called so. A path begins with ~ or /."
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
        named = [(one, f"{one.mark}  {printed_title(one)}") for one in self.sheets]
        sheets = [
            ListRow(one, (title, "printed sheet"))
            for one, title in named
            if all(word in title.casefold() for word in words)
        ]
        files = [ListRow(one.path, (one.name, one.about)) for one in found]
        self.query_one(WindowedList).show(FixedSource(_COLUMNS, (*files, *sheets)))

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
            return
        if chosen.endswith(os.sep):
            line.value = chosen
            line.cursor_position = len(chosen)
            return
        self.dismiss()
        self.screens.push(NotebookScreen(Path(chosen)))

    def _open_sheet(self, sheet: PrintedSheet, settings: FarmSettings) -> None:
        self.dismiss()
        self.screens.push(SheetLinesScreen(sheet, settings))

    def on_windowed_list_chosen(self) -> None:
        """Open what was clicked."""
        self._take()
