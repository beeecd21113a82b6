"""How well the machine harvests: sensors against a reference, grain loss behind it, moisture of the grain."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.facts.closed_lists import Sensor
from wearlog.facts.fact import Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration(Fact):
    """A reference against what the sensor indicated, both in the sensor's unit.

    yield_load: grams; moisture: hundredths of a per cent; ground_speed: millimetres per second; area_count: square metres;
    header_height: micrometres.
    """

    machine_id: UUID
    sensor: Sensor
    at: datetime
    reference_amount: int
    indicated_amount: int
    crop_id: UUID | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LossCheck(Fact):
    """Kernels counted on the ground behind the combine and ahead of it, mean counts per hectare of the frames laid out.

    `uncut_per_hectare` were counted in the crop that still stood: they had fallen by themselves.
    """

    combine_id: UUID
    field_id: UUID | None = None
    crop_id: UUID
    at: datetime
    behind_per_hectare: int
    ahead_per_hectare: int = 0
    cut_width_micrometres: int
    discharge_width_micrometres: int
    yield_grams_per_hectare: int | None = None
    note: str = ""
    uncut_per_hectare: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MoistureSample(Fact):
    """One sample by the farm's own tester, with the elevator's figure when it is known; hundredths of a per cent."""

    field_id: UUID | None = None
    crop_id: UUID
    at: datetime
    tester_hundredths: int
    elevator_hundredths: int | None = None
    note: str = ""
