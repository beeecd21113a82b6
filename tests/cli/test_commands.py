"""The commands as a person types them: answers on stdout, messages on stderr, the exit codes of the guide."""

from __future__ import annotations

import io
import json
import os
import sqlite3
from pathlib import Path

import pytest

from tests.cli.running import Wearlog
from tests.small_farm import SmallFarm
from wearlog.cli import overview
from wearlog.store.revision import HEAD


@pytest.mark.parametrize("name", overview.names())
def test_every_command_has_help_with_examples(wearlog: Wearlog, name: str) -> None:
    ran = wearlog(name, "-h")
    assert ran.code == 0
    assert "Examples:" in ran.out
    assert f"wearlog {name}" in ran.out or name == "brief"


def test_the_overview_names_every_command(wearlog: Wearlog) -> None:
    ran = wearlog("--help")
    assert ran.code == 0
    assert [line.split()[0] for line in ran.out.splitlines() if line.startswith("  ")] == overview.names()


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        (["repair", "x"], 2, "wearlog: No such command 'repair'.\n  Did you mean 'wearlog add repair'?\n"),
        (["lgo"], 2, "wearlog: No such command 'lgo'.\n  Did you mean 'wearlog log'?\n"),
        (["cost", "--by", "moon"], 2, "'moon' is not one of"),
        (["history", "--db", "mysql://x/y"], 2, "'mysql://' is not a place wearlog can keep a log."),
        (["history", "--db", "/nowhere/at/all.db"], 3, "There is no log at /nowhere/at/all.db yet."),
    ],
)
def test_wrong_words_get_a_sentence_and_an_exit_code(
    wearlog: Wearlog, words: list[str], code: int, sentence: str
) -> None:
    ran = wearlog(*words)
    assert ran.code == code
    assert sentence in ran.err
    assert ran.out == ""


def test_an_error_is_json_where_json_was_asked_for(wearlog: Wearlog) -> None:
    ran = wearlog("wear", "--json", "--db", "/nowhere.db")
    assert ran.code == 3
    assert json.loads(ran.err)["error"]["code"] == "not_found"


def test_with_no_log_at_all_it_says_how_to_begin(wearlog: Wearlog) -> None:
    ran = wearlog()
    assert ran.code == 0
    assert "wearlog demo" in ran.out
    assert "wearlog add combine" in ran.out


def test_the_first_day_from_nothing_to_a_logged_breakage_and_back(wearlog: Wearlog) -> None:
    assert wearlog("add", "combine", "Kestrel", "--engine", "2,310.4").out == "Saved: added the combine Kestrel.\n"
    added = wearlog("add", "header", "North", "--width", "40ft", "--knife", "160", "--guards", "80")
    assert added.out.splitlines()[1:] == [
        "Saved: added North, knife section with 160 positions.",
        "Saved: added North, guards with 80 positions.",
    ]
    assert wearlog("hitch", "nor", "kes").code == 0
    assert wearlog("add", "part", "KS-3", "--fits", "knife section", "--price", "4.60", "--on-hand", "50").code == 0
    logged = wearlog("log", "3 sections 41-43 rock, 20 min", "--yes")
    assert logged.code == 0
    assert "knife sections 41-43: broken by impact, replaced; stood 20 min" in logged.out
    assert "KS-3: 3 used, 47 left" in logged.out
    assert wearlog("stock", "--json").json["parts"][0]["on_hand"] == 47
    assert wearlog("undo").code == 0
    assert wearlog("stock", "--json").json["parts"][0]["on_hand"] == 50
    assert wearlog("check").out.endswith("Everything is in order.\n")


def test_a_line_whose_part_nobody_knows_saves_nothing_and_names_the_word(own: Wearlog) -> None:
    before = own("history", "--json").json["entries"][0]["entry"]
    ran = own("log", "3 doohickeys 41-43 rock", "--yes")
    assert ran.code == 2
    assert "What is 'doohickeys'? It is no part that the log knows." in ran.err
    assert own("history", "--json").json["entries"][0]["entry"] == before


def test_a_misspelt_word_is_read_as_the_one_that_is_meant_and_told(own: Wearlog) -> None:
    ran = own("log", "3 sectons 41-43 rock", "--yes")
    assert ran.code == 0
    assert "Read otherwise than written: sectons read as sections\n" in ran.err
    assert "knife sections 41-43: broken by impact, replaced" in ran.out


