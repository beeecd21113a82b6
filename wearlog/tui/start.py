"""Opening the screens and what is left when they close: an exit code, and one sentence after a crash."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wearlog.tui.door import ToldAhead


def can_show() -> bool:
    """Say whether there is a terminal for the screens: keys come from stdin, and they paint on stderr, on one system on stdout."""
    painted = sys.stdout if sys.platform == "win32" else sys.stderr
    # a program without a console has no streams at all
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, painted))


def open_screens(location_text: str) -> int:
    """Run the screens on a log and return the exit code: 0 closed by the person, 1 crashed, 2 there is no terminal.

    Parameters
    ----------
    location_text : str
        A path or an address of a server; empty for the usual place.
    """
    # without it they would wait for ever
    if not can_show():
        sys.stderr.write("wearlog: the screens need a terminal.\n  'wearlog brief' prints the same on one page.\n")
        return 2
    from wearlog.tui.ahead import reckon_ahead

    ahead = reckon_ahead(location_text)
    try:
        return _run(location_text, ahead)
    finally:
        # whatever went wrong before the screens had it
        if ahead is not None:
            ahead.end()


def _run(location_text: str, ahead: ToldAhead | None) -> int:
    from wearlog.collecting import begin_loading

    begin_loading()
    # so long the thread that paints and the one that takes keys wait for one that reckons; the usual 5 ms are felt in a list
    sys.setswitchinterval(0.0005)
    # the framework paints at its next tick: at its usual 60 a second a key would wait up to 17 ms for nothing
    os.environ.setdefault("TEXTUAL_FPS", "240")
    from wearlog.tui.app import Screens

    screens = Screens(location_text, ahead)
    try:
        screens.run()
    finally:
        screens.gateway.close()
    if screens.last_words:
        sys.stderr.write(f"{screens.last_words}\n")
    return screens.return_code or 0
