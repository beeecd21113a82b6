"""Sources of the long lists: breakages of the farm, runs of a combine. Their methods run in threads of the gateway."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Any
from uuid import UUID

from wearlog.facts.component_names import component_name
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import format_positions
from wearlog.present.digits import NOTHING, Measures, duration
from wearlog.present.words import word
from wearlog.tui.draft import CAUSE_KEYS
from wearlog.tui.widgets.list_rows import ListColumn, ListOrder, ListRow

if TYPE_CHECKING:
    from wearlog.logbook.doors import Connection
    from wearlog.reckoning.list_pages import ListQuery
    from wearlog.tui.door import Door


@dataclass(frozen=True, slots=True)
class QuerySource:
    """Rows of a query: `query` makes it for an order, `say` turns a row into words."""

    columns: Sequence[ListColumn]
    query: Callable[[ListOrder], ListQuery]
    say: Callable[[Any, Measures], ListRow]

    def count(self, door: Door, order: ListOrder) -> int:
        from wearlog.reckoning.list_pages import count_rows

        with door.log.reading() as connection:
            return count_rows(connection, self.query(order))

    def page(self, door: Door, order: ListOrder, first: int, size: int) -> Sequence[ListRow]:
        from wearlog.reckoning.list_pages import page_of

        with door.log.reading() as connection:
            measures = _measures(connection)
            return [self.say(row, measures) for row in page_of(connection, self.query(order), first, size)]

    def last_page(self, door: Door, order: ListOrder, first: int, size: int, count: int) -> Sequence[ListRow]:
        from wearlog.reckoning.list_pages import page_from_end

        with door.log.reading() as connection:
            measures = _measures(connection)
            found = page_from_end(connection, self.query(order), first, size, count)
            return [self.say(row, measures) for row in found]

    def place_of(self, door: Door, order: ListOrder, key: Hashable) -> int | None:
        from wearlog.reckoning.list_pages import place_of

        if not isinstance(key, UUID):
            return None
        with door.log.reading() as connection:
            return place_of(connection, self.query(order), key)


def _measures(connection: Connection) -> Measures:
    from wearlog.reckoning.named_things import settings_of

    return Measures(settings_of(connection))


_BREAKAGE_COLUMNS = (
    ListColumn("when", 16, 16, sort="when"),
    ListColumn("machine", 12, 16, weight=1, sort="machine"),
    ListColumn("part", 14, 26, sort="part"),
    ListColumn("positions", 9, 14, weight=3),
    ListColumn("how", 9, 9, weight=4),
    ListColumn("cause", 9, 9, weight=2, sort="cause"),
    ListColumn("done", 8, 8, sort="done"),
    ListColumn("remark", 10, 40, weight=5),
)


def short_word(member: StrEnum) -> str:
    """Return the word of a cause as the entry of a breakage shows it; other members as everywhere."""
    return next((words for _, cause, words in CAUSE_KEYS if cause is member), word(member))


def breakages() -> QuerySource:
    """Return every breakage of the farm."""

    def query(order: ListOrder) -> ListQuery:
        from wearlog.reckoning.long_lists import breakage_query

        return breakage_query(order.words, order.sort, backwards=order.backwards, spoken=short_word)

    return QuerySource(_BREAKAGE_COLUMNS, query, _breakage_row)


def _breakage_row(row: Any, measures: Measures) -> ListRow:
    return ListRow(
        row.id,
        (
            measures.moment(row.at),
            one_line(row.machine),
            component_name(row.place, row.kind),
            format_positions(row.positions),
            word(row.mode),
            short_word(row.cause),
            word(row.action),
            one_line(row.note),
        ),
    )


_RUN_COLUMNS = (
    ListColumn("from", 16, 16, sort="when"),
    ListColumn("area", 9, 10, figures=True, sort="area"),
    ListColumn("took", 9, 11, figures=True, weight=1),
    ListColumn("field", 10, 24, weight=1, sort="field"),
    ListColumn("crop", 8, 16, weight=2, sort="crop"),
    ListColumn("header", 8, 16, weight=3),
)


def runs(combine_id: UUID) -> QuerySource:
    """Return every run of a combine."""

    def query(order: ListOrder) -> ListQuery:
        from wearlog.reckoning.long_lists import run_query

        return run_query(combine_id, order.words, order.sort, backwards=order.backwards)

    return QuerySource(_RUN_COLUMNS, query, _run_row)


def _run_row(row: Any, measures: Measures) -> ListRow:
    took = row.separator_seconds or (row.ended_at - row.started_at).total_seconds()
    return ListRow(
        row.id,
        (
            measures.moment(row.started_at),
            measures.area(row.area_square_metres, 1),
            duration(took),
            one_line(row.field) or NOTHING,
            one_line(row.crop) or NOTHING,
            one_line(row.header) or NOTHING,
        ),
    )
