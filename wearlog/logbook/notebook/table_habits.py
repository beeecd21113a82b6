"""How one table writes things: the unit of its bare figures, whether "hours" are a meter's, what one of a kind costs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from statistics import median
from uuid import UUID

from wearlog.logbook.notebook.figures import figure_in
from wearlog.logbook.notebook.happened import joined_said
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.named_parts import is_generic, kinds_on
from wearlog.logbook.notebook.row_draft import Context, RowDraft
from wearlog.logbook.notebook.row_figures import bare_unit, count_of
from wearlog.logbook.notebook.row_parts import price_told
from wearlog.logbook.notebook.table_rows import RawRow

_A_DAY_OF_WORK = 24


def habits_of(context: Context, rows: Sequence[RawRow]) -> None:
    """Look over the rows of a table, and note its habits in the context."""
    for holds in (Holds.STOOD, Holds.LABOUR, Holds.WORKED):
        if context.has(holds):
            texts = [row.cells[holds] for row in rows if row.means is None and holds in row.cells]
            usual = "h" if holds is Holds.WORKED else bare_unit(texts, decimal_comma=context.decimal_comma)
            context.bare[holds] = usual
    if context.has(Holds.METER):
        context.bare[Holds.METER] = _meter_habit(context, rows)
    if context.has(Holds.PRICE, Holds.COST) and context.has(Holds.COUNT):
        context.each_price = _prices(context, rows)


def _meter_habit(context: Context, rows: Sequence[RawRow]) -> str:
    """Return "worked" where figures are the hours of a day, "" where they go on like a meter's."""
    figures = [
        figure.value
        for row in rows
        if row.means is None
        and (text := row.cells.get(Holds.METER))
        and (figure := figure_in(text, decimal_comma=context.decimal_comma)) is not None
    ]
    return "worked" if figures and max(figures) <= _A_DAY_OF_WORK else ""


def _prices(context: Context, rows: Sequence[RawRow]) -> dict[UUID, int]:
    """Return what one of each kind costs, by the rows whose own words say it."""
    told: dict[UUID, list[int]] = defaultdict(list)
    for row in rows:
        if row.means is not None or Holds.COUNT not in row.cells or Holds.PART not in row.cells:
            continue
        draft = RowDraft(context, row.cells, row.day, row.day_cell)
        said = joined_said([context.words.read(row.cells[Holds.PART])])
        kinds = kinds_on(draft, said, None)
        count, _ = count_of(draft)
        price = price_told(draft, count)
        if price is not None and len(kinds) == 1 and not is_generic(draft, said, None):
            told[next(iter(kinds))].append(price)
    return {kind: round(median(prices)) for kind, prices in told.items()}
