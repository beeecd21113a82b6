"""Every caution of the work at hand on a page of its own: grouped by danger, a sentence that two share said once on top.

Where a life is at risk the page stands alone before the work, once per task, and wants to be read.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import inf
from time import monotonic
from typing import TYPE_CHECKING, ClassVar, Final

from rich.text import Text
from textual import events
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll

from wearlog.facts.plain_text import one_line
from wearlog.present.caution_page import caution_groups
from wearlog.tui.screens.reading_page import ReadingPage
from wearlog.tui.widgets.lines import SayLine

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import Hazard
    from wearlog.tui.host import Host

CAUTIONS_KEY: Final = Binding(
    "exclamation_mark", "cautions", "cautions", show=False, key_display="!", tooltip="every caution of this work"
)
#: seconds for which the page must have stood before Enter says that it is read: a key held down has read nothing
A_GLANCE: Final = 0.3
_MORE: Final = "There is more below: Enter goes on to it."
_READ_FIRST: Final = "Read this first: Enter says that you have."


class CautionsPage(ReadingPage):
    """The cautions of some dangers."""

    ABOUT: ClassVar[str] = (
        "What to read before the work. The machine's own book, local codes and licensed practice come before this list: where "
        "they differ, do what the book says."
    )
    #: what stands above, and what below the list
    HEADING: ClassVar[str] = "STOP: read before you touch it"
    LAST: ClassVar[str] = ""

    def __init__(self, hazards: Sequence[Hazard], machine: str = "") -> None:
        super().__init__()
        self.hazards = hazards
        self.machine = machine

    def begin(self) -> None:
        page, number = Text(end=""), 0
        for title, sentences in caution_groups(self.hazards):
            if title:
                page.append(f"{title}\n", "bold")
            for sentence in sentences:
                number += 1
                page.append(f"{number:>2}  {sentence}\n")
            page.append("\n")
        page.append(self.LAST)
        where = f", {one_line(self.machine)}" if self.machine else ""
        self.show(f"{self.HEADING}{where}", page)


class ReadFirstPage(CautionsPage):
    """The same before the work begins: Enter says that it is read, Esc goes back and leaves the work alone."""

    ABOUT: ClassVar[str] = (
        "What to read before the work, where a life is at risk. Enter says that it is read, once the last line has been on the "
        "screen; Esc leaves the work. It stands once for a machine and a kind of danger, and again when nothing of the kind was "
        "taken up for four hours or somebody else works on; after it one row stays. The machine's own book, local codes and "
        "licensed practice come before this list."
    )
    LAST: ClassVar[str] = "Once for this task. After it one row stays."
    FOOT: ClassVar[tuple[str, ...]] = ("close",)
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "understood", "I have read it", tooltip="go on to the work"),
        Binding("escape", "close", "back", tooltip="leave the work alone"),
    ]

    def __init__(self, hazards: Sequence[Hazard], machine: str = "") -> None:
        super().__init__(hazards, machine)
        self._shown_at = inf

    def begin(self) -> None:
        super().begin()
        self.watch(self.query_one("#page", VerticalScroll), "virtual_size", self._tell_of_more)
        self.call_after_refresh(self._is_shown)

    def _is_shown(self) -> None:
        self._shown_at = monotonic()
        self._tell_of_more()

    def _tell_of_more(self) -> None:
        if not self.is_current:
            # it was left before its turn came
            return
        page = self.query_one("#page", VerticalScroll)
        if page.scroll_offset.y < page.max_scroll_y:
            self.say(_MORE)
        elif self.query_one(SayLine).said == _MORE:
            self.say("")

    def on_resize(self) -> None:
        """On a larger screen all of it may be in view."""
        self.call_after_refresh(self._tell_of_more)

    def holds_key(self, event: events.Key) -> bool:
        """What was pressed before anybody could see this page is meant for the work behind it."""
        return event.time < self._shown_at

    def on_key(self, event: events.Key) -> None:
        """Nothing of the work is done before."""
        if event.key in self.active_bindings:
            return
        event.stop()
        self.app.bell()
        self.say(_READ_FIRST)

    def action_understood(self) -> None:
        """It is read, once the last line has been on the screen; before that, show what follows."""
        page = self.query_one("#page", VerticalScroll)
        if monotonic() - self._shown_at < A_GLANCE:
            self.app.bell()
        elif page.scroll_offset.y < page.max_scroll_y:
            page.scroll_page_down(animate=False)
        else:
            self.dismiss(result=True)


def show_cautions(screens: Host, hazards: Sequence[Hazard]) -> None:
    """Open the page over the screen that is open."""
    screens.push(CautionsPage(hazards))


def read_first(
    screens: Host, work: Mapping[str, Sequence[Hazard]], then: Callable[[], None], left: Callable[[], None]
) -> bool:
    """Have the cautions of some work read if nobody has in this spell.

    Parameters
    ----------
    screens : Host
    work : mapping of str to sequence of Hazard
        The machines that are worked on by their names, and what is dangerous in the work on each.
    then, left : callable
        What to do once they are read, and when the work is left alone.

    Returns
    -------
    bool
        Whether the page stands; if not, neither of the two was called.
    """
    unread = {name: screens.spells.unread(name, hazards, screens.now()) for name, hazards in work.items()}
    unread = {name: hazards for name, hazards in unread.items() if hazards}
    if not unread:
        return False

    def closed(agreed: bool | None) -> None:  # noqa: FBT001 - what the page gives
        if not agreed:
            screens.keys_are_dropped()
            left()
            return
        for name, hazards in unread.items():
            screens.spells.read(name, hazards, screens.now())
        then()
        screens.keys_go_on()

    dangers = dict.fromkeys(one for hazards in unread.values() for one in hazards)
    screens.push(ReadFirstPage(tuple(dangers), ", ".join(name for name in unread if name)), closed)
    return True