def test_a_dry_run_says_what_was_understood_and_saves_nothing(own: Wearlog) -> None:
    before = own("history", "--json").json["entries"]
    heard = own("log", "sections 41-43 rock, 20 min", "--dry-run", "--json").json
    assert (heard["schema"], heard["verdict"], heard["question"], heard["corrected"]) == (1, "entry", None, [])
    (entry,) = heard["entries"]
    assert (entry["is"], entry["machine"], entry["kind"]) == ("entry", "North", "knife section")
    assert (entry["positions"], entry["cause"], entry["stood_minutes"]) == ([41, 42, 43], "impact", 20)
    assert heard["assumed"] == ["machine", "mode", "action", "at"]
    asked = own("log", "nothing broke", "--dry-run", "--json")
    assert (asked.code, asked.json["verdict"]) == (0, "question")
    assert own("history", "--json").json["entries"] == before


def test_without_a_terminal_and_without_yes_nothing_is_saved(own: Wearlog) -> None:
    before = own("history", "--json").json["entries"]
    ran = own("log", "3 sections 41-43 rock")
    assert (ran.code, ran.out) == (4, "")
    assert ran.err.endswith("wearlog: Nothing was saved, since nobody could be asked.\n  Add --yes to save it.\n")
    assert own("history", "--json").json["entries"] == before


def test_a_reading_a_run_and_a_stop(own: Wearlog) -> None:
    at = ("--at", "2026-08-01 14:05")
    assert (
        own("read", "kes", "separator", "1,703.5", *at).out
        == "Saved: read Kestrel: 1,703.5 separator hours, 1 Aug 2026 14:05.\n"
    )
    assert own("cut", "kes", "48.5ha", "--hours", "9", "--to", "2026-08-01 20:05").out == (
        "Saved: Kestrel cut 119.8 ac with North, 1 Aug 2026 11:05 to 20:05, 9.0 separator hours.\n"
    )
    assert own("stop", "kes", "weather", *at).out == "Saved: Kestrel stands from 1 Aug 2026 14:05 on: weather.\n"
    assert (
        own("stop", "kes", "--over", "--at", "2026-08-01 14:50").out == "Saved: Kestrel runs again, 1 Aug 2026 14:50.\n"
    )
    backwards = own("read", "kes", "separator", "1,600")
    assert backwards.code == 4
    assert "would run backwards" in backwards.err


def test_stock_received_used_and_counted(own: Wearlog) -> None:
    assert "75 on hand now" in own("stock", "receive", "KS-3", "25", "--cost", "4.80").out
    assert "70 on hand now" in own("stock", "use", "KS-3", "5").out
    assert "12 on hand now" in own("stock", "count", "KS-3", "12").out
    low = own("stock", "--low")
    *row, number = low.out.splitlines()[2].split()
    assert own("entries", number).code == 0
    assert row == [
        "LOW",
        "KS-3",
        "knife",
        "section",
        "12",
        "40",
        "50",
        "4.60",
        "USD",
        "the",
        "counter",
    ]


def test_planned_work_shows_the_caution_first(own: Wearlog) -> None:
    ran = own("fit", "north", "knife", "41-60", "--at", "2026-08-01 14:05")
    assert ran.code == 0
    assert "gloves" in ran.err.lower()
    assert ran.out.startswith("Saved: fitted North, knife sections 41-60: new parts, 1 Aug 2026 14:05.\n")


def test_planned_work_takes_new_parts_off_the_shelf_unless_they_came_from_elsewhere(own: Wearlog) -> None:
    assert own("stock", "count", "KS-3", "60").code == 0
    assert "KS-3: 20 used, 40 left" in own("fit", "north", "knife", "41-60", "--labour", "1.5").out
    assert "used" not in own("fit", "north", "knife", "1-5", "--not-from-shelf").out
    assert "used" not in own("fit", "north", "knife", "6-9", "--age", "unknown").out
    assert own("stock", "--json").json["parts"][0]["on_hand"] == 40


