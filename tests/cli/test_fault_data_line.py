"""A data line by command: which controllers are still seen, then the terminators, at 120 ohm; the volts of its two wires."""

from __future__ import annotations

from datetime import datetime

import pytest

from tests.cli.running import Wearlog
from tests.small_farm import SmallFarm

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
        ("12.6 / 11.1 V", "bad", None, "high lies on the supply"),
        ("high 11.6, low 12.6", "bad", None, "low lies on the supply"),
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
        assert after > 0.6
    elif verdict == "good":  # what is left is a short that comes and goes
        assert after < before / 2
    else:
        # a wire on the supply is no suspect of the line yet: the words alone tell it
        assert after == pytest.approx(before, abs=0.07)


def shorted(line: Wearlog) -> float:
    nodes = {*TERMINATORS, "Data line front", "Data line plug", "Data line rear"}
    rows = line("faults", "suspects", "1", "--json").json["suspects"]
    return sum(one["chance"] for one in rows if one["node"] in nodes and one["mode"] == "short_to_ground")


def test_one_wire_alone_is_asked_for_the_other_and_nothing_is_saved(line: Wearlog) -> None:
    for one in ("2.7 V", "high 2.7 V", "2,7", "2.3 to 2.7 V"):
        ran = line("faults", "check", "1", "voltage", "data line plug", "--measured", one)
        assert ran.code != 0
        assert "A data line has two wires, and one reading alone tells nothing" in ran.err
    assert "data line plug" not in line("faults", "trail", "1").out.casefold()
