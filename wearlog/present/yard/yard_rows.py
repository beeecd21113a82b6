"""The machines of the yard in words, and the page with only them on it: all that is told before anything is reckoned."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.plain_text import one_line
from wearlog.present.digits import NOTHING, Measures, number
from wearlog.present.drawing.drawn import WANTS_A_HAND
from wearlog.present.words import word
from wearlog.reckoning.yard.yard_glance import MachineStanding, YardGlance


@dataclass(frozen=True, slots=True)
class MachineRow:
    """A machine in words; `state` is a word such as STANDS, or empty."""

    machine_id: UUID
    name: str
    kind: str
    engine: str
    separator: str
    season: str
    hitched: str
    state: str
    #: what on it wants a hand, counted; None while that is not reckoned
    waits: str | None = None

    @property
    def now(self) -> str:
        """How it stands: what wants a hand bears the mark."""
        if self.state or self.waits:
            return f"{WANTS_A_HAND} {self.state or self.waits}"
        return "" if self.waits is None else "  nothing waits"


@dataclass(frozen=True, slots=True)
class YardPage:
    """The page. `share` is how much of the planned area is cut, None when nobody planned; lines None are not reckoned yet."""

    title: str
    next_step: str
    machines: tuple[MachineRow, ...]
    due: tuple[str, ...] | None
    faults: tuple[str, ...] | None
    low: tuple[str, ...] | None
    left: tuple[str, ...] | None
    harvest: str
    share: float | None
    #: what presses behind the first, counted
    then: str = ""

    @property
    def answer(self) -> str:
        """What to do first, as one sentence; while it is reckoned that this is done."""
        first = self.next_step
        return first if self.due is None or self.nothing else f"FIRST {first[:1].lower()}{first[1:]}"

    @property
    def nothing(self) -> bool:
        """Whether nothing presses."""
        return not (self.due or self.faults or self.low or self.left) and self.next_step.startswith("Nothing")


def yard_glance_page(glance: YardGlance) -> YardPage:
    """Say what is known of a yard at once."""
    measures = Measures(glance.settings)
    return YardPage(
        title=one_line(glance.settings.farm_name) or "The yard",
        next_step="Reckoning ages and services ...",
        machines=tuple(machine_row(one, measures) for one in glance.machines),
        due=None,
        faults=None,
        low=None,
        left=None,
        harvest="",
        share=None,
    )


def machine_row(one: MachineStanding, measures: Measures) -> MachineRow:
    """Say a machine as it stands."""
    return MachineRow(
        machine_id=one.machine.id,
        name=one_line(one.machine.name),
        kind=word(one.machine.kind),
        engine=_hours(one.shown.engine_seconds),
        separator=_hours(one.shown.separator_seconds),
        season=_season(one, measures),
        hitched=_hitched(one),
        state=f"STANDS: {word(one.stands.reason)}" if one.stands else "",
    )


def _season(one: MachineStanding, measures: Measures) -> str:
    if one.machine.kind not in (MachineKind.COMBINE, MachineKind.HEADER):
        return NOTHING
    return "..." if one.shown.season_area is None else measures.area(one.shown.season_area)


def _hitched(one: MachineStanding) -> str:
    if one.hitched_to is None:
        return ""
    verb = "on" if one.machine.kind is MachineKind.HEADER else "with"
    return f"{verb} {one_line(one.hitched_to.name)}"


def _hours(seconds: float | None) -> str:
    return NOTHING if seconds is None else f"{number(seconds / 3600, 1)} h"
