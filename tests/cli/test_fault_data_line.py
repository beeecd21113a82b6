"""A data line by command: which controllers are still seen, then the terminators, at 120 ohm; the volts of its two wires."""

from __future__ import annotations

import shlex
import shutil
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from tests.cli.running import Wearlog
from tests.farm_fixtures import demo_file
from tests.small_farm import SmallFarm

__all__ = ["demo_file"]

TERMINATORS = {"First terminator", "Second terminator"}
CONTROLLERS = ["Cab controller", "Engine controller", "Header controller"]


@pytest.fixture
def line(wearlog: Wearlog, file_farm: SmallFarm, monkeypatch: pytest.MonkeyPatch) -> Wearlog:
    """wearlog on the small farm's log, with the data line drawn and a fault of it open."""
    now = datetime.fromisoformat("2026-08-03 15:00").astimezone()
    # the modules that take the clock from options are loaded before it is set
    for module in ("faults_commands", "fault_answer_commands", "options"):
        monkeypatch.setattr(f"wearlog.cli.{module}.local_now", lambda: now)
    file = str(file_farm.store.location.file)
    wearlog("faults", "diagram", "kestrel", "--start", "combine data line", "--db", file)
    wearlog("faults", "open", "kestrel", "controllers gone", "--sign", "639/9 at engine controller", "--db", file)
    return lambda *words: wearlog(*words, "--db", file)


def noted(line: Wearlog, *words: str) -> None:
    assert line("faults", "check", "1", *words).code == 0


def steps(line: Wearlog, *more: str) -> list[tuple[str, str]]:
    return [(one["check"], one["node"]) for one in line("faults", "next", "1", "--json", *more).json["checks"]]


def test_at_120_ohm_the_screen_is_asked_first_then_both_terminators_before_any_run(line: Wearlog) -> None:
    noted(line, "resistance", "data line plug", "--measured", "120 ohm")
    told = line("faults", "next", "1").out
    assert f"1. ask the screen which it still sees: {', '.join(CONTROLLERS)}, 3 min" in told
    assert "Note it: wearlog faults check 1 try-it 'Header controller' good" in told
    assert "taken out" in told.split("2. ")[1].split("\n")[0]
    for name in CONTROLLERS:
        noted(line, "try-it", name, "good")
    listed = steps(line)
    assert {node for _, node in listed[:2]} == TERMINATORS
    assert {kind for kind, _ in listed[:2]} == {"resistance"}


def test_a_terminator_that_was_measured_is_not_asked_again_and_one_that_is_open_is_replaced(line: Wearlog) -> None:
    noted(line, "resistance", "data line plug", "--measured", "119.6 ohm")
    for name in CONTROLLERS:
        noted(line, "try-it", name, "good")
    noted(line, "resistance", "first terminator", "--measured", "121 ohm", "--held", "in-hand")
    told = line("faults", "next", "1").out
    assert "1. measure the resistance of Second terminator (engine deck), taken out" in told
    assert "resistance 'Second terminator' --measured '120 ohm' --held in-hand" in told
    assert "First terminator" not in told
    noted(line, "resistance", "second terminator", "--measured", "OL", "--held", "in-hand")
    assert "1. repair Second terminator" in line("faults", "next", "1").out


def test_with_some_controllers_gone_and_no_meter_the_terminators_do_not_come_first(line: Wearlog) -> None:
    noted(line, "resistance", "data line plug", "--measured", "120 ohm")
    for name, verdict in zip(CONTROLLERS, ("good", "bad", "good"), strict=True):
        noted(line, "try-it", name, verdict)
    # 16.45 min with an end first, 13.13 with a plug (computed)
    assert "taken out" not in line("faults", "next", "1").out
    line("undo")
    line("undo")
    noted(line, "try-it", CONTROLLERS[1], "good")
    assert steps(line)[0] == ("try_it", "Header controller")
    noted(line, "try-it", CONTROLLERS[2], "good")
    assert steps(line)[0][1] in TERMINATORS
    assert steps(line, "--without", "resistance")[0][0] != "resistance"
    # both ends there: nothing asks for the terminators
    noted(line, "resistance", "data line plug", "--measured", "60 ohm")
    assert "taken out" not in line("faults", "next", "1").out


