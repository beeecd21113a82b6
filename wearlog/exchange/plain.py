"""One rule for text on the way in and out of a sheet: no control characters, and nothing a spreadsheet would take for a formula."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

#: C0 and C1 controls but the newline, marks that turn or hide text, halves of characters
_UNPRINTABLE: Final = re.compile(
    "[\x00-\x09\x0b-\x1f\x7f-\x9f\u200b\u200e\u200f\u202a-\u202e\u2060\u2066-\u2069\ufeff\ud800-\udfff]"
)
_NEEDS_GUARD: Final = re.compile(r"'*[=+\-@]")
_GUARDED: Final = re.compile(r"'+[=+\-@]")
_SPACES: Final = re.compile(r"\s+")


def plain(text: str) -> str:
    """Return the text without control characters and outer space; a tab becomes a space, a line end a newline."""
    if text.isascii() and text.isprintable():
        return text.strip()
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\u2028", "\n").replace("\t", " ")
    return _UNPRINTABLE.sub("", text).strip()


def guarded(text: str) -> str:
    """Return the text as a cell that no spreadsheet takes for a formula: an apostrophe goes before = + - and @."""
    return f"'{text}" if _NEEDS_GUARD.match(text) else text


def unguarded(text: str) -> str:
    """Return what `guarded` was given."""
    return text[1:] if _GUARDED.match(text) else text


def folded(text: str) -> str:
    """Return the text as names are compared: in one case, with single spaces, accents composed."""
    if not text.isascii():
        text = unicodedata.normalize("NFC", text)
    return _SPACES.sub(" ", text.strip()).casefold()
