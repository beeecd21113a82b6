"""Advice tried on simulated faults, the short form; `python -m tests.bench.fault_worlds` prints the long one (docs/methods.md)."""

from __future__ import annotations

import numpy as np
import pytest

from tests.fault_searches import (
    CHANCE_PER_MINUTE,
    FROM_THE_BATTERY,
    HALVING,
    SIZED,
    UNSIZED,
    Search,
    minutes,
    reliability,
    searches,
)
from tests.fault_trails import asked_questions
from wearlog.facts.closed_lists import SignKind
from wearlog.faults.circumstances import Circumstances
from wearlog.faults.diagram_text import parse_diagram
from wearlog.faults.signs import Sign
from wearlog.faults.suspects import Case, suspects_of
from wearlog.faults.two_faults import pair_share
from wearlog.faults.updating import after_repair

#: worlds of the short form: seeded, the same on every run
_WORLDS = 10


@pytest.fixture(scope="module")
def sized() -> list[Search]:
    return searches(SIZED, _WORLDS)


def wrong_repairs(found: list[Search]) -> int:
    return sum(one.wrong_repairs for one in found)


def test_sizes_silence_and_trying_others_find_a_fault_sooner_than_signs_and_verdicts(sized: list[Search]) -> None:
    plain = searches(UNSIZED, _WORLDS)
    assert minutes(sized).mean() < 0.8 * minutes(plain).mean()
    assert wrong_repairs(sized) <= wrong_repairs(plain)


@pytest.mark.parametrize("arm", [CHANCE_PER_MINUTE, HALVING, FROM_THE_BATTERY], ids=lambda arm: arm.name)
def test_thinking_ahead_finds_a_fault_sooner_than_the_plain_ways(sized: list[Search], arm) -> None:
    plain = searches(arm, _WORLDS)
    assert minutes(sized).mean() < minutes(plain).mean()
    assert wrong_repairs(sized) < wrong_repairs(plain)


def test_a_chance_said_of_a_place_is_about_how_often_it_is_there(sized: list[Search]) -> None:
    said = [pair for one in sized for pair in one.every]
    for chance, so, count in reliability(said, (0.05, 0.2, 0.5)):
        # places of one search hang together: some ten searches stand behind every bin
        assert abs(chance - so) < 0.05 + 3 * np.sqrt(chance * (1 - chance) / max(_WORLDS, count / 30))


def test_a_repair_in_vain_counts_against_its_place_in_pairs_too() -> None:
    """Two lamps dead on two fuses, others fine: two faults. What was mended in vain was advised twenty times over as one of two."""
    branches = [
        f"  F{n}: fuse 10 A\n    P{n}: connector, outside\n      L{n}: device, returns by G{n}\n" for n in range(4)
    ]
    grounds = "".join(f"G{n}: ground, returns by B\n" for n in range(4))
    circuit = parse_diagram("B: battery\n" + "".join(branches) + grounds)
    states = (SignKind.DEAD, SignKind.DEAD, SignKind.WORKING, SignKind.WORKING)
    signs = tuple(Sign(kind=state, node=f"L{n}") for n, state in enumerate(states))
    suspects = suspects_of(Case(circuit=circuit, signs=signs, circumstances=Circumstances()))
    at_plug = np.array([one.node == "P0" for one in suspects.hypotheses])
    before = pair_share(suspects)
    after = pair_share(after_repair(after_repair(suspects, "P0"), "P0"))
    assert before.chance_of_two > 0.1
    assert before.marginal[at_plug].sum() > 0.2
    assert after.marginal[at_plug].sum() < 0.1 * before.marginal[at_plug].sum()


@pytest.mark.parametrize("off_by", [1.0, 2.0])
def test_a_chance_that_a_fix_has_held_is_about_how_often_it_has(off_by: float) -> None:
    asked = asked_questions(np.random.default_rng(3), 500, off_by=off_by)
    held = np.array([one.held for one in asked], dtype=float)
    by_trail, by_hours = (np.array([getattr(one, name) for one in asked]) for name in ("by_trail", "by_hours"))
    for chance, so, count in reliability(list(zip(by_trail, held, strict=True)), (0.6, 0.75, 0.9)):
        assert abs(chance - so) < 0.03 + 2 * np.sqrt(chance * (1 - chance) / count)
    assert np.mean((by_trail - held) ** 2) < np.mean((by_hours - held) ** 2)
