"""wearlog harvest, calibrate, loss: what they answer, what they enter, and the words that they refuse."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.running import Wearlog
from tests.small_farm import SmallFarm, land
from wearlog.cli.brief_commands import DEMO_DAY


@pytest.fixture
def demo(demo: Wearlog, monkeypatch: pytest.MonkeyPatch) -> Wearlog:
    """wearlog on the demo fleet, on the day its story ends."""
    monkeypatch.setattr("wearlog.cli.harvest_commands.local_now", lambda: DEMO_DAY)
    monkeypatch.setattr("wearlog.cli.loss_commands.local_now", lambda: DEMO_DAY)
    return demo


@pytest.fixture
def own(own: Wearlog, file_farm: SmallFarm) -> Wearlog:
    """wearlog on the small farm, with a field, a crop and a season in it."""
    land(file_farm)
    return own


def flat(text: str) -> str:
    return " ".join(text.split())


def test_harvest_says_how_long_the_planned_season_takes_and_what_that_rests_on(demo: Wearlog) -> None:
    code, out, err = demo("harvest")
    assert (code, err) == (0, "")
    said = flat(out)
    assert "2026: 8,821 ac cut; nobody planned how much." in said
    assert "2027 has not begun: 9,000 ac to cut is 29.4 field days" in said
    assert "by records: cut on 106 of 164 days" in said
    assert "Breakdowns on the way: 62.9 stops" in said
    assert "Tamarack 2026 3,371 276 12.2 - - 25 11 (8-16) 41 min 94 %" in said
    assert (
        "Without breakdowns 44.9 days in the mean; to be done in 37.9 each would have to cut 13.1 ac an hour." in said
    )
    assert "done, % (upright: 80 and 90 %)" in out


def test_harvest_as_json_has_days_dates_and_what_is_a_guess(demo: Wearlog) -> None:
    code, out, _ = demo("harvest", "--left", "500", "--hours", "9", "--workable", "80", "--json")
    assert code == 0
    found = json.loads(out)
    assert found["schema"] == 1
    finish = found["finish"]
    assert (finish["left_acres"], finish["hours_per_day"], finish["workable_share"]) == (500.0, 9.0, 0.8)
    assert (finish["workable_is_guess"], finish["breakdowns_are_guess"], finish["breakdowns_on_record"]) == (
        False,
        False,
        61,
    )
    # 500 ac over 3 combines of 11.1 ac/h for 9 h: 1.67 field days
    assert finish["field_days"] == pytest.approx(1.67, abs=0.01)
    assert finish["days"]["50"] <= finish["days"]["80"] <= finish["days"]["90"] <= 8
    assert finish["dates"]["90"].startswith("2026-11-2")
    assert {row["combine"] for row in found["combines"]} == {"Juniper", "Tamarack", "Alder"}


def test_harvest_without_a_plan_asks_how_much_is_left(own: Wearlog) -> None:
    code, out, _ = own("harvest")
    assert code == 0
    assert "Days to finish: say how much is left (wearlog harvest --left 850), or plan the season." in flat(out)
    assert "No combine has cut yet, so that nothing is measured." in out
    code, out, _ = own("harvest", "--left", "850")
    assert "a guess, computed from 40 ft, 4.5 mph and 70 %: nothing is cut yet" in flat(out)
    assert "86 % of days are fit for cutting: a guess (6 of 7, from memory), until days are on record." in flat(out)


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("harvest", "--left", "many"), "'many' is not a number"),
        (("harvest", "--hours", "30"), "'30' is not the length of a day's work."),
        (("harvest", "--speed", "45 mph"), "'45 mph' is no speed at which a combine cuts."),
        (("harvest", "--speed", "fast"), "'fast' is not an amount."),
        (("calibrate", "kestrel", "yield", "5150"), "A load has four words."),
        (("calibrate", "kestrel", "speed", "5 lb", "5"), "'5 lb' is not measured in mph or km/h."),
        (("calibrate", "--elevator", "13"), "A field and the elevator's figure belong to a sample."),
        (("calibrate", "kestrel", "--sample", "wheat", "13"), "A moisture sample is of the grain, not of a machine."),
        (("loss", "kestrel", "wheat"), "A loss check needs the crop, --behind and --discharge."),
        (("loss", "kestrel", "wheat", "--behind", "x", "--discharge", "5"), "'x' is not a number"),
    ],
)
def test_words_that_do_not_fit_are_told_and_nothing_is_saved(
    own: Wearlog, words: tuple[str, ...], sentence: str
) -> None:
    code, out, err = own(*words)
    assert (code, out) == (2, "")
    assert sentence in err


AT = ("--at", "2026-08-01 14:05")
#: kernels of the count in these tests, and its time
COUNTED = "120 behind and 10 ahead on a square foot, 8.0 times as thick behind, 1 Aug 2026 14:05"


def test_a_load_is_entered_shown_and_taken_back(own: Wearlog) -> None:
    code, out, _ = own("calibrate", "kest", "yield", "5150", "5,000 lb", "--crop", "wheat", *AT)
    assert (code, out) == (0, "Saved: Kestrel, yield load against its reference, wheat: +3.0 %, 1 Aug 2026 14:05.\n")
    _, out, _ = own("calibrate")
    assert "Kestrel yield, by load wheat 2026 1 +3.0 % 3.0 % 0.971 - few loads" in flat(out)
    own("undo")
    _, out, _ = own("calibrate")
    assert "No sensor has been checked yet." in out


def test_a_sample_gives_the_tester_its_offset(own: Wearlog) -> None:
    code, out, _ = own("calibrate", "--sample", "wheat", "13.2", "--elevator", "13,6 %", "--field", "north", *AT)
    assert (code, out) == (0, "Saved: moisture of wheat: 13.2 %, elevator 13.6 % (+0.4), 1 Aug 2026 14:05.\n")
    _, out, _ = own("calibrate", "--json")
    (band,) = json.loads(out)["moisture_offsets"]
    assert (band["from_percent"], band["to_percent"], band["add_points"], band["low"]) == (12.0, 14.0, 0.4, None)


def test_a_count_becomes_a_loss_with_the_width_of_the_hitched_header(own: Wearlog) -> None:
    words = ("--behind", "130 110", "--ahead", "10", "--discharge", "5ft", "--yield", "40 bu/ac", "--field", "north")
    code, _, err = own("loss", "kestrel", "wheat", *words)
    assert code == 2
    assert err == (
        "wearlog: Wheat of which class? hard red 31.2 g, durum 39 g, white 37 g a thousand kernels.\n"
        "  Say hard red or durum or white, or what 1,000 kernels of your own weigh, like '33 g'; it is kept for this crop.\n"
    )
    words = ("--seed", "white", *words)
    code, _, err = own("loss", "kestrel", "wheat", *words)
    assert (code, "Nobody knows what a bushel of this crop weighs" in err) == (2, True)
    code, out, _ = own("loss", "kestrel", "wheat", *words[:-3], "2,400 lb/ac", *AT)
    assert (code, out) == (0, f"Saved: loss check behind Kestrel in wheat: {COUNTED}; its seed is white.\n")
    _, out, _ = own("loss", "--json")
    (check,) = json.loads(out)["checks"]
    # cut 40 ft on 5 ft: (120 - 10) / 8 kernels per square foot came through; white wheat has 27 kernels in a gram
    assert check["concentration"] == 8.0
    assert check["machine_grams_per_square_metre"] == pytest.approx(110 / 8 / 0.09290304 / 27, abs=1e-3)
    assert check["kernels_evidence"] == "computed from a published table"
    _, out, _ = own("loss")
    # (110 / 8 + 10) kernels in all are 9.47 g on 269 g harvested: 3.4 %, over the usual 3 %
    assert "Kestrel wheat 49 lb/ac 36 lb/ac 3.4 % 2.0 % - HIGH" in flat(out)
    assert "four checks of one combine in one crop, with a yield, are needed for a line." in flat(out)


def test_what_a_crop_brings_is_entered_with_it_or_later(own: Wearlog) -> None:
    assert own("add", "crop", "spelt", "--bushel", "30lb").out == "Saved: added the crop spelt.\n"
    assert own("add", "crop", "spelt", "--price", "6.00").out == "Saved: entered what spelt brings.\n"
    # 6.00 for 30 lb: 440.92 a tonne
    row = own("entries", "crop", "spelt", "--json").json["rows"][0]
    assert row["price_per_tonne"] == "440.92"
    assert own("add", "crop", "spelt", "--price", "6.00").code == 4
    assert own("undo").code == 0
    assert "price_per_tonne" not in own("entries", "crop", "spelt", "--json").json["rows"][0]


def test_what_a_bushel_weighs_is_entered_with_the_crop_or_later(own: Wearlog) -> None:
    count = ("--behind", "75", "--discharge", "5ft", "--yield", "40 bu/ac")
    assert own("add", "crop", "Spelt").code == 0
    refused = own("loss", "kestrel", "spelt", *count)
    assert refused.code == 2
    assert "wearlog add crop Spelt --bushel 60lb" in refused.err
    assert own("add", "crop", "spelt", "--bushel", "30lb").out == "Saved: entered what a bushel of Spelt weighs.\n"
    assert own("loss", "kestrel", "spelt", *count).code == 0
    assert own("add", "crop", "spelt").code != 0
    assert own("undo").code == own("undo").code == 0
    assert own("loss", "kestrel", "spelt", *count).code == 2


def test_a_bare_bushel_weight_is_in_the_units_of_the_farm(own: Wearlog, tmp_path: Path) -> None:
    assert own("add", "crop", "teff", "--bushel", "56").code == 0
    assert own("set", "units", "metric").code == 0
    assert own("add", "crop", "rye", "--bushel", "25.4").code == 0
    assert own("export", str(tmp_path / "us")).code == 0
    crops = (tmp_path / "us" / "crop.csv").read_text("utf-8")
    assert "teff,56" in crops
    assert "rye,55.99" in crops


def test_the_class_once_said_is_kept_and_the_farm_s_own_seed_goes_before_it(own: Wearlog) -> None:
    """Hard red needs 20 kernels a square foot for a bushel an acre where white needs 16.9; own seed of 40 g needs 15.6."""
    count = ("--behind", "130 110", "--ahead", "10", "--discharge", "5ft")
    assert own("loss", "kestrel", "wheat", "--seed", "hard red", *count)[0] == 0
    assert own("loss", "kestrel", "wheat", *count, *AT)[:2] == (
        0,
        f"Saved: loss check behind Kestrel in wheat: {COUNTED}.\n",
    )
    found = json.loads(own("loss", "--json")[1])["checks"]
    kernels = 110 / 8 + 10
    # 20 kernels are a bushel of 60 lb on 43,560 square feet
    assert [one["total_grams_per_square_metre"] for one in found] == pytest.approx(
        [kernels / 20 * 60 * 453.59237 / 4046.8564224] * 2, abs=1e-3
    )
    assert own("set", "seed of Wheat", "40 g")[:2] == (0, "Saved: set seed of wheat to 40 g.\n")
    found = json.loads(own("loss", "--json")[1])["checks"]
    assert [one["kernels_evidence"] for one in found] == ["the farm's own seed"] * 2
    assert found[0]["total_grams_per_square_metre"] == pytest.approx(kernels / 0.09290304 / 25, abs=1e-3)
    code, _, err = own("set", "seed of wheat", "blue")
    assert (code, err.splitlines()[0]) == (2, "wearlog: 'blue' says nothing of the seed of wheat.")
    assert own("undo", "--yes")[0] == 0
    assert json.loads(own("loss", "--json")[1])["checks"][0]["kernels_like"] == "hard red spring wheat"


def test_each_crop_has_its_own_mark_or_none(own: Wearlog) -> None:
    """One loss of a tenth of the crop: high in wheat, over a bushel an acre in canola, and unmarked in peas."""
    for crop in ("canola", "field peas", "durum"):
        own("add", "crop", crop)
        _, out, err = own(
            *("loss", "kestrel", crop, "--behind", "0", "--discharge", "5ft", "--yield", "900 lb/ac"),
            *("--ahead", {"canola": "278", "field peas": "5.2", "durum": "26.7"}[crop]),
        )
        assert (out.partition(":")[0], out.split(": ")[1], err) == ("Saved", f"loss check behind Kestrel in {crop}", "")
    found = {one["crop"]: one for one in json.loads(own("loss", "--json")[1])["checks"]}
    assert {crop: round(one["share_of_crop"], 2) for crop, one in found.items()} == {
        "canola": 0.1,
        "field peas": 0.1,
        "durum": 0.1,
    }
    assert {crop: one["is_high"] for crop, one in found.items()} == {"canola": True, "field peas": None, "durum": True}
    told = [line for line in own("loss")[1].splitlines() if "field peas" in line]
    assert not any("HIGH" in line for line in told[:1])


def test_the_grain_of_a_season_is_told_moist_and_dry(demo: Wearlog) -> None:
    """Ten samples of peas at 17.0 %: three points to 14 % at 100 / 86 per cent are 3.5 %."""
    _, out, _ = demo("harvest", "--grain")
    assert "field peas 2026 10 17.0 % (15.9-18.1) 91,532 bu 14.0 % 3.5 % 88,344 bu (87,160-89,529)" in flat(out)
    rows = json.loads(demo("harvest", "--grain", "--json")[1])["grain"]
    peas = next(row for row in rows if (row["crop"], row["season"]) == ("field peas", 2026))
    assert peas["shrink_percent"] == pytest.approx((peas["moisture_percent"] - 14) * 100 / 86, abs=2e-3)
    assert peas["grain_dry"] == pytest.approx(peas["grain_cut"] * (1 - peas["shrink_percent"] / 100), abs=1)
    assert (peas["grain_unit"], peas["acres_cut"]) == ("bu", peas["acres_with_yield"])


def test_the_moisture_of_dry_grain_is_the_buyers(own: Wearlog) -> None:
    assert own("set", "dry standard of Wheat", "14,5 %")[:2] == (0, "Saved: set dry standard of wheat to 14.5.\n")
    assert own("set", "dry standard of wheat", "60").code == 4
    own("calibrate", "--sample", "wheat", "13.2", *AT)
    assert own("harvest", "--grain", "--json").json["grain"][0]["dry_standard_percent"] == 14.5
    assert "dry standard of wheat" in own("set").out


def test_sensors_off_and_losses_that_grow_are_named_on_the_demo_fleet(demo: Wearlog) -> None:
    _, out, _ = demo("calibrate")
    assert "Tamarack yield, by load canola 2026 4 +3.6 % 3.6 % 0.966 0.935 SET ANEW" in flat(out)
    assert "wheat 12 to 14 % 10 +0.2 +0.1 to +0.4" in flat(out)
    _, out, _ = demo("loss")
    assert "and 62 earlier" in out
    assert "Juniper, lentils 5 +0.16 % +0.08 to +0.24 grows" in flat(out)
    _, out, _ = demo("loss", "--json")
    found = json.loads(out)
    assert len(found["checks"]) == 74
    assert sum(one["is_shown"] for one in found["loss_and_wear"]) == 7
