"""Sheets for the clipboard: out by command, in by the numbers of their lines as one entry, or not at all."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from tests.cli.running import Wearlog, on_log, runner
from tests.farm_fixtures import demo_file
from wearlog.facts.machines import ServiceDone
from wearlog.facts.wearing import Measurement
from wearlog.facts.work import PlanChoice
from wearlog.store.finding import find_all
from wearlog.store.location import Location
from wearlog.store.opening import open_store

__all__ = ["demo_file"]


@pytest.fixture
def log(demo_file: Path, tmp_path: Path) -> Path:
    """A copy of the demo's log."""
    return Path(shutil.copyfile(demo_file, tmp_path / "demo.db"))


@pytest.fixture
def wearlog(log: Path, capsys: pytest.CaptureFixture[str]) -> Wearlog:
    """The program on it."""
    return on_log(runner(capsys), log)


def counts(log: Path) -> tuple[int, int, int]:
    """Measurements, choices of plans, services done."""
    store = open_store(Location(file=log))
    with store.reading() as connection:
        found = tuple(len(find_all(connection, fact)) for fact in (Measurement, PlanChoice, ServiceDone))
    store.close()
    return found  # type: ignore[return-value]


def test_an_inspection_goes_out_with_cautions_first_and_comes_back_as_one_entry(wearlog: Wearlog, log: Path) -> None:
    out = wearlog("sheet", "before-season", "kestrel").out
    assert out.startswith("! Under header: ")
    assert out.index("! Knife") < out.index("no.  part")
    told = json.loads(wearlog("sheet", "before-season", "kestrel", "--json").out)
    lines = {row["part"]: row["number"] for row in told["lines"]}
    hold_downs, plates = lines["hold-downs, 1-32"], lines["skid plates, 1-4"]
    before = counts(log)
    said = wearlog(
        "sheet-in", told["sheet"].lower(), f"{hold_downs} 12: 0.02in; 12,13 order", f"{plates}: worn, order", "2 ok"
    )
    assert said.code == 0, said.err
    assert f"entered sheet {told['sheet']} of Kestrel: 1 measured, 6 to replace, 1 ok" in said.out
    # the reply says what each number stood for, so that a number of another sheet is seen
    assert f"{plates}. skid plates, 1-4: worn, order" in said.out
    assert "Inspection before the season: Kestrel" in said.out
    after = counts(log)
    assert (after[0] - before[0], after[2] - before[2]) == (1, 0)
    plan = {row["component"]: row for row in json.loads(wearlog("plan", "--json").out)["replace"]}
    assert plan["Kestrel skid plates"]["by_hand"]
    assert plan["Kestrel skid plates"]["in_plan"]
    read = json.loads(wearlog("sheet", "before-season", "kestrel", "--json").out)["lines"]
    assert next(row for row in read if row["number"] == hold_downs)["last_mm"] == pytest.approx(0.508)
    assert wearlog("undo").code == 0
    assert counts(log) == before


@pytest.mark.parametrize(
    ("answers", "message"),
    [
        (["4 soft"], "Line 4: 'soft' is not a length"),
        (["4 0.02in"], "Line 4: Which of the 32 positions"),
        (["5 9 order"], "Line 5: "),
        (["12 order"], "Line 12: 'order' cannot be saved there"),
        (["9 0.2in"], "Line 9: Nothing is measured on a knife head"),
        (["order 4"], "does not begin with the number of a line"),
        (["4 ok", "4 order"], "Line 4 stands twice"),
        (["2 ok"], "Nothing on the sheet is to be saved"),
        (["4 12: 0.02in", "4000 order"], "Line 4000: "),
    ],
)
def test_what_cannot_be_read_names_its_line_and_nothing_is_saved(
    wearlog: Wearlog, log: Path, answers: list[str], message: str
) -> None:
    mark = json.loads(wearlog("sheet", "before-season", "kestrel", "--json").out)["sheet"]
    before = counts(log)
    said = wearlog("sheet-in", mark, *answers)
    assert said.code != 0
    assert message in said.err
    assert counts(log) == before


