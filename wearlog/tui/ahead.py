"""What the yard opens with, reckoned by a process of its own while this one loads the screens: on two processors neither waits.

A page is told as it is read of the log at that moment, by the same questions as ever; where the process cannot be had or does not
come to its end, the question is answered here.
"""

from __future__ import annotations

import gc
import os
import select
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import fields
from importlib import import_module
from typing import IO, TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from wearlog.present.yard.yard_glance_page import YardPage
    from wearlog.tui.door import LogState

#: seconds between two words of how far the work is
_BETWEEN: Final = 0.1
#: seconds for which the first paint is let go out
_GIVE_WAY: Final = 0.03
#: under which name an error is told
_REFUSED: Final = "refused"


class Ahead:
    """The process that reckons ahead, and what it tells: the glance, then the yard."""

    def __init__(self, pid: int, told: IO[bytes]) -> None:
        self._pid = pid
        self._told = told
        self._is_loaded = False

    def page(self, wanted: str) -> tuple[YardPage, LogState] | None:
        """Wait for the next page and return it with the state of the log that it tells of; None where that is not the one wanted.

        How far the work is is counted here as if it were done here; RefusedError where it was stopped. ConflictError and
        NoAnswerError where the process waited for the log in vain: to wait as long once more would tell no more.
        """
        import pickle

        from wearlog.progress import stretch

        try:
            self._load()
            with stretch():
                name, found = self._heard()
            if name != wanted:
                self.end()
                return None
            return _page_of(*found[:3]), found[3]
        except (EOFError, OSError, ValueError, pickle.UnpicklingError):
            self.end()
            return None
        except BaseException:
            self.end()
            raise

    def _heard(self) -> tuple[str, list[Any]]:
        """Wait for what is told next, but for how far it is, and return it under its name."""
        import pickle

        from wearlog.progress import step

        while True:
            name, *found = pickle.load(self._told)  # noqa: S301  our own process wrote it
            if name == _REFUSED:
                raise found[0]
            if name != "share":
                return name, found
            step(found[0])

    def _load(self) -> None:
        """Load what a page is put together with while it is still being reckoned, but behind the first paint."""
        if not self._is_loaded:
            self._is_loaded = True
            select.select([self._told], [], [], _GIVE_WAY)
            for one in ("facts.machines", "present.yard.machine_sheet", "present.yard.yard_glance_page"):
                import_module(f"wearlog.{one}")

    def end(self) -> None:
        """Let the process go, whether it is done or not."""
        pid, self._pid = self._pid, 0
        if pid:
            # first the process: a question that waits for it holds the end that is closed behind it
            with suppress(OSError):
                os.kill(pid, 9)
            with suppress(OSError):
                os.waitpid(pid, 0)
            self._told.close()


def processors() -> int:
    """Return how many processors this process may use."""
    return len(os.sched_getaffinity(0)) if sys.platform == "linux" else os.cpu_count() or 1


def reckon_ahead(location_text: str) -> Ahead | None:
    """Begin to reckon the yard of a log in a process of its own; None where there is no second processor, or no such process.

    To be called before anything else runs in this process: only what is loaded by then is in the other as well.
    """
    # a system without it would have to load Python once more, which takes as long as it saves
    if sys.platform == "win32" or processors() < 2:
        return None
    reading, writing = os.pipe()
    try:
        pid = os.fork()
    except OSError:
        os.close(reading)
        os.close(writing)
        return None
    if pid:
        os.close(writing)
        return Ahead(pid, os.fdopen(reading, "rb"))
    # nothing of this process may reach the terminal, and nothing of the other's end is done twice
    done = 1
    try:
        os.close(reading)
        nowhere = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(nowhere, stream)
        threading.Thread(target=_end_with_who_asks, args=(writing,), daemon=True).start()
        with os.fdopen(writing, "wb") as out:
            _reckon(location_text, out)
        done = 0
    finally:
        os._exit(done)


def _end_with_who_asks(writing: int) -> None:
    """Wait until nobody can read what is told any more, however the screens ended, and end this process."""
    asking = select.poll()
    # no event but the one that cannot be left out: the other end was closed
    asking.register(writing, 0)
    asking.poll()
    os._exit(1)


def _reckon(location_text: str, out: IO[bytes]) -> None:
    import pickle

    # as the command line does: its sums are small, and threads of the library only take the other processor from the screens
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # it ends before there is enough garbage to look for
    gc.disable()
    from wearlog.errors import ConflictError, NoAnswerError, WearlogError
    from wearlog.progress import looked_on_by
    from wearlog.tui.door import Door
    from wearlog.tui.questions.farm import glance, log_state, yard

    def tell(*what: Any) -> None:
        pickle.dump(what, out, protocol=pickle.HIGHEST_PROTOCOL)
        out.flush()

    door = Door(location_text)
    try:
        with looked_on_by(_Teller(tell)):
            # taken before: what is entered meanwhile makes it another
            state = log_state(door)
            for name, question in (("glance", glance), ("yard", yard)):
                tell(name, *_told(question(door)), state)
    except WearlogError as error:
        # all others are known at once: they are told where the question is answered anew
        if type(error) in (ConflictError, NoAnswerError):
            tell(_REFUSED, error)
        raise


class _Teller:
    """Tells the other process how far the work is."""

    def __init__(self, tell: Any) -> None:
        self._tell = tell
        self._at = time.monotonic()

    def step(self, share: float) -> None:
        if time.monotonic() - self._at >= _BETWEEN:
            self._at = time.monotonic()
            self._tell("share", share)

    def end(self) -> None:
        pass


def _told(page: YardPage) -> Iterator[Any]:
    """A page in pieces that can be sent: how its columns are said stays here and there the same."""
    yield {one.name: getattr(page, one.name) for one in fields(page) if one.name != "machines"}
    yield tuple(page.machines.rows)
    yield page.machines.measures.settings


def _page_of(said: dict[str, Any], rows: Any, settings: Any) -> YardPage:
    from wearlog.present.digits import Measures
    from wearlog.present.yard.machine_sheet import machine_sheet
    from wearlog.present.yard.yard_glance_page import YardPage

    return YardPage(machines=machine_sheet(rows, Measures(settings)), **said)
