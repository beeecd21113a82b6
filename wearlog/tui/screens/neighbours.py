"""Neighbours' lives over the wear screen: what other farms saw of each kind, and what this one would tell them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, Final

from textual.binding import Binding, BindingType

from wearlog.errors import UsageError
from wearlog.facts.plain_text import one_line
from wearlog.tui.questions.neighbours import (
    OURS,
    forget_all,
    neighbours_now,
    read_neighbours,
    write_for_neighbours,
)
from wearlog.tui.screens.deciding import DecisionScreen
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.errors import WearlogError
    from wearlog.tui.door import Door
    from wearlog.tui.questions.deciding import Decided

_FILE: Final = "neighbours.csv"
_SORTS: Final = (("lives", "lives"), ("sums", "only sums"))


class NeighboursScreen(DecisionScreen):
    """What neighbours' files say, and what this farm's would."""

    AREA: ClassVar[str] = "wear"
    ABOUT: ClassVar[str] = (
        "How long parts last on other farms, from files without names that farms pass round. half last: on eight farms of ten "
        "half of the parts are worn within these ages. in use: it stands here in the place of the library's guess, and this "
        "farm's own records overrule it; yours stands: somebody typed a guess here. What you would write: all that leaves this "
        "farm, kind by kind. i reads a file of theirs, s writes yours (what others wrote in that file stays), x forgets all "
        "that was read; u takes each of them back. The command 'wearlog neighbours' does the same."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("i", "bring_in", "read a file", tooltip="read what other farms wrote"),
        Binding("s", "write", "write yours", tooltip="write this farm's lives without names into a file"),
        Binding("x", "take_out", "forget", show=False, tooltip="take back all that was read of other farms"),
    ]

    def question(self) -> Callable[[Door], Decided]:
        return neighbours_now

    def action_bring_in(self) -> None:
        """Ask for the file that is to be read."""
        self.screens.push(NeighboursFileScreen())

    def action_write(self) -> None:
        """Show what would leave, then ask for the file."""
        if self.section is not None and self.section.name != OURS:
            self.action_section(1)
            self.say("This is what would leave the farm; s once more writes it.")
            return
        self.screens.push(LivesFileScreen())

    def action_take_out(self) -> None:
        """Forget what was read."""
        self.screens.ask(self, "forget", forget_all, self._forgotten, self._refused)

    def _forgotten(self, said: str) -> None:
        self.screens.something_entered()
        self.say(said)

    def _refused(self, error: WearlogError) -> None:
        self.say(f"{error.message} {error.hint}".strip(), alarm=True)


class NeighboursFileScreen(FormScreen):
    """The one question which file is read."""

    TITLE: ClassVar[str] = "READ NEIGHBOURS' LIVES"
    ABOUT: ClassVar[str] = (
        "The path of a file that a neighbour or the co-op gave you. Of each farm the newest issue counts; your own lives in it are "
        "passed over, rows that cannot be right are told by their line."
    )

    def questions(self) -> Iterable[FormLine]:
        yield FormField("file", "File", _there, hint=f"like ~/Downloads/{_FILE}")

    def begin(self) -> None:
        self.paint()

    def summary(self) -> str:
        name = self.answer("file")
        return f"Read {Path(name).name} into the log" if name else ""

    def saving(self) -> Callable[[Door], str]:
        return partial(read_neighbours, path=self.answer("file"))

    def blamed(self, error: WearlogError) -> FormLine | None:
        found: FormLine = self.line("file")
        return found


class LivesFileScreen(FormScreen):
    """Where this farm's lives are written, and whether as lives or as sums."""

    TITLE: ClassVar[str] = "WRITE YOUR LIVES"
    ABOUT: ClassVar[str] = (
        "A file that is there already must be one of these: what other farms wrote in it stays, your older rows go. lives: ages "
        "rounded to two digits, equal ones joined. only sums: no single life leaves the farm."
    )

    def questions(self) -> Iterable[FormLine]:
        yield FormField("file", "File", one_line, hint=_FILE)
        yield ChoiceField("sort", "What", _SORTS, start="lives")

    def begin(self) -> None:
        self.paint()

    @property
    def is_unchanged(self) -> bool:
        """What stands there as it opens is an answer."""
        return False

    def summary(self) -> str:
        return f"{'Only sums' if self.answer('sort') == 'sums' else 'Lives'} into {self.answer('file') or _FILE}"

    def saving(self) -> Callable[[Door], str]:
        return partial(write_for_neighbours, path=self.answer("file") or _FILE, only_sums=self.answer("sort") == "sums")

    def blamed(self, error: WearlogError) -> FormLine | None:
        found: FormLine = self.line("file")
        return found


def _there(text: str) -> str:
    clean = one_line(text)
    if not clean:
        raise UsageError("Which file?", f"Write its path, like ~/Downloads/{_FILE}.")
    if not Path(clean).expanduser().is_file():
        raise UsageError(
            f"There is no file {clean}.", "A path begins with ~ or /, or is from where wearlog was started."
        )
    return clean
