"""Costs and harvest: every split by one key, bars, curves, economic life; finish, sensors, loss, and entering what was checked."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import assert_snapshot, flat, play, rows, screen_lines, screen_text, settled
from tests.tui.test_screens_contrast import ENOUGH, measured
from tests.tui.writing import Text, enter, kept_at_every_size
from wearlog.facts.quality import Calibration, LossCheck, MoistureSample
from wearlog.logbook.open_log import open_log
from wearlog.tui.app import Screens
from wearlog.tui.screens.farm.machine import MachineScreen
from wearlog.tui.screens.harvest.harvest_forms import LossScreen
from wearlog.tui.themes import INKS

__all__ = ["demo_file", "demo_log"]


def add_wheat(log: str) -> None:
    from wearlog.logbook.farm.machines import add_crop

    store = open_log(log)
    add_crop(store, "wheat", 27_216)
    store.close()


# costs ----------------------------------------------------------------------------------------------------------------


def test_one_key_goes_through_the_splits_of_the_same_total(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "8")
        assert screen_lines(screens)[1] == " An acre cost 10.26 USD over 6 seasons, 2021 to 2026: service 6.02 of it."
        totals = set()
        for name in ("Machine", "Subsystem", "Part", "Season", "Crop", "Field"):
            assert f"[{name}]" in screen_text(screens)
            await enter(pilot, "end")
            total = next(line for line in screen_lines(screens) if line.startswith(">total"))
            totals.add(total.split()[2])
            await enter(pilot, "right")
        assert totals == {"545,827"}
        assert "[Hour]" in screen_text(screens)
        assert "the farm's own 340.00 speaks" in flat(screens)
        await enter(pilot, "right")
        assert "[Rates]" in screen_text(screens)
        assert "hired farm worker, mean 18.53 26.00 h 2023" in flat(screens)
        await enter(pilot, "right")
        assert "[Repair curve]" in screen_text(screens)

    play(demo_log, steps, size=(120, 40))


def test_bars_show_what_an_acre_is_made_of_and_where_the_published_curve_lies(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "8")
        assert "USD an acre: █ parts ▓ labour ▒ service ░ downtime" in flat(screens)
        bar = next(line for line in screen_lines(screens) if line.startswith(" Alder") and "░" in line)
        assert "11.23 █" in bar, "without what its header cost it in standing"
        # repairs alone stand against the published curve of repairs: 140,429 of 196,760
        assert bar.endswith(" 71 %      ●┼")
        tamarack = next(line for line in screen_lines(screens) if line.startswith(" Tamarack") and "░" in line)
        assert tamarack.endswith(" 80 %      ●┼")
        await enter(pilot, "t")
        assert "░" not in screen_text(screens)

    play(demo_log, steps)


def test_a_season_is_chosen_and_left_again(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "8", "<")
        assert "Costs of season 2026: 117,541 USD." in screen_text(screens)
        # the answer is of the span that the table is of
        assert screen_lines(screens)[1] == " An acre cost 13.33 USD in 2026: service 7.98 of it."
        await enter(pilot, ">")
        assert "Costs of all seasons: 545,827 USD." in screen_text(screens)

    play(demo_log, steps)


def test_the_farms_own_curve_stands_beside_the_published_one(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "8", "left", "left", "down")
        said = flat(screens)
        assert ">Alder 3,745 6 140,429 196,760 0.71 2.25 (0.9-3.6)" in said
        assert "Alder: repairs, USD an hour (o: each season, dots: published, line: its own)" in said
        await enter(pilot, "t")
        assert "season separator hours paid an hour published" in flat(screens)

    play(demo_log, steps)


def test_the_economic_life_follows_the_interest(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "8", "left")
        assert ">Juniper 12 y 15 y (13-17) 16 y (14-18) pays to keep" in flat(screens)
        assert "without interest" in flat(screens)
        await enter(pilot, "l", "l")
        assert "Economic life with 6 % interest a year." in screen_text(screens)
        assert "6 % interest)" in flat(screens)

    play(demo_log, steps, size=(100, 40))


# harvest --------------------------------------------------------------------------------------------------------------


def test_the_finish_is_days_on_a_scale_with_their_table_twin(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "9")
        said = flat(screens)
        assert "Done about 6 Sep, 9 in 10 by 20 Sep, if begun 19 Jul as before. 9,000 ac" in said
        assert "9,000 ac in 2027 take about 49 days: 8 in 10 under 58, 9 in 10 under 63." in said
        assert "█ 29.4 field days ▓ 49: 5 in 10 ▒ 58: 8 in 10 ░ 63: 9 in 10" in said
        await enter(pilot, "t")
        assert "chance to be done day date" in flat(screens)
        assert "80 % 58 -" in flat(screens)

    play(demo_log, steps)


def test_capacity_opens_the_combine_under_the_cursor(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "9", "right", "down", "enter")
        assert isinstance(screens.screen, MachineScreen)
        assert "Alder: combine" in screen_text(screens)

    play(demo_log, steps)


def test_sensors_and_losses_say_by_a_word_what_is_off(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "9", "right", "right")
        assert "Tamarack yield, by load wheat 2026 4 +6.1 % 6.1 % 0.943 0.941 SET ANEW" in flat(screens)
        await enter(pilot, "right", "right")
        assert "wheat 2026 12.8 % (11.9-13.6) 0.0 % 95,585 bu (95,476-95,585)" in flat(screens)
        await enter(pilot, "right", *["down"] * 7)
        assert ">2026-08-07 Alder lentils 28 lb/ac 17 lb/ac 2.4 % 1.5 % 372 h" in flat(screens)
        assert "machine loss, % of crop: Alder, lentils (dots: where the next check lies, 90 %)" in flat(screens)
        await enter(pilot, "t")
        assert "Alder, canola 10 +0.12 % +0.04 to +0.21 grows" in flat(screens)

    play(demo_log, steps, size=(80, 30))


def test_an_empty_harvest_says_what_to_do_first(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "9")
        assert "2025: 600 ac cut; nobody planned how much." in screen_text(screens)
        assert "Days to finish: say how much is left" in flat(screens)
        for sentence in (
            "10.0",
            "a enters what one showed",
            "a enters a moisture sample",
            "on the screen a, enters one",
            "a enters kernels counted",
        ):
            await enter(pilot, "right")
            assert sentence in flat(screens)

    play(small_farm, steps)


def test_a_loss_check_is_entered_by_counts_and_taken_back(small_farm: str) -> None:
    add_wheat(small_farm)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "9", "left", "a")
        assert isinstance(screens.screen, LossScreen)
        assert "CARE Nobody behind the combine while it runs" in flat(screens)
        await enter(pilot, Text("130 110"), "down", Text("10"), "down", "down", Text("5"), "down", "down", Text("whe"))
        await enter(pilot, "down", Text("white"), "down", Text("40"), "down")
        assert "= 120.0 in a frame on the mean" in flat(screens)
        assert (
            "loss check behind Kestrel in wheat: 120 behind and 10 ahead on a square foot, 8.0 times as thick behind"
            in flat(screens)
        )
        await enter(pilot, "ctrl+s")
        assert "Saved: loss check behind Kestrel in wheat: 120 behind and 10 ahead on a square foot" in flat(screens)
        (check,) = rows(small_farm, LossCheck)
        assert check.cut_width_micrometres == 12_192_000
        assert check.behind_per_hectare == round(120 * 107_639.10417)
        # 40 bushels of 27,216 g an acre
        assert check.yield_grams_per_hectare == 2_690_088
        await enter(pilot, "u")
        assert rows(small_farm, LossCheck) == []

    play(small_farm, steps)


def test_a_moisture_sample_and_a_load_are_entered(small_farm: str) -> None:
    add_wheat(small_farm)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "9", *["right"] * 3, "a", Text("13,2"), "down", Text("13.6"), "down", Text("wheat"))
        assert "saves: moisture of wheat: 13.2 %, elevator 13.6 % (+0.4), 28 Jul 2025 14:05" in flat(screens)
        await enter(pilot, "ctrl+s", "left", "a", Text("5150"), "down", Text("5,000 lb"), "down")
        assert "Kestrel, yield load against its reference: +3.0 %, 28 Jul 2025 14:05" in flat(screens)
        await enter(pilot, "ctrl+s")
        assert "Saved: Kestrel, yield load against its reference: +3.0 %, 28 Jul 2025 14:05. u undoes." in flat(screens)
        (sample,), (load,) = rows(small_farm, MoistureSample), rows(small_farm, Calibration)
        assert (sample.tester_hundredths, sample.elevator_hundredths) == (1320, 1360)
        assert (load.indicated_amount, load.reference_amount) == (2_336_001, 2_267_962)

    play(small_farm, steps)


def test_a_wrong_count_is_told_under_its_field_and_nothing_is_lost(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "9", "left", "a", Text("many"), "ctrl+s")
        assert "! 'many' is not a number. Write each frame's count, like 130 118 141." in flat(screens)
        await enter(pilot, "escape")
        assert isinstance(screens.screen, LossScreen)
        assert "many" in screen_text(screens)

    play(small_farm, steps)


@pytest.mark.parametrize("theme", list(INKS))
def test_costs_and_harvest_are_read_in_sunlight(demo_log: str, theme: str) -> None:
    ways = (
        *(("8",), ("t",), ("right",) * 3, (*["left"] * 5, "t"), ("right", "l"), ("question_mark",)),
        *(("escape", "9"), ("right",), ("right", "down"), ("right",), ("right",), ("right",), ("a", "x", "down")),
        ("escape", "escape", *["left"] * 3, "a"),
    )

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        screens.theme = theme
        for keys in ways:
            await enter(pilot, *keys)
            pieces = measured(screens)
            assert len(pieces) > 3
            assert [piece for piece in pieces if piece[0] < ENOUGH] == [], f"after {keys} in {theme}"

    play(demo_log, steps)


def test_costs_and_harvest_look_as_kept(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "8")
        await kept_at_every_size(pilot, "costs")
        await enter(pilot, "9")
        await kept_at_every_size(pilot, "harvest")
        await enter(pilot, "left")
        for wide, high in ((80, 24), (120, 40)):
            await pilot.resize_terminal(wide, high)
            await settled(pilot)
            assert_snapshot(screens, f"harvest_loss_{wide}x{high}")
        await enter(pilot, "a")
        assert_snapshot(screens, "loss_check_120x40")

    play(demo_log, steps)
