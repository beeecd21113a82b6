"""neighbours: lives without names are written, read, shown, learned from and forgotten."""

from __future__ import annotations

import csv
import shutil
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.cli.running import Wearlog
from tests.small_farm import SmallFarm
from wearlog.exchange.neighbour_desk import HEADINGS

FARMS = 12
#: kinds of the library: name, meter in the file, median life there (hectares, hours)
KINDS = (
    ("guard", "hectares", 6000.0),
    ("knife section", "hectares", 3000.0),
    ("feeder slat", "separator_hours", 2500.0),
)


def said(run: Wearlog, *words: str) -> Any:
    done = run(*words)
    assert done.code == 0, (words, done.err)
    return done


def number_of(farm: int) -> str:
    return f"{farm + 1:032x}"


def neighbours_rows(farms: int = FARMS, *, issue: int = 1, factor: float = 1.0, seed: int = 3) -> list[list[str]]:
    """Return rows of invented farms: twenty lives of each kind, watched for up to twice their median."""
    rng = np.random.default_rng(seed)
    rows = []
    for farm in range(farms):
        for kind, meter, median in KINDS:
            here = factor * median * np.exp(0.3 * rng.standard_normal())
            age = here * (rng.exponential(size=20) / np.log(2)) ** (1 / 2.3)
            watched = rng.uniform(0.1, 2, 20) * here
            for one, until in zip(age, watched, strict=True):
                life = ["0", f"{max(min(one, until), 1):.2g}", str(int(one <= until)), "1"]
                rows.append(["1", number_of(farm), str(issue), kind, "mixed", meter, *life])
    return rows


def written(path: Path, rows: list[list[str]]) -> Path:
    with path.open("w", newline="", encoding="utf-8") as stream:
        writer = csv.writer(stream)
        writer.writerow(HEADINGS[:10])
        writer.writerows(rows)
    return path


@pytest.fixture
def their_file(tmp_path: Path) -> Path:
    return written(tmp_path / "their.csv", neighbours_rows())


def pool(run: Wearlog) -> dict[str, dict[str, Any]]:
    return {one["kind"]: one for one in said(run, "neighbours", "--json").json["pool"]}


def guess_of(run: Wearlog, kind: str) -> dict[str, Any]:
    found: dict[str, Any] = said(run, "wear", kind, "--json").json["kinds"][0]
    return found


def test_nothing_read_says_how_to_read(own: Wearlog) -> None:
    assert "wearlog neighbours --read FILE" in said(own, "neighbours").out
    assert said(own, "neighbours", "--json").json["pool"] == []


def test_what_neighbours_saw_takes_the_place_of_the_librarys_guess(own: Wearlog, their_file: Path) -> None:
    before = said(own, "wear", "guard").out
    out = said(own, "neighbours", "--read", str(their_file))
    assert "12 farms taken" in out.out
    found = pool(own)
    assert found["guard"]["in_use"]
    assert found["guard"]["farms"] == FARMS
    assert found["guard"]["lives"] == FARMS * 20
    # 6,000 ha are 14,826 ac; a farm lies within a third or so of it
    assert 11_000 < found["guard"]["median"] < 19_000
    after = said(own, "wear", "guard").out
    assert "The starting guess is your neighbours'. 12 farms saw 240 lives" in after
    assert "neighbours" not in before
    assert before != after


def test_own_records_overrule_the_neighbours(demo: Wearlog, tmp_path: Path) -> None:
    far_off = written(tmp_path / "far.csv", neighbours_rows(factor=0.05))
    said(demo, "neighbours", "--read", str(far_off))
    page = said(demo, "wear", "guard").out
    assert "do not fit the starting guess" in page
    row = said(demo, "neighbours", "--json").json["pool"]
    ours = next(one for one in row if one["kind"] == "guard")
    assert ours["in_use"]
    assert ours["median"] < 1500
    # 34 failures of the farm's own: the answer is theirs and not the neighbours'
    half = next(line for line in page.splitlines() if "Half of them last" in line)
    assert int(half.split("last ")[1].split()[0].replace(",", "")) > 10_000


def test_a_guess_that_the_farm_typed_stands(own: Wearlog, their_file: Path) -> None:
    rows = said(own, "entries", "part_kind", "guard", "--json").json["rows"]
    number = next(row["entry_number"] for row in rows if row["name"] == "guard")
    said(own, "change", number, "life_low=900 ac", "life_high=1100 ac")
    said(own, "neighbours", "--read", str(their_file))
    assert not pool(own)["guard"]["in_use"]
    assert pool(own)["guard"]["stands"] == "yours stands"
    assert "The starting guess is your own" in said(own, "wear", "guard").out


