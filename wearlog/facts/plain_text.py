"""Text without anything that could act on a terminal: used on the way into the log and again on the way out."""

from __future__ import annotations

import unicodedata

#: line breaks inside a note are kept on the way in; a single line shows them as a space
_KEPT = "\n\t"


def plain(text: str) -> str:
    """Drop control codes, direction overrides and unpaired surrogates; line ends become newlines, ends are trimmed."""
    if text.isascii() and text.isprintable():
        return text.strip()
    unified = text.replace("\r\n", "\n").replace("\r", "\n")
    return "".join(
        one for one in unified if one in _KEPT or unicodedata.category(one) not in ("Cc", "Cf", "Cs", "Co")
    ).strip()


def one_line(text: str) -> str:
    """Return `text` plain and on one line."""
    return " ".join(plain(text).split())
