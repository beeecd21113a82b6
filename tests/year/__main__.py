"""Plays the year and writes docs/a-year.md: python -m tests.year > docs/a-year.md (half a minute)."""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path
from typing import Final

from tests.year.player import Device, Pressed, Typed, Written, Year, said_keys
from tests.year.scenes import SCENES

_HEAD: Final = """\
# A year on one farm

A farm that is invented: one combine, Curlew, and its header, Teal. Ana keeps the log on the laptop in the house, Joe has one in
the cab and a terminal on his phone (46 columns, 20 lines); three logs that meet by a stick. What follows was really done,
command by command and key by key, and is what the program answered: `python -m tests.year > docs/a-year.md` does it again, and
a test compares. Numbers of entries are other ones each time, here they are 482913, and so is the size of a bundle (N kB); `...`
stands where an answer goes on.

What could not be entered as the year was first played is mended: the age of the knife with which a header comes was passed over;
hours of work on no part were taken for a meter; a letter typed right behind the key that leads to the line was taken for a key.
"""


def page(folder: Path) -> str:
    """Play the year in a folder and return the page."""
    year, lines = Year(folder), [_HEAD]
    for scene in SCENES:
        lines += [f"## {scene.heading}", scene.words, ""]
        before: Device | None = None
        for deed in scene.deeds:
            answer = year.answer(deed)
            if isinstance(deed, Written):
                lines += [f"In `{deed.name}`:", "", "```text", *deed.content.splitlines(), "```", ""]
                continue
            if deed.device is not before:
                before = deed.device
                lines += [f"{deed.device.person}, on the {deed.device.name}{_place(deed.device)}:", ""]
            lines += _deed(deed, answer)
    return "\n".join(lines).rstrip() + "\n"


def _place(device: Device) -> str:
    return "" if device.name == "phone" else " laptop"


def _deed(deed: Typed | Pressed, answer: list[str]) -> list[str]:
    if isinstance(deed, Pressed):
        return [f"On the screens {said_keys(deed.keys)}:", "", "```text", *answer, "```", ""]
    shown = answer if deed.first is None else answer[: deed.first]
    while shown and not shown[-1]:
        shown = shown[:-1]
    more = ["..."] if len(shown) < len(answer) else []
    return [f"    {deed.line}", "", *(["```text", *shown, *more, "```", ""] if shown else [])]


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        os.environ["WEARLOG_HOME"] = place
        sys.stdout.write(page(Path(place)))
