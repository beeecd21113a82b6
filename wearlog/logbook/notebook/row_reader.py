"""One row of a table: what sort of row it is and what it says, by the way in which its table writes things."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from statistics import median
from typing import Final
from uuid import UUID

from wearlog.logbook.notebook.cell_words import CellSaid
from wearlog.logbook.notebook.days_and_figures import figure_in
from wearlog.logbook.notebook.happened import LedgerMove, joined_said, move_in
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.named_parts import is_generic, kinds_on, machine_of
from wearlog.logbook.notebook.note_entry import Ask, Means
from wearlog.logbook.notebook.row_figures import Context, RowDraft, bare_unit, count_of, seconds_of
from wearlog.logbook.notebook.row_parts import (
    price_told,
    read_breakage,
    read_delivery,
    read_service,
    read_service_beside,
)
from wearlog.logbook.notebook.row_text import NOT_THERE, hear_row, read_text
from wearlog.logbook.notebook.row_work import read_stoppage, read_work
from wearlog.logbook.notebook.table_rows import RawRow
from wearlog.logbook.plain_line.services_told import tells_service

_SAYING: Final = (Holds.PART, Holds.POSITIONS, Holds.WHY, Holds.DONE, Holds.NOTE)

_WORK: Final = (Holds.AREA, Holds.SEPARATOR, Holds.ENGINE, Holds.METER, Holds.AREA_METER)

_WAITED: Final = re.compile(r"\b(?:rain|rained|wet|dew|waiting|waited|truck|wind|moisture|too damp|lunch|weather)\b")

_CREDIT: Final = re.compile(r"\b(?:credit|returned?|sent back|refund|rtn|core)\b")


def read_row(draft: RowDraft) -> None:
    """Understand a row: its means, its entries and its question are set."""
    said = _said_together(draft)
    for one in said.mended:
        draft.grant(one)
    move = _move(draft)
    if move in (LedgerMove.IN, LedgerMove.BACK, LedgerMove.COUNTED):
        what = {LedgerMove.IN: Means.PURCHASE, LedgerMove.BACK: Means.RETURN, LedgerMove.COUNTED: Means.COUNT}[move]
        read_delivery(draft, said, what)
    elif move is LedgerMove.SERVICE or (move is None and _is_service(draft, said)):
        read_service(draft, said)
        if draft.has(_WORK):
            read_work(draft)
    else:
        _read_parts_and_work(draft, said, move)
        read_service_beside(draft)
    _ask_day(draft)


def _said_together(draft: RowDraft) -> CellSaid:
    """Return what the cells of a row say together; what stands in many rows is put together once."""
    cells = draft.cells
    key = (
        cells.get(Holds.PART),
        cells.get(Holds.POSITIONS),
        cells.get(Holds.WHY),
        cells.get(Holds.DONE),
        cells.get(Holds.NOTE),
    )
    found = draft.context.said.get(key)
    if found is None:
        found = draft.context.said[key] = joined_said(_read(draft, one) for one in _SAYING if draft.cell(one))
    return found


def _read(draft: RowDraft, holds: Holds) -> CellSaid:
    words = draft.context.words
    read = {Holds.PART: words.read_part, Holds.POSITIONS: words.read_positions}.get(holds, words.read)
    said = read(draft.cell(holds))
    if said.end == "left" and holds in (Holds.WHY, Holds.DONE):
        return words.as_done(said)
    if holds is Holds.POSITIONS or not draft.context.has(Holds.POSITIONS) or not said.positions:
        return said
    # where positions have a column of their own, figures beside it are none
    if holds is Holds.NOTE and draft.cell(Holds.POSITIONS):
        return words.without_positions(said)
    return said


def _move(draft: RowDraft) -> LedgerMove | None:
    move = move_in(draft.cell(Holds.MOVE)) if draft.cell(Holds.MOVE) else None
    if move is None and is_delivery(draft):
        text = " ".join((draft.cell(Holds.MOVE), draft.cell(Holds.NOTE), draft.cell(Holds.PART))).casefold()
        return LedgerMove.BACK if _CREDIT.search(text) else LedgerMove.IN
    return move


def is_delivery(draft: RowDraft) -> bool:
    """Say whether a row is a line of a bill: pieces with their price, and nothing that says where one went."""
    if not draft.cell(Holds.COUNT) or draft.cell(Holds.POSITIONS) or draft.cell(Holds.WHY) or draft.cell(Holds.STOOD):
        return False
    paper = draft.context.has(Holds.PAPER, Holds.NUMBER)
    has_price = bool(draft.cell(Holds.PRICE) or draft.cell(Holds.COST))
    on_machine = draft.has((Holds.HEADER, Holds.COMBINE, Holds.MACHINE))
    return (paper or not on_machine) and (has_price or paper)


def _is_service(draft: RowDraft, said: CellSaid) -> bool:
    if draft.cell(Holds.SERVICE):
        return not (said.kinds and draft.cell(Holds.POSITIONS))
    text = draft.cell(Holds.PART)
    if not text and not draft.context.has(Holds.PART):
        text = draft.cell(Holds.DONE) or draft.cell(Holds.NOTE)
    if not text or said.positions or not tells_service(text):
        return False
    return not said.kinds or not any(one.mode or one.cause for one in said.said)


def _read_parts_and_work(draft: RowDraft, said: CellSaid, move: LedgerMove | None) -> None:
    plain = said.kinds == 1 and draft.context.has(Holds.PART)
    text = "" if plain else _text_of(draft)
    works = draft.has(_WORK)
    if said.kinds > 1 or (said.kinds and not draft.context.has(Holds.PART)):
        _read_sentence(draft, said, text)
    elif said.kinds or draft.cell(Holds.PART) or move in (LedgerMove.OUT, LedgerMove.BROKE, LedgerMove.PLANNED):
        if said.kinds or not _is_talk(draft, text):
            read_breakage(draft, said)
    elif text and not works:
        _is_talk(draft, text)
    if works:
        read_work(draft)
    if not draft.entries and draft.question is None:
        _say_nothing(draft, text)


def _read_sentence(draft: RowDraft, said: CellSaid, text: str) -> None:
    """Read a sentence about parts as a plain line; by its words where the log has no such part yet, or all are meant."""
    machine = machine_of(draft)
    heard = hear_row(draft, text, machine)
    by_words = said.every or said.end or (heard.question and heard.question.startswith(NOT_THERE))
    if (said.kinds == 1 and by_words) or not read_text(draft, text, machine):
        read_breakage(draft, said)


def _is_talk(draft: RowDraft, text: str) -> bool:
    """Read a text that names no part: as a plain line, or as a time of waiting."""
    stood = seconds_of(draft, Holds.STOOD) or draft.context.words.read(text).stood
    if stood and _WAITED.search(text.casefold()):
        read_stoppage(draft, stood)
        return True
    return bool(text) and read_text(draft, text, machine_of(draft))


def _text_of(draft: RowDraft) -> str:
    pieces = [draft.cell(Holds.PART), draft.cell(Holds.POSITIONS), draft.cell(Holds.WHY), draft.cell(Holds.DONE)]
    return ", ".join(one for one in (" ".join(one for one in pieces if one), draft.cell(Holds.NOTE)) if one)


def _say_nothing(draft: RowDraft, text: str) -> None:
    """A row of which nothing is understood: a remark where only words stand in it, else it is asked about."""
    read = draft.context.words.read(text)
    if text and not (_tells(read) or read.kinds or read.positions or read.count or read.stood or read.money):
        text = ""
    others = [
        one for one in draft.cells if one not in (Holds.NOTE, Holds.DAY, Holds.NOTHING, Holds.PAPER, Holds.MACHINE)
    ]
    others = [one for one in others if one not in (Holds.HEADER, Holds.COMBINE)]
    if not others and (draft.cell(Holds.DAY) == "" or not text):
        draft.means.append(Means.COMMENT)
        return
    draft.means.append(Means.OPEN)
    draft.ask(Ask.MEANING, f"What does '{text[:60] or 'this row'}' mean?", Holds.NOTE)


def _tells(read: CellSaid) -> bool:
    """Say whether words tell what happened or what was done; "went" and "fine" alone do not."""
    return any(one.mode or one.cause or one.action for one in read.said)


def _ask_day(draft: RowDraft) -> None:
    """Ask for the day where it matters and is not clear."""
    if not draft.entries:
        return
    cell = draft.day_cell
    text = draft.cell(Holds.DAY)
    if cell is not None and cell.problem == "impossible":
        draft.ask(Ask.NO_DATE, f"'{text}' is no day that has been.", Holds.DAY)
    elif cell is not None and cell.problem == "two_ways":
        draft.ask(Ask.TWO_DATES, f"'{text}': day first or month first?", Holds.DAY)
    elif draft.day is None and not _may_go_without(draft):
        draft.ask(Ask.DATE, f"Of which day is it? '{text}' says none." if text else "Of which day is it?", Holds.DAY)


def _may_go_without(draft: RowDraft) -> bool:
    """A row with a meter lies between its neighbours; a count belongs to the row above; a season's acres to their season."""
    kinds = {one.what for one in draft.entries}
    has_meter = draft.has((Holds.SEPARATOR, Holds.ENGINE, Holds.METER, Holds.AREA_METER))
    return kinds <= {Means.COUNT, Means.SEASON_ACRES, Means.PLANNED} or has_meter


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
