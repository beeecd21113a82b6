"""Order of checks: brute force over all orders, and the fewest yes/no checks. Each names its source."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest

from wearlog.faults.exact_search import exact_step
from wearlog.faults.order_rule import (
    entropy_bits,
    expected_cost,
    fewest_yes_no_checks,
    probability_per_cost,
    with_one_untested,
)
from wearlog.faults.search_problem import SearchProblem

P = [0.35, 0.25, 0.15, 0.12, 0.08, 0.05]
COST = [4, 1, 2, 0.5, 3, 1]


def test_the_best_of_all_720_orders() -> None:
    """Computed by trying all 720 orders; the rule: Kalagnanam and Henrion 1990, Heckerman, Breese and Rommelse 1995."""
    best = min(permutations(range(6)), key=lambda order: expected_cost(P, COST, order))
    by_rule = probability_per_cost(P, COST)
    assert best == by_rule.order == (1, 3, 0, 2, 5, 4)
    assert expected_cost(P, COST, best) == pytest.approx(4.825) == pytest.approx(by_rule.expected_cost)


def test_orders_by_probability_alone_and_by_cost_alone_cost_more() -> None:
    """Computed: 6.015 by falling probability, 5.86 by rising cost."""
    by_probability = np.argsort(-np.array(P), kind="stable").tolist()
    by_cost = np.argsort(COST, kind="stable").tolist()
    assert expected_cost(P, COST, by_probability) == pytest.approx(6.015)
    assert expected_cost(P, COST, by_cost) == pytest.approx(5.86)


def test_when_the_last_one_needs_no_check_the_exact_search_finds_the_same() -> None:
    """Computed twice over: each of the six left untested, and dynamic programming with repairs too dear to guess."""
    rule = with_one_untested(P, COST)
    problem = SearchProblem(np.array(P), np.arange(6), np.full(6, 500.0), np.array(COST, dtype=float), np.eye(6))
    step = exact_step(problem)
    assert (rule.untested, step.check) == (0, rule.order[0])
    assert step.expected_minutes - 500 == pytest.approx(rule.expected_cost) == pytest.approx(4.405)


def test_thirteen_messages() -> None:
    """Huffman 1952, Table I: 13 messages need 3.42 yes/no checks in the mean."""
    messages = [0.20, 0.18, 0.10, 0.10, 0.10, 0.06, 0.06, 0.04, 0.04, 0.04, 0.04, 0.03, 0.01]
    assert fewest_yes_no_checks(messages) == pytest.approx(3.42)
    assert entropy_bits(messages) <= 3.42 < entropy_bits(messages) + 1
