"""Which commands there are, in which module each lives, and its one line of help. Data only: it must load in no time."""

from __future__ import annotations

from typing import Final, NamedTuple

from wearlog import __version__


class Listed(NamedTuple):
    """A command: where its click command is, and what it does in one line."""

    module: str
    about: str


#: heading -> name -> command; the order is the order of the help
COMMANDS: Final[dict[str, dict[str, Listed]]] = {
    "In the field": {
        "log": Listed("log", 'a breakage in plain words: wearlog log "3 sections 41-43 rock, 20 min"'),
        "undo": Listed("log", "take the last entry back, whole"),
        "read": Listed("field", "what a meter shows"),
        "cut": Listed("field", "an area cut"),
        "stop": Listed("field", "a machine stood, or runs again"),
        "measure": Listed("measure", "wear measured on a part: wearlog measure kestrel 'feeder chain' 19.9in"),
    },
    "What it means": {
        "brief": Listed("brief", "everything on one page"),
        "wear": Listed("wear", "how long parts last, what the season ahead threatens"),
        "due": Listed("answers", "services due; note one as done"),
        "stock": Listed("stock", "parts on hand; receive, use, count"),
        "plan": Listed("plan", "the winter decision: replace or run, spares, order list"),
        "cost": Listed("cost", "what an acre costs; --curve, --economic-life"),
        "harvest": Listed("harvest", "progress, acres an hour, days to finish with 80 and 90 %"),
        "calibrate": Listed("harvest", "sensors and moisture tester; enter a load or a sample"),
        "loss": Listed("harvest", "grain left behind, and whether it grows with wear; enter a count"),
        "report": Listed("report", "the printable season report, one HTML file"),
        "faults": Listed("faults", "electrical faults: suspects, next check, trail over seasons"),
        "history": Listed("log", "who entered what, latest first"),
    },
    "The farm": {
        "add": Listed("farm", "a machine, field, crop, season, part or component"),
        "hitch": Listed("farm", "a header onto a combine"),
        "fit": Listed("farm", "new parts onto a component"),
        "move": Listed("part", "parts to another machine or position; their age goes along"),
        "take-off": Listed("part", "parts off, and none on"),
        "limit": Listed("measure", "how a kind of part is measured, and when it is worn out"),
        "set": Listed("farm", "a setting of the farm: currency, units, rates"),
    },
    "The log itself": {
        "demo": Listed("brief", "look around on a fresh copy of an invented farm"),
        "import": Listed("exchange", "a folder of CSV sheets or a workbook"),
        "export": Listed("exchange", "everything as CSV sheets"),
        "check": Listed("file", "is the file whole and in order?"),
        "backup": Listed("file", "copy the file now"),
        "restore": Listed("file", "go back to a backup"),
        "upgrade": Listed("file", "bring an older file to this version"),
    },
}

_HEAD: Final = """Usage: wearlog [COMMAND] [ARGUMENTS]

The log and the reckoning of wear for the combines of a grain farm.
Alone it opens the screens (without a terminal it prints the brief). Try 'wearlog demo' first.
"""

_FOOT: Final = """
Every command has -h with examples. --db FILE (or WEARLOG_DB) chooses the log.
"""


def find(name: str) -> Listed | None:
    """Return the command of this name."""
    for group in COMMANDS.values():
        if name in group:
            return group[name]
    return None


def names() -> list[str]:
    """Return all command names in the order of the help."""
    return [name for group in COMMANDS.values() for name in group]


def overview() -> str:
    """Return the help of wearlog itself."""
    lines = [_HEAD]
    for heading, group in COMMANDS.items():
        lines.append(f"{heading}:")
        lines += [f"  {name:<9} {listed.about}" for name, listed in group.items()]
        lines.append("")
    return "\n".join(lines) + _FOOT.lstrip("\n")


def version() -> str:
    """Return the line of --version."""
    return f"wearlog {__version__}"
