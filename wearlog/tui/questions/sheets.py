"""Questions about the sheets of the log: which there are, their rows page by page, what a form of one asks, and saving it.

All goes by the readers and the door of the commands `entries`, `enter`, `change` and `undo`; nothing here knows any sheet.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final
from uuid import UUID

from wearlog.present.answer_sheet import ONLY_WITH_ROOM
from wearlog.present.words import capital, counted, listed
from wearlog.tui.questions.sheet_columns import listed_column, spoken
from wearlog.tui.widgets.list_rows import ListColumn, ListOrder, ListRow, SheetSource, list_columns

if TYPE_CHECKING:
    from wearlog.exchange.columns import SheetColumn
    from wearlog.exchange.row_book import RowBook
    from wearlog.facts.fact import Fact
    from wearlog.tui.door import Door

#: so many of the latest rows are offered where a row is named by its number
_OFFERED: Final = 200
#: the widths of a list's columns are those of so many of its first rows
_MEASURED: Final = 60


def sheet_list(door: Door) -> tuple[SheetSource, str]:
    """Return all sheets with their counts and what they hold, and the answer of that screen."""
    from wearlog.exchange.format_words import HOLDS
    from wearlog.exchange.row_book import sheet_counts

    counts = sheet_counts(door.log)
    rows = [_sheet_row(sheet, count, HOLDS[sheet]) for sheet, count in counts.items()]
    needs = tuple(max(len(row.cell(2, form)) for row in rows) for form in range(2))
    columns = (
        ListColumn("sheet", 15, 15, sort="sheet"),
        ListColumn("rows", 6, 7, figures=True, sort="rows", about="how many rows of that sort the log holds"),
        ListColumn("what it holds", 20, needs[0], weight=ONLY_WITH_ROOM, forms=needs),
    )
    names, sizes = list(counts), list(counts.values())
    source = SheetSource(columns, rows, {"sheet": lambda place: names[place], "rows": lambda place: sizes[place]})
    return source, f"The log holds {counted(sum(sizes), 'row')} of {len(counts)} sorts."


#: what a sheet holds finds room on a usual terminal
_BRIEF: Final = 52


def _sheet_row(sheet: str, count: int, holds: str) -> ListRow:
    first = holds if len(holds) <= _BRIEF else re.split(r"[:,;]| that ", holds)[0].removesuffix(".")
    name, number = spoken(sheet), f"{count:,}"
    return ListRow(sheet, (name, number, holds), shorter=((name, number, first),))


@dataclass(frozen=True, slots=True)
class SheetShown:
    """A sheet as it is listed: the headings that hold something, their columns, how many rows, what the latest is called."""

    sheet: str
    headings: tuple[str, ...]
    columns: tuple[ListColumn, ...]
    count: int
    holds: str
    latest: str
    book: RowBook

    @property
    def answer(self) -> tuple[str, str]:
        """The sentences over the list."""
        if not self.count:
            return f"No {spoken(self.sheet)} is entered.", self.holds
        return f"{capital(counted(self.count, 'row'))}, the last of them: {self.latest}.", self.holds


def sheet_shown(door: Door, sheet: str) -> SheetShown:
    """Return how a sheet is listed."""
    from wearlog.exchange.format_words import HOLDS
    from wearlog.exchange.row_book import row_book, sheet_rows
    from wearlog.present.digits import Measures
    from wearlog.present.files.row_sheet import row_sheet

    book = row_book(door.log, door.farm_now())
    found = sheet_rows(book, sheet, last=_MEASURED)
    measures = Measures(book.known.farm)
    answer = row_sheet(sheet, found.headings, found.rows, measures, in_all=found.in_all)
    # numbers longer than that are rare, and a form says them whole; on a phone it stands below the list
    first, *others = list_columns(answer.columns, measures)
    columns = (replace(first, most=first.least, weight=2), *(listed_column(one, found.rows) for one in others))
    headings = tuple(column.heading(measures) for column in answer.columns)[1:]
    latest = book.called(sheet, found.facts[0]) if found.facts else ""
    return SheetShown(sheet, headings, columns, found.in_all, HOLDS[sheet], latest, book)


@dataclass(frozen=True, slots=True)
class SheetRowSource:
    """The rows of a sheet, the latest first, page by page; with words those in which each of them stands."""

    shown: SheetShown
    #: another source of this list has the same rows, so the cursor stays where it is
    keeps_place: bool = True

    @property
    def columns(self) -> Sequence[ListColumn]:
        return self.shown.columns

    def count(self, door: Door, order: ListOrder) -> int:
        return len(self._with_words(order)) if order.words.split() else self.shown.count

    def page(self, door: Door, order: ListOrder, first: int, size: int) -> Sequence[ListRow]:
        from wearlog.exchange.row_book import rows_from

        if order.words.split():
            return self._with_words(order)[first : first + size]
        rows, facts = rows_from(self.shown.book, self.shown.sheet, first, size)
        return [self._listed(fact.id, row.number, row.cells) for row, fact in zip(rows, facts, strict=True)]

    def place_of(self, door: Door, order: ListOrder, key: Hashable) -> int | None:
        return None

    def _with_words(self, order: ListOrder) -> list[ListRow]:
        from wearlog.exchange.row_book import sheet_rows

        found = sheet_rows(self.shown.book, self.shown.sheet, order.words.split(), last=self.shown.count)
        return [self._listed(fact.id, row.number, row.cells) for row, fact in zip(found.rows, found.facts, strict=True)]

    def _listed(self, row_id: UUID, number: str, cells: Mapping[str, str]) -> ListRow:
        from wearlog.present.digits import Measures
        from wearlog.present.files.row_sheet import by_farm_clock

        measures = Measures(self.shown.book.known.farm)
        said = (by_farm_clock(cells.get(heading, ""), measures) for heading in self.shown.headings)
        return ListRow(row_id, (number, *said))


@dataclass(frozen=True, slots=True)
class OfferedCell:
    """What may stand in a cell: the text, the words for it, and whose it is (a machine, a season) where it is of something."""

    text: str
    words: str
    owner: str = ""


@dataclass(frozen=True, slots=True)
class AskedColumn:
    """One question of the form of a row.

    Attributes
    ----------
    heading : str
        As `RowBook` takes it: without its unit.
    hint : str
        What stands in the empty field.
    now : str
        What stands there now, or what a new row begins with.
    answers : tuple of OfferedCell or None
        The only ones there are; None where it is typed.
    owner : str
        The heading whose answer says whose answers are meant; empty where they are nobody's.
    """

    heading: str
    label: str
    hint: str = ""
    needed: bool = False
    now: str = ""
    answers: tuple[OfferedCell, ...] | None = None
    owner: str = ""


@dataclass(frozen=True, slots=True)
class RowStart:
    """What the form of a row starts from; `fact` is None for a new one."""

    sheet: str
    holds: str
    columns: tuple[AskedColumn, ...]
    book: RowBook
    fact: Fact | None = None
    called: str = ""


def row_start(door: Door, sheet: str, row_id: UUID | None = None, machine: str = "") -> RowStart:
    """Return what the form of a new row asks, or of one that is changed; `machine` is the id of the one looked at last."""
    from wearlog.exchange.format_words import HOLDS
    from wearlog.exchange.row_book import row_book, row_of_id

    book = row_book(door.log, door.farm_now())
    fact = None if row_id is None else row_of_id(book, sheet, row_id)
    asked = tuple(_asked_columns(book, sheet, fact, machine))
    # what every row has comes first; sorted keeps the order of the format within both
    columns = tuple(sorted(asked, key=lambda one: not one.needed))
    return RowStart(sheet, HOLDS[sheet], columns, book, fact, "" if fact is None else book.called(sheet, fact))


def _asked_columns(book: RowBook, sheet: str, fact: Fact | None, machine: str) -> Iterator[AskedColumn]:
    from wearlog.exchange.columns import By
    from wearlog.exchange.headings import helpers_of
    from wearlog.exchange.sheets import SHEETS

    cells = {} if fact is None else book.cells(sheet, fact)
    columns = SHEETS[sheet]
    headings = {column.heading for column in columns}
    # a check of a fault is on the fault's machine: nobody need say which
    told = any(column.by is By.KEY and column.needed for column in columns)
    for helper in helpers_of(columns):
        if helper not in headings:
            offered = _rows_named(book, helper)
            begins = _begins_with(book, helper, offered, machine) if fact is None and not told else ""
            now = cells.get(helper, begins)
            yield AskedColumn(helper, capital(helper), needed=not told, now=now, answers=_with(offered, now))
    for column in columns:
        yield _asked(book, column, fact, cells, machine)


def _asked(
    book: RowBook, column: SheetColumn, fact: Fact | None, cells: Mapping[str, str], machine: str
) -> AskedColumn:
    from wearlog.exchange.columns import By, Form, heading_with, units_of

    now = next((cells[one] for unit in units_of(column) if (one := heading_with(column, unit)) in cells), "")
    label = capital(spoken(column.heading))
    if column.form is Form.FLAG:
        either = (OfferedCell("", "no"), OfferedCell("yes", "yes"))
        return AskedColumn(column.heading, label, column.meaning, now=now, answers=either)
    if column.closed_list is not None and column.form is Form.LISTED:
        from wearlog.present.words import word

        answers = tuple(OfferedCell(str(one), word(one)) for one in column.closed_list)
        return AskedColumn(column.heading, label, column.meaning, column.needed, now, answers)
    if column.form is Form.POINTER:
        if column.by is By.SHARED_NODE:
            offered = _nodes_shared(book)
        else:
            offered = _rows_numbered(book, column.target) if column.by is By.KEY else _rows_named(book, column.target)
        owned = any(one.owner for one in offered)
        if fact is None and not now and column.needed and not owned:
            now = _begins_with(book, column.target, offered, machine)
        owner = ("season" if column.by is By.PLAN else "machine") if owned else ""
        return AskedColumn(column.heading, label, column.meaning, column.needed, now, _with(offered, now), owner=owner)
    unit = _unit(book, column, fact)
    return AskedColumn(
        column.heading, f"{label}, {unit}" if unit else label, _hint(book, column, fact), column.needed, now
    )


def _begins_with(book: RowBook, sheet: str, offered: Sequence[OfferedCell], machine: str) -> str:
    """The machine that was looked at last; else what is the only one of its sort."""
    if sheet == "machine":
        return next((one.name for one in book.known.machines if str(one.id) == machine), "")
    return offered[0].text if len(offered) == 1 else ""


def _with(offered: Sequence[OfferedCell], now: str) -> tuple[OfferedCell, ...]:
    """What stands there is an answer, too, though it be named otherwise than others are."""
    there = not now or any(one.text == now for one in offered)
    return tuple(offered) if there else (OfferedCell(now, now), *offered)


def _rows_named(book: RowBook, sheet: str) -> tuple[OfferedCell, ...]:
    from wearlog.exchange.headings import NAME_FIELDS
    from wearlog.exchange.rows_by_name import rows_by_sheet

    rows = dict(rows_by_sheet(book.known))
    names = {fact.id: fact for one in ("machine", "season") for fact in rows[one]}
    *whose, last = NAME_FIELDS[sheet]
    found = []
    for fact in rows[sheet]:
        text = str(getattr(fact, last))
        owner = names.get(getattr(fact, whose[0])) if whose else None
        owner_text = str(getattr(owner, "name", getattr(owner, "harvest_year", ""))) if owner else ""
        more = str(getattr(fact, "name", "")) if last == "number" else ""
        found.append(
            OfferedCell(text, " ".join(filter(None, (spoken(text) if sheet == "meter" else text, more))), owner_text)
        )
    return tuple(sorted(found, key=lambda one: one.words.casefold()))


def _nodes_shared(book: RowBook) -> tuple[OfferedCell, ...]:
    """What machines of a type share, offered for each of them: the row is kept with one alone."""
    from wearlog.exchange.rows_by_name import shared_nodes

    machines = book.known.machines
    rows: dict[UUID, Fact] = {fact.id: fact for fact in (*machines, *book.known.circuit_nodes)}
    return tuple(
        OfferedCell(node.name, node.name, machine.name)
        for machine in machines
        for node in sorted(shared_nodes(machine.id, rows).values(), key=lambda one: one.name.casefold())
    )


def _rows_numbered(book: RowBook, sheet: str) -> tuple[OfferedCell, ...]:
    from wearlog.exchange.row_book import rows_from

    rows, facts = rows_from(book, sheet, 0, _OFFERED)
    return tuple(
        OfferedCell(row.number, book.called(sheet, fact).partition(" ")[2])
        for row, fact in zip(rows, facts, strict=True)
    )


def _unit(book: RowBook, column: SheetColumn, fact: Fact | None) -> str:
    from wearlog.exchange.columns import Form

    if column.form is Form.MONEY:
        return book.known.farm.currency
    unit = book.unit_of(column, fact)
    return {"pct": "%"}.get(unit, unit.replace("_per_", "/").replace("_", " "))


def _hint(book: RowBook, column: SheetColumn, fact: Fact | None) -> str:
    from wearlog.exchange.columns import Form

    if column.form is Form.INSTANT and column.heading == "at" and column.needed and fact is None:
        return "now"
    example = {
        Form.INSTANT: "yesterday 16:20",
        Form.DAY: f"{book.now:%Y}-07-28",
        Form.USAGE: "h, ac or days, as its meter counts",
        Form.AGE: "new, unknown, or 350 h",
        Form.SENSOR: "in the unit of the sensor",
        Form.POSITIONS: "41-43, 50",
        Form.WORDS: "separated by commas",
    }.get(column.form, "")
    if column.form is Form.SEVERAL:
        example = ", ".join(column.closed_list or ())
    return "; ".join(filter(None, (column.meaning, example)))


def read_row(_: Door, start: RowStart, cells: Mapping[str, str]) -> str:
    """Return in words what the answers of a form would save; UsageError with the heading first where one cannot be read."""
    from wearlog.exchange.row_deeds import read_change

    # by what the form began with: a letter typed must not read the log; saving does
    book = start.book
    if start.fact is not None:
        change = read_change(book, start.sheet, start.fact, cells)
        return listed(
            [f"{spoken(one)} {before or 'empty'} becomes {after or 'empty'}" for one, before, after in change.cells]
        )
    facts = book.entered(start.sheet, cells)
    said = [f"{spoken(one)} {text}" for one, text in book.cells(start.sheet, facts[0]).items() if text]
    many = f" ({counted(len(facts), 'row')} like it)" if len(facts) > 1 else ""
    return f"{', '.join(said)}{many}"


def save_row(door: Door, start: RowStart, cells: Mapping[str, str], sure: Collection[str]) -> str:
    """Save what a form says as the commands do, and return the sentence of the deed."""
    from wearlog.exchange.row_book import row_book
    from wearlog.exchange.row_deeds import change_facts, enter_facts, read_change
    from wearlog.logbook.saving import Done
    from wearlog.present.words import saved_line

    book = row_book(door.log, door.farm_now())
    if start.fact is None:
        return saved_line(enter_facts(book, start.sheet, book.entered(start.sheet, cells), sure))
    done = change_facts(book, read_change(book, start.sheet, start.fact, cells))
    assert isinstance(done, Done)
    return saved_line(done)


def taking_back(door: Door, sheet: str, row_id: UUID) -> str:
    """Return the question before a row is taken back: what it is, and how much goes with it."""
    from wearlog.exchange.row_book import row_book, row_of_id
    from wearlog.logbook.rows.changing import rows_taken_back

    book = row_book(door.log, door.farm_now())
    fact = row_of_id(book, sheet, row_id)
    along = rows_taken_back(door.log, fact) - 1
    more = (
        f" With it {'goes or changes' if along == 1 else 'go or change'} {counted(along, 'other row')}."
        if along
        else ""
    )
    return f"This takes back the {book.called(sheet, fact)}.{more}"


def take_row_back(door: Door, sheet: str, row_id: UUID) -> str:
    """Take a row back as `undo NUMBER` does, and return the sentence of the deed."""
    from wearlog.exchange.row_book import row_book, row_of_id
    from wearlog.exchange.row_deeds import take_back

    book = row_book(door.log, door.farm_now())
    taken = take_back(book, sheet, row_of_id(book, sheet, row_id))
    return f"{capital('; '.join((taken.said, *taken.also)))}. u takes that back again."
