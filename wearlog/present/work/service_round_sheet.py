"""The service round as an answer: what is to be done machine by machine, numbered, with room to tick and to write."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, box, data
from wearlog.present.digits import Measures
from wearlog.present.work.service_sheet import STANDING, left
from wearlog.reckoning.work.service_round import ServiceLine

_COLUMNS: Final[tuple[AnswerColumn[ServiceLine], ...]] = (
    AnswerColumn("no.", lambda row, _: str(row.number), "number", lambda row, _: row.number, least=3, figures=True),
    box("done"),
    AnswerColumn("machine", lambda row, _: row.machine, "machine", lambda row, _: row.machine, least=8, most=20),
    AnswerColumn(
        "service", lambda row, _: row.due.item.name, "service", lambda row, _: row.due.item.name, least=16, most=44
    ),
    data("item", lambda row, _: row.due.item.id),
    AnswerColumn(
        "", lambda row, _: STANDING[row.due.standing], "standing", lambda row, _: row.due.standing, least=7, most=11
    ),
    AnswerColumn("left", lambda row, measures: left(row.due, measures), least=8, most=14, figures=True, gives=1),
    AnswerColumn(
        "by",
        lambda row, measures: measures.day(row.due.due_on),
        "due_on",
        lambda row, _: row.due.due_on,
        least=10,
        most=10,
        gives=2,
    ),
    box("meter, remarks"),
)


def service_round_sheet(lines: Sequence[ServiceLine], mark: str, measures: Measures) -> AnswerSheet[ServiceLine]:
    """Return the answer; `mark` names the sheet."""
    return AnswerSheet(
        name="lines",
        columns=_COLUMNS,
        rows=lines,
        measures=measures,
        headline=f"Service round (sheet {mark})",
        sentences=(f"'wearlog sheet-in {mark}' takes it in by these numbers: 'LINE done' for each that was done.",),
        empty="No service is overdue, soon due or never noted.",
        beside={"sheet": mark},
        key_of=lambda row: row.number,
    )