def test_settings_change_what_is_shown(own: Wearlog) -> None:
    assert own("set", "units", "metric").code == 0
    assert "1,000 ha" in own("wear").out
    wrong = own("set", "units", "imperial")
    assert (wrong.code, "Choose us or metric." in wrong.err) == (4, True)


@pytest.mark.parametrize("by", ["machine", "subsystem", "part", "season", "crop", "field"])
def test_cost_adds_up_in_json_too(demo: Wearlog, by: str) -> None:
    found = demo("cost", "--by", by, "--json").json
    cents = [round(float(row["total"]["amount"]) * 100) for row in (*found["rows"], found["elsewhere"])]
    assert sum(cents) == round(float(found["total"]["total"]["amount"]) * 100)
    assert found["total"]["total"]["currency"] == "USD"


def test_due_and_faults_of_the_demo_fleet(demo: Wearlog) -> None:
    services = demo("due", "--all", "--json").json["services"]
    assert services[0]["standing"] == "overdue"
    assert len(services) > 20
    faults = demo("faults", "--json").json["faults"]
    assert [fault["closed"] is None for fault in faults].count(True) == 1
    assert demo("faults", "--open").out.count("OPEN") == 1


def test_a_service_noted_as_done_is_no_longer_due(demo: Wearlog) -> None:
    first = demo("due", "--json").json["services"][0]
    assert demo("due", "--done", first["machine"], first["service"]).code == 0
    still = [(row["machine"], row["service"]) for row in demo("due", "--json").json["services"]]
    assert (first["machine"], first["service"]) not in still


def test_demo_without_a_terminal_prints_its_brief(wearlog: Wearlog) -> None:
    ran = wearlog("demo")
    assert ran.code == 0
    for heading in ("WHAT WEARS", "WHAT TO BUY", "OPEN FAULTS", "DUE", "COST PER ACRE"):
        assert heading in ran.out
    assert max(len(line) for line in ran.out.splitlines()) <= 100
    assert "75 worn in 2,501 lives, and the guess" in ran.out
    assert "Season ahead: 2027 as planned, 9,000 ac still to cut." in ran.out


def test_export_then_import_gives_the_same_farm(demo: Wearlog, wearlog: Wearlog, tmp_path: Path) -> None:
    assert demo("export", str(tmp_path / "out")).code == 0
    other = str(tmp_path / "other.db")
    first = wearlog("import", str(tmp_path / "out"), "--db", other, "--json")
    again = wearlog("import", str(tmp_path / "out"), "--db", other)
    assert sum(first.json["added"].values()) > 10_000
    assert again.out.startswith("Nothing new: all ")
    assert wearlog("cost", "--db", other, "--json").out == demo("cost", "--json").out


def test_an_import_with_a_mistake_names_the_line_and_brings_in_nothing(wearlog: Wearlog, tmp_path: Path) -> None:
    folder = tmp_path / "notebook"
    folder.mkdir()
    (folder / "field.csv").write_text("name,area_ac,ground\nhome,158,stony\nriver,many,stony\n", "utf-8")
    db = str(tmp_path / "n.db")
    ran = wearlog("import", str(folder), "--db", db)
    assert ran.code == 4
    assert "field.csv, line 3, column B (area_ac)" in ran.out
    assert "Nothing was imported: 1 place needs mending." in ran.err
    with sqlite3.connect(db) as connection:
        assert connection.execute("SELECT count(*) FROM field").fetchone() == (0,)


def test_backup_restore_and_upgrade(own: Wearlog, file_farm: SmallFarm, tmp_path: Path) -> None:
    copy = tmp_path / "stick" / "copy.db"
    assert own("backup", str(copy)).code == 0
    assert own("log", "section 7 rock", "--yes").code == 0
    assert "section 7" not in own("history", "--last", "1").out or own("history", "--last", "1").code == 0
    # a window that has the log open would keep it from being replaced where the system does not allow that
    file_farm.store.close()
    restored = own("restore", str(copy))
    assert restored.code == 0
    assert "is kept as" in restored.out
    assert "knife 7" not in own("history").out
    assert own("upgrade").out == "Nothing to do: the log is of this version.\n"


