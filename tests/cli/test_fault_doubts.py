"""What is asked before something of a fault is saved: told both ways, another voltage, closed before a check; told twice."""

from __future__ import annotations

from datetime import datetime

import pytest

from tests.cli.running import Wearlog
from tests.small_farm import SmallFarm


@pytest.fixture
def fault(wearlog: Wearlog, file_farm: SmallFarm, monkeypatch: pytest.MonkeyPatch) -> Wearlog:
    """wearlog on the small farm's log; Kestrel's main harness is drawn and fault 1 is open: left work light dead."""
    now = datetime.fromisoformat("2026-08-03 15:00").astimezone()
    for module in ("faults_commands", "fault_answer_commands", "options"):
        monkeypatch.setattr(f"wearlog.cli.{module}.local_now", lambda: now)
    file = str(file_farm.store.location.file)
    wearlog("faults", "diagram", "kestrel", "--start", "combine main harness", "--db", file)
    opened = ("kestrel", "light out", "--sign", "left work light dead", "--at", "2026-08-03 9:00")
    assert wearlog("faults", "open", *opened, "--db", file).code == 0
    return lambda *words: wearlog(*words, "--db", file)


def checks(fault: Wearlog) -> int:
    return fault("faults", "trail", "1").out.count("trying Left work light")


def test_a_load_told_dead_and_told_working_is_asked_with_both_entries_and_yes_keeps_both(fault: Wearlog) -> None:
    for words in (("check", "1", "try-it", "left work light", "good"), ("sign", "1", "left work light works")):
        ran = fault("faults", *words)
        assert ran.code == 4
        assert "Of 'Left work light' it was told 'Left work light dead', and now" in ran.err
        assert "--yes keeps both" in ran.err
    assert checks(fault) == 0
    assert fault("faults", "check", "1", "try-it", "left work light", "good", "--yes").code == 0
    # the later word is now the check; the same again is no news, the other way round is asked
    assert fault("faults", "check", "1", "try-it", "left work light", "good").code == 0
    again = fault("faults", "check", "1", "try-it", "left work light", "bad")
    assert again.code == 4
    assert "check 2 'Left work light works', 3 Aug 2026 15:00" in again.err
    assert fault("undo").code == 0
    assert checks(fault) == 1


def test_both_words_in_one_breath_are_asked_too(fault: Wearlog) -> None:
    both = ("--sign", "right work light dead", "--sign", "right work light works")
    ran = fault("faults", "open", "kestrel", "the other light", *both)
    assert ran.code == 4
    assert "'Right work light dead', and now 'Right work light working'" in ran.err
    assert "the other light" not in fault("faults").out
    assert fault("faults", "open", "kestrel", "the other light", *both, "--yes").code == 0


def test_what_comes_and_goes_may_be_found_either_way_without_a_question(fault: Wearlog) -> None:
    assert fault("faults", "sign", "1", "right work light flickers").code == 0
    assert fault("faults", "check", "1", "try-it", "right work light", "good").code == 0
    assert fault("faults", "check", "1", "try-it", "right work light", "bad").code == 0
    # said to be away now: that it works is what is to be expected
    assert fault("faults", "tell", "1", "--present", "no").code == 0
    assert fault("faults", "check", "1", "try-it", "left work light", "good").code == 0


@pytest.mark.parametrize(("first", "state", "asked"), [("14.2 V", "running", True), ("24.9 V", "rested", False)])
def test_25_volts_after_those_of_a_12_volt_machine_are_asked(
    fault: Wearlog, first: str, state: str, asked: bool
) -> None:
    assert fault("faults", "check", "1", "voltage", "battery", "--measured", first, "--state", state).code == 0
    ran = fault("faults", "check", "1", "voltage", "battery", "--measured", "25.1 V", "--state", "rested")
    assert (ran.code == 4) is asked
    if asked:
        assert "25.1 V is that of a 24 V machine, and this one showed 14.2 V (check 1 of 'light out'" in ran.err
        more = ("voltage", "lights relay", "--measured", "12 V", "--battery", "25.1", "--state", "key-on")
        assert "24 V machine" in fault("faults", "check", "1", *more).err
        words = ("voltage", "battery", "--measured", "25.1 V", "--state", "rested", "--yes")
        assert fault("faults", "check", "1", *words).code == 0


def test_a_fault_closed_for_a_time_before_its_last_check_is_asked_about(fault: Wearlog) -> None:
    fault("faults", "check", "1", "look", "left work light", "bad", "--at", "2026-08-03 12:00")
    close = ("faults", "close", "1", "left work light", "failed-device", "--fix", "new bulb")
    ran = fault(*close, "--at", "2026-08-03 10:00")
    assert ran.code == 4
    assert (
        "'light out' would be closed 3 Aug 2026 10:00, before check 1 (look), which stands at 3 Aug 2026 12:00."
        in ran.err
    )
    assert "OPEN" in fault("faults").out
    assert fault(*close, "--at", "2026-08-03 12:00").code == 0
    assert fault("undo").code == 0
    assert fault(*close, "--at", "2026-08-03 10:00", "--yes").code == 0


def test_faults_opened_within_minutes_that_are_all_open_are_one_time(fault: Wearlog) -> None:
    for at in ("2026-08-03 9:05", "2026-08-03 9:10"):
        fault("faults", "open", "kestrel", "light out", "--sign", "left work light dead", "--at", at)
    rows = {row["number"]: row for row in fault("faults", "--json").json["faults"]}
    assert [(rows[n]["episode"], rows[n]["episodes"]) for n in (1, 2, 3)] == [(1, 1)] * 3
    told = fault("faults").out
    assert told.count("as 1") == 2
    for number in ("1", "2", "3"):
        assert "time;" not in fault("faults", "next", number).out
        assert fault("faults", "trail", number, "--json").json["trails"][0]["count"] == 1
    # cured and back an hour later it is the second time
    for number in ("3", "2", "1"):
        fault("faults", "close", number, "--fix", "cleaned", "--at", "2026-08-03 10:00")
    fault("faults", "open", "kestrel", "light out", "--sign", "left work light dead", "--at", "2026-08-03 11:00")
    rows = {row["number"]: row for row in fault("faults", "--json").json["faults"]}
    assert (rows[4]["episode"], rows[4]["episodes"]) == (2, 2)


@pytest.mark.parametrize(
    ("place", "verdict", "says"),
    [
        ("lights fuse", "good", "Dark with all unplugged: the short is away now, or it sits in a load."),
        ("lights fuse", "bad", "Bright with all unplugged: a short in the harness below Lights fuse."),
        ("lights fuse", "unclear", "Dim: a load of Lights fuse is still plugged in"),
        ("left work light", "bad", "Bright: the short sits in Left work light, if its switch is off."),
        ("left work light", "good", "Dark: it is not in Left work light."),
        ("lights harness", "bad", "It went out: the short lies at Lights harness or beyond."),
        ("lights harness", "good", "It stays lit: the short lies before Lights harness."),
    ],
)
def test_the_lamp_says_what_it_showed_when_it_is_noted_and_before_the_next_step(
    fault: Wearlog, place: str, verdict: str, says: str
) -> None:
    fault("faults", "sign", "1", "lights fuse blew at once")
    noted = fault("faults", "check", "1", "lamp", place, verdict, "--in-place-of", "lights fuse")
    assert noted.code == 0, noted.err
    assert f"  {says}" in noted.out
    assert f"The lamp: {says}" in fault("faults", "next", "1").out
    # another check since: the lamp is not what one stands before
    fault("faults", "check", "1", "look", "left work light", "good")
    assert "The lamp: " not in fault("faults", "next", "1").out
