"""The stock: what is low stands first, moves by a few keys, parts added and changed, filter and order."""

from __future__ import annotations

from textual.pilot import Pilot

from tests.tui.piloting import play, rows, screen_lines, screen_text
from tests.tui.writing import Text, enter, kept_at_every_size
from wearlog.facts.parts import Part, PartFit
from wearlog.ids import short_number
from wearlog.logbook.open_log import open_log
from wearlog.store.finding import find_all
from wearlog.tui.app import Screens
from wearlog.tui.screens.form import FormScreen


def words_on(screens: Screens) -> str:
    return " ".join(screen_text(screens).split())


def rows_on(screens: Screens) -> list[str]:
    """Return the part numbers in the order of the list."""
    lines = [line for line in screen_lines(screens)[3:] if " fits " not in line]
    named = {"section": "KS-1", "guard, forged": "KG-7", "feeder chain": "CH-2"}
    return [number for line in lines for name, number in named.items() if f" {name} " in line[:25]]


def test_low_parts_stand_first_with_what_to_order(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "7")
        assert "2 of 2 parts are low: order for 150.30 USD." in words_on(screens)
        assert ">▲ LOW guard, forged 2 4 ■■□□ 2 37.80" in words_on(screens)
        assert "▲ LOW section 17 20 ■■■■■■■■□□ 25 112.50" in words_on(screens)
        assert " have keep " in next(line for line in screen_lines(screens) if " part " in line)
        said = "KG-7 guard, forged fits guard, 18.90 USD each, bought for 37.80 USD."
        assert f"{said} Entry {short_number(guard.id)}." in words_on(screens)

    (guard,) = (one for one in rows(small_farm, Part) if one.number == "KG-7")
    play(small_farm, steps, size=(100, 24))


def test_what_came_was_used_and_was_counted_is_entered_by_one_key_and_a_number(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "7", "+", Text("50"), "ctrl+s")
        assert (
            "Saved: received 50 x KG-7 guard, forged at 18.90 USD, 28 Jul 2025 14:05; 52 on hand now. u undoes."
            in words_on(screens)
        )
        # the cursor stays on the part, which is not low any more and stands further down
        await enter(pilot, "minus", "3", "ctrl+s")
        assert "Saved: used 3 x KG-7 guard, forged, 28 Jul 2025 14:05; 49 on hand now." in words_on(screens)
        await enter(pilot, "+", "1", "down", "right")
        # nothing is paid for what is brought back
        assert "One cost" not in screen_text(screens)
        await enter(pilot, "ctrl+s")
        assert "Saved: returned 1 x KG-7 guard, forged, 28 Jul 2025 14:05; 50 on hand now." in words_on(screens)
        await enter(pilot, "equals_sign", "2")
        assert "Enter saves: counted 2 x KG-7 guard, forged, 28 Jul 2025 14:05; then 2 on hand" in words_on(screens)
        await enter(pilot, "ctrl+s", "u", "u")
        assert "guard, forged 49 4 ■■■■■■■■■■" in words_on(screens)

    play(small_farm, steps, size=(100, 24))


def test_how_many_has_to_be_said(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "7", "+", "ctrl+s")
        assert "! How many? Write it like 25." in screen_text(screens)
        await enter(pilot, Text("a few"), "tab")
        assert "! 'a few' is not a number." in screen_text(screens)

    play(small_farm, steps)


def test_a_part_is_added_with_the_kind_it_fits_and_then_filtered_and_ordered(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        typed = ("CH-2", "feeder chain", "feeder conv", "1 234,50", "", "1", "3")
        await enter(pilot, "7", "a")
        for text in typed:
            await enter(pilot, Text(text), "down")
        assert "= feeder conveyor chain" in screen_text(screens)
        assert (
            "Enter saves: added the part CH-2 feeder chain, fits feeder conveyor chain, keep 1, 3 on hand"
            in words_on(screens)
        )
        await enter(pilot, "ctrl+s")
        assert "Saved: added the part CH-2 feeder chain, fits feeder conveyor chain, keep 1, 3 on hand." in words_on(
            screens
        )
        assert rows_on(screens) == ["KG-7", "KS-1", "CH-2"]
        await enter(pilot, "o")
        assert rows_on(screens) == ["CH-2", "KG-7", "KS-1"]
        await enter(pilot, "o", "O")
        assert rows_on(screens) == ["KS-1", "CH-2", "KG-7"]
        await enter(pilot, "slash", Text("feeder"))
        assert rows_on(screens) == ["CH-2"]

    play(small_farm, steps)


def test_a_number_that_is_taken_is_refused_under_it_and_the_rest_stays(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "7", "a", Text("ks-1"), "down", Text("another"), "ctrl+s")
        assert isinstance(screens.screen, FormScreen)
        assert screens.screen.line("number").wrong.startswith("There is another part 'ks-1'.")
        assert screens.screen.line("name").text == "another"

    play(small_farm, steps)


def test_a_part_is_changed_by_enter(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "7", "enter")
        assert isinstance(screens.screen, FormScreen)
        assert [screens.screen.line(name).text for name in ("number", "fits", "price", "keep")] == [
            "KG-7",
            "guard",
            "18.90",
            "4",
        ]
        # a field that the form filled in is written over by the first letter
        await enter(pilot, "down", "down", Text("guard; hold-down"), "down", "down", "down", Text("1"), "ctrl+s")
        assert "Saved: changed the part KG-7 guard, forged, fits guard; hold-down, keep 1." in words_on(screens)
        assert "KG-7 guard, forged fits guard and hold-down" in words_on(screens)
        assert "1 of 2 parts is low" in words_on(screens)

    play(small_farm, steps)
    store = open_log(small_farm)
    with store.reading() as connection:
        guard = find_all(connection, Part, number="KG-7")[0]
        assert (guard.keep_on_hand, guard.price_minor) == (1, 1_890)
        assert len(find_all(connection, PartFit, part_id=guard.id)) == 2
    store.close()


def test_the_stock_looks_as_kept(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "7")
        await kept_at_every_size(pilot, "stock")
        await enter(pilot, "enter")
        await kept_at_every_size(pilot, "part")

    play(small_farm, steps)