def test_an_older_and_a_newer_file_are_told_apart(own: Wearlog, file_farm: SmallFarm) -> None:
    file = file_farm.store.location.file
    assert file is not None
    with sqlite3.connect(file) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    newer = own("history")
    assert (newer.code, "written by a newer wearlog" in newer.err) == (6, True)
    with sqlite3.connect(file) as connection:
        connection.execute("UPDATE alembic_version SET version_num = ?", (HEAD,))
    assert own("history").code == 0


def test_check_finds_a_row_changed_behind_the_journal_s_back(own: Wearlog, file_farm: SmallFarm) -> None:
    file = file_farm.store.location.file
    assert file is not None
    with sqlite3.connect(file) as connection:
        connection.execute("UPDATE machine SET name = 'Other' WHERE name = 'Kestrel'")
    ran = own("check", "--json")
    assert ran.code == 5
    assert any("is not what its last version says" in problem for problem in ran.json["problems"])


def test_an_entry_that_others_rest_on_cannot_be_undone_alone(own: Wearlog) -> None:
    entries = own("history", "--json", "--last", "50").json["entries"]
    machine = next(entry for entry in entries if entry["said"] == "added the combine Kestrel")
    ran = own("undo", "--entry", machine["entry"])
    assert ran.code == 4
    assert "Undo those first." in ran.err


def test_an_import_is_not_taken_back_unasked(demo: Wearlog) -> None:
    """Without a terminal nobody can be asked: --yes says it."""
    rows = demo("check", "--json").json["rows"]
    ran = demo("undo")
    assert (ran.code, ran.out) == (4, "")
    told = " ".join(ran.err.split())
    assert "This takes back 10,048 rows of the log at once: 'imported 10,045 rows and changed 2 from" in told
    assert "Nothing was taken back, since nobody could be asked. Add --yes to take it back." in told
    assert demo("stock", "--json").json["parts"] != []
    assert demo("undo", "--yes").out.startswith("Undid: imported 10,045 rows and changed 2 from")
    assert demo("stock", "--json").json["parts"] == []
    assert demo("check", "--json").json["rows"] == rows


class Keyboard(io.StringIO):
    """A terminal on which somebody types."""

    def isatty(self) -> bool:
        return True


def test_in_a_terminal_it_is_asked_before_an_import_is_taken_back(
    demo: Wearlog, monkeypatch: pytest.MonkeyPatch
) -> None:
    for typed, said in (("\n", ""), ("n\n", ""), ("y\n", "Undid: imported 10,045 rows and changed 2 from")):
        monkeypatch.setattr("sys.stdin", Keyboard(typed))
        ran = demo("undo")
        assert ran.code == 0
        assert ran.out[: len(said) or None].endswith(said)
        assert ("Nothing was taken back." in ran.err) is not bool(said)


def test_a_small_import_is_asked_about_too_and_a_small_entry_is_not(own: Wearlog, tmp_path: Path) -> None:
    (tmp_path / "crop.csv").write_text("name\nbarley\n", "utf-8")
    assert own("import", str(tmp_path)).code == 0
    ran = own("undo")
    assert ran.code == 4
    assert "This takes back 2 rows of the log at once: 'imported 1 row from" in " ".join(ran.err.split())
    assert own("undo", "--yes").code == 0
    assert own("undo").code == 0


def test_check_names_a_stop_that_nobody_closed(own: Wearlog) -> None:
    own("stop", "kestrel", "breakdown", "--at", "2 h ago")
    assert own("check").out.endswith("Everything is in order.\n")
    own("stop", "kestrel", "--over")
    own("stop", "kestrel", "weather", "--at", "2026-08-20 16:00")
    ran = own("check")
    assert ran.code == 0
    assert "STILL OPEN: Kestrel has stood since 20 Aug 2026 16:00 (weather)." in ran.out
    assert own("check", "--json").json["forgotten_stops"] == [
        {"machine": "Kestrel", "reason": "weather", "since": "2026-08-20T22:00:00Z"}
    ]


def test_a_closed_pipe_is_no_error(tmp_path: Path) -> None:
    import subprocess
    import sys

    program = Path(sys.executable).with_name("wearlog")
    words = f"set -o pipefail; {program} --help | head -1"
    done = subprocess.run(["bash", "-c", words], env=dict(os.environ), capture_output=True, text=True, check=False)
    assert done.stdout == "Usage: wearlog [COMMAND] [ARGUMENTS]\n"
    assert "Traceback" not in done.stderr
