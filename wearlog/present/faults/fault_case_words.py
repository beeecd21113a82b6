"""One fault in words: signs, checks, steps, how it went the last time, what is still to be asked and what is undone on the machine.

Its answers are sheets beside.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

from wearlog.errors import DataError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, Evidence, FixEvidence, NodeKind, SignKind
from wearlog.facts.electrics import Answer, Opened
from wearlog.facts.plain_text import one_line
from wearlog.faults.checks import Check
from wearlog.faults.circuit import CONSUMERS, Circuit, Node
from wearlog.faults.data_line import Spot
from wearlog.faults.fuses import colour_of, refit
from wearlog.faults.line_order import EXPECTED_SEEN
from wearlog.faults.line_sides import side_names
from wearlog.faults.next_check import NextStep
from wearlog.faults.signs import Sign
from wearlog.present.digits import Measures
from wearlog.present.faults.check_form_words import LAMP_AT_FUSE, LAMP_AT_PLUG
from wearlog.present.faults.how_to_measure import lamp_sentence
from wearlog.present.words import word
from wearlog.reckoning.faults.fault_case import FaultCase, FirstQuestion, PastTime, TakenUp, Undone

NOT_ON_DIAGRAM: Final = "not on this diagram"

_EXAMPLE: Final = {"V": "12.1 V", "ohm": "60 ohm", "A": "0.04 A"}


def case_title(case: FaultCase) -> str:
    """Return "3. Tamarack: header fuse blows"."""
    return f"{case.number}. {case.machine.name}: {one_line(case.fault.title)}"


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
        CheckKind.TRY_IT: "try from the seat:",
        CheckKind.LAMP: "with a lamp in place of the fuse, open",
        CheckKind.BEYOND: "look beyond the diagram",
        CheckKind.UNWRAP: "open the cover of",
        CheckKind.MAKE_HAPPEN: "try to make it happen",
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
        CheckKind.TRY_IT: "trying",
        CheckKind.LAMP: "lamp in place of the fuse,",
        CheckKind.BEYOND: "look beyond the diagram",
        CheckKind.UNWRAP: "opening the cover of",
        CheckKind.MAKE_HAPPEN: "trying to make it happen",
    }[kind]


def last_time(past: PastTime, measures: Measures) -> str:
    """Return "last time (3 Aug 2025): checked 3, found at 4: Header plug pigtail, short to ground"."""
    return f"last time ({measures.date_said(past.fault.opened_at)}): {how_it_went(past)}"


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


def step_words(case: FaultCase, step: NextStep) -> str:
    """Return one step: "unplug Header plug (feeder house)", "repair Header ground (header frame)"."""
    if step.is_off_diagram:
        return "look beyond the diagram, or at a repair that did not take"
    if step.check is None:
        return f"repair {_placed(case.circuit, step.repair or '')}"
    return check_said(case.circuit, step.check, step.together)


def check_said(circuit: Circuit, check: Check, together: Sequence[Check] = ()) -> str:
    """Return a check as one does it: "unplug Header plug (feeder house)", "try from the seat: Reel lift valve, Stubble lights"."""
    if not check.node:
        return check_words(check.kind)
    if check.kind is CheckKind.TRY_IT:
        if check.expected == EXPECTED_SEEN:
            return f"ask the screen which it still sees: {', '.join(one.node for one in (check, *together))}"
        return f"{check_words(check.kind)} {', '.join(one.node for one in (check, *together))}"
    where = _placed(circuit, check.node)
    if check.kind is CheckKind.LAMP and check.node == check.second:
        return f"all loads unplugged, put a lamp in place of {where}"
    if check.kind is CheckKind.LAMP and circuit.node(check.node).kind in CONSUMERS:
        return f"with the lamp in place of {check.second}, plug back in {where}"
    if check.kind is CheckKind.LAMP:
        return f"with the lamp in place of {check.second}, open {where}"
    if check.spot is Spot.OPENED:
        one_side = len(side_names(circuit, check.node)) == 1
        return (
            f"unplug {where} and measure the line there" if one_side else f"open {where} and measure both sides of it"
        )
    held = {Spot.IN_HAND: ", taken out", Spot.SOCKET: ", in its empty socket"}.get(check.spot, "")
    return f"{check_words(check.kind)} {where}{held}"


def _placed(circuit: Circuit, name: str) -> str:
    place = one_line(circuit.node(name).place)
    return f"{name}{f' ({place})' if place else ''}"


def lamp_words(case: FaultCase, *, short: bool = False) -> str:
    """Return what the lamp showed where it was the last check: whoever stands before it goes on from there; else empty.

    In short only what the next step does not say by itself: a lamp that was dark has the loads plugged back.
    """
    results = case.suspects.case.results
    if not results or results[-1].check.kind is not CheckKind.LAMP:
        return ""
    check, verdict = results[-1].check, results[-1].verdict
    if not short:
        return lamp_sentence(case.circuit, check, verdict)
    dark = verdict is CheckVerdict.GOOD and check.node == check.second
    return "Lamp dark: plug the loads back one at a time." if dark else ""


def how_to_note(fault: int, step: NextStep, circuit: Circuit) -> Iterator[str]:
    """Say how to enter what the step showed, in words that can be typed as they stand."""
    begin = f"wearlog faults check {fault}"
    if step.is_off_diagram:
        yield f"Nothing there? Note it: {begin} beyond good"
    elif step.check is not None and step.check.spot is Spot.OPENED:
        opened = f"{begin} resistance '{step.check.node}' --held opened"
        for side, _ in step.sides:
            yield f"0 ohm towards {side}: {opened} --side '{side}'" if side else f"0 ohm on neither side: {opened} good"
    elif step.check is not None:
        for check in (step.check, *step.together):
            kind, node = check.kind.replace("_", "-"), f" '{check.node}'" if check.node else ""
            more = f" --in-place-of '{check.second}'" if check.second and check.second != check.node else ""
            held = "" if check.spot is Spot.PLUG else f" --held {check.spot.replace('_', '-')}"
            if check.band is not None:
                # end to end of a wire no line of 60 ohm is read
                example = "0.4 ohm" if check.kind is CheckKind.CONTINUITY else _EXAMPLE[check.band.unit]
                example = example if check.spot is Spot.PLUG else "120 ohm"
                measured = f" --measured '{example}'{held}"
                yield f"Note it: {begin} {kind}{node}{measured} (what you read), or good, bad, unclear"
            else:
                yield f"Note it: {begin} {kind}{node} good{more} ({_other_ends(circuit, check)})"
    elif step.repair is not None:
        yield f"Look before you cut into it, and note it: {begin} look '{step.repair}' bad (or good)"
        yield f"If it is still there after the repair: {begin} swap '{step.repair}' good"


def _other_ends(circuit: Circuit, check: Check) -> str:
    """The other words for how a check ended; of a lamp, dark or lit is what one sees, and each way stands for something else."""
    if check.kind is not CheckKind.LAMP:
        return "or bad, unclear"
    kind = circuit.node(check.node).kind
    dark_is_good = kind in CONSUMERS or kind is NodeKind.FUSE
    good, bad = LAMP_AT_FUSE if dark_is_good else LAMP_AT_PLUG
    return f"good: {good}; bad: {bad}; unclear: dim"


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


def case_json(case: FaultCase) -> dict[str, Any]:
    """Return which fault it is, as JSON."""
    return {
        "number": case.number,
        "id": case.fault.id,
        "machine": case.machine.name,
        "title": case.fault.title,
        "episode": len(case.before) + 1,
    }


_ASKED: Final[dict[FirstQuestion, tuple[str, str]]] = {
    FirstQuestion.OTHERS: (
        "Have you tried the other loads: all fine, some fail too, not tried?",
        "--others all-fine",
    ),
    FirstQuestion.PRESENT: ("Is it doing it now?", "--present yes"),
    FirstQuestion.WORKED_ON: (
        "Was anything worked on since it last ran right, and where?",
        "--worked-on 'header plug'",
    ),
    FirstQuestion.CONDITIONS: ("Is there no other condition under which it shows?", "--all-conditions"),
}

_PRESENT: Final = {
    Answer.YES: "it was there",
    Answer.NO: "it was not there",
    Answer.CANNOT_TELL: "nobody could tell whether it was there",
}

_IN_SHORT: Final[dict[FirstQuestion, str]] = {
    FirstQuestion.OTHERS: "the other loads?",
    FirstQuestion.PRESENT: "is it there now?",
    FirstQuestion.WORKED_ON: "worked on before?",
    FirstQuestion.CONDITIONS: "under no other condition?",
}


def questions_asked(questions: Sequence[FirstQuestion], *, short: bool = False) -> str:
    """Return the questions that were not answered, in one line; empty where all were."""
    return " ".join(_IN_SHORT[one] if short else _ASKED[one][0] for one in questions)


def taken_up_words(taken_up: TakenUp, measures: Measures) -> str:
    """Return who took a fault up last, whether it was there then, and what was left to say."""
    by = f" by {one_line(taken_up.person)}" if taken_up.person else ""
    there = f", {_PRESENT[taken_up.present]}" if taken_up.present else ""
    note = f": {one_line(taken_up.note)}" if taken_up.note else ""
    return f"Taken up {measures.time_said(taken_up.at)}{by}{there}{note}."


def question_lines(questions: Sequence[FirstQuestion], number: int) -> list[str]:
    """Return the questions that were not answered, and how to answer them; nothing where all were."""
    if not questions:
        return []
    answers = " ".join(_ASKED[one][1] for one in questions)
    return [f"Still to ask: {questions_asked(questions)}", f"  Note it: wearlog faults tell {number} {answers}"]


def undone_words(undone: Undone, number: int, measures: Measures) -> str:
    """Return what must be put back before the machine starts, and how to note that it is."""
    told = not_put_back(undone, measures)
    return f"NOT PUT BACK: {told}. Note it when it is: wearlog faults put-back {number}"


def not_put_back(undone: Undone, measures: Measures) -> str:
    """Return "unplugged at Header plug, since 16 Aug 2026 14:05 (cap on it)"."""
    where = f" at {undone.node}" if undone.node else ""
    what = "lamp in place of the fuse" if undone.opened is Opened.LAMP_IN_PLACE else word(undone.opened)
    note = f" ({one_line(undone.note)})" if undone.note else ""
    return f"{what}{where}, since {measures.time_said(undone.at)}{note}"
