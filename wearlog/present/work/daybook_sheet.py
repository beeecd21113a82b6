"""Runs and breakages as answers. The screens' long lists are made of the same columns, page by page from a query."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import StrEnum
from types import MappingProxyType
from typing import Any, Final

from wearlog.facts.closed_lists import Action, Cause
from wearlog.facts.positions import at_positions, component_name, format_positions
from wearlog.present.answer_sheet import ONLY_WITH_ROOM, AnswerColumn, AnswerSheet, data, entry_number
from wearlog.present.digits import NOTHING, Measures, duration
from wearlog.present.json_form import rounded
from wearlog.present.words import counted, word

#: a cause in one short word, as the entry of a breakage shows it
CAUSE_SHORT: Final[Mapping[StrEnum, str]] = MappingProxyType(
    {
        Cause.IMPACT: "rock",
        Cause.WEAR: "wear",
        Cause.FATIGUE: "fatigue",
        Cause.LOOSE: "loose",
        Cause.SECONDARY: "secondary",
        Cause.UNKNOWN: "not known",
    }
)


def short_word(member: StrEnum) -> str:
    """Return the short word of a cause; other members as everywhere."""
    return CAUSE_SHORT.get(member) or word(member)


def _took_seconds(row: Any) -> float:
    return float(row.separator_seconds or (row.ended_at - row.started_at).total_seconds())


def _part(row: Any, _: Measures) -> str:
    return component_name(row.place, row.kind)


#: rows of `breakage_query`
BREAKAGE_COLUMNS: Final[tuple[AnswerColumn[Any], ...]] = (
    AnswerColumn(
        "when",
        lambda row, measures: measures.moment(row.at),
        "at",
        lambda row, _: row.at,
        least=16,
        most=16,
        sort="when",
    ),
    AnswerColumn(
        "machine",
        lambda row, _: row.machine,
        "machine",
        lambda row, _: row.machine,
        least=11,
        most=16,
        gives=1,
        sort="machine",
    ),
    AnswerColumn("part", _part, "part", lambda row, _: row.kind, least=14, most=31, sort="part", clauses=True),
    data("place", lambda row, _: row.place),
    AnswerColumn(
        "positions",
        lambda row, _: format_positions(row.positions),
        "positions",
        lambda row, _: row.positions,
        least=9,
        most=14,
        gives=3,
    ),
    AnswerColumn("how", lambda row, _: word(row.mode), "mode", lambda row, _: row.mode, least=9, most=9, gives=4),
    AnswerColumn(
        "cause",
        lambda row, _: short_word(row.cause),
        "cause",
        lambda row, _: row.cause,
        least=9,
        most=9,
        gives=2,
        sort="cause",
    ),
    AnswerColumn(
        "done", lambda row, _: done_said(row.action), "action", lambda row, _: row.action, least=8, most=8, sort="done"
    ),
    AnswerColumn(
        "remark",
        lambda row, _: row.note,
        "note",
        lambda row, _: row.note,
        least=10,
        most=40,
        gives=ONLY_WITH_ROOM,
        clauses=True,
    ),
    data("breakage", lambda row, _: row.id),
    entry_number(lambda row: row.id, gives=2),
)
#: rows of `run_query`
RUN_COLUMNS: Final[tuple[AnswerColumn[Any], ...]] = (
    AnswerColumn(
        "from",
        lambda row, measures: measures.moment(row.started_at),
        "started_at",
        lambda row, _: row.started_at,
        least=16,
        most=16,
        sort="when",
    ),
    data("ended_at", lambda row, _: row.ended_at),
    AnswerColumn(
        "area",
        lambda row, measures: measures.area(row.area_square_metres, 1),
        "{acres}",
        lambda row, measures: rounded(measures.area_number(row.area_square_metres), 2),
        least=9,
        most=10,
        figures=True,
        sort="area",
    ),
    AnswerColumn(
        "took",
        lambda row, _: duration(_took_seconds(row)),
        "hours",
        lambda row, _: rounded(_took_seconds(row) / 3600, 2),
        least=9,
        most=11,
        figures=True,
        gives=1,
        tells_more=True,
    ),
    data(
        "separator_hours",
        lambda row, _: None if row.separator_seconds is None else rounded(row.separator_seconds / 3600, 2),
    ),
    AnswerColumn(
        "field",
        lambda row, _: row.field or NOTHING,
        "field",
        lambda row, _: row.field or None,
        least=10,
        most=24,
        gives=1,
        sort="field",
    ),
    AnswerColumn(
        "crop",
        lambda row, _: row.crop or NOTHING,
        "crop",
        lambda row, _: row.crop or None,
        least=8,
        most=16,
        gives=2,
        sort="crop",
    ),
    AnswerColumn(
        "header",
        lambda row, _: row.header or NOTHING,
        "header",
        lambda row, _: row.header or None,
        least=8,
        most=16,
        gives=3,
    ),
    data("run", lambda row, _: row.id),
    entry_number(lambda row: row.id, gives=2),
)
#: where the runs of all combines stand in one list
_COMBINE: Final[AnswerColumn[Any]] = AnswerColumn(
    "combine", lambda row, _: row.combine, "combine", lambda row, _: row.combine, least=8, most=16
)


def run_sheet(rows: Sequence[Any], count: int, measures: Measures, *, words: str = "") -> AnswerSheet[Any]:
    """Return runs as they are given, of `count` that the words find."""
    cut, took = sum(row.area_square_metres for row in rows), sum(_took_seconds(row) for row in rows)
    return AnswerSheet(
        "runs",
        (RUN_COLUMNS[0], _COMBINE, *RUN_COLUMNS[1:]),
        rows,
        measures,
        headline=f"{_latest(len(rows), count, 'run')}: {measures.area(cut, 1)} in {duration(took)}.",
        sentences=["took: separator hours where they were noted, else from the beginning to the end."] if rows else [],
        empty=_none(words, "Nothing was cut yet. 'wearlog cut COMBINE AREA --hours H' enters a run."),
        beside={"count": count},
        key_of=lambda row: row.id,
    )


def breakage_sheet(rows: Sequence[Any], count: int, measures: Measures, *, words: str = "") -> AnswerSheet[Any]:
    """Return breakages as they are given, of `count` that the words find."""
    return AnswerSheet(
        "breakages",
        BREAKAGE_COLUMNS,
        rows,
        measures,
        headline=f"{_latest(len(rows), count, 'breakage')}.",
        empty=_none(words, "Nothing has broken yet. 'wearlog log' enters what breaks, in plain words."),
        beside={"count": count},
        key_of=lambda row: row.id,
    )


def _latest(shown: int, count: int, thing: str) -> str:
    if shown == count:
        return counted(count, thing)
    return f"The latest {shown:,} of {counted(count, thing)} ('--last {count}' shows all)"


def _none(words: str, never: str) -> str:
    return f"Nothing was found for '{words}'." if words else never


def done_said(action: Action) -> str:
    """Return what was done for a list; what is left in service runs on broken, and "left" alone reads as a side."""
    return "runs on" if action is Action.LEFT else word(action)


def breakage_sentences(
    rows: Sequence[Any], count: int, measures: Measures, *, stood: float | None = None
) -> tuple[str, str]:
    """Say the last of so many breakages; `rows` begin with it, and the machine `stood` so many seconds for it, where noted."""
    if not rows:
        return "Nothing has broken yet.", "b logs a breakage."
    row = rows[0]
    cause = "cause not known" if row.cause is Cause.UNKNOWN else short_word(row.cause)
    said = f"{row.machine} {at_positions(_part(row, measures), row.positions or ())}, {cause}"
    done = f"runs broken since {measures.date_said(row.at)}"
    if row.action is not Action.LEFT:
        done = f"{word(row.action)}, on {measures.date_said(row.at)}"
    lost = "how long it stood is not noted" if stood is None else f"stood {duration(stood)}"
    return (
        f"The last breakage: {said}, {done}; {lost}.",
        f"{counted(count, 'breakage')} in all.",
    )


def run_sentences(rows: Sequence[Any], count: int, combine: str, measures: Measures) -> tuple[str, str]:
    """Say what a combine cut last; `rows` begin with it."""
    if not rows:
        return f"Nothing is cut with {combine} yet.", "c enters an area cut."
    row = rows[0]
    area = measures.area(row.area_square_metres, 1)
    where = ", ".join(one for one in (row.field, row.crop) if one)
    said = f"{area} on {where}" if where else area
    return f"{combine} cut last: {said}, on {measures.date_said(row.started_at)}.", f"{counted(count, 'run')} in all."
