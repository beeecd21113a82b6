"""runs, breakages and the rows of an entry by command: the latest first, narrowed down by words."""

from __future__ import annotations

import csv
from pathlib import Path

from tests.cli.running import Wearlog


def flat(text: str) -> str:
    return " ".join(text.split())


def _told(row: dict[str, str]) -> str:
    return f"{row['place']} {row['part']} {row['machine']} {row['note']}".casefold()


def test_runs_are_listed_latest_first_with_all_that_was_said_of_them(own: Wearlog) -> None:
    own("cut", "kestrel", "48", "--hours", "4", "--to", "2026-08-01 16:00", "--yes")
    own("cut", "kestrel", "12.5", "--hours", "1.5", "--to", "2026-08-02 16:00", "--yes")
    ran = own("runs", "--last", "2")
    assert ran.code == 0
    said = flat(ran.out)
    assert "2026-08-02 14:30 Kestrel 12.5 ac 1 h 30 min" in said
    assert said.index("2026-08-02 14:30") < said.index("2026-08-01 12:00 Kestrel 48.0 ac 4 h")
    assert ": 60.5 ac in 5 h 30 min." in said
    rows = own("runs", "--last", "2", "--json").json["runs"]
    assert [(row["combine"], row["acres"], row["hours"], row["separator_hours"]) for row in rows] == [
        ("Kestrel", 12.5, 1.5, 1.5),
        ("Kestrel", 48.0, 4.0, 4.0),
    ]


def test_words_narrow_runs_down(demo: Wearlog) -> None:
    every = demo("runs", "--last", "100000", "--json").json
    merlin = demo("runs", "merlin", "wheat", "--last", "100000", "--json").json
    # Merlin is a header of the demo, so the runs are other combines'
    expected = [row for row in every["runs"] if row["header"] == "Merlin" and "wheat" in (row["crop"] or "")]
    assert every["count"] == len(every["runs"])
    assert merlin["runs"] == expected
    assert len(expected) > 20
    assert flat(demo("runs", "merlin", "wheat").out).endswith(
        "took: separator hours where they were noted, else from the beginning to the end."
    )
    assert (
        f"The latest 20 of {len(expected)} runs ('--last {len(expected)}' shows all)"
        in demo("runs", "merlin", "wheat").out
    )
    (alder,) = {row["combine"] for row in demo("runs", "alder", "--last", "100000", "--json").json["runs"]}
    assert alder == "Alder"
    assert demo("runs", "nowhere").out.strip() == "Nothing was found for 'nowhere'."


def test_breakages_are_found_by_what_a_person_calls_them(demo: Wearlog, tmp_path: Path) -> None:
    every = demo("breakages", "--last", "100000", "--json").json["breakages"]
    rocks = demo("breakages", "guard", "rock", "--last", "100000", "--json").json["breakages"]
    assert {row["cause"] for row in rocks} == {"impact"}
    assert rocks == [row for row in every if row["cause"] == "impact" and "guard" in _told(row)]
    file = tmp_path / "rocks.csv"
    assert demo("breakages", "guard", "rock", "--last", "100000", "--save", str(file)).code == 0
    with file.open(encoding="utf-8", newline="") as written:
        assert len(list(csv.reader(written))) == 1 + len(rocks)


def test_what_an_entry_did_is_told_row_by_row(own: Wearlog) -> None:
    own("stop", "kestrel", "breakdown", "2 h", "--at", "2026-08-01 10:00", "--note", "chain")
    ran = own("history", "--entry", "last")
    assert ran.code == 0
    assert "stoppage" in ran.out
    assert "reason: breakdown" in flat(ran.out)
    entry = own("history", "--json").json["entries"][0]["entry"]
    told = own("history", "--entry", entry, "--json").json
    assert [(row["row"], row["did"]) for row in told["rows"]] == [("stoppage", "entered")]
    assert "note: chain" in told["rows"][0]["fields"]


def test_one_entry_or_so_many_but_not_both(own: Wearlog) -> None:
    ran = own("history", "--entry", "last", "--last", "3")
    assert (ran.code, "--entry shows one entry" in ran.err) == (2, True)


def test_of_a_long_entry_the_first_rows_are_shown_and_all_are_written(demo: Wearlog, tmp_path: Path) -> None:
    first = demo("history", "--json").json["entries"][-1]["entry"]
    rows = demo("history", "--entry", first, "--json").json["rows"]
    assert len(rows) > 60
    shown = demo("history", "--entry", first).out
    assert f"and {len(rows) - 40:,} more; --limit shows more, --save all of them" in flat(shown)
    assert f"and {len(rows) - 50:,} more" in flat(demo("history", "--entry", first, "--limit", "50").out)
    assert " more; --limit" not in flat(demo("history", "--entry", first, "--limit", str(len(rows))).out)
    assert demo("history", "--entry", first, "--limit", "7", "--json").json["rows"] == rows[:7]
    file = tmp_path / "rows.csv"
    demo("history", "--entry", first, "--save", str(file))
    with file.open(encoding="utf-8", newline="") as written:
        assert len(list(csv.reader(written))) == 1 + len(rows)
    ran = demo("history", "--limit", "7")
    assert (ran.code, "--limit is for the rows of one entry" in ran.err) == (2, True)


def test_the_words_of_a_kind_are_told_as_they_are(demo: Wearlog) -> None:
    """The first entry of a log brings the kinds of part, whose words are plain text and no members of a list."""
    first = demo("history", "--json").json["entries"][-1]["entry"]
    rows = demo("history", "--entry", first, "--json").json["rows"]
    kinds = [row for row in rows if row["row"] == "part kind"]
    assert kinds
    assert any(field.startswith("words: ") for row in kinds for field in row["fields"])
