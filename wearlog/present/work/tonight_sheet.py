"""The daily round as an answer: what to grease and look at tonight for tomorrow's hours, machine by machine."""

from __future__ import annotations

from collections.abc import Collection
from typing import Final
from uuid import UUID

from wearlog.facts.cautions import BOOK_COMES_FIRST, sentences_of
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data, entry_number
from wearlog.present.digits import Measures, number
from wearlog.present.json_form import rounded
from wearlog.present.words import capital, counted, listed
from wearlog.present.work.service_sheet import left
from wearlog.reckoning.work.tonight import EveningRound, TonightLine, WhyTonight


def when(line: TonightLine, measures: Measures) -> str:
    """Return "8 h over", "in 3 h", "by 2026-08-02" or "never noted"."""
    due = line.due
    if line.why is WhyTonight.NEVER_NOTED:
        return "never noted"
    if line.why is WhyTonight.TOMORROW:
        ahead = left(due, measures)
        return ahead if ahead == "now" else f"in {ahead}"
    is_over = due.left_usage is not None and due.left_usage <= 0
    return left(due, measures) if is_over else f"by {measures.date_said(due.due_on)}"


def _when_short(line: TonightLine, measures: Measures) -> str:
    return "never" if line.why is WhyTonight.NEVER_NOTED else when(line, measures).removeprefix("by ")


def _tomorrow(line: TonightLine, measures: Measures) -> float | None:
    kind = line.due.item.meter_kind
    return rounded(None if kind is None or line.tomorrow is None else measures.usage_number(kind, line.tomorrow), 1)


def _left(line: TonightLine, measures: Measures) -> float | None:
    kind, usage = line.due.item.meter_kind, line.due.left_usage
    return rounded(None if kind is None or usage is None else measures.usage_number(kind, usage), 1)


_COLUMNS: Final[tuple[AnswerColumn[TonightLine], ...]] = (
    AnswerColumn("machine", lambda row, _: row.machine, "machine", lambda row, _: row.machine, least=6, most=20),
    AnswerColumn(
        "service",
        lambda row, _: row.due.item.name,
        "service",
        lambda row, _: row.due.item.name,
        least=16,
        most=52,
        room=20,
        clauses=True,
    ),
    AnswerColumn("due", when, least=10, most=13, short=(_when_short,)),
    data("why", lambda row, _: row.why),
    data("left", _left),
    data("gains_tomorrow", _tomorrow),
    data(
        "unit",
        lambda row, measures: None if row.due.item.meter_kind is None else measures.usage_unit(row.due.item.meter_kind),
    ),
    data("due_on", lambda row, _: row.due.due_on),
    data("hazard", lambda row, _: row.due.item.hazard),
    entry_number(lambda row: row.due.item.id, gives=2),
)


def tonight_sheet(
    found: EveningRound, measures: Measures, *, ticked: Collection[UUID] | None = None
) -> AnswerSheet[TonightLine]:
    """Return the answer; with `ticked`, the ids of services, a box stands before each line."""
    mark: AnswerColumn[TonightLine] = AnswerColumn(
        "", lambda row, _: "[x]" if row.due.item.id in (ticked or ()) else "[ ]", least=3, most=3
    )
    return AnswerSheet(
        name="tonight",
        columns=_COLUMNS if ticked is None else (mark, *_COLUMNS),
        rows=found.lines,
        measures=measures,
        headline=_headline(found),
        answer=_answer(found),
        sentences=_sentences(found, measures),
        empty="Nothing to do tonight." if found.services else _NONE,
        beside={
            "hours_tomorrow": {name: rounded(hours, 1) for name, hours in found.hours.items()},
            "guessed": sorted(found.guessed),
            "cautions": [*sentences_of(found.hazards), BOOK_COMES_FIRST] if found.hazards else [],
        },
        key_of=lambda row: row.due.item.id,
        shouts=lambda row: row.why is WhyTonight.OVERDUE,
    )


_NONE: Final = "No service is on the log. 'wearlog add service usual --on MACHINE' brings in the usual ones."


def _answer(found: EveningRound) -> str:
    if not found.lines:
        return "Nothing to grease or check tonight."
    machines = dict.fromkeys(one.machine for one in found.lines)
    return f"Tonight {counted(len(found.lines), 'service')} on {listed(list(machines))}."


def _headline(found: EveningRound) -> str:
    return f"{_answer(found)} {_hours(found)}".strip()


def _hours(found: EveningRound) -> str:
    """Say for how long a day the round is."""
    if not found.hours:
        return ""
    each: dict[str, list[str]] = {}
    for name, hours in found.hours.items():
        each.setdefault(f"{number(hours, 1)} h{' (a guess)' if name in found.guessed else ''}", []).append(name)
    if len(each) == 1:
        return f"For {next(iter(each))} of cutting tomorrow."
    return f"For tomorrow's cutting: {'; '.join(f'{listed(names)} {hours}' for hours, names in each.items())}."


def _sentences(found: EveningRound, measures: Measures) -> list[str]:
    said = []
    if found.idle_since is not None:
        said.append(
            f"Nothing was cut since {measures.date_said(found.idle_since)}: the hours are those of the last days with cutting."
        )
    if found.not_on:
        said.append(
            f"{capital(listed(list(found.not_on)))} {'hangs' if len(found.not_on) == 1 else 'hang'} on no combine."
        )
    if found.unnoted:
        one = found.unnoted == 1
        said.append(
            f"{counted(found.unnoted, 'service')} with {'a longer interval was' if one else 'longer intervals were'} never noted "
            "as done: note once when that was, and the log counts on."
        )
    return said
