"""Moisture and dry grain by crop: samples weigh as the grain of their field, the tester is corrected, water is taken out."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from uuid import UUID

import numpy as np
import pytest

from tests.small_farm import ACRE, AUGUST, SmallFarm, land
from wearlog.facts.closed_lists import Ground
from wearlog.facts.quality import MoistureSample
from wearlog.facts.work import Crop, Field, Run
from wearlog.harvest.kernel_table import Standing
from wearlog.logbook.farm.farm_setting import change_setting
from wearlog.logbook.farm.machines import add_crop, add_field
from wearlog.logbook.harvest import enter_moisture
from wearlog.logbook.work.working import cut
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.harvest.crop_grain import CropGrain, crop_grain
from wearlog.reckoning.harvest.harvest_quality import harvest_quality
from wearlog.store.finding import find_all

AFTER = datetime(2026, 11, 20, 18, tzinfo=UTC)
#: a tonne an hectare
TONNE = 1_000_000


def grain(farm: SmallFarm) -> list[CropGrain]:
    with farm.store.reading() as connection:
        known = farm_from(connection, AFTER)
        return crop_grain(connection, known, harvest_quality(connection, known).moisture)


def the(farm: SmallFarm, kind: type[Crop] | type[Field], name: str) -> UUID:
    with farm.store.reading() as connection:
        return next(row.id for row in find_all(connection, kind) if row.name == name)


def ran(farm: SmallFarm, field: str | None, crop: str, hectares: float, tonnes: float | None, *, day: int) -> None:
    start = AUGUST + timedelta(days=day)
    cut(
        farm.store,
        Run(
            combine_id=farm.combine.id,
            field_id=None if field is None else the(farm, Field, field),
            crop_id=the(farm, Crop, crop),
            started_at=start,
            ended_at=start + timedelta(hours=8),
            area_square_metres=round(hectares * 10_000),
            yield_grams_per_hectare=None if tonnes is None else round(tonnes * TONNE),
        ),
    )


def sampled(
    farm: SmallFarm, field: str | None, crop: str, tester: float, elevator: float | None = None, *, day: int = 0
) -> None:
    sample = MoistureSample(
        field_id=None if field is None else the(farm, Field, field),
        crop_id=the(farm, Crop, crop),
        at=AUGUST + timedelta(days=day),
        tester_hundredths=round(tester * 100),
        elevator_hundredths=None if elevator is None else round(elevator * 100),
    )
    enter_moisture(farm.store, sample)


def test_each_sample_weighs_as_the_grain_of_its_field(farm: SmallFarm) -> None:
    """30 t at 16 % and 10 t at 12 %: 15 % in the mean; to 13.5 % of 40 t, 1.5 points of 100 / 86.5 per cent."""
    land(farm)
    add_field(farm.store, "bench", round(100 * ACRE), Ground.CLEAN)
    ran(farm, "north quarter", "wheat", 10, 3, day=0)
    ran(farm, "bench", "wheat", 5, 2, day=1)
    for moisture in (15.8, 16.2):
        sampled(farm, "north quarter", "wheat", 1, moisture)
    sampled(farm, "bench", "wheat", 1, 12, day=1)
    (found,) = grain(farm)
    assert (found.harvest_year, found.by_field, found.by_elevator, found.as_shown) == (2026, True, 3, 0)
    assert found.moisture.mean == pytest.approx(15)
    assert (found.grams, found.area, found.area_known) == (40 * TONNE, 150_000, 150_000)
    assert found.dry is not None
    assert found.dry.shrink.water_percent == pytest.approx(1.5 * 100 / 86.5)
    assert found.dry.shrink.mass == pytest.approx(40 * TONNE * 85 / 86.5)
    assert found.dry.least < found.dry.shrink.mass < found.dry.most <= 40 * TONNE


def test_where_a_field_is_not_known_all_samples_weigh_alike(farm: SmallFarm) -> None:
    land(farm)
    ran(farm, "north quarter", "wheat", 10, 3, day=0)
    sampled(farm, "north quarter", "wheat", 1, 16)
    sampled(farm, None, "wheat", 1, 12)
    (found,) = grain(farm)
    assert (found.by_field, found.moisture.mean) == (False, 14)


def test_what_the_elevator_did_not_see_is_corrected_by_crop_and_band(farm: SmallFarm) -> None:
    """Between 12 and 14 % the tester showed 0.4 too little; above nobody compared it, so that the sample stands as it was shown."""
    land(farm)
    sampled(farm, None, "wheat", 13, 13.4)
    sampled(farm, None, "wheat", 12.6)
    (found,) = grain(farm)
    assert (found.by_elevator, found.as_shown) == (1, 0)
    assert found.moisture.mean == pytest.approx((13.4 + 13.0) / 2)
    sampled(farm, None, "wheat", 17)
    (found,) = grain(farm)
    assert (found.as_shown, found.moisture.count) == (1, 3)
    assert found.moisture.mean == pytest.approx((13.4 + 13.0 + 17) / 3)
    assert (found.grams, found.dry) == (0, None)


def test_one_sample_has_no_interval_and_runs_without_a_yield_are_left_out(farm: SmallFarm) -> None:
    land(farm)
    ran(farm, "north quarter", "wheat", 10, 3, day=0)
    ran(farm, "north quarter", "wheat", 6, None, day=1)
    sampled(farm, "north quarter", "wheat", 1, 14.5)
    (found,) = grain(farm)
    assert (found.grams, found.area, found.area_known) == (30 * TONNE, 160_000, 100_000)
    assert found.dry is not None
    assert found.dry.shrink.mass == pytest.approx(30 * TONNE * 85.5 / 86.5)
    assert np.isnan([found.moisture.low, found.dry.least, found.dry.most]).all()


def test_what_the_buyer_says_goes_before_the_table_and_a_crop_of_no_table_has_no_standard(farm: SmallFarm) -> None:
    land(farm)
    add_crop(farm.store, "teff")
    for crop in ("wheat", "teff"):
        ran(farm, None, crop, 10, 2, day=len(crop))
        sampled(farm, None, crop, 15, 15)
    teff, wheat = grain(farm)
    assert (teff.standard, teff.dry) == (None, None)
    assert wheat.standard is not None
    assert (wheat.standard.percent, wheat.standard.standing) == (13.5, Standing.FROM_MEMORY)
    assert change_setting(farm.store, "dry standard of Wheat", "14,5 %").said == "set dry standard of wheat to 14.5"
    wheat = grain(farm)[1]
    assert wheat.standard is not None
    assert (wheat.standard.percent, wheat.standard.standing) == (14.5, Standing.OWN)
    assert wheat.dry is not None
    assert wheat.dry.shrink.water_percent == pytest.approx(0.5 * 100 / 85.5)
