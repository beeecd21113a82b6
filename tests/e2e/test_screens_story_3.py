"""Story 3, in a real terminal: a fuse blows for the third season; ticked, suspected, checked in order, found, closed, its trail."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.e2e.terminal import Terminal
from tests.tui.small_farm import make_small_farm
from wearlog.facts.closed_lists import FaultMode, MachineKind
from wearlog.facts.electrics import Fault, FaultCheck, FaultFinding

OPEN = "import sys; from wearlog.tui.start import open_screens; sys.exit(open_screens({log!r}))"
#: of the starting diagram, in the order of the list
DEVICES = [
    "Left height sensor",
    "Reel fore-aft valve",
    "Reel lift valve",
    "Reel speed sensor",
    "Right height sensor",
    "Stubble lights",
]
SIGNS = ("header fuse blew on movement", "reel lift valve dead", "stubble lights dead")


@pytest.fixture
def log(tmp_path: Path) -> Path:
    """The small farm with circuits, on which this fault was there two seasons before, each time closed on a guess."""
    from wearlog.logbook.faults.circuits import put_starting_diagram
    from wearlog.logbook.faults.faulting import FindingEntry, close_fault, open_fault
    from wearlog.logbook.names import known_names, machine_named
    from wearlog.logbook.open_log import open_log

    file = tmp_path / "farm.db"
    now = datetime.now(UTC)
    make_small_farm(file, now)
    store = open_log(str(file))
    with store.reading() as connection:
        kestrel = machine_named(known_names(connection), "Kestrel", MachineKind.COMBINE)
    put_starting_diagram(store, kestrel, "header")
    for days, mode in ((24, FaultMode.SHORT_TO_GROUND), (12, FaultMode.SHORT_TO_GROUND)):
        opened = now - timedelta(days=days)
        done = open_fault(store, kestrel, "header fuse blows", at=opened, conditions="header raised", signs=SIGNS)
        fault = next(fact for fact in done.facts if isinstance(fact, Fault))
        entry = FindingEntry(node="stubble lights", mode=mode, fix="taped")
        close_fault(store, fault, entry, at=opened + timedelta(hours=1))
    store.close()
    return file


def chance(screen: str, node: str) -> int:
    """Return the chance that stands beside a node of the drawing."""
    found = re.search(rf"(\d+) % [ │├└]*{re.escape(node)}", screen)
    return int(found[1]) if found else 0


def test_the_third_time_it_is_found_by_checks_in_order_and_the_trail_says_how_sure_the_fix_is(
    log: Path, tmp_path: Path
) -> None:
    with Terminal(tmp_path, wide=100, high=36) as terminal:
        terminal.run(OPEN.format(log=str(log)))
        terminal.wait_for("KS-1 section")
        terminal.keys("4")
        terminal.wait_for("header fuse blows")
        terminal.keys("a")
        terminal.wait_for("d [x] dead e [~] erratic w [o] working")
        terminal.write("header fuse blows once more")
        terminal.keys("Tab")
        terminal.keys(*["Right"] * DEVICES.index("Reel lift valve"), "d")
        terminal.wait_for("[x] Reel lift valve")
        terminal.keys(*["Right"] * (DEVICES.index("Stubble lights") - DEVICES.index("Reel lift valve")), "d")
        terminal.wait_for("[x] Stubble lights")
        # the first fuse that is drawn blew as something moved, the third of the answers that begin with b
        terminal.keys("Tab", "Right", "Tab", "b", "b", "b", "Tab")
        terminal.wait_for("Enter saves: opened on Kestrel: header fuse blows once more")
        terminal.keys("C-s")
        # cautions stand before the first check, and no result is taken before they are read
        terminal.wait_for("BEFORE YOU TOUCH IT")
        shown = terminal.wait_for("Never bridge a fuse and never fit a larger one")
        assert "NEXT" not in shown
        terminal.keys("g")
        # all of them are on the screen: Enter says that they are read
        terminal.keys("Enter")
        shown = terminal.wait_for("NEXT")
        assert "here for the 3rd time" in " ".join(shown.split())
        assert "Last time" in shown
        checks_until_found(terminal)
        terminal.wait_for("Saved: closed 'header fuse blows once more'")
        shown = " ".join(terminal.wait_for("header fuse blows once more, for the 3rd time").split())
        assert re.search(r"not run since; \d+ % that it holds; 95 % after [\d,]+ more hours", shown)
        terminal.keys("Escape")
        terminal.wait_for("CLOSED")
        terminal.keys("Escape")
        terminal.wait_for("3 faults past")
        terminal.keys("q")
        terminal.wait_for("ENDED WITH 0")
    made, found = kept(log)
    assert [one.step for one in made] == list(range(1, len(made) + 1))
    assert found.fix.endswith("A fuse")


def checks_until_found(terminal: Terminal) -> None:
    """Answer the checks as a chafed header harness would until it is to be repaired, and close it."""
    for _ in range(12):
        shown = terminal.screen()
        if "NEXT  repair" in shown or "DO NEXT repair" in shown:
            break
        step = next(line for line in shown.splitlines() if "NEXT" in line)
        terminal.keys("Enter")
        form = terminal.wait_until(
            lambda now: "DOES THIS ALSO WORK" in now or "It showed" in now, "the form of the check"
        )
        if "damage, something there" in form:
            # no check any more, but a look before the repair
            terminal.keys("Escape")
            terminal.wait_for("NEXT")
            break
        is_bad = "harness" in step
        if "DOES THIS ALSO WORK" in form:
            terminal.keys("w")
            terminal.wait_for("Enter saves: tried for")
        else:
            # a figure is asked first, and between it and how it ended what it was read by; else how it ended comes first
            between = sum(label in form for label in ("Engine, key", "The load", "Battery V", "Across", "Lamp for"))
            terminal.keys(*(["Down"] * (between + 1) if "the value says it" in form else []))
            terminal.keys(*(["Right"] * (2 if is_bad else 1)))
            terminal.wait_for("Enter saves: check")
        terminal.keys("C-s")
        # a check that was done is not advised again: the page is the new one when its line is another
        terminal.wait_until(
            lambda now, step=step: (
                "Saved: " in now and (("NEXT" in now and step not in now.splitlines()) or "BEFORE YOU TOUCH IT" in now)
            ),
            "the next check",
        )
        if "BEFORE YOU TOUCH IT" in terminal.screen():
            # a repair takes the lead off the battery: all cautions again
            terminal.keys("Enter")
            terminal.wait_for("NEXT")
    # repaired without the damage being seen: the fix is inferred, and has to prove itself
    terminal.keys("f")
    terminal.wait_for("Done to it")
    terminal.keys("Down", "Down")
    terminal.write("sleeved the wire, moved the clamp")
    terminal.keys("Down", "Down")
    terminal.write("15")
    terminal.keys("C-s")


def kept(log: Path) -> tuple[list[FaultCheck], FaultFinding]:
    """The checklist of the last fault, and what was found."""
    from wearlog.logbook.open_log import open_log
    from wearlog.reckoning.faults.fault_log import read_fault_log

    store = open_log(str(log))
    with store.reading() as connection:
        read = read_fault_log(connection)
        last = read.faults[-1]
        finding = read.finding(last)
    store.close()
    assert finding is not None
    return list(read.checks(last)), finding
