"""The rows that cells can name: those of the log and those of the sheets read so far, by name, by key and by id."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, datetime
from difflib import get_close_matches
from enum import StrEnum
from typing import TypeAlias
from uuid import UUID

from wearlog.errors import UsageError
from wearlog.exchange.cell_text import guarded
from wearlog.exchange.columns import By, Form, Measure, SheetColumn
from wearlog.exchange.headings import NAME_FIELDS, helpers_of
from wearlog.exchange.sheets import SHEETS
from wearlog.exchange.told_ages import ToldAges
from wearlog.facts.closed_lists import MeterKind, Sensor
from wearlog.facts.electrics import CircuitNode
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine
from wearlog.facts.parts import Part, PartFit, PartKind
from wearlog.facts.plain_text import folded
from wearlog.faults.type_diagram import of_one_type
from wearlog.ids import derived_id
from wearlog.logbook.names import KnownNames, fitting_best, too_many, words_of_kind
from wearlog.present.digits import Measures

Name: TypeAlias = tuple[object, ...]

_WHAT: dict[str, str] = {
    "part_kind": "kind of part",
    "circuit_node": "node",
    "service_item": "service",
    "season_plan": "plan",
}


def what_is(sheet: str) -> str:
    """Return what a row of a sheet is called in a sentence."""
    return _WHAT.get(sheet, sheet.replace("_", " "))


def name_part(value: object) -> object:
    """Return one part of a name as names are compared."""
    if isinstance(value, StrEnum):
        return str(value)
    return folded(value) if isinstance(value, str) else value


class NamedRows:
    """Finds rows. It grows while sheets are read, in the order of `SHEETS`, so that what is pointed at is there already.

    Attributes
    ----------
    rows : dict of UUID to Fact
        Every row that may be pointed at.
    unreadable : set of str
        Sheets that are there but could not be read: what points at them is not blamed for it.
    begun : list of (str, str)
        What was read as another name since the list was last emptied: what the cell says, and the name.
    ages : ToldAges
        Reckons the ages that are told roughly; without a log by usual seasons.
    """

    def __init__(self, known: KnownNames, ages: ToldAges | None = None) -> None:
        self.rows: dict[UUID, Fact] = {}
        self.ages = ages or ToldAges(None, datetime.now(UTC), Measures(known.farm))
        self.unreadable: set[str] = set()
        self.begun: list[tuple[str, str]] = []
        self._by_name: dict[str, dict[Name, UUID]] = defaultdict(dict)
        self._by_last: dict[str, dict[object, list[UUID]]] = defaultdict(lambda: defaultdict(list))
        self._by_key: dict[str, dict[str, UUID]] = defaultdict(dict)
        self._shown: dict[str, dict[object, str]] = defaultdict(dict)
        self._ids: dict[str, set[UUID]] = defaultdict(set)
        for sheet, facts in rows_by_sheet(known):
            for fact in facts:
                self.add(sheet, fact)

    def add(self, sheet: str, fact: Fact, key: str = "") -> None:
        """Take in a row that others may point at. The first row of a name keeps it."""
        self.rows[fact.id] = fact
        fields = NAME_FIELDS.get(sheet)
        name = tuple(name_part(getattr(fact, field)) for field in fields) if fields else ()
        self.add_name(sheet, name, fact.id, key, str(getattr(fact, fields[-1])) if fields else "")

    def add_name(self, sheet: str, name: Name, row_id: UUID, key: str = "", shown: str = "") -> None:
        """Take in a name alone: of a row that is spoilt otherwise, so that what points at it is not blamed too."""
        self._ids[sheet].add(row_id)
        if key:
            self._by_key[sheet][key] = row_id
        if name and name not in self._by_name[sheet]:
            self._by_name[sheet][name] = row_id
            self._by_last[sheet][name[-1]].append(row_id)
            self._shown[sheet].setdefault(name[-1], shown)

    def id_of_name(self, sheet: str, name: Name) -> UUID | None:
        return self._by_name[sheet].get(name)

    def id_of_key(self, sheet: str, key: str) -> UUID | None:
        """Return the id behind a key: a label of a row read before, or a UUID that is known or of a sheet without names."""
        found = self._by_key[sheet].get(key)
        if found is not None:
            return found
        row_id = as_id(key)
        if row_id is None or (sheet in NAME_FIELDS and row_id not in self._ids[sheet]):
            return None
        return row_id

    def find(self, sheet: str, owner: object, text: str) -> UUID:
        """Return the row that `text` names, on `owner` (a machine's or season's id) if it is of something.

        A beginning that fits one only will do, and the words that people call a kind; `begun` says so then.

        Raises
        ------
        UsageError
            When there is none, when several begin so, or when the owner is None and several have one of that name.
        """
        last: object = folded(text)
        if sheet == "season":
            last = int(text) if text.isdigit() else text
        owned = len(NAME_FIELDS.get(sheet, ())) == 2
        name: Name = (owner, last) if owned else (last,)
        found = self.id_of_name(sheet, name) or self.id_of_key(sheet, text)
        if found is not None:
            return found
        if owned and owner is None:
            candidates = self._by_last[sheet].get(last, [])
            if len(candidates) == 1:
                return candidates[0]
            if candidates:
                raise UsageError(
                    f"There are {len(candidates)} {what_is(sheet)}s called '{text}'.",
                    f"Fill in the column {'season' if sheet == 'season_plan' else 'machine'}.",
                )
        return self._beginning_so(sheet, owner, text, last)

    def shared_node(self, machine_id: object, text: str) -> UUID:
        """Return the node that `text` names on the diagram which machines of this one's type share.

        Raises
        ------
        UsageError
            When the type shares no node of that name. A key is taken as it stands.
        """
        by_key = self.id_of_key("circuit_node", text)
        if by_key is not None:
            return by_key
        shared = shared_nodes(machine_id, self.rows)
        if folded(text) in shared:
            return shared[folded(text)].id
        machine = getattr(self.rows.get(machine_id), "name", "this machine") if isinstance(machine_id, UUID) else ""
        names = ", ".join(sorted((row.name for row in shared.values()), key=folded)[:6])
        raise UsageError(
            f"The type of '{machine}' shares no node '{text}'."
            if machine
            else "It is not said which machine lacks it.",
            f"It shares {names}." if names else "Share a diagram among the machines of its type first.",
        )

    def _beginning_so(self, sheet: str, owner: object, text: str, last: object) -> UUID:
        """Return the one row that is called `text` besides its name, or whose name begins so, as a command reads it."""
        rows = [
            (shown, row_id)
            for name, row_id in self._by_name[sheet].items()
            if (len(name) == 1 or owner is None or name[0] == owner)
            and isinstance(name[-1], str)
            and (shown := self._shown[sheet].get(name[-1], ""))
        ]
        found = fitting_best(rows, lambda row: row[0], text, lambda row: self._words_of(row[1]))
        if len(found) == 1:
            self.begun.append((text, found[0][0]))
            return found[0][1]
        if found:
            raise too_many(text, what_is(sheet), [shown for shown, _ in found])
        raise UsageError(self._there_is_no(sheet, owner, text), self._nearest(sheet, owner, last))

    def _words_of(self, row_id: UUID) -> tuple[str, ...]:
        row = self.rows.get(row_id)
        if isinstance(row, PartKind):
            return words_of_kind(row)
        return (row.name,) if isinstance(row, Part) else ()

    def _there_is_no(self, sheet: str, owner: object, text: str) -> str:
        machine = self.rows.get(owner) if isinstance(owner, UUID) else None
        on = f" on '{getattr(machine, 'name', '')}'" if getattr(machine, "name", "") else ""
        if sheet not in NAME_FIELDS:
            return f"No row of the sheet {sheet} has the key '{text}'."
        return f"There is no {what_is(sheet)} '{text}'{on}."

    def _nearest(self, sheet: str, owner: object, last: object) -> str:
        if sheet not in NAME_FIELDS:
            return f"Give it that key in {sheet}, and have {sheet} in the same folder."
        names = self._by_name[sheet]
        rivals = [str(name[-1]) for name in names if len(name) == 1 or owner is None or name[0] == owner]
        close = get_close_matches(str(last), rivals, n=3, cutoff=0.6)
        shown = [self._shown[sheet].get(one, one) for one in close]
        if not shown:
            return f"Add it to the sheet {sheet}."
        return f"Did you mean {' or '.join(repr(one) for one in shown)}? Else add it to the sheet {sheet}."


def rows_by_sheet(known: KnownNames) -> Iterable[tuple[str, Sequence[Fact]]]:
    """Return the rows that cells name, sheet by sheet."""
    return (
        ("setting", known.settings),
        ("person", known.people),
        ("machine", known.machines),
        ("meter", known.meters),
        ("field", known.fields),
        ("crop", known.crops),
        ("season", known.seasons),
        ("part_kind", known.part_kinds),
        ("part", known.parts),
        ("component", known.components),
        ("service_item", known.service_items),
        ("supplier", known.suppliers),
        ("circuit_node", known.circuit_nodes),
        ("season_plan", known.season_plans),
    )


def shared_nodes(machine_id: object, rows: Mapping[UUID, Fact]) -> dict[str, CircuitNode]:
    """Return the nodes of the diagram that machines of a machine's type share, by their folded names."""
    machine = rows.get(machine_id) if isinstance(machine_id, UUID) else None
    if not isinstance(machine, Machine):
        return {}
    ids = {one.id for one in of_one_type(machine, (row for row in rows.values() if isinstance(row, Machine)))}
    nodes = (row for row in rows.values() if isinstance(row, CircuitNode) and row.shared and row.machine_id in ids)
    found: dict[str, CircuitNode] = {}
    # of two with one name the diagram shows the one that was entered first
    for node in sorted(nodes, key=lambda row: str(row.id)):
        found.setdefault(folded(node.name), node)
    return found


