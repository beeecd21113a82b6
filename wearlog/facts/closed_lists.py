"""The closed lists of the trade that facts choose from. A value is what is stored; `present` knows the words a person sees.

Order matters where a list is shown: the usual choice stands first.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum, unique
from types import MappingProxyType


@unique
class MachineKind(StrEnum):
    COMBINE = "combine"
    HEADER = "header"
    TRACTOR = "tractor"
    TRUCK = "truck"
    CART = "cart"


@unique
class MeterKind(StrEnum):
    """What wears a part. Hour meters and the calendar count seconds, the area meter square metres."""

    AREA = "area"
    SEPARATOR_HOURS = "separator_hours"
    ENGINE_HOURS = "engine_hours"
    CALENDAR = "calendar"


@unique
class Ground(StrEnum):
    CLEAN = "clean"
    FEW_STONES = "few_stones"
    STONY = "stony"
    VERY_STONY = "very_stony"


@unique
class CutHeight(StrEnum):
    HIGH = "high"
    MEDIUM = "medium"
    LOW = "low"
    ON_THE_GROUND = "on_the_ground"


@unique
class CropState(StrEnum):
    STANDING = "standing"
    LEANING = "leaning"
    LODGED = "lodged"
    SWATHED = "swathed"


@unique
class StopReason(StrEnum):
    BREAKDOWN = "breakdown"
    WEATHER = "weather"
    WAITING = "waiting"
    MOISTURE = "moisture"
    SERVICE = "service"
    OTHER = "other"


@unique
class Subsystem(StrEnum):
    HEADER = "header"
    FEEDER = "feeder"
    THRESHING = "threshing"
    SEPARATOR = "separator"
    CLEANING = "cleaning"
    GRAIN_HANDLING = "grain_handling"
    UNLOADING = "unloading"
    RESIDUE = "residue"
    ENGINE = "engine"
    FUEL = "fuel"
    DRIVELINE = "driveline"
    GROUND_DRIVE = "ground_drive"
    RUNNING_GEAR = "running_gear"
    HYDRAULICS = "hydraulics"
    ELECTRICAL = "electrical"
    MONITORING = "monitoring"
    CAB = "cab"
    SAFETY = "safety"


@unique
class Evidence(StrEnum):
    """What a figure rests on; it travels with the figure to the person who reads it."""

    PUBLISHED = "published"
    FROM_MEMORY = "from_memory"
    COMPUTED = "computed"
    COMMON_PRACTICE = "common_practice"
    MACHINE_BOOK = "machine_book"
    OWN_RECORDS = "own_records"
    NEIGHBOURS = "neighbours"


@unique
class Dimension(StrEnum):
    """How the wear of a kind is measured, if it is."""

    NONE = "none"
    LENGTH_OVER_PITCHES = "length_over_pitches"
    THICKNESS = "thickness"
    GAP = "gap"
    DEPTH = "depth"


@unique
class Cause(StrEnum):
    IMPACT = "impact"
    WEAR = "wear"
    FATIGUE = "fatigue"
    LOOSE = "loose"
    SECONDARY = "secondary"
    UNKNOWN = "unknown"


@unique
class Mode(StrEnum):
    BROKEN = "broken"
    BENT = "bent"
    CRACKED = "cracked"
    MISSING = "missing"
    WORN = "worn"
    STRETCHED = "stretched"
    TORN = "torn"
    LOOSE = "loose"
    SEIZED = "seized"
    LEAKING = "leaking"
    FAILED = "failed"


@unique
class Action(StrEnum):
    """What was done about a breakage. Only `replaced` makes the position as good as new."""

    REPLACED = "replaced"
    MENDED = "mended"
    LEFT = "left"


@unique
class Removal(StrEnum):
    """Why a fitting came off its position."""

    BROKE = "broke"
    PLANNED = "planned"
    MOVED = "moved"
    SCRAPPED = "scrapped"


@unique
class RepairKind(StrEnum):
    BREAKDOWN = "breakdown"
    PLANNED = "planned"
    OVERHAUL = "overhaul"


@unique
class StockChange(StrEnum):
    """`counted` states how many there are; the others say how many came or went."""

    RECEIVED = "received"
    USED = "used"
    RETURNED = "returned"
    COUNTED = "counted"


@unique
class Hazard(StrEnum):
    """The kinds of danger whose cautions stand before a task."""

    UNDER_HEADER = "under_header"
    KNIFE = "knife"
    UNPLUGGING = "unplugging"
    HYDRAULIC = "hydraulic"
    ELECTRICAL = "electrical"
    ROTATING_DRIVE = "rotating_drive"
    HOT_PART = "hot_part"
    GRAIN_TANK = "grain_tank"
    BATTERY = "battery"
    FIRE = "fire"
    TIRE = "tire"
    LIFTING = "lifting"
    SPRING = "spring"


@unique
class NodeKind(StrEnum):
    BATTERY = "battery"
    FUSE = "fuse"
    RELAY = "relay"
    SWITCH = "switch"
    CONNECTOR = "connector"
    WIRE_RUN = "wire_run"
    SPLICE = "splice"
    DEVICE = "device"
    SENSOR = "sensor"
    CONTROLLER = "controller"
    TERMINATOR = "terminator"
    GROUND = "ground"
    ALTERNATOR = "alternator"


@unique
class EdgeKind(StrEnum):
    FEED = "feed"
    RETURN = "return"
    BUS = "bus"


@unique
class SignKind(StrEnum):
    """What the operator saw at a node (or at the fuse) while a fault was open."""

    DEAD = "dead"
    ERRATIC = "erratic"
    WORKING = "working"
    FUSE_BLEW_AT_ONCE = "fuse_blew_at_once"
    FUSE_BLEW_LATER = "fuse_blew_later"
    FUSE_BLEW_ON_MOVEMENT = "fuse_blew_on_movement"
    FUSE_WHOLE = "fuse_whole"
    CODE = "code"
    WEAK = "weak"
    STAYS_ON = "stays_on"
    WRONG_THING = "wrong_thing"


@unique
class Condition(StrEnum):
    RAIN = "rain"
    DEW = "dew"
    ROUGH_GROUND = "rough_ground"
    TANK_FULL = "tank_full"
    HEADER_RAISED = "header_raised"
    TURNING = "turning"
    HOT = "hot"
    COLD = "cold"
    DUST = "dust"
    AFTER_WASH = "after_wash"


@unique
class CheckKind(StrEnum):
    LOOK = "look"
    VOLTAGE = "voltage"
    VOLTAGE_DROP = "voltage_drop"
    CONTINUITY = "continuity"
    RESISTANCE = "resistance"
    UNPLUG = "unplug"
    WIGGLE = "wiggle"
    SWAP = "swap"
    TRY_IT = "try_it"
    LAMP = "lamp"
    BEYOND = "beyond"
    UNWRAP = "unwrap"
    MAKE_HAPPEN = "make_happen"


@unique
class CheckVerdict(StrEnum):
    GOOD = "good"
    BAD = "bad"
    UNCLEAR = "unclear"
    NOT_DONE = "not_done"


@unique
class FaultMode(StrEnum):
    OPEN = "open"
    SHORT_TO_GROUND = "short_to_ground"
    HIGH_RESISTANCE = "high_resistance"
    FAILED_DEVICE = "failed_device"
    OVERLOAD = "overload"
    NOT_FOUND = "not_found"
    SHORT_TO_POWER = "short_to_power"
    REVERSED = "reversed"


@unique
class FixEvidence(StrEnum):
    SEEN = "seen"
    INFERRED = "inferred"
    CLEARED_BY_ITSELF = "cleared_by_itself"


@unique
class Sensor(StrEnum):
    """What is calibrated; the unit of the two values follows from it (see facts/quality.py)."""

    YIELD_LOAD = "yield_load"
    MOISTURE = "moisture"
    GROUND_SPEED = "ground_speed"
    AREA_COUNT = "area_count"
    HEADER_HEIGHT = "header_height"


@unique
class Choice(StrEnum):
    REPLACE = "replace"
    RUN = "run"


@unique
class Doing(StrEnum):
    """What a version did to its row."""

    ENTERED = "entered"
    EDITED = "edited"
    VOIDED = "voided"
    UNDONE = "undone"
    SETTLED = "settled"


@unique
class WarrantyCover(StrEnum):
    PART = "part"
    PART_AND_LABOUR = "part_and_labour"


@unique
class WarrantyFrom(StrEnum):
    """From which day a warranty counts."""

    FITTING = "fitting"
    RECEIPT = "receipt"


@unique
class Round(StrEnum):
    """Which round of looking a machine over."""

    PRE_SEASON = "pre_season"
    END_OF_SEASON = "end_of_season"
    DAILY = "daily"
    OTHER = "other"


@unique
class Condemned(StrEnum):
    """What was found at one line of a round."""

    GOOD = "good"
    WATCH = "watch"
    ORDER = "order"
    FAILED = "failed"
    NOT_LOOKED_AT = "not_looked_at"


@unique
class LineState(StrEnum):
    """What became of a line of a note or a row of a notebook."""

    TAKEN = "taken"
    ASKED = "asked"
    SET_ASIDE = "set_aside"


@unique
class Exchanged(StrEnum):
    """Which way a bundle went between two copies of a log."""

    SENT = "sent"
    TAKEN_IN = "taken_in"


_OWN_WORDS: Mapping[StrEnum, str] = MappingProxyType(
    {
        Cause.IMPACT: "rock or foreign object",
        Cause.SECONDARY: "followed from another breakage",
        Cause.UNKNOWN: "cause unknown",
        FixEvidence.SEEN: "damage seen and repaired",
        FixEvidence.INFERRED: "inferred, not seen",
        FixEvidence.CLEARED_BY_ITSELF: "cleared by itself",
        MeterKind.AREA: "area cut",
        MeterKind.CALENDAR: "days",
        StopReason.WAITING: "waiting for trucks or others",
    }
)


def word(member: StrEnum | None) -> str:
    """Return how a person says a member of a closed list; nothing for None."""
    if member is None:
        return ""
    return _OWN_WORDS.get(member, member.value.replace("_", " "))
