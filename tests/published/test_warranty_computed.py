"""What terms of warranty are worth: values worked out for this test, and simulated lives."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ndtri

from wearlog.errors import DataError
from wearlog.wear.part_lives import cost_rates
from wearlog.wear.replacement import age_replacement
from wearlog.wear.warranty import terms_worth

#: ln median N(ln 2,000, .35), ln shape N(ln 2.4, .3), as 20 x 20 equal-weight normal quantiles
_Z = ndtri((np.arange(20) + 0.5) / 20)
MEDIAN, SHAPE = (one.ravel() for one in np.meshgrid(2000 * np.exp(0.35 * _Z), 2.4 * np.exp(0.3 * _Z)))


@pytest.mark.parametrize(
    ("term", "fails", "worth"), [(250, "0.0106", "1.25"), (500, "0.0397", "4.69"), (1000, "0.1593", "18.80")]
)
def test_a_part_of_118_is_worth_so_much_less_by_its_terms(term: float, fails: str, worth: str) -> None:
    share = terms_worth(SHAPE, MEDIAN, term, part_minor=1.0).mean()
    assert f"{share:.4f}" == fails
    assert f"{terms_worth(SHAPE, MEDIAN, term, part_minor=118.0).mean():.2f}" == worth


@pytest.mark.parametrize(("shape", "term"), [(0.8, 500.0), (2.4, 500.0), (2.4, 3000.0)])
def test_pro_rata_and_labour_pay_what_simulated_lives_are_paid(shape: float, term: float) -> None:
    """400,000 lives of one law; each failure within the term is paid by hand."""
    lives = 2000.0 * (np.random.default_rng(5).exponential(1.0, 400_000) / np.log(2.0)) ** (1 / shape)
    paid = np.where(lives < term, 118.0 * (1 - lives / term) + 20.0, 0.0)
    found = terms_worth(
        np.array([shape]), np.array([2000.0]), term, part_minor=118.0, labour_minor=20.0, pro_rata=True
    )[0]
    assert found == pytest.approx(float(paid.mean()), abs=4 * float(paid.std()) / 400_000**0.5)


def test_terms_that_make_no_sense_are_refused() -> None:
    for term, part in ((0.0, 118.0), (500.0, -1.0)):
        with pytest.raises(DataError):
            terms_worth(SHAPE, MEDIAN, term, part_minor=part)


def test_what_terms_pay_is_taken_off_the_price_draw_by_draw() -> None:
    """Against age replacement solved anew for each of the 400 laws."""
    taken = terms_worth(SHAPE, MEDIAN, 1000.0, part_minor=118.0)
    found = cost_rates(SHAPE, MEDIAN, 130.0, 360.0, taken)
    by_hand = [
        age_replacement(shape, median * np.log(2.0) ** (-1 / shape), planned_cost=130.0 - off, failure_cost=360.0 - off)
        for shape, median, off in zip(SHAPE, MEDIAN, taken, strict=True)
    ]
    assert found == pytest.approx([one.cost_rate for one in by_hand], rel=0.002)
    assert (
        cost_rates(SHAPE, MEDIAN, 130.0, 360.0, np.zeros(400)).tolist()
        == cost_rates(SHAPE, MEDIAN, 130.0, 360.0).tolist()
    )
