"""The list of stops: what stands now first, what counts of each, and by command, JSON, file and screen the same."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.running import Wearlog
from wearlog.cli.brief_commands import DEMO_DAY


def flat(text: str) -> str:
    return " ".join(text.split())


def test_a_stop_is_listed_with_how_long_it_lasted_and_what_of_it_counts(own: Wearlog) -> None:
    """Rain that a breakdown begins under takes its half hour out of what the machine could have cut."""
    own("stop", "kestrel", "breakdown", "2 h", "--at", "2026-08-01 10:00", "--note", "chain")
    own("stop", "kestrel", "weather", "1 h", "--at", "2026-08-01 11:30")
    own("stop", "north", "service", "30 min", "--at", "2026-08-02 08:00")
    ran = own("stop")
    assert ran.code == 0
    said = flat(ran.out)
    assert "2026-08-01 10:00 Kestrel breakdown 2 h 1 h 30 min chain" in said
    assert "2026-08-01 11:30 Kestrel weather 1 h -" in said
    rows = own("stop", "--json").json["stops"]
    assert [(row["machine"], row["reason"], row["hours"], row["counted_hours"]) for row in rows] == [
        ("North", "service", 0.5, 0.5),
        ("Kestrel", "weather", 1.0, None),
        ("Kestrel", "breakdown", 2.0, 1.5),
    ]
    assert rows[2]["since"].startswith("2026-08-01T")
    assert (rows[2]["season"], rows[2]["note"]) == (2026, "chain")


def test_what_stands_now_is_first_and_says_so(own: Wearlog) -> None:
    own("stop", "kestrel", "breakdown", "--at", "2026-08-01 10:00")
    own("stop", "north", "service", "30 min", "--at", "2026-08-02 08:00")
    lines = own("stop").out.splitlines()
    assert flat(lines[2]).startswith("OPEN 2026-08-01 10:00 Kestrel breakdown")
    own("stop", "kestrel", "--over", "--at", "2026-08-01 12:00")
    assert "OPEN" not in own("stop").out


def test_a_machine_is_needed_to_run_again_and_a_reason_to_stand(own: Wearlog) -> None:
    for words, said in ((("stop", "--over"), "Of which machine?"), (("stop", "kestrel"), "Say why it stood")):
        ran = own(*words)
        assert (ran.code, said in ran.err) == (2, True), ran.err


def test_without_a_stop_it_says_how_one_is_entered(own: Wearlog) -> None:
    assert own("stop").out.startswith("No machine has stood yet. 'wearlog stop MACHINE REASON'")


def test_the_stops_of_the_season_are_told_and_the_earlier_ones_counted(
    demo: Wearlog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("wearlog.cli.field_commands.local_now", lambda: DEMO_DAY)
    short, every = demo("stop"), demo("stop", "--all")
    count = len(demo("stop", "--json").json["stops"])
    assert len(every.out.splitlines()) > count > len(short.out.splitlines())
    assert "of earlier seasons: 'wearlog stop --all'." in short.out
    assert demo("stop", "--save", str(tmp_path / "stops.csv")).code == 0
    assert len((tmp_path / "stops.csv").read_text("utf-8").splitlines()) == count + 1


def test_an_open_stop_is_named_in_one_sentence(own: Wearlog) -> None:
    own("stop", "kestrel", "breakdown", "--at", "2026-08-01 10:00")
    assert "STILL OPEN: Kestrel has stood since 1 Aug 2026 10:00 (breakdown)." in own("check").out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("stop", "kestrel", "weather", "--all"), "--all belongs to the list"),
        (("stop", "kestrel", "weather", "--json"), "--json belongs to the list"),
        (
            ("loss", "kestrel", "wheat", "--behind", "75", "--discharge", "5ft", "--wear", "--save", "a.csv"),
            "--wear and --save belong",
        ),
        (("loss", "--behind", "75"), "--behind belongs to an entry"),
        (("calibrate", "kestrel", "yield", "5150", "5000", "--tester"), "--tester belongs to the list"),
        (("stock", "receive", "KS-3", "25", "--low"), "--low belongs to the list"),
        (("stock", "--cost", "4.60"), "--cost belongs to an entry"),
        (("due", "--done", "kestrel", "engine oil", "--all"), "--all belongs to the list"),
        (("due", "--at", "yesterday"), "--at belongs to an entry"),
    ],
)
def test_an_option_that_would_do_nothing_is_refused(words: tuple[str, ...], said: str, own: Wearlog) -> None:
    before = own("history", "--json").json["entries"]
    ran = own(*words)
    assert (ran.code, said in ran.err) == (2, True), ran.err
    assert own("history", "--json").json["entries"] == before
