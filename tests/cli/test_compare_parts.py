"""compare-parts: two part numbers of the demo's knife sections, one of them twice as dear and no better."""

from __future__ import annotations

from pathlib import Path

import pytest

from demo_fleet.known_lives import TRIED, life_of
from tests.cli.running import Wearlog
from tests.two_numbers import note_two_numbers


@pytest.fixture
def two_numbers(demo: Wearlog, tmp_path: Path) -> Wearlog:
    note_two_numbers(str(tmp_path / "demo.db"))
    return demo


def test_the_dear_one_that_lasts_no_longer_is_not_worth_its_money(two_numbers: Wearlog) -> None:
    found = two_numbers("compare-parts", "knife section", "--json").json
    cheap, dear = found["parts"]
    assert (cheap["part"], dear["part"]) == ("QF-1010", "QF-1011")
    assert cheap["chance_cheapest"] > 0.99
    assert cheap["chance_cheapest"] + dear["chance_cheapest"] == pytest.approx(1.0, abs=1e-3)
    assert float(cheap["cost"]["mean"]["amount"]) < float(dear["cost"]["mean"]["amount"])
    assert cheap["life_median"]["low"] < dear["life_median"]["median"] < cheap["life_median"]["high"]
    assert found["failures_needed_each"] is None
    assert found["effective_draws"] > 200
    assert two_numbers("compare-parts", "knife section").out.startswith("QF-1010 is the cheaper: ")


def test_suppliers_are_compared_by_the_price_of_this_kind_alone(two_numbers: Wearlog) -> None:
    by_number = two_numbers("compare-parts", "knife section", "--json").json["parts"]
    by_supplier = two_numbers("compare-parts", "knife section", "--by", "supplier", "--json").json["parts"]
    assert [row["part"] for row in by_supplier] == ["Hollow Road Parts", "Millpond Supply"]
    costs = [[float(row["cost"]["mean"]["amount"]) for row in rows] for rows in (by_number, by_supplier)]
    assert costs[0] == pytest.approx(costs[1], rel=0.01)


def test_the_tines_tried_on_one_reel_are_likely_the_dearer_ones_and_it_is_not_sure_yet(demo: Wearlog) -> None:
    # the truth that the fleet was drawn from: they last less than half as long, and cost two thirds
    steel = life_of("reel tine")
    assert steel is not None
    assert TRIED.scale < steel.scale / 2
    found = demo("compare-parts", "reel tine", "--json").json
    best, tried = found["parts"]
    assert (best["part"], tried["part"]) == ("QF-1060", "QF-1061")
    assert 0.7 < best["chance_cheapest"] < 0.95
    assert tried["failures"] < found["failures_needed_each"] < 30
    assert not found["ground_confounded"]
    lost = float(best["expected_loss"]["amount"])
    assert 0 < lost < float(tried["expected_loss"]["amount"])
    said = " ".join(demo("compare-parts", "reel tine").out.split())
    assert f"To be sure takes about {found['failures_needed_each']} failures of each of the two." in said
    assert (
        f"Choosing QF-1060 costs {lost:.2f} USD per 1,000 ac on the mean for the case that another is cheaper." in said
    )


def test_one_number_is_its_life_and_no_comparison(demo: Wearlog) -> None:
    found = demo("compare-parts", "knife section", "--json").json
    assert [row["chance_cheapest"] for row in found["parts"]] == [None]
    assert "Only one is noted, QF-1010" in demo("compare-parts", "knife section").out


def test_a_kind_of_which_no_number_is_noted_says_what_to_do(demo: Wearlog) -> None:
    assert "Note the part number when you fit one" in demo("compare-parts", "fuse").out


def test_what_terms_of_warranty_pay_back_is_taken_off_the_price(two_numbers: Wearlog) -> None:
    def dear() -> tuple[float | None, float]:
        found = two_numbers("compare-parts", "knife section", "--json").json["parts"]
        row = next(one for one in found if one["part"] == "QF-1011")
        paid = row["terms_worth"]
        return None if paid is None else float(paid["amount"]), float(row["cost"]["mean"]["amount"])

    assert dear()[0] is None
    rows = two_numbers("entries", "part", "--json").json["rows"]
    entry = next(one["entry_number"] for one in rows if one["number"] == "QF-1011")
    before = dear()[1]
    assert two_numbers("change", entry, "warranty=2000 ac").code == 0
    paid, cost = dear()
    assert paid is not None
    assert 0 < paid < 29.90
    assert cost < before
    said = " ".join(two_numbers("compare-parts", "knife section").out.split())
    assert "terms of warranty pay back on the mean is taken off the price of a piece: QF-1011 " in said
    # pro rata pays less, months that are over sooner pay less, and what is taken back pays nothing
    assert two_numbers("change", entry, "warranty_pro_rata=yes").code == 0
    rata = dear()[0]
    assert rata is not None
    assert rata < paid
    assert two_numbers("change", entry, "warranty_months=3").code == 0
    short = dear()[0]
    assert short is not None
    assert short < rata
    for _ in range(3):
        assert two_numbers("undo").code == 0
    assert dear() == (None, before)
