"""A whole notebook understood: its tables, their columns, and every row that holds something. Pure: it saves nothing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from hashlib import sha256
from typing import Final

from wearlog.collecting import no_collecting
from wearlog.facts.plain_text import folded
from wearlog.logbook.notebook.cell_words import CellWords
from wearlog.logbook.notebook.columns import TableSeen, columns_of, letter
from wearlog.logbook.notebook.days_and_figures import order_of
from wearlog.logbook.notebook.happened import year_said
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.layout import Layout, NoteSheet, layout_of
from wearlog.logbook.notebook.machine_names import MachineNames
from wearlog.logbook.notebook.note_entry import Ask, Means, NoteRow
from wearlog.logbook.notebook.row_figures import Context, RowDraft
from wearlog.logbook.notebook.row_reader import habits_of, read_row
from wearlog.logbook.notebook.row_text import read_text
from wearlog.logbook.notebook.row_work import read_grid
from wearlog.logbook.notebook.settled_rows import Known, Partners, Settled, ask_meters, ask_twice, partners_of
from wearlog.logbook.notebook.table_rows import RawRow, raw_rows, with_days
from wearlog.logbook.plain_line import FarmWords, phrases_of
from wearlog.logbook.quickline.vocabulary import KnownMachine

Place = tuple[str, int, str]
#: told the share that is done; may raise to stop
Step = Callable[[float], None]
_EVERY_ROWS: Final = 500


@dataclass(frozen=True, slots=True)
class RowAnswer:
    """What a person answered for a row: cells that are to be read instead, questions that are settled, or that it is left out."""

    cells: Mapping[Holds, str] = field(default_factory=dict)
    settled: frozenset[Ask] = frozenset()
    left_out: bool = False


@dataclass(frozen=True, slots=True)
class NotebookWords:
    """What a person has said of a notebook: what columns hold, what words mean, and the answers for rows.

    Attributes
    ----------
    columns : mapping of str to Holds
        By heading or letter, in one case.
    order : str
        "month_first" or "day_first" where the file does not show it; "" reads it off the file.
    """

    columns: Mapping[str, Holds] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)
    answers: Mapping[Place, RowAnswer] = field(default_factory=dict)
    order: str = ""


@dataclass(frozen=True, slots=True)
class Notebook:
    """A notebook as it is understood.

    Attributes
    ----------
    order : str
        In which order its days in figures are read; "" where that is open.
    rows : tuple of NoteRow
        Every row that holds something, in the order of the sheets.
    """

    tables: tuple[TableSeen, ...]
    rows: tuple[NoteRow, ...]
    order: str
    partners: Mapping[str, str] = field(default_factory=dict)


def _no_step(_: float) -> None:
    return


def _nothing_known(*_: object) -> Sequence[tuple[date, int]]:
    return ()


def understand(
    sheets: Sequence[NoteSheet],
    farm: FarmWords,
    now: datetime,
    said: NotebookWords | None = None,
    *,
    readings: Known = _nothing_known,
    step: Step = _no_step,
) -> Notebook:
    """Understand a notebook.

    Parameters
    ----------
    farm : FarmWords
        What the farm has; machines that are to be made are among its machines.
    now : datetime
        The present time by the farm's clock: no row is of a later day.
    said : NotebookWords, optional
        What a person has said of this notebook.
    readings : callable
        Takes a machine's id and a meter, and returns what the log knows of it: days and what it showed.
    step : callable
        Told the share that is done.
    """
    said = said or NotebookWords()
    words = CellWords(phrases_of(farm), said.words)
    names = MachineNames(farm.vocabulary.machines, words)
    layouts = [layout_of(sheet, number) for number, sheet in enumerate(sheets)]
    seen = [
        TableSeen(sheets[table.sheet].name, table, columns_of(sheets[table.sheet], table, names, words, said.columns))
        for layout in layouts
        for table in layout.tables
    ]
    order = said.order or order_of(_day_cells(sheets, seen))
    pairs = partners_of(sheets, seen, names, farm)
    reader = _Reader(farm, words, names, now, order, said, pairs, step, sum(len(one.rows) for one in sheets) or 1)
    rows: list[NoteRow] = []
    with no_collecting():
        for number, sheet in enumerate(sheets):
            rows += reader.sheet(sheet, layouts[number], [one for one in seen if one.table.sheet == number])
    settled: Settled = {place: one.settled for place, one in said.answers.items()}
    ask_meters(rows, readings, settled)
    ask_twice(rows, settled)
    told = {one.name: pairs.by_machine[one.id].name for one in names.machines if one.id in pairs.by_machine}
    return Notebook(tuple(seen), tuple(rows), order, told)


def _day_cells(sheets: Sequence[NoteSheet], seen: Sequence[TableSeen]) -> list[str]:
    found = []
    for one in seen:
        at = next((column.at for column in one.columns if column.holds is Holds.DAY), None)
        if at is not None:
            rows = sheets[one.table.sheet].rows
            found += [rows[i][at] for i in range(one.table.begin, one.table.end) if at < len(rows[i]) and rows[i][at]]
    return found


@dataclass(slots=True, eq=False)
class _Reader:
    farm: FarmWords
    words: CellWords
    names: MachineNames
    now: datetime
    order: str
    said: NotebookWords
    pairs: Partners
    step: Step
    count: int
    done: int = 0
    seen: dict[str, int] = field(default_factory=dict)

    def sheet(self, sheet: NoteSheet, layout: Layout, tables: Sequence[TableSeen]) -> list[NoteRow]:
        """Read a sheet: what stands above its tables, then row by row what stands in them."""
        machine = self.names.one(sheet.name) if sheet.name != "csv" else None
        year = year_said(sheet.name)
        found: list[tuple[int, NoteRow]] = []
        for index in layout.above:
            text = " | ".join(cell for cell in sheet.rows[index] if cell)
            year = year or year_said(text)
            machine = machine or self._machine_in(text)
            found.append((index, NoteRow(sheet=sheet.name, row=index + 1, said=text, means=(Means.TITLE,))))
        for one in tables:
            found += self._headings(sheet, one)
            found += self._table(sheet, one, machine, year)
        shared = [place for place, _ in found]
        return [row for _, row in sorted(found, key=lambda pair: pair[0])] if shared else []

    def _machine_in(self, text: str) -> KnownMachine | None:
        named = self.words.read(text).machines
        return next((one for one in self.names.machines if one.id in named), None) if len(named) == 1 else None

    def _headings(self, sheet: NoteSheet, seen: TableSeen) -> list[tuple[int, NoteRow]]:
        columns = self._label(seen)
        table = seen.table
        return [
            (
                index,
                NoteRow(
                    sheet=sheet.name,
                    row=index + 1,
                    columns=columns,
                    said=" | ".join(one for one in sheet.rows[index][table.first : table.stop] if one),
                    means=(Means.HEADINGS,),
                ),
            )
            for index in table.heading_rows
        ]

    def _label(self, seen: TableSeen) -> str:
        table = seen.table
        return f"{letter(table.first)}-{letter(table.stop - 1)}" if table.side_by_side else ""

    def _table(
        self, sheet: NoteSheet, seen: TableSeen, machine: KnownMachine | None, year: int | None
    ) -> list[tuple[int, NoteRow]]:
        raw = raw_rows(sheet, seen.table, seen.columns, self.names, machine)
        label = self._label(seen)
        with_days(raw, self.order, year, self.now.date())
        self._answered(raw, sheet.name, label, year)
        context = self._context(sheet, seen)
        habits_of(context, raw)
        found = []
        for row in raw:
            found.append((row.index, self._row(sheet, label, context, row)))
            self.done += 1
            if self.done % _EVERY_ROWS == 0:
                self.step(min(self.done / self.count, 1.0))
        return found

    def _answered(self, raw: Sequence[RawRow], sheet: str, label: str, year: int | None) -> None:
        """Put answers in the place of cells. A row stays known by the day that the notebook itself tells."""
        days = False
        for row in raw:
            row.known_day = row.day
            answer = self.said.answers.get((sheet, row.index + 1, label))
            if answer is not None:
                row.cells.update(answer.cells)
                days = days or not answer.cells.keys().isdisjoint((Holds.DAY, Holds.YEAR))
        if days:
            for row in raw:
                row.day = None
            with_days(raw, self.order, year, self.now.date())

    def _context(self, sheet: NoteSheet, seen: TableSeen) -> Context:
        pairs = self.pairs
        return Context(
            farm=self.farm,
            words=self.words,
            names=self.names,
            now=self.now,
            order=self.order,
            decimal_comma=sheet.decimal_comma,
            columns=seen.columns,
            partners=pairs.by_machine,
            told_partners=pairs.told,
        )

    def _row(self, sheet: NoteSheet, label: str, context: Context, raw: RawRow) -> NoteRow:
        place = (sheet.name, raw.index + 1, label)
        answer = self.said.answers.get(place, RowAnswer())
        draft = RowDraft(
            context,
            raw.cells,
            raw.day,
            raw.day_cell,
            raw.machine,
            answer.settled,
            day_above=raw.day_above,
            dittos=raw.dittos,
        )
        if raw.year_granted:
            draft.grant(f"the year: {raw.day}")
        if raw.means is None:
            self._understand(draft, raw)
        means = (raw.means,) if raw.means is not None else tuple(draft.means)
        left = answer.left_out
        return NoteRow(
            sheet=sheet.name,
            row=raw.index + 1,
            columns=label,
            said=raw.said,
            cells=raw.cells,
            means=means or (Means.COMMENT,),
            entries=() if left else tuple(draft.entries),
            question=None if left else draft.question,
            granted=tuple(draft.granted),
            digest=self._digest(raw),
        )

    def _understand(self, draft: RowDraft, raw: RawRow) -> None:
        if raw.grid:
            read_grid(draft, raw)
        elif len(raw.cells) == 1 and " | " not in raw.said:
            holds, text = next(iter(raw.cells.items()))
            if holds is Holds.AREA:
                read_row(draft)
                return
            alone = holds in (Holds.NOTE, Holds.PART, Holds.DAY, Holds.MACHINE, Holds.WHY, Holds.HEADER, Holds.SERVICE)
            if not alone or not read_text(draft, text, draft.machine) or draft.question is not None:
                draft.means, draft.entries, draft.question = [Means.COMMENT], [], None
        else:
            read_row(draft)

    def _digest(self, raw: RawRow) -> str:
        """Of what stands in the row and its day, and which of its equals it is: the same wherever the row stands."""
        said = f"{folded(raw.said)}\n{raw.known_day or ''}\n{raw.machine.name if raw.machine is not None else ''}"
        which = self.seen[said] = self.seen.get(said, 0) + 1
        return sha256(f"{said}\n{which}".encode("utf-8", "replace")).hexdigest()
