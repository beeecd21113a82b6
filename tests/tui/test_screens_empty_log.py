"""On a log of one machine and nothing else each empty list says, whole, what fills it and by which key."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.piloting import flat, play, press, screen_lines, settled, yard_again
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.machines import Machine
from wearlog.logbook.farm.first_day import start_log
from wearlog.logbook.farm.machines import add_machine
from wearlog.present.tables import CUT
from wearlog.store.location import Location
from wearlog.tui.app import Screens

#: ways to the lists that hold nothing yet, what each says, and the key that it names
PLAN = "press a and plan what will be cut."
WAYS = {
    "machine": (("2",), "yet. 3, Sheets: a on 'component' enters what sits on it.", "3"),
    "breakages": (("3",), "No breakage here. b logs one.", "b"),
    "runs": (("3", "right"), "No run here yet. c enters an area cut.", "c"),
    "faults": (("4",), "No electrical fault yet. a opens one;", "a"),
    "plan": (("6",), PLAN, "a"),
    "spares": (("6", "right"), PLAN, "a"),
    "orders": (("6", "right", "right"), PLAN, "a"),
    "money": (("6", "right", "right", "right"), PLAN, "a"),
    "acres": (("6", "left"), "a adds the first area and begins the plan.", "a"),
    "stock": (("7",), "No part is on the shelf. a adds one.", "a"),
    "costs": (("8",), "c enters an area cut, b logs a breakage.", "b"),
    "harvest": (("9",), "6, then a, plans what will be cut; c enters an area cut.", "c"),
}
#: lists of the plan, and keys that need a row in them
PLANS = frozenset({"plan", "spares", "orders", "money", "acres"})
ROW_KEYS = ("space", "x")


@pytest.fixture
def bare_log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A log with one machine, on which nothing sits and nothing was done."""
    monkeypatch.setenv("WEARLOG_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("WEARLOG_DEVICE", "shop")
    store = start_log(Location(file=tmp_path / "farm.db"))
    add_machine(store, Machine(name="Kestrel", kind=MachineKind.COMBINE), at=datetime.now(UTC))
    store.close()
    return str(tmp_path / "farm.db")


def test_each_empty_list_says_what_fills_it_and_its_key_whole(bare_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        wrong = []
        for name, (keys, sentence, key) in WAYS.items():
            await press(pilot, *keys)
            for wide, high in ((46, 20), (80, 24)):
                await pilot.resize_terminal(wide, high)
                await settled(pilot)
                lines = screen_lines(screens)
                if sentence not in flat(screens) or any(CUT in line or len(line) > wide for line in lines):
                    wrong.append(f"{name} at {wide}: {flat(screens)}")
            if key not in screens.screen.active_bindings:
                wrong.append(f"{name}: nothing is done by {key}")
            if "wearlog " in flat(screens):
                wrong.append(f"{name} names a command: {flat(screens)}")
            # what needs a row is not offered where there is none
            wrong += [
                f"{name} offers {one}" for one in ROW_KEYS if name in PLANS and one in screens.screen.active_bindings
            ]
            await yard_again(screens, pilot, keys)
        assert wrong == []

    play(bare_log, steps)
