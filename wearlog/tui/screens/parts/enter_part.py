"""Entering a part with a part number, or changing what is known of one."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, ClassVar
from uuid import UUID

from wearlog.errors import WearlogError
from wearlog.facts.parts import Part, PartKind
from wearlog.facts.plain_text import one_line
from wearlog.logbook.deed_sentences import part_sentence
from wearlog.logbook.said.measures import money
from wearlog.present.digits import amount
from wearlog.tui.questions.work import one_part, save_part
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import name_reader, named, optional, whole
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.logbook.work.entry_start import PartStart
    from wearlog.tui.door import Door


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
