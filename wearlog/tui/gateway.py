"""The way from the screens to the log: questions run in threads, answers come back frozen, stale ones are dropped."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from threading import Lock
from typing import Any, Final, TypeVar
from weakref import WeakKeyDictionary, WeakSet

from textual.message import Message
from textual.screen import Screen
from textual.widget import Widget
from textual.worker import get_current_worker

from wearlog.errors import ReplacedError, WearlogError
from wearlog.progress import WorkProgress, looked_on_by
from wearlog.tui.door import Door, ToldAhead
from wearlog.tui.host import host_of
from wearlog.tui.remembered import write_down

T = TypeVar("T")
#: questions that a screen can be used without: it is open before their answers are there
BESIDES: Final = frozenset({"who", "yard", "guesses", "warm", "copies", "picture", "count"})
#: packages of ours that load what lies in them, and libraries that do. Of two threads that load different ones each holds
#: what the other waits for, and Python then gives one of them half a module: so one loads them, while no other question runs
LOADED_ALONE: Final = ("wearlog.store.schema", "wearlog.logbook.quickline", "wearlog.logbook.plain_line")
LIBRARIES: Final = ("numpy", "scipy.special")


class AnswerCame(Message, bubble=False):
    """What a thread found, on its way to the screen that asked. Handled by the app alone."""

    def __init__(self, deliver: Callable[[], None]) -> None:
        super().__init__()
        self.deliver = deliver


class Gateway:
    """Asks questions for the screens. Its methods are called from the screens' thread and return at once."""

    def __init__(self, location_text: str, ahead: ToldAhead | None = None) -> None:
        self.door = Door(location_text, ahead)
        self._newest: dict[tuple[int, str], int] = {}
        #: screens that have what they begin with, and what the others have asked for it
        self._open: WeakSet[Screen[Any]] = WeakSet()
        self._first: WeakKeyDictionary[Screen[Any], set[tuple[int, str]]] = WeakKeyDictionary()
        #: how far the questions are that are being answered, each with the screen that it is of
        self._working: list[tuple[Screen[Any], WorkProgress]] = []
        self._loading = Lock()
        self._answered_one = False

    def ask(
        self,
        owner: Widget,
        key: str,
        question: Callable[[Door], T],
        then: Callable[[T], None],
        failed: Callable[[WearlogError], None] | None = None,
    ) -> None:
        """Run a question in a thread and hand its answer to `then`, in the screens' own thread.

        Parameters
        ----------
        owner : Widget
            Who asks; when it is gone, nobody wants the answer.
        key : str
            A later question of the same owner and key makes this one stale: its answer is dropped.
        question : callable
            Gets the door; runs in a thread, so it must touch no widget.
        then, failed : callable
            What to do with the answer, and with an error. Without `failed` the error's sentence is shown in a line.
        """
        place = (id(owner), key)
        ticket = self._newest[place] = self._newest.get(place, 0) + 1
        screen = owner if isinstance(owner, Screen) else owner.screen
        if screen not in self._open and key not in BESIDES:
            self._first.setdefault(screen, set()).add(place)

        progress = WorkProgress()
        self._working = [one for one in self._working if not one[1].is_over]
        self._working.append((screen, progress))

        def fresh() -> bool:
            return self._newest.get(place) == ticket and owner.is_attached

        def run() -> None:
            worker = get_current_worker()
            deliver: Callable[[], None]
            try:
                with looked_on_by(progress):
                    answer = self._answer(question)
            except WearlogError as error:
                deliver = _with_error(owner, error, failed)
            except Exception as error:  # noqa: BLE001  a question must never take the screens down with it
                file = write_down(f"question '{key}' of {type(owner).__name__}", error)
                told = WearlogError("This could not be worked out.", f"The details are in {file}.")
                deliver = _with_error(owner, told, failed)
            else:
                deliver = _with_answer(then, answer)
            finally:
                progress.is_over = True
            if not worker.is_cancelled:
                owner.app.post_message(AnswerCame(lambda: self._deliver(screen, place, deliver) if fresh() else None))

        owner.run_worker(run, group=key, name=key, exclusive=True, thread=True, exit_on_error=False)

    def _answer(self, question: Callable[[Door], T]) -> T:
        """Run a question. The first runs alone and loads what it needs itself: names are painted before numpy is there.

        So do those whose answer is reckoned ahead: that needs nothing loaded here.
        """
        with self._loading:
            if not self._answered_one or self.door.is_told_ahead:
                self._answered_one = True
                return question(self.door)
            for name in (*LOADED_ALONE, *LIBRARIES):
                import_module(name)
        return question(self.door)

    def _deliver(self, screen: Screen[Any], place: tuple[int, str], deliver: Callable[[], None]) -> None:
        deliver()
        if place in self._first.get(screen, ()):
            self._first[screen].discard(place)
            self.has_asked(screen)

    def has_asked(self, screen: Screen[Any]) -> None:
        """A screen has asked for all that it begins with: it is open if no answer is missing."""
        if not self._first.get(screen):
            self._open.add(screen)

    def is_opening(self, screen: Screen[Any]) -> bool:
        """Whether a screen waits for what it begins with; only those with `ASKS_FIRST` ever do."""
        return getattr(screen, "ASKS_FIRST", False) and screen not in self._open

    def long_work(self, screen: Screen[Any]) -> WorkProgress | None:
        """Return how far the longest work is that a screen waits for; None while nothing that can be counted is being done."""
        counted = [one for of, one in self._working if of is screen and not one.is_over and one.share]
        return max(counted, key=lambda one: one.gone, default=None)

    def is_working(self) -> bool:
        """Whether any question is being answered."""
        return any(not one.is_over for _, one in self._working)

    def stop(self, screen: Screen[Any]) -> None:
        """Stop the countable work that a screen waits for: its questions fail, and nothing was changed."""
        for of, one in self._working:
            if of is screen and one.share:
                one.is_stopped = True

    def close(self) -> None:
        """Close the log."""
        self.door.close()


def _with_answer(then: Callable[[T], None], answer: T) -> Callable[[], None]:
    return lambda: then(answer)


def _with_error(
    owner: Widget, error: WearlogError, failed: Callable[[WearlogError], None] | None
) -> Callable[[], None]:
    def deliver() -> None:
        if failed is not None:
            failed(error)
        else:
            host_of(owner).say(f"{error.message} {error.hint}".strip(), alarm=True)
        if isinstance(error, ReplacedError):
            host_of(owner).log_replaced(error)

    return deliver
