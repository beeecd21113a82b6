"""Readings, runs and stoppages entered by a few keys from the yard, a machine and the list of runs."""

from __future__ import annotations

from datetime import UTC, datetime

from textual.pilot import Pilot

from tests.tui.piloting import play, screen_text
from tests.tui.writing import Text, enter
from wearlog.facts.machines import Reading
from wearlog.facts.work import Crop, Run, Stoppage
from wearlog.logbook.open_log import open_log
from wearlog.store.finding import find_all, find_in_order
from wearlog.tui.app import Screens
from wearlog.tui.screens.form import FormScreen

ACRE = 4046.8564224


def words_on(screens: Screens) -> str:
    return " ".join(screen_text(screens).split())


def test_both_meters_are_read_at_once_and_one_undo_takes_both_back(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "r", Text("2 400,5"), "down", Text("1,777.5"), "ctrl+s")
        assert (
            "Saved: read Kestrel: 2,400.5 engine hours and 1,777.5 separator hours, 28 Jul 2025 14:05. u undoes."
            in words_on(screens)
        )
        assert "2,400.5 h 1,777.5 h" in words_on(screens)
        await enter(pilot, "u")
        assert "2,363.9 h 1,746.9 h" in words_on(screens)

    play(small_farm, steps)
    store = open_log(small_farm)
    with store.reading() as connection:
        assert len(find_all(connection, Reading)) == 2
    store.close()


def test_the_form_says_what_was_read_last_and_how_much_more_this_is(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "r")
        assert "last 2,310.0 on 28 Jun 2025" in screen_text(screens)
        await enter(pilot, Text("2400"), "down")
        assert "= 2,400.0 h, 90.0 more than the last reading" in screen_text(screens)
        await enter(pilot, "shift+tab", "backspace", "backspace", "backspace", "backspace", Text("2300"), "down")
        assert "= 2,300.0 h, 10.0 below the last: wrong, or a new meter" in screen_text(screens)

    play(small_farm, steps)


def test_a_meter_that_runs_backwards_is_refused_under_its_field_until_it_is_a_new_one(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "r", "down", Text("12"), "ctrl+s")
        assert isinstance(screens.screen, FormScreen)
        assert screens.screen.line("separator_hours").wrong.startswith(
            "Kestrel showed 1,702.0 separator hours on 28 Jun 2025; 12.0 separator hours would run backwards."
        )
        await enter(pilot, "down", "down", "right", "ctrl+s")
        assert "Saved: read Kestrel: 12.0 separator hours on a new meter, 28 Jul 2025 14:05." in words_on(screens)

    play(small_farm, steps)


def test_a_reading_that_outruns_the_clock_is_asked_about_in_the_form(small_farm: str) -> None:
    """The question is answered by saving again; typing another figure takes it back."""

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await pilot.resize_terminal(46, 20)
        await enter(pilot, "r", Text("99999"), "ctrl+s")
        assert isinstance(screens.screen, FormScreen)
        assert "Does the meter show 99,999.0 engine hours? Enter: yes. Esc: no." in words_on(screens)
        await enter(pilot, *["backspace"] * 5, Text("99998"), "ctrl+s")
        assert "Does the meter show 99,998.0 engine hours? Enter: yes. Esc: no." in words_on(screens)
        await enter(pilot, "ctrl+s")
        assert not isinstance(screens.screen, FormScreen)

    play(small_farm, steps)
    store = open_log(small_farm)
    with store.reading() as connection:
        assert max(one.shown_usage for one in find_all(connection, Reading)) == 99_998 * 3600
    store.close()


def test_a_run_before_the_header_was_hitched_is_asked_about_in_the_form(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "c", Text("40"), "down", Text("5"), "down", "down", Text("2025-06-20 18:00"), "ctrl+s")
        assert "Did North header cut it? Enter: yes. Esc: no." in words_on(screens)
        await enter(pilot, "ctrl+s")
        assert (
            "Saved: Kestrel cut 40.0 ac with North header, 20 Jun 2025 13:00 to 18:00, 5.0 separator hours;"
            in words_on(screens)
        )

    play(small_farm, steps)


