"""The machines as they stand, as an answer: what wants a hand on each, what it hangs on, what its meters show. Reckons nothing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.plain_text import one_line
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import NOTHING, Measures, number
from wearlog.present.drawing.drawn import WANTS_A_HAND
from wearlog.present.json_form import rounded
from wearlog.present.words import counted, word
from wearlog.reckoning.yard.standing import MachineStanding, Meters

# what is reckoned of the machines is named for types alone: the yard's first page waits for no numpy
if TYPE_CHECKING:
    from wearlog.reckoning.faults.fault_list import FaultLine
    from wearlog.reckoning.parts.fitted_now import LeftInService
    from wearlog.reckoning.work.services_due import ServiceDue


@dataclass(frozen=True, slots=True)
class Waits:
    """How much on a machine wants a hand: parts left in service broken, open faults, services overdue."""

    broken: int
    faults: int
    overdue: int

    @property
    def said(self) -> str:
        pieces = (
            (self.broken, f"{self.broken} broken"),
            (self.faults, counted(self.faults, "fault")),
            (self.overdue, f"{self.overdue} overdue"),
        )
        return ", ".join(words for count, words in pieces if count)


@dataclass(frozen=True, slots=True)
class MachineRow:
    """A machine as it stands; `waits` is None while that is not reckoned."""

    standing: MachineStanding
    waits: Waits | None = None

    @property
    def now(self) -> str:
        """How it stands: what wants a hand bears the mark."""
        stands = self.standing.stands
        presses = f"STANDS: {word(stands.reason)}" if stands else self.waits.said if self.waits else ""
        if presses:
            return f"{WANTS_A_HAND} {presses}"
        return "" if self.waits is None else "  nothing waits"


def machine_rows(
    machines: Iterable[MachineStanding],
    left: Sequence[LeftInService],
    faults: Sequence[FaultLine],
    services: Sequence[ServiceDue],
) -> tuple[MachineRow, ...]:
    """Return the machines with what waits on each of them; closed faults and services that are not overdue do not."""
    from wearlog.reckoning.work.services_due import DueStanding

    open_faults = Counter(one.fault.machine_id for one in faults if one.fault.closed_at is None)
    overdue = Counter(one.machine_id for one in services if one.standing is DueStanding.OVERDUE)
    broken: Counter[UUID] = Counter()
    for row in left:
        broken[row.component.machine_id] += len(row.positions)
    here = [(one, one.machine.id) for one in machines]
    return tuple(MachineRow(one, Waits(broken[its], open_faults[its], overdue[its])) for one, its in here)


def machine_sheet(rows: Sequence[MachineRow], measures: Measures) -> AnswerSheet[MachineRow]:
    """Return the answer, in the order of the rows."""
    return AnswerSheet(
        name="machines",
        columns=COLUMNS,
        rows=rows,
        measures=measures,
        empty="No machine yet.",
        key_of=lambda row: row.standing.machine.id,
        shouts=lambda row: row.standing.stands is not None,
    )


def _meter(name: str, seconds: Callable[[Meters], float | None], *, gives: int) -> AnswerColumn[MachineRow]:
    """Return the column of what an hour meter shows."""

    def words(row: MachineRow, _: Measures) -> str:
        shown = seconds(row.standing.shown)
        return NOTHING if shown is None else f"{number(shown / 3600, 1)} h"

    def value(row: MachineRow, _: Measures) -> float | None:
        shown = seconds(row.standing.shown)
        return None if shown is None else rounded(shown / 3600, 1)

    return AnswerColumn(name, words, f"{name}_hours", value, least=10, most=10, figures=True, gives=gives)


def _season(row: MachineRow, measures: Measures) -> str:
    if row.standing.machine.kind not in (MachineKind.COMBINE, MachineKind.HEADER):
        return NOTHING
    area = row.standing.shown.season_area
    return "..." if area is None else measures.area(area)


def _season_value(row: MachineRow, measures: Measures) -> float | None:
    area = row.standing.shown.season_area
    cuts = row.standing.machine.kind in (MachineKind.COMBINE, MachineKind.HEADER)
    return rounded(measures.area_number(area), 1) if cuts and area is not None else None


def _kind(row: MachineRow) -> str:
    return word(row.standing.machine.kind)


def _kind_and_partner(row: MachineRow) -> str:
    one = row.standing
    if one.hitched_to is None:
        return _kind(row)
    verb = "on" if one.machine.kind is MachineKind.HEADER else "with"
    return f"{_kind(row)} {verb} {one_line(one.hitched_to.name)}"


COLUMNS: Final[tuple[AnswerColumn[MachineRow], ...]] = (
    AnswerColumn(
        "machine",
        lambda row, _: row.standing.machine.name,
        "machine",
        lambda row, _: row.standing.machine.name,
        least=12,
        most=18,
    ),
    AnswerColumn(
        "now",
        lambda row, _: row.now,
        "stands",
        lambda row, _: row.standing.stands.reason if row.standing.stands else None,
        least=20,
        most=28,
        tells_more=True,
        drawn=True,
    ),
    data("broken", lambda row, _: row.waits.broken if row.waits else None),
    data("open_faults", lambda row, _: row.waits.faults if row.waits else None),
    data("services_overdue", lambda row, _: row.waits.overdue if row.waits else None),
    AnswerColumn(
        "",
        lambda row, _: _kind_and_partner(row),
        "machine_kind",
        lambda row, _: row.standing.machine.kind,
        least=8,
        most=30,
        gives=4,
        short=(lambda row, _: _kind(row),),
        tells_more=True,
    ),
    data("hitched_to", lambda row, _: row.standing.hitched_to.name if row.standing.hitched_to else None),
    _meter("engine", lambda meters: meters.engine_seconds, gives=1),
    _meter("separator", lambda meters: meters.separator_seconds, gives=2),
    AnswerColumn("this season", _season, "season_{acres}", _season_value, least=11, most=11, figures=True, gives=3),
)
