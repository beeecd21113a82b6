"""One person in a real terminal, by keys alone or by the mouse alone: what is pressed, clicked and waited for is counted."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from enum import Enum
from pathlib import Path

from tests.e2e.terminal import Terminal
from wearlog.tui.screens.cautions import A_GLANCE

#: how fast somebody types who has not learned it, keys a second (from memory)
KEYS_A_SECOND = 3.0
#: a click with the way to it takes as long as so many keys (from memory)
KEYS_OF_A_CLICK = 4.0
#: the screen is looked at so often
_LOOK = 0.04
_ESC = "\x1b"
#: what the program says as long as an answer is not there
_WORKING = ("Reading the log ...", "Working it out", "Reckoning ", "\n...\n", "One moment:")


class Hand(Enum):
    """What a walk is done with. Words and figures are typed either way."""

    KEYS = "keys"
    MOUSE = "mouse"


@dataclass
class Count:
    """What a walk took: keys that mean something by themselves, letters and figures typed, clicks, seconds waited."""

    keys: int = 0
    typed: int = 0
    clicks: int = 0
    #: turns of the mouse wheel, a notch each
    wheel: int = 0
    waited: float = 0.0
    longest: float = 0.0

    @property
    def seconds(self) -> float:
        """All of it at the pace of somebody who types slowly."""
        pressed = self.keys + self.typed + self.wheel + KEYS_OF_A_CLICK * self.clicks
        return pressed / KEYS_A_SECOND + self.waited


@dataclass
class Walker:
    """The person: `does` is a deed that has a key, `types` is text, `sees` waits for words on the screen."""

    terminal: Terminal
    hand: Hand
    wide: int
    high: int
    #: screens are written here as they come, where somebody wants to look at them
    seen: Path | None = None
    count: Count = field(default_factory=Count)
    marks: dict[str, Count] = field(default_factory=dict)

    @property
    def by_keys(self) -> bool:
        return self.hand is Hand.KEYS

    # -- what is seen -------------------------------------------------------------------------------------------

    def lines(self) -> list[str]:
        return self.terminal.screen().splitlines()

    def sees(self, *words: str) -> str:
        """Wait until all these words stand on the screen (over the ends of lines), and return it."""
        begun = time.monotonic()
        shown = self.terminal.wait_until(
            lambda now: all(one in " ".join(now.split()) for one in words), " + ".join(words)
        )
        self._waited(begun, shown)
        return shown

    def sees_one_of(self, *words: str) -> str:
        """Wait until one of these stands on the screen, and return it."""
        begun = time.monotonic()
        shown = self.terminal.wait_until(
            lambda now: any(one in " ".join(now.split()) for one in words), " or ".join(words)
        )
        self._waited(begun, shown)
        return shown

    def settles(self) -> str:
        """Wait until nothing is being reckoned and the screen stands still, and return it."""
        begun, before, since = time.monotonic(), "", time.monotonic()
        while True:
            shown = self.terminal.screen()
            now = time.monotonic()
            if shown != before or any(one in shown for one in _WORKING):
                before, since = shown, now
            elif now - since > 8 * _LOOK:
                # the time in which nothing moved was the walker's own
                self._waited(begun + (now - since), shown)
                return shown
            assert now - begun < 60, f"the screen does not settle:\n{shown}"
            time.sleep(_LOOK)

    def _waited(self, begun: float, shown: str) -> None:
        took = max(0.0, time.monotonic() - begun)
        self.count.waited += took
        self.count.longest = max(self.count.longest, took)
        if self.seen is not None:
            with self.seen.open("a", encoding="utf-8") as file:
                file.write(f"{shown.rstrip()}\n{'=' * self.wide}\n")

    # -- what is done -------------------------------------------------------------------------------------------

    def press(self, *keys: str) -> None:
        """Press keys by tmux's names, one after the other."""
        self.count.keys += len(keys)
        self.terminal.keys(*keys)

    def types(self, text: str) -> None:
        """Type words or figures."""
        self.count.typed += len(text)
        self.terminal.write(text)
        if not self.by_keys:
            # nobody has the hand back at the mouse before the last letter stands there
            self.settles()

    def click_at(self, column: int, line: int) -> None:
        """Press and let go the left button on a cell, both counted from 0."""
        self.count.clicks += 1
        self._button(0, column, line)

    def _button(self, button: int, column: int, line: int) -> None:
        for end in "Mm" if button < 64 else "M":
            self.terminal.write(f"{_ESC}[<{button};{column + 1};{line + 1}{end}")

    def click(self, words: str, *, nth: int = -1, within: Callable[[str], bool] | None = None) -> None:
        """Click on words that stand on one line; of several the last, which is where keys and choices stand."""
        places = [
            (match.start(), number)
            for number, line in enumerate(self.lines())
            if within is None or within(line)
            for match in re.finditer(re.escape(words), line)
        ]
        assert places, f"'{words}' is not on the screen:\n{self.terminal.screen()}"
        column, line = places[nth]
        # the middle: a button is as wide as its words
        self.click_at(column + len(words) // 2, line)

    def does(self, key: str, words: str = "") -> None:
        """Do what a key does: press it, or click it in the last line; where it has no room there, on the help page."""
        if self.by_keys:
            self.press(_TMUX.get(key, key))
            return
        name = re.escape(key)
        last = self.lines()[-1] if self.lines() else ""
        found = re.search(rf"(?:^|  ?){name} ({re.escape(words)}|\S[^ ]*)", last)
        if found is not None:
            self.click_at(found.start(1), len(self.lines()) - 1)
            return
        self._by_the_help(name)

    def _by_the_help(self, name: str) -> None:
        """Open the page of the keys by its button, wind down to the key and click its line."""
        self.click("keys", within=lambda line: line == self.lines()[-1])
        self.sees("Esc back")
        for _ in range(40):
            for number, line in enumerate(self.lines()):
                if re.match(rf"\s+(?:.* or )?{name}(?: or .*)?  \S", line):
                    self.click_at(line.index(line.strip()) + 1, number)
                    return
            self.winds()
        raise AssertionError(f"no line of the help has the key {name}:\n{self.terminal.screen()}")

    def area(self, key: str, name: str) -> None:
        """Open an area: its digit, or a click on its name; on a phone by the menu."""
        if self.by_keys:
            self.press(key)
        elif f"{key} {name}" in self.lines()[0]:
            self.click(f"{key} {name}", nth=0)
        else:
            # shorter where the name of the farm stands beside it
            self.click("0 opens menu" if "0 opens menu" in self.lines()[0] else "0 menu", nth=0)
            self.sees("Where to?")
            self.opens(f" {name} ")
        self.sees(f"[{key} {name}]")

    def section(self, name: str, arrows: int) -> None:
        """Go to a section of the screen: by the arrows (below 0 to the left), or a click on its name."""
        if self.by_keys:
            self.press(*["Right" if arrows > 0 else "Left"] * abs(arrows))
        else:
            self.click(name, nth=0, within=lambda line: "[" in line)
        self.sees(f"[{name}]")

    def goes_to(self, words: str, *, up: bool = False) -> None:
        """Put the cursor on the row in which the words stand: by the arrows, or a click (the wheel before where it is below)."""
        for _ in range(60):
            rows = self.lines()
            if any(line.startswith(">") and words in line for line in rows):
                return
            if self.by_keys:
                self.press("Up" if up else "Down")
            elif any(words in line for line in rows):
                self.click(words, nth=0)
            else:
                self.winds()
            self._sees_other_than(rows)
        raise AssertionError(f"the cursor does not come to '{words}':\n{self.terminal.screen()}")

    def _sees_other_than(self, rows: list[str]) -> None:
        """Wait until the screen is another one; where nothing moves any more, no longer than a person would."""
        until = time.monotonic() + 25 * _LOOK
        time.sleep(3 * _LOOK)
        while self.lines() == rows and time.monotonic() < until:
            time.sleep(_LOOK)

    def opens(self, words: str, *, up: bool = False) -> None:
        """Open the row in which the words stand: Enter on it, or one click more."""
        self.goes_to(words, up=up)
        if self.by_keys:
            self.press("Enter")
        else:
            self.click(words, nth=0, within=lambda line: line.startswith(">"))

    def field(self, label: str, tabs: int = 1) -> None:
        """Go to a question of a form: so many times Tab, or a click behind its label."""
        if self.by_keys:
            self.press(*["Tab"] * tabs)
            return
        # a form puts its cursor where it begins: nobody clicks before it has
        self.settles()
        for number, line in enumerate(self.lines()):
            if line.startswith(f" {label}"):
                self.click_at(min(self.wide - 2, (14 if self.wide < 60 else 17) + 1), number)
                return
        raise AssertionError(f"no question '{label}':\n{self.terminal.screen()}")

    def chooses(self, key: str, words: str) -> None:
        """Choose an answer: its letter (or arrow), or a click on its word."""
        if self.by_keys:
            self.press(key)
        else:
            self.click(words)

    def picks(self, label: str, place: int) -> None:
        """Choose the answer so many places further by the mouse: in the row, or in the list that a click on it opens."""
        row = next((n, one) for n, one in enumerate(self.lines()) if one.startswith(f" {label}"))
        behind = row[1][len(label) + 1 :]
        folded = re.search(r"\d+ of \d+", behind)
        if folded is None:
            words = [one.strip() for one in re.findall(r"\[[^\]]+\]|\S+(?: \S+)*", behind)]
            here = next(n for n, one in enumerate(words) if one.startswith("["))
            self.click(words[(here + place) % len(words)], within=lambda line: line.startswith(f" {label}"))
            return
        self.click_at(row[1].index("[") + 1, row[0])
        self.sees("answers; Enter takes")
        self.settles()
        lines = self.lines()
        first = next(n for n, one in enumerate(lines) if one.startswith(">"))
        while lines[first - 1].strip() and "answers" not in lines[first - 1]:
            first -= 1
        listed = [(n, one) for n, one in enumerate(lines[:-1]) if n >= first and one.strip()]
        here = next(n for n, (_, one) in enumerate(listed) if one.startswith(">"))
        number, words_there = listed[(here + place) % len(listed)]
        self.click_at(3, number)
        self.sees(f">{words_there[1:].split('  ')[0]}".strip())
        self.click_at(3, number)
        self.terminal.wait_until(
            lambda now: any(one.startswith(f" {label}") for one in now.splitlines()), f"the question {label}"
        )

    def winds(self) -> None:
        """Turn the wheel once, downwards."""
        self.count.wheel += 1
        self._button(65, self.wide // 3, self.high // 2)
        # where a line stands is looked at only when nothing moves any more: on a busy machine a page is still winding
        self.settles()

    def saves(self) -> None:
        """Save a form: Enter, or a click on it in the last line."""
        self.does("Enter", "save")

    def reads_cautions(self) -> None:
        """Look at the cautions that stand before the work, and say that they are read."""
        self.sees("Enter I have read it")
        time.sleep(2 * A_GLANCE)
        self.does("Enter", "I have read it")

    def marked(self, name: str) -> None:
        """Note what it took until now."""
        self.marks[name] = Count(**vars(self.count))


#: keys by the names of the last line -> tmux's
_TMUX = {"Esc": "Escape", "Ctrl+S": "C-s", "PgDn": "NPage", "PgUp": "PPage"}
