"""The electrical faults as an answer: the open ones first, what each was, how often it came, how long it has been quiet."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data, entry_number
from wearlog.present.digits import NOTHING, Measures, number
from wearlog.present.json_form import rounded
from wearlog.present.words import counted, listed, ordinal, word
from wearlog.reckoning.faults.fault_list import FaultLine

#: the keys of the columns of the page on paper, where all are open
PRINTED: Final = ("number", "machine", "title", "opened", "episode", "mode")


def is_open(row: FaultLine) -> bool:
    """Whether it is still looked for."""
    return row.fault.closed_at is None


def _finding(row: FaultLine, _: Measures) -> str:
    if row.finding is None:
        return NOTHING
    at = f" at {row.node}" if row.node else ""
    return f"{word(row.finding.mode)}{at}"


def _found(value: Callable[[Any], Any]) -> Callable[[FaultLine, Measures], Any]:
    return lambda row, _: value(row.finding) if row.finding else None


def _quiet(row: FaultLine, _: Measures) -> str:
    return NOTHING if row.quiet_seconds is None else f"{number(row.quiet_seconds / 3600)} h"


def namesakes(row: FaultLine, faults: Sequence[FaultLine]) -> list[FaultLine]:
    """Return the other faults of its machine that are called the same, where any of them is of another trail."""

    def name(one: FaultLine) -> tuple[UUID, str]:
        return one.fault.machine_id, one.fault.title.casefold()

    if row.beside:
        return []
    same = [one for one in faults if one is not row and not one.beside and name(one) == name(row)]
    return same if len(same) + 1 > row.of else []


def _times(row: FaultLine, faults: Sequence[FaultLine]) -> str:
    """Which time of how many; what came once, and whether another of its name is another fault."""
    if row.of > 1:
        return f"{row.nth} of {row.of}"
    if row.beside:
        return f"as {row.beside}"
    return "apart" if namesakes(row, faults) else "once"


def fault_columns(names: Mapping[UUID, str], faults: Sequence[FaultLine] = ()) -> tuple[AnswerColumn[FaultLine], ...]:
    """Return the columns; `names` are those of the machines, `faults` all that there are."""
    return (
        AnswerColumn(
            "no.",
            lambda row, _: str(row.number),
            "number",
            lambda row, _: row.number,
            least=3,
            most=4,
            figures=True,
            gives=6,
        ),
        data("id", lambda row, _: row.fault.id),
        AnswerColumn("", lambda row, _: "OPEN" if is_open(row) else "past", least=4, most=4),
        AnswerColumn(
            "machine",
            lambda row, _: names.get(row.fault.machine_id, NOTHING),
            "machine",
            lambda row, _: names.get(row.fault.machine_id),
            least=8,
            most=16,
            gives=2,
        ),
        data("circuit", lambda row, _: row.fault.circuit),
        AnswerColumn(
            "fault", lambda row, _: row.fault.title, "title", lambda row, _: row.fault.title, least=20, most=44, room=44
        ),
        AnswerColumn(
            "opened",
            lambda row, measures: measures.day(row.fault.opened_at),
            "opened",
            lambda row, _: row.fault.opened_at,
            least=10,
            most=10,
            gives=3,
        ),
        data("closed", lambda row, _: row.fault.closed_at),
        data("conditions", lambda row, _: list(row.fault.conditions)),
        data("signs", lambda row, _: len(row.signs)),
        data("checks", lambda row, _: len(row.checks)),
        AnswerColumn(
            "came",
            lambda row, _: _times(row, faults),
            "episode",
            lambda row, _: row.nth,
            least=6,
            most=8,
            gives=3,
        ),
        data("episodes", lambda row, _: row.of),
        AnswerColumn("found", _finding, "mode", _found(lambda found: found.mode), least=12, most=40, room=40, gives=4),
        data("node", lambda row, _: row.node or None),
        data("fix", _found(lambda found: found.fix)),
        data("evidence", _found(lambda found: found.evidence)),
        AnswerColumn(
            "quiet for",
            _quiet,
            "quiet_engine_hours",
            lambda row, _: None if row.quiet_seconds is None else rounded(row.quiet_seconds / 3600, 1),
            least=9,
            most=9,
            figures=True,
            gives=5,
        ),
        entry_number(lambda row: row.fault.id, gives=3, title="entry"),
    )


def fault_sheet(
    faults: Sequence[FaultLine], names: Mapping[UUID, str], measures: Measures, *, only_open: bool = False
) -> AnswerSheet[FaultLine]:
    """Return the answer, of all faults or of the open ones."""
    still = sum(is_open(row) for row in faults)
    first = next((fault_sentence(row, names, measures) for row in faults if is_open(row)), "")
    answer = f"{counted(still, 'fault')} open: {first}." if still else "Nothing electrical is open."
    return AnswerSheet(
        name="faults",
        columns=fault_columns(names, faults),
        rows=[row for row in faults if is_open(row) or not only_open],
        measures=measures,
        headline=f"{answer} {counted(len(faults) - still, 'fault')} past." if faults else "",
        answer=answer,
        empty="No fault is open."
        if only_open
        else "No fault yet. 'wearlog faults open' opens one; on the screen a does.",
        key_of=lambda row: row.fault.id,
        about=lambda row, measures: _about(row, faults, names, measures),
        shouts=is_open,
    )


def _about(row: FaultLine, faults: Sequence[FaultLine], names: Mapping[UUID, str], measures: Measures) -> str:
    """What it was, how often it came and what was found: what a narrow list has no room for."""
    found = f" Found: {_finding(row, measures)}." if row.finding else ""
    quiet = f" Quiet for {_quiet(row, measures)} of the engine." if row.quiet_seconds is not None else ""
    same = [measures.date_said(one.fault.opened_at) for one in namesakes(row, faults)]
    beside = f" Opened while no. {row.beside} was open: the same time, told twice." if row.beside else ""
    apart = f" Not linked with {listed(same)} of the same name: other signs or places." if same else ""
    return f"{fault_sentence(row, names, measures)}.{found}{quiet}{beside}{apart}"


def fault_sentence(row: FaultLine, names: Mapping[UUID, str], measures: Measures, today: datetime | None = None) -> str:
    """Return one fault as a sentence for a page; of this year's days (`today`) without the year."""
    again = f"; here for the {ordinal(row.nth)} time" if row.nth > 1 else ""
    since = measures.date_said(row.fault.opened_at, today)
    return f"{names.get(row.fault.machine_id, '')}: {row.fault.title}, since {since}{again}"
