"""Which id a row gets: its own key, the row of its name, or one derived from what tells it from others, always the same."""

from __future__ import annotations

from collections import Counter
from datetime import datetime
from uuid import UUID

from wearlog.exchange.named_rows import NamedRows, as_id, id_of_named_row, name_part
from wearlog.exchange.sheet_rows import NAME_FIELDS, OWN_FIELDS
from wearlog.ids import derived_id


class RowIds:
    """Gives the ids of one sheet's rows, in their order."""

    def __init__(self, sheet: str, named: NamedRows) -> None:
        self.sheet = sheet
        self._named = named
        self._seen: Counter[str] = Counter()

    def of(self, values: dict[str, object], key: str, position: int | None = None, *, many: bool = False) -> UUID:
        """Return the id of a row, or of one of the `many` fittings of a row.

        A UUID is the id itself. A name that is known keeps its id. Any other key is good for the row as long as it stays. Without
        one, rows that agree in all their `OWN_FIELDS` are told apart by their order.
        """
        own = as_id(key)
        if own is not None:
            return derived_id(self.sheet, str(own), str(position)) if many else own
        if self.sheet in NAME_FIELDS:
            name = tuple(name_part(values.get(field, "")) for field in NAME_FIELDS[self.sheet])
            known = self._named.id_of_name(self.sheet, name)
            if known is not None:
                return known
            return derived_id(self.sheet, key) if key else id_of_named_row(self.sheet, name)
        if key:
            return derived_id(self.sheet, key) if position is None else derived_id(self.sheet, key, str(position))
        content = "\x1e".join(_canonical(values.get(field)) for field in OWN_FIELDS[self.sheet])
        if position is not None:
            content += f"\x1e{position}"
        self._seen[content] += 1
        return derived_id(self.sheet, content, str(self._seen[content]))


def _canonical(value: object) -> str:
    if value is None or value is False:
        return ""
    if isinstance(value, UUID):
        return f"{value.int:x}"
    return value.isoformat() if isinstance(value, datetime) else str(value)
