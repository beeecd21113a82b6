"""Speed of the life maths as ratios measured in one run: against reference libraries, against n, and a whole fleet."""

from __future__ import annotations

import contextlib
import importlib
import os
import time
import warnings
from collections.abc import Callable

import numpy as np
import pytest
from scipy import stats

from wearlog.wear import Lives, fit_posterior, fit_weibull, starting_guess

pytestmark = [pytest.mark.bench, pytest.mark.filterwarnings("ignore")]

SECTIONS = starting_guess((1500.0, 8000.0), (1.5, 4.0))


def _best_seconds(work: Callable[[], object], repeats: int, batch: int = 1) -> float:
    """Return the least time of one call: what the work takes when nothing else is in the way."""
    work()
    found = []
    for _ in range(repeats):
        begun = time.perf_counter()
        for _ in range(batch):
            work()
        found.append((time.perf_counter() - begun) / batch)
    return min(found)


def _lives(n: int) -> tuple[np.ndarray, np.ndarray]:
    rng = np.random.default_rng(n)
    ages, ends = 1000 * rng.weibull(2.2, n), 1100 * rng.weibull(3.0, n)
    return np.minimum(ages, ends), ages <= ends


def _peers(ages: np.ndarray, failed: np.ndarray) -> dict[str, Callable[[], object]]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        lifelines = importlib.import_module("lifelines")
        surpyval = importlib.import_module("surpyval")
        fitters = importlib.import_module("reliability.Fitters")
    return {
        "lifelines": lambda: lifelines.WeibullFitter().fit(ages, failed),
        "surpyval": lambda: surpyval.Weibull.fit(ages, c=1 - failed),
        "reliability": lambda: fitters.Fit_Weibull_2P(
            failures=ages[failed], right_censored=ages[~failed], show_probability_plot=False, print_results=False
        ),
        "scipy": lambda: stats.weibull_min.fit(
            stats.CensoredData(uncensored=ages[failed], right=ages[~failed]), floc=0
        ),
    }


@pytest.mark.parametrize(("n", "wanted", "batch"), [(100, 100, 200), (10_000, 50, 10)])
def test_weibull_fit_against_reference_libraries(
    n: int, wanted: float, batch: int, capsys: pytest.CaptureFixture[str]
) -> None:
    """From plain arrays to the fit with its errors: 100 times as fast at n = 100, 50 times at n = 10,000."""
    ages, failed = _lives(n)
    ours = _best_seconds(lambda: fit_weibull(Lives.of(ages, failed)), 7, batch)
    ratios = {}
    for name, fit in _peers(ages, failed).items():
        with open(os.devnull, "w") as nowhere, contextlib.redirect_stdout(nowhere):  # noqa: PTH123 - not a file
            ratios[name] = _best_seconds(fit, 3) / ours
    with capsys.disabled():
        print(f"\nn = {n}: {ours * 1e6:.0f} us; " + ", ".join(f"{name} x{ratio:.0f}" for name, ratio in ratios.items()))
    assert min(ratios.values()) >= wanted, ratios


def test_posterior_of_a_whole_fleet(capsys: pytest.CaptureFixture[str]) -> None:
    """Thirty kinds of 5 to 400 lives each: under 0.2 s for all."""
    rng = np.random.default_rng(1)
    kinds = []
    for number in range(30):
        ages, ends = 4000 * rng.weibull(2.2, 5 + 14 * number), rng.uniform(300, 3000, 5 + 14 * number)
        kinds.append(Lives.of(np.minimum(ages, ends), ages <= ends))
    seconds = _best_seconds(lambda: [fit_posterior(lives, SECTIONS) for lives in kinds], 5)
    answers = _best_seconds(lambda: [fit_posterior(lives, SECTIONS).median_life() for lives in kinds], 5)
    with capsys.disabled():
        print(
            f"\n30 kinds, {sum(map(len, kinds))} lives: {seconds * 1e3:.0f} ms; with median life {answers * 1e3:.0f} ms"
        )
    assert seconds < 0.2


@pytest.mark.parametrize("name", ["fit", "posterior"])
def test_cost_is_linear_in_the_number_of_lives(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """From 10,000 lives to 100,000 the time grows by less than 40: about 10 and what leaves the cache, not 100."""
    work = fit_weibull if name == "fit" else (lambda lives: fit_posterior(lives, SECTIONS))
    seconds = {}
    for n in (1_000, 10_000, 100_000):
        lives = Lives.of(*_lives(n))
        seconds[n] = _best_seconds(lambda lives=lives: work(lives), 5)  # type: ignore[misc]
    with capsys.disabled():
        print(f"\n{name}: " + ", ".join(f"n = {n}: {t * 1e3:.2f} ms" for n, t in seconds.items()))
    assert seconds[100_000] / seconds[10_000] < 40
