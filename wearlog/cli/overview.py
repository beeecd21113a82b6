"""Which commands there are, in which module each lives, and its one line of help. Data only: it must load in no time."""

from __future__ import annotations

from wearlog import __version__

# not from typing: it alone takes as long to load as an empty Python to start
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Final


#: the variable by which a shell asks what a half-written line may go on with
COMPLETES: Final = "_WEARLOG_COMPLETE"


class ListedCommand:
    """A command: where its click command is, and what it does in one line."""

    __slots__ = ("about", "module")

    def __init__(self, module: str, about: str) -> None:
        self.module = module
        self.about = about


#: heading -> name -> command; the order is the order of the help
COMMANDS: Final[dict[str, dict[str, ListedCommand]]] = {
    "In the field": {
        "log": ListedCommand("log", 'what broke or was done, in words: wearlog log "3 sections 41-43 rock, 20 min"'),
        "inbox": ListedCommand("log", "a note of many lines, typed or dictated elsewhere"),
        "sheet-in": ListedCommand("sheet", "what was written on a printed sheet, by its numbers"),
        "undo": ListedCommand("log", "take the last entry back, whole, or any by its number"),
        "enter": ListedCommand("entry", "a row of any sheet, columns as in the import format"),
        "change": ListedCommand("entry", "any entry by its number, columns as in the import format"),
        "read": ListedCommand("field", "what a meter shows"),
        "cut": ListedCommand("field", "an area cut"),
        "stop": ListedCommand("field", "a machine stood, or runs again"),
        "measure": ListedCommand("measure", "wear measured on a part: wearlog measure kestrel 'feeder chain' 19.9in"),
    },
    "What it means": {
        "brief": ListedCommand("brief", "everything on one page"),
        "wear": ListedCommand("wear", "how long parts last, what the season ahead threatens"),
        "neighbours": ListedCommand("neighbour", "how long parts last on other farms: read, write, show, forget"),
        "due": ListedCommand("service", "services due, tonight's round; note one as done"),
        "stock": ListedCommand("stock", "parts on hand; receive, use, count"),
        "plan": ListedCommand("plan", "the winter decision: replace or run, spares, order list"),
        "claims": ListedCommand("claim", "what is under warranty and worth a claim; what failed far too early"),
        "compare-parts": ListedCommand("decision", "which part number of a kind is worth its money"),
        "trade": ListedCommand("decision", "keep a combine or trade it, and the difference at which it turns"),
        "custom-work": ListedCommand(
            "custom", "cut for others, hire or rent one in, rent out: what an acre costs against the rate"
        ),
        "stop-or-run": ListedCommand("decision", "a part is cracked or old: change it now, at dusk, at season's end?"),
        "fetch": ListedCommand("fetch", "where to get a part now: shelf, donor, whom to ring first, delivery"),
        "rain-day": ListedCommand("decision", "it rains: which jobs save most in so many shop hours, in order"),
        "cost": ListedCommand("cost", "what an acre costs; --curve, --economic-life, --hour"),
        "harvest": ListedCommand("harvest", "progress, acres an hour, days to finish with 80 and 90 %"),
        "calibrate": ListedCommand("harvest", "sensors and moisture tester; enter a load or a sample"),
        "loss": ListedCommand("loss", "grain left behind, what wear adds to it in money; enter a count"),
        "report": ListedCommand("brief", "the printable season report, one HTML file"),
        "sheet": ListedCommand("sheet", "a sheet for the clipboard: inspection, services, header, one fault"),
        "faults": ListedCommand("faults", "electrical faults: suspects, next check, trail over seasons"),
        "runs": ListedCommand("field", "what was cut, latest first: wearlog runs kestrel wheat"),
        "breakages": ListedCommand("field", "what broke, latest first: wearlog breakages north rock"),
        "history": ListedCommand("log", "who entered what, latest first"),
        "entries": ListedCommand("entry", "the rows of any sheet, each with its number"),
    },
    "The farm": {
        "add": ListedCommand("farm", "a machine, field, crop, season, part, service, repair"),
        "hitch": ListedCommand("farm", "a header onto a combine"),
        "fit": ListedCommand("farm", "new parts onto a component"),
        "age": ListedCommand("age", "how old parts are that nobody noted: 'about 3 seasons', 'since new'"),
        "move": ListedCommand("part", "parts to another machine or position; their age goes along"),
        "take-off": ListedCommand("part", "parts off, and none on"),
        "limit": ListedCommand("measure", "how a kind of part is measured, and when it is worn out"),
        "supplier": ListedCommand("fetch", "where parts are bought: how far, when open"),
        "set": ListedCommand("farm", "a setting of the farm: currency, units, rates"),
    },
    "The log itself": {
        "demo": ListedCommand("brief", "look around on a fresh copy of an invented farm"),
        "notebook": ListedCommand("notebook", "a spreadsheet as the farm keeps it, with columns of any name"),
        "import": ListedCommand("exchange", "a folder of CSV sheets or a workbook"),
        "export": ListedCommand("exchange", "everything as CSV sheets"),
        "pack": ListedCommand("merge", "all this log has as one file, for another laptop"),
        "merge": ListedCommand("merge", "take in what another laptop packed"),
        "settle": ListedCommand("merge", "what two laptops changed apart: keep one side"),
        "twins": ListedCommand("merge", "what looks entered twice, to be joined or kept apart"),
        "join": ListedCommand("merge", "make one of two entries, by their numbers"),
        "check": ListedCommand("file", "is the file whole and in order?"),
        "where": ListedCommand("file", "where the log, its copies and the settings of this device lie"),
        "completion": ListedCommand("file", "Tab in your shell finishes commands and options"),
        "backup": ListedCommand("file", "copy the file now"),
        "restore": ListedCommand("file", "go back to a backup"),
        "move-log": ListedCommand("file", "the whole log from a file to a server, or back"),
        "roles": ListedCommand("file", "the SQL that says who may do what on a server"),
        "upgrade": ListedCommand("file", "bring an older file to this version"),
    },
}

_HEAD: Final = """Usage: wearlog [COMMAND] [ARGUMENTS]

The log and the reckoning of wear for the combines of a grain farm.
Alone it opens the screens (without a terminal it prints the brief). Try 'wearlog demo' first.
"""

_FOOT: Final = """
Every command has -h with examples. --db FILE (or WEARLOG_DB) chooses the log; --plain writes ASCII alone.
"""


def find(name: str) -> ListedCommand | None:
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
        lines += [f"  {name:<11} {listed.about}" for name, listed in group.items()]
        lines.append("")
    return "\n".join(lines) + _FOOT.lstrip("\n")


def version() -> str:
    """Return the line of --version."""
    return f"wearlog {__version__}"
