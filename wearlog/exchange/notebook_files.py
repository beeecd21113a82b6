"""Notebooks and notes as files: workbooks and text become sheets of plain text, questions become a CSV file and are read back.

Nothing is understood here.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any, Final

from wearlog.disk import why_unread
from wearlog.errors import DataError, NotFoundError, UsageError
from wearlog.exchange.cell_text import guarded, unguarded
from wearlog.exchange.found_files import ENDINGS, cell_text, decoded
from wearlog.exchange.raw_sheet import SpoiltSheetError
from wearlog.facts.plain_text import one_line
from wearlog.logbook.lines.notebook_answers import AskedLine
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.layout import NoteSheet
from wearlog.logbook.notebook.note_entry import Ask

TEXT_ENDINGS: Final = (".csv", ".tsv", ".txt", ".tab")

_DELIMITERS: Final = "\t;,|"

_DECIMAL_COMMA: Final = re.compile(r"\d,\d{1,2}(?!\d)")

_DECIMAL_POINT: Final = re.compile(r"(?<![\d.])\d+\.\d{1,2}(?![\d.])")

_LOOKED_AT: Final = 200

_UNIT: Final = r"\s*(?:h|hrs?|min|ac|ha|kg|t|usd|cad|eur|[$€£])\.?"

#: so nobody writes who sets a point before the decimals: "1.147,75", "0,5", "12,5 ha"; and the other way round
_SURELY_COMMA: Final = re.compile(
    rf"[-+$€£]?\s*(?:\d{{1,3}}(?:\.\d{{3}})+,\d{{1,2}}(?:{_UNIT})?|0,\d{{1,3}}(?:{_UNIT})?|\d+,\d{{1,2}}{_UNIT})",
    re.IGNORECASE,
)

_SURELY_POINT: Final = re.compile(
    rf"[-+$€£]?\s*(?:\d{{1,3}}(?:,\d{{3}})+\.\d{{1,2}}(?:{_UNIT})?|0\.\d{{1,3}}(?:{_UNIT})?|\d+\.\d{{1,2}}{_UNIT})",
    re.IGNORECASE,
)

#: told how many rows were read; may raise to stop
Step = Callable[[int], None]


def _no_step(_: int) -> None:
    return


def read_notebook(path: Path, step: Step = _no_step) -> list[NoteSheet]:
    """Return the sheets of a notebook, blank ones left out.

    Raises
    ------
    NotFoundError
        When there is no such file.
    UsageError
        When it is neither a workbook nor a text file.
    DataError
        When it cannot be read, or holds nothing.
    """
    ending = path.suffix.casefold()
    if not path.is_file():
        raise NotFoundError(f"There is no file {path}.", "Name the workbook or the CSV file.")
    if ending not in (*ENDINGS, *TEXT_ENDINGS):
        raise UsageError(f"{path.name} is no notebook.", f"A notebook ends in {', '.join((*ENDINGS, *TEXT_ENDINGS))}.")
    try:
        sheets = _workbook(path, step) if ending in ENDINGS else [_text_file(path, step)]
    except SpoiltSheetError as error:
        raise DataError(f"{path.name}: {error.message}", error.hint) from error
    except OSError as error:
        raise DataError(
            f"{path.name} cannot be read: {why_unread(error)}.", "Look whether it may be opened."
        ) from error
    held = [sheet for sheet in sheets if any(any(row) for row in sheet.rows)]
    if not held:
        raise DataError(f"Nothing stands in {path.name}.", "Save the notebook, and name that file.")
    return held


def _workbook(path: Path, step: Step) -> list[NoteSheet]:
    from python_calamine import CalamineError, CalamineWorkbook

    try:
        book = CalamineWorkbook.from_path(str(path))
        found = [(name, book.get_sheet_by_name(name)) for name in book.sheet_names]
        written = [(name, sheet, sheet.to_python(skip_empty_area=True)) for name, sheet in found]
    except CalamineError:
        raise SpoiltSheetError(
            "It cannot be read as a workbook.", "Save it as .xlsx, without a password, or as CSV."
        ) from None
    comma = _surely_comma(cell for _, _, rows in written for row in rows[:_LOOKED_AT] for cell in row)
    return [
        NoteSheet(one_line(name) or "sheet", _rows_of(sheet, rows, step, _Cells(comma=comma)), comma or None)
        for name, sheet, rows in written
    ]


def _surely_comma(cells: Iterable[object]) -> bool:
    """Say whether texts write decimals with a comma; "41,42" alone tells nothing, since positions are written so."""
    texts = [cell.strip() for cell in cells if isinstance(cell, str) and ("," in cell or "." in cell)]
    return sum(bool(_SURELY_COMMA.fullmatch(one)) for one in texts) > sum(
        bool(_SURELY_POINT.fullmatch(one)) for one in texts
    )


def _rows_of(sheet: Any, written: Iterable[Sequence[object]], step: Step, cells: _Cells) -> list[list[str]]:
    before = [""] * (sheet.start[1] if sheet.start else 0)
    # a sheet is read from its first used row on; the numbers of the rows above it must not be lost
    found: list[list[str]] = [[] for _ in range(sheet.start[0] if sheet.start else 0)]
    for row in written:
        found.append([*before, *(cells.text(one) for one in row)])
        step(len(found))
    return found


class _Cells:
    """Cells as text; what stands in one often stands in many. Where texts have a decimal comma, figures are given one."""

    def __init__(self, *, comma: bool = False) -> None:
        self._comma = comma
        self._seen: dict[object, str] = {"": ""}

    def text(self, cell: object) -> str:
        # 1, 1.0 and True are one key; of text there is one sort only
        key = cell if type(cell) is str else (type(cell), cell)
        found = self._seen.get(key)
        if found is None:
            text = one_line(cell_text(cell))
            found = text[:10] if text.endswith(" 00:00") and len(text) == 16 else text
            if self._comma and isinstance(cell, float):
                found = found.replace(".", ",")
            if len(self._seen) < 200_000:
                self._seen[key] = found
        return found


def _text_file(path: Path, step: Step) -> NoteSheet:
    text, _ = decoded(path.read_bytes())
    lines = text.splitlines()[:_LOOKED_AT]
    said = re.match(r"\s*sep=(.)\r?\n", text)
    delimiter = said[1] if said else _delimiter(lines)
    cells = _Cells()
    rows: list[list[str]] = []
    for row in _csv_rows(text, delimiter):
        rows.append([cells.text(one) for one in row])
        step(len(rows))
    if said:
        rows[0] = []
    cells_of = (cell for row in rows[:_LOOKED_AT] for cell in row)
    return NoteSheet("csv", rows, _surely_comma(cells_of) if delimiter == "," else _has_decimal_comma(lines))


def _csv_rows(text: str, delimiter: str) -> Iterable[list[str]]:
    """Return a row for each line of the file: a cell of several lines is told as one, the lines it took stay counted."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, quoting=_quoting(text, delimiter))
    before = 0
    try:
        for row in reader:
            yield row
            # spreadsheets count rows, not lines; only here is a row what it was
            before = reader.line_num
    except csv.Error:
        raise SpoiltSheetError(
            "A cell is far too long.", f"Is a quotation mark missing behind line {before}?", before
        ) from None


