"""Every decision away from the demo: a log with nothing in it, one with a single breakage, and a metric farm in euros."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.running import Wearlog, on_log

WORK = ("custom-work", "--acres", "100", "--ground", "stony")


def done(run: Wearlog, *words: str) -> str:
    said = run(*words)
    assert said.code == 0, (words, said.err)
    return " ".join(said.out.split())


@pytest.fixture
def bare(wearlog: Wearlog, tmp_path: Path) -> Wearlog:
    """One header, new, and nothing cut."""
    own = on_log(wearlog, tmp_path / "bare.db")
    done(own, "add", "header", "North", "--width", "40ft", "--knife", "160")
    done(own, "log", "--yes", "north section 41 rock, 20 min")
    return own


@pytest.fixture
def metric(wearlog: Wearlog, tmp_path: Path) -> Wearlog:
    own = on_log(wearlog, tmp_path / "metric.db")
    done(
        own, "add", "combine", "Falke", "--engine", "2310", "--separator", "1702", "--price", "520000", "--year", "2019"
    )
    for key, content in (("units", "metric"), ("currency", "EUR"), ("downtime_value_per_hour", "180")):
        done(own, "set", key, content)
    done(own, "add", "header", "Nord", "--width", "10.7m", "--knife", "140")
    done(own, "hitch", "nord", "falke")
    done(own, "add", "part", "KS-3", "--fits", "knife section", "--price", "4.60", "--on-hand", "5")
    done(own, "add", "crop", "wheat", "--price", "210")
    done(own, "add", "season", "2026")
    done(own, "plan", "make", "2026")
    done(own, "plan", "area", "620ha", "--ground", "stony", "--season", "2026")
    return own


def test_with_no_acres_ahead_nothing_is_said_to_be_best(bare: Wearlog) -> None:
    said = done(bare, "stop-or-run", "north knife")
    assert "No acres ahead are known, so there is no later time to weigh; changing it now costs " in said
    assert "'wearlog plan area'" in said
    assert "Stop and change it now" not in said
    found = bare("stop-or-run", "north knife", "--json").json
    assert (found["do"], found["verdict"]) == (None, "nothing_ahead")


def test_an_empty_answer_says_once_why_it_is(bare: Wearlog) -> None:
    assert done(bare, "fetch", "north knife").count("No part in the log fits it") == 1
    trade = done(bare, "trade")
    assert trade.count("no combine is in the log") == 1
    assert "wearlog add combine NAME" in trade
    for words in (("compare-parts", "knife section"), ("loss", "--money"), ("trade",)):
        assert not bare(*words).out.startswith("\n"), words


def test_a_log_without_a_part_on_a_machine_has_no_rainy_day(wearlog: Wearlog, tmp_path: Path) -> None:
    own = on_log(wearlog, tmp_path / "nothing.db")
    done(own, "add", "season", "2026")
    assert "no part sits on a machine yet" in done(own, "rain-day", "--hours", "6")


def test_a_metric_farm_is_asked_for_what_it_lacks_in_its_own_measures(metric: Wearlog) -> None:
    refused = metric(*WORK, "--rate", "20-20-20")
    assert refused.code == 2
    assert "Add --yield 6, for example." in refused.err
    said = done(metric, *WORK, "--rate", "85", "--waits")
    assert "6.00" not in said
    assert "acre" not in said
    assert "EUR" in said


def test_what_the_offer_costs_a_year_and_the_price_at_which_it_turns_agree(metric: Wearlog) -> None:
    """Few hours a year keep the value up: sold after one year a cheap offer would cost less than nothing."""
    done(metric, "cut", "falke", "40ha", "--hours", "9")
    assert metric("trade", "falke", "--json").json["combines"][0]["missing"] is None
    for price in ("200000", "300000", "400000", "500000"):
        found = metric("trade", "falke", "--price", price, "--allowance", "120000", "--json").json["combines"][0]
        keep, offer, turns = (
            float(found[key]["amount"]) for key in ("keep_yearly", "offer_yearly", "break_even_price")
        )
        assert (offer < keep) == (float(price) < turns), price
        assert found["offer_years"] >= 3
