"""Makes the pictures of docs/ anew, from the demo fleet on the evening on which its story ends: python -m tests.tui.docs_pictures.
With names behind it those alone.

Each is a screen in daylight at 80 columns, `..._phone` at 46. Names and keys are those of `tests/tui/pictures.py`.
"""

from __future__ import annotations

import asyncio
import os
import re
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from unittest.mock import patch

from tests.tui.every_form import NOTE, NOTE_FILE
from tests.tui.pictures import SHOTS, shot
from tests.tui.screens_page import SHOWN, SIZE, picture_of
from wearlog.cli.brief_commands import DEMO_DAY

ROOT = Path(__file__).resolve().parents[2]
PICTURES = ROOT / "docs" / "pictures"
#: the pictures of the page of all screens that no other text shows -> size of the terminal, keys pressed before
SCREENS = {picture_of(name): (SIZE, keys) for name, (_, keys) in SHOWN.items()}
#: the pictures of the other texts; what needs a log of its own (none) is drawn without one
OF_TEXTS = (
    "yard",
    "yard_phone",
    "machine",
    "log_breakage",
    "log_phone",
    "breakages",
    "faults",
    "fault_case",
    "wear",
    "kind",
    "plan",
    "plan_why",
    "plan_phone",
    "stock",
    "costs",
    "harvest",
    "two_cabs",
    "first_day_check",
    "find",
    "notebook",
)
#: what the notebook of its picture says of the demo fleet: two rows are sure, one names no position
BOOK = """Date,Header,Item,Pos,Why,Down
7/21/2026,Kestrel,sickle section,90,stone,10 min
7/22/2026,Merlin,guard,"12,13",rock,15 min
7/25/2026,Merlin,sickle section,,rock,20 min
"""
NAMES = tuple(dict.fromkeys((*OF_TEXTS, *SCREENS)))


def pictures_in(text: str) -> set[str]:
    """Return the names of the pictures that a text shows."""
    return set(re.findall(r"!\[[^\]]*\]\((?:docs/)?pictures/(\w+)\.svg\)", text))


@contextmanager
def demo_evening() -> Iterator[Path]:
    """Give the demo fleet's log on the evening on which its story ends, in a folder of its own that is left again.

    A note and a notebook lie beside it, where the program is started.
    """
    from wearlog.exchange.importer import import_source
    from wearlog.logbook.farm.first_day import start_log
    from wearlog.store.location import Location

    here = Path.cwd()
    with tempfile.TemporaryDirectory() as home, patch("wearlog.tui.door.machine_now", lambda: DEMO_DAY):
        os.environ.update(WEARLOG_HOME=home, WEARLOG_DEVICE="shop")
        demo = Path(home) / "demo.db"
        store = start_log(Location(file=demo))
        import_source(store, ROOT / "demo_fleet", dry_run=False, replace=False)
        store.close()
        (Path(home) / NOTE_FILE).write_text(NOTE, "utf-8")
        (Path(home) / "book.csv").write_text(BOOK, "utf-8")
        os.chdir(home)
        yield demo
        os.chdir(here)


def main() -> None:
    """Draw all of them."""
    with demo_evening() as demo:
        for name in sys.argv[1:] or NAMES:
            copy = demo.with_name("farm.db")
            copy.unlink(missing_ok=True)
            if not name.startswith("first_day"):
                shutil.copyfile(demo, copy)
            size, keys = SHOTS[name] if name in SHOTS else SCREENS[name]
            drawn = asyncio.run(shot(str(copy), size, keys))
            (PICTURES / f"{name}.svg").write_text(drawn, "utf-8", newline="\n")


if __name__ == "__main__":
    main()