def _quoting(text: str, delimiter: str) -> Any:
    """A lone quotation mark in a cell is a ditto mark, and does not begin a cell of many lines."""
    lone = re.search(rf'(?:^|{re.escape(delimiter)})"(?={re.escape(delimiter)}|$)', text, re.MULTILINE)
    paired = re.search(rf'(?:^|{re.escape(delimiter)})"[^"\n]+"(?={re.escape(delimiter)}|\r?$)', text, re.MULTILINE)
    return csv.QUOTE_NONE if lone and not paired else csv.QUOTE_MINIMAL


def _delimiter(lines: list[str]) -> str:
    """Return the mark that parts most lines into equally many cells."""
    best, most = ",", 0.0
    for mark in _DELIMITERS:
        counts = Counter(re.sub(r'"[^"]*"', "", line).count(mark) for line in lines if line.strip())
        usual, often = max(((n, c) for n, c in counts.items() if n), key=lambda one: one[1] * one[0], default=(0, 0))
        score = often * min(usual, 12) * (1.0 if mark != "," else 0.7)
        if score > most:
            best, most = mark, score
    return best


def _has_decimal_comma(lines: list[str]) -> bool:
    text = "\n".join(lines)
    return len(_DECIMAL_COMMA.findall(text)) > len(_DECIMAL_POINT.findall(text))


_HEADINGS: Final = ("sheet", "row", "columns", "says", "reason", "about", "question", "choices", "answer")


