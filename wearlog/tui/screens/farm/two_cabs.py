"""Two cabs, one log: pack it, take in what another packed, and decide what came in twice or was changed apart."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, ClassVar, Final

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from wearlog.tui.host import Host
from wearlog.tui.questions.cabs import (
    CabRow,
    CabsPage,
    Looked,
    bundle_path,
    cabs_page,
    look_into,
    others_known,
    pack_into,
    take_in_bundle,
)
from wearlog.tui.remembered import remember
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.screens.over_screen import OverScreen
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.form_line import FormField, FormLine
from wearlog.tui.widgets.lines import BottomLines
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListRow
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.tui.door import Door

_COLUMNS: Final = (ListColumn("", 6, 6), ListColumn("", 20, 200))
_ON_A_STICK: Final = "/media/stick, or a file on it"
_PACK: Final = ListRow("pack", ("pack", "all of this log for another cab"))
_TAKE: Final = ListRow("take", ("take", "in what another cab packed"))
_ABOUT_ROW: Final = {
    "pack": ("Enter asks where to. The other laptop takes it in and packs for this one: then both hold the same.",),
    "take": ("Enter asks for the file, and says what is in it before anything is taken.",),
}


class OverPage(OverScreen[int | None]):
    """A list over the screen that was open, the answer in line 2, the row under the cursor in full below the list."""

    TITLE: ClassVar[str] = ""
    #: keys are kept until its list is there
    ASKS_FIRST: ClassVar[bool] = True
    AT_ONCE: ClassVar[frozenset[str]] = frozenset({"f1", "question_mark"})
    DEFAULT_CSS = """
    OverPage {
        background: $paper;
        color: $ink;
        #title { dock: top; height: auto; max-height: 3; background: $band; color: $mark; text-style: bold; padding: 0 1; }
        #details { height: auto; max-height: 60%; padding: 0 1; background: $paper; color: $ink; border-top: solid $quiet; }
        WindowedList { height: 1fr; min-height: 3; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "close", "back"),
        Binding("space", "more", "more below", show=False, tooltip="show what stands further down"),
        Binding("f1,question_mark", "help", "keys", key_display="?"),
    ]

    def compose(self) -> ComposeResult:
        yield Static(Text(self.TITLE, end=""), id="title", markup=False)
        yield AnswerLine()
        yield WindowedList(empty="...")
        with VerticalScroll(id="details", can_focus=False):
            yield Static("", id="fields", markup=False)
        yield BottomLines()

    @property
    def rows(self) -> WindowedList:
        """The list."""
        return self.query_one(WindowedList)

    def on_mount(self) -> None:
        """Ask after the first paint."""
        self.rows.focus()
        self.call_after_refresh(self._begin)

    def _begin(self) -> None:
        self.begin()
        self.screens.has_asked(self)

    def begin(self) -> None:
        """Fetch what stands in the list."""

    def details(self, row: ListRow, wide: int) -> Sequence[str]:
        """Return what stands under the list while the cursor is on a row."""
        return ()

    def show_details(self) -> None:
        """Show the row under the cursor in full."""
        row = self.rows.row
        lines = self.details(row, max(24, self.size.width - 3)) if row is not None else ()
        self.query_one("#fields", Static).update(Text("\n".join(lines), end=""))
        self.query_one("#details").scroll_to(y=0, animate=False)

    def on_windowed_list_moved(self) -> None:
        """Follow the cursor."""
        self.show_details()

    def on_resize(self) -> None:
        """Columns beside each other have the room there is."""
        self.call_after_refresh(self.show_details)

    def action_more(self) -> None:
        """Go on in the details, from their end to their beginning."""
        page = self.query_one("#details", VerticalScroll)
        if page.scroll_offset.y >= page.max_scroll_y:
            page.scroll_home(animate=False)
        else:
            page.scroll_page_down(animate=False)


