"""A life table that somebody kept elsewhere: a CSV file of entry, exit, failed and count. Fits nothing, touches no log."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final, TypeVar

import numpy as np

from wearlog.errors import DataError, NotFoundError, RefusedError, UsageError
from wearlog.exchange.cells import UNKNOWN, read_flag, read_written_number
from wearlog.exchange.found_files import open_csv
from wearlog.exchange.raw_sheet import ProblemList, RawSheet, SheetProblem, SpoiltSheetError, column_letter
from wearlog.facts.plain_text import folded
from wearlog.wear.lives import CauseGroup, Lives, events_by_cause, lives_from_columns, mended_lives

T = TypeVar("T")

#: what a column may be called; the first is its name
COLUMNS: Final[dict[str, tuple[str, ...]]] = {
    "entry": ("entry", "entry age", "entry_age", "from"),
    "exit": ("exit", "exit age", "exit_age", "age", "to"),
    "failed": ("failed", "event", "failure"),
    "count": ("count", "weight", "number"),
    "last_seen_whole": ("last_seen_whole", "last seen whole", "seen whole"),
    "ended_by": ("ended_by", "ended by"),
    "mended_at": ("mended_at", "mended at"),
}
_OPTIONAL: Final = ("entry", "count", "last_seen_whole", "ended_by", "mended_at")
#: a sentence holds no more than so many problems; the rest is counted
_SHOWN: Final = 8
#: ages are in a unit of the table's own, so that they may be as large as a number of this machine can be
_MOST_DIGITS: Final = 308


@dataclass(frozen=True, slots=True, eq=False)
class LifeTable:
    """What a table holds: its lives, and the headings of the columns that say nothing here (a cause, a note)."""

    lives: Lives
    ignored: tuple[str, ...]


def read_life_table(path: Path) -> LifeTable:
    """Read the lives of a table.

    Parameters
    ----------
    path : Path
        A CSV file with a heading line. `exit` and `failed` must be there; without `entry` every life begins at age 0, without
        `count` a row is one life. An entry that is empty or "unknown" leaves the life out, counted in `left_out`.

    Returns
    -------
    LifeTable
        A failure counts at the very age of its exit, or between `last_seen_whole` and that where such a cell is filled. What
        `ended_by` calls impact or secondary says only that wear had not ended it by then; without that column every failure is
        wear. At each age of `mended_at` the part failed and went on. Columns that would say otherwise are named in `ignored`.

    Raises
    ------
    NotFoundError
        When there is no such file.
    RefusedError
        Naming the line and column of every cell (the first few of many) that cannot be right, a count that is not whole among
        them; two columns of one meaning, or no row.
    """
    try:
        content = path.read_bytes()
    except (FileNotFoundError, IsADirectoryError) as error:
        raise NotFoundError(f"There is no file {path}.", "Name a CSV file: entry,exit,failed,count.") from error
    except OSError as error:
        raise RefusedError(f"{path} cannot be read: {error.strerror}.", "Look at its permissions.") from error
    problems = ProblemList()
    try:
        sheet, _ = open_csv("lives", path.name, content)
        if sheet is None:
            raise RefusedError(f"{path.name} is empty.", "Write a heading line: entry,exit,failed,count.")
        columns = _columns(sheet)
        rows = _Rows(sheet, columns, problems)
        rows.read()
    except SpoiltSheetError as error:
        problems.add(SheetProblem(error.message, error.hint, path.name, error.line))
        rows = None
    if problems or rows is None:
        raise RefusedError(_sentence(problems), "Nothing was fitted; mend the table and try again.")
    if not rows.exit and not rows.mended:
        raise RefusedError(f"{path.name} has a heading line and no rows.", "Write one row for each life.")
    return LifeTable(rows.lives(), _not_read(rows.sheet, rows.columns))


def _not_read(sheet: RawSheet, columns: dict[str, int]) -> tuple[str, ...]:
    read = set(columns.values())
    return tuple(one.strip() for place, one in enumerate(sheet.headings) if place not in read and one.strip())


def _columns(sheet: RawSheet) -> dict[str, int]:
    """Return which column holds what."""
    found: dict[str, int] = {}
    for index, heading in enumerate(sheet.headings):
        for name, spellings in COLUMNS.items():
            if folded(heading) not in spellings:
                continue
            if name in found:
                first = sheet.headings[found[name]].strip()
                raise RefusedError(
                    f"{sheet.file}, line {sheet.heading_line}: columns {column_letter(found[name])} ({first}) and "
                    f"{column_letter(index)} ({heading.strip()}) both say {name}.",
                    "Keep the one that holds, and give the other another heading.",
                )
            found[name] = index
    missing = [name for name in ("exit", "failed") if name not in found]
    if missing:
        there = ", ".join(heading for heading in sheet.headings if heading.strip()) or "nothing"
        raise RefusedError(
            f"{sheet.file}, line {sheet.heading_line}: there is no column {' and no column '.join(missing)} "
            f"(found: {there}).",
            "Write a heading line: entry,exit,failed,count.",
        )
    return found


class _Rows:
    """The columns as they are read, row by row."""

    def __init__(self, sheet: RawSheet, columns: dict[str, int], problems: ProblemList) -> None:
        self.sheet, self.columns, self.problems = sheet, columns, problems
        self.entry: list[float | None] = []
        self.exit: list[float] = []
        self.failed: list[bool] = []
        self.count: list[float] = []
        self.last_seen: list[float | None] = []
        self.ended_by: list[CauseGroup] = []
        self.mended: list[Lives] = []

    def lives(self) -> Lives:
        """Return what was read: rows that tell mends as their pieces, the others as they stand."""
        failed = np.array(self.failed, dtype=bool) & events_by_cause(self.ended_by).wear
        plain = lives_from_columns(self.entry, self.exit, failed.tolist(), self.count, last_seen=self.last_seen)
        return Lives.joined([plain, *self.mended]) if self.mended else plain

    def read(self) -> None:
        for line, cells in self.sheet.rows:
            if any(cell.strip() for cell in cells):
                self._row(line, cells)

    def _row(self, line: int, cells: Sequence[str]) -> None:
        before = self.problems.count
        beyond = next(
            (place for place, cell in enumerate(cells) if place >= len(self.sheet.headings) and cell.strip()), None
        )
        if beyond is not None:
            said = f"'{cells[beyond].strip()}' stands beyond the last heading: a cell too many, or a mark too many before it."
            self.problems.add(SheetProblem(said, "", self.sheet.file, line, column_letter(beyond)))
        entry = self._cell(line, cells, "entry", self._entry, missing=0.0)
        leaving = self._cell(line, cells, "exit", self._above_0, missing=None)
        failed = self._cell(line, cells, "failed", read_flag, missing=None)
        count = self._cell(line, cells, "count", self._whole, missing=1.0)
        seen = self._cell(line, cells, "last_seen_whole", self._age, missing=None)
        if leaving is not None and entry is not None and leaving <= entry:
            self._problem(line, "exit", f"the life ends at {leaving:g}, not after its entry at {entry:g}.")
        if seen is not None and leaving is not None and not (entry or 0.0) <= seen <= leaving:
            said = f"seen whole at {seen:g}, which is not between its entry at {entry or 0.0:g} and its exit at {leaving:g}."
            self._problem(line, "last_seen_whole", said)
        group = self._cell(line, cells, "ended_by", _group, missing=CauseGroup.WEAR) or CauseGroup.WEAR
        mends = self._cell(line, cells, "mended_at", self._ages, missing=None) or []
        if mends and seen is not None:
            self._problem(
                line,
                "mended_at",
                "mended and last seen whole at once: give its last piece a row of its own.",
            )
        if self.problems.count > before or leaving is None or failed is None:
            return
        if mends and entry is not None:
            self._mended(
                line, entry, mends, leaving, 1.0 if count is None else count, failed=failed and group is CauseGroup.WEAR
            )
        else:
            self.ended_by.append(group)
            self.entry.append(entry)
            self.exit.append(leaving)
            self.failed.append(failed)
            self.count.append(1.0 if count is None else count)
            self.last_seen.append(seen)

    def _mended(
        self, line: int, entry: float, mends: list[float], leaving: float, count: float, *, failed: bool
    ) -> None:
        try:
            pieces = mended_lives(entry, mends, leaving, failed=failed)
        except DataError as error:
            self._problem(line, "mended_at", f"{error.message} {error.hint}")
            return
        self.mended.append(replace(pieces, weight=pieces.weight * count))

    def _ages(self, text: str) -> list[float]:
        return [self._above_0(one.strip()) for one in text.split(";") if one.strip()]

    def _cell(
        self, line: int, cells: Sequence[str], name: str, read: Callable[[str], T | None], *, missing: T | None
    ) -> T | None:
        """Return what a cell holds; without such a column what is missing stands for it."""
        if name not in self.columns:
            return missing
        index = self.columns[name]
        text = cells[index].strip() if index < len(cells) else ""
        if not text and name in _OPTIONAL:
            return None
        if not text:
            self._problem(line, name, "it is empty.")
            return None
        try:
            return read(text)
        except UsageError as error:
            self._problem(line, name, f"{error.message} {error.hint}".rstrip())
            return None

    def _entry(self, text: str) -> float | None:
        if text.casefold() == UNKNOWN:
            return None
        return self._age(text)

    def _age(self, text: str) -> float:
        age = self._number(text)
        if age < 0:
            raise UsageError(f"'{text}' is below 0.", "Write 0 for a part that was fitted new.")
        return age

    def _above_0(self, text: str) -> float:
        number = self._number(text)
        if not number > 0:
            raise UsageError(f"'{text}' is not above 0.")
        return number

    def _whole(self, text: str) -> float:
        number = self._above_0(text)
        if not number.is_integer():
            raise UsageError(f"'{text}' is not a whole number of lives.")
        return number

    def _number(self, text: str) -> float:
        return float(read_written_number(text, decimal_comma=self.sheet.decimal_comma, most_digits=_MOST_DIGITS))

    def _problem(self, line: int, name: str, message: str) -> None:
        index = self.columns[name]
        heading = self.sheet.headings[index].strip()
        self.problems.add(SheetProblem(message, "", self.sheet.file, line, column_letter(index), heading))


def _group(text: str) -> CauseGroup:
    try:
        return CauseGroup(text.casefold())
    except ValueError:
        groups = ", ".join(CauseGroup)
        raise UsageError(f"'{text}' ended no life.", f"Write one of {groups}.") from None


def _sentence(problems: ProblemList) -> str:
    more = problems.count - _SHOWN
    said = [str(problem) for problem in problems.kept[:_SHOWN]]
    return "\n".join([*said, f"and {more:,} more"] if more > 0 else said)
