"""The one door between the screens and the log: questions run in threads, answers come back frozen, stale ones are dropped."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from threading import Lock
from typing import Final, TypeVar

from textual.message import Message
from textual.widget import Widget
from textual.worker import get_current_worker

from wearlog.errors import ReplacedError, WearlogError
from wearlog.tui.door import Door
from wearlog.tui.host import host_of
from wearlog.tui.remembered import write_down

T = TypeVar("T")
#: packages of ours that load what lies in them, and libraries that do. Of two threads that come in by different doors each holds
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

    def __init__(self, location_text: str) -> None:
        self.door = Door(location_text)
        self._newest: dict[tuple[int, str], int] = {}
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

        def fresh() -> bool:
            return self._newest.get(place) == ticket and owner.is_attached

        def run() -> None:
            worker = get_current_worker()
            deliver: Callable[[], None]
            try:
                answer = self._answer(question)
            except WearlogError as error:
                deliver = _with_error(owner, error, failed)
            except Exception as error:  # noqa: BLE001  a question must never take the screens down with it
                file = write_down(f"question '{key}' of {type(owner).__name__}", error)
                told = WearlogError("This could not be worked out.", f"The details are in {file}.")
                deliver = _with_error(owner, told, failed)
            else:
                deliver = _with_answer(then, answer)
            if not worker.is_cancelled:
                owner.app.post_message(AnswerCame(lambda: deliver() if fresh() else None))

        owner.run_worker(run, group=key, name=key, exclusive=True, thread=True, exit_on_error=False)

    def _answer(self, question: Callable[[Door], T]) -> T:
        """Run a question. The first runs alone and loads what it needs itself: names are painted before numpy is there."""
        with self._loading:
            if not self._answered_one:
                self._answered_one = True
                return question(self.door)
            for name in (*LOADED_ALONE, *LIBRARIES):
                import_module(name)
        return question(self.door)

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
