"""Calibration loads, loss checks, moisture samples: each one deed that one undo takes back; amounts as people write them."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from tests.small_farm import AUGUST, SmallFarm, land
from wearlog.errors import RefusedError, UsageError
from wearlog.facts.closed_lists import Sensor
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.quality import Calibration, LossCheck, MoistureSample
from wearlog.facts.work import Crop
from wearlog.logbook.files.undo import undo
from wearlog.logbook.harvest import enter_calibration, enter_loss_check, enter_moisture, hitched_width
from wearlog.logbook.said.amounts import (
    per_hectare,
    read_counts,
    read_frame,
    read_percent,
    read_sensor_amount,
    read_yield,
    sensor_unit,
)
from wearlog.logbook.work.entry_start import entry_start
from wearlog.store.finding import find_all
from wearlog.store.opening import Store

US, METRIC = FarmSettings(), FarmSettings(units="metric")
WHEAT = Crop(name="wheat", bushel_grams=27_216)


def rows(store: Store, kind: type) -> list:  # type: ignore[type-arg]
    with store.reading() as connection:
        return find_all(connection, kind)


def wheat(farm: SmallFarm) -> Crop:
    land(farm)
    return rows(farm.store, Crop)[0]


def test_a_calibration_load_is_one_deed_and_one_undo_takes_it_back(farm: SmallFarm) -> None:
    load = Calibration(
        machine_id=farm.combine.id,
        sensor=Sensor.YIELD_LOAD,
        at=AUGUST,
        reference_amount=5_000_000,
        indicated_amount=5_150_000,
        crop_id=wheat(farm).id,
    )
    assert enter_calibration(farm.store, load).said == (
        "Kestrel, yield load against its reference, wheat: +3.0 %, 1 Aug 2026 09:00"
    )
    assert rows(farm.store, Calibration) == [load]
    undo(farm.store)
    assert rows(farm.store, Calibration) == []


def test_a_loss_check_is_one_deed_and_one_undo_takes_it_back(farm: SmallFarm) -> None:
    check = loss_check(farm)
    assert enter_loss_check(farm.store, check).said == (
        "loss check behind Kestrel in wheat: 9 behind and 0 ahead on a square foot, 8.0 times as thick behind, 1 Aug 2026 09:00"
    )
    assert rows(farm.store, LossCheck) == [check]
    undo(farm.store)
    assert rows(farm.store, LossCheck) == []


def loss_check(farm: SmallFarm) -> LossCheck:
    return LossCheck(
        combine_id=farm.combine.id,
        crop_id=wheat(farm).id,
        at=AUGUST,
        behind_per_hectare=1_000_000,
        cut_width_micrometres=12_192_000,
        discharge_width_micrometres=1_524_000,
    )


def test_straw_that_leaves_wider_than_the_header_cuts_is_refused(farm: SmallFarm) -> None:
    check = replace(loss_check(farm), discharge_width_micrometres=15_000_000)
    with pytest.raises(RefusedError, match="The straw leaves wider than the header cuts"):
        enter_loss_check(farm.store, check)
    assert rows(farm.store, LossCheck) == []


def test_a_moisture_sample_says_both_figures(farm: SmallFarm) -> None:
    sample = MoistureSample(crop_id=wheat(farm).id, at=AUGUST, tester_hundredths=1320, elevator_hundredths=1360)
    assert (
        enter_moisture(farm.store, sample).said == "moisture of wheat: 13.2 %, elevator 13.6 % (+0.4), 1 Aug 2026 09:00"
    )
    undo(farm.store)
    assert rows(farm.store, MoistureSample) == []


def test_the_width_of_cut_is_that_of_the_header_that_hangs_on_the_combine(farm: SmallFarm) -> None:
    assert hitched_width(entry_start(farm.store), farm.combine.id) == 12_192_000
    assert hitched_width(entry_start(farm.store), farm.knife.id) is None


@pytest.mark.parametrize(
    ("sensor", "text", "settings", "stored"),
    [
        (Sensor.YIELD_LOAD, "5150", US, 2_336_001),
        (Sensor.YIELD_LOAD, "5,150 lb", US, 2_336_001),
        (Sensor.YIELD_LOAD, "2.5 t", US, 2_500_000),
        (Sensor.YIELD_LOAD, "2500", METRIC, 2_500_000),
        (Sensor.MOISTURE, "13,5 %", US, 1350),
        (Sensor.GROUND_SPEED, "5 mph", US, 2235),
        (Sensor.GROUND_SPEED, "8", METRIC, 2222),
        (Sensor.AREA_COUNT, "10 ac", METRIC, 40_469),
        (Sensor.HEADER_HEIGHT, "4", US, 101_600),
        (Sensor.HEADER_HEIGHT, "10 cm", US, 100_000),
    ],
)
def test_a_sensor_is_read_in_the_farms_unit_or_the_one_written(
    sensor: Sensor, text: str, settings: FarmSettings, stored: int
) -> None:
    assert read_sensor_amount(sensor, text, settings) == stored


def test_a_unit_that_the_sensor_does_not_show_is_named() -> None:
    assert sensor_unit(Sensor.GROUND_SPEED, METRIC) == "km/h"
    with pytest.raises(UsageError, match="'5 lb' is not measured in mph or km/h") as caught:
        read_sensor_amount(Sensor.GROUND_SPEED, "5 lb", US)
    assert caught.value.hint == "Write it like 12 mph."


def test_counts_of_several_frames_are_averaged() -> None:
    assert read_counts("130 118, 142") == Decimal(130)
    for wrong, sentence in (("", "How many kernels"), ("many", "'many' is not a number"), ("3 -1", "below zero")):
        with pytest.raises(UsageError, match=sentence):
            read_counts(wrong)


def test_counts_become_kernels_per_hectare_by_the_size_of_the_frame() -> None:
    # 1 ha is 107,639.1 square feet (exact factors of NIST SP 811)
    assert per_hectare(Decimal(10), read_frame("1 ft2", FarmSettings())) == 1_076_391
    assert per_hectare(Decimal(10), read_frame("0.1 m2", FarmSettings())) == 1_000_000
    with pytest.raises(UsageError, match="'1 ft' is not the size of a frame"):
        read_frame("1 ft", FarmSettings())


@pytest.mark.parametrize(
    ("text", "settings", "grams"),
    [
        ("40", US, 2_690_088),
        ("40 bu/ac", METRIC, 2_690_088),
        ("2,400 lb/ac", US, 2_690_043),
        ("2.7", METRIC, 2_700_000),
        ("2700 kg/ha", US, 2_700_000),
    ],
)
def test_a_yield_is_read_with_or_without_its_unit(text: str, settings: FarmSettings, grams: int) -> None:
    assert read_yield(text, WHEAT, settings) == grams


def test_bushels_need_to_know_what_one_weighs() -> None:
    with pytest.raises(UsageError, match="Nobody knows what a bushel of this crop weighs"):
        read_yield("40 bu/ac", Crop(name="teff"), US)
    with pytest.raises(UsageError, match="'40 mm' is not a yield"):
        read_yield("40 mm", WHEAT, US)


def test_a_percentage_stays_below_a_hundred() -> None:
    assert read_percent("13.55 %") == 1355
    with pytest.raises(UsageError, match="more than 100 per cent"):
        read_percent("135")
