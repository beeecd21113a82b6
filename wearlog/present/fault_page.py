"""One fault as a page of a screen: what to read first, the next check, suspects on the drawing, checklists. Draws nothing."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.cautions import BOOK_COMES_FIRST
from wearlog.facts.closed_lists import CheckKind, FaultMode
from wearlog.facts.plain_text import one_line
from wearlog.faults.circuit import Circuit
from wearlog.faults.diagram_drawing import draw_diagram
from wearlog.faults.next_check import NextStep
from wearlog.present.digits import Measures, number, percent
from wearlog.present.fault_case_words import (
    NOT_ON_DIAGRAM,
    RATES_NOTE,
    check_name,
    checklist_lines,
    fuse_words,
    how_it_went,
    last_time,
    sign_words,
    step_words,
    suspect_lines,
    why,
)
from wearlog.present.fault_trail_words import ordinal, trail_lines
from wearlog.present.words import counted, listed, word
from wearlog.reckoning.fault_case import Advice, FaultCase
from wearlog.reckoning.fault_trail import FaultTrail

#: so wide that no line of a drawing is cut: the screen cuts it to its own width
_WIDE = 400


@dataclass(frozen=True, slots=True)
class StepWords:
    """The next thing to do. `kind` None: a repair; `node` empty as well: look beyond the diagram."""

    kind: CheckKind | None
    node: str
    doing: str
    minutes: str
    expect: str
    why: str
    whole: str


@dataclass(frozen=True, slots=True)
class DrawnNode:
    """One line of the drawing with the chance that the fault sits there; empty where it is under half a per cent."""

    node: str
    line: str
    percent: str
    likely: bool


@dataclass(frozen=True, slots=True)
class CasePage:
    """A fault in words.

    Attributes
    ----------
    fault_id, machine_id : UUID
    title, about : str
        `about` says how often it came and what was seen.
    suspects : tuple of str
        Likeliest first, in one phrase each.
    cautions : tuple of str
        What to read before the first check; later only what the next step adds.
    is_begun, is_open : bool
        Whether a check was made, and whether the fault is open.
    step : StepWords or None
        None when it is closed.
    fuses : tuple of str
    drawing : tuple of DrawnNode
    checklist, before : tuple of str
        This time's checklist, and that of the last time, with its heading.
    last_time : str
    guess_node : str
        The likeliest place, and `guess_mode` what is wrong there.
    nodes : tuple of str
    """

    fault_id: UUID
    machine_id: UUID
    title: str
    about: str
    suspects: tuple[str, ...]
    note: str
    cautions: tuple[str, ...]
    is_begun: bool
    is_open: bool
    step: StepWords | None
    fuses: tuple[str, ...]
    drawing: tuple[DrawnNode, ...]
    checklist: tuple[str, ...]
    before: tuple[str, ...]
    last_time: str
    guess_node: str
    guess_mode: FaultMode
    nodes: tuple[str, ...]


def case_page(case: FaultCase, advice: Advice | None, measures: Measures) -> CasePage:
    """Return a fault in words; without advice for one that is closed."""
    first = next((one for one in case.suspects.ranked() if one.node is not None), None)
    fault = case.fault
    before = case.before[0] if case.before else None
    return CasePage(
        fault_id=fault.id,
        machine_id=case.machine.id,
        title=f"{case.number}. {case.machine.name}: {one_line(fault.title)}",
        about=_about(case, measures),
        suspects=tuple(_suspects(case)),
        note=_two_faults(case, measures) or RATES_NOTE,
        cautions=(*(one.sentence for one in advice.cautions), BOOK_COMES_FIRST) if advice and advice.cautions else (),
        is_begun=bool(case.checks),
        is_open=fault.closed_at is None,
        step=step_page(case, advice.steps[0]) if advice else None,
        fuses=tuple(fuse_words(fuse) for fuse in advice.blown) if advice else (),
        drawing=drawn_nodes(case.circuit, case.suspects.node_chances()[:-1].tolist()),
        checklist=tuple(checklist_lines(case.this_time)),
        before=() if before is None else (last_time(before, measures), *checklist_lines(before)),
        last_time="" if before is None else last_time(before, measures),
        guess_node=first.node if first and first.node else "",
        guess_mode=first.mode if first else FaultMode.NOT_FOUND,
        nodes=tuple(node.name for node in case.circuit.nodes),
    )


def step_page(case: FaultCase, step: NextStep) -> StepWords:
    """Return what to do next, with what a sound circuit shows there."""
    minutes = f"{number(step.minutes)} min{'' if step.check else ', with seeing that it is cured'}"
    return StepWords(
        kind=step.check.kind if step.check else None,
        node=(step.check.node if step.check else step.repair) or "",
        doing=step_words(case, step),
        minutes=minutes,
        expect=step.check.expected if step.check else "",
        why=why(step),
        whole=f"about {number(step.expected_minutes)} min from here until it is found and fixed",
    )


def drawn_nodes(circuit: Circuit, chances: list[float] | None = None) -> tuple[DrawnNode, ...]:
    """Return the drawing line by line, each with its node and its chance."""
    lines = draw_diagram(circuit, width=_WIDE).splitlines()
    shares = dict(zip((node.name for node in circuit.nodes), chances or [0.0] * len(circuit.nodes), strict=True))
    most = max(shares.values(), default=0.0)
    return tuple(
        DrawnNode(
            name,
            one,
            percent(shares[name]) if shares[name] >= 0.005 else "",
            shares[name] >= 0.1 or 0 < most == shares[name],
        )
        for name, one in zip(_in_drawing_order(circuit), lines, strict=True)
    )


def _in_drawing_order(circuit: Circuit) -> list[str]:
    found, waiting = [], list(reversed(circuit.tree_children(None)))
    while waiting:
        name = waiting.pop()
        found.append(name)
        waiting += reversed(circuit.tree_children(name))
    return found


def _about(case: FaultCase, measures: Measures) -> str:
    nth = len(case.before) + 1
    fault = case.fault
    seen = [sign_words(sign) for sign in case.suspects.case.signs]
    when = [word(one) for one in fault.conditions]
    parts = [
        f"since {measures.day(fault.opened_at)}"
        if fault.closed_at is None
        else f"closed {measures.day(fault.closed_at)}",
        f"here for the {ordinal(nth)} time" if nth > 1 else "here for the first time",
        f"seen: {', '.join(seen)}" if seen else "no sign noted",
        *([f"when {listed(when)}"] if when else []),
    ]
    if fault.closed_at is not None:
        parts.append(how_it_went(case.this_time))
    return "; ".join(parts)


def _suspects(case: FaultCase, most: int = 8) -> list[str]:
    listing = case.suspects.listed(most)
    found = []
    for one in listing.suspects:
        shown = f"{one.percent} %" if one.percent or not one.chance else "under 1 %"
        if one.node is None:
            found.append(f"{shown} {NOT_ON_DIAGRAM}")
            continue
        coming = ", comes and goes" if one.intermittent_share > 0.5 else ""
        found.append(f"{shown} {one.node}: {word(one.mode)}{coming}")
    return [*found, *([f"{listing.others_percent} % others"] if listing.others_percent else [])]


def _two_faults(case: FaultCase, measures: Measures) -> str:
    """The first sentence of what one fault leaves open, where it does."""
    if case.both is None:
        return ""
    lines = suspect_lines(case, measures)
    start = next((place for place, line in enumerate(lines) if line.startswith("No single fault")), None)
    return " ".join(lines[start : start + 2]) if start is not None else ""


def check_said(kind: CheckKind, node: str) -> str:
    """Return a check as a heading: "voltage at Header plug"."""
    return f"{check_name(kind)} {node}"


def trail_page(trail: FaultTrail, measures: Measures) -> tuple[str, ...]:
    """Return a trail as lines, its heading first: its times, what follows from them, how the count grew, every checklist."""
    checklists = [
        line
        for past in reversed(trail.times)
        for line in ("", f"CHECKLIST OF {measures.day(past.fault.opened_at)}", *checklist_lines(past))
    ]
    return (*trail_lines(trail, measures), "", *count_lines(trail, measures), *checklists)


def count_lines(trail: FaultTrail, measures: Measures) -> list[str]:
    """Return the count so far, year by year, as bars: steps of one height are a fault that stays as it is."""
    years = [measures.local(past.fault.opened_at).year for past in trail.times]
    rows, count = [f"COUNT SO FAR: {counted(len(years), 'time')}"], 0
    for year in range(min(years), max(years) + 1):
        new = years.count(year)
        count += new
        rows.append(f"  {year} {'█' * (4 * count)} {count}{f' (+{new})' if new else ''}")
    return rows
