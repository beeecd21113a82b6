"""What was understood of a line, and what was not: frozen records without any reading of text."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.logbook.quickline.vocabulary import KnownComponent, KnownMachine


@dataclass(frozen=True, slots=True)
class Problem:
    """Something in the line that must be settled by the person who wrote it.

    Attributes
    ----------
    code : str
        A short name for programs, such as "unknown_word".
    message, hint : str
        One plain sentence what is wrong, and one what to do.
    column : int
        Where in the line as it was typed, counted from 1.
    """

    code: str
    message: str
    hint: str
    column: int


@dataclass(frozen=True, slots=True)
class Understanding:
    """A line, understood.

    Attributes
    ----------
    machine, component : KnownMachine, KnownComponent or None
        Where it broke; None when the line does not settle it.
    positions : tuple of int
        Ascending, each once.
    downtime_seconds, labour_seconds : int or None
        How long the machine stood and how long people worked; None when not said.
    at : datetime
        When it broke, in UTC.
    read_at : datetime
        The moment at which the line was understood, in UTC: "today" is counted from it.
    note : str
        The free remark, word for word.
    assumed : tuple of str
        What was not said and taken for granted: any of "machine", "cause", "mode", "action", "at", and of a date "year", "time".
    problems : tuple of Problem
        In the order of the line.
    """

    machine: KnownMachine | None
    component: KnownComponent | None
    positions: tuple[int, ...]
    cause: Cause
    mode: Mode
    action: Action
    downtime_seconds: int | None
    labour_seconds: int | None
    at: datetime
    read_at: datetime
    note: str
    assumed: tuple[str, ...]
    problems: tuple[Problem, ...]
