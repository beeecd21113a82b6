"""A page to read over the screen that was open (a heading, text that scrolls, Esc back), and the help of a screen as one."""

from __future__ import annotations

from collections.abc import Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, ClassVar, Final

from rich.table import Column, Table
from rich.text import Text
from textual.app import App, ComposeResult
from textual.binding import ActiveBinding, Binding, BindingType
from textual.containers import VerticalScroll
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Static

from wearlog.errors import WearlogError
from wearlog.tui.keys import meaning_of
from wearlog.tui.screens.over_screen import OverScreen
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.lines import BottomLines, SayLine, own_bindings, shown_key
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import Hazard


class HelpPage(OverScreen[None]):
    """A page over the screen that was open."""

    DEFAULT_CSS = """
    HelpPage {
        background: $paper;
        #page { background: $paper; color: $ink; padding: 1 2; }
        #page:focus { background: $paper; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,question_mark,f1", "close", "back")]

    def __init__(self, about: Screen[Any]) -> None:
        super().__init__()
        self.about = about

    def compose(self) -> ComposeResult:
        # a phone shows a third of it: the keys are what it was opened for
        keys_first = self.app.size.width < NARROW
        keys = [KeyLine(*one, room=9 if keys_first else 16) for one in key_lines(self.about)]
        about = Static(f"\n{about_of(self.about)}" if keys_first else f"{about_of(self.about)}\n", markup=False)
        with VerticalScroll(id="page"):
            yield from (*keys, about) if keys_first else (about, *keys)
        yield BottomLines()

    def say(self, sentence: str, *, alarm: bool = False) -> None:
        """Show a sentence in its line."""
        self.query_one(SayLine).say(sentence, alarm=alarm)

    def on_key_line_clicked(self, message: KeyLine.Clicked) -> None:
        """Go back, and do there what the key does."""
        self.dismiss()
        self.app.call_after_refresh(self.app.run_action, message.active.binding.action, message.active.node)


class KeyLine(Static):
    """A key with what it does; a click does it."""

    class Clicked(Message):
        """This key is meant."""

        def __init__(self, active: ActiveBinding) -> None:
            super().__init__()
            self.active = active

    def __init__(self, active: ActiveBinding, keys: str, words: str, *, room: int) -> None:
        # words that go on stay beside the key
        line = Table.grid(Column(justify="right", width=room), Column(), padding=(0, 2, 0, 0))
        line.add_row(Text(keys, "bold"), Text(words))
        super().__init__(line, markup=False)
        self.active = active

    def on_click(self) -> None:
        """Tell the page."""
        self.post_message(self.Clicked(self.active))


#: columns under which a page shows what it was opened for first
NARROW: Final = 60

#: area -> the section of docs/methods.md that tells how its figures are reckoned
METHODS: Final = MappingProxyType(
    {
        "yard": "The season ahead",
        "machine": "How long a part lasts",
        "daybook": "Usage and age",
        "faults": "Electrical faults",
        "wear": "How long a part lasts",
        "plan": "Replace or run",
        "stock": "Spares",
        "costs": "Costs",
        "harvest": "The harvest",
    }
)


def about_of(about: Screen[Any]) -> str:
    """Return what a screen is for, and where it is written how its figures are reckoned."""
    say = getattr(about, "about_now", None)
    section = getattr(about, "METHODS", "") or METHODS.get(getattr(about, "AREA", ""), "")
    reckoned = f'\n\nHow the figures are reckoned, with sources: docs/methods.md, "{section}".' if section else ""
    return f"{say() if say else ''}{_headings(about)}{reckoned}"


def _headings(about: Screen[Any]) -> str:
    """What stands in the columns of the lists that are shown, a line each."""
    columns = [
        column
        for one in about.query(WindowedList)
        if one.display
        for column in one.source.columns
        if column.about and column.title
    ]
    lines = dict.fromkeys(f"{column.title}: {column.about.removesuffix('.')}." for column in columns)
    return "\n\n" + "\n".join(lines) if lines else ""


def key_lines(about: Screen[Any]) -> list[tuple[ActiveBinding, str, str]]:
    """Return every key that works on a screen now with what it does; the focused widget's first, what works everywhere last.

    Keys that follow each other and do the same share a line.
    """
    lines: list[tuple[ActiveBinding, str, str]] = []
    keys_of: dict[str, list[str]] = {}
    for active in about.active_bindings.values():
        name = shown_key(active.binding)
        if name not in (keys := keys_of.setdefault(active.binding.action, [])):
            keys.append(name)
    active_now = own_bindings(about.active_bindings.values())
    for active in sorted(active_now, key=lambda one: (isinstance(one.node, App), isinstance(one.node, Screen))):
        binding = active.binding
        named, words = " or ".join(keys_of[binding.action]), meaning_of(binding.key) or binding.description
        words = binding.tooltip or words
        if lines and lines[-1][2] == words:
            first, before, _ = lines.pop()
            active, named = first, f"{before}, {named}"
        lines.append((active, named, words))
    return lines


class ReadingPage(OverScreen[bool | None]):
    """Subclasses give `ABOUT` and `begin`, which asks the log and calls `show`."""

    #: keys are kept until it has what stands on it
    ASKS_FIRST: ClassVar[bool] = True
    AT_ONCE: ClassVar[frozenset[str]] = frozenset({"f1", "question_mark"})
    DEFAULT_CSS = """
    ReadingPage {
        background: $paper;
        color: $ink;
        #answer { display: none; }
        #answer.-there { display: block; }
        #title { dock: top; height: auto; max-height: 3; background: $band; color: $mark; text-style: bold; padding: 0 1; }
        #page { background: $paper; color: $ink; padding: 0 1; }
        #page:focus { background: $paper; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "close", "back"),
        Binding(
            "space", "more", "more below", tooltip="show what stands further down; at the end, the beginning again"
        ),
        Binding("f1,question_mark", "help", "keys", key_display="?"),
    ]

    def compose(self) -> ComposeResult:
        yield Static("...", id="title", markup=False)
        yield AnswerLine(id="answer")
        with VerticalScroll(id="page"):
            yield Static("", id="text", markup=False)
        yield BottomLines()

    def on_mount(self) -> None:
        """Ask after the first paint."""
        self.query_one("#page").focus()
        self.call_after_refresh(self._begin)

    def _begin(self) -> None:
        self.begin()
        self.screens.has_asked(self)

    def begin(self) -> None:
        """Ask the log for what stands on the page."""

    def show(self, heading: str, page: Text, *answer: str, hazards: Sequence[Hazard] = ()) -> None:
        """Show the page; its answer and the cautions of the work, where it has any, stand over it and do not scroll."""
        line = self.query_one("#answer", AnswerLine)
        line.set_class(bool(answer), "-there")
        if answer:
            line.show(*answer, hazards=hazards)
        self.query_one("#title", Static).update(Text(heading, end=""))
        self.query_one("#text", Static).update(page)

    def action_more(self) -> None:
        """Go a page down, from the end to the beginning."""
        page = self.query_one("#page", VerticalScroll)
        if page.scroll_offset.y >= page.max_scroll_y:
            page.scroll_home(animate=False)
        else:
            page.scroll_page_down(animate=False)


class ReplacedPage(ReadingPage):
    """The question when another log lies in the place of the open one; gives whether it shall be opened."""

    ABOUT: ClassVar[str] = (
        "Another program put another file in the place of this log (a restore, a repair, a sync), or took it away. Nothing that is "
        "entered here is saved into either until the new one is open. What stands typed in a form stays there."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "agree", "open it", tooltip="open the log that lies there now"),
        Binding("escape", "close", "go on looking"),
    ]

    def __init__(self, error: WearlogError) -> None:
        super().__init__()
        self.error = error

    def begin(self) -> None:
        said = f"{self.error.message} {self.error.hint}"
        todo = "Enter opens the log that lies there now; Esc leaves what is shown as it is."
        self.show("ANOTHER LOG LIES HERE NOW", Text(f"{said}\n\n{todo}", end=""))

    def action_agree(self) -> None:
        """Open the new one."""
        self.dismiss(result=True)
