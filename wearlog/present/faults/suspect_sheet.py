"""A fault's answers: the suspects with percentages that add up to 100, what to do next, and checklists as they were made."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from wearlog.facts.closed_lists import CheckKind, FaultMode
from wearlog.faults.next_check import NextStep
from wearlog.faults.sized_posterior import counted_results
from wearlog.faults.suspects import Suspect, Suspects
from wearlog.faults.two_faults import TwoFaults
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, box, data
from wearlog.present.digits import NOTHING, Measures, number, percent
from wearlog.present.faults.fault_case_words import (
    NOT_ON_DIAGRAM,
    case_json,
    case_title,
    check_name,
    fuse_words,
    how_it_went,
    last_time,
    sign_words,
    step_words,
)
from wearlog.present.faults.how_to_measure import how_to_measure, wire_words
from wearlog.present.faults.step_reason import what_it_tells, why_here_first
from wearlog.present.json_form import rounded
from wearlog.present.words import capital, listed, word
from wearlog.reckoning.faults.fault_case import Advice, FaultCase, MadeCheck, PastTime, place_order

#: said under every list of suspects: what the percentages rest on
RATES_NOTE: Final = (
    "The percentages rest on starting rates that are common practice without a source, and on what this farm has found."
)


def suspect_sheet(case: FaultCase, measures: Measures, *, most: int = 8) -> AnswerSheet[Suspect]:
    """Return the first `most` suspects, likeliest first, and all the others as one row that belongs to none of them."""
    found = case.suspects.listed(most)
    others = Suspect(None, FaultMode.NOT_FOUND, 0.0, found.others_percent, 0.0)

    def name(one: Suspect, _: Measures) -> str:
        return "others" if one is others else one.node or NOT_ON_DIAGRAM

    def what(one: Suspect, _: Measures) -> str:
        if one.node is None:
            return ""
        return f"{word(one.mode)}{', comes and goes' if one.intermittent_share > 0.5 else ''}"

    def place(one: Suspect, _: Measures) -> str:
        return case.circuit.node(one.node).place if one.node is not None else ""

    columns: tuple[AnswerColumn[Suspect], ...] = (
        AnswerColumn(
            "chance",
            lambda one, _: f"{one.percent} %" if one.percent or not one.chance else "under 1 %",
            "chance",
            lambda one, _: rounded(one.chance, 6),
            figures=True,
            tells_more=True,
        ),
        AnswerColumn("suspect", name, "node", lambda one, _: one.node, least=16, most=28),
        AnswerColumn("what", what, "mode", lambda one, _: one.mode, least=12, gives=1),
        AnswerColumn("place", place, least=8, most=24, gives=2),
    )

    def phrase(one: Suspect, measures: Measures) -> str:
        chance, who, wrong, _ = (column.cell(one, measures) for column in columns)
        return f"{chance} {who}: {wrong}" if wrong else f"{chance} {who}"

    return AnswerSheet(
        name="suspects",
        columns=columns,
        rows=found.suspects,
        measures=measures,
        headline=case_title(case),
        sentences=(*_known(case), *([last_time(case.before[0], measures)] if case.before else [])),
        elsewhere=others if found.others_percent else None,
        beside={"fault": case_json(case), "two_faults": _two_json(case), "place_after_place": _order_json(case)},
        key_of=id,
        about=phrase,
    )


def every_suspect(case: FaultCase, measures: Measures) -> AnswerSheet[Suspect]:
    """Return all of them, as in JSON; a node of null is a fault that is not on this diagram."""
    return suspect_sheet(case, measures, most=max(1, len(case.suspects.ranked())))


def _known(case: FaultCase) -> list[str]:
    """What the percentages rest on, how it went, and what one fault alone leaves open."""
    said = [RATES_NOTE, *_place_after_place(case)]
    if case.fault.closed_at is not None:
        said.append(f"this time: {how_it_went(case.this_time)}")
    return said if case.both is None else [*said, *two_fault_lines(case.suspects, case.both)]


def _place_after_place(case: FaultCase) -> list[str]:
    """Say what looking at one place after the other takes: what a meter in the middle of a circuit is better than."""
    order = place_order(case.suspects)
    if order is None or case.fault.closed_at is not None:
        return []
    first = ", ".join(order.places[:3])
    return [
        f"Looking alone, place after place, most chance for a minute first ({first}{', ...' if len(order.places) > 3 else ''}), "
        f"takes about {number(order.minutes)} min: without the walk, the meter and the repair, which 'wearlog faults next' counts "
        f"in. {number(order.fewest_checks, 1)} yes/no checks on the mean are the fewest that could tell."
    ]


def _order_json(case: FaultCase) -> dict[str, Any] | None:
    order = place_order(case.suspects)
    if order is None:
        return None
    return {
        "places": list(order.places),
        "minutes": rounded(order.minutes, 2),
        "likeliest_first_minutes": rounded(order.likeliest_first_minutes, 2),
        "bits": rounded(order.bits, 4),
        "fewest_checks": rounded(order.fewest_checks, 4),
    }


def two_fault_lines(suspects: Suspects, both: TwoFaults) -> Iterator[str]:
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
    result = counted_results(suspects.case.results)[index - len(signs)]
    return f"{check_name(result.check.kind)} {result.check.node}: {word(result.verdict)}"


def _two_json(case: FaultCase) -> dict[str, Any] | None:
    both = case.both
    if both is None:
        return None
    return {
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
    }


def _kind(step: NextStep, _: Measures) -> str:
    """A kind of check, "repair", or "look_beyond" where the diagram ends."""
    return step.check.kind.value if step.check else "look_beyond" if step.is_off_diagram else "repair"


def _minutes(step: NextStep, _: Measures) -> str:
    return f"{number(step.minutes)} min{'' if step.check else ', with seeing that it is cured'}"


def _why(case: FaultCase, first: NextStep | None, step: NextStep) -> str:
    """What a step would tell; of the first one also why it comes before a likelier place."""
    first_why = why_here_first(case.suspects, step) if step is first else ""
    return f"{what_it_tells(step)}. {capital(first_why)}" if first_why else what_it_tells(step)


def _how(case: FaultCase, step: NextStep) -> str:
    if step.check is not None:
        return how_to_measure(case.circuit, step.check)
    wire = wire_words(case.circuit.node(step.repair)) if step.repair else ""
    return f"The wire: {wire}." if wire else ""


def _step_columns(case: FaultCase, first: NextStep | None) -> tuple[AnswerColumn[NextStep], ...]:
    def why(step: NextStep, _: Measures) -> str:
        return _why(case, first, step)

    return (
        AnswerColumn("next", lambda step, _: step_words(case, step), "check", _kind, least=20, most=48),
        data("node", lambda step, _: step.check.node if step.check else step.repair),
        AnswerColumn("takes", _minutes, "minutes", lambda step, _: rounded(step.minutes, 1), least=6, most=36),
        AnswerColumn(
            "expect",
            lambda step, _: step.check.expected if step.check else "",
            "expect",
            lambda step, _: step.check.expected if step.check else None,
            least=12,
            most=60,
        ),
        AnswerColumn(
            "how",
            lambda step, _: _how(case, step),
            least=12,
            most=60,
            gives=2,
        ),
        AnswerColumn("why", why, "why", why, least=12, most=240, gives=1),
    )


def step_sheet(advice: Advice, measures: Measures) -> AnswerSheet[NextStep]:
    """Return what to do next, in order."""
    case = advice.case
    left = number(advice.steps[0].expected_minutes)
    return AnswerSheet(
        name="checks",
        columns=_step_columns(case, advice.steps[0] if advice.steps else None),
        rows=advice.steps,
        measures=measures,
        headline=case_title(case),
        sentences=(f"Until it is found and fixed: about {left} min from here.",),
        beside={
            "fault": case_json(case),
            "cautions": [caution.sentence for caution in advice.cautions],
            "expected_minutes": rounded(advice.steps[0].expected_minutes, 1),
            "fuses": [fuse_words(fuse) for fuse in advice.blown],
            "together": [check.node for check in advice.steps[0].together],
            "in_place_of": (advice.steps[0].check.second or None) if advice.steps[0].check else None,
            "sides": _sides(advice.steps[0]),
            "still_to_ask": list(advice.questions),
            "taken_up": _taken_up(case),
            "undone": [{"opened": one.opened, "node": one.node or None, "since": one.at} for one in advice.undone],
        },
        key_of=id,
    )


def _sides(step: NextStep) -> list[dict[str, object]]:
    """Of a plug that is opened: the chance that each side shows 0 ohm; without a node for neither."""
    return [{"node": name or None, "chance": rounded(chance, 6)} for name, chance in step.sides]


def _taken_up(case: FaultCase) -> dict[str, object] | None:
    one = case.taken_up
    if one is None:
        return None
    return {"at": one.at, "person": one.person or None, "present": one.present, "note": one.note or None}


def step_lines(sheet: AnswerSheet[NextStep]) -> list[str]:
    """Return the steps one under the other, each with what to expect and why: they are too long for a table."""
    lines = []
    for place, step in enumerate(sheet.rows, start=1):
        doing, takes, expect, how, reason = sheet.cells(step)
        lines.append(f"{place}. {doing}, {takes}")
        if expect:
            lines.append(f"   expect: {expect}")
        if how and place == 1:
            lines.append(f"   how: {how}")
        lines.append(f"   {reason}")
    return lines


def _made(one: MadeCheck) -> str:
    if one.kind in _WITHOUT_PLACE:
        return check_name(one.kind)
    return f"{check_name(one.kind)} {one.node or 'a place no longer drawn'}"


_WITHOUT_PLACE: Final = frozenset({CheckKind.BEYOND, CheckKind.MAKE_HAPPEN})

_CHECKLIST: Final[tuple[AnswerColumn[MadeCheck], ...]] = (
    AnswerColumn("step", lambda one, _: str(one.step), "step", lambda one, _: one.step, figures=True),
    AnswerColumn(
        "check",
        lambda one, _: _made(one),
        "check",
        lambda one, _: one.kind,
        most=48,
    ),
    data("node", lambda one, _: one.node or None),
    AnswerColumn("expected", lambda one, _: one.expected, "expected", lambda one, _: one.expected, most=36),
    AnswerColumn("measured", lambda one, _: one.measured, "measured", lambda one, _: one.measured, most=36),
    AnswerColumn("verdict", lambda one, _: word(one.verdict), "verdict", lambda one, _: one.verdict),
    AnswerColumn(
        "min",
        lambda one, _: NOTHING if one.minutes is None else number(one.minutes),
        "minutes",
        lambda one, _: rounded(one.minutes, 1),
        figures=True,
    ),
    box("next time: measured"),
    box("good or bad"),
)


def checklist_sheet(past: PastTime, measures: Measures) -> AnswerSheet[MadeCheck]:
    """Return a checklist as it was made: what was expected, what was measured, the verdict."""
    return AnswerSheet(
        name="checks", columns=_CHECKLIST, rows=past.checks, measures=measures, empty="No check was made.", key_of=id
    )


def checklist_told(sheet: AnswerSheet[MadeCheck]) -> list[str]:
    """Return a checklist for a narrow screen: each check with its verdict, and under it what was expected and what was seen."""
    lines = []
    for one in sheet.rows:
        step, check, expected, measured, verdict, minutes = sheet.cells(one)
        took = "" if minutes == NOTHING else f", {minutes} min"
        lines.append(f"{step}. {check}: {verdict.upper()}{took}")
        told = [*([f"expected {expected}"] if expected else []), *([f"seen {measured}"] if measured else [])]
        lines += [f"   {'; '.join(told)}"] if told else []
    return lines or [sheet.empty]
