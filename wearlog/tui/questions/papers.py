"""Questions about papers: what can be brought in, a notebook read, answered and taken in. They run in the gateway's threads."""

from __future__ import annotations

import os
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

from wearlog.progress import WorkProgress

if TYPE_CHECKING:
    from datetime import datetime

    from wearlog.facts.farm_settings import FarmSettings
    from wearlog.logbook.lines.notebook_saving import NotebookBrought
    from wearlog.logbook.lines.open_notebook import OpenBook
    from wearlog.reckoning.yard.printed_sheets import PrintedSheet
    from wearlog.tui.door import Door

#: so many files are offered while nothing is typed
_OFFERED: Final = 12
_LISTED: Final = 200
_FOLDERS: Final = ("", "Downloads", "Documents", "Desktop")


@dataclass(frozen=True, slots=True)
class PaperOffered:
    """What can be brought in: a file, or a folder to look into (its path ends with the stroke)."""

    path: str
    name: str
    about: str


def papers_offered(_: Door, typed: str) -> Sequence[PaperOffered]:
    """Return the notebooks and notes in the usual folders, the newest first; where a path is typed, what goes on from it."""
    if typed.startswith("~") or os.sep in typed:
        folder, _sep, begun = typed.rpartition(os.sep)
        return _within(Path(f"{folder}{os.sep}").expanduser(), begun.casefold())
    words = typed.casefold().split()
    found: dict[Path, float] = {}
    for place in dict.fromkeys((Path.cwd(), *(Path.home() / name for name in _FOLDERS))):
        for file in _entries(place):
            if _can_come_in(file) and all(word in file.name.casefold() for word in words):
                found[file] = _changed(file)
    newest = sorted(found, key=lambda one: (-found[one], one.name))
    return [_file(one) for one in newest[: _LISTED if words else _OFFERED]]


def _within(folder: Path, begun: str) -> list[PaperOffered]:
    listed = sorted(
        (one for one in _entries(folder) if one.name.casefold().startswith(begun)), key=lambda one: one.name
    )
    folders = [PaperOffered(f"{one}{os.sep}", f"{one.name}{os.sep}", "folder") for one in listed if one.is_dir()]
    return [*(_file(one) for one in listed if _can_come_in(one)), *folders][:_LISTED]


def _entries(folder: Path) -> list[Path]:
    # a spreadsheet leaves "~$" before the name of a workbook that it has open
    try:
        return [one for one in folder.iterdir() if not one.name.startswith((".", "~$"))]
    except OSError:
        return []


def _can_come_in(file: Path) -> bool:
    from wearlog.exchange.found_files import ENDINGS
    from wearlog.exchange.notebook_files import NOTE_ENDINGS, TEXT_ENDINGS

    return file.suffix.casefold() in (*ENDINGS, *TEXT_ENDINGS, *NOTE_ENDINGS) and file.is_file()


def is_note_file(_: Door, path: Path) -> bool:
    """Tell a note of plain lines from a notebook."""
    from wearlog.exchange.notebook_files import is_note

    return is_note(path)


def _changed(file: Path) -> float:
    try:
        return file.stat().st_mtime
    except OSError:
        return 0.0


def _file(file: Path) -> PaperOffered:
    day = time.strftime("%Y-%m-%d", time.localtime(_changed(file)))
    return PaperOffered(str(file), file.name, f"{day}, {_called(file.parent)}")


def _called(folder: Path) -> str:
    home = Path.home()
    return f"~{os.sep}{folder.relative_to(home)}".rstrip(f"{os.sep}.") if folder.is_relative_to(home) else str(folder)


class BookProgress(WorkProgress):
    """How far a notebook is read: the thread counts, the screen looks at it and may stop it."""

    def rows(self, _: int) -> None:
        """A row of the file was read: how many there are nobody knows yet."""
        self.step(self.share)

    @property
    def said(self) -> str:
        """How far it is, and how long it will take."""
        if not self.left_said:
            return "Reading ...   Esc stops"
        full = round(self.share * 10)
        return f"Reading {self.share:.0%} {'■' * full}{'□' * (10 - full)} {self.left_said}   Esc stops"


def open_book(door: Door, path: Path, progress: BookProgress) -> OpenBook:
    """Read a notebook, with what was said of it before."""
    from wearlog.exchange.notebook_files import read_notebook
    from wearlog.logbook.lines.notebook_desk import kept_words, lay_out
    from wearlog.logbook.lines.open_notebook import OpenBook

    sheets = read_notebook(path, progress.rows)
    said = kept_words(door.log, path.name)
    desk = lay_out(door.log, sheets, path.name, door.farm_now(), said, step=progress.step)
    return OpenBook(path, sheets, desk, said)


def read_again(door: Door, book: OpenBook, progress: BookProgress) -> OpenBook:
    """Understand a notebook anew with what is said of it now; UsageError where an answer says nothing that can be taken."""
    from wearlog.logbook.lines.open_notebook import understood_anew

    return understood_anew(door.log, book, door.farm_now(), progress.step)


def take_rows(door: Door, book: OpenBook) -> tuple[OpenBook, NotebookBrought]:
    """Save the sure rows as one entry; return the notebook as it lies there then, and what was saved."""
    from wearlog.logbook.lines.notebook_desk import take_in

    brought = take_in(door.log, book.desk, door.farm_now(), may_make=False)
    saved = {row.place for row in brought.saved}
    # what was made with them is in the log now
    rest = replace(
        book, new=() if brought.saved else book.new, given=tuple(one for one in book.given if one.place not in saved)
    )
    return read_again(door, rest, BookProgress()), brought


def words_of_columns() -> Mapping[str, str]:
    """Return what a column can be taken for, as it is said."""
    from wearlog.logbook.notebook.holds import Holds

    return {one.value: one.value for one in Holds}


def sheets_offered(door: Door) -> Sequence[PrintedSheet]:
    """Return every sheet that can be printed today."""
    from wearlog.reckoning.yard.printed_sheets import printed_sheets

    with door.log.reading() as connection:
        return printed_sheets(connection, door.farm(connection))


def farm_settings_now(door: Door) -> FarmSettings:
    """Return the settings by which lengths on a sheet are read."""
    from wearlog.logbook.open_log import settings_of

    with door.log.reading() as connection:
        return settings_of(connection)


def save_sheet(door: Door, sheet: PrintedSheet, said: Mapping[int, str], at: datetime) -> str:
    """Save what was written on a sheet as one entry."""
    from wearlog.logbook.plan.sheet_entry import SheetAnswer, enter_sheet
    from wearlog.present.words import saved_line

    answers = [SheetAnswer(number, text) for number, text in sorted(said.items())]
    done = enter_sheet(
        door.log, sheet.mark, sheet.machine, sheet.places, answers, at=at, harvest_year=sheet.harvest_year
    )
    return saved_line(done)
