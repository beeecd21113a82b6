"""The page of the yard before anything is reckoned: the machines alone. It loads nothing of the maths."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from uuid import UUID

from wearlog.facts.plain_text import one_line
from wearlog.present.answer_sheet import AnswerSheet
from wearlog.present.digits import Measures
from wearlog.present.yard.machine_sheet import MachineRow, machine_sheet

# the screens load this page and not the log
if TYPE_CHECKING:
    from wearlog.reckoning.yard.yard_glance import YardGlance


@dataclass(frozen=True, slots=True)
class YardPage:
    """The page. `share` is how much of the planned area is cut, None when nobody planned; lines None are not reckoned yet."""

    title: str
    next_step: str
    machines: AnswerSheet[MachineRow]
    due: tuple[str, ...] | None
    faults: tuple[str, ...] | None
    low: tuple[str, ...] | None
    left: tuple[str, ...] | None
    harvest: str
    share: float | None
    #: what presses behind the first, counted
    then: str = ""
    #: the machine that the first sentence speaks of
    first: UUID | None = None

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
        machines=machine_sheet(tuple(MachineRow(one) for one in glance.machines), measures),
        due=None,
        faults=None,
        low=None,
        left=None,
        harvest="",
        share=None,
    )
