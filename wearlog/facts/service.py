"""Services that come round by meter or by calendar, and when each was done."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.facts.closed_lists import Evidence, Hazard, MeterKind
from wearlog.facts.fact import Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceItem(Fact):
    """A service of a machine, due after `interval_usage` on its meter or `interval_months`, whichever comes first.

    `first_usage` is the first interval where it is another; `times` how often in all (None: for good). With a component it counts
    from when that was new. `halved` halves the intervals (heavy dust); it is due no more from `ended_at` on.
    """

    machine_id: UUID
    name: str
    meter_kind: MeterKind | None = None
    interval_usage: int | None = None
    interval_months: int | None = None
    evidence: Evidence = Evidence.COMMON_PRACTICE
    hazard: Hazard | None = None
    component_id: UUID | None = None
    first_usage: int | None = None
    times: int | None = None
    halved: bool = False
    ended_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceDone(Fact):
    service_item_id: UUID
    at: datetime
    labour_seconds: int | None = None
    cost_minor: int | None = None
    note: str = ""
    person_id: UUID | None = None
