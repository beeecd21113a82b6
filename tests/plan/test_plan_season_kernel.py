"""Within a season: weights add up, and an exponential life gives Poisson failures."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.plan.demand import renewal_counts
from wearlog.plan.life_nodes import LifeNodes, survival
from wearlog.plan.season_kernel import reach, renewal_matrix, renewal_weights

NODES = LifeNodes.of([1.5, 3.0], [400.0, 700.0], [0.5, 0.5])


def test_reach_is_conditional_survival() -> None:
    whole = reach(NODES, np.array([0.0, 250.0]), 300.0, 3)
    expected = survival(NODES, [250.0, 350.0, 450.0, 550.0]) / survival(NODES, [250.0])
    np.testing.assert_allclose(whole[:, 1], expected, rtol=1e-12)
    assert np.all(whole[..., 0] == 1.0)


def test_weights_add_up_to_the_chance_of_a_failure() -> None:
    whole = reach(NODES, np.array([0.0, 100.0, 900.0]), 300.0, 7)
    np.testing.assert_allclose(renewal_weights(whole).sum(axis=-1), 1.0 - whole[..., -1], rtol=1e-12)


def test_every_row_of_the_matrix_is_the_weights_of_a_shorter_season() -> None:
    whole = survival(NODES, np.linspace(0, 300, 8))
    matrix = renewal_matrix(whole)
    for to_go in range(1, 8):
        np.testing.assert_allclose(matrix[:, to_go, : to_go + 1], renewal_weights(whole[:, : to_go + 1]), rtol=1e-12)
        assert np.all(matrix[:, to_go, to_go + 1 :] == 0)
    assert np.all(matrix[:, 0] == 0)


def test_an_exponential_life_gives_poisson_failures_at_any_age() -> None:
    counts = renewal_counts(LifeNodes.known(1.0, 100.0), np.array([0.0, 333.0]), 150.0)
    poisson = np.exp(-1.5) * np.cumprod(np.append(1.0, 1.5 / np.arange(1, 8)))
    np.testing.assert_allclose(counts[0, :, :8], np.broadcast_to(poisson, (2, 8)), atol=2e-4)


@pytest.mark.parametrize("usage", [50.0, 300.0, 2_500.0])
def test_counts_add_up_to_one_and_the_error_falls_with_the_square_of_the_step(usage: float) -> None:
    counts = renewal_counts(NODES, np.array([0.0, 200.0, 2_000.0]), usage)
    np.testing.assert_allclose(counts.sum(axis=2), 1.0, atol=1e-11)
    assert np.all(counts >= 0)
