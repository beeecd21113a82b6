"""One fault in words and as JSON: its suspects, what one fault leaves open, the next checks, the checklist of last time."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from wearlog.errors import DataError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, Evidence, FixEvidence, SignKind
from wearlog.facts.plain_text import one_line
from wearlog.faults.circuit import Circuit, Node
from wearlog.faults.diagram_drawing import Beside, draw_diagram
from wearlog.faults.fuses import colour_of, refit
from wearlog.faults.next_check import NextStep
from wearlog.faults.signs import Sign
from wearlog.faults.suspects import Suspect, Suspects
from wearlog.faults.two_faults import TwoFaults
from wearlog.present.digits import NOTHING, Measures, number, percent
from wearlog.present.json_form import rounded
from wearlog.present.tables import Column, text_table
from wearlog.present.words import listed, word
from wearlog.reckoning.fault_case import Advice, FaultCase, PastTime

NOT_ON_DIAGRAM = "not on this diagram"
#: said under every list of suspects: what the percentages rest on
RATES_NOTE = (
    "The percentages rest on starting rates that are common practice without a source, and on what this farm has found."
)


def suspect_lines(case: FaultCase, measures: Measures, *, most: int = 8) -> list[str]:
    """Return who did it, with percentages that add up to 100, and what is known from last time."""
    listing = case.suspects.listed(most)
    columns = (Column("chance", figures=True), Column("suspect", widest=28), Column("what"), Column("place", widest=24))
    rows = [_suspect_cells(case.circuit, suspect) for suspect in listing.suspects]
    if listing.others_percent:
        rows.append((f"{listing.others_percent} %", "others", "", ""))
    lines = [
        f"{case.number}. {case.machine.name}: {one_line(case.fault.title)}",
        "",
        *text_table(columns, rows),
        "",
        RATES_NOTE,
    ]
    if case.fault.closed_at is not None:
        lines += ["", f"this time: {how_it_went(case.this_time)}"]
    if case.both is not None:
        lines += ["", *_both_lines(case.suspects, case.both)]
    if case.before:
        lines += ["", last_time(case.before[0], measures)]
    return lines


def _suspect_cells(circuit: Circuit, suspect: Suspect) -> tuple[str, ...]:
    shown = f"{suspect.percent} %" if suspect.percent or not suspect.chance else "under 1 %"
    if suspect.node is None:
        return (shown, NOT_ON_DIAGRAM, "", "")
    coming = ", comes and goes" if suspect.intermittent_share > 0.5 else ""
    return (shown, suspect.node, f"{word(suspect.mode)}{coming}", circuit.node(suspect.node).place)


def _both_lines(suspects: Suspects, both: TwoFaults) -> Iterator[str]:
    """Say that one fault is not enough, without making two surer than they are: a sign misread is often likelier."""
    left = listed([_observation(suspects, index) for index in both.unexplained])
    yield f"No single fault explains everything; the best leaves open: {left}."
    if both.chance_of_two < 0.5:
        two = percent(both.chance_of_two)
        yield f"Likelier that something was misread or is not drawn, so look at it once more; two faults at once: {two}."
    else:
        yield f"Two faults at once: {percent(both.chance_of_two)}."
    for pair in (one for one in both.pairs[:3] if one.percent):
        first = f"{pair.first_node} ({word(pair.first_mode)})"
        second = f"{pair.second_node} ({word(pair.second_mode)})"
        same = pair.first_node == pair.second_node
        together = f"two wires of {first}" if same else f"{first} with {second}"
        yield f"  if two, {pair.percent} %: {together}"


def _observation(suspects: Suspects, index: int) -> str:
    signs = suspects.case.signs
    if index < len(signs):
        return sign_words(signs[index])
    told = [r for r in suspects.case.results if r.verdict in (CheckVerdict.GOOD, CheckVerdict.BAD)]
    # of two results of one check at one place the later counts, at the place of the first
    latest = {(result.check.kind, result.check.node): result for result in told}
    result = list(latest.values())[index - len(signs)]
    return f"{check_name(result.check.kind)} {result.check.node}: {word(result.verdict)}"


def sign_words(sign: Sign) -> str:
    """Return a sign as a person says it."""
    if sign.kind is SignKind.CODE:
        return f"code {sign.spn}/{sign.fmi}{f' at {sign.node}' if sign.node else ''}"
    state = word(sign.kind).removeprefix("fuse ")
    return f"{sign.node or 'the fuse'} {state}"


def check_words(kind: CheckKind) -> str:
    """Return what one does: "measure the voltage at", "unplug"."""
    return {
        CheckKind.LOOK: "look at",
        CheckKind.VOLTAGE: "measure the voltage at",
        CheckKind.VOLTAGE_DROP: "measure the voltage drop across",
        CheckKind.CONTINUITY: "measure the continuity of",
        CheckKind.RESISTANCE: "measure the resistance of",
        CheckKind.UNPLUG: "unplug",
        CheckKind.WIGGLE: "wiggle",
        CheckKind.SWAP: "swap",
    }[kind]


def check_name(kind: CheckKind) -> str:
    """Return what was done, as a heading: "voltage at", "unplugging"."""
    return {
        CheckKind.LOOK: "look at",
        CheckKind.VOLTAGE: "voltage at",
        CheckKind.VOLTAGE_DROP: "voltage drop across",
        CheckKind.CONTINUITY: "continuity of",
        CheckKind.RESISTANCE: "resistance of",
        CheckKind.UNPLUG: "unplugging",
        CheckKind.WIGGLE: "wiggling",
        CheckKind.SWAP: "swap or repair of",
    }[kind]


def last_time(past: PastTime, measures: Measures) -> str:
    """Return "last time (2025-08-03): checked 3, found at 4: Header plug pigtail, short to ground"."""
    return f"last time ({measures.day(past.fault.opened_at)}): {how_it_went(past)}"


def how_it_went(past: PastTime) -> str:
    """Return how many checks it took, and what was found at which."""
    if past.finding is None or not past.node:
        return f"checked {len(past.checks)}, not found"
    found = f"{past.node}, {word(past.finding.mode)}"
    if past.found_at is not None:
        before = sum(one.step < past.found_at for one in past.checks)
        return f"checked {before}, found at {before + 1}: {found}"
    sure = "" if past.finding.evidence is FixEvidence.SEEN else f" ({word(past.finding.evidence)})"
    return f"checked {len(past.checks)}, no check showed it; taken to be {found}{sure}"


def checklist_lines(past: PastTime) -> list[str]:
    """Return a checklist as it was made: what was expected, what was measured, the verdict."""
    columns = (
        Column("step", figures=True),
        Column("check", widest=48),
        Column("expected", widest=36),
        Column("measured", widest=36),
        Column("verdict"),
        Column("min", figures=True),
    )
    rows = [
        (
            str(one.step),
            f"{check_name(one.kind)} {one.node or 'a place no longer drawn'}",
            one.expected,
            one.measured,
            word(one.verdict),
            NOTHING if one.minutes is None else number(one.minutes),
        )
        for one in past.checks
    ]
    return text_table(columns, rows) if rows else ["No check was made."]


def advice_lines(advice: Advice, measures: Measures) -> list[str]:
    """Return what to do next, in order, with what a sound circuit shows."""
    case = advice.case
    lines = [f"{case.number}. {case.machine.name}: {one_line(case.fault.title)}"]
    if case.before:
        lines += [last_time(case.before[0], measures), *(f"  {line}" for line in checklist_lines(case.before[0]))]
    for place, step in enumerate(advice.steps, start=1):
        lines.append(f"{place}. {step_words(case, step)}, {_minutes(step)}")
        if step.check is not None:
            lines.append(f"   expect: {step.check.expected}")
        lines.append(f"   {why(step)}")
    lines.append(f"Until it is found and fixed: about {number(advice.steps[0].expected_minutes)} min from here.")
    lines += _how_to_note(case.number, advice.steps[0])
    return lines + [fuse_words(fuse) for fuse in advice.blown]


def _minutes(step: NextStep) -> str:
    return f"{number(step.minutes)} min{'' if step.check else ', with seeing that it is cured'}"


def _how_to_note(fault: int, step: NextStep) -> Iterator[str]:
    """Say how to enter what the step showed, in words that can be typed as they stand."""
    begin = f"wearlog faults check {fault}"
    if step.check is not None:
        yield f"Note it: {begin} {step.check.kind.replace('_', '-')} '{step.check.node}' good (or bad, unclear)"
    elif step.repair is not None:
        yield f"Look before you cut into it, and note it: {begin} look '{step.repair}' bad (or good)"
        yield f"If it is still there after the repair: {begin} swap '{step.repair}' good"


def step_words(case: FaultCase, step: NextStep) -> str:
    """Return one step: "unplug Header plug (feeder house)", "repair Header ground (header frame)"."""
    name = step.check.node if step.check else step.repair
    if name is None:
        return "look beyond the diagram, or at a repair that did not take"
    place = one_line(case.circuit.node(name).place)
    doing = check_words(step.check.kind) if step.check else "repair"
    return f"{doing} {name}{f' ({place})' if place else ''}"


def why(step: NextStep) -> str:
    """Return what a step would tell."""
    if step.check is None:
        where = "it is on nothing that is drawn" if step.is_off_diagram else "it sits there"
        return f"{percent(step.bad_chance)} that {where}"
    if step.if_bad is None or step.if_good is None:
        return f"{percent(step.bad_chance)} that it is bad"
    bad, good = (suspect.node or NOT_ON_DIAGRAM for suspect in (step.if_bad, step.if_good))
    return f"{percent(step.bad_chance)} that it is bad; likeliest then: {bad}; if it is good: {good}"


def fuse_words(fuse: Node) -> str:
    """Return which fuse to put back: the circuit's own rating and no other."""
    if fuse.rating_milliamperes is None:
        return f"{fuse.name}: put back the rating that the fuse panel's own list says, never a larger one."
    rated = refit(fuse.rating_milliamperes, fuse.rating_milliamperes)
    try:
        entry = colour_of(rated)
        sure = " by memory" if entry.evidence is Evidence.FROM_MEMORY else ""
        colour = f" ({entry.colour}{sure})"
    except DataError:
        colour = ""
    return f"{fuse.name}: put back {rated / 1000:g} A{colour}, the same rating and never a larger one."


