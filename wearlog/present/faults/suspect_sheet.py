"""Who did it as an answer: the suspects of a fault with percentages that add up to 100, and what is known from last time."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from wearlog.facts.closed_lists import CheckVerdict, FaultMode
from wearlog.faults.suspects import Suspect, Suspects
from wearlog.faults.two_faults import TwoFaults
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet
from wearlog.present.digits import Measures, number, percent
from wearlog.present.faults.fault_case_words import (
    NOT_ON_DIAGRAM,
    case_json,
    case_title,
    check_name,
    how_it_went,
    last_time,
    sign_words,
)
from wearlog.present.json_form import rounded
from wearlog.present.words import listed, word
from wearlog.reckoning.faults.fault_case import FaultCase
from wearlog.reckoning.faults.place_order import place_order

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
        f"Looked at place after place, most chance for a minute first ({first}{', ...' if len(order.places) > 3 else ''}), it is "
        f"found in about {number(order.minutes)} min, walking left out; {number(order.fewest_checks, 1)} yes/no checks on the mean "
        "are the fewest that could tell."
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
    told = [r for r in suspects.case.results if r.verdict in (CheckVerdict.GOOD, CheckVerdict.BAD)]
    # of two results of one check at one place the later counts, at the place of the first
    latest = {(result.check.kind, result.check.node): result for result in told}
    result = list(latest.values())[index - len(signs)]
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
