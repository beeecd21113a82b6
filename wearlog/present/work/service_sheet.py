"""The services as an answer: which is due, on which machine, how much is left, by which day; what presses stands first."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final
from uuid import UUID

from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, box, data
from wearlog.present.digits import NOTHING, Measures
from wearlog.present.json_form import rounded
from wearlog.present.words import counted
from wearlog.reckoning.work.services_due import DueStanding, ServiceDue, pressing

_STANDING: Final = {
    DueStanding.OVERDUE: "OVERDUE",
    DueStanding.SOON: "soon",
    DueStanding.LATER: "later",
    DueStanding.NEVER_NOTED: "never noted",
}


def left(row: ServiceDue, measures: Measures) -> str:
    """Return "38 h", or "12 h over" when it is past."""
    if row.left_usage is None or row.item.meter_kind is None:
        return NOTHING
    text = measures.usage(row.item.meter_kind, abs(row.left_usage))
    return f"{text} over" if row.left_usage < 0 else text


def _left_number(row: ServiceDue, measures: Measures) -> float | None:
    kind = row.item.meter_kind
    return rounded(None if row.left_usage is None or kind is None else measures.usage_number(kind, row.left_usage), 1)


def _left_unit(row: ServiceDue, measures: Measures) -> str | None:
    return None if row.item.meter_kind is None else measures.usage_unit(row.item.meter_kind)


def service_columns(names: Mapping[UUID, str]) -> tuple[AnswerColumn[ServiceDue], ...]:
    """Return the columns; `names` are those of the machines."""
    return (
        AnswerColumn("", lambda row, _: _STANDING[row.standing], least=7, most=11),
        AnswerColumn(
            "machine",
            lambda row, _: names.get(row.machine_id, NOTHING),
            "machine",
            lambda row, _: names.get(row.machine_id),
            least=8,
            most=20,
            order=lambda row: names.get(row.machine_id, "").casefold(),
        ),
        AnswerColumn(
            "service",
            lambda row, _: row.item.name,
            "service",
            lambda row, _: row.item.name,
            least=16,
            most=44,
            order=lambda row: row.item.name.casefold(),
        ),
        data("standing", lambda row, _: row.standing),
        data("meter", lambda row, _: row.item.meter_kind),
        AnswerColumn("left", left, "left", _left_number, least=8, most=14, figures=True),
        data("left_unit", _left_unit),
        AnswerColumn(
            "by",
            lambda row, measures: measures.day(row.due_on),
            "due_on",
            lambda row, _: row.due_on,
            least=10,
            most=10,
            gives=1,
            order=lambda row: row.due_on,
        ),
        AnswerColumn(
            "last done",
            lambda row, measures: measures.day(row.last_done),
            "last_done",
            lambda row, _: row.last_done,
            least=10,
            most=10,
            gives=2,
            order=lambda row: row.last_done,
        ),
        data("evidence", lambda row, _: row.item.evidence),
        box("done"),
    )


def service_sheet(
    services: Sequence[ServiceDue],
    names: Mapping[UUID, str],
    measures: Measures,
    *,
    which: Callable[[ServiceDue], bool] = lambda row: True,
) -> AnswerSheet[ServiceDue]:
    """Return the answer of the services that pass `which`."""
    return AnswerSheet(
        name="services",
        columns=service_columns(names),
        rows=[row for row in services if which(row)],
        measures=measures,
        headline=_headline(services),
        empty="Nothing is due. 'wearlog due --all' shows the rest." if services else _NONE,
        key_of=lambda row: row.item.id,
        shouts=lambda row: row.standing is DueStanding.OVERDUE,
    )


_NONE: Final = "No service is on the log; a sheet of service items brings them in, see docs/import-format.md."


def due_sentence(row: ServiceDue, names: Mapping[UUID, str], measures: Measures) -> str:
    """Return one service as a sentence for a page."""
    when = left(row, measures)
    until = f" (by {measures.day(row.due_on)})" if row.due_on else ""
    state = _STANDING[row.standing]
    return f"{state}: {names.get(row.machine_id, '')}, {row.item.name}{'' if when == NOTHING else f', {when}'}{until}"


def _headline(services: Sequence[ServiceDue]) -> str:
    due = pressing(services)
    if not due:
        return "No service is due."
    over = sum(row.standing is DueStanding.OVERDUE for row in due)
    return f"{counted(over, 'service')} overdue, {counted(len(due) - over, 'service')} soon due."
