"""What the lives of a kind consist of, counted: how they ended, which were left out and why. Fits nothing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wearlog.reckoning.kind_life import FleetLives
from wearlog.store.histories import NONE


@dataclass(frozen=True, slots=True)
class LifeCounts:
    """Lives of one kind.

    Attributes
    ----------
    worn, impact, secondary : int
        Ended by wear (worn, fatigue, loosened, cause unknown), by a stone, by another breakage.
    removed : int
        Taken off whole.
    running : int
        Still running whole.
    unknown_age : int
        Of all these: not used for ages, because nobody knows the age.
    unmoved : int
        Worn out before their meter had moved; not used for ages either.
    entered_late : int
        Came under watch at a known age: fitted used, moved from another machine, or mended and run on.
    between : int
        Worn lives whose end is only known to lie between two measurements.
    in_service_failed : int
        Parts that broke, or were measured past their limit, and are still fitted.
    """

    worn: int
    impact: int
    secondary: int
    removed: int
    running: int
    unknown_age: int
    unmoved: int
    entered_late: int
    between: int
    in_service_failed: int

    @property
    def total(self) -> int:
        return self.worn + self.impact + self.secondary + self.removed + self.running


def life_counts(lives: FleetLives, number: int, machine: int = NONE) -> LifeCounts:
    """Count the lives of a kind, of the whole fleet or of one machine."""
    records, fittings = lives.records, lives.farm.histories.fittings
    mine = records.part_kind == number
    of_kind = lives.farm.histories.components.part_kind[fittings.component] == number
    if machine != NONE:
        mine &= records.machine == machine
        of_kind &= lives.ages.machine == machine
    ended, known = records.ended_by[mine], ~np.isnan(records.exit[mine])
    on = of_kind & lives.ages.on & (fittings.fitted_at <= lives.farm.now_microseconds)
    running = int((on & ~records.failed_fitting).sum())
    worn = ended == 1
    return LifeCounts(
        worn=int(worn.sum()),
        impact=int((ended == 2).sum()),
        secondary=int((ended == 3).sum()),
        removed=max(int((ended == 0).sum()) - running, 0),
        running=min(running, int((ended == 0).sum())),
        unknown_age=int((~known).sum()),
        unmoved=int((worn & known & (records.exit[mine] <= records.entry[mine])).sum()),
        entered_late=int((records.entry[mine] > 0).sum()),
        between=int((worn & known & (records.last_seen[mine] < records.exit[mine])).sum()),
        in_service_failed=int((on & records.failed_fitting).sum()),
    )
