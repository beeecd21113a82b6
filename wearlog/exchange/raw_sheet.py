"""A sheet as it was found, all cells text, whatever kind of file it came from. What the cells mean is not known here."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Final

from wearlog.errors import WearlogError
from wearlog.exchange.sheets import SHEETS
from wearlog.facts.plain_text import harmless

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


#: enough to mend a sheet by; the rest is counted
MOST_SHOWN: Final = 200


@dataclass(frozen=True, slots=True)
class SheetProblem:
    """One thing to mend. `column` is the letter a spreadsheet shows, `heading` what stands at its top."""

    message: str
    hint: str = ""
    file: str = ""
    line: int | None = None
    column: str = ""
    heading: str = ""

    @property
    def where(self) -> str:
        """Return "breakage.csv, line 12, column D (positions)", as far as it is known."""
        heading = f" ({self.heading})" if self.heading else ""
        pieces = [
            self.file,
            f"line {self.line}" if self.line else "",
            f"column {self.column}{heading}" if self.column else "",
        ]
        return ", ".join(piece for piece in pieces if piece)

    def __str__(self) -> str:
        said = f"{self.where}: {self.message}" if self.where else self.message
        return f"{said} {self.hint}".rstrip()


@dataclass(slots=True)
class ProblemList:
    """Problems in the order in which they were met: the first `MOST_SHOWN` are kept, the others counted."""

    kept: list[SheetProblem] = field(default_factory=list)
    left_out: int = 0

    def add(self, problem: SheetProblem) -> None:
        """Keep one thing to mend, without the control codes that a cell or a heading may hold."""
        if len(self.kept) < MOST_SHOWN:
            message, hint, file, heading = map(harmless, (problem.message, problem.hint, problem.file, problem.heading))
            self.kept.append(replace(problem, message=message, hint=hint, file=file, heading=heading))
        else:
            self.left_out += 1

    @property
    def count(self) -> int:
        """Return how many were met."""
        return len(self.kept) + self.left_out

    def __bool__(self) -> bool:
        return bool(self.kept)


def column_letter(index: int) -> str:
    """Return the letter of a column counted from 0, as a spreadsheet shows it: A, Z, AA."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
