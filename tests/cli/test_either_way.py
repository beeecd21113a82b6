"""Each decision says "either way" where two ways are as good, and does not where one is clearly the better.

The same for claims stands in `tests/present/test_claim_sheet.py`.
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from tests.cli.running import Wearlog
from tests.small_farm import SmallFarm, harvest
from tests.two_numbers import note_two_numbers

NOON = datetime.fromisoformat("2026-08-20T17:00:00+00:00")
WORK = ("custom-work", "--acres", "300", "--ground", "stony")


def test_running_on(demo: Wearlog, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("wearlog.cli.decision_commands.local_now", lambda: NOON)
    monkeypatch.setattr("wearlog.cli.log_commands.local_now", lambda: NOON)
    assert demo("log", "merlin knife head cracked, left", "--yes").code == 0
    alike, clear = (
        ("stop-or-run", "merlin knife head", "--lasts", *ends) for ends in (("20", "180"), ("1000", "9000"))
    )
    found = demo(*alike, "--json").json
    costs = [float(one["cost"]["amount"]) for one in found["ways"]]
    assert found["verdict"] == "either_way"
    assert max(costs) / min(costs) < 1.05
    assert "Either way, now or " in demo(*alike).out
    assert demo(*clear, "--json").json["verdict"] == "season_end"
    assert "Either way" not in demo(*clear).out


def test_a_rainy_day(demo: Wearlog) -> None:
    """A guard that is cracked and left in is clearly worth it; a sound joint of some age may be worth nothing."""
    assert demo("log", "merlin guards 12 cracked, left", "--yes").code == 0
    rows = {one["component"]: one["either_way"] for one in demo("rain-day", "--hours", "30", "--json").json["jobs"]}
    assert rows["Merlin, guard 12"] is False
    assert rows["Plover, driveline joint 2"] is True
    lines = demo("rain-day", "--hours", "30").out.splitlines()
    guard, joint = (next(one for one in lines if name in one) for name in ("guard 12", "driveline joint 2"))
    assert "either way" not in guard
    assert "either way" in joint


def test_part_numbers(demo: Wearlog, tmp_path: Path) -> None:
    note_two_numbers(str(tmp_path / "demo.db"))
    assert demo("compare-parts", "knife section").out.startswith("QF-1010 is the cheaper: ")
    entry = next(
        one["entry_number"] for one in demo("entries", "part", "--json").json["rows"] if one["number"] == "QF-1011"
    )
    assert demo("change", entry, "price=6.70").code == 0
    assert demo("compare-parts", "knife section").out.startswith("Either way")
    chances = [one["chance_cheapest"] for one in demo("compare-parts", "knife section", "--json").json["parts"]]
    assert max(chances) < 0.9


@pytest.mark.parametrize(("price", "do"), [("0.10", "run"), ("1", "either_way"), ("30", "replace")])
def test_old_threshing_parts(demo: Wearlog, price: str, do: str) -> None:
    prices = [word for crop in ("wheat", "canola", "lentils", "field peas") for word in ("--price", crop, price)]
    rows = demo("loss", "--money", *prices, "--json").json["combines"]
    assert next(one["do"] for one in rows if one["combine"] == "Tamarack") == do
    said = next(one for one in demo("loss", "--money", *prices).out.splitlines() if one.startswith("Tamarack"))
    assert ("either way" in said) is (do == "either_way")


def test_getting_a_part(own: Wearlog, file_farm: SmallFarm) -> None:
    harvest(file_farm)
    number = file_farm.section_part.number
    for line in (
        ("stock", "count", number, "0"),
        ("supplier", "Crossing Supply", "--distance", "12mi"),
        ("supplier", "Far Barn", "--distance", "90mi"),
        ("enter", "supply", f"part={number}", "supplier=Crossing Supply", "price=12"),
        ("enter", "supply", f"part={number}", "supplier=Far Barn", "price=12"),
    ):
        assert own(*line).code == 0
    fetch = ("fetch", "north knife")
    assert own(*fetch, "--json").json["either_way"] is False
    assert "Either way" not in own(*fetch).out
    assert own("supplier", "Far Barn", "--distance", "13mi").code == 0
    assert own(*fetch, "--json").json["either_way"] is True
    assert "Either way, Crossing Supply or Far Barn. Ring Crossing Supply first" in own(*fetch).out
    # who always has it is the one to ring, although the other is as near
    for _ in range(6):
        assert own(*fetch, "--had", "Crossing Supply").code == 0
        assert own(*fetch, "--lacks", "Far Barn").code == 0
    assert own(*fetch, "--json").json["either_way"] is False


@pytest.mark.parametrize(
    ("price", "do", "said"),
    [("300000", "trade", "Trade Alder"), ("515617", "either_way", "Either way,"), ("900000", "keep", "Keep Alder")],
)
def test_an_offer(demo: Wearlog, price: str, do: str, said: str) -> None:
    offer = ("trade", "alder", "--allowance", "150000", "--price", price)
    assert demo(*offer, "--json").json["combines"][0]["do"] == do
    assert demo(*offer).out.startswith(said)


@pytest.mark.parametrize("deal", [(), ("--hire",), ("--rent",)])
def test_work_for_others_hired_and_rented(demo: Wearlog, deal: tuple[str, ...]) -> None:
    costs = demo(*WORK, "--rate", "32", *deal, "--json").json["short_run_per_acre"]["mean"]["amount"]
    at = demo(*WORK, "--rate", costs, *deal)
    assert "either way" in at.out.lower()
    assert demo(*WORK, "--rate", costs, *deal, "--json").json["either_way"] is True
    for clear in ("2", "120"):
        assert "either way" not in demo(*WORK, "--rate", clear, *deal).out.lower()
