"""Evidence with its size by command: others tried, the battery first, how much is lost, ohms of a data line, looking beyond."""

from __future__ import annotations

from datetime import datetime

import pytest

from tests.cli.running import Wearlog
from tests.small_farm import SmallFarm


@pytest.fixture
def own(wearlog: Wearlog, file_farm: SmallFarm, monkeypatch: pytest.MonkeyPatch) -> Wearlog:
    """wearlog on the small farm's log, with the header and its data line drawn."""
    now = datetime.fromisoformat("2026-08-03 15:00").astimezone()
    # options last: the others take their clock from it when they are first loaded
    for module in ("faults_commands", "fault_answer_commands", "options"):
        monkeypatch.setattr(f"wearlog.cli.{module}.local_now", lambda: now)
    file = str(file_farm.store.location.file)
    wearlog("faults", "diagram", "kestrel", "--start", "header", "--db", file)
    return lambda *words: wearlog(*words, "--db", file)


def chances(own: Wearlog, fault: str = "1") -> dict[tuple[str | None, str], float]:
    rows = own("faults", "suspects", fault, "--json").json["suspects"]
    return {(one["node"], one["mode"]): one["chance"] for one in rows}


def opened(own: Wearlog) -> Wearlog:
    own("faults", "open", "kestrel", "reel will not lift", "--sign", "reel lift valve dead")
    return own


def at_plug(own: Wearlog, reading: str, *more: str) -> None:
    words = ("voltage", "header plug", "--measured", reading, "--battery", "12.4", "--state", "key-on", *more)
    assert own("faults", "check", "1", *words).code == 0


def test_others_are_tried_first_and_what_was_said_of_them_moves_the_suspects(own: Wearlog) -> None:
    opened(own)
    first = own("faults", "next", "1")
    assert "Still to ask: Have you tried the other loads" in first.out
    assert "1. try from the seat: " in first.out
    assert "engine off, everybody clear" in first.out
    silent = chances(own)["Reel lift valve", "failed_device"]
    told = own("faults", "tell", "1", "--others", "all-fine", "--present", "yes")
    assert told.out == (
        "Saved: of 'reel will not lift': the others were tried: all fine; it is there now, 3 Aug 2026 15:00.\n"
    )
    heard = chances(own)["Reel lift valve", "failed_device"]
    # its odds are more than doubled
    assert heard / (1 - heard) > 2 * silent / (1 - silent)
    assert "Have you tried" not in own("faults", "next", "1").out


def test_who_takes_a_fault_up_need_not_be_entered_before(own: Wearlog) -> None:
    opened(own)
    first = own("faults", "tell", "1", "--taken-up-by", "Sam")
    assert first.out == "Saved: of 'reel will not lift': taken up by Sam, who is new here, 3 Aug 2026 15:00.\n"
    assert "Taken up 3 Aug 2026 15:00 by Sam." in own("faults", "next", "1").out
    again = own("faults", "tell", "1", "--taken-up-by", "sam")
    assert again.out == "Saved: of 'reel will not lift': taken up by Sam, 3 Aug 2026 15:00.\n"
    own("undo", "--yes")
    assert own("undo", "--yes").code == 0
    assert own("entries", "person", "--json").json["rows"] == []


def test_a_load_that_works_clears_what_it_shares(own: Wearlog) -> None:
    opened(own)
    before = chances(own)["Header relay", "failed_device"]
    own("faults", "check", "1", "try-it", "reel fore", "good")
    own("faults", "check", "1", "try-it", "stubble", "good")
    assert chances(own)["Header relay", "failed_device"] < before / 4
    assert own("faults", "next", "1", "--json").json["checks"][0]["node"] not in (
        "Reel fore-aft valve",
        "Stubble lights",
    )


def test_nothing_and_eight_volts_at_one_plug_are_two_findings(own: Wearlog) -> None:
    opened(own)
    at_plug(own, "0.0 V", "--load", "on")
    nothing = chances(own)
    own("undo")
    at_plug(own, "8.0 V", "--load", "on")
    eight = chances(own)
    assert nothing["Header relay", "failed_device"] > 3 * eight["Header relay", "failed_device"]
    assert eight["Header plug", "high_resistance"] > 5 * nothing["Header plug", "high_resistance"]


