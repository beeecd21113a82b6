"""The helps of the commands as they were written once: asking for one loads nothing, and waits for nothing.

All pages stand in one file, `kept_helps.txt`, which `python -m tests.kept_help_pages` writes anew. A test holds each of them
against what click writes, word for word: so a page changes with its words alone, and not with every line of the code behind it.
"""

from __future__ import annotations

import os
import sys

from wearlog.cli import overview

# not from typing: it alone takes as long to load as an empty Python to start
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Final

#: the width that the pages are written for; a narrower terminal has its own lines
WIDTH: Final = 80
KEPT_IN: Final = os.path.join(os.path.dirname(os.path.abspath(__file__)), "kept_helps.txt")  # noqa: PTH100, PTH118, PTH120 - pathlib takes long to load
_ASKS: Final = ("-h", "--help")
#: the line over a page, with the name of its command behind it; no help has such a line
HEAD: Final = "===== "


def kept_help(words: list[str], file: str = KEPT_IN) -> str | None:
    """Return the kept page that the words of a command line ask for; None where there is none, or it is not for this terminal."""
    if len(words) != 2 or words[1] not in _ASKS or overview.find(words[0]) is None or _columns() < WIDTH:
        return None
    try:
        with open(file, encoding="utf-8") as pages:  # noqa: PTH123
            _, found, after = pages.read().partition(f"\n{HEAD}{words[0]}\n")
    except OSError:
        return None
    return after.partition(f"\n{HEAD}")[0] if found else None


def _columns() -> int:
    """How wide the terminal is, as click finds it; what is no terminal is as wide as usual."""
    said = os.environ.get("COLUMNS", "")
    if said.isdigit() and int(said) > 0:
        return int(said)
    try:
        return os.get_terminal_size(sys.__stdout__.fileno() if sys.__stdout__ is not None else 1).columns or WIDTH
    except (OSError, ValueError):
        return WIDTH
