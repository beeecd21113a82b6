"""The search: probability/cost rule, exact dynamic programming, lookahead against it on random graphs."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.references.search_outcome import after_outcome
from tests.references.wrong_repair import after_wrong_repair
from wearlog.errors import DataError
from wearlog.facts.closed_lists import EdgeKind, NodeKind, SignKind
from wearlog.faults.checks import checks_for, repair_minutes
from wearlog.faults.circuit import Circuit, Edge, Mark, Node
from wearlog.faults.exact_search import exact_step
from wearlog.faults.lookahead import lookahead_step
from wearlog.faults.order_rule import (
    entropy_bits,
    expected_cost,
    fewest_yes_no_checks,
    probability_per_cost,
    with_one_untested,
)
from wearlog.faults.outcomes import bad_chances
from wearlog.faults.search_problem import SearchProblem, bits_per_minute, reduced
from wearlog.faults.signs import Sign
from wearlog.faults.suspects import Case, suspects_of

positive = st.floats(min_value=0.05, max_value=20)


@given(st.lists(st.tuples(positive, positive), min_size=1, max_size=5))
def test_the_rule_is_the_best_of_all_orders(pairs: list[tuple[float, float]]) -> None:
    p, c = np.array(pairs).T
    best = min(expected_cost(p, c, order) for order in permutations(range(len(p))))
    assert probability_per_cost(p, c).expected_cost == pytest.approx(best)


@given(st.lists(st.tuples(positive, positive), min_size=1, max_size=5))
def test_the_untested_one_is_the_best_of_all_choices(pairs: list[tuple[float, float]]) -> None:
    p, c = np.array(pairs).T
    # the last of an order costs no check of its own
    best = min(expected_cost(p, c, order) - p[order[-1]] * c[order[-1]] for order in permutations(range(len(p))))
    assert with_one_untested(p, c).expected_cost == pytest.approx(best, abs=1e-9)


@given(st.lists(positive, min_size=1, max_size=30))
def test_yes_no_checks_need_at_least_the_entropy_and_less_than_one_more(p: list[float]) -> None:
    assert entropy_bits(p) - 1e-9 <= fewest_yes_no_checks(p) < entropy_bits(p) + 1


@pytest.mark.parametrize("wrong", [([], []), ([0.5], [0.0]), ([-0.1, 1], [1, 1]), ([0.5, 0.5], [1])])
def test_an_order_needs_sensible_numbers(wrong: tuple[list[float], list[float]]) -> None:
    with pytest.raises(DataError):
        probability_per_cost(*wrong)


def problem_of(p: list[float], repair: list[float], minutes: list[float], bad: list[list[float]]) -> SearchProblem:
    array = np.array(bad, dtype=float).reshape(len(minutes), len(p))
    return SearchProblem(np.array(p), np.arange(len(p)), np.array(repair), np.array(minutes, dtype=float), array)


def plain_minutes(problem: SearchProblem | None) -> float:
    """The least expected minutes by plain recursion over beliefs, weighted: written apart from the program's tables."""
    if problem is None:
        return 0.0
    total, best = problem.weight.sum(), np.inf
    for row, minutes in enumerate(problem.check_minutes):
        after = [after_outcome(problem, row, is_bad=is_bad) for is_bad in (True, False)]
        best = min(best, minutes * total + sum(plain_minutes(left) for left in after))
    for place in np.flatnonzero(problem.place_weights() > 0):
        rest = plain_minutes(after_wrong_repair(problem, int(place)))
        best = min(best, problem.repair_minutes[place] * total + rest)
    return float(best)


def test_the_exact_search_agrees_with_plain_recursion() -> None:
    rng = np.random.default_rng(3)
    for _ in range(20):
        places, checks = int(rng.integers(2, 4)), int(rng.integers(0, 4))
        problem = SearchProblem(
            rng.random(places + 1),
            np.append(np.arange(places), rng.integers(places)),
            rng.uniform(1, 30, places),
            rng.uniform(1, 9, checks),
            rng.random((checks, places + 1)),
        )
        assert exact_step(problem).expected_minutes * problem.weight.sum() == pytest.approx(plain_minutes(problem))


def test_with_every_split_on_offer_the_exact_search_needs_huffmans_number_of_checks() -> None:
    p, subsets = [0.4, 0.3, 0.2, 0.1], range(1, 8)
    bad = [[float((subset >> k) & 1) for k in range(4)] for subset in subsets]
    step = exact_step(problem_of(p, [1000.0] * 4, [1.0] * 7, bad))
    assert step.expected_minutes == pytest.approx(1000 + fewest_yes_no_checks(p))


