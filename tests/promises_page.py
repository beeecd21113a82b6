"""The page of faults and promises, made of what the tests say that they prove: `python -m tests.promises_page > docs/promises.md`.

A test says it with `@pytest.mark.promise(about=..., fault=..., holds=..., on=...)`; `pytest -m promise` runs all that do.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).parents[1]
#: what the faults are about, in the order of the page
ABOUT: Final = (
    "a kill or a crash",
    "a disk or a stick",
    "a damaged file",
    "several at once",
    "a server",
    "roles on a server",
    "moving, copying, restoring",
    "upgrades",
    "two laptops",
)
PLACES: Final = ("a file", "a server", "both")
_KEYS: Final = {"about", "fault", "holds", "on"}
_HEAD: Final = """\
# Faults and promises

What can go wrong with a log, and what holds all the same. Each row is said by the test that proves it; this page is made of them
(`python -m tests.promises_page > docs/promises.md`), and a test sees that it is up to date. `pytest -m promise` proves all of it.
The long runs are `python -m tests.kills 1000` and `python -m tests.kills.four_writers 10000`.

A kill takes a process away at some moment, not the machine. For a plug that is pulled the log relies on what SQLite (synchronous
EXTRA) and PostgreSQL (a commit waits for its log) promise of a disk that does what it says.
"""


@dataclass(frozen=True)
class Promise:
    """One row: what goes wrong, what holds, where the log lies, and the test that proves it."""

    about: str
    fault: str
    holds: str
    on: str
    test: str


def promises() -> list[Promise]:
    """Read the declarations of all tests, in the order of the page. ValueError for one that is not whole."""
    found = [one for file in sorted(ROOT.glob("tests/**/test_*.py")) for one in promises_in(file)]
    return sorted(found, key=lambda one: (ABOUT.index(one.about), one.fault, one.test))


def promises_in(file: Path) -> Iterator[Promise]:
    """Yield what the tests of one file say."""
    for node in ast.parse(file.read_text("utf-8")).body:
        if isinstance(node, ast.FunctionDef):
            for call in node.decorator_list:
                if isinstance(call, ast.Call) and ast.unparse(call.func) == "pytest.mark.promise":
                    yield _promise(call, f"{file.relative_to(ROOT)}::{node.name}")


def _promise(call: ast.Call, test: str) -> Promise:
    said = {word.arg: ast.literal_eval(word.value) for word in call.keywords}
    if set(said) != _KEYS or said["about"] not in ABOUT or said["on"] not in PLACES:
        raise ValueError(f"{test} promises something in another form: {said}")
    return Promise(**said, test=test)


def page() -> str:
    """Return the page."""
    lines = [_HEAD]
    about = ""
    for one in promises():
        if one.about != about:
            about = one.about
            lines += [
                f"\n## {about[:1].upper()}{about[1:]}",
                "",
                "| what goes wrong | what holds | log in | proved by |",
                "|---|---|---|---|",
            ]
        lines.append(f"| {one.fault} | {one.holds} | {one.on} | `{one.test}` |")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    sys.stdout.write(page())
