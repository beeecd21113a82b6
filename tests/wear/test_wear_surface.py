"""What the package shows and loads, and the two tools under the posterior."""

from __future__ import annotations

import math
import subprocess
import sys

import numpy as np
import pytest

from wearlog import wear
from wearlog.wear.quadrature import panel, times_table
from wearlog.wear.roots import positive_root


def test_every_public_name_is_there_and_sorted_once() -> None:
    """`__all__` lists what can be imported, nothing twice."""
    assert len(set(wear.__all__)) == len(wear.__all__)
    assert all(hasattr(wear, name) for name in wear.__all__)


def test_loading_the_maths_loads_no_statistics_package() -> None:
    """numpy and scipy.special only: no scipy.stats, no scipy.optimize, no database, no screen."""
    program = (
        "import sys, wearlog.wear as wear\n"
        "[getattr(wear, name) for name in wear.__all__]\n"
        "heavy = ('scipy.stats', 'scipy.optimize', 'pandas', 'sqlalchemy', 'textual', 'click', 'rich')\n"
        "print([name for name in heavy if name in sys.modules], 'scipy.special' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[] True"


def test_panel_integrates_a_bell_curve_up_to_any_point() -> None:
    """A normal density over 16 standard deviations: the running integral to 2e-9."""
    rule = panel(48, 256)
    z = 16 * rule.nodes - 8
    running = 16 * rule.running @ (np.exp(-z * z / 2) / math.sqrt(2 * math.pi))
    even = np.linspace(-8, 8, 257)
    exact = [0.5 * math.erfc(-x / math.sqrt(2)) for x in even]
    np.testing.assert_allclose(running, exact, rtol=0, atol=2e-9)
    assert panel(48, 256) is rule


def test_products_in_blocks_are_products() -> None:
    """24 rows go in blocks, 5 in one piece."""
    rng = np.random.default_rng(0)
    table = rng.random((7, 11))
    for count in (24, 5):
        rows = rng.random((count, 11))
        np.testing.assert_allclose(times_table(rows, table), rows @ table.T, rtol=1e-13)


@pytest.mark.parametrize("root", [1e-200, 1e-3, 1.0, 7.5, 1e6, 1e250])
def test_positive_root_is_found_from_anywhere(root: float) -> None:
    """Starting at 1."""
    assert positive_root(lambda x: math.log(x / root), 1.0) == pytest.approx(root, rel=1e-10)


def test_a_root_that_is_not_there_is_zero_or_endless() -> None:
    """Positive everywhere, negative everywhere."""
    assert positive_root(lambda _: 1.0, 1.0) == 0.0
    assert positive_root(lambda _: -1.0, 1.0) == math.inf
