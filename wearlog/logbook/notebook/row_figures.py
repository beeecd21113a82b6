"""A row while it is being understood: its cells, day and first question, and its figures by column, held against what can be."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import Final
from uuid import UUID

from wearlog.logbook.notebook.cell_words import CellSaid, CellWords
from wearlog.logbook.notebook.columns import BookColumn
from wearlog.logbook.notebook.days_and_figures import CellFigure, DayCell, duration_in, figure_in, time_in
from wearlog.logbook.notebook.holds import Holds, is_money
from wearlog.logbook.notebook.machine_names import MachineNames
from wearlog.logbook.notebook.note_entry import Ask, Means, NoteEntry, Question
from wearlog.logbook.plain_line import FarmWords
from wearlog.logbook.quickline.vocabulary import KnownMachine
from wearlog.units import to_stored

_MINUTE: Final = 60

#: written without am and pm, and not as a clock of 24 hours writes it
_MAY_BE_AFTER_NOON: Final = re.compile(r"[1-9][:.]\d\d$")

_LONGEST_STOP: Final = 1_000 * 3_600

#: nobody cuts more in a day with one combine (common practice, no source)
MOST_ACRES_A_DAY: Final = Decimal(1_000)

_OPEN: Final = frozenset({"?", "??", "some", "a few", "few", "several", "lots", "many", "x", "n/a", "tbd"})


def seconds_of(draft: RowDraft, holds: Holds) -> int | None:
    """Read how long, in seconds; asks where its unit is open, or it cannot be."""
    text = draft.cell(holds)
    if not text or text in ("-", "?", "n/a"):
        return None
    amount = duration_in(text, decimal_comma=draft.context.decimal_comma)
    if amount is None:
        draft.grant(f"'{text}' is kept as a note")
        return None
    value, unit = amount
    if value < 0:
        draft.ask(Ask.NEGATIVE, f"'{text}' is below zero.", holds)
        return None
    if not unit and value:
        unit = _bare_unit(draft, holds, value)
        if unit == "?":
            draft.ask(Ask.UNIT, f"'{text}': hours or minutes?", holds, ("h", "min"))
            return None
        draft.grant(f"{text} are {'minutes' if unit == 'min' else 'hours'}")
    seconds = round(value * (3_600 if unit == "h" else _MINUTE))
    if seconds > _LONGEST_STOP:
        draft.ask(Ask.IMPOSSIBLE, f"'{text}' is longer than a season lasts.", holds)
    return seconds


def time_of(draft: RowDraft) -> str:
    """Read the time of day: of its column, else of the cell of the day; "" where neither says one."""
    text = draft.cell(Holds.TIME)
    told = time_in(text) if text else ""
    if text and not told:
        draft.grant(f"'{text}' is no time of day that is sure")
    elif _MAY_BE_AFTER_NOON.match(text):
        draft.grant(f"{text} is before noon")
    return told or (draft.day_cell.time if draft.day_cell is not None else "")


def _bare_unit(draft: RowDraft, holds: Holds, value: Decimal) -> str:
    """The unit of a figure without one: of its heading; else of what the column's figures can only be."""
    heading = draft.context.unit(holds)
    if heading:
        return heading
    usual = draft.context.bare.get(holds, "?")
    if (usual == "min" and value < 3) or (usual == "h" and value > 24):
        return "?"
    return usual


def bare_unit(texts: list[str], *, decimal_comma: bool | None) -> str:
    """Say what the figures without a unit in a column of times are: minutes, hours, or "?"."""
    read = [one for text in texts if (one := duration_in(text, decimal_comma=decimal_comma)) is not None]
    bare = [value for value, unit in read if not unit and value > 0]
    if not bare:
        return "?"
    whole = [value for value in bare if value == value.to_integral_value()]
    tens = [value for value in whole if value >= 5]
    if len(tens) >= 0.9 * len(bare) and max(bare) >= 15:
        return "min"
    if max(bare) <= 24 and len(whole) < len(bare):
        return "h"
    return "?"


def minor_of(draft: RowDraft, holds: Holds) -> int | None:
    """Read money as minor units; asks where it is below zero."""
    figure = _figure(draft, holds)
    if figure is None:
        return None
    if figure.value < 0:
        draft.ask(Ask.NEGATIVE, f"'{draft.cell(holds)}' is below zero: was it given back?", holds)
        return None
    return round(figure.value * 100)


def area_of(draft: RowDraft, holds: Holds = Holds.AREA) -> tuple[int, tuple[str, str]] | None:
    """Read an area as square metres, with the figure and unit as they stand; a unit in the cell goes before the column's."""
    figure = _figure(draft, holds)
    if figure is None:
        return None
    text = draft.cell(holds)
    if figure.value < 0:
        draft.ask(Ask.NEGATIVE, f"'{text}' is below zero.", holds)
        return None
    unit = figure.unit if figure.unit in ("ac", "ha") else ""
    if figure.unit and not unit:
        draft.ask(Ask.UNIT, f"'{text}': acres or hectares?", holds, ("ac", "ha"))
        return None
    if not unit:
        unit = draft.context.unit(holds) or ("ha" if draft.context.farm.is_metric else "ac")
    return to_stored(figure.value, unit), (_short(figure.value), unit)


