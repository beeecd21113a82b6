"""cost --hour, cost --published, faults meter: what standing is worth, what was published, what a meter should show."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.cli.running import Wearlog, runner
from wearlog.costs.downtime import hour_by_timeliness
from wearlog.costs.published_rates import CUSTOM_RATES, LOST_DAYS, WAGES

WINTER = datetime(2026, 11, 20, 18, tzinfo=UTC)


@pytest.fixture
def wearlog(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Wearlog:
    for module in ("cost", "harvest"):
        monkeypatch.setattr(f"wearlog.cli.{module}_commands.local_now", lambda: WINTER)
    return runner(capfd)


def ways(wearlog: Wearlog, db: Path, *words: str) -> dict[str, dict[str, object]]:
    found = wearlog("cost", "--hour", *words, "--json", "--db", str(db)).json
    return {one["basis"]: one for one in found["hours"]}


def dollars(one: dict[str, object]) -> float:
    return float(one["per_hour"]["amount"])  # type: ignore[index]


def test_an_hour_is_worth_what_the_farm_says_with_hiring_as_its_ceiling(wearlog: Wearlog, demo_file: Path) -> None:
    found = ways(wearlog, demo_file)
    assert found["set"]["stands_for"] == "speaks"
    assert found["hired_capacity"]["stands_for"] == "ceiling"
    assert dollars(found["lost_day"]) == 112.50
    assert "timeliness" not in found
    said = wearlog("cost", "--hour", "--db", str(demo_file)).out
    assert "--yield and --grain-price" in " ".join(said.split())


def test_the_crop_that_waits_is_each_combines_share_of_what_is_left(wearlog: Wearlog, demo_file: Path) -> None:
    """K 0.005 (EP496): half of the season's acres stand on the mean, shared by three combines."""
    found = ways(wearlog, demo_file, "--yield", "40", "--grain-price", "6.00")
    finish = wearlog("harvest", "--json", "--db", str(demo_file)).json["finish"]
    wanted = hour_by_timeliness(
        loss_per_day=0.005,
        area_standing=finish["left_acres"] / finish["machines"] / 2,
        yield_per_area=40,
        price_minor=600,
        hours_per_day=finish["hours_per_day"],
        workable_share=finish["workable_share"],
    )
    assert 100 * dollars(found["timeliness"]) == pytest.approx(wanted.minor_per_hour, rel=2e-3)


def test_a_rate_of_three_parts_goes_by_the_yield(wearlog: Wearlog, demo_file: Path) -> None:
    """20-20-20 at 35 bu/ac is 30.00 an acre (worked from the trade press of 2011), at 15 bu/ac 23.00."""
    plain = dollars(ways(wearlog, demo_file, "--custom-rate", "30")["hired_capacity"])
    for grain, acre in (("35", 30.0), ("15", 23.0)):
        parts = ways(wearlog, demo_file, "--custom-rate", "20-20-20", "--yield", grain)["hired_capacity"]
        assert dollars(parts) == pytest.approx(plain * acre / 30, rel=1e-3)


def test_published_figures_stand_with_the_farms_own_beside_them(wearlog: Wearlog, demo_file: Path) -> None:
    rows = wearlog("cost", "--published", "--json", "--db", str(demo_file)).json["published"]
    total = wearlog("cost", "--json", "--db", str(demo_file)).json["total"]
    cutting = [one for one in rows if one["about"] == "having it cut"]
    assert [round(100 * float(one["published"]["amount"])) for one in cutting] == [one.cents for one in CUSTOM_RATES]
    assert {one["own"]["amount"] for one in cutting} == {total["per_acre"]["amount"]}
    assert sum(one["per"] in ("h", "day") for one in rows) == len(WAGES) + len(LOST_DAYS)
    combine = next(one for one in rows if one["what"] == "combine, self-propelled")
    assert combine["published"] == 0.4
    assert combine["own"] > 0


def test_what_a_meter_shows_needs_no_log(wearlog: Wearlog) -> None:
    """16 AWG, 40 ft there and back, 10 A: 1.61 V; 12.5 V at rest lies half-way between 75 and 100 % (published tables)."""
    told = wearlog("faults", "meter", "--gauge", "16", "--loop", "40", "--amps", "10", "--volts", "12.5")
    assert "loses 1.61 V at 10 A" in told.out
    assert "about 88 % charged" in told.out
    assert "15 A is blue, not red" in wearlog("faults", "meter", "--fuse", "15", "--colour", "red").out
    assert "Red is the colour of 10 A." in wearlog("faults", "meter", "--fuse", "10", "--colour", "red").out
    bands = json.loads(wearlog("faults", "meter", "--json").out)["bands"]
    line = next(one for one in bands if one["what"] == "the data line")
    assert (line["low"], line["high"], line["unit"]) == (54.0, 66.0, "ohm")
    assert wearlog("faults", "meter", "--gauge", "16").code == 2
    assert wearlog("faults", "meter", "--gauge", "9", "--loop", "4", "--amps", "1").code != 0
