"""Makes a picture of every screen in every theme, to be looked at: python tests/tui/pictures.py FOLDER [LOG].

Writes SVG always, and PNG where a Chromium is installed. Without LOG the small farm of the tests is shown.
"""

from __future__ import annotations

import asyncio
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

from tests.tui.piloting import press, read_all_cautions, settled
from tests.tui.small_farm import make_small_farm

if TYPE_CHECKING:
    from wearlog.tui.app import Screens

#: to the first knife of the farm by its name
KNIFE = ("colon", *"knife", "space", *"section", "enter")
#: to the fault of the demo fleet that came four times
RETURNED = ("4", "down", "down", "down")
#: name of the picture -> size of the terminal, keys pressed before
SHOTS = {
    "yard": ((80, 24), ()),
    "machine": ((80, 24), KNIFE),
    "machine_wide": ((120, 40), (*KNIFE, "tab", "4", "1", "space", "right", "space")),
    "log_breakage": ((80, 24), (*KNIFE, "b", "4", "1", "-", "4", "3", "r")),
    "log_by_line": ((80, 24), ("b", "tab", *"guards 6 rock, left in")),
    "saved": ((80, 24), ("b", "5", "0", "r", "enter")),
    "breakages": ((80, 24), ("3",)),
    "work": ((80, 24), ("3", "right")),
    "find": ((80, 24), ("colon", "k", "n", "i")),
    "help": ((80, 24), ("question_mark",)),
    "yard_phone": ((46, 20), ()),
    "log_phone": ((46, 20), ("b", "4", "1", "r")),
    "stock": ((80, 24), ("7",)),
    "stock_filter": ((80, 24), ("7", "slash", "k", "s")),
    "part": ((80, 24), ("7", "enter")),
    "receive": ((80, 24), ("7", "plus", "5", "0")),
    "history": ((80, 24), ("3", "left", "down", "u")),
    "deed": ((80, 24), ("3", "left", "down", "enter", "end")),
    "reading": ((80, 24), ("r", *"2400", "down", *"17oo", "down")),
    "run": ((80, 24), ("c", *"40,5", "down", "3", "down", "down", "down", *"lo")),
    "stoppage": ((80, 24), ("d", "w", "escape")),
    "stoppage_phone": ((46, 20), ("d", "w")),
    "fit": ((80, 24), (*KNIFE, "f", *"150-170", "down")),
    "settings": ((80, 24), ("comma", "down")),
    "two_cabs": ((80, 24), ("j",)),
    "notebook": ((80, 24), ("3", "i", *"book", "enter", "right")),
    "first_day": ((80, 24), ()),
    "first_day_header": ((80, 24), ("ctrl+s", "k", "ctrl+s", "n", "down", *"40", "down")),
    "first_day_check": ((80, 24), ("ctrl+s", "k", "ctrl+s", "n", "down", *"40", "ctrl+s")),
    "first_day_yard": ((80, 24), ("ctrl+s", "k", "ctrl+s", "n", "down", *"40", "ctrl+s", "enter")),
    "wear": ((80, 24), ("5", "down")),
    "wear_wide": ((120, 40), ("5", "down")),
    "kind": ((80, 24), ("5", "enter")),
    "kind_where": ((120, 40), ("5", "enter", "right", "right")),
    "kind_seasons": ((80, 24), ("5", "enter", "left", "left")),
    "costs": ((80, 24), ("8",)),
    "costs_curve": ((80, 24), ("8", "left", "left")),
    "harvest": ((80, 24), ("9",)),
    "harvest_loss": ((80, 24), ("9", "left")),
    "loss_form": ((80, 24), ("9", "left", "a", "1", "3", "0", "down", "x", "down")),
    # these show most on the demo fleet: python tests/tui/pictures.py FOLDER DEMO_LOG plan fault_case ...
    "faults": ((80, 24), ("4",)),
    "open_fault": ((80, 24), (*RETURNED, "a", *"header fuse blows", "down", "down", "down", "down", "d")),
    "fault_case": ((80, 24), ("4", "enter")),
    "fault_case_wide": ((120, 40), ("4", "enter")),
    "fault_cautions": ((80, 24), ("4", "enter", "exclamation_mark")),
    "fault_checklists": ((80, 24), ("4", "enter", "tab")),
    "fault_trail": ((80, 24), (*RETURNED, "h")),
    "close_fault": ((80, 24), ("4", "enter", "f", "down")),
    "circuit_text": ((80, 24), (*RETURNED, "p", "x")),
    "circuit_wide": ((120, 40), (*RETURNED, "p")),
    "fault_phone": ((46, 20), ("4", "enter")),
    "plan": ((80, 24), ("6",)),
    "plan_toggled": ((80, 24), ("6", "down", "space")),
    "plan_wide": ((120, 40), ("6",)),
    "plan_spares": ((80, 24), ("6", "right")),
    "plan_orders": ((80, 24), ("6", "right", "right")),
    "plan_areas": ((80, 24), ("6", "left")),
    "plan_areas_wide": ((120, 40), ("6", "left")),
    "plan_area_form": ((80, 24), ("6", "left", "enter")),
    "plan_area_pick": ((80, 24), ("6", "left", "enter", "f2")),
    "plan_areas_phone": ((46, 20), ("6", "left")),
    "plan_why": ((80, 24), ("6", "down", "enter")),
    "plan_phone": ((46, 20), ("6",)),
}


