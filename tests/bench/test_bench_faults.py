"""How the time of suspects and next check grows with the diagram, and what thinking ahead saves. Ratios of one run."""

from __future__ import annotations

from time import perf_counter, process_time

import numpy as np
import pytest

from tests.references.search_outcome import after_outcome
from tests.references.wrong_repair import after_wrong_repair
from wearlog.facts.closed_lists import SignKind
from wearlog.faults.checks import checks_for, repair_minutes
from wearlog.faults.circuit import Circuit
from wearlog.faults.circumstances import Circumstances
from wearlog.faults.diagram_text import parse_diagram
from wearlog.faults.lookahead import lookahead_step
from wearlog.faults.next_check import next_step
from wearlog.faults.outcomes import bad_chances
from wearlog.faults.search_problem import SearchProblem, bits_per_minute, reduced
from wearlog.faults.signs import Sign
from wearlog.faults.starting_diagrams import starting_diagram
from wearlog.faults.suspects import Case, suspects_of


def harness(devices: int) -> Circuit:
    """One fuse, a plug for every four devices."""
    lines = ["Battery: battery", "  Fuse: fuse 20 A", "    Harness: wire run, passes edge"]
    for number in range(devices):
        if number % 4 == 0:
            lines.append(f"      Plug {number}: connector, outside")
        lines.append(f"        Light {number}: device, returns by Frame")
    return parse_diagram("\n".join([*lines, "Frame: ground, returns by Battery"]))


def seconds(circuit: Circuit) -> tuple[float, float]:
    case = Case(
        circuit=circuit, signs=(Sign(kind=SignKind.DEAD, node="Light 0"), Sign(kind=SignKind.ERRATIC, node="Light 5"))
    )
    begun = perf_counter()
    suspects = suspects_of(case)
    posterior = perf_counter() - begun
    begun = perf_counter()
    next_step(suspects)
    return posterior, perf_counter() - begun


@pytest.mark.bench
def test_four_times_the_diagram_costs_less_than_forty_times_the_time(capsys: pytest.CaptureFixture[str]) -> None:
    small, large = (np.min([seconds(harness(devices)) for _ in range(3)], axis=0) for devices in (20, 80))
    ratios = large / small
    with capsys.disabled():
        print(
            f"\n20 -> 80 devices: suspects x{ratios[0]:.1f}, next check x{ratios[1]:.1f} ({large[0]:.3f} s, {large[1]:.3f} s)"
        )
    assert ratios.max() < 40


#: processor seconds allowed on a diagram of 500 nodes, the rows of the drawing built (a machine of two slow cores)
_SUSPECTS_SECONDS, _NEXT_SECONDS = 0.3, 1.0


@pytest.mark.bench
def test_five_hundred_nodes_are_weighed_and_advised_at_once(capsys: pytest.CaptureFixture[str]) -> None:
    circuit = harness(398)
    case = Case(
        circuit=circuit,
        signs=(Sign(kind=SignKind.DEAD, node="Light 0"), Sign(kind=SignKind.ERRATIC, node="Light 5")),
        circumstances=Circumstances(),
    )
    assert len(circuit.nodes) >= 500
    begun = process_time()
    suspects_of(case)
    first = process_time() - begun
    weighing, advising = [], []
    for _ in range(3):
        begun = process_time()
        suspects = suspects_of(case)
        weighing.append(process_time() - begun)
        begun = process_time()
        next_step(suspects)
        advising.append(process_time() - begun)
    with capsys.disabled():
        print(
            f"\n{len(circuit.nodes)} nodes, processor time: first {first:.2f} s, suspects {min(weighing):.2f} s", end=""
        )
        print(f", next {min(advising):.2f} s")
    assert min(weighing) < _SUSPECTS_SECONDS
    assert min(advising) < _NEXT_SECONDS


def searched(problem: SearchProblem, truth: int, rng: np.random.Generator, *, greedy: bool) -> float:
    """Minutes of one simulated search: by lookahead, or by the most telling check a minute until one place has 60 %."""
    minutes, left = 0.0, problem
    while True:
        if greedy:
            chance = left.place_weights() / left.weight.sum()
            gain = bits_per_minute(left)
            sure = chance.max() > 0.6 or gain.max(initial=0.0) < 0.002
            check, repair = (None, int(chance.argmax())) if sure else (int(gain.argmax()), None)
        else:
            smaller, rows = reduced(left, 0.99, 40)
            step = lookahead_step(smaller, steps=1)
            check, repair = None if step.check is None else rows[step.check], step.repair
        if check is not None:
            minutes += left.check_minutes[check]
            after = after_outcome(left, check, is_bad=bool(rng.random() < left.bad[check, truth]))
        else:
            assert repair is not None
            minutes += left.repair_minutes[repair]
            if problem.place[truth] == repair:
                return minutes
            after = after_wrong_repair(left, repair)
        if after is None:
            return minutes + float(problem.repair_minutes[problem.place[truth]])
        left = after


@pytest.mark.bench
def test_thinking_in_minutes_saves_minutes_against_the_most_telling_check(capsys: pytest.CaptureFixture[str]) -> None:
    """Simulated searches on the header's starting diagram, the same faults for both (seeded)."""
    circuit = starting_diagram("header").circuit()
    suspects = suspects_of(
        Case(
            circuit=circuit,
            signs=(
                Sign(kind=SignKind.DEAD, node="Reel lift valve"),
                Sign(kind=SignKind.ERRATIC, node="Stubble lights"),
            ),
        )
    )
    names, offered = [*(node.name for node in circuit.nodes), None], checks_for(circuit)
    problem = SearchProblem(
        suspects.chance,
        np.array([names.index(h.node) for h in suspects.hypotheses]),
        np.array([repair_minutes(None if name is None else circuit.node(name)) for name in names], dtype=float),
        np.array([check.minutes for check in offered], dtype=float),
        bad_chances(circuit, offered, suspects.hypotheses),
    )
    truths = np.random.default_rng(1).choice(problem.weight.size, size=200, p=problem.weight)
    ahead, greedy = (
        np.mean([searched(problem, int(t), np.random.default_rng(i), greedy=g) for i, t in enumerate(truths)])
        for g in (False, True)
    )
    with capsys.disabled():
        print(
            f"\nminutes to found and fixed: lookahead {ahead:.0f}, most telling check {greedy:.0f}, ratio {ahead / greedy:.2f}"
        )
    assert ahead < greedy
