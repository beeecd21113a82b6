"""Answers to the questions of a notebook's rows: what is asked, line by line, and what an answer changes in its row."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from wearlog.errors import UsageError
from wearlog.facts.plain_text import folded
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.note_entry import Ask, NoteRow
from wearlog.logbook.notebook.understanding import Place, RowAnswer

_LEFT: Final = frozenset({"skip", "leave", "leave out", "-", "none"})
_YES: Final = frozenset({"yes", "y", "right", "so it is"})
#: behind an answer: it holds for every row that asks the same
_FOR_ALL: Final = "*"


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedLine:
    """One question, as it stands in a file or a grid, and its answer ("" where nobody has answered)."""

    sheet: str
    row: int
    columns: str
    says: str
    ask: Ask
    about: Holds
    question: str
    choices: tuple[str, ...] = ()
    answer: str = ""

    @property
    def place(self) -> Place:
        """Where the row stands."""
        return self.sheet, self.row, self.columns

    @property
    def asks(self) -> tuple[Ask, Holds, str]:
        """What is asked: rows that ask the same can be answered together."""
        return self.ask, self.about, self.question.casefold()


def asked_lines(rows: Sequence[NoteRow]) -> list[AskedLine]:
    """Return the questions of rows."""
    return [
        AskedLine(
            sheet=row.sheet,
            row=row.row,
            columns=row.columns,
            says=row.said,
            ask=row.question.ask,
            about=row.question.about,
            question=row.question.says,
            choices=row.question.choices,
        )
        for row in rows
        if row.question is not None
    ]


def spread_out(lines: Sequence[AskedLine], asked: Sequence[AskedLine]) -> list[AskedLine]:
    """Return the lines with answers "for all" given to every row that asks the same."""
    for_all = {one.asks: one.answer.rstrip()[:-1].strip() for one in lines if one.answer.rstrip().endswith(_FOR_ALL)}
    given = [one for one in lines if one.answer.strip() and not one.answer.rstrip().endswith(_FOR_ALL)]
    spread = [replace(one, answer=for_all[one.asks]) for one in (*lines, *asked) if one.asks in for_all]
    return [*given, *spread]


def row_answers(lines: Sequence[AskedLine], rows: Sequence[NoteRow]) -> dict[Place, RowAnswer]:
    """Return what the answers change, by row.

    Raises
    ------
    UsageError
        When an answer says nothing that can be taken for one.
    """
    by_place = {row.place: row for row in rows}
    found: dict[Place, RowAnswer] = {}
    for line in lines:
        row = by_place.get(line.place)
        if row is None or not line.answer.strip():
            continue
        before = found.get(line.place, RowAnswer())
        found[line.place] = _with(before, line, row.cells)
    return found


def _with(before: RowAnswer, line: AskedLine, cells: Mapping[Holds, str]) -> RowAnswer:
    said = folded(line.answer)
    if said in _LEFT:
        return RowAnswer(before.cells, before.settled, left_out=True)
    if said in _YES:
        if line.ask not in (Ask.TWICE, Ask.IMPOSSIBLE, Ask.BACKWARDS, Ask.CONTRADICTION, Ask.CHANGED):
            raise UsageError(
                f"{line.sheet}, row {line.row}: 'yes' does not answer '{line.question}'", "Write what it is, or 'skip'."
            )
        return RowAnswer(before.cells, before.settled | {line.ask}, before.left_out)
    changed = dict(before.cells)
    changed.update(_cells(line, cells))
    return RowAnswer(changed, before.settled, before.left_out)


def _cells(line: AskedLine, cells: Mapping[Holds, str]) -> dict[Holds, str]:
    """Return what is read instead of the cell that the question is about."""
    text = line.answer.strip()
    if line.ask is Ask.UNIT:
        if line.about is Holds.METER:
            meter = Holds.ENGINE if folded(text).startswith("eng") else Holds.SEPARATOR
            return {meter: cells.get(Holds.METER, ""), Holds.METER: ""}
        return {line.about: f"{cells.get(line.about, '')} {text}"}
    return {line.about: text}
