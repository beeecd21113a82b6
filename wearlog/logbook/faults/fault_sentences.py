"""What is entered of an electrical fault, and the sentence of each such deed: said before it is saved, kept by the history."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from wearlog.facts.closed_lists import CheckKind, CheckVerdict, Condition, FaultMode, FixEvidence, word
from wearlog.facts.electrics import Answer, OthersTried, Supplied
from wearlog.facts.plain_text import one_line
from wearlog.faults.data_line import Spot, opened_said
from wearlog.logbook.said.measures import FarmSpeaker


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckEntry:
    """A check as a person notes it.

    Attributes
    ----------
    kind : CheckKind
        A swap that changed nothing, or a repair that did not cure it, is a swap with the verdict good.
    node : str
        Beginning of the name of the place; empty for a look beyond the diagram and for trying to make it happen.
    measured : str
        What was seen or read: "0.3 V", "chafed to the copper".
    verdict : CheckVerdict or None
        None: the measured number decides, where a published rule judges it.
    duration_seconds : int or None
    supplied : Supplied or None
        The state of the machine when a meter was read.
    load_on : bool or None
    battery_volts : float or None
        The battery's own reading in the same state.
    second : str
        The fuse that a lamp stands for; empty: the one above the place. Of a plug opened on a data line the next place on the side
        that shows 0 ohm.
    held : str
        Of a terminator: `in_hand`, or its empty `socket`; of a plug of a data line: `opened`, both sides measured.
    """

    kind: CheckKind
    node: str = ""
    measured: str = ""
    verdict: CheckVerdict | None = None
    duration_seconds: int | None = None
    supplied: Supplied | None = None
    load_on: bool | None = None
    battery_volts: float | None = None
    second: str = ""
    held: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingEntry:
    """What a fault was, as a person notes it.

    Attributes
    ----------
    node : str
        Beginning of the name of the place; empty when it was not found.
    mode : FaultMode
    fix : str
    evidence : FixEvidence or None
        None: seen, if a look at that place was bad; inferred, if not; cleared by itself, if nothing was found.
    fuse_milliamperes : int or None
        The fuse that was put in; only the circuit's own rating is taken.
    """

    node: str = ""
    mode: FaultMode = FaultMode.NOT_FOUND
    fix: str = ""
    evidence: FixEvidence | None = None
    fuse_milliamperes: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldMore:
    """Answers to the questions before the first check; what is empty was not answered.

    Attributes
    ----------
    others : OthersTried or None
    worked_on : str
        What was worked on since it last ran right, places by their names; "nothing" is an answer.
    all_conditions : bool
        Whether the operator was asked for every condition: only then silence about one is an answer.
    present : Answer or None
        Whether the fault is there now; begins a visit.
    person : str
        Who works on it from now on; begins a visit too.
    note : str
        Of the visit.
    signs : tuple of str
        What more was seen, as `read_sign` takes it.
    conditions : str
        Under which it shows as well, such as "rain, header raised".
    """

    others: OthersTried | None = None
    worked_on: str = ""
    all_conditions: bool = False
    present: Answer | None = None
    person: str = ""
    note: str = ""
    signs: tuple[str, ...] = ()
    conditions: str = ""


def opened_sentence(
    speak: FarmSpeaker, machine: str, title: str, signs: Sequence[str], conditions: Sequence[Condition], at: datetime
) -> str:
    """Say "opened on Kestrel: lights out (Left light dead, dew), 28 Jul 2026 14:05"."""
    seen = ", ".join([*signs, *map(word, conditions)])
    return f"opened on {machine}: {title}{f' ({seen})' if seen else ''}, {speak.time_said(at)}"


def check_sentence(
    speak: FarmSpeaker,
    title: str,
    step: int,
    entry: CheckEntry,
    node: str,
    verdict: CheckVerdict | None,
    at: datetime,
) -> str:
    """Say "check 3 of 'lights out': voltage Header plug, 0.2 V, bad, 28 Jul 2026 14:05"; `verdict` None is left out."""
    state = [word(entry.supplied)] if entry.supplied else []
    state += [] if entry.load_on is None else ["load on" if entry.load_on else "no load"]
    state += [] if entry.battery_volts is None else [f"battery {entry.battery_volts:g} V"]
    measured = one_line(entry.measured)
    if entry.held == Spot.OPENED:
        measured = opened_said(entry.second, measured, neither=verdict is CheckVerdict.GOOD)
    found = ", ".join(part for part in (measured, *state, word(verdict)) if part)
    where = f"{word(entry.kind)} {node}".strip()
    return f"check {step} of '{title}': {where}, {found}, {speak.time_said(at)}"


def tries_sentence(speak: FarmSpeaker, title: str, tries: Sequence[tuple[str, str]], at: datetime) -> str:
    """Say "tried for 'lights out': Reel lift valve working, Stubble lights dead, 28 Jul 2026 14:05"."""
    told = ", ".join(f"{name} {did}" for name, did in tries)
    return f"tried for '{title}': {told}, {speak.time_said(at)}"


def closed_sentence(speak: FarmSpeaker, title: str, entry: FindingEntry, node: str, at: datetime) -> str:
    """Say "closed 'lights out': open at Header plug, new pins, 15 A fuse, 28 Jul 2026 14:05"."""
    fix = fix_said(entry)
    where = f" at {node}" if node else ""
    return f"closed '{title}': {word(entry.mode)}{where}{f', {fix}' if fix else ''}, {speak.time_said(at)}"


def fix_said(entry: FindingEntry) -> str:
    """Say what was done, with the fuse that was put in."""
    fuse = "" if entry.fuse_milliamperes is None else f"{entry.fuse_milliamperes / 1000:g} A fuse"
    return ", ".join(part for part in (one_line(entry.fix), fuse) if part)
