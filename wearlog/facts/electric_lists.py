"""The closed lists of looking for an electrical fault, beside those of closed_lists."""

from __future__ import annotations

from enum import StrEnum, unique


@unique
class Told(StrEnum):
    """How a sign came to be known: said at once and unasked, said when the fault was told, or found by trying."""

    FIRST = "first"
    SAID = "said"
    TRIED = "tried"


@unique
class Answer(StrEnum):
    """A plain answer to a plain question; what was not asked is not an answer."""

    YES = "yes"
    NO = "no"
    CANNOT_TELL = "cannot_tell"


@unique
class OthersTried(StrEnum):
    """What the operator says of the other loads when a fault is told."""

    ALL_FINE = "all_fine"
    SOME_FAIL = "some_fail"
    NOT_TRIED = "not_tried"


@unique
class Supplied(StrEnum):
    """The state of the machine in which a reading was taken."""

    OFF = "off"
    RESTED = "rested"
    JUST_CHARGED = "just_charged"
    KEY_ON = "key_on"
    CRANKING = "cranking"
    RUNNING = "running"


@unique
class Opened(StrEnum):
    """What was undone on the machine while a fault was looked for, and must be put back."""

    UNPLUGGED = "unplugged"
    FUSE_OUT = "fuse_out"
    LAMP_IN_PLACE = "lamp_in_place"
    BATTERY_LEAD_OFF = "battery_lead_off"
    HEADER_ON_STOPS = "header_on_stops"
    SWITCHED_OFF = "switched_off"
    OTHER = "other"


@unique
class FixKind(StrEnum):
    """What sort of repair a finding got; it says how often such a repair has failed."""

    JOINT_MADE = "joint_made"
    PART_SWAPPED = "part_swapped"
    PROVED_UNDER_LOAD = "proved_under_load"
    OTHER = "other"


@unique
class ReadingUnit(StrEnum):
    """What the figure of an electrical check counts; stored in millionths of it."""

    VOLT = "volt"
    OHM = "ohm"
    AMPERE = "ampere"
