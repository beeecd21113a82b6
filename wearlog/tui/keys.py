"""What each key means, everywhere outside forms. A key that a screen gives another meaning is a mistake, and a test says so."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final


@dataclass(frozen=True, slots=True)
class KeyMeaning:
    """What a key means, and the actions by which the screens do it."""

    meaning: str
    actions: frozenset[str]


def _means(meaning: str, *actions: str) -> KeyMeaning:
    return KeyMeaning(meaning, frozenset(actions))


_AREA: Final = _means("that area", "open_area", "go_to")
_ROWS: Final = "move through the rows"
_ENDS: Final = "the first or last row or position"
_SIDEWAYS: Final = _means("the section beside, or along the strip", "section", "move")
_FAR: Final = _means("ten positions along the strip", "move")

#: key as the framework calls it -> what it means
KEYS: Final = MappingProxyType(
    {
        **{str(digit): _AREA for digit in range(1, 10)},
        "0": _means("list of all areas", "list_areas"),
        # below a list the same keys move the page
        "up": _means(_ROWS, "go", "scroll_up"),
        "down": _means(_ROWS, "go", "scroll_down"),
        "pageup": _means(_ROWS, "go", "page_up"),
        "pagedown": _means(_ROWS, "go", "page_down"),
        "home": _means(_ENDS, "go", "move", "scroll_home"),
        "end": _means(_ENDS, "go", "move", "scroll_end"),
        **dict.fromkeys(("left", "right"), _SIDEWAYS),
        **dict.fromkeys(("shift+left", "shift+right"), _FAR),
        "tab": _means("next pane", "strip", "lists"),
        "enter": _means("open or do", "choose", "close", "understood"),
        "escape": _means("back", "close", "back", "leave", "all", "drop"),
        "space": _means("in or out, mark, or more", "choose", "mark", "more", "further"),
        "b": _means("a breakage", "log_breakage"),
        "c": _means("an area cut", "enter_run"),
        "d": _means("stands or runs", "enter_stoppage"),
        "r": _means("a reading", "enter_reading"),
        "g": _means("a gauge", "enter_measurement"),
        "f": _means(
            "put right: parts fitted, service done, fault found, claim", "fit", "found", "services", "done", "sent"
        ),
        "F": _means("put right, with what it took or brought", "done_with", "paid"),
        "a": _means("add to this list", "add", "add_area", "missing"),
        "A": _means("tick all of them, or none", "tick_all"),
        "e": _means("edit what is under the cursor, its age", "tell_age"),
        "x": _means("take out", "take_out", "set_aside"),
        "delete": _means("take out", "take_out"),
        "u": _means("undo", "undo", "undo_this"),
        "n": _means("the next of its sort", "other"),
        "N": _means("the one before", "other"),
        "h": _means("its history or trail", "trail"),
        "k": _means(
            "weigh it: run or stop, rain, grain, trade, claims",
            "stop_or_run",
            "rain_day",
            "grain_lost",
            "trade",
            "claims",
        ),
        "y": _means("how long parts last on neighbours' farms", "neighbours"),
        "w": _means("why"),
        "p": _means("picture: circuits, strip", "draw"),
        "t": _means("picture or numbers", "twin"),
        "v": _means("fleet or one machine, header or combine", "other", "partner"),
        "m": _means("more rows or fewer", "all", "every", "whole"),
        "i": _means("bring in what stands on paper or a file", "bring_in"),
        "l": _means("limits, and what is assumed", "limits", "interest", "halve"),
        "less_than_sign": _means("the season before", "season"),
        "greater_than_sign": _means("the season after", "season"),
        "o": _means("order", "order"),
        "O": _means("order turned round", "turn"),
        "slash": _means("filter", "filter"),
        "s": _means("save as a file", "write"),
        "ctrl+s": _means("save what was chosen", "save"),
        "plus": _means("stock that came, or they have it", "move", "receive", "had_it"),
        "minus": _means("stock that was used, or they lack it", "move", "had_it"),
        "equals_sign": _means("stock that was counted", "move"),
        "exclamation_mark": _means("all cautions", "cautions"),
        "colon": _means("find", "find"),
        "ctrl+p": _means("find", "find"),
        "comma": _means("the farm's settings", "settings", "go"),
        "j": _means("two cabs, one log", "two_cabs"),
        "question_mark": _means("keys", "help", "close"),
        "f1": _means("keys", "help", "close"),
        "ctrl+r": _means("read the log again", "read_again"),
        "f5": _means("read the log again", "read_again"),
        "ctrl+t": _means("colours", "next_theme"),
        **dict.fromkeys(("q", "ctrl+q"), _means("quit", "quit")),
    }
)


def meaning_of(key: str) -> str:
    """Return what a key means everywhere; empty for one of a form."""
    found = KEYS.get(key)
    return found.meaning if found is not None else ""
