"""loss --money: what worn threshing parts of the demo's combines cost in grain, and in money once the crops have prices."""

from __future__ import annotations

import pytest

from tests.cli.running import Wearlog

PRICES = ("--price", "wheat", "6", "--price", "canola", "13", "--price", "lentils", "15", "--price", "field peas", "8")


def test_without_prices_it_says_the_grain_and_the_price_from_which_renewing_pays(demo: Wearlog) -> None:
    found = demo("loss", "--money", "--json").json
    assert {row["combine"] for row in found["combines"]} == {"Alder", "Juniper", "Tamarack"}
    for row in found["combines"]:
        assert row["do"] is None
        assert row["grain_saved_by_renewing"] is None
        assert row["grain_saved_tonnes"] > 0
        per_tonne = float(row["pays_from_per_tonne"]["amount"])
        costs = float(row["renewing_costs"]["amount"])
        assert per_tonne * row["grain_saved_tonnes"] == pytest.approx(costs, rel=0.01)
    growth = found["loss_growth_per_life"]
    assert 0 < growth["low"] < growth["median"] < growth["high"]
    assert "it pays from" in demo("loss", "--money").out


def test_with_prices_the_verdict_follows_the_interval_of_the_gain(demo: Wearlog) -> None:
    found = demo("loss", *PRICES, "--json").json
    for row in found["combines"]:
        low, mean, high = (float(row[f"gain_{end}"]["amount"]) for end in ("low", "mean", "high"))
        assert low < mean < high
        assert row["do"] == ("replace" if low > 0 else "run" if high < 0 else "either_way")
        saved = float(row["grain_saved_by_renewing"]["mean"]["amount"])
        assert mean == pytest.approx(saved - float(row["renewing_costs"]["amount"]), abs=0.02)
        assert row["renewal_age_hours"] < row["renewal_age_without_grain_hours"]
        assert float(row["check_worth"]["amount"]) >= 0
    assert found["combines"][0]["combine"] == "Tamarack"
    assert demo("loss", *PRICES).out.startswith("Renew: renewing the rasp bars of Tamarack now saves")


def test_a_farm_without_a_check_is_told_what_is_missing(own: Wearlog) -> None:
    assert "No loss check says how old the threshing parts were" in own("loss", "--money").out


def test_a_price_of_a_crop_that_nobody_grows_is_a_sentence(demo: Wearlog) -> None:
    ran = demo("loss", "--price", "spelt", "9")
    assert ran.code != 0
    assert "spelt" in ran.err


def test_a_price_does_not_belong_to_an_entry(demo: Wearlog) -> None:
    ran = demo("loss", "Alder", "wheat", "--behind", "60", "--discharge", "5ft", "--money")
    assert ran.code != 0
    assert "--money" in ran.err
