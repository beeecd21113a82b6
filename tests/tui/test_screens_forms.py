"""Forms: text is read as people write it, what is wrong stands under its field, nothing typed is lost, paste keeps every line."""

from __future__ import annotations

import pytest
from textual import events
from textual.pilot import Pilot

from tests.tui.piloting import play, rows, screen_lines, screen_text, settled
from tests.tui.writing import Text, enter, kept_at_every_size
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import MeterKind, StopReason
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.work import Stoppage
from wearlog.logbook.said.measures import hours, measure, money
from wearlog.tui.app import Screens
from wearlog.tui.screens.form import REALLY, FormScreen
from wearlog.tui.typed import age_reader, area_reader, name_reader, positions_reader, whole, width_reader
from wearlog.tui.widgets.form_line import FormField

METRIC = FarmSettings(units="metric")


def form(screens: Screens) -> FormScreen:
    assert isinstance(screens.screen, FormScreen)
    return screens.screen


def field(screens: Screens, name: str) -> FormField:
    found = form(screens).line(name)
    assert isinstance(found, FormField)
    return found


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("2310.4", 8_317_440), ("2 310,4", 8_317_440), ("2,310.4 h", 8_317_440), ("1,702", 6_127_200), ("90 min", 5_400)],
)
def test_hours_are_read_as_people_write_them(text: str, seconds: int) -> None:
    assert hours(text) == seconds


def test_areas_and_widths_are_in_the_farms_unit_unless_another_is_written() -> None:
    assert area_reader(FarmSettings())("1 234,5") == 4_995_844  # 1,234.5 x 4,046.8564224 m2
    assert area_reader(METRIC)("48,5") == 485_000
    assert area_reader(FarmSettings())("48.5 ha") == 485_000
    assert area_reader(METRIC)("120 acres") == 485_623
    assert width_reader(FarmSettings())("40") == width_reader(METRIC)("40 ft") == 12_192_000
    assert width_reader(METRIC)("12.2") == width_reader(FarmSettings())("12,2m") == 12_200_000


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("12 bushels", "'bushels' in '12 bushels' is not ac or ha"),
        ("-3", "below zero"),
        ("a lot", "not a number"),
        ("", "not a number"),
    ],
)
def test_what_is_no_area_is_refused_in_words(text: str, sentence: str) -> None:
    with pytest.raises(UsageError, match=sentence):
        measure(text, ("ac", "ha"), "ac")


def test_ages_positions_counts_and_money() -> None:
    age = age_reader(MeterKind.AREA, FarmSettings())
    assert [age(text) for text in ("new", "", "unknown", "?", "1 ac")] == [0, 0, None, None, 4047]
    assert positions_reader(160)("41-43, 50") == (41, 42, 43, 50)
    assert positions_reader(3)("all") == positions_reader(3)("") == (1, 2, 3)
    assert (whole()("1,000"), money("4,60"), money("1 234.50")) == (1000, 460, 123_450)
    for read, text, sentence in (
        (positions_reader(160), "161", "There is no position 161"),
        (age, "old", "'old' is not a number"),
        (whole(), "2.5", "not a whole number"),
        (whole(1, 9), "10", "not between 1 and 9"),
    ):
        with pytest.raises(UsageError, match=sentence):
            read(text)


def test_a_name_is_known_by_its_beginning_and_the_nearest_is_named_where_it_is_not() -> None:
    read = name_reader(["Long quarter", "Home field"], str, "field")
    assert read("long") == "Long quarter"
    with pytest.raises(UsageError, match="There is no field 'hill'") as caught:
        read("hill")
    assert "Home field" in caught.value.hint


def test_what_is_wrong_stands_under_its_field_and_the_text_stays_as_typed(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "r", *"24oo", "tab")
        lines = screen_lines(screens)
        place = next(number for number, line in enumerate(lines) if line.startswith(" Engine h"))
        assert lines[place].split() == ["Engine", "h", "24oo"]
        assert lines[place + 1].strip().startswith("! 'oo' in '24oo' is not h or min. Write it like 120 h.")
        await enter(pilot, "ctrl+s")
        assert isinstance(screens.screen, FormScreen)
        # back in the field, typing goes on instead of replacing what is there
        await enter(pilot, "end", "backspace", "backspace", "0", "0")
        assert field(screens, "engine_hours").text == "2400"
        assert "! 'oo'" not in screen_text(screens)

    play(small_farm, steps)


def test_a_moment_is_understood_and_said_back(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "r", Text("2400"), "down", "down", Text("yesterday 16:20"), "down")
        assert "= Sunday 27 Jul 2025 16:20" in screen_text(screens)
        assert field(screens, "at").text == "yesterday 16:20"
        await enter(pilot, "up", Text(" or so"), "down")
        assert "! 'yesterday 16:20 or so' is not a time." in " ".join(screen_text(screens).split())

    play(small_farm, steps)


