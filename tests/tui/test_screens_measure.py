"""Wear entered from the Work screen with one key: cautions first, the chain's own questions, and what the reading means."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot

from tests.tui.piloting import play, screen_text, settled
from tests.tui.test_screens_forms_contrast import every_theme_is_read
from tests.tui.writing import Text, enter, kept_at_every_size
from wearlog.facts.cautions import CAUTIONS
from wearlog.facts.closed_lists import Hazard
from wearlog.facts.wearing import Measurement
from wearlog.logbook.open_log import open_log
from wearlog.store.finding import find_all
from wearlog.tui.app import Screens
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.screens.parts.measure_part import MeasuredPage


def words_on(screens: Screens) -> str:
    return " ".join(screen_text(screens).split())


async def every_caution_on_f1(screens: Screens, pilot: Pilot[None], hazard: Hazard) -> None:
    """The row under the answer names the acts that matter; its key has every sentence."""
    await pilot.resize_terminal(80, 60)
    await enter(pilot, "f1")
    page = words_on(screens)
    assert [sentence for sentence in CAUTIONS[hazard] if sentence not in page] == []
    await enter(pilot, "escape")
    await pilot.resize_terminal(80, 24)
    await settled(pilot)


def readings(location: str) -> list[tuple[int, str]]:
    store = open_log(location)
    with store.reading() as connection:
        found = [(one.measured_micrometres, one.note) for one in find_all(connection, Measurement)]
    store.close()
    return found


def test_a_chain_is_measured_by_the_keyboard_alone_and_undone(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "right", "g")
        text = words_on(screens)
        assert text.index("▲ CARE key out header on its stop F1 all 4 cautions") < text.index("Machine [Kestrel]")
        await every_caution_on_f1(screens, pilot, Hazard.UNDER_HEADER)
        assert "[feeder house chain]" in text
        await enter(pilot, "down", Text("19.9in"), "down")
        assert "= 19.900 in, elongation 1.74 %" in screen_text(screens)
        await kept_at_every_size(pilot, "measure_form")
        await enter(pilot, "ctrl+s")
        assert isinstance(screens.screen, MeasuredPage)
        said = words_on(screens)
        assert "Saved: Kestrel, feeder house chain: 19.900 in over 12 pitches, 28 Jul 2025 14:05." in said
        assert "Elongation 1.74 %, limit 3 %: 58 % of the way from new to the limit." in said
        assert "By the line through 1 reading it meets the limit at" in said
        await kept_at_every_size(pilot, "measured_page")
        await enter(pilot, "enter", "u")
        assert "undid: Kestrel, feeder house chain: 19.900 in over 12 pitches, 28 Jul 2025 14:05." in words_on(screens)

    play(small_farm, steps)
    assert readings(small_farm) == []


def test_over_other_pitches_the_length_is_understood_as_soon_as_they_are_written(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "right", "g", "down", Text("424mm"), "ctrl+s")
        assert isinstance(screens.screen, FormScreen)
        assert screens.screen.line("read").wrong.endswith(
            "It looks like 10 pitches: below, write 10 if that is what you measured over."
        )
        await enter(pilot, "down", Text("10"), "down", Text("ca550"), "down")
        assert "= 16.693 in, elongation 2.41 %" in screen_text(screens)
        await enter(pilot, "right", "ctrl+s")
        assert "PAST ITS LIMIT: it is worn out. Elongation 2.41 %, limit 1.5 %" in words_on(screens)

    play(small_farm, steps)
    assert readings(small_farm) == [(508_800, "read 16.693 in over 10 pitches of CA550")]


@pytest.mark.parametrize(
    ("typed", "wrong"),
    [
        ("", "What does it measure?"),
        ("-3in", "'-3in' is below zero"),
        ("505", "Over 12 pitches that is 26 times as long as new"),
        ("worn", "'worn' is not a length."),
    ],
)
def test_what_cannot_be_is_told_under_its_field_and_nothing_is_saved(small_farm: str, typed: str, wrong: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "right", "g", "down", *([Text(typed)] if typed else []), "ctrl+s")
        assert isinstance(screens.screen, FormScreen)
        assert screens.screen.line("read").wrong.startswith(wrong)

    play(small_farm, steps)
    assert readings(small_farm) == []


def test_a_reading_of_a_time_before_the_part_was_fitted_is_refused_under_when(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "right", "g", "down", Text("19.9in"), *["down"] * 5, Text("2025-01-10 9:00"), "ctrl+s")
        assert isinstance(screens.screen, FormScreen)
        assert screens.screen.line("at").wrong.startswith("Nothing was fitted at Kestrel, feeder house chain then")

    play(small_farm, steps)


def test_the_form_and_its_answer_are_read_in_sunlight(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "right", "g", "down", Text("505"), "ctrl+s")
        await every_theme_is_read(screens, pilot, "the form with an error")
        await enter(pilot, Text("mm"), "ctrl+s")
        assert isinstance(screens.screen, MeasuredPage)
        await every_theme_is_read(screens, pilot, "the answer")

    play(small_farm, steps)
