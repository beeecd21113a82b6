"""The first day: with no log, led by hand over four pages to a yard that answers something, and nothing half-made on the way."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.conftest import NOW
from tests.tui.piloting import play, screen_lines, screen_text
from tests.tui.writing import Text, enter, kept_at_every_size
from wearlog.facts.machines import Machine, Reading
from wearlog.facts.wearing import Fitting
from wearlog.logbook.farm.first_day import start_log
from wearlog.logbook.open_log import open_log
from wearlog.store.finding import find_all
from wearlog.store.location import locate
from wearlog.tui.app import Screens
from wearlog.tui.door import Door
from wearlog.tui.screens.farm.first_day import CheckPage, CombinePage, FarmPage, HeaderPage
from wearlog.tui.widgets.lines import TopLine

FARM = (Text("Stony Hill"), "ctrl+s")
COMBINE = (Text("Kestrel"), "down", Text("2 310,4"), "enter")
HEADER = (Text("North"), "down", Text("40 ft"), "down", "down", Text("new"), "down", Text("80"), "enter")


@pytest.fixture
def nowhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A place without a log; the clock stands still."""
    monkeypatch.setattr(Door, "now", lambda _: NOW)
    return str(tmp_path / "farm.db")


def words_on(screens: Screens) -> str:
    return " ".join(screen_text(screens).split())


