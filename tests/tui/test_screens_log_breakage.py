"""Logging a breakage: few keys, told before, saved whole, undone at once, and nothing typed is lost."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from textual.pilot import Pilot
from textual.widgets import Input

from tests.tui.piloting import play, press, screen_text, settled
from wearlog.errors import ConflictError
from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.facts.wearing import Breakage
from wearlog.tui.app import Screens
from wearlog.tui.widgets.cutterbar_strip import CutterbarStrip


def breakages(location: str) -> list[Breakage]:
    """Return what the log holds, as entered."""
    from wearlog.logbook.open_log import open_log
    from wearlog.store.finding import find_all

    store = open_log(location)
    with store.reading() as connection:
        found = find_all(connection, Breakage)
    store.close()
    return found


def sections_on_hand(location: str) -> int:
    from wearlog.logbook.open_log import open_log
    from wearlog.reckoning.parts.stock import shelves

    store = open_log(location)
    with store.reading() as connection:
        found = next(one.on_hand for one in shelves(connection) if one.part.number == "KS-1")
    store.close()
    return found


async def write_line(pilot: Pilot[None], line: str) -> None:
    """Open the entry and put a whole line into it, as a paste would."""
    await press(pilot, "b", "tab")
    pilot.app.screen.query_one("#line", Input).value = line
    await settled(pilot)


def test_the_usual_case_takes_at_most_ten_keys_and_takes_parts_off_stock(small_farm: str) -> None:
    keys = ["b", "4", "1", "-", "4", "3", "r", "enter"]
    assert len(keys) <= 10

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, *keys)
        said = " ".join(screen_text(screens).split())
        assert (
            "Saved: North header, knife sections 41-43: broken by impact, replaced; 28 Jul 2025 14:05; KS-1: 3 used, 14 left"
            in said
        )
        assert "u undoes." in said

    before = sections_on_hand(small_farm)
    play(small_farm, steps)
    newest = breakages(small_farm)[-1]
    assert (newest.positions, newest.cause, newest.mode, newest.action) == (
        (41, 42, 43),
        Cause.IMPACT,
        Mode.BROKEN,
        Action.REPLACED,
    )
    assert sections_on_hand(small_farm) == before - 3


def test_one_key_after_saving_brings_all_back(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b", "5", "0", "enter")
        await press(pilot, "u")
        assert "undid: North header, knife section 50" in screen_text(screens)

    before, on_hand = len(breakages(small_farm)), sections_on_hand(small_farm)
    play(small_farm, steps)
    assert (len(breakages(small_farm)), sections_on_hand(small_farm)) == (before, on_hand)


def test_the_cursor_stands_on_the_last_broken_position_and_moves_by_arrows(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b")
        strip = screens.screen.query_one(CutterbarStrip)
        assert strip.cursor == 41
        await press(pilot, "shift+right", "left", "v", "right", "right", "v", "w", "W", "a", "enter")

    play(small_farm, steps)
    newest = breakages(small_farm)[-1]
    assert (newest.positions, newest.cause, newest.mode, newest.action) == (
        (50, 51, 52),
        Cause.WEAR,
        Mode.WORN,
        Action.MENDED,
    )


def test_the_plain_line_says_what_it_understood_while_it_is_typed(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b", "tab", *"guards 6,7 ")
        assert "Enter saves: North header, guards 6-7: broken, replaced" in screen_text(screens)
        await press(pilot, *"rock 20 min")
        assert "guards 6-7: broken by impact, replaced; stood 20 min" in " ".join(screen_text(screens).split())
        await press(pilot, "enter")

    play(small_farm, steps)
    newest = breakages(small_farm)[-1]
    assert (newest.positions, newest.cause, newest.repair_id is not None) == ((6, 7), Cause.IMPACT, True)


def test_a_line_without_a_part_is_about_the_part_shown(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await write_line(pilot, "12-14 rock")
        await press(pilot, "enter")

    play(small_farm, steps)
    assert breakages(small_farm)[-1].positions == (12, 13, 14)


def test_a_line_that_is_not_understood_is_told_in_words_and_kept(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await write_line(pilot, "section 41 fnord")
        await press(pilot, "enter")
        assert "'fnord' is not a word I know" in " ".join(screen_text(screens).split())
        assert screens.screen.query_one("#line", Input).value == "section 41 fnord"

    before = len(breakages(small_farm))
    play(small_farm, steps)
    assert len(breakages(small_farm)) == before


def test_pasted_positions_are_taken(small_farm: str) -> None:
    from textual import events

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b")
        strip = screens.screen.query_one(CutterbarStrip)
        strip.post_message(events.Paste("60-61, 70"))
        await settled(pilot)
        assert strip.chosen == (60, 61, 70)

    play(small_farm, steps)


def test_minutes_are_read_as_people_write_them_and_a_mistake_is_told(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b", "t", *"1 h 20")
        assert "stood 1 h 20 min" in " ".join(screen_text(screens).split())
        await press(pilot, "backspace", "backspace", *"xx")
        assert "is not a time" in screen_text(screens)
        await press(pilot, "enter")
        assert type(screens.screen).__name__ == "BreakageScreen"

    play(small_farm, steps)


def test_the_caution_stands_there_before_saving(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b")
        text = " ".join(screen_text(screens).split())
        # directly under the answer, before anything is entered
        on_a_phone = screens.size.width < 60
        acts = (
            "key out, header on stop ! read 4"
            if on_a_phone
            else "key out header on its stop cut-proof gloves ! all 4 cautions"
        )
        assert f"▲ CARE {acts}" in text
        assert text.index("Enter saves") < text.index("CARE") < text.index("Cause")

    play(small_farm, steps)
    play(small_farm, steps, size=(46, 20))


def test_other_parts_and_machines_are_a_key_away_and_bring_their_usual_way_to_fail(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b", "p")
        assert "Part   North header, guards" in screen_text(screens)
        await press(pilot, "o")
        assert "Part   Kestrel, feeder house chain" in screen_text(screens)
        await press(pilot, "S", "a", "a", "enter")

    play(small_farm, steps)
    newest = breakages(small_farm)[-1]
    assert (newest.positions, newest.mode, newest.action) == ((1,), Mode.STRETCHED, Action.LEFT)


def test_what_is_marked_on_the_machine_screen_is_what_gets_logged(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "enter", "end")
        await press(pilot, "tab", "9", "0", "space", "right", "space", "b")
        assert "knife sections 90-91" in screen_text(screens)
        await press(pilot, "enter")

    play(small_farm, steps)
    assert breakages(small_farm)[-1].positions == (90, 91)


def test_leaving_saves_nothing(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b", "4", "1", "escape", "escape")
        assert screens.screen.query("#machines")

    before = len(breakages(small_farm))
    play(small_farm, steps)
    assert len(breakages(small_farm)) == before


def test_when_saving_fails_the_entry_stays_with_the_reason(small_farm: str, monkeypatch: Any) -> None:
    def busy(*_: object, **__: object) -> None:
        raise ConflictError("The log is in use by another program.", "Try again in a moment.")

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b", "4", "4", "r")
        monkeypatch.setattr("wearlog.logbook.parts.breaking.log_breakage", busy)
        await press(pilot, "enter")
        text = " ".join(screen_text(screens).split())
        assert "▲ The log is in use by another program. Try again in a moment." in text
        assert screens.screen.query_one(CutterbarStrip).cursor == 44

    play(small_farm, steps)


def test_a_time_in_the_line_is_the_time_that_is_saved(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await write_line(pilot, "section 3 yesterday 16:20")
        await press(pilot, "enter")

    play(small_farm, steps)
    assert breakages(small_farm)[-1].at == datetime(2025, 7, 27, 22, 20, tzinfo=UTC)


def test_the_same_breakage_twice_in_a_minute_is_asked_about_on_the_screen(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b", "4", "4", "r", "enter")
        await press(pilot, "b", "4", "4", "r", "enter")
        text = " ".join(screen_text(screens).split())
        assert "is in the log already. Is this another one? Enter: yes. Esc: no." in text
        # another cause is another entry, which is asked about anew
        await press(pilot, "w")
        assert "is in the log already" not in " ".join(screen_text(screens).split())
        await press(pilot, "enter")
        assert "Is this another one?" in " ".join(screen_text(screens).split())
        # a doubt is answered by a key that comes when it could be read
        await pilot.pause(0.6)
        await press(pilot, "enter")
        assert "u undoes." in " ".join(screen_text(screens).split())

    before = len(breakages(small_farm))
    play(small_farm, steps)
    assert len(breakages(small_farm)) == before + 2
