"""Sources of the long lists: breakages of the farm, runs of a combine, the history. Their methods run in threads of the gateway."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from uuid import UUID

from wearlog.facts.farm_settings import FarmSettings
from wearlog.present.answer_sheet import AnswerColumn
from wearlog.present.daybook_columns import BREAKAGE_COLUMNS, RUN_COLUMNS, short_word
from wearlog.present.deed_sheet import DEED_COLUMNS
from wearlog.present.digits import Measures
from wearlog.tui.widgets.list_rows import ListColumn, ListOrder, ListRow
from wearlog.tui.widgets.sheet_rows import list_columns

if TYPE_CHECKING:
    from wearlog.logbook.doors import Connection
    from wearlog.reckoning.list_pages import ListQuery
    from wearlog.tui.door import Door


@dataclass(frozen=True, slots=True)
class QuerySource:
    """Rows of a query under the columns of their answer: `query` makes it for an order."""

    answer: Sequence[AnswerColumn[Any]]
    query: Callable[[ListOrder], ListQuery]

    @property
    def columns(self) -> Sequence[ListColumn]:
        # no heading of these tells a unit
        return list_columns(self.answer, Measures(FarmSettings()))

    def _said(self, connection: Connection, rows: Iterable[Any]) -> list[ListRow]:
        from wearlog.logbook.doors import settings_of

        measures = Measures(settings_of(connection))
        return [ListRow(row.id, tuple(column.cell(row, measures) for column in self.answer)) for row in rows]

    def count(self, door: Door, order: ListOrder) -> int:
        from wearlog.reckoning.list_pages import count_rows

        with door.log.reading() as connection:
            return count_rows(connection, self.query(order))

    def page(self, door: Door, order: ListOrder, first: int, size: int) -> Sequence[ListRow]:
        from wearlog.reckoning.list_pages import page_of

        with door.log.reading() as connection:
            return self._said(connection, page_of(connection, self.query(order), first, size))

    def last_page(self, door: Door, order: ListOrder, first: int, size: int, count: int) -> Sequence[ListRow]:
        from wearlog.reckoning.list_pages import page_from_end

        with door.log.reading() as connection:
            return self._said(connection, page_from_end(connection, self.query(order), first, size, count))

    def place_of(self, door: Door, order: ListOrder, key: Hashable) -> int | None:
        from wearlog.reckoning.list_pages import place_of

        if not isinstance(key, UUID):
            return None
        with door.log.reading() as connection:
            return place_of(connection, self.query(order), key)


def breakages() -> QuerySource:
    """Return every breakage of the farm."""

    def query(order: ListOrder) -> ListQuery:
        from wearlog.reckoning.long_lists import breakage_query

        return breakage_query(order.words, order.sort, backwards=order.backwards, spoken=short_word)

    return QuerySource(BREAKAGE_COLUMNS, query)


def runs(combine_id: UUID) -> QuerySource:
    """Return every run of a combine."""

    def query(order: ListOrder) -> ListQuery:
        from wearlog.reckoning.long_lists import run_query

        return run_query(combine_id, order.words, order.sort, backwards=order.backwards)

    return QuerySource(RUN_COLUMNS, query)


def deeds() -> QuerySource:
    """Return everything that was ever entered."""

    def query(order: ListOrder) -> ListQuery:
        from wearlog.reckoning.long_lists import deed_query

        return deed_query(order.words, order.sort, backwards=order.backwards)

    return QuerySource(DEED_COLUMNS, query)
