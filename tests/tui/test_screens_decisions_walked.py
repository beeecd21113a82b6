"""Every screen that weighs a decision, by the keys that its footers name, on farms that are not the usual one.

On a log without a machine, on one with a single breakage, on a metric one and in the last hour of a season each opens, says its
answer in line 2, cuts nothing and says nothing twice; what is typed stays, and the figures are the command's.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from textual.pilot import Pilot

from tests.farm_fixtures import demo_file
from tests.tui.demo_log import demo_log
from tests.tui.piloting import flat, play, press, screen_lines, settled
from tests.tui.writing import Text, enter
from wearlog.cli.main import run
from wearlog.facts.work import Run
from wearlog.logbook.farm.first_day import start_log
from wearlog.logbook.open_log import opened
from wearlog.logbook.plan.planned_areas import planned_areas
from wearlog.logbook.plan.planning import drop_areas
from wearlog.logbook.work.working import cut
from wearlog.present.tables import CUT
from wearlog.store.location import Location
from wearlog.tui.app import Screens
from wearlog.tui.door import Door
from wearlog.tui.screens.deciding import TradeScreen
from wearlog.tui.screens.sections import SectionsScreen
from wearlog.tui.widgets.lines import FootLine, shown_key

__all__ = ["demo_file", "demo_log"]

DENVER = ZoneInfo("America/Denver")
#: an evening in the middle of July, and the last evening of the next harvest of the demo farm
JULY = datetime(2026, 7, 20, 18, 0, tzinfo=DENVER)
LAST_EVENING = datetime(2027, 7, 30, 20, 0, tzinfo=DENVER)
ACRE = 4046.8564224
#: what the last combine has before it
ACRES_LEFT = 24

#: screen -> keys from the yard; the first of each that is no digit is named in a footer
WAYS = {
    "RainDayScreen": ("k",),
    "StopScreen": ("2", "k"),
    "ClaimsScreen": ("3", "k"),
    "KindScreen": ("5", "enter"),
    "NeighboursScreen": ("5", "y"),
    "SeasonPlanScreen": ("6",),
    "TradeScreen": ("8", "k"),
    "HarvestScreen": ("9",),
    "GrainLostScreen": ("9", "k"),
}
#: what has sections of its own that no decision stands in
SECTIONS = {"KindScreen": {"Numbers"}, "HarvestScreen": {"Finish", "Sensors", "Moisture", "Loss"}}
#: what does not open there, since there is nothing to ask it about
CLOSED = {"empty": {"StopScreen", "KindScreen"}, "last hour": set(), "metric": set(), "one breakage": set()}
SIZES = ((46, 20), (80, 24), (120, 40))


@dataclass(frozen=True)
class Farm:
    """A log, the moment at which it is looked at, and the keys that lead from its first screen to the yard."""

    file: Path
    now: datetime
    first: tuple[str, ...] = ()


def made(file: Path, *lines: tuple[str, ...]) -> Path:
    """Enter a farm by its commands."""
    for words in lines:
        assert run([*words, "--db", str(file)]) == 0, words
    return file


COMBINE = ("add", "combine", "Kestrel", "--engine", "2310", "--separator", "1702", "--at", "2026-07-01")
HEADER = ("add", "header", "North", "--width", "12m", "--knife", "40", "--at", "2026-07-01")
HITCH = ("hitch", "north", "kestrel", "--at", "2026-07-01")
BROKE = ("log", "north section 7 rock, 20 min", "--yes")


def empty(folder: Path) -> Farm:
    # the first day opens, and is left
    start_log(Location(file=folder / "empty.db")).close()
    return Farm(made(folder / "empty.db", ("set", "units", "metric"), ("set", "currency", "EUR")), JULY, ("escape",))


def one_breakage(folder: Path) -> Farm:
    return Farm(made(folder / "one.db", COMBINE, HEADER, HITCH, BROKE), JULY, ("2", "n", "1"))


def metric(folder: Path) -> Farm:
    cuts = [
        (
            "cut",
            "kestrel",
            "40",
            "--from",
            f"2026-07-{day:02} 09:00",
            "--to",
            f"2026-07-{day:02} 14:00",
            "--yes",
        )
        for day in range(5, 15)
    ]
    units = (("set", "units", "metric"), ("set", "currency", "EUR"))
    return Farm(made(folder / "metric.db", COMBINE, *units, HEADER, HITCH, *cuts, BROKE), JULY, ("2", "n", "1"))


def last_hour(folder: Path, demo: Path) -> Farm:
    """The demo farm as a season later all that it planned is cut but for a few acres."""
    file = folder / "last.db"
    shutil.copyfile(demo, file)
    with opened(str(file)) as store:
        planned = planned_areas(store, LAST_EVENING.date().replace(year=2026, month=11))
        area, *others = planned.areas
        drop_areas(store, others)
        days = 10
        for day in range(days):
            begun = LAST_EVENING - timedelta(days=days - day, hours=9)
            acres = area.area_square_metres - round(ACRES_LEFT * ACRE)
            by, on = planned.combines[0].id, planned.headers[0].id
            ended = begun + timedelta(hours=8)
            cut(
                store,
                Run(combine_id=by, header_id=on, started_at=begun, ended_at=ended, area_square_metres=acres // days),
            )
    return Farm(file, LAST_EVENING)


@pytest.fixture
def farm_of(demo_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[str], Farm]:
    monkeypatch.setenv("WEARLOG_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("WEARLOG_DEVICE", "shop")
    monkeypatch.chdir(tmp_path)

    def farm(name: str) -> Farm:
        monkeypatch.setattr("wearlog.cli.log_commands.local_now", lambda: JULY)
        by_name = {"empty": empty, "one breakage": one_breakage, "metric": metric}
        made_one = last_hour(tmp_path, demo_file) if name == "last hour" else by_name[name](tmp_path)
        monkeypatch.setattr(Door, "now", lambda _: made_one.now)
        return made_one

    return farm


def wrong_with(screens: Screens, *, is_metric: bool) -> set[str]:
    """Return what does not hold of the open screen at its size."""
    lines = screen_lines(screens)
    text = f" {flat(screens)} "
    section = screens.screen.section if isinstance(screens.screen, SectionsScreen) else None
    of_list = section.empty if section is not None and section.columns and not section.rows else ""
    wrong = {
        "line 2 says nothing": not lines[1].strip(),
        "something is cut": any(CUT in line or len(line) > screens.size.width for line in lines),
        "what is no figure": any(f" {one} " in text for one in ("nan", "inf", "None")),
        "said twice": bool(of_list) and text.count(of_list) > 1,
        "acres on a metric farm": is_metric
        and any(f" {one} " in text for one in ("ac", "acre", "acres", "ac/h", "USD")),
    }
    return {name for name, is_so in wrong.items() if is_so}


def named_keys(screens: Screens) -> list[str]:
    return [shown_key(one.binding) for one in screens.screen.query_one(FootLine)._shown()]


async def found_on(screens: Screens, pilot: Pilot[None], farm: str) -> list[str]:
    """Return what does not hold of each decision, as sentences."""
    found = []
    for name, keys in WAYS.items():
        await pilot.resize_terminal(80, 24)
        for key in keys:
            if not key.isdigit() and shown_key_of(key) not in named_keys(screens):
                found.append(f"{name}: {key} is in no footer")
            await press(pilot, key)
        opened_one = type(screens.screen).__name__
        if (opened_one == name) is (name in CLOSED[farm]):
            found.append(f"{name}: {' '.join(keys)} opens {opened_one}")
        places = screens.screen.sections if isinstance(screens.screen, SectionsScreen) else [None]
        for place in places:
            if place is None or place.name in SECTIONS.get(opened_one, {place.name}):
                for wide, high in SIZES[: 2 if farm == "last hour" else 3]:
                    await pilot.resize_terminal(wide, high)
                    await settled(pilot)
                    wrong = wrong_with(screens, is_metric=farm in ("metric", "empty"))
                    found += [
                        f"{name} {place.name if place else ''} at {wide}: {one}: {flat(screens)}" for one in wrong
                    ]
            if len(places) > 1:
                await press(pilot, "right")
        while len(screens.screen_stack) > 1:
            screens.pop_screen()
        await press(pilot, "1")
    return found


def shown_key_of(key: str) -> str:
    return {"enter": "Enter"}.get(key, key)


@pytest.mark.parametrize("farm", list(CLOSED))
def test_each_decision_opens_answers_and_cuts_nothing(farm_of: Callable[[str], Farm], farm: str) -> None:
    one = farm_of(farm)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, *one.first)
        assert await found_on(screens, pilot, farm) == []

    play(str(one.file), steps)


def test_in_the_last_hour_of_a_season_the_rest_of_it_is_what_is_weighed(farm_of: Callable[[str], Farm]) -> None:
    file = str(farm_of("last hour").file)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "9")
        assert screen_lines(screens)[1].startswith(" 24 ac left, done about")
        await press(pilot, "2", "k")
        assert "season's end 2 h " in flat(screens), flat(screens)

    play(file, steps)
    with opened(file) as store:
        plan = planned_areas(store, LAST_EVENING.date())
        combine, header = plan.combines[0].id, plan.headers[0].id
        begun = LAST_EVENING - timedelta(hours=2)
        cut(
            store,
            Run(
                combine_id=combine,
                header_id=header,
                started_at=begun,
                ended_at=LAST_EVENING,
                area_square_metres=round(15 * ACRE),
            ),
        )

    async def done(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "9")
        said = flat(screens)
        assert "902 ac cut of 911 ac planned" in said, said
        assert "That counts as done." in said
        assert "nobody planned" not in said

    play(file, done)


def test_an_offer_that_was_typed_is_there_when_one_comes_back_and_can_be_taken_out(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "8", "k", "right", "l", Text("250"), "tab", "tab", Text("60"), "enter", "enter")
        assert "60.00 for an acre of ground with few stones pays" in flat(screens)
        await enter(pilot, "escape", "1", "8", "k")
        assert isinstance(screens.screen, TradeScreen)
        assert (screens.screen.offer.area, screens.screen.offer.rate) == ("250", "60")
        await enter(pilot, "right", "l")
        assert "(60; - takes it out)" in flat(screens)
        await enter(pilot, "tab", "tab", "minus", "enter", "enter")
        assert "An acre of ground with few stones costs" in flat(screens)

    play(demo_log, steps)
