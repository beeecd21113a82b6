"""Which helps there are, and what must have happened on the guide's farm before the examples of one make sense."""

from __future__ import annotations

import csv
import shutil
from pathlib import Path
from typing import Final

from openpyxl import Workbook

from tests.cli.running import Wearlog
from tests.texts.command_lines import ROOT, files_in
from tests.texts.running_texts import failures

_DRAWN: Final = (
    "wearlog faults diagram kestrel --start 'combine main harness'",
    "wearlog faults diagram kestrel --start header",
    "wearlog faults diagram merlin --start 'combine data line'",
)
_OPENED: Final = (
    *_DRAWN,
    "wearlog faults open kestrel 'header fuse blows' --sign 'header fuse blew on movement'",
    "wearlog faults open merlin 'controllers drop off' --sign '639/9 at engine controller'",
)
_PLANNED: Final = ("wearlog plan make 2027 --budget 6000",)
#: the second cab began its own log and has the first one's combine in it as well
_TWICE: Final = (
    "wearlog add combine Kestrel --engine 2310 --at 2026-04-02 --db cab.db",
    "wearlog pack cab.bundle --db cab.db",
    "wearlog merge cab.bundle --yes",
)

#: page -> the lines that were typed before
_BEFORE: Final = {
    "due": ("wearlog add service usual --on kestrel",),
    "plan receive": (
        *_PLANNED,
        "wearlog plan area 640ac --ground stony",
        "wearlog plan --xlsx order.xlsx --csv orders/",
    ),
    "plan": (*_PLANNED, "wearlog plan area 640ac --ground stony"),
    "plan area": _PLANNED,
    "plan replace": _PLANNED,
    "plan run": _PLANNED,
    "plan figures": (*_PLANNED, "wearlog plan run 'kestrel rasp bars'"),
    "report": _PLANNED,
    "sheet": _OPENED,
    "merge": ("wearlog pack stick.bundle",),
    "twins": _TWICE,
    "join": _TWICE,
    "faults": _DRAWN,
    "faults open": _DRAWN,
    "faults diagram": (),
    **{f"faults {name}": _OPENED for name in ("sign", "suspects", "next", "close", "trail", "tell", "undone")},
    "faults check": (*_OPENED, "wearlog faults diagram kestrel --start 'combine data line'"),
    "faults put-back": (
        *_OPENED,
        "wearlog faults undone 1 unplugged 'header plug'",
        "wearlog faults undone 1 battery-lead-off",
    ),
}

#: line -> what the person does with the file that it wrote, before the next one
EDITED: Final = {
    "wearlog faults diagram merlin --text > merlin.txt": ("merlin.txt", "Stubble lights", "Stubble lamps"),
    "wearlog faults diagram kestrel --text > kestrel.txt": ("kestrel.txt", "Stubble lamps", "Field lamps"),
}

HELP_PAGES: Final = (
    *("log", "inbox", "notebook", "undo", "enter", "change", "read", "cut", "stop", "measure"),
    *("brief", "wear", "due", "stock", "plan", "cost", "harvest", "calibrate", "loss", "report", "faults", "history"),
    *("entries", "runs", "breakages"),
    *("add", "hitch", "fit", "age", "move", "take-off", "limit", "set"),
    *(
        "demo",
        "import",
        "export",
        "pack",
        "merge",
        "settle",
        "twins",
        "join",
        "check",
        "backup",
        "where",
        "completion",
        "stop-or-run",
        "compare-parts",
        "fetch",
        "claims",
        "supplier",
        "trade",
        "fetch",
        "supplier",
        "claims",
        "rain-day",
        "custom-work",
        "neighbours",
        "restore",
        "move-log",
        "roles",
        "upgrade",
    ),
    *(f"plan {name}" for name in ("make", "area", "replace", "run", "figures", "receive")),
    *(
        f"faults {name}"
        for name in ("open", "sign", "suspects", "next", "check", "close", "trail", "diagram", "meter", "codes")
    ),
    *("faults tell", "faults undone", "faults put-back"),
    *("sheet", "sheet-in"),
)


def before_help(wearlog: Wearlog, page: str, folder: Path) -> None:
    """Bring the guide's farm in `folder` to where the examples of a page begin."""
    assert failures(wearlog, _BEFORE.get(page, ())) == []
    if page == "inbox":
        _notes(folder)
    elif page == "notebook":
        (folder / "book.csv").write_text("Date,Header,Item,Pos,Why\n7/21/2026,North,section,90,stone\n", "utf-8")
    elif page == "import":
        _notebook(folder)
    elif page == "restore":
        backups = folder / "farm.db-backups"
        backups.mkdir(exist_ok=True)
        shutil.copyfile(folder / "farm.db", backups / "2026-08-14.db")
    elif page == "add":
        (folder / "farm.db").unlink()
        shutil.rmtree(folder / "farm.db-backups", ignore_errors=True)


def edit_after(line: str, folder: Path) -> None:
    """Do what the person does between a line and the next."""
    if line in EDITED:
        name, old, new = EDITED[line]
        before = (folder / name).read_text("utf-8")
        assert old in before
        (folder / name).write_text(before.replace(old, new), "utf-8")


def _notebook(folder: Path) -> None:
    """The small farm of the import format, as a folder and as a workbook."""
    book = Workbook()
    book.remove(book.worksheets[0])
    (folder / "notebook").mkdir()
    for file in files_in((ROOT / "docs/import-format.md").read_text("utf-8")):
        (folder / "notebook" / file.name).write_text(file.content)
        sheet = book.create_sheet(Path(file.name).stem)
        for row in csv.reader(file.content.splitlines()):
            sheet.append(row)
    book.save(folder / "notebook.xlsx")


def _notes(folder: Path) -> None:
    """A note as a phone writes it, alone and in a folder."""
    for file in (folder / "note.txt", folder / "notes" / "august.txt"):
        file.parent.mkdir(exist_ok=True)
        file.write_text("aug 14 2026\nnorth header guard 12 bent, straightened\n", "utf-8")
