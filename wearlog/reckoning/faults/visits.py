"""The stretches of work on a fault: which check belongs to which, and whether the fault was there then. Weighs nothing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from wearlog.facts.electrics import Answer, Fault, FaultCheck, FaultVisit

#: checks further apart belong to two visits, unless somebody said otherwise (common practice, no source)
APART: Final = timedelta(hours=4)


@dataclass(frozen=True, slots=True)
class Visits:
    """Visits by their number from 0.

    Attributes
    ----------
    of_check : mapping of check id to number
    present : mapping of number to Answer
        Of every visit that there is, the one that is now last; None where nobody said whether the fault was there.
    """

    of_check: Mapping[UUID, int]
    present: Mapping[int, Answer | None]


def visits_of(
    fault: Fault, checks: Sequence[FaultCheck], said: Sequence[FaultVisit], now: datetime | None = None
) -> Visits:
    """Return the visits of a fault.

    Parameters
    ----------
    checks, said : sequences
        Its checklist, and what was said of its visits.
    now : datetime or None
        More than four hours after the last check a further visit has begun; None for a fault that is closed.
    """
    rows = sorted(
        [(one.started_at, 0, index, one) for index, one in enumerate(said)]
        + [(one.at or fault.opened_at, 1, one.step, one) for one in checks],
        key=lambda row: row[:3],
    )
    of_check: dict[UUID, int] = {}
    of_visit: dict[UUID, int] = {}
    present: dict[int, Answer | None] = {}
    last: datetime | None = None
    for at, _, _, one in rows:
        if isinstance(one, FaultVisit):
            of_visit[one.id] = len(present)
            present[len(present)] = one.present
        elif one.fault_visit_id in of_visit:
            of_check[one.id] = of_visit[one.fault_visit_id]
        else:
            if last is None or at - last > APART:
                present[len(present)] = None
            of_check[one.id] = len(present) - 1
        last = at
    if not present or (now is not None and last is not None and now - last > APART):
        present[len(present)] = None
    return Visits(of_check, present)