def test_undo_and_forget_bring_the_librarys_guess_back(own: Wearlog, their_file: Path) -> None:
    before = said(own, "wear", "guard").out
    said(own, "neighbours", "--read", str(their_file))
    said(own, "undo", "--yes")
    assert said(own, "wear", "guard").out == before
    said(own, "neighbours", "--read", str(their_file))
    said(own, "neighbours", "--forget")
    assert said(own, "wear", "guard").out == before
    assert own("neighbours", "--forget").code == 3
    said(own, "neighbours", "--read", str(their_file))
    assert pool(own)["guard"]["in_use"]


def test_a_newer_issue_of_a_farm_replaces_its_older_one(own: Wearlog, their_file: Path, tmp_path: Path) -> None:
    said(own, "neighbours", "--read", str(their_file))
    first = pool(own)["guard"]
    assert "of 12 farms the log has" in said(own, "neighbours", "--read", str(their_file)).out.lower()
    newer = written(tmp_path / "newer.csv", neighbours_rows(issue=2, factor=3.0, seed=4))
    said(own, "neighbours", "--read", str(newer), "--read", str(their_file))
    second = pool(own)["guard"]
    assert second["farms"] == FARMS
    assert second["lives"] == first["lives"]
    assert second["median"] > 2 * first["median"]


def test_fewer_than_three_farms_say_nothing(own: Wearlog, tmp_path: Path) -> None:
    said(own, "neighbours", "--read", str(written(tmp_path / "two.csv", neighbours_rows(2))))
    assert pool(own)["guard"]["stands"] == "under 3 farms"
    assert "neighbours" not in said(own, "wear", "guard").out


def test_what_is_written_holds_no_name_and_comes_back_as_ones_own(demo: Wearlog, tmp_path: Path) -> None:
    file = tmp_path / "lives.csv"
    out = said(demo, "neighbours", "--write", str(file), "--yes")
    assert "would be written" in out.out
    assert "Under 5 lives, so they stay at home" in out.out
    text = file.read_text("utf-8")
    machines = [one["name"] for one in said(demo, "entries", "machine", "--json").json["rows"]]
    fields = [one["name"] for one in said(demo, "entries", "field", "--json").json["rows"]]
    assert machines
    assert fields
    assert not [name for name in (*machines, *fields) if name.casefold() in text.casefold()]
    rows = list(csv.DictReader(text.splitlines()))
    assert len({row["farm"] for row in rows}) == 1
    by_kind: dict[str, int] = {}
    for row in rows:
        by_kind[row["kind"]] = by_kind.get(row["kind"], 0) + int(row["count"])
        for age in (row["entry"], row["exit"]):
            assert len(f"{float(age):e}".split("e")[0].rstrip("0").replace(".", "")) <= 2, age
    assert min(by_kind.values()) >= 5
    assert "passed over" in said(demo, "neighbours", "--read", str(file)).out
    assert pool(demo) == {}


def test_sums_alone_give_the_same_law(demo: Wearlog, own: Wearlog, tmp_path: Path) -> None:
    lives, sums = tmp_path / "lives.csv", tmp_path / "sums.csv"
    others = neighbours_rows(4)
    written(lives, others)
    said(demo, "neighbours", "--write", str(lives), "--yes")
    said(own, "neighbours", "--read", str(lives))
    by_lives = pool(own)
    said(own, "undo", "--yes")
    said(demo, "neighbours", "--write", str(sums), "--sums", "--yes")
    assert not [row for row in csv.DictReader(sums.read_text("utf-8").splitlines()) if row["exit"]]
    said(own, "neighbours", "--read", str(sums), "--read", str(written(tmp_path / "others.csv", others)))
    by_sums = pool(own)
    assert by_sums.keys() == by_lives.keys()
    assert by_sums["guard"]["farms"] == by_lives["guard"]["farms"] == 5
    assert by_sums["guard"]["median"] == pytest.approx(by_lives["guard"]["median"], rel=1e-4)


def test_the_file_that_is_passed_round_keeps_what_others_wrote(demo: Wearlog, their_file: Path) -> None:
    said(demo, "neighbours", "--write", str(their_file), "--yes")
    said(demo, "neighbours", "--write", str(their_file), "--yes")
    rows = list(csv.DictReader(their_file.read_text("utf-8").splitlines()))
    others = [row for row in rows if row["farm"].startswith("0000")]
    mine = [row for row in rows if not row["farm"].startswith("0000")]
    assert len(others) == len(neighbours_rows())
    assert {row["issue"] for row in mine} == {"2"}


def test_a_new_number_is_another_farm(demo: Wearlog, tmp_path: Path) -> None:
    first, second = tmp_path / "one.csv", tmp_path / "two.csv"
    said(demo, "neighbours", "--write", str(first), "--yes")
    said(demo, "neighbours", "--new-number")
    said(demo, "neighbours", "--write", str(second), "--yes")
    numbers = [{row["farm"] for row in csv.DictReader(one.read_text("utf-8").splitlines())} for one in (first, second)]
    assert not numbers[0] & numbers[1]


