"""Every command line that a text shows: those of its blocks, those in its prose and tables, and the examples of a help.

A *line* is run as it stands. A *form* shows how a line is built (`wearlog cut COMBINE AREA --hours H`, or the bare name of a
command): its command and its options must exist. Whatever else stands in a block is *other*: the tests name all of it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from itertools import chain
from pathlib import Path

from wearlog.cli import overview

ROOT = Path(__file__).parents[2]
TEXTS = (
    "README.md",
    "docs/guide.md",
    "docs/import-format.md",
    "docs/notebook.md",
    "docs/two-cabs.md",
    "docs/methods.md",
    "docs/questions.md",
    "docs/first-day.md",
    "docs/winter-evening.md",
    "docs/fault-on-the-road.md",
    "docs/rain-day.md",
    "docs/how-to.md",
    "docs/screens.md",
)

_CODE = re.compile(r"(?<!`)`([^`]+)`(?!`)")
_GROUPS = (["plan"], ["faults"])
_PLACEHOLDER = re.compile(r"[A-Z]+(?:\.[a-z]+)?(?:\.\.\.)?")
_FILE_NAMED = re.compile(r".*`([a-z_-]+\.[a-z]+)`:?")


class Is(Enum):
    LINE = "line"
    FORM = "form"
    OTHER = "other"


@dataclass(frozen=True)
class Shown:
    """What a text shows: where (section and line of the text), and the words without the remark behind them."""

    kind: Is
    section: str
    number: int
    words: str


@dataclass(frozen=True)
class ShownFile:
    """A file that a text writes out: a fenced block under its name."""

    section: str
    name: str
    content: str


def shown_in(text: str) -> list[Shown]:
    """Return all that a Markdown text shows, from above to below."""
    section, found = "", []
    numbered = iter(enumerate(text.splitlines(), 1))
    fenced = False
    for number, line in numbered:
        if line.startswith("```"):
            fenced = not fenced
        elif fenced:
            continue
        elif line.startswith("#"):
            section = line.lstrip("# ")
        elif line.startswith("    ") and line.strip():
            whole = line.strip()
            while whole.endswith("\\"):
                whole = f"{whole[:-1].rstrip()} {next(numbered)[1].strip()}"
            words = re.split(r"\s{2,}#\s", whole)[0]
            found.append(Shown(Is.LINE if _is_command(words) else Is.OTHER, section, number, words))
        else:
            found += [Shown(kind, section, number, words) for kind, words in _in_prose(line)]
    return found


def files_in(text: str) -> list[ShownFile]:
    """Return the files that a text writes out."""
    section, name, found = "", "", []
    lines = iter(text.splitlines())
    for line in lines:
        if line.startswith("#"):
            section = line.lstrip("# ")
        elif line.startswith("```"):
            content = list(iter(lambda: next(lines), "```"))
            found.append(ShownFile(section, name, "".join(f"{one}\n" for one in content)))
        elif line.strip():
            named = _FILE_NAMED.fullmatch(line)
            name = named[1] if named else ""
    return found


def examples_of(help_text: str) -> list[str]:
    """Return the example lines at the end of a command's help."""
    _, _, examples = help_text.partition("Examples:\n")
    return [line.strip() for line in examples.splitlines() if line.strip()]


def _in_prose(line: str) -> Iterator[tuple[Is, str]]:
    cells = re.split(r"(?<!\\)\|", line) if line.startswith("|") else ["", line]
    # the first column of a table may leave the word wearlog out
    first = [words if _is_command(words) else f"wearlog {words}" for words in _codes(cells[1]) if _begins(words)]
    rest = [words for words in chain.from_iterable(map(_codes, cells[2:])) if _is_command(words)]
    if not line.startswith("|"):
        first = [words for words in first if words in _codes(line)]
    for words in first + rest:
        yield (Is.FORM if _is_form(words) else Is.LINE), words


def _codes(text: str) -> list[str]:
    return [code.replace("\\|", "|") for code in _CODE.findall(text)]


def _begins(words: str) -> bool:
    return _is_command(words) or words.split()[0] in overview.names()


def _is_command(words: str) -> bool:
    return words.split()[0] == "wearlog"


def _is_form(words: str) -> bool:
    bare = re.sub(r"'[^']*'|\"[^\"]*\"", "", words).split()
    placeholders = any("[" in word or "|" in word or _PLACEHOLDER.fullmatch(word.strip(",;()")) for word in bare)
    return placeholders or len(words.split()) <= (3 if words.split()[1:2] in _GROUPS else 2)
