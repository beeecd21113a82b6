"""Text in cells: nothing that a spreadsheet would take for a formula, and the form in which names are compared."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

_NEEDS_GUARD: Final = re.compile(r"'*[=+\-@]")
_GUARDED: Final = re.compile(r"'+[=+\-@]")
_SPACES: Final = re.compile(r"\s+")


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