def test_spoilt_rows_are_refused_by_line_and_the_others_are_taken(own: Wearlog, tmp_path: Path) -> None:
    rows = neighbours_rows(3)
    rows[4][7] = "-3"
    rows[5][1] = "the Miller farm"
    rows[6][4] = "swamp"
    rows[7][9] = "1.5"
    rows[8][8] = "maybe"
    out = said(own, "neighbours", "--read", str(written(tmp_path / "spoilt.csv", rows))).out
    for line in (6, 7, 8, 9, 10):
        assert f"spoilt.csv, line {line}: " in out
    assert "is no number of a farm" in out
    assert "is no ground" in out
    assert pool(own)["guard"]["lives"] == 60 - 5


def test_a_file_of_another_version_is_refused_whole(own: Wearlog, tmp_path: Path) -> None:
    rows = neighbours_rows(3)
    rows[-1][0] = "2"
    done = own("neighbours", "--read", str(written(tmp_path / "new.csv", rows)))
    assert done.code == 4
    assert f"line {len(rows) + 1}: written in version 2" in done.err
    assert pool(own) == {}


def test_kinds_unknown_here_are_kept_and_told(own: Wearlog, tmp_path: Path) -> None:
    rows = [[*row[:3], "moon plate" if row[3] == "guard" else row[3], *row[4:]] for row in neighbours_rows(4)]
    said(own, "neighbours", "--read", str(written(tmp_path / "moon.csv", rows)))
    assert pool(own)["moon plate"]["stands"] == "unknown here"
    assert "knows no such kind on that meter: moon plate" in said(own, "neighbours").out.replace("\n  ", " ")


@pytest.mark.parametrize("content", ["", "name,price\nx,1\n", "\x00\x01"])
def test_another_file_is_refused(own: Wearlog, tmp_path: Path, content: str) -> None:
    file = tmp_path / "other.csv"
    file.write_text(content, "utf-8")
    done = own("neighbours", "--read", str(file))
    assert done.code == 4
    assert "neighbours' lives" in done.err
    assert own("neighbours", "--write", str(file), "--yes").code in {0, 4}
    assert file.read_text("utf-8") == content


def test_what_was_read_goes_along_in_sheets(own: Wearlog, wearlog: Wearlog, their_file: Path, tmp_path: Path) -> None:
    said(own, "neighbours", "--read", str(their_file))
    folder, other = tmp_path / "sheets", tmp_path / "other.db"
    said(own, "export", str(folder))
    said(wearlog, "import", str(folder), "--db", str(other))
    theirs = said(wearlog, "neighbours", "--json", "--db", str(other)).json["pool"]
    assert {one["kind"]: one["median"] for one in theirs} == {kind: one["median"] for kind, one in pool(own).items()}
    assert said(own, "check").code == 0


def test_what_was_read_goes_along_in_bundles_and_copies(
    own: Wearlog, wearlog: Wearlog, file_farm: SmallFarm, their_file: Path, tmp_path: Path
) -> None:
    other, bundle, copy = (tmp_path / name for name in ("other.db", "stick.bundle", "copy.db"))
    shutil.copyfile(str(file_farm.store.location.file), other)
    said(own, "neighbours", "--read", str(their_file))
    said(own, "pack", str(bundle))
    said(wearlog, "merge", str(bundle), "--yes", "--db", str(other))
    said(own, "backup", str(copy))
    here = {kind: one["median"] for kind, one in pool(own).items()}
    assert here
    for place in (other, copy):
        told = said(wearlog, "neighbours", "--json", "--db", str(place)).json["pool"]
        assert {one["kind"]: one["median"] for one in told} == here
        assert "The starting guess is your neighbours'" in said(wearlog, "wear", "guard", "--db", str(place)).out
        assert said(wearlog, "check", "--db", str(place)).code == 0


def test_two_laptops_that_read_different_files_have_both_after_a_merge(
    own: Wearlog, wearlog: Wearlog, file_farm: SmallFarm, tmp_path: Path
) -> None:
    other, bundle = tmp_path / "other.db", tmp_path / "stick.bundle"
    shutil.copyfile(str(file_farm.store.location.file), other)
    rows = neighbours_rows(8)
    first = [row for row in rows if int(row[1], 16) <= 4]
    second = [row for row in rows if int(row[1], 16) > 4]
    said(own, "neighbours", "--read", str(written(tmp_path / "first.csv", first)))
    said(wearlog, "neighbours", "--read", str(written(tmp_path / "second.csv", second)), "--db", str(other))
    said(own, "pack", str(bundle))
    said(wearlog, "merge", str(bundle), "--yes", "--db", str(other))
    merged = said(wearlog, "neighbours", "--db", str(other)).out
    assert "8 farms told of" in merged
    assert "--again" in merged
    said(wearlog, "neighbours", "--again", "--db", str(other))
    assert "--again" not in said(wearlog, "neighbours", "--db", str(other)).out
    assert "8 farms saw" in said(wearlog, "wear", "guard", "--db", str(other)).out
