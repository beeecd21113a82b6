"""The stops as an answer: which machine stood, why, how long, what of it counts; those that nobody closed stand first."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import timedelta
from typing import Final

from wearlog.facts.closed_lists import StopReason
from wearlog.facts.plain_text import one_line
from wearlog.logbook.deed_sentences import standing_sentence
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, RowRule, data, entry_number
from wearlog.present.digits import NOTHING, Measures, duration
from wearlog.present.json_form import rounded
from wearlog.present.words import counted, listed, word
from wearlog.reckoning.work.stops import StopLine

#: open for longer it was probably forgotten
_LONG: Final = timedelta(days=1)


def _counts(row: StopLine, _: Measures) -> str:
    return NOTHING if row.counted_seconds is None else duration(row.counted_seconds)


COLUMNS: Final[tuple[AnswerColumn[StopLine], ...]] = (
    AnswerColumn("now", lambda row, _: "OPEN" if row.is_open else "", least=4, most=4),
    AnswerColumn(
        "from",
        lambda row, measures: measures.moment(row.stop.started_at),
        "since",
        lambda row, _: row.stop.started_at,
        least=16,
        most=16,
        short=[lambda row, measures: measures.day(row.stop.started_at)],
        order=lambda row: row.stop.started_at,
        sort="when",
    ),
    data("until", lambda row, _: row.stop.ended_at),
    AnswerColumn(
        "machine",
        lambda row, _: row.machine,
        "machine",
        lambda row, _: row.machine,
        least=8,
        most=16,
        order=lambda row: row.machine.casefold(),
    ),
    AnswerColumn(
        "why",
        lambda row, _: word(row.stop.reason),
        "reason",
        lambda row, _: row.stop.reason,
        least=9,
        most=30,
        order=lambda row: row.stop.reason.value,
    ),
    AnswerColumn(
        "lasted",
        lambda row, _: duration(row.lasted.total_seconds()),
        "hours",
        lambda row, _: rounded(row.lasted.total_seconds() / 3600, 2),
        least=10,
        figures=True,
        tells_more=True,
        order=lambda row: -row.lasted,
    ),
    AnswerColumn(
        "counts",
        _counts,
        "counted_hours",
        lambda row, _: None if row.counted_seconds is None else rounded(row.counted_seconds / 3600, 2),
        least=10,
        figures=True,
        gives=1,
        tells_more=True,
        order=lambda row: None if row.counted_seconds is None else -row.counted_seconds,
    ),
    data("season", lambda row, _: row.harvest_year),
    AnswerColumn("note", lambda row, _: row.stop.note, "note", lambda row, _: row.stop.note, least=8, most=40, gives=2),
    entry_number(lambda row: row.stop.id, gives=2),
)


def _about(row: StopLine, measures: Measures) -> str:
    if not row.is_open:
        return ""
    return f"{standing_sentence(measures, row.machine, row.stop.reason, row.stop.started_at)}."


def stop_sheet(lines: Sequence[StopLine], measures: Measures) -> AnswerSheet[StopLine]:
    """Return every stop; worth a look are those of the latest season, and those that are open."""
    latest = max((row.harvest_year for row in lines), default=0)
    return AnswerSheet(
        name="stops",
        columns=COLUMNS,
        rows=lines,
        measures=measures,
        headline=_headline(lines, latest),
        sentences=[
            "counts: of a breakdown or service, the time in which the machine could have cut, each minute of a machine once; "
            "nights, rain and moist grain are not in it."
        ],
        empty="No machine has stood yet. 'wearlog stop MACHINE REASON', or on the screen d, enters that one does.",
        rule=RowRule(
            lambda row: row.is_open or row.harvest_year == latest,
            lambda left: f"{counted(left, 'stop')} of earlier seasons: 'wearlog stop --all'.",
        ),
        key_of=lambda row: row.stop.id,
        about=_about,
        shouts=lambda row: row.is_open and row.lasted > _LONG,
    )


def _headline(lines: Sequence[StopLine], latest: int) -> str:
    if not lines:
        return "No machine has stood yet."
    stand = [row.machine for row in lines if row.is_open]
    now = f"{listed(stand)} {'stands' if len(stand) == 1 else 'stand'} now" if stand else "no machine stands now"
    by_reason: dict[StopReason, list[float]] = defaultdict(list)
    for row in lines:
        if row.harvest_year == latest:
            by_reason[row.stop.reason].append(row.lasted.total_seconds())
    most = sorted(by_reason.items(), key=lambda one: -sum(one[1]))
    told = "; ".join(
        f"{word(reason)} {counted(len(seconds), 'time')}, {duration(sum(seconds))}" for reason, seconds in most
    )
    return one_line(f"{latest}: {told}; {now}.")
