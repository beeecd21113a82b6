"""What is wrong with a file and where, and the list in which it is collected. Nothing is raised: all of it is shown at once."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

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
        if len(self.kept) < MOST_SHOWN:
            self.kept.append(problem)
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