def suspects_drawn(case: FaultCase, *, width: int, ascii_only: bool = False) -> list[str]:
    """Return the machine's diagram with the chance of each place beside it."""
    chances = case.suspects.node_chances()[:-1]
    beside = tuple(
        Beside(node.name, percent(chance))
        for node, chance in zip(case.circuit.nodes, chances.tolist(), strict=True)
        if chance >= 0.005
    )
    return draw_diagram(case.circuit, width=width, ascii_only=ascii_only, beside=beside).splitlines()


def suspects_json(case: FaultCase) -> dict[str, Any]:
    """Return every suspect with its chance; a node of null is a fault that is not on this diagram."""
    both = case.both
    return {
        "fault": _fault(case),
        "suspects": [
            {"node": one.node, "mode": one.mode, "chance": rounded(one.chance, 6)} for one in case.suspects.ranked()
        ],
        "two_faults": None
        if both is None
        else {
            "chance": rounded(both.chance_of_two, 6),
            "unexplained": [_observation(case.suspects, index) for index in both.unexplained],
            "pairs": [
                {
                    "nodes": [one.first_node, one.second_node],
                    "modes": [one.first_mode, one.second_mode],
                    "chance": rounded(one.chance, 6),
                }
                for one in both.pairs
            ],
        },
    }


def advice_json(advice: Advice) -> dict[str, Any]:
    """Return the next steps; `check` is a kind of check, "repair", or "look_beyond" where the diagram ends."""
    return {
        "fault": _fault(advice.case),
        "cautions": [caution.sentence for caution in advice.cautions],
        "expected_minutes": rounded(advice.steps[0].expected_minutes, 1),
        "checks": [_step(step) for step in advice.steps],
        "fuses": [fuse_words(fuse) for fuse in advice.blown],
    }


def _step(step: NextStep) -> dict[str, Any]:
    check = step.check.kind.value if step.check else ("look_beyond" if step.is_off_diagram else "repair")
    return {
        "check": check,
        "node": step.check.node if step.check else step.repair,
        "minutes": rounded(step.minutes, 1),
        "expect": step.check.expected if step.check else None,
        "why": why(step),
    }


def _fault(case: FaultCase) -> dict[str, Any]:
    return {
        "number": case.number,
        "id": case.fault.id,
        "machine": case.machine.name,
        "title": case.fault.title,
        "episode": len(case.before) + 1,
    }
