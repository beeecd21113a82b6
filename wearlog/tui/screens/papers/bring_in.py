"""What is to be brought in: a notebook is picked from those that lie there, or its path is typed."""

from __future__ import annotations

import os
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import ClassVar

from textual import on
from textual.widgets import Input

from wearlog.tui.questions.papers import PaperOffered, papers_offered
from wearlog.tui.screens.narrowing import NarrowingScreen
from wearlog.tui.screens.papers.notebook import NotebookScreen
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListRow
from wearlog.tui.widgets.windowed_list import WindowedList

_COLUMNS = (ListColumn("file", 20, 60), ListColumn("changed, where", 10, 60, weight=1))


class BringInScreen(NarrowingScreen[None]):
    """Opens the notebook that was picked."""

    ABOUT: ClassVar[str] = (
        "Type a few letters of a file's name, or its path (~/Downloads/...): what lies there is offered. Enter opens the one under "
        "the cursor, and goes into a folder. A notebook is any workbook or CSV file as a farm keeps it. Opening one saves nothing."
    )

    def __init__(self) -> None:
        super().__init__("BRING IN", "(a workbook or CSV file: a few letters, or its path)")

    def about_now(self) -> str:
        """Return the sentences of the help page."""
        return self.ABOUT

    def on_mount(self) -> None:
        """Offer what lies there."""
        self.query_one(WindowedList).empty = "No workbook or CSV file is called so. A path begins with ~ or /."
        self._offer("")

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        # the files are asked for anew; the list narrows nothing itself
        event.prevent_default()
        self._offer(event.value)

    def _offer(self, typed: str) -> None:
        self.screens.ask(self, "offered", partial(papers_offered, typed=typed.strip()), self._show)

    def _show(self, found: Sequence[PaperOffered]) -> None:
        rows = tuple(ListRow(one.path, (one.name, one.about)) for one in found)
        self.query_one(WindowedList).show(FixedSource(_COLUMNS, rows))

    @on(Input.Submitted)
    def _take(self) -> None:
        line, row = self.query_one(Input), self.query_one(WindowedList).row
        typed = line.value.strip()
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

    def on_windowed_list_chosen(self) -> None:
        """Open what was clicked."""
        self._take()
