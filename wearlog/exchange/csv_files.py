"""CSV files as spreadsheets and people write them: encoding, delimiter and decimal comma are found out from the file itself."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Iterator
from typing import Final

from wearlog.exchange.raw_sheet import RawSheet, SpoiltSheetError

_MARKS: Final = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
#: a cell 12.5 or 1234.567 but not 1.234, which may be a group of thousands
_POINT_NUMBER: Final = re.compile(
    r"(?:^|[;\t])\s*-?(?:\d+\.\d{1,2}|\d+\.\d{4,}|\d{4,}\.\d+)\s*(?=[;\t\r\n]|$)", re.MULTILINE
)
_COMMA_NUMBER: Final = re.compile(r"(?:^|[;\t])\s*-?\d+,\d+\s*(?=[;\t\r\n]|$)", re.MULTILINE)


def decoded(content: bytes) -> tuple[str, bool]:
    """Return the text of a file, and whether Windows-1252 had to be guessed.

    Raises
    ------
    SpoiltSheetError
        When it is no text in any of the encodings that are known here.
    """
    try:
        for mark, encoding in _MARKS:
            if content.startswith(mark):
                return content.decode(encoding), False
        if b"\0" in content[:4000]:
            raise SpoiltSheetError("It is not a text file.", "Save it as CSV (UTF-8).")
        try:
            return content.decode("utf-8"), False
        except UnicodeDecodeError:
            return content.decode("cp1252"), True
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise SpoiltSheetError("Its letters cannot be read.", "Save it as CSV (UTF-8).", line) from None


def open_csv(name: str, file: str, content: bytes) -> tuple[RawSheet | None, bool]:
    """Return the sheet in a file and whether its encoding was guessed; no sheet when the file is empty.

    Raises
    ------
    SpoiltSheetError
        When the file cannot be read as far as its headings.
    """
    text, guessed = decoded(content)
    delimiter, skipped = _delimiter(text)
    lines = _rows(text, delimiter, skipped)
    for line, cells in lines:
        if any(cell.strip() for cell in cells):
            comma = _decimal_comma(text, delimiter)
            return RawSheet(name, file, tuple(cells), line, lines, comma), guessed
    return None, guessed


def _rows(text: str, delimiter: str, skipped: int) -> Iterator[tuple[int, list[str]]]:
    lines = io.StringIO(text, newline="")
    for _ in range(skipped):
        lines.readline()
    reader = csv.reader(lines, delimiter=delimiter, strict=True)
    begins = 1 + skipped
    try:
        for cells in reader:
            yield begins, cells
            begins = reader.line_num + 1 + skipped
    except csv.Error as error:
        if "field larger" in str(error):
            raise SpoiltSheetError("A cell is far too long.", "Is a quotation mark missing?", begins) from None
        raise SpoiltSheetError(
            "The quotation marks do not pair up.",
            "Put text with a quotation mark in it into quotation marks and double the ones inside.",
            begins,
        ) from None


def _delimiter(text: str) -> tuple[str, int]:
    """Return what separates the headings, and how many lines before them say so (`sep=;`)."""
    said = re.match(r"\s*sep=(.)\r?\n", text)
    if said:
        return said[1], text.count("\n", 0, said.end())
    heading = next((line for line in text.splitlines() if line.strip(" ,;\t")), "")
    unquoted = re.sub(r'"[^"]*"', "", heading)
    return max(",;\t", key=unquoted.count), 0


def _decimal_comma(text: str, delimiter: str) -> bool:
    """A file of commas has decimal points; any other has decimal commas, unless its numbers show that it has points."""
    if delimiter == ",":
        return False
    return _COMMA_NUMBER.search(text) is not None or _POINT_NUMBER.search(text) is None
