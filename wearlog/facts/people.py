"""Who works on the farm, and which cautions they have read before a task."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.facts.closed_lists import Hazard
from wearlog.facts.fact import Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Person(Fact):
    """Somebody who enters or does work; `short` is the one key or word by which they say so."""

    name: str
    short: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionRead(Fact):
    """The cautions of one danger were read before one task. `device` says on which laptop."""

    hazard: Hazard
    task: str
    device: str
    at: datetime
    person_id: UUID | None = None
