"""The closed lists of warranty, rounds, and of what comes in from outside, beside those of closed_lists."""

from __future__ import annotations

from enum import StrEnum, unique


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