def test_a_running_engine_is_judged_by_its_own_band_and_by_the_batterys_own_reading(own: Wearlog) -> None:
    opened(own)
    ran = own("faults", "check", "1", "voltage", "battery", "--measured", "14.2 V", "--state", "running")
    assert "voltage Battery, 14.2 V, running, good" in ran.out
    assert "The supply by this reading: charging as it should" in ran.out
    # 12.3 V is 1.9 V less than the battery shows at that moment
    far = own("faults", "check", "1", "voltage", "header plug", "--measured", "12.3 V", "--state", "running")
    assert "12.3 V, running, bad" in far.out
    assert "1.90 V of the battery's 14.2 V are lost before this place" in far.out
    cold = own("faults", "check", "1", "voltage", "battery", "--measured", "12.2 V", "--state", "running")
    assert "12.2 V, running, bad" in cold.out
    assert "the alternator gives nothing" in cold.out
    low = own("faults", "check", "1", "voltage", "battery", "--measured", "11.5 V", "--state", "key-on")
    assert "charge it before anything else is measured" in low.out
    of_24 = ("faults", "check", "1", "voltage", "battery", "--measured", "25 V", "--state", "rested")
    assert "25 V is that of a 24 V machine, and this one showed 11.5 V" in own(*of_24).err
    twice = own(*of_24, "--yes")
    assert "25 V, rested, good" in twice.out


def test_a_voltage_on_a_running_engine_needs_the_battery_first(own: Wearlog) -> None:
    opened(own)
    ran = own("faults", "check", "1", "voltage", "header plug", "--measured", "13.9 V", "--state", "running")
    assert (ran.code, ran.out) == (2, "")
    assert "What did the battery itself show in that state?" in ran.err


def test_a_drop_without_a_load_says_nothing(own: Wearlog) -> None:
    opened(own)
    before = chances(own)
    ran = own("faults", "check", "1", "voltage-drop", "header ground", "--measured", "0.0 V", "--load", "off")
    assert "no load, unclear" in ran.out
    assert "this drop says nothing" in ran.out
    assert chances(own) == before


def test_a_drop_of_nine_volts_is_the_ground_and_a_small_one_is_not(own: Wearlog) -> None:
    opened(own)
    own(
        "faults",
        "check",
        "1",
        "voltage-drop",
        "header ground",
        "--measured",
        "9 V",
        "--battery",
        "12.4",
        "--load",
        "on",
    )
    every = chances(own)
    # by far the likeliest; what is not drawn keeps a share, since one load alone is told of
    assert max(every, key=lambda one: every[one]) == ("Header ground", "high_resistance")
    assert every["Header ground", "high_resistance"] > 0.45
    own("undo")
    small = own("faults", "check", "1", "voltage-drop", "header ground", "--measured", "0.3 V", "--load", "on")
    assert "0.3 V is above 0.1 V: clean it; alone it seldom keeps a load dead." in small.out
    assert chances(own)["Header ground", "high_resistance"] < 0.3


@pytest.mark.parametrize(
    ("ohms", "mode", "words"),
    [
        ("0.4 ohm", "short_to_ground", "high on low"),
        ("120 ohm", "open", "one end lost"),
        ("60 ohm", None, "nothing by this test"),
        ("40 ohm", None, "a third terminator"),
        ("OL", None, "the line is open at this place"),
    ],
)
def test_ohms_of_the_data_line_say_what_to_do(own: Wearlog, ohms: str, mode: str | None, words: str) -> None:
    own("faults", "diagram", "kestrel", "--start", "combine data line")
    own("faults", "open", "kestrel", "controllers gone", "--sign", "639/9 at engine controller")
    ran = own("faults", "check", "1", "resistance", "data line plug", "--measured", ohms)
    assert ran.code == 0
    assert f"By this reading suspect {words}" in ran.out
    if mode is not None:
        line = {"Data line front", "Data line plug", "Data line rear", "First terminator", "Second terminator"}
        assert sum(chance for (node, of), chance in chances(own).items() if of == mode and node in line) > 0.6
    hand = own("faults", "check", "1", "resistance", "first term", "--measured", "120 ohm", "--held", "in-hand")
    assert "the terminator is sound" in hand.out


def test_looking_beyond_and_finding_nothing_is_an_answer_and_the_places_that_are_drawn_come_back(own: Wearlog) -> None:
    opened(own)
    before = chances(own)[None, "not_found"]
    assert own("faults", "check", "1", "beyond", "good", "--measured", "no kit").code == 0
    once = chances(own)[None, "not_found"]
    assert once == pytest.approx(0.3 * before / (0.99 - 0.69 * before), rel=0.02)
    assert "look beyond the diagram" in own("faults", "trail", "1").out