class CabsScreen(OverPage):
    """What there is to do with other cabs' logs, and to decide."""

    TITLE: ClassVar[str] = "TWO CABS, ONE LOG"
    ABOUT: ClassVar[str] = (
        "Each cab logs by itself and a stick makes the logs one: 'pack' writes all of this log into a file, 'take' reads what "
        "another cab packed and says what is in it before anything is taken. Below stands what is to be decided: 'settle' what two "
        "cabs changed apart (the later one is shown until one is kept, once for all laptops), 'twice' what looks entered twice "
        "(one thing or two), 'again' what came in for something that was joined, 'mend' what does not go together. Enter opens a "
        "row, up and down choose, Enter does it; u takes it back (of two sides the one that was shown before is shown again). "
        "Nothing is joined or thrown away by itself."
    )

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("u", "undo", "undo", tooltip="take back the last entry of this device"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.found: dict[str, CabRow] = {}

    def begin(self) -> None:
        self.screens.log_changed.subscribe(self, lambda _: self.refresh_answer())
        self.rows.show(FixedSource(_COLUMNS, (_PACK, _TAKE)))
        self.refresh_answer()

    def refresh_answer(self) -> None:
        """Read what is to be decided."""
        self.screens.ask(self, "cabs", cabs_page, self._take_page)

    def action_undo(self) -> None:
        """Take back the last entry of this device: what was settled or joined here a moment ago."""
        self.screens.action_undo()

    def _take_page(self, page: CabsPage) -> None:
        self.found = {row.name: row for row in page.rows}
        self.query_one(AnswerLine).show(page.answer, page.here)
        decided = tuple(ListRow(row.name, (row.what, row.said)) for row in page.rows)
        self.rows.show(FixedSource(_COLUMNS, (_PACK, _TAKE, *decided)))
        self.show_details()

    def details(self, row: ListRow, wide: int) -> Sequence[str]:
        found = self.found.get(str(row.key))
        return found.details(wide) if found is not None else _ABOUT_ROW.get(str(row.key), ())

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open what the row asks for."""
        if message.row.key == "pack":
            self.screens.push(PackForm())
        elif message.row.key == "take":
            self.screens.push(TakeForm())
        elif (row := self.found.get(str(message.row.key))) is not None:
            if row.choices:
                self.screens.push(DecidePage(row), partial(self._decided, row))
            else:
                self.say(row.details(80)[-1])

    def _decided(self, row: CabRow, place: int | None) -> None:
        if place is not None:
            self.say("One moment ...")
            self.screens.ask(self, "decide", row.choices[place][1], self._done)

    def _done(self, said: str) -> None:
        self.screens.say(said)
        self.screens.something_entered()


class DecidePage(OverPage):
    """One thing to decide: what there is to know, and the choices. Gives the place of the one that was chosen."""

    ABOUT: ClassVar[str] = (
        "Up and down choose, Enter does what the cursor stands on, Esc leaves it undecided: nothing is lost by waiting. Whatever "
        "is chosen is one entry, which u takes back."
    )

    def __init__(self, row: CabRow) -> None:
        super().__init__()
        self.row = row
        self.ahead: Sequence[str] = ()

    def begin(self) -> None:
        self.query_one("#title", Static).update(Text(self.row.what.upper(), end=""))
        self.query_one(AnswerLine).show(self.row.said)
        choices = tuple(ListRow(place, (words,)) for place, (words, _) in enumerate(self.row.choices))
        rows = self.rows
        rows.row_cursor_always = True
        rows.styles.height = len(choices) + 1
        rows.show(FixedSource((ListColumn("", 20, 200),), choices))
        self.show_details()
        if self.row.ahead is not None:
            self.screens.ask(self, "ahead", self.row.ahead, self._take_ahead)

    def _take_ahead(self, lines: Sequence[str]) -> None:
        self.ahead = lines
        self.show_details()

    def details(self, row: ListRow, wide: int) -> Sequence[str]:
        return (*self.row.details(wide), *(self.ahead if row.key == 0 else ()))

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Give what was chosen."""
        if isinstance(message.row.key, int):
            self.dismiss(message.row.key)


class PackForm(FormScreen):
    """Where to pack to."""

    TITLE: ClassVar[str] = "PACK FOR ANOTHER CAB"
    ABOUT: ClassVar[str] = (
        "Writes all that this log has into one file, which the other laptop takes in. A folder or a stick takes the usual name in "
        "it; an older bundle there is replaced in one step, once all of it is in this log. 'Only what' leaves out what that "
        "device had when it last packed; without it everything goes along, which is always right."
    )

    def questions(self) -> Iterable[FormLine]:
        yield FormField("file", "Where to", bundle_path, start=self.screens.remembered.stick, hint=_ON_A_STICK)
        yield FormField("since", "Only what", hint="all; or a device: what it lacks")

    def begin(self) -> None:
        # a stick that is remembered is an answer already
        self.paint()
        self.screens.ask(self, "others", others_known, self.line("since").offer)

    def summary(self) -> str:
        since = self.answer("since")
        what = f"what '{since}' lacks" if since else "all of this log"
        return f"{what} into {self.answer('file')}"

    def saving(self) -> Callable[[Door], str]:
        _remember_stick(self.screens, self.line("file").text)
        return partial(pack_into, path=self.answer("file"), since=self.answer("since"))


class TakeForm(FormScreen):
    """Which bundle to take in: the first Enter reads it and says what is in it, the second takes it."""

    TITLE: ClassVar[str] = "TAKE IN WHAT ANOTHER CAB PACKED"
    ABOUT: ClassVar[str] = (
        "The first Enter reads the bundle and says what is in it, and nothing is written; the second takes in all of it, or "
        "nothing. A folder or a stick will do where one bundle lies in it. A bundle that was altered, cut short, or made by a "
        "newer wearlog is refused whole."
    )

    def __init__(self) -> None:
        super().__init__()
        self.looked: Looked | None = None

    def questions(self) -> Iterable[FormLine]:
        yield FormField("file", "Bundle", bundle_path, start=self.screens.remembered.stick, hint=_ON_A_STICK)

    def changed(self, line: FormLine) -> None:
        """Another file is to be looked at first."""
        self.looked = None
        self.show_before("")

    def summary(self) -> str:
        return f"all of this, from {self.looked.bundle.name}" if self.looked else ""

    def save(self) -> None:
        """Look at the bundle first; take it in once that was seen."""
        if self.looked is not None:
            super().save()
        elif self.line("file").check():
            self.say("Reading it ...")
            look = partial(look_into, path=self.answer("file"))
            self.screens.ask(self, "look", look, self._seen, self.refused)

    def _seen(self, found: Looked) -> None:
        self.show_before("\n".join(found.lines))
        _remember_stick(self.screens, self.line("file").text)
        if found.entries:
            self.looked = found
            self.say("Enter takes it in, Esc leaves it.")
        else:
            self.say("")
        self.paint()

    def saving(self) -> Callable[[Door], str]:
        assert self.looked is not None
        return partial(take_in_bundle, bundle=self.looked.bundle)


def _remember_stick(screens: Host, text: str) -> None:
    """The next time it is probably the same stick."""
    screens.remembered = replace(screens.remembered, stick=text.strip())
    remember(screens.remembered)