def test_pasting_several_lines_keeps_all_of_them_on_one_and_no_control_code(small_farm: str) -> None:
    pasted = "bolts loose\nand a bent guard\r\n\x1b[31mat 12\x07\n[bold]x[/bold]"

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "d", "down", "down", "down")
        screens.post_message(events.Paste(pasted))
        await enter(pilot)
        assert field(screens, "note").text == "bolts loose and a bent guard [31mat 12 [bold]x[/bold]"
        assert "bolts loose and a bent guard [31mat 12 [bold]x[/bold]" in screen_text(screens)
        await enter(pilot, "ctrl+s", "3", "left", "enter")
        assert "[31mat 12 [bold]x[/bold]" in " ".join(screen_text(screens).split())

    play(small_farm, steps, size=(120, 40))


def test_pasting_into_the_middle_of_what_was_typed_keeps_that_too(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "d", "down", "down", "down", Text("ab"), "left")
        screens.post_message(events.Paste("1\n2"))
        await enter(pilot)
        assert field(screens, "note").text == "a1 2b"

    play(small_farm, steps)


def test_a_breakage_pasted_in_two_lines_on_a_phone_is_understood_whole(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "b", "tab", Text("sections 41-43 rock,\n20 min"))
        assert "41-43: broken by impact, replaced; stood 20 min" in " ".join(screen_text(screens).split())
        await enter(pilot, "enter")
        assert "KS-1: 3 used, 14 left" in " ".join(screen_text(screens).split())

    play(small_farm, steps, size=(46, 20))


def test_leaving_asks_only_where_something_was_typed(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "r", "escape")
        assert "[1 Yard]" in screen_text(screens)
        await enter(pilot, "r", "9", "escape")
        assert REALLY in screen_text(screens)
        # typing on is staying: the next Esc asks again
        await enter(pilot, "9", "escape")
        assert field(screens, "engine_hours").text == "99"
        await enter(pilot, "escape")
        assert "[1 Yard]" in screen_text(screens)

    play(small_farm, steps)


async def in_one_burst(screens: Screens, pilot: Pilot[None], *keys: str) -> None:
    """Send keys as a terminal does that has them all at once: none waits for the answer of the one before."""
    for key in keys:
        screens.post_message(events.Key(key, key if len(key) == 1 else None))
    await settled(pilot)


def test_what_an_arrow_chose_is_saved_by_the_key_right_behind_it(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "d")
        assert form(screens).answer("reason") is StopReason.BREAKDOWN
        await in_one_burst(screens, pilot, "right", "ctrl+s")
        assert not isinstance(screens.screen, FormScreen)
        assert [one.reason for one in rows(small_farm, Stoppage)] == [StopReason.WEATHER]

    play(small_farm, steps)


def test_what_was_rubbed_out_is_not_saved_by_the_key_right_behind_it(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "d")
        form(screens).focus_line(field(screens, "note"))
        await in_one_burst(screens, pilot, *"belr", "backspace", *"ts", "left", "left", "backspace", "l", "ctrl+s")
        assert not isinstance(screens.screen, FormScreen)
        assert [one.note for one in rows(small_farm, Stoppage)] == ["belts"]

    play(small_farm, steps)


def test_a_figure_rubbed_out_on_the_strip_is_gone_before_the_next_one_comes(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "b")
        await in_one_burst(screens, pilot, "4", "1", "backspace", "2")
        assert "knife section 42: broken" in " ".join(screen_text(screens).split())

    play(small_farm, steps)


def test_letters_typed_in_a_form_are_letters_and_no_keys_of_the_screens(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "d", "down", "down", "down", *"bus?: qy,hm")
        assert field(screens, "note").text == "bus?: qy,hm"
        # on a choice they choose or do nothing
        await enter(pilot, "up", "up", "up", "q", "h", "w", "b")
        assert form(screens).answer("reason").value == "breakdown"

    play(small_farm, steps)


def test_help_of_a_form_says_how_to_move_and_comes_back_to_what_was_typed(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "c", Text("40"), "f1")
        assert "Tab and the arrows move between the questions" in " ".join(screen_text(screens).split())
        await enter(pilot, "escape")
        assert field(screens, "area").text == "40"

    play(small_farm, steps)


def test_forms_look_as_kept(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "r", Text("2400"), "down", Text("17oo"), "down")
        await kept_at_every_size(pilot, "reading")
        await enter(pilot, "escape", "escape", "c", Text("40,5"), "down", "3", "down")
        await kept_at_every_size(pilot, "run")
        await enter(pilot, "escape", "escape", "d", "w", "down", Text("14:00"), "down")
        await kept_at_every_size(pilot, "stoppage")

    play(small_farm, steps)
