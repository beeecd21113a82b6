"""Checks of a fault as answers: what to do next with what a sound circuit shows there, and a checklist as it was made."""

from __future__ import annotations

from typing import Final

from wearlog.facts.closed_lists import CheckKind
from wearlog.faults.next_check import NextStep
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, box, data
from wearlog.present.digits import NOTHING, Measures, number, percent
from wearlog.present.faults.fault_case_words import (
    NOT_ON_DIAGRAM,
    case_json,
    case_title,
    check_name,
    fuse_words,
    step_words,
)
from wearlog.present.faults.how_to_measure import how_to_measure, wire_words
from wearlog.present.json_form import rounded
from wearlog.present.words import word
from wearlog.reckoning.faults.fault_case import Advice, FaultCase, MadeCheck, PastTime


def _kind(step: NextStep, _: Measures) -> str:
    """A kind of check, "repair", or "look_beyond" where the diagram ends."""
    return step.check.kind.value if step.check else "look_beyond" if step.is_off_diagram else "repair"


def _minutes(step: NextStep, _: Measures) -> str:
    return f"{number(step.minutes)} min{'' if step.check else ', with seeing that it is cured'}"


def _why(step: NextStep, _: Measures) -> str:
    """What a step would tell."""
    if step.check is None:
        where = "it is on nothing that is drawn" if step.is_off_diagram else "it sits there"
        return f"{percent(step.bad_chance)} that {where}"
    if step.if_bad is None or step.if_good is None:
        return f"{percent(step.bad_chance)} that it is bad"
    bad, good = (suspect.node or NOT_ON_DIAGRAM for suspect in (step.if_bad, step.if_good))
    what = "does not work" if step.check.kind is CheckKind.TRY_IT else "is bad"
    sound = "works" if step.check.kind is CheckKind.TRY_IT else "is good"
    first = f"{step.check.node}" if step.together else "it"
    return f"{percent(step.bad_chance)} that {first} {what}; likeliest then: {bad}; if it {sound}: {good}"


def _how(case: FaultCase, step: NextStep) -> str:
    if step.check is not None:
        return how_to_measure(case.circuit, step.check)
    wire = wire_words(case.circuit.node(step.repair)) if step.repair else ""
    return f"The wire: {wire}." if wire else ""


def _step_columns(case: FaultCase) -> tuple[AnswerColumn[NextStep], ...]:
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
        AnswerColumn("why", _why, "why", lambda step, measures: _why(step, measures), least=12, most=100, gives=1),
    )


def step_sheet(advice: Advice, measures: Measures) -> AnswerSheet[NextStep]:
    """Return what to do next, in order."""
    case = advice.case
    left = number(advice.steps[0].expected_minutes)
    return AnswerSheet(
        name="checks",
        columns=_step_columns(case),
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
            "still_to_ask": list(advice.questions),
            "taken_up": _taken_up(case),
            "undone": [{"opened": one.opened, "node": one.node or None, "since": one.at} for one in advice.undone],
        },
        key_of=id,
    )


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
