"""What the tests of the screens share: waiting until every question is answered, the screen as text, and kept pictures of it."""

from __future__ import annotations

import asyncio
import os
import re
from collections.abc import Awaitable, Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias, TypeVar

from textual import _wait

from wearlog.facts.closed_lists import Hazard
from wearlog.facts.machines import Machine

if TYPE_CHECKING:
    from textual.app import App
    from textual.pilot import Pilot
    from textual.screen import Screen

    from wearlog.tui.app import Screens

F = TypeVar("F")
Play: TypeAlias = "Callable[[Screens, Pilot[None]], Awaitable[None]]"
# after every key the framework sleeps in steps of 20 ms until nothing works any more; steps of 5 ms find that out sooner
_wait.SLEEP_GRANULARITY = 0.005
_wait.SLEEP_IDLE = 0.0005
SNAPSHOTS = Path(__file__).parent / "snapshots"


def play(location: str, steps: Play, size: tuple[int, int] = (80, 24), *, unread: bool = False) -> None:
    """Open the screens on a log, play the steps, close them.

    The cautions of every machine in the log count as read in this spell of work, unless `unread`.
    """
    from wearlog.tui.app import Screens

    async def run() -> None:
        screens = Screens(location)
        if not unread:
            read_all_cautions(screens)
        async with screens.run_test(size=size) as pilot:
            await settled(pilot)
            await steps(screens, pilot)
        screens.gateway.close()

    asyncio.run(run())


def read_all_cautions(screens: Screens) -> None:
    """Begin in a spell of work in which the cautions of every machine were read."""
    if not Path(str(screens.gateway.door.location_text)).is_file():
        return
    for machine in rows(str(screens.gateway.door.location_text), Machine):
        screens.spells.read(machine.name, Hazard, screens.now())


async def settled(pilot: Pilot[Any]) -> None:
    """Wait until no question is being worked on and everything is painted."""
    for _ in range(500):
        await pilot.pause()
        waits = getattr(pilot.app.screen, "_pause", None) is not None
        if not waits and not any(worker.is_running for worker in pilot.app.workers):
            break
        await pilot.pause(0.005)
    await pilot.pause()
    await pilot.pause()


async def press(pilot: Pilot[Any], *keys: str) -> None:
    """Press keys, and wait until the last one's answer is there."""
    for key in keys:
        await pilot.press(key)
    await settled(pilot)


async def yard_again(screens: Screens, pilot: Pilot[Any], way: Sequence[str]) -> None:
    """Leave all that a way from the yard opened. An area keeps its section: the next way begins where this one did."""
    while len(screens.screen_stack) > 1:
        screens.pop_screen()
    back = {"left": "right", "right": "left"}
    await press(pilot, *(back[key] for key in reversed(way) if key in back), "1")


def screen_lines(app: App[Any]) -> list[str]:
    """Return what the terminal shows, line by line, without spaces at the ends."""
    strips = app.screen._compositor.render_strips()
    return ["".join(segment.text for segment in strip).rstrip() for strip in strips]


def help_page_of(about: Screen[Any]) -> str:
    """Return what `?` shows of a screen: its sentences, then its keys, a line each."""
    from wearlog.tui.screens.reading_page import about_of, key_lines

    return "\n".join([f"{about_of(about)}\n", *(f"{keys:>16}  {words}" for _, keys, words in key_lines(about))])


def screen_text(app: App[Any]) -> str:
    """Return what the terminal shows."""
    return "\n".join(screen_lines(app))


#: the number of an entry: six figures that stand alone
_NUMBER = re.compile(r"(?<![\d.,])[1-9]\d{5}(?!\d|[.,]\d)")


def assert_snapshot(app: App[Any], name: str) -> None:
    """Compare the screen with the kept text; WEARLOG_KEEP_SNAPSHOTS=1 keeps it instead, to be looked at before it is committed."""
    file = SNAPSHOTS / f"{name}.txt"
    now = f"{screen_text(app)}\n"
    if str(app.gateway.door.location_text).endswith("farm.db"):
        # the small farm is entered anew for each run of the tests, and so are the numbers of its entries
        now = _NUMBER.sub("123456", now)
    if os.environ.get("WEARLOG_KEEP_SNAPSHOTS"):
        file.write_text(now, "utf-8")
    assert now == file.read_text("utf-8"), f"{name}: the screen differs from {file.name}"


def flat(app: App[Any]) -> str:
    """Return the screen on one line."""
    return " ".join(screen_text(app).split())


def rows(log: str, fact_type: type[F]) -> list[F]:
    """Return what counts in the log."""
    from wearlog.logbook.open_log import open_log
    from wearlog.store.finding import find_all

    store = open_log(log)
    with store.reading() as connection:
        found = find_all(connection, fact_type)
    store.close()
    return found
