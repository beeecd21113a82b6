"""Rounds of looking a machine over, line by line, as on the sheet that hangs on the clipboard."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.facts.fact import Fact
from wearlog.facts.farm_lists import Condemned, Round


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspection(Fact):
    """One round over one machine."""

    machine_id: UUID
    round: Round
    at: datetime
    person_id: UUID | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class InspectionFinding(Fact):
    """What was found at one line of the round; `line` is what the sheet says there, `measurement_id` what was measured."""

    inspection_id: UUID
    line: str
    component_id: UUID | None = None
    position: int | None = None
    found: Condemned
    measurement_id: UUID | None = None
    note: str = ""
