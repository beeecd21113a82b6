"""What was heard in a plain line: frozen records, one for each thing that would be saved. They read nothing and save nothing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum, unique
from uuid import UUID

from wearlog.facts.closed_lists import Action, Cause, Condition, MeterKind, Mode, SignKind, StockChange
from wearlog.logbook.quickline.vocabulary import KnownComponent, KnownMachine


@unique
class LineVerdict(StrEnum):
    """What a line is: what would be saved of it, or that somebody has to be asked first."""

    ENTRY = "entry"
    PLANNED = "planned"
    FAULT = "fault"
    READING = "reading"
    CUT = "cut"
    SERVICE = "service"
    STOCK = "stock"
    QUESTION = "question"


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A run that was said: its area in square metres, where, with what, and when it began and ended, if said."""

    area_square_metres: int
    header_id: UUID | None = None
    field_id: UUID | None = None
    crop_id: UUID | None = None
    started_at: datetime | None = None
    ended_at: datetime | None = None
    hours_seconds: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stocked:
    """Parts that came, went back or were counted; `unit_cost_minor` None where no price was said."""

    part_id: UUID | None
    change: StockChange
    quantity: int
    unit_cost_minor: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardEntry:
    """One thing that a line says.

    Attributes
    ----------
    what : LineVerdict
        What it is saved as.
    kind : str
        The kind of part; of a fault the thing, of a reading the meter, of a service its name.
    positions : tuple of int
        Ascending, each once; empty where the thing has none.
    cause, mode, action : Cause, Mode, Action or None
        None where they do not apply.
    sign : SignKind or None
        What the thing of a fault does.
    at : datetime
        When, in UTC.
    stood_seconds, labour_seconds : int or None
        How long it stood and how long people worked; None when not said.
    amount : str
        The figure of readings, cuts, stock and services with its unit, as it is said back.
    note : str
        What is kept word for word.
    """

    what: LineVerdict
    machine: KnownMachine | None = None
    component: KnownComponent | None = None
    kind: str = ""
    positions: tuple[int, ...] = ()
    cause: Cause | None = None
    mode: Mode | None = None
    action: Action | None = None
    sign: SignKind | None = None
    conditions: tuple[Condition, ...] = ()
    at: datetime
    stood_seconds: int | None = None
    labour_seconds: int | None = None
    amount: str = ""
    note: str = ""
    meter: MeterKind | None = None
    usage: int | None = None
    service_id: UUID | None = None
    cost_minor: int | None = None
    work: Work | None = None
    stocked: Stocked | None = None
    part_id: UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """A whole line, heard.

    Attributes
    ----------
    entries : tuple of HeardEntry
        What would be saved, in the order of the line; where a question stands, what is sure all the same.
    assumed : tuple of str
        What was not said and is taken for granted: cause, mode, action, at, year, day, time, machine, positions ...
    corrected : tuple of str
        Misspelt words and what they were read as: "knive read as knife".
    question : str
        What has to be answered before anything is saved; empty when nothing has.
    person : str
        Who did it, where the line says so; empty: nobody is named, or it stays open whether a person is meant.
    dated : bool
        The line says when it was.
    read_at : datetime
        The moment at which it was heard, in UTC.
    """

    verdict: LineVerdict
    entries: tuple[HeardEntry, ...]
    assumed: tuple[str, ...] = ()
    corrected: tuple[str, ...] = ()
    question: str = ""
    hint: str = ""
    person: str = ""
    dated: bool = False
    timed: bool = False
    read_at: datetime