def write_answers(path: Path, lines: Sequence[AskedLine]) -> None:
    """Write questions and the answers that were given; DataError when the file cannot be written."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(_HEADINGS)
    for one in lines:
        cells = (one.sheet, str(one.row), one.columns, one.says, one.ask.value, one.about.value, one.question)
        writer.writerow([guarded(cell) for cell in (*cells, "; ".join(one.choices), one.answer)])
    try:
        path.write_text(text.getvalue(), "utf-8-sig", newline="")
    except OSError as error:
        raise DataError(f"{path.name} cannot be written: {error.strerror}.", "Name another file.") from error


def read_answers(path: Path) -> list[AskedLine]:
    """Read a file of answers; DataError when it is none."""
    try:
        text, _ = decoded(path.read_bytes())
    except SpoiltSheetError as error:
        raise DataError(f"{path.name}: {error.message}", error.hint) from error
    except OSError as error:
        raise DataError(
            f"{path.name} cannot be read: {why_unread(error)}.", "Look whether it may be opened."
        ) from error
    heading = text.split("\n", 1)[0]
    rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=max(",;\t", key=heading.count)))
    if not rows or [one.strip() for one in rows[0]] != list(_HEADINGS):
        raise DataError(
            f"{path.name} holds no answers.", f"Its headings are {', '.join(_HEADINGS)}: have it written anew."
        )
    return [_line(path, number, row) for number, row in enumerate(rows[1:], 2) if any(row)]


def _line(path: Path, number: int, row: list[str]) -> AskedLine:
    cells = [unguarded(one) for one in [*row, *[""] * (len(_HEADINGS) - len(row))]]
    try:
        return AskedLine(
            sheet=cells[0],
            row=int(cells[1]),
            columns=cells[2],
            says=cells[3],
            ask=Ask(cells[4]),
            about=Holds(cells[5]),
            question=cells[6],
            choices=tuple(one for one in cells[7].split("; ") if one),
            answer=cells[8],
        )
    except ValueError:
        raise DataError(
            f"{path.name}, line {number} was changed so that it cannot be read.", "Change the column answer only."
        ) from None


#: what the notes of phones and editors end in
NOTE_ENDINGS: Final = (".txt", ".md", ".text")

_MOST_BYTES: Final = 2_000_000


#: so many lines tell a note from a table
_TOLD_BY: Final = 40


def is_note(path: Path) -> bool:
    """Tell a note from a notebook: a text whose lines are not mostly cells, the same number of them in each.

    A line of a note has a comma now and then; a row of a table has two at least, or one of the other signs between cells.
    """
    ending = path.suffix.casefold()
    if ending not in NOTE_ENDINGS:
        return False
    if ending not in TEXT_ENDINGS:
        return True
    lines = [line for line in _text(path).splitlines() if line.strip()][:_TOLD_BY]
    for sign, least in zip(_DELIMITERS, (1, 1, 2, 1), strict=True):
        counts = Counter(line.count(sign) for line in lines)
        most, times = max(counts.items(), key=lambda one: (one[1], one[0]), default=(0, 0))
        if most >= least and times * 2 > len(lines):
            return False
    return True


def read_notes(path: Path) -> list[tuple[str, str]]:
    """Return the notes at a path, each with its file's name, in the order of their names.

    Raises
    ------
    NotFoundError
        When there is no such file, or no text file in the folder.
    DataError
        When a file is no text, or longer than any note.
    """
    if not path.exists():
        raise NotFoundError(f"There is no file or folder {path}.", "Name the note, or the folder that holds it.")
    if not path.is_dir():
        return [(path.name, _text(path))]
    files = sorted(one for one in path.iterdir() if one.is_file() and one.suffix.casefold() in NOTE_ENDINGS)
    if not files:
        raise NotFoundError(f"There is no text file in {path}.", f"A note ends in {', '.join(NOTE_ENDINGS)}.")
    return [(one.name, _text(one)) for one in files]


def _text(path: Path) -> str:
    try:
        content = path.read_bytes() if path.stat().st_size <= _MOST_BYTES else None
    except OSError as error:
        raise DataError(
            f"{path.name} cannot be read: {why_unread(error)}.", "Look whether it may be opened."
        ) from error
    if content is None:
        raise DataError(f"{path.name} is longer than any note.", "Cut it into smaller files.")
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", "replace")
    if b"\0" in content:
        raise DataError(f"{path.name} is no text file.", "Save the note as plain text.")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        # older editors on laptops of farms
        return content.decode("cp1252", "replace")
