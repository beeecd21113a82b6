"""When a sensor is due for a calibration, and what the tester's offset is worth in a load."""

from __future__ import annotations

import numpy as np
import pytest

from tests.cli.running import Wearlog
from tests.small_farm import SmallFarm
from wearlog.reckoning.harvest.sensors_due import parts_from


def test_a_load_that_parts_is_told_and_five_in_a_hundred_sound_ones() -> None:
    random = np.random.default_rng(11)
    sound = random.normal(2.0, 1.0, (4_000, 5))
    told = np.mean([parts_from(row.tolist()) for row in sound])
    assert told == pytest.approx(0.05, abs=0.011)
    sound[:, -1] += 8.0
    assert np.mean([parts_from(row.tolist()) for row in sound]) > 0.8


def test_of_few_loads_nobody_knows_the_scatter() -> None:
    assert not parts_from([0.0, 0.1, 50.0])
    assert parts_from([0.0, 0.1, -0.1, 50.0])


def load(own: Wearlog, at: str, shown: int, crop: str = "wheat") -> None:
    entered = own(
        *("enter", "calibration", "machine=Kestrel", "sensor=yield_load", f"at={at}"),
        *("reference_amount=20000", f"indicated_amount={shown}", f"crop={crop}"),
    )
    assert entered.code == 0, entered.err


def due(own: Wearlog) -> dict[str, list[str]]:
    return {row["crop"]: row["due_for"] for row in own("calibrate", "--json").json["sensors"]}


def test_a_crop_without_loads_and_a_load_apart_make_yield_due(own: Wearlog, file_farm: SmallFarm) -> None:
    assert own("set", "time_zone", "UTC").code == 0
    for name in ("wheat", "flax"):
        own("add", "crop", name)
    for day, shown in enumerate((20100, 20120, 20090, 20110)):
        load(own, f"2026-07-0{day + 1} 10:00", shown)
    assert due(own) == {"wheat": []}
    assert "Due for a calibration" not in own("calibrate").out
    load(own, "2026-07-05 10:00", 23000)
    assert due(own) == {"wheat": ["loads_apart"]}
    cut = ("combine=Kestrel", "started=2026-07-06 10:00", "ended=2026-07-06 18:00", "area=80", "crop=flax")
    entered = own("enter", "run", *cut, "--yes")
    assert entered.code == 0, entered.err
    assert due(own) == {"wheat": ["another_crop", "loads_apart"]}
    assert "another crop and its last load parts" in " ".join(own("calibrate").out.split())
    load(own, "2026-07-06 19:00", 20100, "flax")
    assert due(own)["flax"] == []


def test_an_offset_is_worth_its_water_in_a_load(demo: Wearlog) -> None:
    before = demo("calibrate", "--json").json["moisture_offsets"]
    assert all(row["load_worth"] is None for row in before)
    assert demo("change", _crop(demo, "wheat"), "price_per_tonne=220").code == 0
    found = demo("calibrate", "--json").json
    (row,) = [one for one in found["moisture_offsets"] if one["crop"] == "wheat" and one["from_percent"] == 12]
    loads = [one for one in demo("entries", "calibration", "--json").json["rows"] if one["sensor"] == "yield_load"]
    assert loads
    assert float(row["load_worth"]["amount"]) > 0
    low, high = (float(row[f"load_worth_{end}"]["amount"]) for end in ("low", "high"))
    # the same money a point at either end and in the middle
    assert low / row["low"] == pytest.approx(high / row["high"], rel=0.02)
    assert float(row["load_worth"]["amount"]) / row["add_points"] == pytest.approx(high / row["high"], rel=0.02)
    for one in (one for one in found["moisture_offsets"] if one["load_worth_low"]):
        least, worth, most = (float(one[f"load_worth{end}"]["amount"]) for end in ("_low", "", "_high"))
        assert 0 <= least <= worth <= most, one
    assert any(one["add_points"] < 0 for one in found["moisture_offsets"] if one["load_worth_low"])


def _crop(own: Wearlog, name: str) -> str:
    rows = own("entries", "crop", "--json").json["rows"]
    found: str = next(one["entry_number"] for one in rows if one["name"] == name)
    return found
