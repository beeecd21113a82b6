"""The order of numbers, sought the quick way."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.wear.arrays import stable_order


@pytest.mark.parametrize("count", [0, 1, 900, 5_000])
@pytest.mark.parametrize("different", [1, 7, 100_000])
def test_equal_numbers_keep_their_order(count: int, different: int) -> None:
    values = np.random.default_rng(count + different).integers(0, different, count) / different
    assert stable_order(values).tolist() == np.argsort(values, kind="stable").tolist()
