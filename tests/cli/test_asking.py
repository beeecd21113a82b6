"""What is doubtful is asked about in a terminal; elsewhere it is refused with what to add, and --yes saves it."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest

from tests.cli.running import Wearlog, on_log


class Keyboard(io.StringIO):
    """A terminal on which somebody types."""

    def isatty(self) -> bool:
        return True


def test_a_cut_before_the_hitch_takes_the_header_hitched_since_and_says_so(own: Wearlog) -> None:
    for words in (
        "add combine Merlin",
        "add header South --width 40ft",
        "hitch south merlin",
    ):
        assert own(*words.split()).code == 0
    ran = own("cut", "merlin", "118", "--hours", "9.5")
    saved, also = ran.out.splitlines()
    assert re.fullmatch(
        r"Saved: Merlin cut 118\.0 ac with South, \d+ \w{3} 20\d\d \d\d:\d\d to .*\d\d:\d\d, 9\.5 separator hours\.",
        saved,
    )
    assert also.startswith("  South was hitched at ")
    assert also.endswith(" only; all of this run is counted for it")


def test_a_cut_with_no_header_says_what_to_add(own: Wearlog) -> None:
    assert own("add", "combine", "Merlin").code == 0
    words = ("cut", "merlin", "118", "--hours", "9.5", "--to", "2026-08-01 20:00")
    when = "1 Aug 2026 10:30 to 20:00, 9.5 separator hours"
    ran = own(*words)
    assert (ran.code, ran.out) == (4, "")
    assert ran.err == (
        "wearlog: No header was on Merlin when this run began, so its area counts for no header.\n"
        "  Add --header NAME, like --header North, or --yes to save it without one.\n"
    )
    assert own(*words, "--header", "north").out == f"Saved: Merlin cut 118.0 ac with North, {when}.\n"
    assert own(*words, "--yes").out == f"Saved: Merlin cut 118.0 ac with no header, {when}.\n"


def test_in_a_terminal_the_question_is_asked(own: Wearlog, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", Keyboard("n\n"))
    ran = own("read", "kestrel", "engine", "99,999")
    assert (ran.code, ran.out) == (0, "")
    assert "99,999.0 engine hours would be 97,689.0 engine hours in" in ran.err
    assert "Does the meter show 99,999.0 engine hours? [y/N]" in ran.err
    assert ran.err.endswith("Nothing was saved.\n")
    monkeypatch.setattr("sys.stdin", Keyboard("y\n"))
    assert own("read", "kestrel", "engine", "99,999", "--at", "2026-05-02 08:00").out == (
        "Saved: read Kestrel: 99,999.0 engine hours, 2 May 2026 08:00.\n"
    )


def test_without_a_terminal_a_doubtful_breakage_is_refused_in_json_too(own: Wearlog) -> None:
    line = "2 sections 41-42 rock, 2026-04-20 16:20"
    ran = own("log", line, "--json")
    assert (ran.code, ran.out) == (4, "")
    error = ran.err.splitlines()[-1]
    assert '"code": "refused"' in error
    assert (
        "North, knife sections 41-42 was noted as fitted on 1 May 2026 06:00, after it broke on 20 Apr 2026 16:20."
        in error
    )
    assert "Add --yes if it was on since before the log (its age then is not known), or correct the time." in error
    saved = own("log", line, "--yes")
    assert saved.code == 0
    assert "  what broke counts as on since before the log, its age is not known" in saved.out
    assert own("log", line, "--json").code == 4
    assert "a breakage of 20 Apr 2026 16:20 is in the log already." in own("log", line).err


def test_a_part_let_on_since_before_the_log_is_as_old_as_its_successor(own: Wearlog) -> None:
    """Entered late: the age of today's part counts from the breakage, and nothing is counted twice."""
    assert own("log", "section 41 rock, 2026-04-20 16:20", "--yes").code == 0
    assert own("cut", "kestrel", "100", "--from", "2026-08-01 9:00", "--to", "2026-08-01 20:00").code == 0
    assert own("check").out.splitlines()[1:] == ["Everything is in order."]
    knife = next(one for one in own("wear", "--json").json["kinds"] if one["kind"] == "knife section")
    assert knife["lives"] == 160


def test_a_breakage_before_a_later_count_leaves_the_shelf_as_it_was_counted(own: Wearlog) -> None:
    assert own("stock", "count", "KS-3", "5").code == 0
    ran = own("log", "2 sections 41-42 rock, 2026-08-20 16:20", "--yes")
    assert "  KS-3: 2 used before it was counted again, 5 on hand as counted" in ran.out
    assert own("stock", "--json").json["parts"][0]["on_hand"] == 5
    assert "  KS-3: 2 used, 3 left" in own("log", "2 sections 51-52 rock", "--yes").out


def test_check_names_what_looks_wrong_already(own: Wearlog) -> None:
    assert own("check", "--json").json["doubtful"] == []
    assert own("read", "kestrel", "engine", "99,999", "--yes").code == 0
    ran = own("check")
    assert ran.code == 0
    assert (
        "LOOKS WRONG: Kestrel showed 2,310.0 engine hours on 1 May 2026 06:00 and 99,999.0 engine hours on" in ran.out
    )
    (doubt,) = own("check", "--json").json["doubtful"]
    assert doubt["doubt"] == "fast_meter"


def test_the_logs_own_beginning_is_not_taken_back_unnamed(wearlog: Wearlog, tmp_path: Path) -> None:
    (tmp_path / "sheets").mkdir()
    (tmp_path / "sheets" / "crop.csv").write_text("name\nbarley\n", "utf-8")
    own = on_log(wearlog, tmp_path / "new.db")
    assert own("add", "crop", "wheat").code == 0
    assert own("import", str(tmp_path / "sheets")).code == 0
    assert own("undo", "--yes").code == 0
    assert own("undo", "--yes").out == "Undid: added the crop wheat\n"
    ran = own("undo", "--yes")
    assert (ran.code, ran.out) == (4, "")
    assert "Nothing is left to take back but the log's own beginning: 'began the log with " in ran.err
    assert "takes that back too." in ran.err
    named = ran.err.split("--entry ")[1].split("'")[0]
    asked = own("undo", "--entry", named)
    assert asked.code == 4
    assert "Add --yes to take it back." in asked.err
    assert own("undo", "--entry", named, "--yes").out.startswith("Undid: began the log")


def test_a_fault_is_counted_alike_in_the_list_on_the_yard_in_its_case_and_in_its_trail(demo: Wearlog) -> None:
    """Two faults of one circuit are not one fault: the list said "2 of 2" where the case said "for the first time"."""
    faults = demo("faults", "--json").json["faults"]
    counts = {one["number"]: (one["episode"], one["episodes"]) for one in faults}
    assert [counts[number] for number in (6, 7, 9, 12)] == [(2, 4), (3, 4), (4, 4), (1, 1)]
    assert "so far once" in demo("faults", "trail", "12").out
    assert "for the 4th time" in demo("faults", "trail", "9").out
    assert "here for the" not in demo("brief").out


def test_an_empty_shelf_is_said_in_words() -> None:
    from wearlog.facts.farm_settings import FarmSettings
    from wearlog.present.digits import Measures
    from wearlog.present.parts.stock_sheet import stock_sheet

    shelf = stock_sheet((), {}, Measures(FarmSettings()))
    assert (shelf.headline, shelf.empty[:24]) == ("", "No part is on the shelf.")
