"""The services as answers: which is due, how much is left, by which day; and the round as numbered lines, machine by machine."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import Final
from uuid import UUID

from wearlog.ids import short_number
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, box, data
from wearlog.present.digits import NOTHING, Measures
from wearlog.present.json_form import rounded
from wearlog.present.words import counted
from wearlog.reckoning.work.services_due import DueStanding, ServiceDue, ServiceLine, pressing

#: how it stands, in a word
STANDING: Final = {
    DueStanding.OVERDUE: "OVERDUE",
    DueStanding.SOON: "soon",
    DueStanding.LATER: "later",
    DueStanding.NEVER_NOTED: "never noted",
}


def left(row: ServiceDue, measures: Measures) -> str:
    """Return "38 h", "12 h over" when it is past, or "now" where neither would be a whole figure."""
    if row.left_usage is None or row.item.meter_kind is None:
        return NOTHING
    text = measures.usage(row.item.meter_kind, abs(row.left_usage))
    if text == measures.usage(row.item.meter_kind, 0):
        return "now"
    return f"{text} over" if row.left_usage < 0 else text


def left_or_by(row: ServiceDue, measures: Measures) -> str:
    """Return what is left on its meter; where it has none, the day by which it is due."""
    has_meter = row.left_usage is not None and row.item.meter_kind is not None
    return left(row, measures) if has_meter or row.due_on is None else measures.day(row.due_on)


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
    AnswerColumn("due in", lambda row, measures: left(row.due, measures), least=8, most=14, figures=True, gives=1),
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


def _left_number(row: ServiceDue, measures: Measures) -> float | None:
    kind = row.item.meter_kind
    return rounded(None if row.left_usage is None or kind is None else measures.usage_number(kind, row.left_usage), 1)


def _left_unit(row: ServiceDue, measures: Measures) -> str | None:
    return None if row.item.meter_kind is None else measures.usage_unit(row.item.meter_kind)


def comes_in(row: ServiceDue) -> str:
    """Return "about 3 days" of cutting until it is due by its meter at the present pace; a dash where nobody can say."""
    if row.days_left is None or row.days_left < 0:
        return NOTHING
    return "today" if row.days_left < 0.5 else f"about {counted(round(row.days_left), 'day')}"


def service_columns(names: Mapping[UUID, str], *, numbered: bool = False) -> tuple[AnswerColumn[ServiceDue], ...]:
    """Return the columns; `names` are those of the machines, `numbered` adds the number of each and its days of cutting."""
    further: tuple[AnswerColumn[ServiceDue], ...] = (
        AnswerColumn(
            "comes in",
            lambda row, _: comes_in(row),
            short=(lambda row, _: comes_in(row).removeprefix("about "),),
            least=8,
            most=14,
            gives=1,
            legend="comes in: days of cutting at the pace of the last days with cutting.",
        ),
        AnswerColumn("no.", lambda row, _: short_number(row.item.id), least=6, most=6, gives=2),
    )
    return (*service_base(names), *(further if numbered else ()))


def service_base(names: Mapping[UUID, str]) -> tuple[AnswerColumn[ServiceDue], ...]:
    """Return the columns that every face has."""
    return (
        AnswerColumn(
            "",
            lambda row, _: STANDING[row.standing],
            least=5,
            most=11,
            short=(lambda row, _: STANDING[row.standing].removesuffix(" noted"),),
        ),
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
            room=28,
            order=lambda row: row.item.name.casefold(),
        ),
        data("standing", lambda row, _: row.standing),
        data("meter", lambda row, _: row.item.meter_kind),
        AnswerColumn("due in", left_or_by, "left", _left_number, least=10, most=14, figures=True, tells_more=True),
        data("left_unit", _left_unit),
        AnswerColumn(
            "by",
            lambda row, measures: measures.day(row.due_on),
            "due_on",
            lambda row, _: row.due_on,
            least=10,
            most=10,
            gives=3,
            order=lambda row: row.due_on,
        ),
        AnswerColumn(
            "last done",
            lambda row, measures: measures.day(row.last_done),
            "last_done",
            lambda row, _: row.last_done,
            least=10,
            most=10,
            gives=4,
            order=lambda row: row.last_done,
        ),
        data("evidence", lambda row, _: row.item.evidence),
        data("entry_number", lambda row, _: short_number(row.item.id)),
        data("cutting_days_left", lambda row, _: rounded(row.days_left, 1)),
        data("halved", lambda row, _: row.item.halved),
        box("done"),
    )


def service_sheet(
    services: Sequence[ServiceDue],
    names: Mapping[UUID, str],
    measures: Measures,
    *,
    which: Callable[[ServiceDue], bool] = lambda row: True,
    numbered: bool = False,
) -> AnswerSheet[ServiceDue]:
    """Return the answer of the services that pass `which`."""
    return AnswerSheet(
        name="services",
        columns=service_columns(names, numbered=numbered),
        rows=[row for row in services if which(row)],
        measures=measures,
        headline=_headline(services),
        empty="Nothing is due. 'wearlog due --all' shows the rest." if services else _NONE,
        key_of=lambda row: row.item.id,
        shouts=lambda row: row.standing is DueStanding.OVERDUE,
    )


_NONE: Final = "No service is on the log. 'wearlog add service usual --on MACHINE' brings in the usual ones."


def due_sentence(row: ServiceDue, names: Mapping[UUID, str], measures: Measures, today: datetime | None = None) -> str:
    """Return one service as a sentence for a page; of this year's days (`today`) without the year."""
    when = left(row, measures)
    until = f" (by {measures.date_said(row.due_on, today)})" if row.due_on else ""
    state = STANDING[row.standing]
    return f"{state}: {names.get(row.machine_id, '')}, {row.item.name}{'' if when == NOTHING else f', {when}'}{until}"


def _headline(services: Sequence[ServiceDue]) -> str:
    due = pressing(services)
    if not due:
        return "No service is due."
    over = sum(row.standing is DueStanding.OVERDUE for row in due)
    return f"{counted(over, 'service')} overdue, {counted(len(due) - over, 'service')} soon due."
