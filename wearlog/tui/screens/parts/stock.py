"""The stock as a list with moves by a few keys, and the form of a part with a part number."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar, Final
from uuid import UUID

from rich.text import Text
from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import Static

from wearlog.errors import WearlogError
from wearlog.facts.closed_lists import StockChange
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.parts import Part, PartKind, StockMove
from wearlog.facts.plain_text import one_line
from wearlog.ids import short_number
from wearlog.logbook.deed_sentences import part_sentence, stock_sentence
from wearlog.logbook.said.measures import FarmSpeaker, money
from wearlog.present.digits import amount
from wearlog.present.tables import whole_sentences
from wearlog.tui.questions.parts import ShelfShown, shelf
from wearlog.tui.questions.work import one_part, save_move, save_part
from wearlog.tui.screens.area import ListArea
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import moment_reader, name_reader, named, needed, optional, whole
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine
from wearlog.tui.widgets.list_rows import ListOrder, sheet_source
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.logbook.work.entry_start import PartStart
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.reckoning.parts.stock import Shelf
    from wearlog.tui.door import Door


_HEADINGS: Final = MappingProxyType(
    {
        StockChange.RECEIVED: "PARTS THAT CAME",
        StockChange.USED: "PARTS USED",
        StockChange.COUNTED: "PARTS COUNTED",
    }
)
#: rows under the list, as its style says
_TOLD = 4
#: how parts can have come
_CAME: Final = ((StockChange.RECEIVED, "bought"), (StockChange.RETURNED, "brought back"))


class MoveScreen(FormScreen):
    """The form of one move of one part."""

    ABOUT: ClassVar[str] = (
        "How many came, were used, or how many there are by a count. What came was bought, or brought back to the shelf by "
        "somebody who had taken it. A count says what is there, whatever the log thought before. What one cost goes into the "
        "costs of what it is used for; it is asked for what was bought."
    )

    def __init__(self, row: Shelf, change: StockChange, settings: FarmSettings) -> None:
        super().__init__()
        self.row = row
        #: what the key said; of what came the form asks how
        self.meant = change
        self.speak = FarmSpeaker(settings)

    def heading(self) -> str:
        return f"{_HEADINGS[self.meant]}: {self.row.part.number} {self.row.part.name}, {self.row.on_hand} on hand"

    @property
    def change(self) -> StockChange:
        """What it is by the answers."""
        return StockChange(self.answer("came")) if self.meant is StockChange.RECEIVED else self.meant

    def questions(self) -> Iterable[FormLine]:
        least = 0 if self.meant is StockChange.COUNTED else 1
        pack = self.row.part.pack_size
        hint = f"packs of {pack}" if pack > 1 and self.meant is StockChange.RECEIVED else "pieces"
        yield FormField(
            "quantity", "How many", needed(whole(least, 100_000), "How many?", "Write it like 25."), hint=hint
        )
        if self.meant is StockChange.RECEIVED:
            yield ChoiceField("came", "They were", _CAME)
            price = self.row.part.price_minor
            hint = "not known" if price is None else f"{amount(price)} as last time"
            yield FormField("cost", "One cost", optional(money), hint=hint, say=amount)
        yield FormField("at", "When", moment_reader(self.now), hint="now", say=self.say_moment)
        yield FormField("note", "Note")

    def changed(self, line: FormLine) -> None:
        if line.asks == "came":
            self.line("cost").display = self.change is StockChange.RECEIVED

    def _move(self) -> StockMove:
        cost = None
        if self.change is StockChange.RECEIVED:
            typed = self.answer("cost")
            cost = self.row.part.price_minor if typed is None else typed
        return StockMove(
            part_id=self.row.part.id,
            at=self.answer("at"),
            change=self.change,
            quantity=self.answer("quantity"),
            unit_cost_minor=cost,
            note=self.line("note").text,
        )

    def summary(self) -> str:
        move = self._move()
        after = {
            StockChange.COUNTED: move.quantity,
            StockChange.USED: self.row.on_hand - move.quantity,
        }.get(self.change, self.row.on_hand + move.quantity)
        return f"{stock_sentence(self.speak, self.row.part, move)}; then {after} on hand"

    def saving(self) -> Callable[[Door], str]:
        return partial(save_move, move=self._move())


class StockScreen(ListArea):
    """The parts on the shelf."""

    AREA: ClassVar[str] = "stock"
    ABOUT: ClassVar[str] = (
        "Every part with how many are on hand, how many you keep at least, and how many to order in whole packs. LOW: fewer than "
        "you keep; count it: more were used than the log ever knew of. + takes in what was bought or brought back, - uses, "
        "= enters a count; Enter changes the part, a adds another one. A breakage that is logged takes its parts off by itself."
    )
    EMPTY: ClassVar[str] = "No part is on the shelf. a adds one."
    DEFAULT_CSS = """
    StockScreen {
        #part { height: auto; max-height: 4; padding: 0 1; background: $paper; color: $ink; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "plus", "move('received')", "receive", key_display="+", tooltip="parts that came, or were brought back"
        ),
        Binding("minus", "move('used')", "use", key_display="-", tooltip="parts that were used"),
        Binding("equals_sign", "move('counted')", "count", key_display="=", tooltip="how many there are, by a count"),
        Binding("a", "add", "add a part", tooltip="a part that is not in the log yet"),
    ]
    usual_order = ListOrder()

    def __init__(self) -> None:
        super().__init__()
        self.sheet: AnswerSheet[Shelf] | None = None

    def body(self) -> Iterable[Widget]:
        yield AnswerLine("Opening the log ...", id="whole")
        yield from super().body()
        yield Static("", id="part", markup=False)

    def refresh_answer(self) -> None:
        self.screens.ask(self, "shelf", shelf, self._show)

    def _show(self, shown: ShelfShown) -> None:
        sheet = self.sheet = shown.sheet
        line = self.query_one("#whole", AnswerLine)
        is_short = any(row.is_low for row in sheet.rows)
        until = "Up to the level you keep, at the last prices; for the season: 6 Plan, Orders." if is_short else ""
        # the empty list says by which key one is added
        line.show(sheet.headline or "Nothing is in stock yet.", until)
        self.rows.show(sheet_source(shown.listed), self.rows.order)
        self._go_to_wanted()
        if self.focused is None:
            self.rows.focus()

    def on_screen_resume(self) -> None:
        super().on_screen_resume()
        if self.sheet is not None:
            self._go_to_wanted()

    def _go_to_wanted(self) -> None:
        """Put the cursor on the part that somebody looked for."""
        wanted, self.screens.part_wanted = self.screens.part_wanted, None
        if wanted is not None:
            self.rows.move_to_key(wanted)

    @property
    def part_row(self) -> Shelf | None:
        """The part under the cursor."""
        row = self.rows.row
        if row is None or self.sheet is None:
            return None
        return next((one for one in self.sheet.rows if one.part.id == row.key), None)

    def on_windowed_list_moved(self) -> None:
        """Say what is known of the part under the cursor, last the number of its entry."""
        row = self.part_row
        about = "" if row is None or self.sheet is None else self.sheet.about(row, self.sheet.measures)
        about = f"{about} Entry {short_number(row.part.id)}." if row is not None and about else about
        self.query_one("#part", Static).update(Text(whole_sentences(about, self.size.width - 2, _TOLD), end=""))

    def on_resize(self) -> None:
        """What is said of the part has other room."""
        self.call_after_refresh(self.on_windowed_list_moved)

    def action_move(self, change: str) -> None:
        """Open the form of a move of the part under the cursor."""

        row, sheet = self.part_row, self.sheet
        if row is None or sheet is None:
            self.say("There is no part under the cursor; a adds one.", alarm=True)
            return
        self.screens.push(MoveScreen(row, StockChange(change), sheet.measures.settings))

    def action_add(self) -> None:
        """Open the form of a new part."""

        self.screens.push(PartScreen())

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open the form of the part."""

        row = self.part_row
        if row is not None:
            self.screens.push(PartScreen(row.part.id))


class PartScreen(FormScreen):
    """The form of a part; without an id of a new one."""

    TITLE: ClassVar[str] = "A PART"
    ABOUT: ClassVar[str] = (
        "A part as it is ordered: its number, what you call it, and which kind it is. The kind says where it can be fitted, "
        "so that a breakage takes it off the shelf by itself; several are written with a semicolon between them. Keep is how many "
        "should always lie there: below it the part is LOW."
    )

    def __init__(self, part_id: UUID | None = None) -> None:
        super().__init__()
        self.part_id = part_id
        self.known: PartStart | None = None

    def heading(self) -> str:
        return "CHANGE A PART" if self.part_id else "ADD A PART"

    def questions(self) -> Iterable[FormLine]:
        yield FormField("number", "Part number", named("part number"), hint="as it is ordered")
        yield FormField("name", "Name", hint="what you call it; else its kind")
        yield FormField("fits", "Fits", self._read_kinds, hint="knife section, guard, ...", say=_kinds)
        yield FormField("price", "Price each", optional(money), hint="not known", say=_price)
        yield FormField("pack", "Pack of", _or(whole(1, 10_000), 1), hint="1")
        yield FormField("keep", "Keep", _or(whole(0, 100_000), 0), hint="at least so many; 0")
        if self.part_id is None:
            yield FormField("on_hand", "On hand now", _or(whole(0, 100_000), 0), hint="0")
        yield FormField("days", "Days away", optional(whole(0, 3_650)), hint="not known")
        yield FormField("supplier", "Supplier")

    def begin(self) -> None:
        self.screens.ask(self, "start", partial(one_part, part_id=self.part_id), self._take)

    def _take(self, known: PartStart) -> None:
        self.known = known
        self.line("fits").offer([kind.name for kind in known.kinds])
        if known.part is not None:
            self._fill(known.part, known.fits)
        self.paint()

    def _fill(self, part: Part, fits: tuple[PartKind, ...]) -> None:
        shown = {
            "number": one_line(part.number),
            "name": one_line(part.name),
            "fits": _kinds(fits),
            "price": "" if part.price_minor is None else amount(part.price_minor),
            "pack": str(part.pack_size),
            "keep": str(part.keep_on_hand),
            "days": "" if part.lead_time_days is None else str(part.lead_time_days),
            "supplier": one_line(part.supplier),
        }
        for name, text in shown.items():
            self.line(name).fill(text)

    def _read_kinds(self, text: str) -> tuple[PartKind, ...]:
        pieces = [piece for piece in text.split(";") if piece.strip()]
        if self.known is None or not pieces:
            return ()
        read = name_reader(self.known.kinds, lambda kind: kind.name, "kind of part")
        return tuple(dict.fromkeys(read(piece) for piece in pieces))

    def _part(self) -> Part:
        kinds = self.answer("fits")
        number = self.answer("number")
        entered = Part(
            number=number,
            name=one_line(self.line("name").text) or (kinds[0].name if kinds else number),
            price_minor=self.answer("price"),
            pack_size=self.answer("pack"),
            lead_time_days=self.answer("days"),
            supplier=self.line("supplier").text,
            keep_on_hand=self.answer("keep"),
        )
        before = self.known.part if self.known is not None else None
        return entered if before is None else replace(entered, id=before.id)

    def summary(self) -> str:
        on_hand = None if self.part_id else self.answer("on_hand")
        return part_sentence(self._part(), self.answer("fits"), on_hand=on_hand)

    def save(self) -> None:
        """Save, once the kinds have been read."""
        if self.known is None:
            self.say("One moment: the log is being read.")
            return
        super().save()

    @property
    def is_unchanged(self) -> bool:
        return self.part_id is not None and not any(line.is_typed for line in self.lines)

    def saving(self) -> Callable[[Door], str]:
        on_hand = None if self.part_id else self.answer("on_hand")
        return partial(save_part, part=self._part(), kinds=self.answer("fits"), on_hand=on_hand)

    def blamed(self, error: WearlogError) -> FormLine | None:
        """The only thing the log can have against a part that reads well is its number."""
        found: FormLine = self.line("number")
        return found if "another part" in error.message else None


def _kinds(kinds: tuple[PartKind, ...]) -> str:
    return "; ".join(one_line(kind.name) for kind in kinds)


def _price(minor: int | None) -> str:
    return "" if minor is None else amount(minor)


def _or(read: Callable[[str], int], usual: int) -> Callable[[str], int]:
    return lambda text: read(text) if text.strip() else usual