@pytest.mark.parametrize(
    ("measured", "verdict", "mode", "words"),
    [
        ("high 2.7 V, low 2.3 V", "good", None, "Both wires are in their bands"),
        ("3.0 / 2.0 V", "good", None, "Both wires are in their bands"),
        ("2.5 and 2.5 V", "bad", "short_to_ground", "high lies on low, or the line is idle"),
        ("low 0.0 V, high 0.0 V", "bad", "short_to_ground", "high lies on ground"),
        ("0,6 0,0", "bad", "short_to_ground", "low lies on ground"),
        ("12.6 / 11.1 V", "bad", "short_to_power", "high lies on the supply"),
        ("high 11.6, low 12.6", "bad", "short_to_power", "low lies on the supply"),
        ("high 4.0 V, low 1.0 V", "unclear", None, "Between the bands it says little"),
    ],
)
def test_the_volts_of_both_wires_are_judged_by_their_bands(
    line: Wearlog, measured: str, verdict: str, mode: str | None, words: str
) -> None:
    """Bands of a maker's display help after ISO 11898-2; shorts computed for four controllers (docs/methods.md)."""
    before = shorted(line)
    ran = line("faults", "check", "1", "voltage", "data line plug", "--measured", measured, "--state", "key-on")
    assert ran.code == 0, ran.err
    assert f", {verdict}, " in ran.out
    assert words in ran.out
    after = shorted(line)
    if mode:
        assert shorted(line, mode) > 0.6
    elif verdict == "good":  # what is left is a short that comes and goes
        assert after < before / 2
    else:
        assert after == pytest.approx(before, abs=0.07)


def test_a_wire_of_the_data_line_on_the_supply_is_a_suspect_from_the_start_and_a_look_may_find_it(
    line: Wearlog,
) -> None:
    nodes = {one["node"] for one in rows_of(line, "short_to_power")}
    assert nodes >= {"Data line front", "Data line plug", "Data line rear"}
    noted(line, "voltage", "data line plug", "--measured", "12.6 / 11.1 V", "--state", "key-on")
    before = {one["node"]: one["chance"] for one in rows_of(line, "short_to_power")}
    noted(line, "look", "data line front", "good")
    after = {one["node"]: one["chance"] for one in rows_of(line, "short_to_power")}
    assert after["Data line front"] < before["Data line front"] / 1.5
    # between the two wires it reads 60 ohm: that it does is no news
    noted(line, "resistance", "data line plug", "--measured", "60 ohm")
    assert shorted(line, "short_to_power") == pytest.approx(sum(after.values()), abs=0.1)
    noted(line, "look", "data line rear", "bad")
    last = {one["node"]: one["chance"] for one in rows_of(line, "short_to_power")}
    assert last["Data line rear"] > 0.6


def test_a_place_that_is_live_with_all_switched_off_is_fed_past_its_switch(line: Wearlog) -> None:
    line("faults", "diagram", "kestrel", "--start", "combine main harness")
    line("faults", "open", "kestrel", "light stays on", "--sign", "left work light stays on")
    at = ("faults", "check", "2", "voltage", "left work light", "--state", "off", "--measured")
    live = line(*at, "12.4 V")
    assert ", bad, " in live.out
    assert "All is off and this place is live" in live.out
    sized = {one["node"]: one["chance"] for one in rows_of(line, "short_to_power", "2")}
    # below the battery's own switch alone a place may be live with all off: it is judged from the battery as ever
    feed = (
        "faults",
        "check",
        "2",
        "voltage",
        "lights fuse",
        "--state",
        "off",
        "--measured",
        "12.4 V",
        "--battery",
        "12.5",
    )
    assert ", good, " in line(*feed).out
    line("undo")
    line("undo")
    dark = line(*at, "0.0 V")
    assert ", good, " in dark.out
    dead = {one["node"]: one["chance"] for one in rows_of(line, "short_to_power", "2")}
    assert sized["Lights harness"] > 3 * dead["Lights harness"]


