"""Plain text: tables with words to the left and figures to the right, cut with a sign that they are; sentences folded."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from textwrap import wrap
from typing import Final
from unicodedata import east_asian_width

from wearlog.facts.plain_text import one_line

CUT = "…"
#: a page of text is no wider
WIDEST = 100
#: a column that gives so much stands only where nothing else is cut for it
ONLY_WITH_ROOM: Final = 9


@dataclass(frozen=True, slots=True)
class Column:
    """`title` over the column; figures stand to the right; `widest` cuts long words; `drawn`: the spaces in it stay."""

    title: str
    figures: bool = False
    widest: int = 40
    drawn: bool = False


def text_table(columns: Sequence[Column], rows: Iterable[Sequence[str]]) -> list[str]:
    """Return the lines of a table: titles, a rule, rows; two spaces between columns."""
    cells = [
        [cell if column.drawn else one_line(cell) for column, cell in zip(columns, row, strict=True)] for row in rows
    ]
    widths = [
        min(max([width(column.title), *(width(row[place]) for row in cells)]), column.widest)
        for place, column in enumerate(columns)
    ]
    lines = [_line(columns, widths, [column.title for column in columns])]
    lines.append("  ".join("-" * wide for wide in widths))
    lines += [_line(columns, widths, row) for row in cells]
    return lines


def _line(columns: Sequence[Column], widths: Sequence[int], cells: Sequence[str]) -> str:
    padded = [
        fit(cell, wide, to_right=column.figures) for cell, wide, column in zip(cells, widths, columns, strict=True)
    ]
    return "  ".join(padded).rstrip()


def width(text: str) -> int:
    """Return how many columns of a terminal the text takes."""
    if text.isascii():
        return len(text)
    return sum(2 if east_asian_width(one) in "WF" else 1 for one in text)


def fit(text: str, wide: int, *, to_right: bool = False) -> str:
    """Return the text in exactly `wide` columns: padded, or cut with a sign that it was."""
    if width(text) > wide:
        kept = ""
        for one in text:
            if width(kept) + width(one) > wide - 1:
                break
            kept += one
        text = kept + CUT
    space = " " * (wide - width(text))
    return space + text if to_right else text + space


def wrapped(text: str, wide: int) -> list[str]:
    """Return the text as lines of at most so many columns: whole words, one that finds no room in a line of its own is divided.

    Examples
    --------
    >>> wrapped("Plover, knife sections, 58 of 120", 16)
    ['Plover, knife', 'sections, 58 of', '120']
    >>> wrapped("QF-1010-B3", 6)
    ['QF-101', '0-B3']
    """
    if width(text) <= wide:
        return [text]
    lines, line = list[str](), ""
    for word in text.split():
        if line and width(line) + 1 + width(word) <= wide:
            line = f"{line} {word}"
            continue
        lines += [line] if line else []
        line = ""
        for one in word:
            if line and width(line) + width(one) > wide:
                lines.append(line)
                line = ""
            line += one
    return [*lines, line]


#: where a sentence, or a row of fields, can end and still be true
_CLAUSE: Final = re.compile(r"(?=[,;] | \(| and | with )")


def whole_clauses(text: str, wide: int) -> str:
    """Return as many whole clauses of a text as find room in so many columns; the text itself where not even the first does.

    Examples
    --------
    >>> whole_clauses("imported 10,032 rows and changed 23", 24)
    'imported 10,032 rows'
    """
    if width(text) <= wide:
        return text
    ends = [found.start() for found in _CLAUSE.finditer(text)]
    # the first colon ends a clause, others only what a field is called
    ends = sorted([text.find(": "), *ends])
    return next((text[:end] for end in reversed(ends) if end > 0 and width(text[:end]) <= wide), text)


def whole_words(text: str, wide: int) -> str:
    """Return as many whole words of a heading as find room in so many columns; the text itself where not even the first does.

    Examples
    --------
    >>> whole_words("half last, 8 in 10", 12)
    'half last'
    """
    clause = whole_clauses(text, wide)
    return clause if width(clause) <= wide else wrapped(text, wide)[0] if width(text.split(" ")[0]) <= wide else text


#: where a sentence, or a part of one that stands by itself, ends
_STOP: Final = re.compile(r"[.;](?= )")


def whole_sentences(text: str, wide: int, rows: int) -> str:
    """Return as much of a text as finds room in so many rows, up to the end of a sentence or before a semicolon.

    The text itself where not even the first piece does.

    Examples
    --------
    >>> whole_sentences("half last 7,820 ac; it wears out. Most on Plover.", 20, 2)
    'half last 7,820 ac; it wears out.'
    >>> whole_sentences("half last 7,820 ac; it wears out. Most on Plover.", 20, 1)
    'half last 7,820 ac.'
    """
    ends = [found.start() for found in _STOP.finditer(text)]
    pieces = [text, *(f"{text[:end]}." for end in reversed(ends))]
    return next((one for one in pieces if len(wrap(one, wide, break_on_hyphens=False)) <= rows), text)


def folded(sentences: Iterable[str], *, indent: str = "", width: int = WIDEST) -> list[str]:
    """Return sentences as lines of at most `width` columns; what runs on stands two further in."""
    return [
        line
        for sentence in sentences
        for line in wrap(
            sentence, width, initial_indent=indent, subsequent_indent=f"{indent}  ", break_on_hyphens=False
        )
    ]
