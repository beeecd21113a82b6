"""A sheet as it was found, all cells text, whatever kind of file it came from. What the cells mean is not known here."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from wearlog.errors import WearlogError
from wearlog.exchange.sheets import SHEETS

#: sheets as people may call them: the name of a row, or of several
SHEET_NAMES: Final[dict[str, str]] = {
    spelling: name for name in SHEETS for spelling in (name, f"{name}s", f"{name}es", name.removesuffix("y") + "ies")
}


@dataclass(frozen=True, slots=True)
class RawSheet:
    """One sheet.

    Attributes
    ----------
    name : str
        Which of `SHEETS` it is.
    file : str
        How to call it in a sentence: "run.csv" or "farm.xlsx, sheet run".
    headings : tuple of str
        The first row that is not empty, from column A on.
    heading_line : int
        The line of that row, counted from 1.
    rows : iterator of (line, cells)
        What follows; may raise SpoiltSheetError. Lines are those a text editor shows, where the row begins.
    decimal_comma : bool or None
        How its numbers are written, as `read_number` takes it.
    """

    name: str
    file: str
    headings: tuple[str, ...]
    heading_line: int
    rows: Iterator[tuple[int, list[str]]]
    decimal_comma: bool | None


class SpoiltSheetError(WearlogError):
    """The rows cannot be read on from here."""

    def __init__(self, message: str, hint: str, line: int | None = None) -> None:
        super().__init__(message, hint)
        self.line = line


def sheet_name(called: str) -> str | None:
    """Return which sheet a file or worksheet of this name is, or None."""
    return SHEET_NAMES.get(called.strip().casefold().replace(" ", "_").replace("-", "_"))