def shorted(line: Wearlog, mode: str = "short_to_ground") -> float:
    nodes = {*TERMINATORS, "Data line front", "Data line plug", "Data line rear"}
    return sum(one["chance"] for one in rows_of(line, mode) if one["node"] in nodes)


def rows_of(line: Wearlog, mode: str, fault: str = "1") -> list[dict[str, Any]]:
    rows = line("faults", "suspects", fault, "--json").json["suspects"]
    return [one for one in rows if one["mode"] == mode]


def test_one_wire_alone_is_asked_for_the_other_and_nothing_is_saved(line: Wearlog) -> None:
    for one in ("2.7 V", "high 2.7 V", "2,7", "2.3 to 2.7 V"):
        ran = line("faults", "check", "1", "voltage", "data line plug", "--measured", one)
        assert ran.code != 0
        assert "A data line has two wires, and one reading alone tells nothing" in ran.err
    assert "data line plug" not in line("faults", "trail", "1").out.casefold()


LONG = """\
Battery: battery
  Fuse A: fuse 10 A
    C1: controller, returns by Ground, bus with Run 1
    C2: controller, returns by Ground, bus with Run 3
    C3: controller, returns by Ground, bus with Run 5
End A: terminator, bus with Run 1
Run 1: wire run, bus with Plug 1
Plug 1: connector, bus with Run 2
Run 2: wire run, bus with Plug 2
Plug 2: connector, bus with Run 3
Run 3: wire run, bus with Plug 3
Plug 3: connector, bus with Run 4
Run 4: wire run, bus with Plug 4
Plug 4: connector, bus with Run 5
Run 5: wire run, bus with End B
End B: terminator
Ground: ground, returns by Battery
"""


@pytest.fixture
def long_line(line: Wearlog, tmp_path: Path) -> Wearlog:
    """A data line of five runs and four plugs that shows 0 ohm; the fault is number 2."""
    drawing = tmp_path / "line.txt"
    drawing.write_text(LONG, encoding="utf-8")
    assert line("faults", "diagram", "north", "--set", str(drawing)).code == 0
    assert line("faults", "open", "north", "nobody talks", "--sign", "C2 dead").code == 0
    assert line("faults", "tell", "2", "--present", "yes").code == 0
    assert line("faults", "check", "2", "resistance", "Plug 1", "--measured", "0.4 ohm").code == 0
    return line


def halving(line: Wearlog) -> tuple[str, dict[str | None, float]]:
    """The plug that is opened next, and the chance of each side; of neither under None."""
    told = line("faults", "next", "2", "--json").json
    return told["checks"][0]["node"], {one["node"]: one["chance"] for one in told["sides"]}


def places(line: Wearlog) -> dict[str, float]:
    rows = line("faults", "suspects", "2", "--json").json["suspects"]
    found: dict[str, float] = {}
    for one in rows:
        found[one["node"]] = found.get(one["node"], 0.0) + one["chance"]
    return found


def test_at_0_ohm_the_plug_in_the_middle_is_opened_and_each_answer_halves_what_is_left(long_line: Wearlog) -> None:
    first = long_line("faults", "next", "2")
    assert "1. open Plug 3 and measure both sides of it" in first.out
    assert "Negative lead off" in first.out
    assert "Take the negative lead off the battery" in first.err
    plug, sides = halving(long_line)
    assert (plug, set(sides)) == ("Plug 3", {"Run 3", "Run 4", None})
    assert sum(sides.values()) == pytest.approx(1)
    # neither side has much more than the other: two runs and a half against two
    assert 0.3 < sides["Run 4"] < sides["Run 3"] < 0.65
    before = places(long_line)
    note = next(row for row in first.out.splitlines() if row.startswith("0 ohm towards Run 3: "))
    assert long_line(*shlex.split(note.split(": ", 1)[1])[1:]).code == 0
    after, gone = places(long_line), {"Run 4", "Plug 4", "Run 5", "C3", "End B"}
    assert sum(before.get(name, 0.0) for name in gone) > 0.3
    assert sum(after.get(name, 0.0) for name in gone) < 0.05
    told = long_line("faults", "next", "2")
    assert "NOT PUT BACK: unplugged at Plug 3" in told.out
    # the next middle, on that side alone; the lead is off by now
    assert halving(long_line)[0] in {"Plug 1", "Plug 2"}
    assert "Take the negative lead off" not in told.err
    assert long_line("faults", "check", "2", "resistance", "Plug 2", "--held", "opened", "--side", "Run 3").code == 0
    left = places(long_line)
    assert left["Run 3"] == max(left.values()) > 0.5
    # taken back, everything is as it was and nothing is left unplugged
    assert long_line("undo").code == 0
    assert long_line("undo").code == 0
    assert "NOT PUT BACK" not in long_line("faults", "next", "2").out
    assert places(long_line) == pytest.approx(before)


