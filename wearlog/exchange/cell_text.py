"""Text in cells: nothing that a spreadsheet would take for a formula."""

from __future__ import annotations

import re
from typing import Final

_NEEDS_GUARD: Final = re.compile(r"'*[=+\-@]")
_GUARDED: Final = re.compile(r"'+[=+\-@]")


def guarded(text: str) -> str:
    """Return the text as a cell that no spreadsheet takes for a formula: an apostrophe goes before = + - and @."""
    return f"'{text}" if _NEEDS_GUARD.match(text) else text


def unguarded(text: str) -> str:
    """Return what `guarded` was given."""
    return text[1:] if _GUARDED.match(text) else text
