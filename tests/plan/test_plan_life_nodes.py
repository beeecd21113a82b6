"""Weighted lives: what is taken, what is refused, and that few nodes can stand for many."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ndtri

from wearlog.errors import DataError
from wearlog.plan.life_nodes import LifeNodes, condense, cumulative_hazard, even_steps, median_life, survival


def wide_belief(per_axis: int = 40) -> LifeNodes:
    """Median life 1,500-8,000 and shape 1.5-4 as central 80 % ranges, correlated, on a grid of weights."""
    z = np.linspace(-3.2, 3.2, per_axis)
    first, second = (axis.ravel() for axis in np.meshgrid(z, z))
    weight = np.exp(-(first**2 + second**2 - first * second) / 1.5)
    median = np.exp(np.log(np.sqrt(1_500 * 8_000)) + first * np.log(8_000 / 1_500) / 2 / ndtri(0.9))
    shape = np.exp(np.log(np.sqrt(6.0)) + second * np.log(4 / 1.5) / 2 / ndtri(0.9))
    return LifeNodes.of(shape, median / np.log(2) ** (1 / shape), weight)


def test_weights_are_brought_to_one_and_empty_nodes_left_out() -> None:
    nodes = LifeNodes.of([2.0, 3.0, 2.5], [100.0, 200.0, 1.0], [1.0, 3.0, 0.0])
    assert nodes.weight.tolist() == [0.25, 0.75]
    assert nodes.mean(nodes.scale) == pytest.approx(175.0)


@pytest.mark.parametrize(
    ("shape", "scale", "weight"),
    [
        ([2.0], [100.0, 1.0], [1.0]),
        ([-1.0], [100.0], [1.0]),
        ([2.0], [0.0], [1.0]),
        ([2.0], [9.0], [0.0]),
        ([], [], []),
    ],
)
def test_nodes_that_are_no_life_are_refused(shape: list[float], scale: list[float], weight: list[float]) -> None:
    with pytest.raises(DataError):
        LifeNodes.of(shape, scale, weight)


def test_survival_is_weibull_with_impacts_beside_it() -> None:
    nodes = LifeNodes.known(2.0, 100.0)
    expected = np.exp(-np.array([0.0, 0.25, 1.0]) - 0.001 * np.array([0.0, 50.0, 100.0]))
    np.testing.assert_allclose(survival(nodes, [0.0, 50.0, 100.0], impact_per_usage=0.001)[0], expected, rtol=1e-14)
    assert cumulative_hazard(nodes, 0.0)[0] == 0.0
    assert survival(nodes, median_life(nodes)[0])[0] == pytest.approx(0.5, rel=1e-14)


def test_quantiles_spread_each_weight_about_its_node() -> None:
    nodes = LifeNodes.of([1, 1, 1], [1, 1, 1], [1, 2, 1])
    # weights 2, 1, 1 on 10, 20, 30: their middles lie at 0.25, 0.625, 0.875
    found = nodes.quantile(np.array([30.0, 10.0, 20.0]), [0.0, 0.25, 0.5, 0.75, 1.0])
    np.testing.assert_allclose(found, [10, 10, 10 + 10 * 0.25 / 0.375, 25, 30])


def test_condensed_nodes_keep_mean_and_spread_and_nearly_the_survival() -> None:
    many = wide_belief()
    few = condense(many, 32)
    assert few.weight.size == 32

    def moments(nodes: LifeNodes) -> list[float]:
        plane = np.stack([np.log(median_life(nodes)), np.log(nodes.shape)])
        off = plane - (plane @ nodes.weight)[:, None]
        return [*(plane @ nodes.weight), *((off * nodes.weight) @ off.T).ravel()]

    np.testing.assert_allclose(moments(few), moments(many), rtol=1e-10)
    ages = np.linspace(200, 12_000, 30)
    gap = few.mean(survival(few, ages)) - many.mean(survival(many, ages))
    assert np.abs(gap).max() < 0.006


def test_few_nodes_come_back_as_they_are() -> None:
    nodes = LifeNodes.known(2.0, 100.0)
    assert condense(nodes) is nodes


def test_a_belief_whose_shape_is_known_condenses_along_the_scale() -> None:
    nodes = LifeNodes.of(np.full(200, 2.0), np.linspace(500, 1_500, 200), np.ones(200))
    few = condense(nodes, 8)
    np.testing.assert_allclose(few.shape, 2.0, rtol=1e-12)
    assert few.mean(np.log(few.scale)) == pytest.approx(nodes.mean(np.log(nodes.scale)), rel=1e-12)


def test_equal_nodes_condense_to_one() -> None:
    few = condense(LifeNodes.of(np.full(50, 2.0), np.full(50, 900.0), np.ones(50)), 8)
    np.testing.assert_allclose([few.shape[0], few.scale[0]], [2.0, 900.0])


@pytest.mark.parametrize("steps", [1, 3, 14, 97, 240])
@pytest.mark.parametrize("end", [0.0, 1e-3, 77.7, 3e6 / 7])
def test_even_steps_are_those_of_linspace_to_the_bit(end: float, steps: int) -> None:
    assert even_steps(end, steps).tolist() == np.linspace(0.0, end, steps + 1).tolist()
    assert even_steps(end, steps)[:-1].tolist() == np.linspace(0.0, end, steps, endpoint=False).tolist()
