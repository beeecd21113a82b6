"""pack, merge and settle as a person types them, and what check says afterwards."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.cli.running import Wearlog, on_log

FARM = (
    ("add", "combine", "Kestrel", "--engine", "2310", "--at", "2026-04-01 8:00"),
    ("add", "header", "North", "--width", "40ft", "--knife", "160", "--at", "2026-04-01 8:00"),
)


@pytest.fixture
def cabs(wearlog: Wearlog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Wearlog, Wearlog]:
    """One farm's log on two laptops, each with its own name."""
    for line in FARM:
        assert on_log(wearlog, tmp_path / "one.db")(*line).code == 0
    shutil.copy(tmp_path / "one.db", tmp_path / "two.db")

    def of(file: str, device: str) -> Wearlog:
        def ran(*words: str) -> object:
            monkeypatch.setenv("WEARLOG_DEVICE", device)
            return on_log(wearlog, tmp_path / file)(*words)

        return ran

    return of("one.db", "cab 1"), of("two.db", "cab 2")


def test_a_merge_tells_first_and_takes_nothing_unasked(cabs: tuple[Wearlog, Wearlog], tmp_path: Path) -> None:
    first, second = cabs
    stick = str(tmp_path / "stick.bundle")
    second("read", "kestrel", "engine", "2311", "--at", "2026-04-02 8:00")
    packed = second("pack", stick)
    assert packed.code == 0
    assert packed.out.startswith(f"Packed 5 entries into {stick} (")
    told = first("merge", stick)
    assert (told.code, told.out) == (4, "from 'cab 2': 1 entry\n")
    assert told.err == "wearlog: Nothing was taken.\n  Add --yes to take it.\n"
    assert first("history", "--json").json["entries"][0]["device"] == "shop"
    assert first("merge", stick, "--yes").out == "from 'cab 2': 1 entry\nTaken in.\n"
    assert first("history", "--json").json["entries"][0]["device"] == "cab 2"
    assert first("merge", stick).out == "Nothing new: all that 'cab 2' packed is in this log already.\n"


def test_what_both_changed_is_listed_settled_once_and_gone_on_both(
    cabs: tuple[Wearlog, Wearlog], tmp_path: Path
) -> None:
    first, second = cabs
    stick = str(tmp_path / "stick.bundle")
    assert first("log", "section 41 rock, 2026-07-28 10:00", "--yes").code == 0
    assert second("log", "section 41 rock, 2026-07-28 11:00", "--yes").code == 0
    second("pack", stick)
    merged = first("merge", stick, "--yes", "--json").json
    assert (merged["entries"], merged["apart"], len(merged["touching"])) == (1, 1, 1)
    (row,) = merged["to_settle"]
    assert [side["device"] for side in row["sides"]] == ["cab 2", "cab 1"]
    assert row["what"] == "fitting: North, knife section, position 41"
    assert row["sides"][1]["differs"] == "removed at: 2026-07-28 11:00 → 2026-07-28 10:00"
    assert [one["message"] for one in merged["to_mend"]]
    checked = first("check")
    assert checked.code == 0
    assert "The file is whole." in checked.out
    assert "1 row was changed apart on two laptops" in checked.out
    assert "TO MEND: Position 41 of 'North, knife section' is still taken" in checked.out
    listed = first("settle").out
    assert f"{row['called']}  fitting: North, knife section, position 41" in listed
    assert first("settle", row["called"]).code == 2
    assert first("settle", "ffffffffffff", "--keep", "1").code == 3
    assert first("settle", row["called"], "--keep", "3").code == 3
    settled = first("settle", row["called"], "--keep", "2")
    assert settled.out == "Settled a fitting that was changed apart: as 'cab 1' said.\n"
    assert first("settle").out == "Nothing is to be settled.\n"
    assert first("settle", "--as-shown").code == 4
    first("pack", stick)
    second("merge", stick, "--yes")
    assert second("settle", "--json").json["to_settle"] == []


def test_a_merge_begins_the_log_of_a_new_laptop(
    wearlog: Wearlog, cabs: tuple[Wearlog, Wearlog], tmp_path: Path
) -> None:
    first, _ = cabs
    stick = str(tmp_path / "stick.bundle")
    first("pack", stick)
    new = on_log(wearlog, tmp_path / "new.db")
    assert new("merge", stick).code == 3
    assert new("merge", stick, "--yes").code == 0
    for log in (first, new):
        log("export", str(tmp_path / f"out{id(log)}"))
    one, other = (sorted((tmp_path / f"out{id(log)}").iterdir()) for log in (first, new))
    assert [file.read_bytes() for file in one] == [file.read_bytes() for file in other]


def test_twins_say_times_by_the_clock_and_no_zone(cabs: tuple[Wearlog, Wearlog], tmp_path: Path) -> None:
    first, second = cabs
    stick = str(tmp_path / "stick.bundle")
    for cab in (first, second):
        assert cab("log", "section 41 rock, 20 min, 2026-07-28 10:00", "--yes").code == 0
    second("pack", stick)
    first("merge", stick, "--yes")
    said = first("twins").out
    assert "(North, 2026-07-28 10:00), entered on 'cab 2': the same time" in said
    assert "+00:00" not in said