def test_without_checks_places_are_repaired_by_chance_per_minute() -> None:
    problem = problem_of([0.5, 0.3, 0.2], [10.0, 2.0, 8.0], [], [])
    for step in (exact_step(problem), lookahead_step(problem)):
        assert (step.check, step.repair) == (None, 1)
        assert step.expected_minutes == pytest.approx(probability_per_cost([0.5, 0.3, 0.2], [10, 2, 8]).expected_cost)


def policy(problem: SearchProblem, steps: int, memo: dict[bytes, float]) -> float:
    """The weighted minutes of following the lookahead to the end, every outcome taken."""
    # beliefs reached in another order differ in their last digits only
    key = np.round(problem.weight, 15).tobytes() + problem.check_minutes.tobytes()
    if key not in memo:
        step, total = lookahead_step(problem, steps=steps), problem.weight.sum()
        if step.check is not None:
            left = [after_outcome(problem, step.check, is_bad=is_bad) for is_bad in (True, False)]
            minutes = problem.check_minutes[step.check]
        else:
            assert step.repair is not None
            left = [after_wrong_repair(problem, step.repair)]
            minutes = problem.repair_minutes[step.repair]
        memo[key] = float(minutes * total + sum(policy(rest, steps, memo) for rest in left if rest is not None))
    return memo[key]


def good_path(problem: SearchProblem) -> list[int]:
    """The checks the lookahead makes as long as each is good, by their rows in the first problem."""
    rows, path = list(range(problem.check_minutes.size)), []
    while (step := lookahead_step(problem)).check is not None:
        path.append(rows.pop(step.check))
        left = after_outcome(problem, step.check, is_bad=False)
        assert left is not None
        problem = left
    return path


@given(st.lists(st.tuples(positive, positive), min_size=2, max_size=6))
def test_for_independent_single_checks_the_lookahead_is_the_rule(pairs: list[tuple[float, float]]) -> None:
    p, c = np.array(pairs).T
    p = p / p.sum()
    n = len(p)
    problem = problem_of(p.tolist(), [1e6] * n, c.tolist(), np.eye(n).tolist())
    rule = with_one_untested(p, c)
    assert policy(problem, 2, {}) == pytest.approx(1e6 + rule.expected_cost, abs=1e-6)
    assert expected_cost(p, c, good_path(problem)) <= rule.expected_cost + 1e-9


def test_a_chain_of_plugs_is_halved() -> None:
    n = 8
    bad = [[float(place >= plug) for place in range(n)] for plug in range(1, n)]
    problem = problem_of([1 / n] * n, [100.0] * n, [1.0] * (n - 1), bad)
    step = lookahead_step(problem)
    assert step.check == 3
    assert policy(problem, 2, {}) == pytest.approx(100 + 3)


def random_circuit(rng: np.random.Generator) -> Circuit:
    def marks() -> frozenset[Mark]:
        return frozenset(mark for mark in Mark if rng.random() < 0.3)

    inner = (NodeKind.CONNECTOR, NodeKind.WIRE_RUN, NodeKind.SPLICE, NodeKind.SWITCH, NodeKind.RELAY)
    nodes = [Node(name="B", kind=NodeKind.BATTERY), Node(name="F", kind=NodeKind.FUSE, rating_milliamperes=15_000)]
    edges, above = [Edge("B", "F")], ["F"]
    for number in range(int(rng.integers(2, 5))):
        nodes.append(Node(name=f"N{number}", kind=inner[rng.integers(5)], marks=marks()))
        edges.append(Edge(above[rng.integers(len(above))], f"N{number}"))
        above.append(f"N{number}")
    nodes.append(Node(name="G", kind=NodeKind.GROUND, marks=marks()))
    for number in range(int(rng.integers(1, 4))):
        nodes.append(Node(name=f"D{number}", kind=(NodeKind.DEVICE, NodeKind.SENSOR)[rng.integers(2)]))
        edges += [Edge(above[rng.integers(len(above))], f"D{number}"), Edge(f"D{number}", "G", EdgeKind.RETURN)]
    return Circuit(tuple(nodes), (*edges, Edge("G", "B", EdgeKind.RETURN)))


