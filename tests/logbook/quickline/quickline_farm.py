"""An invented farm for the tests of the quick line, and the reading of their tables."""

from __future__ import annotations

from datetime import datetime
from typing import Final
from uuid import UUID
from zoneinfo import ZoneInfo

from wearlog.facts.closed_lists import MachineKind
from wearlog.logbook.quickline import KnownComponent, KnownMachine, Vocabulary, understand

#: Tuesday, five past two in the afternoon, daylight saving time
PRAIRIE: Final = ZoneInfo("America/Chicago")
NOW: Final = datetime(2026, 7, 28, 14, 5, tzinfo=PRAIRIE)

_KINDS: Final = (
    ("knife section", ("section", "sickle section", "blade section")),
    ("guard", ("guard", "finger guard")),
    ("reel tine", ("tine",)),
    ("feeder chain", ("feeder house chain",)),
    ("clean grain elevator chain", ("elevator chain",)),
    ("unloading auger chain", ()),
    ("rasp bars", ("rasp bar",)),
    ("fuse", ("fuse",)),
    ("drive belt", ("belt",)),
    ("walker bearing", ()),
    ("reel bearing", ()),
    ("shear bolt", ("bolt",)),
    ("chopper knife", ("chopper knives",)),
    ("hydraulic hose", ("hose",)),
)
KIND_IDS: Final = {name: UUID(int=100 + place) for place, (name, _) in enumerate(_KINDS)}
_CALLED: Final = dict(_KINDS)


def _parts(first_id: int, *listed: tuple[str, str, int]) -> tuple[KnownComponent, ...]:
    return tuple(
        KnownComponent(UUID(int=first_id + place), KIND_IDS[kind], kind, _CALLED[kind], where, positions)
        for place, (kind, where, positions) in enumerate(listed)
    )


def _header(machine_id: int, name: str, hitched_to: int | None, guards: int) -> KnownMachine:
    parts = _parts(
        machine_id * 1_000,
        ("knife section", "cutterbar", 160),
        ("guard", "cutterbar", guards),
        ("reel tine", "reel", 90),
        ("reel bearing", "reel left", 1),
        ("reel bearing", "reel right", 1),
    )
    combine = None if hitched_to is None else UUID(int=hitched_to)
    return KnownMachine(UUID(int=machine_id), name, MachineKind.HEADER, parts, combine)


def _combine(machine_id: int, name: str, *extra: tuple[str, str, int]) -> KnownMachine:
    parts = _parts(
        machine_id * 1_000,
        ("feeder chain", "feeder house", 1),
        ("clean grain elevator chain", "right side", 1),
        ("rasp bars", "cylinder", 8),
        ("fuse", "cab", 24),
        ("drive belt", "left", 1),
        ("drive belt", "right", 1),
        ("walker bearing", "separator", 10),
        ("hydraulic hose", "", 1),
        *extra,
    )
    return KnownMachine(UUID(int=machine_id), name, MachineKind.COMBINE, parts)


RED: Final = _combine(1, "Red combine", ("unloading auger chain", "tank", 1))
BLUE: Final = _combine(2, "Blue combine", ("shear bolt", "unloading auger", 1))
NORTH: Final = _header(3, "North header", 1, 80)
SOUTH: Final = _header(4, "South header", 2, 80)
NORTON: Final = KnownMachine(
    UUID(int=5), "Norton truck", MachineKind.TRUCK, _parts(5_000, ("hydraulic hose", "hoist", 1))
)
KIND_WORDS: Final = tuple((KIND_IDS[name], name, called) for name, called in _KINDS)

#: nothing current: everything has to be said
FARM: Final = Vocabulary((RED, BLUE, NORTH, SOUTH, NORTON), KIND_WORDS, None)
#: the red combine cuts, with the North header on it
CUTTING: Final = Vocabulary(FARM.machines, KIND_WORDS, RED.id)


def question_rows(table: str) -> list[tuple[str, str]]:
    """Return each line of a table of questions with the block of sentences below it."""
    rows: list[tuple[str, str]] = []
    for row in table.splitlines():
        if row.startswith("    "):
            line, sentences = rows.pop()
            rows.append((line, f"{sentences}{row}\n"))
        elif row and not row.startswith("# "):
            rows.append((row, ""))
    return rows


def asked(line: str, vocabulary: Vocabulary) -> str:
    """Return the questions that a line gets, as a table of questions writes them."""
    problems = understand(line, vocabulary, NOW).problems
    return "".join(f"    {one.column} {one.code}: {one.message}\n        {one.hint}\n" for one in problems)
