"""The helps of the commands as they were written once: asking for one loads nothing, and waits for nothing.

`python -m tests.kept_help_pages` writes them anew. A page names the files it was made of and what they held; when one of them
holds something else it is passed over, and the help is made as always.
"""

from __future__ import annotations

import os
import sys
import zlib

from wearlog.cli import overview

# not from typing: it alone takes as long to load as an empty Python to start
TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable
    from typing import Final

#: the width that the pages are written for; a narrower terminal has its own lines
WIDTH: Final = 80
_PACKAGE: Final = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))  # noqa: PTH100, PTH120 - pathlib takes long to load
_ASKS: Final = ("-h", "--help")
#: how the first line of a page begins: a digest follows, and the files it is of
HEAD: Final = "made of "


def kept_help(words: list[str], package: str = _PACKAGE) -> str | None:
    """Return the kept page that the words of a command line ask for; None where there is none, or it is not for this terminal."""
    if len(words) != 2 or words[1] not in _ASKS or overview.find(words[0]) is None or _columns() < WIDTH:
        return None
    try:
        with open(page_file(words[0], package), encoding="utf-8") as page:  # noqa: PTH123
            head = page.readline().rstrip("\n")
            digest, _, files = head.removeprefix(HEAD).partition(" ")
            return page.read() if digest == digest_of(files.split(), package) else None
    except OSError:
        return None


def digest_of(files: Iterable[str], package: str = _PACKAGE) -> str:
    """Return a short digest of what source files hold, the ends of their lines aside. OSError when one is not there."""
    held = 0
    for name in files:
        with open(os.path.join(package, *name.split("/")), "rb") as source:  # noqa: PTH118, PTH123
            held = zlib.crc32(source.read().replace(b"\r\n", b"\n"), held)
    return f"{held:08x}"


def page_file(command: str, package: str = _PACKAGE) -> str:
    """Return where the page of a command is kept."""
    return os.path.join(package, "cli", "helps", f"{command}.txt")  # noqa: PTH118


def _columns() -> int:
    """How wide the terminal is, as click finds it; what is no terminal is as wide as usual."""
    said = os.environ.get("COLUMNS", "")
    if said.isdigit() and int(said) > 0:
        return int(said)
    try:
        return os.get_terminal_size(sys.__stdout__.fileno() if sys.__stdout__ is not None else 1).columns or WIDTH
    except (OSError, ValueError):
        return WIDTH