def as_id(text: str) -> UUID | None:
    """Return the UUID that a text is, in its usual writing; None when it is none."""
    if len(text) != 36 or text[8] != "-":
        return None
    try:
        return UUID(text)
    except ValueError:
        return None


def id_of_named_row(sheet: str, name: Name) -> UUID:
    """Return the id of a new row that has a name: the same on every machine."""
    return derived_id(sheet, *(str(part) for part in name))


class WrittenNames:
    """Knows every row that is written, so that cells can name them."""

    def __init__(self, facts: Mapping[str, Sequence[Fact]]) -> None:
        self._rows: dict[UUID, Fact] = {}
        self._uses: Counter[tuple[object, ...]] = Counter()
        self._kinds: dict[UUID, set[UUID]] = defaultdict(set)
        for sheet, rows in facts.items():
            names = NAME_FIELDS.get(sheet)
            for fact in rows:
                self._rows[fact.id] = fact
                if isinstance(fact, PartFit):
                    self._kinds[fact.part_id].add(fact.part_kind_id)
                if names:
                    self._uses[sheet, *self._name(fact, names)] += 1

    def pointing_cells(self, sheet: str, fact: Fact) -> dict[str, str]:
        """Return what stands under the headings of a row's pointers and of their helpers."""
        columns = [column for column in SHEETS[sheet] if column.form is Form.POINTER]
        cells = dict.fromkeys(helpers_of(SHEETS[sheet]), "")
        # a column of the row's own (the machine of a repair) says which machine the others are on
        own = {column.heading for column in columns if column.by in (By.NAME, By.KEY)}
        for column in sorted(columns, key=lambda column: column.heading not in own):
            target = self._rows.get(getattr(fact, column.field) or fact.id)
            if getattr(fact, column.field) is None:
                cells.setdefault(column.heading, "")
            elif target is None or column.by is By.KEY:
                cells[column.heading] = str(getattr(fact, column.field))
            elif column.by is By.SHARED_NODE and isinstance(target, CircuitNode):
                same = shared_nodes(getattr(fact, "machine_id", None), self._rows).get(folded(target.name)) is target
                cells[column.heading] = guarded(target.name) if same and target.name else str(target.id)
            else:
                self._name_it(cells, column, target, own)
        return cells

    def measure_of(self, fact: Fact) -> Measure:
        """Return the meter and the sensor by which the amounts of a row count."""
        kind, sensor = getattr(fact, "meter_kind", None), getattr(fact, "sensor", None)
        meter = self._rows.get(getattr(fact, "meter_id", fact.id))
        component = self._rows.get(getattr(fact, "component_id", None) or fact.id)
        if hasattr(fact, "meter_id"):
            kind = getattr(meter, "kind", None)
        elif component is not None and hasattr(component, "part_kind_id") and not hasattr(fact, "meter_kind"):
            kind = getattr(self._rows.get(component.part_kind_id), "meter_kind", None)
        elif isinstance(fact, Part):
            meters = {getattr(self._rows.get(one), "meter_kind", None) for one in self._kinds[fact.id]}
            kind = meters.pop() if len(meters) == 1 else None
        return Measure(
            meter=kind if isinstance(kind, MeterKind) else None, sensor=sensor if isinstance(sensor, Sensor) else None
        )

    def _name(self, fact: Fact, names: Iterable[str]) -> tuple[object, ...]:
        return tuple(name_part(getattr(fact, name)) for name in names)

    def _is_own(self, sheet: str, fact: Fact) -> bool:
        """Tell whether the name of a row is no other row's, and no empty text that would name none."""
        name = self._name(fact, NAME_FIELDS[sheet])
        return self._uses[sheet, *name] == 1 and (bool(name[-1]) or sheet == "season_plan")

    def _name_it(self, cells: dict[str, str], column: SheetColumn, target: Fact, own: set[str]) -> None:
        sheet = column.target
        fields = NAME_FIELDS[sheet]
        written = guarded(str(getattr(target, fields[-1])))
        if not self._is_own(sheet, target):
            cells[column.heading] = str(target.id)
        elif len(fields) == 1:
            cells[column.heading] = written
        else:
            helper = "season" if column.by is By.PLAN else "machine"
            owner = self._rows.get(getattr(target, fields[0]))
            owner_cell = self._owner_cell(helper, owner)
            taken = cells.get(helper, "") if helper in own or cells.get(helper) else owner_cell
            if owner is None or not owner_cell or folded(taken) != folded(owner_cell):
                cells[column.heading] = str(target.id)
            else:
                cells[helper], cells[column.heading] = owner_cell, written

    def _owner_cell(self, sheet: str, owner: Fact | None) -> str:
        if owner is None or not self._is_own(sheet, owner):
            return ""
        return guarded(str(getattr(owner, NAME_FIELDS[sheet][0])))
