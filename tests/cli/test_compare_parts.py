"""compare-parts: two part numbers of the demo's knife sections, one of them twice as dear and no better."""

from __future__ import annotations

from pathlib import Path

import pytest

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


def test_one_number_is_its_life_and_no_comparison(demo: Wearlog) -> None:
    found = demo("compare-parts", "knife section", "--json").json
    assert [row["chance_cheapest"] for row in found["parts"]] == [None]
    assert "Only one is noted, QF-1010" in demo("compare-parts", "knife section").out


def test_a_kind_of_which_no_number_is_noted_says_what_to_do(demo: Wearlog) -> None:
    assert "Note the part number when you fit one" in demo("compare-parts", "fuse").out