def test_the_service_round_keeps_its_numbers_while_services_are_done(
    wearlog: Wearlog, log: Path, tmp_path: Path
) -> None:
    told = json.loads(wearlog("sheet", "service", "--json").out)
    first, last = told["lines"][0], told["lines"][-1]
    notes = tmp_path / "round.txt"
    notes.write_text(f"{first['number']} done\n\n", "utf-8")
    before = counts(log)
    assert wearlog("sheet-in", told["sheet"], "--file", str(notes)).code == 0
    assert counts(log)[2] == before[2] + 1
    again = json.loads(wearlog("sheet", "service", "--json").out)
    assert again["sheet"] == told["sheet"]
    assert first["number"] not in {row["number"] for row in again["lines"]}
    assert next(row for row in again["lines"] if row["item"] == last["item"])["number"] == last["number"]


def mark_of(wearlog: Wearlog, *words: str) -> str:
    """The mark of a sheet as it is printed today."""
    return str(json.loads(wearlog("sheet", *words, "--json").out)["sheet"])


def test_a_sheet_that_comes_twice_brings_nothing_twice(wearlog: Wearlog, log: Path) -> None:
    mark, round_mark = mark_of(wearlog, "before-season", "kestrel"), mark_of(wearlog, "service")
    number = str(json.loads(wearlog("sheet", "service", "--json").out)["lines"][0]["number"])
    told = (("sheet-in", mark, "4 12: 0.02in; 12,13 order", "5 order"), ("sheet-in", round_mark, f"{number} done"))
    for words in told:
        assert wearlog(*words).code == 0
    before = counts(log)
    for words in told:
        again = wearlog(*words)
        assert again.code != 0
        assert "is in the log of that day already" in again.err
    assert counts(log) == before
    more = wearlog("sheet-in", mark, "4 12: 0.02in; 14: 0.021in", "5 order")
    assert "1 measured, 5 in the log already" in more.out
    later = wearlog(*told[1], "--at", "2026-11-10")
    assert later.code == 0, later.err
    assert (counts(log)[0], counts(log)[2]) == (before[0] + 1, before[2] + 1)


@pytest.mark.parametrize(
    ("head", "message"),
    [
        ("Inspection before the season: Merlin (sheet {merlin})", "Name that sheet: {merlin}."),
        ("Sheet {after}, Kestrel", "Name that sheet: {after}."),
        ("MERLIN, 20 Nov", "and sheet {kestrel} is Kestrel's"),
        ("looked at on the stand", "does not begin with the number of a line"),
    ],
)
def test_a_head_of_another_sheet_above_the_lines_is_told_and_nothing_is_saved(
    wearlog: Wearlog, log: Path, tmp_path: Path, head: str, message: str
) -> None:
    marks = {
        "kestrel": mark_of(wearlog, "before-season", "kestrel"),
        "merlin": mark_of(wearlog, "before-season", "merlin"),
        "after": mark_of(wearlog, "after-season", "kestrel"),
    }
    written = tmp_path / "written.txt"
    written.write_text(f"{head.format(**marks)}\n\n4 12: 0.02in\n", "utf-8")
    before = counts(log)
    said = wearlog("sheet-in", marks["kestrel"], "--file", str(written))
    assert said.code == 2
    assert message.format(**marks) in said.err
    assert counts(log) == before
    written.write_text(f"Inspection before the season: Kestrel\nSheet {marks['kestrel']}\n4 12: 0.02in\n", "utf-8")
    assert wearlog("sheet-in", marks["kestrel"], "--file", str(written)).code == 0


def test_an_older_sheet_of_a_machine_is_known_as_that_and_nothing_is_saved(wearlog: Wearlog, log: Path) -> None:
    older = mark_of(wearlog, "before-season", "kestrel")
    added = wearlog("add", "component", "lights", "--on", "kestrel", "--kind", "wiring harness", "--age", "unknown")
    assert added.code == 0, added.err
    before = counts(log)
    said = wearlog("sheet-in", older, "4 12: 0.02in")
    assert said.code == 3
    assert f"Sheet {older} is an older one of Kestrel: since then " in said.err
    assert f"it is {mark_of(wearlog, 'before-season', 'kestrel')} now" in said.err
    assert counts(log) == before


def test_a_mark_that_was_misread_is_asked_about(wearlog: Wearlog) -> None:
    mark = mark_of(wearlog, "before-season", "kestrel")
    wrong = mark[:-1] + ("0" if mark[-1] != "0" else "1")
    said = wearlog("sheet-in", wrong, "4 12: 0.02in")
    assert said.code == 3
    assert f"Is it {mark} (Kestrel)?" in said.err


