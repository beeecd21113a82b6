"""The columns of the long lists of breakages and runs, whose rows come page by page from a query."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import Any, Final

from wearlog.facts.closed_lists import Cause
from wearlog.facts.positions import component_name, format_positions
from wearlog.present.answer_sheet import AnswerColumn
from wearlog.present.digits import NOTHING, Measures, duration
from wearlog.present.words import word

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


def _took(row: Any) -> str:
    return duration(row.separator_seconds or (row.ended_at - row.started_at).total_seconds())


def _when(row: Any, measures: Measures) -> str:
    return measures.moment(row.at)


#: rows of `breakage_query`
BREAKAGE_COLUMNS: Final[tuple[AnswerColumn[Any], ...]] = (
    AnswerColumn("when", _when, least=16, most=16, sort="when"),
    AnswerColumn("machine", lambda row, _: row.machine, least=12, most=16, gives=1, sort="machine"),
    AnswerColumn("part", lambda row, _: component_name(row.place, row.kind), least=14, most=26, sort="part"),
    AnswerColumn("positions", lambda row, _: format_positions(row.positions), least=9, most=14, gives=3),
    AnswerColumn("how", lambda row, _: word(row.mode), least=9, most=9, gives=4),
    AnswerColumn("cause", lambda row, _: short_word(row.cause), least=9, most=9, gives=2, sort="cause"),
    AnswerColumn("done", lambda row, _: word(row.action), least=8, most=8, sort="done"),
    AnswerColumn("remark", lambda row, _: row.note, least=10, most=40, gives=5),
)
#: rows of `run_query`
RUN_COLUMNS: Final[tuple[AnswerColumn[Any], ...]] = (
    AnswerColumn("from", lambda row, measures: measures.moment(row.started_at), least=16, most=16, sort="when"),
    AnswerColumn(
        "area",
        lambda row, measures: measures.area(row.area_square_metres, 1),
        least=9,
        most=10,
        figures=True,
        sort="area",
    ),
    AnswerColumn("took", lambda row, _: _took(row), least=9, most=11, figures=True, gives=1),
    AnswerColumn("field", lambda row, _: row.field or NOTHING, least=10, most=24, gives=1, sort="field"),
    AnswerColumn("crop", lambda row, _: row.crop or NOTHING, least=8, most=16, gives=2, sort="crop"),
    AnswerColumn("header", lambda row, _: row.header or NOTHING, least=8, most=16, gives=3),
)
