"""wearlog wear: the table, a kind, a machine, the explanation, repairs, and life tables of any origin."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.running import Wearlog
from wearlog.cli.brief_commands import DEMO_DAY

#: NIST/SEMATECH e-Handbook 8.4.1.3 (data of 8.2.2.1): ten failures, ten units censored at 500
NIST = (54, 187, 216, 240, 244, 335, 361, 373, 375, 386)
FIXED_KEYS = (
    "kind",
    "machine",
    "meter",
    "failures",
    "lives",
    "exposure",
    "life_median",
    "life_low",
    "life_high",
    "b10",
    "now",
)


@pytest.fixture
def demo(demo: Wearlog, monkeypatch: pytest.MonkeyPatch) -> Wearlog:
    """wearlog wear on the demo fleet, on the day its story ends."""
    monkeypatch.setattr("wearlog.cli.wear_commands.local_now", lambda: DEMO_DAY)
    return lambda *words: demo("wear", *words)


@pytest.fixture
def own(own: Wearlog) -> Wearlog:
    """wearlog wear on the small farm."""
    return lambda *words: own("wear", *words)


@pytest.fixture
def nist(tmp_path: Path) -> Path:
    file = tmp_path / "nist.csv"
    rows = [f"0,{age},1,1" for age in NIST]
    file.write_text("\n".join(["entry,exit,failed,count", *rows, "0,500,0,10"]) + "\n", encoding="utf-8")
    return file


def test_the_table_stands_in_the_order_of_what_the_season_threatens(demo: Wearlog) -> None:
    code, out, _ = demo()
    assert code == 0
    lines = out.splitlines()
    assert lines[0].split() == ["part", "lasts", "B10", "fails", "/1,000", "ac", "ahead", "rests", "on"]
    assert lines[2].startswith("knife section")
    assert "71 in 2,516 + guess" in lines[2]
    assert lines[3].startswith("guard")
    assert "Season ahead: 2027 as planned, 9,000 ac still to cut." in out
    assert "common practice, no source" in out


def test_the_json_has_the_fixed_keys_and_every_position(demo: Wearlog) -> None:
    _, out, _ = demo("--json")
    found = json.loads(out)
    assert found["schema"] == 1
    assert all(set(FIXED_KEYS) <= set(kind) for kind in found["kinds"])
    section = next(kind for kind in found["kinds"] if kind["kind"] == "knife section")
    assert (section["failures"], section["lives"], section["breakages"], section["unit"]) == (71, 2516, 157, "acres")
    assert section["life_low"] < section["life_median"] < section["life_high"]
    assert section["b10"] < section["life_median"]
    assert len(section["now"]) == 560
    first = section["now"][0]
    assert {"component", "position", "age", "survive_season", "expected_breakages"} <= set(first)
    assert sum(row["expected_breakages"] for row in section["now"]) == pytest.approx(
        section["expected_breakages"], abs=0.1
    )
    assert section["breakages_per_1000_acres"] == pytest.approx(157 / 53.111, abs=0.01)


def test_a_kind_comes_with_cautions_first_then_life_ages_chart_and_the_hot_window(demo: Wearlog) -> None:
    code, out, _ = demo("knife section")
    assert code == 0
    assert out.startswith("Before you work on a knife section:\n  - Engine off, key out")
    assert "Rests on 71 worn in 2,516 lives, and the starting guess." in out
    assert "still whole, %" in out
    assert "└" in out
    assert "HOT: Merlin, knife sections 61-72" in out
    assert "The records do not show that machines differ" in out


def test_a_measured_kind_says_when_it_meets_its_limit(demo: Wearlog) -> None:
    _, out, _ = demo("clean grain")
    assert "20.080 in (2.7 %)  20.147 in (3.0 %)" in out
    assert "as measured" in out
    assert "Tamarack, position 1:\nmeasured, in (level: the limit; upright: today)" in out


def test_one_machine_alone_says_whether_machines_differ(demo: Wearlog) -> None:
    _, out, _ = demo("--machine", "merlin")
    assert out.startswith("Merlin alone, by its own records")
    assert "31 in 860 + guess" in out
    assert "likelihood ratio" in out
    _, said, _ = demo("--machine", "merlin", "--json")
    assert {kind["machine"] for kind in json.loads(said)["kinds"]} == {"Merlin"}


def test_the_explanation_names_lives_what_was_left_out_and_the_guess(demo: Wearlog) -> None:
    code, out, _ = demo("--explain", "hold-down")
    assert code == 0
    for heading in ("Which lives:", "What was left out:", "The starting guess:", "What would make it surer:"):
        assert heading in out
    assert "25 lives of parts" in out
    assert "2,000 and 9,000 ac" in out
    assert max(len(line) for line in out.splitlines()) <= 100


def test_repairs_are_counted_up_with_their_trend(demo: Wearlog) -> None:
    _, out, _ = demo("--repairs")
    merlin = next(line for line in out.splitlines() if line.startswith("Merlin"))
    assert merlin.split()[1:8] == ["11", "15", "8", "32", "12", "35", "113"]
    assert merlin.endswith("ever closer")
    _, said, _ = demo("--repairs", "--json")
    assert [row["trend"] for row in json.loads(said)["repairs"]].count("ever closer") == 1


def test_on_the_first_day_the_guesses_speak_and_say_so(own: Wearlog) -> None:
    code, out, _ = own()
    assert code == 0
    assert "guess only" in out
    assert "none is planned and none has been cut" in out
    _, told, _ = own("--explain", "knife section")
    assert "starting guess only, common practice, no source" in told
    assert "1,500 and 8,000 ac" in told


def test_a_kind_that_sits_nowhere_is_still_answered(own: Wearlog) -> None:
    code, out, _ = own("universal joint")
    assert code == 0
    assert "nobody knows yet" in out
    assert "It sits on no machine yet" in out


def test_a_life_table_gives_the_published_fit(wearlog: Wearlog, nist: Path) -> None:
    """NIST/SEMATECH e-Handbook 8.4.1.3: scale 606.5280, shape 1.7208, log-likelihood -75.135."""
    code, out, _ = wearlog("wear", "--lives", str(nist), "--json")
    found = json.loads(out)
    assert (code, found["schema"], found["n"], found["failures"], found["exposure"]) == (0, 1, 20, 10, 7771)
    assert found["mle"]["shape"] == pytest.approx(1.7208, abs=5e-5)
    assert found["mle"]["scale"] == pytest.approx(606.5280, abs=1e-3)
    assert found["mle"]["log_likelihood"] == pytest.approx(-75.135, abs=5e-4)
    assert found["mle"]["level"] == 0.9
    assert found["mle"]["shape_interval"][0] < 1.7208 < found["mle"]["shape_interval"][1]
    assert found["prior"] == {"median_life": None, "shape": None, "level": 0.8}
    for name in ("shape", "scale", "median_life", "b10_life"):
        one = found["posterior"][name]
        assert one["low"] < one["median"] < one["high"]
    assert "survival" not in found


def test_a_guess_and_a_stretch_of_ages_go_with_a_table(wearlog: Wearlog, nist: Path) -> None:
    words = (
        "wear",
        "--lives",
        str(nist),
        "--prior-life",
        "100",
        "300",
        "--prior-shape",
        "1.5",
        "4",
        "--survive",
        "100",
        "300",
    )
    found = json.loads(wearlog(*words, "--json")[1])
    plain = json.loads(wearlog("wear", "--lives", str(nist), "--json")[1])
    assert found["prior"] == {"median_life": [100, 300], "shape": [1.5, 4], "level": 0.8}
    assert found["posterior"]["median_life"]["median"] < plain["posterior"]["median_life"]["median"]
    assert found["survival"]["low"] < found["survival"]["mean"] < found["survival"]["high"] < 1
    code, out, _ = wearlog(*words)
    assert code == 0
    assert "whole at 100, still whole at 300" in out


def test_a_table_without_failures_needs_a_guess(wearlog: Wearlog, tmp_path: Path) -> None:
    file = tmp_path / "whole.csv"
    file.write_text("exit,failed\n400,0\n550,0\n", encoding="utf-8")
    code, _, err = wearlog("wear", "--lives", str(file))
    assert code == 4
    assert "Nothing has failed yet and there is no starting guess" in err
    found = json.loads(wearlog("wear", "--lives", str(file), "--prior-life", "300", "900", "--json")[1])
    assert (found["mle"], found["n"]) == (None, 2)
    assert "None of these 2 lives ended in failure" in found["mle_missing"]


def test_errors_of_a_table_name_line_and_column(wearlog: Wearlog, tmp_path: Path) -> None:
    file = tmp_path / "bad.csv"
    file.write_text("exit;failed;entry\n12,5;1;0\n13;maybe;\n5;0;7\n;1;0\n", encoding="utf-8")
    code, out, err = wearlog("wear", "--lives", str(file))
    assert (code, out) == (4, "")
    assert "bad.csv, line 3, column B (failed): 'maybe' is neither yes nor no." in err
    assert "bad.csv, line 4, column A (exit): the life ends at 5, not after its entry at 7." in err
    assert "bad.csv, line 5, column A (exit): it is empty." in err


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        ("", "is empty"),
        ("age,worn\n1,1\n", "there is no column failed"),
        ("exit,failed\n5,1\n5,1\n", ""),
    ],
)
def test_tables_that_are_none_and_degenerate_ones(
    wearlog: Wearlog, tmp_path: Path, content: str, sentence: str
) -> None:
    """Two failures at one age have no greatest likelihood; the posterior answers all the same."""
    file = tmp_path / "odd.csv"
    file.write_text(content, encoding="utf-8")
    code, out, err = wearlog("wear", "--lives", str(file))
    if sentence:
        assert (code, sentence in err) == (4, True)
    else:
        assert code == 0
        assert "Every failure lies at the oldest age seen" in out


def test_an_empty_entry_is_an_unknown_age_and_left_out(wearlog: Wearlog, tmp_path: Path) -> None:
    file = tmp_path / "ages.csv"
    file.write_text("entry,exit,failed,count\n,90,1,\n10,80,yes,2\n0,70,no,\n", encoding="utf-8")
    found = json.loads(wearlog("wear", "--lives", str(file), "--json")[1])
    assert (found["n"], found["failures"], found["exposure"], found["left_out"]) == (3, 2, 210, 1)


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("--prior-life", "1", "2"), "goes with --lives"),
        (("--survive", "1", "2"), "goes with --lives"),
        (("guard", "--lives", "x.csv"), "fits a table on its own"),
    ],
)
def test_options_that_do_not_go_together(wearlog: Wearlog, words: tuple[str, ...], sentence: str) -> None:
    code, _, err = wearlog("wear", *words)
    assert (code, sentence in err) == (2, True)


def test_no_such_table(wearlog: Wearlog, tmp_path: Path) -> None:
    code, _, err = wearlog("wear", "--lives", str(tmp_path / "none.csv"))
    assert (code, "There is no file" in err) == (3, True)
