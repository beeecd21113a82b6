"""How the cells of a pointer become the id of the row they name, by each of the ways a row can be named."""

from __future__ import annotations

from collections.abc import Callable
from uuid import UUID

from wearlog.errors import UsageError
from wearlog.exchange.cells import read_listed, read_text
from wearlog.exchange.columns import By
from wearlog.exchange.headings import Bindings, BoundColumn
from wearlog.exchange.named_rows import NamedRows
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.plain_text import folded


class Pointer:
    """One pointer column of a sheet; answers for texts met before are remembered."""

    def __init__(self, bound: BoundColumn, bindings: Bindings, named: NamedRows) -> None:
        self.bound = bound
        self.column = bound.column
        helper = "season" if self.column.by is By.PLAN else "machine"
        owned = self.column.by not in (By.NAME, By.KEY)
        self._owner_index = bindings.index_of(helper) if owned else None
        self._owner_sheet = helper
        self._named = named
        self._answers: dict[tuple[str, str, object], UUID] = {}
        self._resolve: Callable[[str, object], UUID] = self._meter if self.column.by is By.METER else self._row

    def resolve(self, cells: list[str], values: dict[str, object]) -> UUID | None:
        """Return the row that the cells name; None when they name none. UsageError when there is no such row."""
        text = cells[self.bound.index]
        owner_text = cells[self._owner_index] if self._owner_index is not None else ""
        if not text and not (self.column.by is By.PLAN and owner_text.strip()):
            return None
        # a sign or a check names a node of the machine that its fault is on, or else of another
        fault = values.get("fault_id") if self.column.by is By.NODE else None
        asked = (owner_text, text, fault)
        if asked not in self._answers:
            self._answers[asked] = self._resolve(read_text(text), self._owner(owner_text.strip(), fault, text))
        return self._answers[asked]

    def _owner(self, owner_text: str, fault: object, text: str) -> UUID | None:
        if owner_text:
            return self._named.find(self._owner_sheet, None, read_text(owner_text))
        row = self._named.rows.get(fault) if isinstance(fault, UUID) else None
        machine_id = getattr(row, "machine_id", None)
        name = (machine_id, folded(read_text(text)))
        return machine_id if self._named.id_of_name(self.column.target, name) else None

    def _row(self, text: str, owner: object) -> UUID:
        if self.column.by is By.KEY:
            found = self._named.id_of_key(self.column.target, text)
            if found is not None:
                return found
        return self._named.find(self.column.target, owner, text)

    def _meter(self, text: str, owner: object) -> UUID:
        by_key = self._named.id_of_key("meter", text)
        if by_key is not None:
            return by_key
        kind = read_listed(text, MeterKind)
        if owner is not None and self._named.id_of_name("meter", (owner, str(kind))) is None:
            machine = getattr(self._named.rows.get(owner), "name", "the machine") if isinstance(owner, UUID) else ""
            what = str(kind).replace("_", " ")
            raise UsageError(f"'{machine}' has no meter of {what}.", "Add it to the sheet meter.")
        return self._named.find("meter", owner, str(kind))
