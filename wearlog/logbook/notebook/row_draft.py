"""A row while it is being understood: its cells, its day, what was granted, and the first question that came up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from uuid import UUID

from wearlog.logbook.notebook.cell_words import CellWords
from wearlog.logbook.notebook.columns import BookColumn
from wearlog.logbook.notebook.days import DayCell
from wearlog.logbook.notebook.happened import RowSaid
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.machine_names import MachineNames
from wearlog.logbook.notebook.note_entry import Ask, Means, NoteEntry, Question
from wearlog.logbook.plain_line import FarmWords
from wearlog.logbook.quickline.vocabulary import KnownMachine


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
    said: dict[tuple[str, ...], RowSaid] = field(default_factory=dict)
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
