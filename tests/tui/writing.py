"""Keys and pieces of text for the tests of forms: a text goes in as one paste, since a key pressed in a test takes 30 ms."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from textual import events
from textual.pilot import Pilot

from tests.tui.piloting import assert_snapshot, settled


@dataclass(frozen=True)
class Text:
    """What is written into the field that has the cursor."""

    text: str


#: keys that ask the log for nothing
_QUICK = {"up", "down", "left", "right", "tab", "home", "end", "backspace", "space"}


async def enter(pilot: Pilot[Any], *steps: str | Text) -> None:
    """Press keys and write texts, and wait for the answer of each that may ask for one."""
    for step in steps:
        if isinstance(step, Text):
            pilot.app.post_message(events.Paste(step.text))
            await pilot.pause()
        else:
            await pilot.press(step)
            if step not in _QUICK:
                await settled(pilot)
    await settled(pilot)


#: a usual terminal, a large one, a phone over ssh
SIZES = ((80, 24), (120, 40), (46, 20))


async def kept_at_every_size(pilot: Pilot[Any], name: str) -> None:
    """Compare the screen with its kept text at each size; the last size is the first one again."""
    for wide, high in SIZES:
        await pilot.resize_terminal(wide, high)
        await settled(pilot)
        assert_snapshot(pilot.app, f"{name}_{wide}x{high}")
    await pilot.resize_terminal(*SIZES[0])
    await settled(pilot)
