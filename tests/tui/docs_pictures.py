"""Makes the pictures of docs/ anew, from the demo fleet on the evening on which its story ends: python -m tests.tui.docs_pictures.

Each is a screen in daylight at 80 columns, `..._phone` at 46. Names and keys are those of `tests/tui/pictures.py`.
"""

from __future__ import annotations

import asyncio
import os
import re
import shutil
import tempfile
from pathlib import Path
from unittest.mock import patch

from tests.tui.pictures import SHOTS, shot
from wearlog.cli.brief_commands import DEMO_DAY

ROOT = Path(__file__).parents[2]
PICTURES = ROOT / "docs" / "pictures"
#: the pictures of the texts; what needs a log of its own (none) is drawn without one
NAMES = (
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
)


def pictures_in(text: str) -> set[str]:
    """Return the names of the pictures that a text shows."""
    return set(re.findall(r"!\[[^\]]*\]\((?:docs/)?pictures/(\w+)\.svg\)", text))


def main() -> None:
    """Draw all of them."""
    from wearlog.exchange.importer import import_source
    from wearlog.logbook.farm.first_day import start_log
    from wearlog.store.location import Location

    with tempfile.TemporaryDirectory() as home, patch("wearlog.tui.door.machine_now", lambda: DEMO_DAY):
        os.environ.update(WEARLOG_HOME=home, WEARLOG_DEVICE="shop")
        demo = Path(home) / "demo.db"
        store = start_log(Location(file=demo))
        import_source(store, ROOT / "demo_fleet", dry_run=False, replace=False)
        store.close()
        for name in NAMES:
            copy = Path(home) / "farm.db"
            copy.unlink(missing_ok=True)
            if not name.startswith("first_day"):
                shutil.copyfile(demo, copy)
            size, keys = SHOTS[name]
            drawn = asyncio.run(shot(str(copy), size, keys))
            (PICTURES / f"{name}.svg").write_text(drawn, "utf-8", newline="\n")


if __name__ == "__main__":
    main()