def test_four_pages_lead_to_a_yard_that_answers_from_starting_guesses(nowhere: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        assert isinstance(screens.screen, FarmPage)
        assert "There is no log at" in words_on(screens)
        assert "wearlog demo" in words_on(screens)
        await enter(pilot, *FARM)
        assert isinstance(screens.screen, CombinePage)
        await enter(pilot, *COMBINE)
        assert isinstance(screens.screen, HeaderPage)
        await enter(pilot, *HEADER)
        assert isinstance(screens.screen, CheckPage)
        for words in (
            "engine 2,310.4 h, separator not known",
            "North, 40 ft, on Kestrel",
            "160 sections, and 80 guards, new",
        ):
            assert words in words_on(screens)
        assert not Path(nowhere).exists()
        await enter(pilot, "enter")
        assert screens.screen.query_one(TopLine).name_shown == "Stony Hill"
        assert "The log is begun." in words_on(screens)
        assert ">Kestrel nothing waits combine with North 2,310.4 h - 0 ac" in words_on(screens)
        assert "STARTING GUESSES, not your records" in screen_text(screens)
        assert (
            "knife section (160): half are worn after 1,500-8,000 ac on 8 of 10 farms; in 1,000 ac stones break 1 where few"
            in words_on(screens)
        )
        await enter(pilot, "down", "enter")
        knife = next(line for line in screen_lines(screens) if line.startswith(">knife section"))
        assert knife.split()[2:4] == ["0", "ac"]
        assert "1,050-11,500 ac guess" in knife

    play(nowhere, steps)
    store = open_log(nowhere)
    with store.reading() as connection:
        assert len(find_all(connection, Fitting)) == 160 + 80 + 8
        assert [one.shown_usage for one in find_all(connection, Reading)] == [8_317_440]
    store.close()


def test_the_first_hour_is_led_from_one_thing_to_the_next_by_its_keys(nowhere: str) -> None:
    """Machine, header, meters and ages on four pages; then the yard names what would bring most, until there are answers."""
    pressed: list[str] = []

    async def keys(pilot: Pilot[None], *some: str | Text) -> None:
        pressed.extend(key for one in some for key in (one.text if isinstance(one, Text) else (one,)))
        await enter(pilot, *some)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await keys(pilot, "tab", "tab", "enter")
        await keys(
            pilot, Text("Kestrel"), "tab", Text("2310"), "tab", Text("1702"), "tab", "tab", "tab", Text("since new")
        )
        await keys(pilot, "tab")
        assert "= 1,702.0 separator h, 2,310.0 engine h old" in words_on(screens)
        await keys(pilot, "enter", Text("North"), "tab", Text("40"), "tab", "tab", Text("about 3 seasons"))
        await enter(pilot, "tab")
        assert "= 4,800 ac, at 1,600 ac a season" in words_on(screens)
        await keys(pilot, "enter")
        assert "the usual eight wearing parts, 1,702.0 separator h, 2,310.0 engine h old" in words_on(screens)
        await keys(pilot, "enter")
        assert "FIRST plan what will be cut: 6, then a." in words_on(screens)
        await keys(pilot, "6")
        for key in ("space", "x", "m"):
            assert key not in screens.screen.active_bindings or not screens.screen.active_bindings[key].enabled, key
        await keys(pilot, "a", Text("1500"), "enter")
        assert "What pays cannot be said: none of the 9 parts has a price yet. 7, then a, enters a part" in words_on(
            screens
        )
        assert "Nothing can be weighed yet; m shows the 9 that want something." in words_on(screens)
        await keys(pilot, "5")
        assert "In 2025 about 104 knife sections will break." in words_on(screens)
        assert len(pressed) < 75
        await keys(pilot, "1")
        assert "FIRST enter the parts that you buy, with what they cost: 7, then a." in words_on(screens)

    play(nowhere, steps)


def test_ages_that_nobody_said_are_asked_for_by_their_keys(nowhere: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *FARM, *COMBINE, *HEADER, "enter", "6", "a", Text("1500"), "enter", "1")
        assert "FIRST say how old the parts are: 2, then e. Of 8 nobody knows it" in words_on(screens)
        await enter(pilot, "2", "e")
        assert "HOW OLD: Kestrel" in words_on(screens)

    play(nowhere, steps)


def test_since_new_asks_for_a_meter_that_is_read(nowhere: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *FARM, Text("Kestrel"), *["down"] * 5, Text("since new"), "enter")
        assert isinstance(screens.screen, CombinePage)
        assert "No meter is read above." in words_on(screens)

    play(nowhere, steps)


def test_going_back_forgets_nothing_and_leaving_makes_nothing(nowhere: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *FARM, *COMBINE, Text("North"), "down", Text("forty"), "escape")
        assert isinstance(screens.screen, CombinePage)
        assert screens.screen.line("engine").text == "2 310,4"
        await enter(pilot, "escape")
        assert isinstance(screens.screen, FarmPage)
        await enter(pilot, "ctrl+s")
        assert isinstance(screens.screen, CombinePage)
        assert screens.screen.line("engine").text == "2 310,4"
        await enter(pilot, "ctrl+s")
        assert isinstance(screens.screen, HeaderPage)
        assert [screens.screen.line(name).text for name in ("header", "width")] == ["North", "forty"]
        await enter(pilot, "escape", "escape", "escape")
        assert "Esc again leaves it" in words_on(screens)
        await enter(pilot, "escape")
        assert "[1 Yard]" in screen_text(screens)
        assert "There is no log at" in words_on(screens)
        # reading again begins anew
        await enter(pilot, "ctrl+r")
        assert isinstance(screens.screen, FarmPage)

    play(nowhere, steps)
    assert list(Path(nowhere).parent.glob("*.db*")) == []


def test_the_sections_follow_the_width_until_somebody_counts_them(nowhere: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *FARM, *COMBINE, Text("North"), "down", Text("35"))
        assert isinstance(screens.screen, HeaderPage)
        assert screens.screen.answer("sections") == 140
        assert "140, at 3 in (76.2 mm) each" in screen_text(screens)
        await enter(pilot, "down", Text("138"), "up", "end", "backspace", "0")
        assert (screens.screen.answer("width"), screens.screen.answer("sections")) == (9_144_000, 138)

    play(nowhere, steps)


def test_what_is_missing_or_wrong_is_told_under_its_question(nowhere: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "ctrl+s", "ctrl+s")
        assert "! The combine needs a name." in screen_text(screens)
        await enter(pilot, Text("Kestrel"), "ctrl+s", Text("kestrel"), "ctrl+s")
        assert "! The combine is called so already." in screen_text(screens)
        assert "! How wide does it cut?" in screen_text(screens)

    play(nowhere, steps)


def test_a_metric_farm_answers_in_hectares_and_metres(nowhere: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "down", "right", "down", Text("eur"), "ctrl+s", Text("Kestrel"), "ctrl+s")
        await enter(pilot, Text("North"), "down", Text("12,2"), "ctrl+s")
        assert "North, 12.2 m, on Kestrel" in words_on(screens)
        assert "160 sections, age unknown" in words_on(screens)
        assert "610-3,200 ha" in words_on(screens)
        await enter(pilot, "enter")
        assert "0 ha" in screen_text(screens)

    play(nowhere, steps)


def test_an_empty_log_begins_with_the_first_day_too(nowhere: str) -> None:
    start_log(locate(nowhere)).close()

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        assert isinstance(screens.screen, FarmPage)
        assert "There is no machine in this log yet." in words_on(screens)
        await enter(pilot, *FARM, *COMBINE, *HEADER, "enter")
        assert "The log is begun." in words_on(screens)

    play(nowhere, steps)
    store = open_log(nowhere)
    with store.reading() as connection:
        assert {one.name for one in find_all(connection, Machine)} == {"Kestrel", "North"}
    store.close()


def test_the_first_day_looks_as_kept(nowhere: str, monkeypatch: pytest.MonkeyPatch) -> None:
    # the name of the place differs with every run
    monkeypatch.setattr(FarmPage, "begin", lambda self: self.show_before("There is no log at HERE yet."))

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await kept_at_every_size(pilot, "first_day_farm")
        await enter(pilot, *FARM, *COMBINE, *HEADER[:4])
        await kept_at_every_size(pilot, "first_day_header")
        await enter(pilot, *HEADER[4:])
        await kept_at_every_size(pilot, "first_day_check")

    play(nowhere, steps)
