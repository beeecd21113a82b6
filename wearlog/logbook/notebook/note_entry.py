"""What a row of a notebook says, and what has to be asked of it: frozen records and closed lists."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum, unique
from uuid import UUID

from wearlog.facts.closed_lists import Action, Cause, MeterKind, Mode
from wearlog.logbook.notebook.holds import Holds


@unique
class Means(StrEnum):
    """What a row is; the last six save nothing."""

    BREAKAGE = "breakage"
    READING = "reading"
    RUN = "run"
    PURCHASE = "purchase"
    RETURN = "return"
    PLANNED = "planned"
    SERVICE = "service"
    FAULT = "fault"
    STOPPAGE = "stoppage"
    COUNT = "count"
    SEASON_ACRES = "season acres"
    OPEN = "open"
    OTHER = "other"
    TITLE = "title"
    HEADINGS = "headings"
    SEASON_HEADING = "season heading"
    TOTAL = "total"
    COMMENT = "comment"


#: rows of these say nothing to save
SAVES_NOTHING = frozenset({Means.OTHER, Means.TITLE, Means.HEADINGS, Means.SEASON_HEADING, Means.TOTAL, Means.COMMENT})


@unique
class Ask(StrEnum):
    """Why a row must not be saved before somebody has answered."""

    MACHINE = "machine_open"
    PART = "part_open"
    POSITIONS = "positions_open"
    BEYOND = "position_beyond"
    DATE = "date_open"
    NO_DATE = "date_impossible"
    TWO_DATES = "date_two_ways"
    NEGATIVE = "figure_negative"
    IMPOSSIBLE = "figure_impossible"
    BACKWARDS = "meter_backwards"
    UNIT = "unit_open"
    TWICE = "same_row_twice"
    CONTRADICTION = "contradiction"
    QUANTITY = "quantity_open"
    MEANING = "meaning_open"
    CHANGED = "row_changed"


# not frozen, though nobody changes one: a frozen one takes four times as long to make, and there is one for each row
@dataclass(slots=True, kw_only=True)
class NoteEntry:
    """One thing that a row says. None where it does not say.

    Attributes
    ----------
    machine : str
        Its name in the log; of a run the combine. `machine_id` is None where it is still to be made.
    positions : tuple of int
        Ascending; `every` where all of them are meant.
    stood_seconds, labour_seconds : int or None
    shares_stop : bool
        The machine stood once for this and for the entry above it; the time counts there.
    cost_minor, unit_cost_minor : int or None
        In minor units of money.
    shown_usage : int or None
        What the meter showed, in seconds or square metres.
    area_square_metres : int or None
        `area_said` is the figure and unit as they stand in the cell.
    """

    what: Means
    machine: str = ""
    machine_id: UUID | None = None
    header: str = ""
    header_id: UUID | None = None
    kind: str = ""
    kind_id: UUID | None = None
    component_id: UUID | None = None
    positions: tuple[int, ...] | None = None
    every: bool = False
    day: date | None = None
    time: str = ""
    cause: Cause | None = None
    mode: Mode | None = None
    action: Action | None = None
    stood_seconds: int | None = None
    labour_seconds: int | None = None
    shares_stop: bool = False
    cost_minor: int | None = None
    part: str = ""
    part_id: UUID | None = None
    meter: MeterKind | None = None
    new_meter: bool = False
    shown_usage: int | None = None
    area_square_metres: int | None = None
    area_said: tuple[str, str] | None = None
    worked_seconds: int | None = None
    quantity: int | None = None
    unit_cost_minor: int | None = None
    service: str = ""
    service_id: UUID | None = None
    field_name: str = ""
    crop_name: str = ""
    season: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What is asked of a row: the reason, the sentence, which of its cells the answer stands for, and what may be answered.

    `missing` is what the row names and nobody knows.
    """

    ask: Ask
    says: str
    about: Holds
    choices: tuple[str, ...] = ()
    missing: str = ""


# not frozen, though nobody changes one: a frozen one takes four times as long to make, and there is one for each row
@dataclass(slots=True, kw_only=True)
class NoteRow:
    """A row as it is understood.

    Attributes
    ----------
    row : int
        Its number as a spreadsheet counts, from 1.
    columns : str
        "A-E" where two tables lie side by side.
    said : str
        What stands in it.
    cells : mapping of Holds to str
        The same by what its columns hold.
    granted : tuple of str
        What is taken for granted.
    """

    sheet: str
    row: int
    columns: str = ""
    said: str
    cells: Mapping[Holds, str] = field(default_factory=dict)
    means: tuple[Means, ...]
    entries: tuple[NoteEntry, ...] = ()
    question: Question | None = None
    granted: tuple[str, ...] = ()
    digest: str = ""

    @property
    def place(self) -> tuple[str, int, str]:
        """Where it stands."""
        return self.sheet, self.row, self.columns

    @property
    def is_sure(self) -> bool:
        """True when it says something to save and nothing has to be asked."""
        return self.question is None and bool(self.entries)