def test_0_ohm_on_neither_side_points_at_the_plug_itself_or_at_a_short_that_came_and_went(long_line: Wearlog) -> None:
    before = places(long_line)
    noted = long_line("faults", "check", "2", "resistance", "Plug 2", "--held", "opened", "good")
    assert "0 ohm on neither side" in noted.out
    assert "Plug 2 itself, or the short came and went" in noted.out
    after = places(long_line)
    assert after["Plug 2"] > 3 * before["Plug 2"]
    assert after["Run 1"] < before["Run 1"] / 2


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        (("--measured", "0.3 ohm"), "On which side of the opened plug was it 0 ohm?"),
        (("bad",), "On which side of the opened plug was it 0 ohm?"),
        (("--measured", "121 ohm"), "An opened plug is measured on both sides"),
        (("good", "--side", "Run 3"), "Good says that neither side shows 0 ohm"),
        (("--side", "End B"), "There is no place 'End B'"),
    ],
)
def test_an_opened_plug_without_a_side_is_asked_about_and_nothing_is_saved(
    long_line: Wearlog, words: tuple[str, ...], asked: str
) -> None:
    ran = long_line("faults", "check", "2", "resistance", "Plug 2", "--held", "opened", *words)
    assert ran.code != 0
    assert asked in ran.err
    assert "NOT PUT BACK" not in long_line("faults", "next", "2").out


def test_a_controller_that_is_unplugged_has_one_side_and_its_figure_says_it(long_line: Wearlog) -> None:
    said = long_line("faults", "check", "2", "resistance", "C2", "--held", "opened", "--measured", "0.2 ohm")
    assert "0 ohm towards Run 3, read 0.2 ohm, bad" in said.out
    before = places(long_line)
    assert long_line("faults", "check", "2", "resistance", "C3", "--held", "opened", "--measured", "118 ohm").code == 0
    assert places(long_line)["C3"] > 5 * before.get("C3", 0.001)
    outside = long_line("faults", "check", "2", "resistance", "Fuse A", "--held", "opened", "good")
    assert "'Fuse A' is on no data line" in outside.err


def test_after_0_ohm_the_short_is_found_before_what_older_readings_speak_of(
    wearlog: Wearlog, demo_file: Path, tmp_path: Path
) -> None:
    """Twice 120 ohm is another fault, if any; a check end to end would tell next to nothing of a short."""
    log = str(shutil.copyfile(demo_file, tmp_path / "demo.db"))

    def alder(*words: str) -> Any:
        ran = wearlog("faults", *words, "--db", log)
        assert ran.code == 0, ran.err
        return ran

    assert "119.6 ohm" in alder("trail", "12").out
    alder("check", "12", "resistance", "data line plug", "--measured", "0.3 ohm")
    alder("check", "12", "resistance", "data line plug", "--held", "opened", "--side", "data line rear")
    first = alder("next", "12", "--json").json["checks"][0]
    assert (first["check"], first["node"]) == ("look", "Data line rear")
    alder("check", "12", "look", "data line rear", "bad")
    assert alder("next", "12", "--json").json["checks"][0]["node"] == "Data line rear"