def test_a_run_takes_field_and_crop_of_the_last_one_and_ends_now(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(
            pilot,
            "c",
            Text("40,5"),
            "down",
            "3",
            "down",
            "down",
            "down",
            Text("long"),
            "down",
            Text("wheat"),
            "ctrl+s",
        )
        assert isinstance(screens.screen, FormScreen)
        assert screens.screen.line("crop").wrong.startswith("There is no crop 'wheat'.")
        await enter(pilot, *["backspace"] * 5, "ctrl+s")
        assert "Saved: Kestrel cut 40.5 ac on Long quarter, with North header, 28 Jul 2025 " in words_on(screens)
        await enter(pilot, "3", "right", "c")
        assert screens.screen.line("field").text == "Long quarter"
        await enter(pilot, "escape")
        assert "40.5 ac" in screen_text(screens)

    play(small_farm, steps)
    store = open_log(small_farm)
    with store.reading() as connection:
        last = find_in_order(connection, Run, "started_at", latest_first=True, limit=1)[0]
        assert find_all(connection, Crop) == []
    store.close()
    assert last.ended_at == datetime(2025, 7, 28, 20, 5, tzinfo=UTC)
    assert (last.ended_at - last.started_at).total_seconds() == last.separator_seconds == 3 * 3600
    assert last.area_square_metres == round(40.5 * ACRE)


def test_a_run_without_hours_asks_when_it_began(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "c", Text("40"), "ctrl+s")
        assert isinstance(screens.screen, FormScreen)
        assert screens.screen.line("from").wrong == "When did it begin? Write it like 9:00, or write the hours above."
        await enter(pilot, Text("9:00"), "ctrl+s")
        assert "Saved: Kestrel cut 40.0 ac with North header, 28 Jul 2025 09:00 to 14:05." in words_on(screens)

    play(small_farm, steps)


def test_stands_in_three_keys_and_runs_again_in_one(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "d", "w", "ctrl+s")
        assert "STANDS: weather" in screen_text(screens)
        assert "FIRST get Kestrel going, then end the stop: it stands since 28 Jul 14:05, weather." in words_on(screens)
        await enter(pilot, "d")
        assert "Saved: Kestrel runs again, 28 Jul 2025 14:05. u undoes." in words_on(screens)
        assert "STANDS" not in screen_text(screens)
        await enter(pilot, "u")
        assert "STANDS: weather" in screen_text(screens)

    play(small_farm, steps)


def test_elsewhere_the_form_of_a_machine_that_stands_asks_only_when_it_ran_again(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "d", "m", "down", Text("13:00"), "ctrl+s", "enter", "d")
        assert "Kestrel stands since 28 Jul 2025 13:00: moisture." in words_on(screens)
        assert "Why" not in screen_text(screens)
        await enter(pilot, Text("20 min ago"), "enter")
        assert "Saved: Kestrel runs again, 28 Jul 2025 13:45." in words_on(screens)

    play(small_farm, steps)
    store = open_log(small_farm)
    with store.reading() as connection:
        (stop,) = find_all(connection, Stoppage)
    store.close()
    assert stop.ended_at is not None
    assert (stop.ended_at - stop.started_at).total_seconds() == 45 * 60


def test_a_stop_that_ended_before_it_began_is_told_under_its_field(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "d", "down", Text("13:00"), "down", Text("12:30"), "down")
        assert "! It ended before it began." in screen_text(screens)

    play(small_farm, steps)


def test_on_a_phone_the_reading_is_entered_as_everywhere(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "r", Text("2400"), "ctrl+s")
        assert "Saved: read Kestrel: 2,400.0 engine hours, 28 Jul 2025 14:05." in words_on(screens)
        assert "2,400.0 h" in screen_text(screens)

    play(small_farm, steps, size=(46, 20))


def test_after_the_last_combine_stand_the_stops_and_what_stands_runs_again_by_one_key(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "right", "n")
        assert "No machine has stood yet. 'wearlog stop MACHINE REASON', or on the screen d, enters" in words_on(
            screens
        )
        await enter(pilot, "d", "w", "ctrl+s")
        assert ">OPEN 2025-07-28 14:05 Kestrel weather" in words_on(screens)
        await enter(pilot, "d")
        assert "OPEN" not in screen_text(screens)
        assert "> 2025-07-28 14:05 Kestrel weather" in words_on(screens)
        await enter(pilot, "o", "n")
        assert ">2025-07-28 02:05 20.0 ac 2 h" in words_on(screens)

    play(small_farm, steps)
    store = open_log(small_farm)
    with store.reading() as connection:
        assert all(stop.ended_at is not None for stop in find_all(connection, Stoppage))
    store.close()
