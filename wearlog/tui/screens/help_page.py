"""The help of a screen: what it is for in a few sentences, and every key that works on it now."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import ModalScreen, Screen
from textual.widgets import Static

from wearlog.tui.keys import meaning_of
from wearlog.tui.widgets.lines import BottomLines, own_bindings, shown_key


class HelpPage(ModalScreen[None]):
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
        self._text = help_text(about)

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="page"):
            yield Static(self._text, markup=False)
        yield BottomLines()

    def action_close(self) -> None:
        """Go back."""
        self.dismiss()


def help_text(about: Screen[Any]) -> Text:
    """Return the page of a screen: its sentences, then its keys, those of the focused widget first."""
    page = Text(end="")
    say = getattr(about, "about_now", None)
    page.append(f"{say() if say else ''}\n\n")
    keys_of: dict[str, list[str]] = {}
    for active in about.active_bindings.values():
        name = shown_key(active.binding)
        if name not in (keys := keys_of.setdefault(active.binding.action, [])):
            keys.append(name)
    for active in own_bindings(about.active_bindings.values()):
        page.append(f"{' or '.join(keys_of[active.binding.action]):>16}", "bold")
        binding = active.binding
        page.append(f"  {binding.tooltip or meaning_of(binding.key) or binding.description}\n")
    return page
