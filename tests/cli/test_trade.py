"""trade: the demo's combines against a new one, and one of them against a concrete offer."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.running import Wearlog, on_log


def _amount(row: dict[str, dict[str, str]], key: str) -> float:
    return float(row[key]["amount"])


def test_every_combine_stands_against_a_new_one_at_its_list_price(demo: Wearlog) -> None:
    found = demo("trade", "--json").json
    assert {row["combine"] for row in found["combines"]} == {"Alder", "Juniper", "Tamarack"}
    for row in found["combines"]:
        low, middle, high = (_amount(row, f"break_even_difference{end}") for end in ("_low", "", "_high"))
        assert low < middle < high
        asked = _amount(row, "asked_difference")
        assert row["do"] == ("trade" if low > asked else "keep" if high < asked else "either_way")
        assert 0 <= row["chance_trade_cheaper"] <= 1
    assert demo("trade").out.startswith("Keep ")


def test_an_offer_at_the_difference_where_it_turns_is_either_way(demo: Wearlog) -> None:
    (row,) = demo("trade", "alder", "--allowance", "150000", "--json").json["combines"]
    turns = 150_000 + _amount(row, "break_even_difference")
    (at,) = demo("trade", "alder", "--allowance", "150000", "--price", f"{turns:.0f}", "--json").json["combines"]
    assert at["do"] == "either_way"
    assert at["chance_trade_cheaper"] == pytest.approx(0.5, abs=0.02)
    cheap, dear = (
        demo("trade", "alder", "--allowance", "150000", "--price", price, "--json").json["combines"][0]
        for price in ("200000", "900000")
    )
    assert (cheap["do"], dear["do"]) == ("trade", "keep")
    assert cheap["offer_yearly"] != dear["offer_yearly"]


def test_a_warranty_makes_the_offer_worth_more(demo: Wearlog) -> None:
    bare, covered = (
        demo("trade", "alder", "--allowance", "150000", "--warranty-hours", hours, "--json").json["combines"][0]
        for hours in ("0", "600")
    )
    assert _amount(covered, "break_even_difference") > _amount(bare, "break_even_difference")


def test_a_combine_without_a_model_year_says_what_it_lacks(own: Wearlog) -> None:
    assert own("trade").out.startswith("Nothing can be weighed: Kestrel lacks model year")
    (row,) = own("trade", "--json").json["combines"]
    assert (row["do"], row["keep_yearly"]) == (None, None)


def test_without_a_combine_there_is_nothing_to_weigh(wearlog: Wearlog, tmp_path: Path) -> None:
    own = on_log(wearlog, tmp_path / "new.db")
    added = own("add", "header", "North Bar")
    # as it can be typed after that
    assert "'wearlog add service usual --on \"North Bar\"' takes them." in added.err
    assert own("trade").out.startswith("Nothing can be weighed: no combine is in the log. Add one: ")


def test_what_is_reckoned_is_said_with_three_digits_and_what_is_asked_as_it_was_written(demo: Wearlog) -> None:
    offer = ("trade", "alder", "--price", "400125", "--allowance", "150000")
    (row,) = demo(*offer, "--json").json["combines"]
    out = demo(*offer).out
    for key in ("keep_yearly", "offer_yearly", "break_even_difference"):
        exact = _amount(row, key)
        said = float(f"{exact:.3g}")
        assert exact != said
        assert f"{said:,.0f}" in out, key
        assert f"{exact:,.0f}" not in out, key
    assert "they ask 250,125 USD" in out