async def shot(log: str, size: tuple[int, int], keys: tuple[str, ...], theme: str = "") -> str:
    """Return the screens on a log, of that size, after those keys, as SVG that asks nothing from outside."""
    from wearlog.tui.app import Screens

    screens = Screens(log)
    screens.theme = theme or screens.theme
    read_all_cautions(screens)
    async with screens.run_test(size=size) as pilot:
        await settled(pilot)
        for key in keys:
            await press(pilot, key)
        drawn = picture_now(screens)
    screens.gateway.close()
    return drawn


def picture_now(screens: Screens) -> str:
    """Return what the screens show as SVG that asks nothing from outside."""
    svg = screens.export_screenshot(title="wearlog")
    # fonts by address would be fetched from outside: the picture is drawn with what the machine has
    drawn = re.sub(r"@font-face\s*\{[^}]*\}", "", svg)
    # a picture that shows the same is the same file: the framework puts a number of its own into its names
    drawn = re.sub(r"\s*<!-- Generated.*?-->", "", drawn)
    return re.sub(r"terminal-\d+", "terminal", "\n".join(line.rstrip() for line in drawn.splitlines()) + "\n")


async def _shoot(log: str, folder: Path, name: str, theme: str) -> Path:
    size, keys = SHOTS[name]
    file = folder / f"{name}_{theme}.svg"
    file.write_text(await shot(log, size, keys, theme), "utf-8")
    return file


def to_png(svg: Path, browser: str) -> None:
    """Draw an SVG with a browser that may not go anywhere."""
    wide, high = size_of(svg)
    draw(svg, svg.with_suffix(".png"), (wide, high), browser)


def size_of(svg: Path) -> tuple[int, int]:
    """Return width and height of an SVG in whole pixels."""
    match = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg.read_text("utf-8"))
    assert match is not None
    return int(float(match[1])) + 1, int(float(match[2])) + 1


def draw(page: Path, png: Path, size: tuple[int, int], browser: str) -> None:
    """Draw an SVG or a page of them with a browser that may not go anywhere."""
    with tempfile.TemporaryDirectory() as profile:
        subprocess.run(
            [
                *(browser, "--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--no-first-run"),
                *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
                *(f"--user-data-dir={profile}", f"--window-size={size[0]},{size[1]}"),
                *(f"--screenshot={png}", page.resolve().as_uri()),
            ],
            check=True,
            capture_output=True,
            timeout=60,
        )


def main(folder: Path, log: str, names: list[str]) -> None:
    """Make the pictures."""
    from wearlog.tui.themes import INKS

    folder.mkdir(parents=True, exist_ok=True)
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    for name in names:
        for theme in INKS:
            copy = folder / "shown.db"
            if not name.startswith("first_day"):
                # the first day begins where there is no log
                shutil.copyfile(log, copy)
            svg = asyncio.run(_shoot(str(copy), folder, name, theme))
            copy.unlink(missing_ok=True)
            if browser:
                to_png(svg, browser)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as home:
        os.environ["WEARLOG_HOME"] = home
        os.environ["WEARLOG_DEVICE"] = "shop"
        shown = sys.argv[2] if len(sys.argv) > 2 else f"{home}/farm.db"
        if len(sys.argv) <= 2:
            make_small_farm(Path(shown))
        main(Path(sys.argv[1]), shown, sys.argv[3:] or list(SHOTS))
