"""A key means one thing on all screens. In forms letters and digits are answers."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from inspect import isclass
from pathlib import Path

from textual.binding import Binding
from textual.dom import DOMNode

import wearlog.tui
from wearlog.tui.keys import KEYS

ROOT = Path(wearlog.tui.__file__).parent
#: forms and what stands in them; a question to answer is one as well
FORMS = {
    *(
        "FormScreen",
        "FirstDayPage",
        "CheckPage",
        "BreakageScreen",
        "CircuitTextScreen",
        "AskUndoPage",
        "PickScreen",
        "ReplacedPage",
    ),
    *("NarrowingScreen", "_Letters", "CutterbarStrip", "Ticks", "Choices"),
    *("NoteScreen", "BringInScreen", "SheetLinesScreen"),
}


def screens_and_widgets() -> Iterator[type[DOMNode]]:
    """Every class of the screens that gives keys."""
    for file in sorted(ROOT.rglob("*.py")):
        name = ".".join(("wearlog.tui", *file.relative_to(ROOT).with_suffix("").parts)).removesuffix(".__init__")
        for found in vars(import_module(name)).values():
            is_own = isclass(found) and found.__module__ == name and issubclass(found, DOMNode)
            if is_own and "BINDINGS" in vars(found):
                yield found


def keys_with_another_meaning() -> set[str]:
    found = set()
    for one in screens_and_widgets():
        if one.__name__ in FORMS:
            continue
        for binding in Binding.make_bindings(one.BINDINGS):
            action = binding.action.partition("(")[0]
            meaning = KEYS.get(binding.key)
            if meaning is None or action not in meaning.actions:
                found.add(f"{binding.key} {one.__name__} {action}")
    return found


def test_no_key_means_two_things() -> None:
    assert keys_with_another_meaning() == set()


def test_the_table_names_no_action_that_no_screen_has() -> None:
    done = {
        (binding.key, binding.action.partition("(")[0])
        for one in screens_and_widgets()
        for binding in Binding.make_bindings(one.BINDINGS)
    }
    assert {(key, action) for key, one in KEYS.items() for action in one.actions} <= done


def test_what_a_key_means_is_said_in_few_words() -> None:
    assert all(1 <= len(one.meaning.split()) <= 9 for one in KEYS.values())
