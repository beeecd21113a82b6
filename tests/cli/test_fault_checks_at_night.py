"""Checks noted by somebody tired: a flat battery, a slipped comma, ohms under supply, a wrong year, one plug unplugged twice."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.running import Wearlog

OPEN = ("faults", "open", "tamarack", "stubble lights out", "--sign", "stubble lights dead", "--at", "2026-11-19 18:00")
PLUG = ("faults", "check", "13", "voltage", "header plug", "--measured")


@pytest.fixture
def dark(demo: Wearlog) -> Wearlog:
    assert demo(*OPEN).code == 0
    return demo


def test_a_battery_that_shows_nothing_leaves_the_case_answered(dark: Wearlog) -> None:
    dark("faults", "check", "13", "voltage", "battery", "--measured", "0.0")
    assert "unclear" in dark(*PLUG, "0.0").out, "of nothing nothing can be lost"
    assert dark("faults", "suspects", "13").code == 0
    assert dark("faults", "next", "13").code == 0


@pytest.mark.parametrize(
    ("check", "sentence"),
    [
        ((*PLUG, "-12.3 V", "--battery", "12.4"), "'-12.3 V' is below zero"),
        ((*PLUG, "40 V", "--battery", "12.4"), "'40 V' is far more than the battery's 12.4 V."),
        ((*PLUG, "8 V", "--battery", "0"), "'0' is no voltage."),
        (
            ("faults", "check", "13", "resistance", "data line plug", "--measured", "60 ohm", "--state", "running"),
            "Ohms are read with everything off",
        ),
    ],
)
def test_a_reading_that_cannot_be_is_asked_about_and_nothing_is_saved(
    dark: Wearlog, check: tuple[str, ...], sentence: str
) -> None:
    asked = dark(*check)
    assert (asked.code, sentence in asked.err) == (2, True)
    assert "No check was made" in dark("faults", "trail", "13").out
    assert dark(*check[:7], "bad").code == 0, "whoever is sure says what it was"
    assert dark("faults", "suspects", "13").code == 0


def test_a_check_is_not_from_years_before_its_fault(dark: Wearlog) -> None:
    asked = dark("faults", "check", "13", "look", "header plug", "good", "--at", "2020-01-01")
    assert (asked.code, "more than a day before the fault was opened" in asked.err) == (4, True)
    assert dark("faults", "check", "13", "look", "header plug", "good", "--at", "2026-11-19 06:00").code == 0


def test_one_plug_is_unplugged_once(dark: Wearlog) -> None:
    unplugged = ("faults", "undone", "13", "unplugged", "header plug")
    assert dark(*unplugged).code == 0
    again = dark(*unplugged)
    assert (again.code, "is kept for 'stubble lights out' already" in again.err) == (4, True)
    assert dark("faults", "put-back", "13").out.count("Header plug") == 1
    assert dark(*unplugged).code == 0


def test_a_machine_of_24_volts_is_judged_by_24_volts(own: Wearlog, tmp_path: Path) -> None:
    drawn = tmp_path / "drawn.txt"
    drawn.write_text(
        "Battery 24 V: battery\n  Plug: connector\n    Lamp: device, returns by Frame\nFrame: ground, returns by Battery 24 V\n"
    )
    own("faults", "diagram", "kestrel", "--set", str(drawn))
    own("faults", "open", "kestrel", "lamp dark", "--sign", "lamp dead")
    verdicts = [
        own("faults", "check", "1", "voltage", place, "--measured", volts).out.splitlines()[0].rsplit(", ", 2)[1]
        for place, volts in (("plug", "12.3 V"), ("battery", "12.6 V"), ("battery", "25.0 V"), ("plug", "24.9 V"))
    ]
    assert verdicts == ["bad", "bad", "good", "good"]
    assert "rested at least 4 hours: 24.8 to 25" in own("faults", "trail", "1").out


def test_what_happened_in_the_evening_is_told_by_the_farms_own_day(dark: Wearlog) -> None:
    """At 18:00 and later the clock of the world has the next day there."""
    again = dark(*OPEN[:3], "dark again", *OPEN[4:])
    assert "with these signs is open since 19 Nov 2026:" in again.out
    dark("faults", "close", "13", "--at", "2026-11-19 19:00")
    assert "was closed on 19 Nov 2026." in dark("faults", "check", "13", "look", "header plug", "good").err


def test_a_lamp_stands_for_a_fuse_that_feeds_the_place(dark: Wearlog) -> None:
    lamp = ("faults", "check", "13", "lamp", "header plug", "good", "--in-place-of")
    asked = dark(*lamp, "fuse 1 lights")
    assert (asked.code, "a lamp there tells nothing of it" in asked.err) == (2, True)
    assert dark(*lamp, "header relay").code == 2
    assert dark(*lamp, "fuse 5 header").code == 0
