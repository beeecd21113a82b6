"""The services on the screens: tonight's round ticked off, all of them as they come, halved and ended by one key."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot

from tests.tui.piloting import flat, play, rows, screen_lines, settled
from tests.tui.test_screens_contrast import ENOUGH, measured
from tests.tui.writing import enter, kept_at_every_size
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.machines import Machine, ServiceDone, ServiceItem
from wearlog.logbook.open_log import open_log
from wearlog.logbook.parts.upkeep import add_usual_services
from wearlog.store.finding import find_all
from wearlog.tui.app import Screens
from wearlog.tui.screens.sheets import RowScreen
from wearlog.tui.screens.work.services import ServicesScreen
from wearlog.tui.section import CAUTIONS
from wearlog.tui.themes import INKS


@pytest.fixture
def served_farm(small_farm: str) -> str:
    """The small farm with the usual services of its combine and of the header on it."""
    store = open_log(small_farm)
    with store.reading() as connection:
        machines = find_all(connection, Machine)
    for machine in machines:
        if machine.kind is MachineKind.COMBINE or machine.name == "North header":
            add_usual_services(store, machine)
    store.close()
    return small_farm


def done_by(log: str) -> set[str]:
    names = {one.id: one.name for one in rows(log, ServiceItem)}
    return {names[one.service_item_id] for one in rows(log, ServiceDone)}


def test_the_round_is_ticked_off_line_by_line_and_the_rest_at_once(served_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "f")
        assert isinstance(screens.screen, ServicesScreen)
        assert "[Tonight] As they come Before you touch it" in flat(screens)
        assert screen_lines(screens)[1].strip().startswith("Tonight 8 services on Kestrel and North header.")
        assert "! all 19 cautions" in flat(screens), "one row of cautions, the whole of them behind !"
        before = done_by(served_farm)
        await enter(pilot, "home", "space", "space", "f")
        assert "2 services done on Kestrel" in flat(screens)
        assert len(done_by(served_farm) - before) == 1, "the overdue oil was done once before"
        await enter(pilot, "A", "f")
        assert "Nothing to grease or check tonight" in flat(screens)
        await enter(pilot, "u")
        assert screen_lines(screens)[1].strip().startswith("Tonight 6 services")

    play(served_farm, steps)


def test_all_services_stand_as_they_come_and_are_halved_added_changed_and_ended(served_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "f", "right", "home", "l")
        (oil,) = (one for one in rows(served_farm, ServiceItem) if one.name == "engine oil")
        assert oil.halved
        await enter(pilot, "l")
        assert not next(one for one in rows(served_farm, ServiceItem) if one.id == oil.id).halved
        await enter(pilot, "enter")
        assert isinstance(screens.screen, RowScreen)
        assert screens.screen.start.fact == next(one for one in rows(served_farm, ServiceItem) if one.id == oil.id)
        await enter(pilot, "escape", "a")
        assert isinstance(screens.screen, RowScreen)
        assert screens.screen.start.fact is None
        await enter(pilot, "escape", "x")
        assert next(one for one in rows(served_farm, ServiceItem) if one.id == oil.id).ended_at is not None
        await enter(pilot, "exclamation_mark")
        assert f"[{CAUTIONS}]" in flat(screens)
        await enter(pilot, "escape")
        assert screens.screen.AREA == "yard"

    play(served_farm, steps)


def test_it_looks_as_kept(served_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "f", "home", "space")
        await kept_at_every_size(pilot, "services_tonight")
        await enter(pilot, "right")
        await kept_at_every_size(pilot, "services")

    play(served_farm, steps)


@pytest.mark.parametrize("theme", list(INKS))
def test_it_is_read_in_sunlight(served_farm: str, theme: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        screens.theme = theme
        for keys in (("f",), ("right",), ("right",)):
            await enter(pilot, *keys)
            await settled(pilot)
            assert [piece for piece in measured(screens) if piece[0] < ENOUGH] == [], f"after {keys} in {theme}"

    play(served_farm, steps)
