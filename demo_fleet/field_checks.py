"""What the people measured while they cut: yield monitor loads, moisture samples, kernels behind the combine. Changes no state."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from decimal import Decimal
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import Sensor
from wearlog.facts.quality import Calibration, LossCheck, MoistureSample
from wearlog.facts.work import Run
from wearlog.units import to_stored

from .draws import Draws
from .farm_land import CROPS, CropPlan, width_feet
from .machine_states import MachineState
from .records import FARM_ZONE, Records

#: kernels on a square foot that make a bushel to the acre (Minnesota/NDSU small grains 2003; W. Australia DPIRD)
_KERNELS: Final = {"wheat": 20.0, "field peas": 3.1, "lentils": 20.6, "canola": 139.0}
_FT2_PER_HECTARE: Final = 107639.104
_DISCHARGE_FEET: Final = 5
_POUNDS_PER_ACRE: Final = 1120.8511561


class FieldChecks:
    """Enters calibrations at the first field of a crop, a loss check now and then, and moisture samples."""

    def __init__(self, records: Records, draws: Draws, states: dict[str, MachineState]) -> None:
        self._records = records
        self._draws = draws
        self._crops = {records.shared_id("crop", crop.name): crop for crop in CROPS}
        self._calibrated: set[tuple[UUID, str, int]] = set()
        # each monitor has its own lean
        self._lean = {states[name].id: draws.normal(0.012, 0.02) for name in sorted(states)}

    def after_day(self, combine: MachineState, header: MachineState, runs: Sequence[Run]) -> None:
        """Enter what was measured during these runs of one combine."""
        for run in runs:
            crop = self._crops[run.crop_id] if run.crop_id else None
            if crop is None or run.ended_at - run.started_at < timedelta(minutes=90):
                continue
            self._calibrate_once(combine, crop, run)
            if self._draws.chance(0.17):
                self._sample_moisture(crop, run)
            if self._draws.chance(0.09):
                self._count_kernels(combine, header, crop, run)

    def _calibrate_once(self, combine: MachineState, crop: CropPlan, run: Run) -> None:
        key = (combine.id, crop.name, run.started_at.astimezone(FARM_ZONE).year)
        if key in self._calibrated or crop.name not in ("wheat", "canola"):
            return
        self._calibrated.add(key)
        for load in range(4):
            pounds = self._draws.whole(300, 600) * 10
            shown = round(pounds * (1 + self._draws.normal(self._lean[combine.id], 0.015)) / 5) * 5
            self._calibration(combine, Sensor.YIELD_LOAD, run, load, _grams(pounds), _grams(shown))
        for sample in range(2):
            true = round(self._draws.normal(crop.moisture_pct, 0.8) * 10) * 10
            shown = true + round(self._draws.normal(2.0, 3.0)) * 10
            self._calibration(combine, Sensor.MOISTURE, run, 4 + sample, true, shown)

    def _calibration(
        self, combine: MachineState, sensor: Sensor, run: Run, place: int, reference: int, indicated: int
    ) -> None:
        self._records.add(
            Calibration(
                id=self._records.next_id("calibration"),
                machine_id=combine.id,
                sensor=sensor,
                at=run.started_at + timedelta(minutes=12 * place + 15),
                reference_amount=reference,
                indicated_amount=indicated,
                crop_id=run.crop_id,
            )
        )

    def _sample_moisture(self, crop: CropPlan, run: Run) -> None:
        true = self._draws.normal(crop.moisture_pct, 1.1)
        # the tester reads dry grain low and tough grain high
        tester = true + 0.12 * (true - crop.moisture_pct) + self._draws.normal(-0.15, 0.2)
        assert run.crop_id is not None
        self._records.add(
            MoistureSample(
                id=self._records.next_id("moisture_sample"),
                field_id=run.field_id,
                crop_id=run.crop_id,
                at=run.started_at + timedelta(minutes=self._draws.whole(5, 60)),
                tester_hundredths=round(tester * 10) * 10,
                elevator_hundredths=round(true * 10) * 10 if self._draws.chance(0.7) else None,
            )
        )

    def _count_kernels(self, combine: MachineState, header: MachineState, crop: CropPlan, run: Run) -> None:
        bars = combine.set_of("rasp bars")
        worn = bars.age(1, combine.used(bars.meter)) / 1000
        pounds = (run.yield_grams_per_hectare or 0) / _POUNDS_PER_ACRE
        bushels = pounds / crop.bushel_lb
        lost = bushels * (0.007 + 0.012 * worn) * self._draws.around(1.0, 0.25)
        feet = width_feet(header.name)
        ahead = round(bushels * 0.009 * _KERNELS[crop.name] * self._draws.around(1.0, 0.3))
        behind = ahead + round(lost * _KERNELS[crop.name] * feet / _DISCHARGE_FEET)
        assert run.crop_id is not None
        self._records.add(
            LossCheck(
                id=self._records.next_id("loss_check"),
                combine_id=combine.id,
                field_id=run.field_id,
                crop_id=run.crop_id,
                at=run.started_at + timedelta(minutes=self._draws.whole(20, 80)),
                behind_per_hectare=round(behind * _FT2_PER_HECTARE),
                ahead_per_hectare=round(ahead * _FT2_PER_HECTARE),
                cut_width_micrometres=to_stored(Decimal(feet), "ft"),
                discharge_width_micrometres=to_stored(Decimal(_DISCHARGE_FEET), "ft"),
                yield_grams_per_hectare=run.yield_grams_per_hectare,
            )
        )


def _grams(pounds: int) -> int:
    return to_stored(Decimal(pounds), "lb")
