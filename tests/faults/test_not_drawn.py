"""A fault on nothing drawn: it may take one load alone, and is looked for when that finds more a minute than small checks."""

from __future__ import annotations

import pytest

from wearlog.facts.closed_lists import CheckKind, CheckVerdict, SignKind
from wearlog.facts.electrics import OthersTried, Told
from wearlog.faults.checks import Check
from wearlog.faults.circumstances import Circumstances
from wearlog.faults.diagram_text import parse_diagram
from wearlog.faults.next_check import next_step
from wearlog.faults.not_drawn import alone_factor, silence_alone
from wearlog.faults.results import Result
from wearlog.faults.signs import Sign
from wearlog.faults.suspects import Case, suspects_of

DEAD = Sign(kind=SignKind.DEAD, node="L0", told=Told.FIRST)
CIRCUIT = parse_diagram(
    "B: battery\n  F: fuse 10 A\n"
    + "".join(f"    P{n}: connector\n      L{n}: device, returns by G\n" for n in range(6))
    + "G: ground, returns by B\n"
)


def works(*loads: int) -> dict[str, bool]:
    return {f"L{number}": True for number in loads}


def test_one_load_alone_of_six_by_hand() -> None:
    """Half of them as before, half one of six alone: dead .6 against .25, each further one works .985 against .5."""
    assert alone_factor([DEAD], {}, 6, 0.0) == pytest.approx(0.5 + 0.5 * 0.6 / 0.25 / 6)
    assert alone_factor([DEAD], works(1, 2, 3), 6, 0.0) == pytest.approx(
        0.5 + 0.5 * 0.6 / 0.25 / 6 * (0.985 / 0.5) ** 3
    )


def test_nothing_told_to_fail_and_a_second_one_that_fails_speak_for_no_load_alone() -> None:
    assert alone_factor([Sign(kind=SignKind.WORKING, node="L0")], works(1), 6, 0.05) == 1.0
    assert alone_factor([DEAD], {"L1": False}, 6, 0.0) == pytest.approx(0.5 + 0.5 * 0.6 / 0.25 / 6 * 0.015 / 0.5)


def off_after(*loads: int) -> float:
    tried = tuple(
        Result(check=Check(kind=CheckKind.TRY_IT, node=f"L{number}", minutes=1.0), verdict=CheckVerdict.GOOD)
        for number in loads
    )
    case = Case(circuit=CIRCUIT, signs=(DEAD,), circumstances=Circumstances(), results=tried)
    return float(suspects_of(case).node_chances()[-1])


def test_loads_that_work_do_not_rule_out_what_is_not_drawn() -> None:
    """Each by itself they would leave a thirtieth of it; a device and a plug of one load alone stay as likely as ever."""
    assert off_after(1, 2, 3, 4, 5) > 0.25 * off_after()


def test_one_load_alone_explains_silence_by_hand() -> None:
    """Five nobody spoke of: each fails by .015 and is told by .35, works by .985 and is told by .10; first of 1 + 5 x .015."""
    each = 0.015 * 0.65 + 0.985 * 0.90
    assert silence_alone(5, 0, 0.35, 0.0) == pytest.approx(each**5 / (1 + 5 * 0.015))
    assert silence_alone(5, 1, 0.35, 0.0) == pytest.approx(each**5 / (2 + 5 * 0.015))
    assert silence_alone(0, 0, 0.35, 0.05) == 1.0
    assert alone_factor([DEAD], {}, 6, 0.0, 2.5) == pytest.approx(0.5 + 0.5 * 0.6 / 0.25 / 6 * 2.5)


def test_all_others_fine_speaks_for_what_is_not_drawn_as_for_a_load_that_fails_by_itself() -> None:
    """Most of what is drawn above six loads takes all of them; what is not drawn need not be thought to do so."""
    loads = "".join(f"      L{n}: device, returns by G\n" for n in range(6))
    circuit = parse_diagram(f"B: battery\n  F: fuse 10 A\n    P: connector\n{loads}G: ground, returns by B\n")

    def beside_the_load(others: OthersTried | None) -> float:
        found = suspects_of(Case(circuit=circuit, signs=(DEAD,), circumstances=Circumstances(others_tried=others)))
        chances = found.node_chances()
        return float(chances[-1] / chances[[node.name for node in circuit.nodes].index("L0")])

    assert beside_the_load(OthersTried.ALL_FINE) > 0.85 * beside_the_load(None)


def test_beyond_the_diagram_comes_before_small_checks_that_find_less_a_minute() -> None:
    looked = [
        Result(check=Check(kind=kind, node=node, minutes=3.0), verdict=CheckVerdict.GOOD)
        for node in ("L0", "P0", "F", "G", "B")
        for kind in (CheckKind.LOOK, CheckKind.WIGGLE, CheckKind.CONTINUITY)
    ]
    tried = [
        Result(check=Check(kind=CheckKind.TRY_IT, node=f"L{n}", minutes=1.0), verdict=CheckVerdict.GOOD)
        for n in range(1, 6)
    ]
    case = Case(
        circuit=CIRCUIT,
        signs=(DEAD,),
        circumstances=Circumstances(),
        results=(*tried, *looked),
        repairs_tried=("L0", "P0", "L0", "P0", "F", "G"),
    )
    suspects = suspects_of(case)
    assert next_step(suspects).is_off_diagram
    assert not next_step(suspects, without=frozenset({CheckKind.BEYOND})).is_off_diagram
