"""What a column of a notebook can hold, and the headings that people write above it. Data, and how a heading is read."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum, unique
from functools import lru_cache
from typing import Final

from wearlog.facts.plain_text import folded
from wearlog.facts.unit_words import unit_called


@unique
class Holds(StrEnum):
    """What stands in a column; the value is the word for it in `--column`, on the screen and in a profile."""

    DAY = "day"
    TIME = "time"
    YEAR = "year"
    MACHINE = "machine"
    COMBINE = "combine"
    HEADER = "header"
    PART = "part"
    POSITIONS = "positions"
    WHY = "cause"
    DONE = "done"
    STOOD = "stood"
    LABOUR = "labour"
    COST = "cost"
    PRICE = "price"
    COUNT = "count"
    AREA = "area"
    SEPARATOR = "separator hours"
    ENGINE = "engine hours"
    METER = "hours"
    AREA_METER = "area counter"
    WORKED = "hours worked"
    FIELD = "field"
    CROP = "crop"
    MOVE = "in or out"
    SERVICE = "service"
    NUMBER = "part number"
    NOTE = "note"
    PAPER = "paper"
    NOTHING = "nothing"


#: what a column holds -> headings for it, parted by strokes
_HEADINGS: Final[tuple[tuple[Holds, str], ...]] = (
    (Holds.DAY, "day | date | when | on | dt | d/m | m/d | dated | date of work | date in | inv date | invoice date"),
    (Holds.TIME, "time | clock | at | hour of day"),
    (Holds.YEAR, "year | season | yr | harvest | harvest year | crop year"),
    (Holds.MACHINE, "machine | unit | mach | rig | which machine | equipment | for | on what | which | for machine"),
    (Holds.COMBINE, "combine | comb | combines | driver of | puller"),
    (Holds.HEADER, "header | hdr | head | heads | headers | table | platform | header on"),
    (
        Holds.PART,
        """part | item | what | what broke | broke | parts | kind | thing | component | piece | description | desc
        | article | what failed | failed | what happened | broken part | part kind | itm | part name | what was it | job""",
    ),
    (
        Holds.POSITIONS,
        "pos | position | positions | where | place | number | no from left | section no | from left | spot | which one"
        " | location | nos | pos no | seat | places",
    ),
    (Holds.WHY, "cause | why | reason | because | how | from | what did it | wear or stone | caused by"),
    (Holds.DONE, "done | action | what was done | fix | repair | did | work done | what we did | remedy"),
    (
        Holds.STOOD,
        "down | downtime | stood | down time | lost | time lost | stopped | standing | delay | lost time | idle | stop"
        " | min down | mins down | hrs down",
    ),
    (Holds.LABOUR, "labour | labor | man hours | work time | worked on | shop time | manhours | time spent"),
    (
        Holds.COST,
        "cost | total | amount | paid | costs | parts cost | money | ext | extended | line total | sum | spent | value | bill"
        " | total price",
    ),
    (
        Holds.PRICE,
        "price | unit price | each | price each | ea | per piece | unit cost | price ea | list | net | cost each | net ea"
        " | net each | net price",
    ),
    (
        Holds.COUNT,
        "count | qty | quantity | how many | number of | pcs | pieces | # of | no of | many | amt | units | qty shipped"
        " | shipped | stk",
    ),
    (Holds.AREA, "area | ac | acres | ha | hectares | acres cut | acreage | cut | size | area cut | ac cut | ha cut"),
    (
        Holds.SEPARATOR,
        "sep hrs | separator hours | sep hours | sep | separator | sep h | separator hrs | drum hours | rotor hours | thr hrs"
        " | threshing hours | sep hr | drum h",
    ),
    (
        Holds.ENGINE,
        "eng hrs | engine hours | eng hours | eng | engine | eng h | engine hrs | motor hours | engine h | eng hr",
    ),
    (
        Holds.METER,
        "hours | hrs | meter | hour meter | meter hours | clock hours | reading | meter reading | hourmeter | h | mtr | hr"
        " | machine hours",
    ),
    (
        Holds.AREA_METER,
        "area counter | acre counter | ha counter | acre meter | hectare counter | area meter | counter",
    ),
    (
        Holds.WORKED,
        "hours worked | hrs worked | hours cut | run hours | hours run | hrs run | worked h | cutting hours",
    ),
    (Holds.FIELD, "field | land | farm | quarter | paddock | block | where cut | parcel"),
    (Holds.CROP, "crop | grain | crops | crop cut"),
    (
        Holds.MOVE,
        "in or out | in/out | i/o | dir | direction | move | type | what kind | entry | movement | tran | trans",
    ),
    (Holds.SERVICE, "service | svc | maintenance | serviced | upkeep"),
    (
        Holds.NUMBER,
        "part number | part no | part # | p/n | pn | part nr | article no | partno | stock no | item no | part num",
    ),
    (
        Holds.NOTE,
        "note | notes | remarks | remark | comment | comments | detail | details | story | text | memo | what we did there"
        " | more | other",
    ),
    (
        Holds.PAPER,
        "paper | invoice | inv | inv no | invoice no | inv # | ticket | receipt | bill no | doc | order no | po",
    ),
    (
        Holds.NOTHING,
        "nothing | no | nr | # | line | row | who | by | operator | driver | initials | supplier | vendor | store | weather"
        " | tax | phone | ok | checked | tag | seq | id | um | uom | temp | moisture | yield | bu/ac | fuel | running total",
    ),
)
_BY_HEADING: Final[dict[str, Holds]] = {
    " ".join(phrase.split()): holds for holds, text in _HEADINGS for phrase in text.split("|")
}
_UNIT: Final = re.compile(r"[(\[]\s*([^)\]]{1,12})\s*[)\]]")
_LAST_WORD: Final = re.compile(r"[\s,/]+([A-Za-z$€£%]{1,8})\.?$")
_UNITS: Final = frozenset({"h", "min", "ac", "ha", "$", "€", "£", "usd", "eur", "cad", "s", "d", "pcs", "ea"})
_MONEY: Final = frozenset({"$", "€", "£", "usd", "eur", "cad"})


@dataclass(frozen=True, slots=True)
class ColumnHeading:
    """A heading as it was read: what the column holds (None: no known word), and the unit it names ("" for none)."""

    holds: Holds | None
    unit: str = ""


@lru_cache(maxsize=4096)
def heading_of(text: str) -> ColumnHeading:
    """Read a heading: by a whole known phrase, also with a unit behind it ("Down (min)", "area ha", "Cost $")."""
    clean = folded(text).strip(" .:;*-_'\"")
    unit = ""
    inside = _UNIT.search(clean)
    if inside is not None:
        unit = _unit(inside[1])
        clean = _UNIT.sub(" ", clean).strip()
    clean = " ".join(clean.replace(".", " ").replace("_", " ").split())
    found = _BY_HEADING.get(clean)
    if found is None:
        last = _LAST_WORD.search(clean)
        if last is not None and _unit(last[1]):
            found = _BY_HEADING.get(clean[: last.start()].strip())
            unit = unit or _unit(last[1])
    if found in (Holds.AREA, Holds.AREA_METER) and not unit:
        unit = next((_unit(word) for word in clean.split() if _unit(word) in ("ac", "ha")), "")
    if found is Holds.STOOD and not unit:
        unit = next((_unit(word) for word in clean.split() if _unit(word) in ("h", "min")), "")
    return ColumnHeading(found, unit)


def _unit(word: str) -> str:
    unit = unit_called(word.strip(" .").removesuffix("."))
    return unit if unit in _UNITS else ""


def is_money(unit: str) -> bool:
    """Say whether a unit is a currency."""
    return unit in _MONEY


def holds_called(word: str) -> Holds | None:
    """Return what a column holds by the word that a person gives for it: its own word, or a heading for it."""
    clean = folded(word)
    if clean in {one.value for one in Holds}:
        return Holds(clean)
    return heading_of(clean).holds
