"""The page of all screens, a picture of each: python -m tests.tui.screens_page > docs/screens.md.

The pictures are drawn by `python -m tests.tui.docs_pictures`; which screens there are, and the keys to each, is every_screen.py.
"""

from __future__ import annotations

import re
import sys
from typing import Final

from tests.tui.every_form import NOTE_FILE
from tests.tui.every_screen import LED_TO, screen_classes
from tests.tui.pictures import SHOTS

SIZE: Final = (80, 24)
#: forms that the guide names by a key of their own
_FORMS: Final = ("ReadingScreen", "RunScreen", "StoppageScreen", "MeasureScreen", "OpenFaultScreen")
#: they show where files lie on the machine on which they are drawn
OF_A_MACHINE: Final = ("a note",)
#: name of the screen -> the class that it is, and the keys from the yard
SHOWN: Final = {
    **{name: led for name, led in LED_TO.items() if not name.startswith("form ") and name not in OF_A_MACHINE},
    **{name: LED_TO[f"form {name}"] for name in _FORMS},
}
_KEYS: Final = {
    "question_mark": "?",
    "colon": ":",
    "comma": ",",
    "enter": "Enter",
    "tab": "Tab",
    "left": "←",
    "right": "→",
    "end": "End",
    "down": "↓",
    "f2": "F2",
}
_HEAD: Final = """\
# Every screen

A picture of each screen on the demo fleet, on the evening on which its story ends, with the keys that lead to it from the yard,
in daylight at 80 columns. What a screen says of itself stands above; `?` on it says all of it, and names its keys. Left out are the
list of notes and the settings, which show where files lie. Made by `python -m tests.tui.screens_page > docs/screens.md`, the
pictures by `python -m tests.tui.docs_pictures`. The [guide](guide.md) tells what they are for.
"""


def picture_of(name: str) -> str:
    """Return the name of the picture of a screen: one that another page shows already, or its own."""
    keys = SHOWN[name][1]
    there = next((shot for shot, (size, pressed) in SHOTS.items() if (size, pressed) == (SIZE, keys)), None)
    return there or f"screen_{_title(name).casefold().replace(' ', '_')}"


def _title(name: str) -> str:
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name.removesuffix("Screen")).capitalize()


def page() -> str:
    """Return the page."""
    classes = {one.__name__: one for one in screen_classes()}
    lines = [_HEAD]
    for name, (kind, keys) in SHOWN.items():
        about = str(getattr(classes[kind], "ABOUT", "")).partition(". ")[0].rstrip(".")
        title = _title(name)
        typed = " ".join(_KEYS.get(one, one) for one in keys).replace(" ".join(NOTE_FILE), NOTE_FILE)
        said = " ".join(f"`{key}`" for key in typed.split()) or "`wearlog`"
        lines += [
            f"## {title}",
            f"{said}: {about}." if about else said,
            "",
            f"![{title}](pictures/{picture_of(name)}.svg)",
            "",
        ]
    return "\n".join(lines)


if __name__ == "__main__":
    sys.stdout.write(page())