def test_a_failed_repair_leaves_the_place_a_suspect(own: Wearlog) -> None:
    opened(own)
    before = chances(own)["Reel lift valve", "failed_device"]
    own("faults", "check", "1", "swap", "reel lift", "good")
    assert 0.01 < chances(own)["Reel lift valve", "failed_device"] < before / 3


def test_checks_made_while_the_fault_was_away_count_as_one(own: Wearlog) -> None:
    own("faults", "open", "kestrel", "reel comes and goes", "--sign", "reel lift valve flickers")
    own("faults", "tell", "1", "--present", "no")
    assert own("faults", "next", "1", "--json").json["checks"][0]["check"] not in (
        "voltage",
        "voltage_drop",
        "continuity",
    )
    before = chances(own)
    at_plug(own, "12.3 V", "--load", "on")
    after = chances(own)
    # what a meter shows of a fault that is away is next to nothing
    assert after["Header plug", "open"] == pytest.approx(before["Header plug", "open"], rel=0.35)


def test_what_was_undone_is_said_until_it_is_put_back(own: Wearlog) -> None:
    own(
        "faults",
        "open",
        "kestrel",
        "fuse blows",
        "--sign",
        "header fuse blew at once",
        "--sign",
        "reel lift valve dead",
    )
    assert own("faults", "check", "1", "lamp", "header fuse", "bad").code == 0
    own("faults", "undone", "1", "unplugged", "reel lift")
    # the lamp that hangs there already is not put there a second time
    assert own("faults", "check", "1", "lamp", "header fuse", "unclear").code == 0
    shown = own("faults", "next", "1").out
    assert shown.count("lamp in place of the fuse") == 1
    assert "NOT PUT BACK: lamp in place of the fuse at Header fuse, since 3 Aug 2026 15:00." in shown
    assert "NOT PUT BACK: unplugged at Reel lift valve" in shown
    closed = own("faults", "close", "1", "header harness", "short-to-ground", "--fuse", "15")
    assert "NOT PUT BACK: lamp in place of the fuse at Header fuse" in closed.out
    assert own("faults", "put-back", "1", "header fuse").code == 0
    assert own("faults", "put-back", "1").out == ("Saved: put back for 'fuse blows': unplugged at Reel lift valve.\n")
    assert own("faults", "put-back", "1").code == 3


def test_the_lamps_first_step_is_written_so_that_nothing_is_left_plugged_in(own: Wearlog) -> None:
    own(
        "faults",
        "open",
        "kestrel",
        "fuse blows",
        "--sign",
        "header fuse blew at once",
        "--sign",
        "reel lift valve dead",
    )
    shown = own("faults", "next", "1")
    assert "1. all loads unplugged, put a lamp in place of Header fuse (fuse block)" in shown.out
    for words in (
        "(1) Engine off, key out. (2) Switch off every load of this fuse and unplug each one",
        "Dark: the short is away now",
    ):
        assert words in shown.out
    own("faults", "check", "1", "lamp", "header fuse", "bad")
    plug = own("faults", "next", "1")
    assert "with the lamp in place of Header fuse, open Header plug" in plug.out
    assert "A plug beyond a further fuse does not count" in plug.out
    # the cautions were read: one line stands for them, all of them are one word away
    assert plug.err.startswith("As before: engine off, key with you")
    assert "Take the negative lead off" in own("faults", "next", "1", "--cautions").err


def test_a_second_fault_with_the_same_signs_says_which_one_is_open(own: Wearlog) -> None:
    opened(own)
    again = own("faults", "open", "kestrel", "reel stays down", "--sign", "reel lift valve dead")
    assert again.code == 0
    assert "'reel will not lift' with these signs is open since 3 Aug 2026" in again.out
    assert "is open since" not in own("faults", "open", "kestrel", "lamp out", "--sign", "stubble lights dead").out
    closed = own("faults", "close", "1", "header harness", "open")
    assert closed.code == 0
    again = own("faults", "open", "kestrel", "reel down again", "--sign", "reel lift valve dead").out
    assert "'reel stays down' with these signs" in again
    assert "'reel will not lift'" not in again
