"""custom-work: the command, its offers of three parts, the other way round, metric farms, what is wrong and what is missing."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from tests.cli.running import Wearlog
from wearlog.facts.farm_settings import USUAL_DOWNTIME_SOURCE
from wearlog.reckoning.plan.custom_crop import _in_season_of


def said(run: Wearlog, *words: str) -> Any:
    done = run(*words)
    assert done.code == 0, (words, done.err)
    return done


WORK = ("custom-work", "--acres", "300", "--ground", "stony")


def test_the_demo_fleet_is_told_what_an_acre_costs(demo: Wearlog) -> None:
    out = said(demo, *WORK, "--rate", "32").out
    assert "for an acre of stony ground pays" in out
    assert "Each kind stands in one of them." in out
    found = said(demo, *WORK, "--rate", "32", "--json").json
    short, full = (float(found[key]["mean"]["amount"]) for key in ("short_run_per_acre", "full_per_acre"))
    parts = {one["what"]: float(one["per_acre"]["amount"]) for one in found["parts"]}
    assert sum(value for name, value in parts.items() if name != "owning") == pytest.approx(short, abs=0.05)
    assert sum(parts.values()) == pytest.approx(full, abs=0.05)
    assert float(found["gain"]["amount"]) == pytest.approx(300 * (32 - short), abs=2)
    assert found["verdict"] == "pays"
    assert not set(found["kinds_in_wear"]) & set(found["kinds_in_repairs"])


def test_an_offer_of_three_parts_is_one_rate(demo: Wearlog) -> None:
    found = said(demo, *WORK, "--rate", "20-20-20", "--yield", "35", "--json").json
    assert found["rate_offered"]["amount"] == "30.00"
    assert demo(*WORK, "--rate", "20-20-20").code == 2


def test_the_other_way_round(demo: Wearlog) -> None:
    assert said(demo, *WORK, "--rate", "60", "--hire").out.startswith("Cut it yourself")
    assert said(demo, *WORK, "--rate", "3", "--hire").out.startswith("Hire it")
    rented = said(demo, *WORK, "--rate", "20", "--rent", "--json").json
    assert {one["what"] for one in rented["parts"]}.isdisjoint({"fuel", "labour"})
    assert demo(*WORK, "--rate", "20", "--rent", "--hire").code == 2
    assert demo(*WORK, "--rate", "20", "--rent", "--rent-in").code == 2


def test_rented_in_by_the_hour_stands_against_what_the_own_costs_without_driver_and_fuel(demo: Wearlog) -> None:
    found = said(demo, *WORK, "--rate", "130/h", "--rent-in", "--combine", "Tamarack", "--json").json
    parts = {one["what"]: float(one["per_acre"]["amount"]) for one in found["parts"]}
    assert set(parts) == {"wear", "stones", "repairs", "standing", "value_lost", "owning"}
    assert found["deal"] == "rent_in"
    short = float(found["short_run_per_acre"]["mean"]["amount"])
    assert sum(value for name, value in parts.items() if name != "owning") == pytest.approx(short, abs=0.05)
    # renting it out leaves over what renting it in costs more
    out = said(demo, *WORK, "--rate", "130/h", "--rent", "--combine", "Tamarack", "--json").json
    assert float(found["gain"]["amount"]) == pytest.approx(-float(out["gain"]["amount"]), abs=0.02)
    rate = float(found["rate_offered"]["amount"])
    assert float(found["gain"]["amount"]) == pytest.approx(300 * (short - rate), abs=3)
    for written in ("130 an hour", "130 per hour", "130/hr"):
        assert said(demo, *WORK, "--rate", written, "--rent-in", "--combine", "Tamarack", "--json").json == found
    out = said(demo, *WORK, "--rate", "300/h", "--rent-in").out
    assert out.startswith("Use your own: 300.00 an hour (")
    assert "Driver and fuel are yours both ways" in out
    assert "days sooner" in out, "the season to come is planned: a second machine shortens it"
    assert said(demo, *WORK, "--rate", "20/h", "--rent-in").out.startswith("Rent it in: 20.00 an hour (")


def test_a_crop_says_the_pace_the_yield_and_what_an_hour_of_it_is_worth(demo: Wearlog) -> None:
    hire = (*WORK, "--rate", "32", "--hire", "--combine", "Tamarack")
    any_crop = said(demo, *hire, "--json").json
    canola = said(demo, *hire, "--crop", "can", "--json").json
    assert (any_crop["crop"], canola["crop"], canola["pace_is_of_crop"]) == (None, "canola", True)
    # canola is cut faster than the crops of the whole season, so each acre has less of the hour's costs in it
    assert float(canola["short_run_per_acre"]["mean"]["amount"]) < float(
        any_crop["short_run_per_acre"]["mean"]["amount"]
    )
    assert " in canola: " in " ".join(said(demo, *hire, "--crop", "canola").out.split())
    assert demo(*hire, "--crop", "millet").code == 3
    wheat = (*WORK, "--rate", "20-20-20", "--crop", "wheat", "--json")
    by_record, by_hand = said(demo, *wheat).json, said(demo, *wheat, "--yield", "35").json
    # 20 + 0.20 y + 0.20 (y - 20) above 20 bushels an acre
    bushels = (float(by_record["rate_offered"]["amount"]) - 16) / 0.40
    assert 30 < bushels < 60
    assert by_hand["rate_offered"]["amount"] == "30.00"
    before = said(demo, *hire, "--crop", "wheat", "--json").json["hour_of_standing"]
    assert before["amount"] == "340.00", "the farm set its hour itself, and that stands"
    said(demo, "add", "crop", "wheat", "--price", "6.00")
    assert said(demo, *hire, "--crop", "wheat", "--json").json["hour_of_standing"] == before
    said(demo, "set", "downtime_value_source", USUAL_DOWNTIME_SOURCE)
    after = said(demo, *hire, "--crop", "wheat", "--json").json["hour_of_standing"]
    assert after != before
    # the acres of another are his to lose: the farm's own hour stands
    assert said(demo, *WORK, "--rate", "32", "--crop", "wheat", "--json").json["hour_of_standing"] == before
    assert "by what this wheat loses meanwhile" in " ".join(said(demo, *hire, "--crop", "wheat").out.split())


def test_acres_for_which_no_season_has_the_days_get_a_day_and_no_verdict(demo: Wearlog) -> None:
    few = said(demo, *WORK, "--rate", "32", "--json").json
    assert few["too_late"] is False
    many = ("custom-work", "--acres", "9000", "--ground", "stony", "--rate", "32")
    found = said(demo, *many, "--json").json
    assert found["too_late"] is True
    assert found["done_by"] > few["done_by"]
    out = said(demo, *many).out
    assert out.startswith("Not before ")
    assert " take one combine " in out
    assert "pays" not in out.splitlines()[0]


@pytest.mark.parametrize(
    ("begins", "start", "end", "day"),
    [
        # a harvest over New Year, before it and as it ends
        ("2026-11-20", "2023-11-28", "2024-01-19", "2027-01-19"),
        ("2026-11-20", "2024-11-15", "2024-12-30", "2026-12-30"),
        ("2027-01-04", "2024-12-01", "2025-01-25", "2027-01-25"),
        # one within a year, and the day that not every year has
        ("2027-07-20", "2024-07-25", "2024-09-07", "2027-09-07"),
        ("2027-01-04", "2024-01-06", "2024-02-29", "2027-02-28"),
    ],
)
def test_the_end_of_another_season_is_found_in_one_that_runs_over_new_year(
    begins: str, start: str, end: str, day: str
) -> None:
    found = _in_season_of(*(date.fromisoformat(one) for one in (begins, start, end)))
    assert found.isoformat() == day


def test_own_crop_that_waits_is_priced_where_its_worth_is_known(demo: Wearlog) -> None:
    out = said(demo, *WORK, "--rate", "32", "--waits").out
    assert "days later" in out
    assert "No own crop waits for it." in said(demo, *WORK, "--rate", "32", "--after").out


def test_fuel_as_it_is_said(demo: Wearlog) -> None:
    def fuel(*words: str) -> float:
        parts = said(demo, *WORK, "--json", *words).json["parts"]
        return next(float(one["per_acre"]["amount"]) for one in parts if one["what"] == "fuel")

    assert fuel("--fuel-price", "7.60") == pytest.approx(2 * fuel(), abs=0.02)
    assert fuel("--burns", "26") == pytest.approx(2 * fuel(), abs=0.02)
    assert fuel("--fuel-price", "0") == 0


def test_a_metric_farm_is_answered_in_hectares(demo: Wearlog) -> None:
    acres = said(demo, *WORK, "--json").json["short_run_per_acre"]["mean"]["amount"]
    said(demo, "set", "units", "metric")
    found = said(demo, "custom-work", "--acres", "121.4", "--ground", "stony", "--json").json
    hectares = found["short_run_per_hectare"]["mean"]["amount"]
    assert float(hectares) == pytest.approx(float(acres) * 2.47105, rel=0.01)
    assert (
        "a hectare of stony ground" in said(demo, "custom-work", "--acres", "120", "--ground", "stony").out.casefold()
    )


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("custom-work",), "How much is to be cut?"),
        (("custom-work",), "Say it with --acres: wearlog custom-work --acres 300"),
        (("custom-work", "--acres", "300"), "On which ground?"),
        (("custom-work", "--acres", "300", "--ground", "swamp"), "is no ground"),
        (("custom-work", "--acres", "0", "--ground", "stony"), "nothing to cut"),
        (("custom-work", "--acres", "many", "--ground", "stony"), "many"),
    ],
)
def test_what_is_missing_is_asked_for(demo: Wearlog, words: tuple[str, ...], told: str) -> None:
    done = demo(*words)
    assert done.code == 2
    assert told in done.err


def test_the_small_farm_has_an_answer_that_says_what_is_left_out(own: Wearlog) -> None:
    done = own(*WORK, "--rate", "32")
    assert done.code in {0, 3}, done.err
    if done.code == 0:
        assert "Left out:" in done.out or "Rests" in done.out or "USD" in done.out
