"""cost --hour, cost --published, faults meter: what standing is worth, what was published, what a meter should show."""

from __future__ import annotations

import json
import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.cli.running import Wearlog, runner
from wearlog.costs.downtime import hour_by_timeliness
from wearlog.costs.published_rates import CUSTOM_RATES, LOST_DAYS, WAGES
from wearlog.logbook.open_log import opened
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.harvest.harvest_view import harvest_view
from wearlog.units import ACRE_SQUARE_METRES

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
    with opened(str(demo_file)) as store, store.reading() as connection:
        finish = harvest_view(connection, farm_from(connection, WINTER)).finish
    assert finish is not None
    wanted = hour_by_timeliness(
        loss_per_day=0.005,
        area_standing=finish.left / float(ACRE_SQUARE_METRES) / finish.machines / 2,
        yield_per_area=40,
        price_minor=600,
        hours_per_day=finish.hours_per_day,
        workable_share=finish.weather.share,
    )
    assert 100 * dollars(found["timeliness"]) == pytest.approx(wanted.minor_per_hour, abs=1)


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


def test_list_prices_of_the_model_year_are_carried_to_today(wearlog: Wearlog, demo_file: Path) -> None:
    """P x 1.03^years."""
    before, after = (
        wearlog("cost", "--curve", *words, "--json", "--db", str(demo_file)).json["machines"]
        for words in ((), ("--price-rise", "3"))
    )
    ages = {
        one["machine"]: one["age_years"]
        for one in wearlog("cost", "--economic-life", "--json", "--db", str(demo_file)).json["machines"]
    }
    for old, new in zip(before, after, strict=True):
        grown = float(old["list_price"]["amount"]) * 1.03 ** ages[old["machine"]]
        assert float(new["list_price"]["amount"]) == pytest.approx(grown, abs=0.01)
        assert new["times_expected"] < old["times_expected"]


def test_a_service_and_a_repair_that_follows_no_breakage_are_entered(
    wearlog: Wearlog, demo_file: Path, tmp_path: Path
) -> None:
    db = ("--db", shutil.copyfile(demo_file, tmp_path / "own.db").as_posix())
    assert wearlog("add", "service", "engine oil", "--on", "Alder", "--every", "250", "--months", "12", *db).code == 0
    due = wearlog("due", "--all", "--json", *db).json["services"]
    assert any(one["machine"] == "Alder" and one["service"] == "engine oil" for one in due)
    before = wearlog("cost", "--json", *db).json["total"]
    said = wearlog(
        "add",
        "repair",
        "rotor balanced",
        "--on",
        "Alder",
        "--overhaul",
        "--labour",
        "3h",
        "--hired",
        "450",
        "--at",
        "2026-11-18 9:00",
        *db,
    )
    assert "overhaul repair on Alder: rotor balanced" in said.out
    after = wearlog("cost", "--json", *db).json["total"]
    assert float(after["service"]["amount"]) - float(before["service"]["amount"]) == pytest.approx(450)
    assert float(after["labour"]["amount"]) - float(before["labour"]["amount"]) == pytest.approx(78, abs=0.01)
    assert wearlog("add", "service", "oil", "--on", "Alder", *db).code == 2
    assert wearlog("add", "repair", "seen to", "--on", "Alder", *db).code == 2