def test_a_sheet_that_is_not_known_says_what_to_do(wearlog: Wearlog) -> None:
    said = wearlog("sheet-in", "FFFFFF", "1 ok")
    assert said.code == 3
    assert "print it anew" in said.err


def test_each_sheet_is_one_page_with_its_cautions_before_its_lines(wearlog: Wearlog, tmp_path: Path) -> None:
    for words, caution in (
        (("before-season", "kestrel"), "Under header"),
        (("after-season",), "Under header"),
        (("service",), "Hydraulic"),
        (("header", "kestrel"), "Knife"),
        (("fault", "12"), "Electrical"),
    ):
        file = tmp_path / f"{words[0]}.html"
        said = wearlog("sheet", *words, "--save", str(file))
        assert said.code == 0, said.err
        page = file.read_text("utf-8")
        first_line = 'class="write"' if words[0] == "header" else "<th "
        assert page.index(f"<strong>{caution}") < page.index(first_line)
        assert "<script" not in page
        assert "http" not in page.replace("http://www.w3.org/2000/svg", "")


def test_a_sheet_that_is_a_page_alone_says_so(wearlog: Wearlog) -> None:
    said = wearlog("sheet", "fault", "12")
    assert said.code == 2
    assert "--save FILE.html" in said.err


def test_one_fault_to_hand_over_has_circuit_checks_suspects_what_is_undone_and_every_time_it_came(
    wearlog: Wearlog, tmp_path: Path
) -> None:
    told = (
        "--sign",
        "fuse 5 header blew on movement",
        "--sign",
        "reel lift valve dead",
        "--sign",
        "stubble lights dead",
    )
    opened = wearlog("faults", "open", "tamarack", "header fuse blows again", *told, "--when", "header raised")
    assert opened.code == 0, opened.err
    assert wearlog("faults", "undone", "13", "unplugged", "header plug pigtail").code == 0
    assert wearlog("faults", "tell", "13", "--present", "yes", "--note", "header is on its stops").code == 0
    assert wearlog("faults", "check", "13", "look", "header plug pigtail", "good").code == 0
    file = tmp_path / "fault.html"
    assert wearlog("sheet", "fault", "13", "--save", str(file)).code == 0
    page = file.read_text("utf-8")
    for words in ("Circuit", "Next checks", "What may be wrong", "Checked so far", "Every time it came"):
        assert words in page, words
    assert "NOT PUT BACK: unplugged at Header plug pigtail" in page
    assert "it was there: header is on its stops." in page
    assert "Header harness" in page
    assert "2022-08-03" in page
    assert "The machine's own book" in page or "The machine&#39;s own book" in page


def test_a_fault_to_hand_over_tells_wires_pins_pictures_and_what_is_said_of_the_undone(
    wearlog: Wearlog, tmp_path: Path
) -> None:
    drawn = wearlog("faults", "diagram", "tamarack", "--text").out
    plug = next(row for row in drawn.splitlines() if row.strip().startswith("Header plug: connector"))
    wire = "colour yellow/black, wire 214, pin 3, splice 20 in behind the plug, photo plug.jpg"
    diagram = tmp_path / "tamarack.txt"
    diagram.write_text(drawn.replace(plug, f"{plug}, {wire}"), "utf-8")
    assert wearlog("faults", "open", "tamarack", "lights dead", "--sign", "stubble lights dead").code == 0
    file = tmp_path / "fault.html"
    assert wearlog("sheet", "fault", "13", "--save", str(file)).code == 0
    assert ">Wires<" not in file.read_text("utf-8")
    assert wearlog("faults", "diagram", "tamarack", "--set", str(diagram)).code == 0
    assert wearlog("faults", "undone", "13", "unplugged", "header plug", "--note", "a cap is on it").code == 0
    assert wearlog("sheet", "fault", "13", "--save", str(file)).code == 0
    page = " ".join(file.read_text("utf-8").split())
    assert f"Header plug: {wire}" in page
    assert "NOT PUT BACK: unplugged at Header plug, since" in page
    assert "(a cap is on it)" in page
    # whoever goes on at the machine reads it too
    assert "(a cap is on it). Note it when it is: wearlog faults put-back 13" in wearlog("faults", "next", "13").out