def random_problem(rng: np.random.Generator, places: int, checks: int) -> SearchProblem:
    """A random circuit with random signs, cut down to its likeliest places and some of its better checks."""
    circuit = random_circuit(rng)
    seen = (SignKind.DEAD, SignKind.ERRATIC, SignKind.WORKING)
    fuse = (SignKind.FUSE_WHOLE, SignKind.FUSE_BLEW_AT_ONCE, SignKind.FUSE_BLEW_LATER)[rng.integers(3)]
    consumers = circuit.of_kind(NodeKind.DEVICE, NodeKind.SENSOR)
    signs = [Sign(kind=seen[rng.choice(3, p=[0.5, 0.3, 0.2])], node=node.name) for node in consumers]
    suspects = suspects_of(Case(circuit=circuit, signs=(*signs, Sign(kind=fuse))))
    names = [*(node.name for node in circuit.nodes), None]
    top = np.sort(np.argsort(-suspects.node_chances(), kind="stable")[:places]).tolist()
    rows = [row for row, h in enumerate(suspects.hypotheses) if names.index(h.node) in top]
    kept = [suspects.hypotheses[row] for row in rows]
    offered = checks_for(circuit)
    whole = SearchProblem(
        suspects.chance[rows] / suspects.chance[rows].sum(),
        np.array([top.index(names.index(h.node)) for h in kept]),
        np.array([repair_minutes(None if names[t] is None else circuit.node(names[t])) for t in top], dtype=float),
        np.array([check.minutes for check in offered], dtype=float),
        bad_chances(circuit, offered, kept),
    )
    better = np.argsort(-bits_per_minute(whole), kind="stable")[: 2 * checks]
    picked = np.sort(rng.choice(better, size=min(checks, better.size), replace=False))
    return SearchProblem(
        whole.weight, whole.place, whole.repair_minutes, whole.check_minutes[picked], whole.bad[picked]
    )


def test_two_steps_of_lookahead_come_within_5_per_cent_of_the_best_on_200_random_graphs() -> None:
    """Simulated circuits (seeded). The best is by dynamic programming; the lookahead's minutes are exact, not sampled."""
    rng = np.random.default_rng(2024)
    ratios = []
    for _ in range(200):
        problem = random_problem(rng, places=5, checks=4)
        ratios.append(policy(problem, 2, {}) / problem.weight.sum() / exact_step(problem).expected_minutes)
    assert min(ratios) > 1 - 1e-9
    assert np.mean(ratios) < 1.01
    assert np.max(ratios) < 1.05


def test_one_step_is_worse_than_two_on_the_same_graphs() -> None:
    rng = np.random.default_rng(2024)
    problems = [random_problem(rng, places=5, checks=4) for _ in range(20)]
    one, two = (np.mean([policy(problem, steps, {}) for problem in problems]) for steps in (1, 2))
    assert two <= one


def test_a_problem_is_reduced_to_the_likeliest_and_the_most_telling() -> None:
    problem = problem_of([0.6, 0.395, 0.005], [9.0] * 3, [1.0, 1.0], [[0.5, 0.5, 0.5], [1.0, 0.0, 0.0]])
    smaller, rows = reduced(problem, 0.99, 1)
    assert rows == [1]
    assert smaller.weight.tolist() == [0.6, 0.395]
    assert smaller.bad.tolist() == [[1.0, 0.0]]


@pytest.mark.parametrize(
    ("p", "repair", "minutes", "bad"),
    [
        ([0.0, 0.0], [1.0, 1.0], [], []),
        ([1.0, -0.1], [1.0, 1.0], [], []),
        ([0.5, 0.5], [1.0], [], []),
        ([0.5, 0.5], [1.0, 1.0], [0.0], [[0.0, 1.0]]),
    ],
)
def test_a_search_needs_sensible_numbers(
    p: list[float], repair: list[float], minutes: list[float], bad: list[list[float]]
) -> None:
    with pytest.raises(DataError):
        problem_of(p, repair, minutes, bad)


def test_too_large_a_search_is_not_tried_exactly_and_no_step_is_none() -> None:
    large = problem_of([0.1] * 10, [1.0] * 10, [1.0] * 10, [[0.5] * 10] * 10)
    with pytest.raises(DataError, match="too many to search exactly"):
        exact_step(large)
    with pytest.raises(DataError, match="at least one step"):
        lookahead_step(large, steps=0)
