"""wearlog wear --lives: the published fit, guesses, errors by line, what is not read or not shown, which interval it is."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from tests.cli.running import Wearlog
from wearlog.wear import Lives, fit_posterior, fit_weibull, starting_guess

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
    prior = found["prior"]
    assert (prior["median_life"], prior["shape"], prior["level"]) == ([100, 300], [1.5, 4], 0.8)
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


def test_numbers_as_programs_write_them_are_taken(wearlog: Wearlog, table: Path) -> None:
    """Seventeen digits that mean something, twenty decimals, a comma before a power of ten."""
    table.write_text("exit,failed\n1.4150000000000003,1\n2.12345678901234567890,0\n", encoding="utf-8")
    found = json.loads(wearlog("wear", "--lives", str(table), "--json")[1])
    assert found["exposure"] == 1.4150000000000003 + 2.12345678901234567890
    table.write_text("exit;failed\n1,5e+01;1\n,25E1;0\n", encoding="utf-8")
    assert json.loads(wearlog("wear", "--lives", str(table), "--json")[1])["exposure"] == 17.5


def test_a_failure_last_seen_whole_lies_between_that_and_its_exit(wearlog: Wearlog, table: Path) -> None:
    """As the package does interval censoring; an empty cell is an exact age, one of a whole life says nothing."""
    rows = ["0,700,1,1,400", "100,900,1,2,", "0,1500,1,1,1500", "0,1100,0,1,900"]
    table.write_text("entry,exit,failed,count,last seen whole\n" + "\n".join(rows) + "\n", encoding="utf-8")
    found = json.loads(wearlog("wear", "--lives", str(table), "--prior-life", "500", "2000", "--json")[1])
    lives = Lives.of(
        [700.0, 900, 1500, 1100],
        [1, 1, 1, 0],
        entry=[0.0, 100, 0, 0],
        weight=[1.0, 2, 1, 1],
        last_seen=[400.0, 900, 1500, 1100],
    )
    expected = fit_posterior(lives, starting_guess((500.0, 2000.0))).median_life()
    assert found["posterior"]["median_life"] == {
        "median": expected.median,
        "low": expected.low,
        "high": expected.high,
    }
    assert found["mle"]["scale"] == fit_weibull(lives).scale
    assert (found["failed_between"], found["ignored_columns"]) == (1, [])
    said = wearlog("wear", "--lives", str(table), "--prior-life", "500", "2000")[1]
    assert "1 of the failures lies between the age last seen whole and the exit, no nearer known." in said


@pytest.mark.parametrize(("seen", "entry"), [("950", "0"), ("50", "100"), ("-1", "0"), ("soon", "0")])
def test_last_seen_whole_must_lie_in_the_life(wearlog: Wearlog, table: Path, seen: str, entry: str) -> None:
    table.write_text(f"entry,exit,failed,last_seen_whole\n{entry},900,1,{seen}\n", encoding="utf-8")
    code, out, err = wearlog("wear", "--lives", str(table))
    assert (code, out) == (4, "")
    assert "table.csv, line 2, column D (last_seen_whole):" in err


def test_lives_that_contradict_the_guess_are_said_to(wearlog: Wearlog, table: Path) -> None:
    """Typed 950-1,050 where half last 2,000: five failures speak for themselves, with the keys of the JSON."""
    place = [(i - 0.3) / 5.4 for i in range(1, 6)]
    ages = [2000 * (-math.log1p(-one) / math.log(2)) ** (1 / 2.5) for one in place]
    table.write_text("exit,failed\n" + "".join(f"{age!r},1\n" for age in ages), encoding="utf-8")
    words = ("wear", "--lives", str(table), "--prior-life", "950", "1050", "--prior-shape", "1.5", "4")
    told = " ".join(wearlog(*words)[1].split())
    assert (
        "Your records do not fit the starting guess: half of them last about twice as long as guessed (5 failures; guessed "
        "950-1050; p = 0.025). The records speak (76 %)."
    ) in told
    prior = json.loads(wearlog(*words, "--json")[1])["prior"]
    assert prior["guess_conflict_p"] == pytest.approx(0.02546, abs=5e-6)
    assert prior["guess_weight"] == pytest.approx(0.24026, abs=5e-6)
    assert prior["guess_too"] == "short"
    fitting = json.loads(wearlog("wear", "--lives", str(table), "--prior-life", "1500", "2500", "--json")[1])["prior"]
    assert fitting["guess_too"] is None
    assert fitting["guess_conflict_p"] > 0.2
    shape_only = json.loads(wearlog("wear", "--lives", str(table), "--prior-shape", "2", "3", "--json")[1])["prior"]
    assert [shape_only[key] for key in ("guess_conflict_p", "guess_too", "guess_weight")] == [None] * 3


def test_fit_and_answer_that_part_company_are_said_to(wearlog: Wearlog, table: Path) -> None:
    """A shape guessed at 1 to 1.1 against forty failures of shape 6; without the guess they agree, and nothing is said."""
    ages = [1000 * (-math.log1p(-(i - 0.3) / 40.4)) ** (1 / 6) for i in range(1, 41)]
    table.write_text("exit,failed\n" + "".join(f"{age!r},1\n" for age in ages), encoding="utf-8")
    told = " ".join(wearlog("wear", "--lives", str(table), "--prior-shape", "1", "1.1")[1].split())
    assert "Fit and answer part company: shape 6.3 against" in told
    assert "the starting guess still holds the answer there." in told
    assert "part company" not in wearlog("wear", "--lives", str(table))[1]


def test_figures_beyond_counting_keep_to_their_line(wearlog: Wearlog, table: Path) -> None:
    table.write_text("exit,failed\n400,0\n", encoding="utf-8")
    code, out, _ = wearlog("wear", "--lives", str(table), "--prior-life", "1e300", "1e305")
    assert code == 0
    assert max(len(line) for line in out.splitlines()) <= 100
    assert "e+30" in out


def test_a_table_reads_no_log(wearlog: Wearlog, table: Path) -> None:
    code, _, err = wearlog("wear", "--lives", str(table), "--db", "some.db")
    assert (code, "--lives reads no log." in err) == (2, True)


def test_a_table_says_what_ended_each_life_and_when_it_was_mended(wearlog: Wearlog, table: Path) -> None:
    """A mended part is pieces, each from the mend before it on; what a stone ended says only that wear had not."""
    table.write_text(
        "entry,exit,failed,count,ended_by,mended_at\n"
        "0,900,1,1,wear,300; 620\n0,500,1,2,impact,\n0,800,1,,,\n0,700,0,3,none,\n10,450,1,2,secondary,100\n",
        encoding="utf-8",
    )
    found = json.loads(wearlog("wear", "--lives", str(table), "--json")[1])
    wanted = fit_weibull(
        Lives.of(
            [500, 800, 700, 300, 620, 900, 100, 450],
            [False, True, False, True, True, True, True, False],
            entry=[0, 0, 0, 0, 300, 620, 10, 100],
            weight=[2, 1, 3, 1, 1, 1, 2, 2],
        )
    )
    assert (found["n"], found["failures"], found["ignored_columns"]) == (13, 6, [])
    assert found["mle"]["shape"] == pytest.approx(wanted.shape, rel=1e-6)
    assert found["mle"]["scale"] == pytest.approx(wanted.scale, rel=1e-6)


def test_mends_out_of_order_and_unknown_ends_are_refused_by_line(wearlog: Wearlog, table: Path) -> None:
    table.write_text("exit,failed,ended_by,mended_at\n90,1,hail,\n90,1,wear,80; 40\n", encoding="utf-8")
    code, _, err = wearlog("wear", "--lives", str(table))
    assert code != 0
    assert "'hail' ended no life" in err
    assert "line 3" in err
    assert "not in order of age" in " ".join(err.split())
