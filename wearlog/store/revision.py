"""The shapes that the tables have had, known without loading the migrations (a test holds the two together), and the step to each.

What a version of an older revision says is brought to today's shape by one pure step for each migration, chained. A step is
written once, with its migration, and never changed: it must mean for ever what it meant when it was released. So it knows nothing
of today's facts, only the JSON that a version of the revision before held.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, Final, TypeAlias

#: stands in the header of every file of ours ("WEAR"); SQLite keeps it at byte 68
APPLICATION_ID: Final = 0x57454152

#: what a row of a table said, as JSON holds it
Content: TypeAlias = dict[str, Any]

Lift: TypeAlias = Callable[[str, Content], Content]

_ADDED_BY_0002: Mapping[str, Content] = MappingProxyType(
    {
        "machine": {"serial_number": "", "engine_number": "", "type_name": ""},
        "crop": {"seed_milligrams_per_thousand": None, "price_minor_per_tonne": None, "loss_per_day_millionths": None},
        "run": {"conditions": []},
        "part_kind": {"endangers_people": False},
        "part": {
            "warranty_months": None,
            "warranty_usage": None,
            "warranty_covers": None,
            "warranty_from": None,
            "warranty_pro_rata": False,
        },
        "repair": {"invoice": "", "person_id": None},
        "breakage": {
            "broke_fitting_ids": [],
            "followed_fitting_ids": [],
            "seen_whole_at": None,
            "caused_by_id": None,
        },
        "stock_move": {"part_order_id": None, "service_done_id": None},
        "service_item": {
            "component_id": None,
            "first_usage": None,
            "times": None,
            "halved": False,
            "ended_at": None,
        },
        "service_done": {"person_id": None},
        "circuit_node": {
            "wire_colour": "",
            "wire_number": "",
            "wire_gauge": "",
            "pins": "",
            "splice_place": "",
            "length_millimetres": None,
            "photo": "",
            "shared": False,
        },
        "fault": {"conditions_asked": False, "others_tried": None, "worked_on": ""},
        "fault_sign": {"told": None, "in_use": None},
        "fault_check": {
            "fault_visit_id": None,
            "reading_micros": None,
            "reading_unit": None,
            "lowest_micros": None,
            "highest_micros": None,
            "over_range": False,
            "load_on": None,
            "supplied": None,
            "battery_micros": None,
            "second_node_id": None,
            "place": "",
        },
        "fault_finding": {"fix_kind": None},
        "loss_check": {"uncut_per_hectare": None},
    }
)


def lift_to_0002(table: str, content: Content) -> Content:
    """Positions, conditions and words become lists; what is new stands at "nobody said"."""
    new = {**content, **_ADDED_BY_0002.get(table, {})}
    if table == "breakage":
        new["positions"] = _positions_0001(content.get("positions") or "")
    elif table == "fault":
        new["conditions"] = [word for word in (content.get("conditions") or "").split(",") if word]
    elif table == "part_kind":
        new["words"] = [word.strip() for word in (content.get("words") or "").split(",") if word.strip()]
    return new


def _positions_0001(text: str) -> list[int]:
    """Read positions as 0001 stored them: "41-43, 50", ascending."""
    found: list[int] = []
    for piece in text.split(","):
        first, _, last = piece.strip().partition("-")
        if first:
            found += range(int(first), int(last or first) + 1)
    return found


#: the revision that a step leads to -> the step
LIFTS: Mapping[str, Lift] = MappingProxyType({"0002": lift_to_0002})

#: every revision there has been, oldest first; the last is what this program reads and writes
REVISIONS: Final = ("0001", *LIFTS)
HEAD: Final = REVISIONS[-1]


def lifted(table: str, content: Content, revision: str) -> Content:
    """Return what a version of an older revision says in the shape of the newest.

    Raises
    ------
    ValueError
        When the revision is not one of this program's.
    """
    for step in REVISIONS[REVISIONS.index(revision) + 1 :] if revision in REVISIONS else _unknown(revision):
        content = LIFTS[step](table, content)
    return content


def _unknown(revision: str) -> tuple[str, ...]:
    raise ValueError(f"revision {revision} is not known to this program")
