"""wearlog wear --lives: the published fit, guesses, errors by line, what is not read or not shown, which interval it is."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.running import Wearlog

#: NIST/SEMATECH e-Handbook 8.4.1.3 (data of 8.2.2.1): ten failures, ten units censored at 500
NIST = (54, 187, 216, 240, 244, 335, 361, 373, 375, 386)


@pytest.fixture
def table(tmp_path: Path) -> Path:
    return tmp_path / "table.csv"


@pytest.fixture
def nist(tmp_path: Path) -> Path:
    file = tmp_path / "nist.csv"
    rows = [f"0,{age},1,1" for age in NIST]
    file.write_text("\n".join(["entry,exit,failed,count", *rows, "0,500,0,10"]) + "\n", encoding="utf-8")
    return file


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


def test_no_such_table(wearlog: Wearlog, tmp_path: Path) -> None:
    code, _, err = wearlog("wear", "--lives", str(tmp_path / "none.csv"))
    assert (code, "There is no file" in err) == (3, True)


def test_a_fit_on_fewer_than_five_failures_is_not_shown(wearlog: Wearlog, table: Path) -> None:
    """One failure at 100 beside 20 whole at 2,000 gives a scale of 14 million; the JSON keeps it, marked."""
    table.write_text("exit,failed,count\n100,1,1\n2000,0,20\n", encoding="utf-8")
    code, out, _ = wearlog("wear", "--lives", str(table))
    assert code == 0
    assert "Shown from 5 failures on; with 1 failure it misleads (--json has it)." in out
    assert "log-likelihood" not in out
    found = json.loads(wearlog("wear", "--lives", str(table), "--json")[1])
    assert found["mle"]["scale"] == pytest.approx(1.42e7, rel=0.01)
    assert found["mle"]["failures_enough"] is False


def test_few_failures_have_the_likelihood_ratio_interval_and_many_the_normal_one(wearlog: Wearlog, table: Path) -> None:
    """Meeker and Escobar 1998, ch. 8: the ratio interval is the better one when failures are few."""
    table.write_text("exit,failed,count\n" + "".join(f"{age},1,1\n" for age in NIST) + "500,0,10\n", encoding="utf-8")
    out = wearlog("wear", "--lives", str(table))[1]
    found = json.loads(wearlog("wear", "--lives", str(table), "--json")[1])["mle"]
    low, high = found["shape_ratio_interval"]
    assert "Lives alone, greatest likelihood, 90 % likelihood-ratio interval:" in out
    assert f"shape        1.721 ({low:.3f}-{high:.3f})" in out
    assert found["shape_ratio_interval"] != pytest.approx(found["shape_interval"], rel=0.01)
    table.write_text("exit,failed,count\n" + "".join(f"{age},1,3\n" for age in NIST) + "500,0,30\n", encoding="utf-8")
    assert "greatest likelihood, 90 % normal interval:" in wearlog("wear", "--lives", str(table))[1]


def test_columns_that_are_not_read_are_named(wearlog: Wearlog, table: Path) -> None:
    table.write_text("exit,failed,cause,last_seen\n90,1,rock,80\n70,1,worn,\n", encoding="utf-8")
    code, out, _ = wearlog("wear", "--lives", str(table))
    assert code == 0
    assert "Not read: columns 'cause' and 'last_seen'. Every failure is taken as wear, at the age of its exit." in out
    found = json.loads(wearlog("wear", "--lives", str(table), "--json")[1])
    assert found["ignored_columns"] == ["cause", "last_seen"]


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        ("exit,age,failed\n9,8,1\n", "line 1: columns A (exit) and B (age) both say exit."),
        ("exit,failed\n9,1,7\n", "line 2, column C: '7' stands beyond the last heading"),
        ("exit,failed,count\n", "table.csv has a heading line and no rows."),
        ("exit,failed,count\n9,1,2\n7,1,1.5\n", "line 3, column C (count): '1.5' is not a whole number of lives."),
    ],
)
def test_what_would_drop_silently_is_refused(wearlog: Wearlog, table: Path, content: str, sentence: str) -> None:
    table.write_text(content, encoding="utf-8")
    code, out, err = wearlog("wear", "--lives", str(table))
    assert (code, out) == (4, "")
    assert sentence in err


def test_empty_cells_beyond_the_last_heading_are_none(wearlog: Wearlog, table: Path) -> None:
    table.write_text("exit,failed\n9,1,\n7,1,,\n", encoding="utf-8")
    assert wearlog("wear", "--lives", str(table))[0] == 0


def test_a_number_with_a_power_of_ten_is_a_number(wearlog: Wearlog, table: Path) -> None:
    table.write_text("exit,failed\n1e3,1\n2.5E+2,0\n7e-1,1\n", encoding="utf-8")
    found = json.loads(wearlog("wear", "--lives", str(table), "--json")[1])
    assert found["exposure"] == pytest.approx(1250.7)
    table.write_text("exit,failed\n1e999,1\n", encoding="utf-8")
    assert "'1e999' is too large." in wearlog("wear", "--lives", str(table))[2]


def test_figures_beyond_counting_keep_to_their_line(wearlog: Wearlog, table: Path) -> None:
    table.write_text("exit,failed\n400,0\n", encoding="utf-8")
    code, out, _ = wearlog("wear", "--lives", str(table), "--prior-life", "1e300", "1e305")
    assert code == 0
    assert max(len(line) for line in out.splitlines()) <= 100
    assert "e+30" in out


def test_a_table_reads_no_log(wearlog: Wearlog, table: Path) -> None:
    code, _, err = wearlog("wear", "--lives", str(table), "--db", "some.db")
    assert (code, "--lives reads no log." in err) == (2, True)
