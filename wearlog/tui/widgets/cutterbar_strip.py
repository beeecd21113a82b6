"""The cutterbar strip: the whole bar packed into the width, the neighbourhood of the cursor in full, bars of shares and ages."""

from __future__ import annotations

from typing import ClassVar, Final

from rich.text import Text
from textual import events
from textual.app import RenderResult
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from wearlog.errors import UsageError
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import format_positions, parse_positions
from wearlog.present.parts.strip_geometry import CLOSE_CELL, StripPicture, close_up, positions_per_cell, strip_rows
from wearlog.present.tables import width

LABEL = 6

_TYPED = "0123456789-,"
#: how the row of ages is read, beside the title where there is room
_KEY: Final = "age: ░ new █ old"
#: lines of the whole bar under its title, and of the close-up below them
_BAR_LINES, _CLOSE_LINES = 5, 3


class CutterbarStrip(Widget, can_focus=True):
    """A bar of positions with a cursor. Positions can be typed (41, 41-43, 41,50), marked one by one, or as a span."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"strip--title", "strip--label", "strip--cursor", "strip--alarm"}
    DEFAULT_CSS = """
    CutterbarStrip {
        height: 10;
        padding: 0 1;
        background: $paper;
        color: $ink;
        &.-small { height: 7; }
        & .strip--title { color: $mark; background: $paper; text-style: bold; }
        & .strip--label { color: $quiet; background: $paper; }
        & .strip--cursor { color: $chosen-ink; background: $chosen-paper; text-style: bold; }
        & .strip--alarm { color: $alarm; background: $paper; text-style: bold; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "move(-1)", "one position left", show=False),
        Binding("right", "move(1)", "one position right", show=False),
        Binding("shift+left", "move(-10)", "ten positions left", show=False),
        Binding("shift+right", "move(10)", "ten positions right", show=False),
        Binding("home", "move(-9999)", "first position", show=False),
        Binding("end", "move(9999)", "last position", show=False),
        Binding("space", "mark", "mark", tooltip="mark the position under the cursor, or take the mark away"),
        Binding("v", "span", "span", tooltip="begin a span at the cursor; again: mark all up to the cursor"),
        Binding("backspace", "rub_out", "take back the last typed figure, or all marks", show=False),
    ]

    cursor: reactive[int] = reactive(1)
    """The position under the cursor, from 1."""
    marked: reactive[frozenset[int]] = reactive(frozenset())
    """Marked positions."""

    class Moved(Message):
        """The cursor or the marks have changed."""

        def __init__(self, strip: CutterbarStrip) -> None:
            super().__init__()
            self.strip = strip

        @property
        def control(self) -> CutterbarStrip:
            return self.strip

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.picture: StripPicture | None = None
        self.typed = ""
        self._span_from: int | None = None
        #: the position on which a button of the mouse went down
        self._drag_from: int | None = None

    def show(self, picture: StripPicture | None, *, cursor: int | None = None) -> None:
        """Show a bar; the cursor stays where it was unless a position is given."""
        self.picture = picture
        if picture is not None:
            self._put(cursor or self.cursor)
        self.refresh()

    def forget(self) -> None:
        """Take away marks, a span begun and figures typed: another bar begins afresh."""
        self.marked, self.typed, self._span_from = frozenset(), "", None

    @property
    def chosen(self) -> tuple[int, ...]:
        """What is meant: the marked positions, else the one under the cursor; nothing without a bar."""
        if self.picture is None:
            return ()
        return tuple(sorted(self.marked)) or (self.cursor,)

    @property
    def tallness(self) -> int:
        """Lines it takes: fewer without the close-up."""
        return 7 if self.has_class("-small") else 10

    @property
    def count(self) -> int:
        return len(self.picture.positions) if self.picture else 0

    # keys ---------------------------------------------------------------------------------------------------------

    def _put(self, position: int) -> None:
        self.cursor = min(max(1, position), max(1, self.count))
        if self._span_from is not None:
            low, high = sorted((self._span_from, self.cursor))
            self.marked = frozenset(range(low, high + 1))

    def _changed(self) -> None:
        self.refresh()
        self.post_message(self.Moved(self))

    def action_move(self, step: int) -> None:
        """Move the cursor."""
        self.typed = ""
        self._put(self.cursor + step)
        self._changed()

    def action_mark(self) -> None:
        """Mark the position under the cursor, or take the mark away."""
        self.typed, self._span_from = "", None
        self.marked = self.marked ^ {self.cursor}
        self._changed()

    def action_span(self) -> None:
        """Begin a span, or end it."""
        self.typed = ""
        self._span_from = self.cursor if self._span_from is None else None
        if self._span_from is not None:
            self.marked = frozenset({self.cursor})
        self._changed()

    def action_rub_out(self) -> None:
        """Take back the last typed figure; without one, all marks."""
        if self.typed:
            self._take_typed(self.typed[:-1])
        else:
            self.forget()
        self._changed()

    def on_key(self, event: events.Key) -> None:
        """Take figures, - and , as positions, and in their order what rubs them out."""
        if event.key == "backspace":
            event.stop()
            self.action_rub_out()
        elif event.character and event.character in _TYPED and self.count:
            event.stop()
            event.prevent_default()
            self.type_in(event.character)

    def on_paste(self, event: events.Paste) -> None:
        """Take pasted positions."""
        event.stop()
        self.type_in("".join(one for one in event.text if one in _TYPED))

    def type_in(self, characters: str) -> None:
        """Take typed characters. A figure that makes the number too large begins a new one."""
        for character in characters:
            typed = self.typed + character
            number = typed.replace("-", ",").split(",")[-1]
            if number and int(number) > self.count:
                typed = character if self.typed == number[:-1] else self.typed
            self._take_typed(typed.lstrip("-,0"))
        self._changed()

    def _take_typed(self, typed: str) -> None:
        self.typed, self._span_from = typed, None
        pieces = [piece for piece in typed.replace("-", ",").split(",") if piece]
        if pieces:
            self._put(int(pieces[-1]))
        try:
            # "41-4" on the way to "41-43" is no span yet; the marks wait for the rest
            whole = parse_positions(typed.rstrip("-,")) if "-" in typed or "," in typed else ()
        except UsageError:
            return
        self.marked = frozenset(one for one in whole if one <= self.count)

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Where a drag begins."""
        self._drag_from = self._position_at(event.x, event.y)

    def on_mouse_move(self, event: events.MouseMove) -> None:
        """A drag marks all from where it began."""
        at = self._position_at(event.x, event.y)
        if not event.button or self._drag_from is None or at is None or at == self.cursor:
            return
        self.typed, self._span_from = "", self._drag_from
        self._put(at)
        self._changed()

    def on_click(self, event: events.Click) -> None:
        """Put the cursor where the bar was clicked; a cell that several positions share goes through them by more clicks."""
        began, self._drag_from = self._drag_from, None
        if self._span_from is not None and began is not None:
            # a drag has ended here
            self._span_from = None
            return
        at = self._position_at(event.x, event.y)
        if at is None or self.picture is None:
            return
        if 1 <= event.y <= _BAR_LINES:
            per_cell = positions_per_cell(self.count, self._wide)
            inside = self.cursor - at
            if 0 <= inside < per_cell:
                at += (inside + 1) % per_cell
        self.typed = ""
        self._put(at)
        self._changed()

    def _position_at(self, x: int, y: int) -> int | None:
        """Return the position drawn at a cell of the widget; None where there is none."""
        if self.picture is None:
            return None
        cell = x - LABEL - self.styles.padding.left
        if 1 <= y <= _BAR_LINES:
            at = cell * positions_per_cell(self.count, self._wide) + 1
        elif _BAR_LINES < y <= _BAR_LINES + _CLOSE_LINES and not self.has_class("-small"):
            at = close_up(self.picture, self._wide, cursor=self.cursor).first + cell // CLOSE_CELL
        else:
            return None
        return at if cell >= 0 and at <= self.count else None

    # drawing ------------------------------------------------------------------------------------------------------

    @property
    def _wide(self) -> int:
        return max(10, self.content_size.width - LABEL)

    def render(self) -> RenderResult:
        page = Text(end="", no_wrap=True, overflow="ellipsis")
        if self.picture is None:
            return page
        rows = strip_rows(self.picture, self._wide, cursor=self.cursor, marked=self.marked)
        packed = f", {rows.per_cell} to a mark" if rows.per_cell > 1 else ""
        title = f"{one_line(self.picture.title)}{packed}"
        room = self.content_size.width - width(title) - width(_KEY)
        page.append(f"{title}{' ' * room}{_KEY}" if room > 1 else title, self.get_component_rich_style("strip--title"))
        alarm = self.get_component_rich_style("strip--alarm")
        self._row(page, "No.", rows.numbers)
        self._row(page, "broke", rows.broke)
        self._row(page, "age", rows.age)
        self._row(page, "now" if rows.state.strip() else "", rows.state)
        page.stylize(alarm, len(page) - len(rows.state))
        self._row(page, "", rows.pointer)
        page.stylize(alarm, len(page) - len(rows.pointer))
        if not self.has_class("-small"):
            self._close_up(page)
        page.append(f"\n{self.sentence}", "bold")
        return page

    def _row(self, page: Text, label: str, row: str) -> None:
        page.append(f"\n{label:<{LABEL}}", self.get_component_rich_style("strip--label"))
        page.append(row)

    def _close_up(self, page: Text) -> None:
        assert self.picture is not None
        near = close_up(self.picture, self._wide, cursor=self.cursor, marked=self.marked)
        for label, row in (("near", near.numbers), ("broke", near.broke), ("age", near.age)):
            self._row(page, label, row)
            start = len(page) - len(row) + near.at
            page.stylize(self.get_component_rich_style("strip--cursor"), start, start + CLOSE_CELL)

    @property
    def sentence(self) -> str:
        """What the cursor stands on, and what is marked or typed."""
        if self.picture is None:
            return ""
        words = f"{self.cursor}: {self.picture.positions[self.cursor - 1].words}"
        if "-" in self.typed or "," in self.typed:
            words = f"typed {self.typed}; at {words}"
        elif self.marked:
            words = f"marked {format_positions(self.marked)}; at {words}"
        return one_line(words)