def hours_of(draft: RowDraft, holds: Holds) -> int | None:
    """Read what an hour meter shows as seconds."""
    figure = _figure(draft, holds)
    if figure is None:
        return None
    if figure.value < 0:
        draft.ask(Ask.NEGATIVE, f"'{draft.cell(holds)}' is below zero.", holds)
        return None
    return round(figure.value * 3_600)


def count_of(draft: RowDraft) -> tuple[int | None, bool]:
    """Read how many, and whether the count is open: "?", "2 boxes"."""
    text = draft.cell(Holds.COUNT)
    if not text:
        return None, False
    if text.casefold().strip() in _OPEN:
        return None, True
    figure = figure_in(text, decimal_comma=draft.context.decimal_comma)
    if figure is None or figure.value != figure.value.to_integral_value():
        return None, True
    packs = figure.unit in (
        "pk",
        "pkt",
        "box",
        "boxes",
        "pack",
        "packs",
        "bag",
        "bags",
        "set",
        "sets",
        "doz",
        "pr",
        "pair",
        "bx",
        "cs",
        "ctn",
        "case",
    )
    if packs:
        inside = figure_in(figure.rest.removeprefix("of").strip()) if figure.rest else None
        if inside is None or figure.unit in ("set", "sets"):
            return None, True
        return int(figure.value * inside.value), False
    if figure.unit == "x" and figure.rest.isdigit():
        return int(figure.value) * int(figure.rest), False
    return int(figure.value), False


def money_said(draft: RowDraft, holds: Holds) -> CellFigure | None:
    """Return a price as it stands, with the word behind it ("ea", "all")."""
    figure = _figure(draft, holds)
    if figure is None:
        return None
    word = figure.rest if is_money(figure.unit) else figure.unit or figure.rest
    return CellFigure(figure.value, word.casefold().strip(" /."), "")


def _figure(draft: RowDraft, holds: Holds) -> CellFigure | None:
    text = draft.cell(holds)
    if not text or text in ("-", "?", "n/a"):
        return None
    figure = figure_in(text, decimal_comma=draft.context.decimal_comma)
    if figure is None:
        draft.grant(f"'{text}' is kept as a note")
    return figure


def _short(value: Decimal) -> str:
    text = format(value, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


@dataclass(slots=True, eq=False)
class Context:
    """What rows of one table are read with.

    Attributes
    ----------
    partners : dict of UUID to KnownMachine
        Which header hung on which combine, by the id of either, where the notebook or the log says one only.
    told_partners : bool
        The notebook says it.
    bare : dict of Holds to str
        The unit of a figure without one, by column; "?" where nobody can know.
    each_price : dict of UUID to int
        What one of a kind costs by the rows that say it, in minor units.
    """

    farm: FarmWords
    words: CellWords
    names: MachineNames
    now: datetime
    order: str
    decimal_comma: bool | None
    columns: Sequence[BookColumn]
    partners: Mapping[UUID, KnownMachine]
    told_partners: bool = False
    bare: dict[Holds, str] = field(default_factory=dict)
    each_price: dict[UUID, int] = field(default_factory=dict)
    has_move: bool = False
    heard: dict[tuple[str, str], object] = field(default_factory=dict)
    said: dict[tuple[str | None, ...], CellSaid] = field(default_factory=dict)
    held: frozenset[Holds] = frozenset()

    def has(self, *holds: Holds) -> bool:
        """Say whether the table has a column of one of these."""
        if not self.held:
            self.held = frozenset(one.holds for one in self.columns)
        return not self.held.isdisjoint(holds)

    def unit(self, holds: Holds) -> str:
        """Return the unit that the heading of a column, or its cells, give it."""
        return next((one.unit for one in self.columns if one.holds is holds and one.unit), "")


@dataclass(slots=True, eq=False)
class RowDraft:
    """One row. `machine` is that of a heading above it, `settled` what a person said yes to, `dittos` where ditto marks stand."""

    context: Context
    cells: Mapping[Holds, str]
    day: date | None
    day_cell: DayCell | None
    machine: KnownMachine | None = None
    settled: frozenset[Ask] = frozenset()
    means: list[Means] = field(default_factory=list)
    entries: list[NoteEntry] = field(default_factory=list)
    granted: list[str] = field(default_factory=list)
    question: Question | None = None
    day_above: date | None = None
    dittos: frozenset[Holds] = frozenset()

    def cell(self, holds: Holds) -> str:
        """Return what stands in a column; "" where nothing does."""
        return self.cells.get(holds, "")

    def has(self, columns: Iterable[Holds]) -> bool:
        """Say whether something stands in one of these columns."""
        cells = self.cells
        for one in columns:  # noqa: SIM110 - asked several times of each row, and a generator takes three times as long
            if cells.get(one):
                return True
        return False

    def ask(self, ask: Ask, says: str, about: Holds, choices: Sequence[str] = (), missing: str = "") -> None:
        """Note a question; the first one is asked. What was settled is not asked again. `missing` is what nobody knows."""
        if self.question is None and ask not in self.settled:
            self.question = Question(ask=ask, says=says, about=about, choices=tuple(choices), missing=missing)

    def grant(self, words: str) -> None:
        """Note what is taken for granted."""
        if words not in self.granted:
            self.granted.append(words)

    def say(self, entry: NoteEntry) -> None:
        """Add an entry."""
        if entry.what not in self.means:
            self.means.append(entry.what)
        self.entries.append(entry)
