"""Text without anything that could act on a terminal: used on the way into the log and again on the way out."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

#: C0 and C1 controls but the newline, marks that turn or hide text, halves of characters
UNPRINTABLE: Final = "\x00-\x09\x0b-\x1f\x7f-\x9f\u200b\u200e\u200f\u202a-\u202e\u2060\u2066-\u2069\ufeff\ud800-\udfff"
_UNPRINTABLE: Final = re.compile(f"[{UNPRINTABLE}]")

#: marks, lines and blocks of lists and charts, as an old console can show them
_ONE_BY_ONE: Final = {
    "●": "*", "○": "o", "◐": "o", "◆": "*", "◇": "o", "■": "#", "□": "-", "▪": "*", "•": "*", "·": ".",
    "▲": "!", "▶": ">", "▸": ">", "►": ">", "◀": "<", "◂": "<", "▼": "v", "▾": "v",
    "→": ">", "←": "<", "↑": "^", "↓": "v", "↵": "<", "⏎": "<",
    "✓": "x", "✔": "x", "✗": "-", "✕": "-", "×": "x",
    "–": "-", "—": "-", "−": "-", "‑": "-", "’": "'", "‘": "'", "“": '"', "”": '"',
    "½": "1/2", "¼": "1/4", "¾": "3/4", "≤": "<=", "≥": ">=", "≈": "~", "±": "+/-", "…": "...", "Ω": "ohm", "µ": "u", "μ": "u",
    "°": " deg", "€": "EUR",
    # what is lived (:) differs from what is free (.), and so do the four fills of a sum
    "░": ":", "▒": "=", "▓": "%", "█": "#", "▌": "|",
    "▏": "|", "▕": "|", "▔": "-", "▁": "_", "▂": "_", "▃": "_", "─": "-", "━": "-", "═": "=",
    "╌": "-", "┄": "-", "┈": "-", "│": "|", "┃": "|", "║": "|", "┆": "|", "┊": "|", "╎": "|", "╱": "/", "╲": "\\", "╳": "x",
}  # fmt: skip


def plain(text: str) -> str:
    """Return the text without control characters and outer space; a tab becomes a space, a line end a newline."""
    if text.isascii() and text.isprintable():
        return text.strip()
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\u2028", "\n").replace("\t", " ")
    return _UNPRINTABLE.sub("", text).strip()


def acts_on_a_terminal(text: str) -> bool:
    """Tell whether a text holds anything that `plain` would take out of its middle: no text that was saved here does."""
    return not (text.isascii() and text.isprintable()) and _UNPRINTABLE.search(text) is not None


def harmless(text: str) -> str:
    """Return the text without what acts on a terminal, spaces and line ends as they are: it was made of texts from elsewhere."""
    if not acts_on_a_terminal(text):
        return text
    return _UNPRINTABLE.sub(lambda found: "\t" if found[0] == "\t" else "", text)


def one_line(text: str) -> str:
    """Return `text` plain and on one line."""
    return " ".join(plain(text).split())


def folded(text: str) -> str:
    """Return the text as names are compared: in one case, with single spaces, accents composed."""
    if not text.isascii():
        text = unicodedata.normalize("NFC", text)
    return " ".join(text.split()).casefold()


def in_ascii(text: str) -> str:
    """Return the text in characters that every console has; what is a letter with a mark keeps the letter."""
    return "".join(char if char.isascii() else _ascii(char) for char in text)


def _ascii(char: str) -> str:
    if char in _ONE_BY_ONE:
        return _ONE_BY_ONE[char]
    code = ord(char)
    if 0x2500 <= code <= 0x257F:
        return "+"
    if 0x2580 <= code <= 0x259F:
        return "#"
    if 0x2800 <= code <= 0x28FF:
        return ":" if code > 0x2800 else " "
    letters = unicodedata.normalize("NFKD", char).encode("ascii", "ignore").decode("ascii")
    return letters or "?"
