"""Days to finish: against the negative binomial, against a day-by-day simulation, and what must hold always."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import betainc, betaln, gammaln

from wearlog.errors import DataError
from wearlog.harvest.days_to_finish import (
    HORIZON_DAYS,
    Breakdowns,
    Weather,
    days_to_finish,
    field_days,
    required_capacity,
)


def test_fit_days_for_themselves_give_the_negative_binomial() -> None:
    """15 fit days among the first c, each fit with chance 0.75: regularised beta function."""
    answer = days_to_finish(1500, 10, 10, Weather(0.75))
    days = np.arange(15, answer.finished.size)
    np.testing.assert_allclose(answer.finished[15:], betainc(15, days - 14, 0.75), rtol=1e-10)
    assert answer.finished[:15].tolist() == [0.0] * 15


def test_an_uncertain_share_gives_the_beta_negative_binomial() -> None:
    """Share beta(15, 5): the sum over exactly k fit days in c, integrated in closed form."""
    answer = days_to_finish(500, 10, 10, Weather(0.75, known_from_days=20))
    for day in (5, 7, 10, 14):
        k = np.arange(5, day + 1)
        choose = gammaln(day + 1) - gammaln(k + 1) - gammaln(day - k + 1)
        exact = np.exp(choose + betaln(15 + k, 5 + day - k) - betaln(15, 5)).sum()
        assert answer.chance_by(day) == pytest.approx(exact, abs=2e-3)


def test_every_day_fit_and_no_breakdowns_take_the_field_days_rounded_up() -> None:
    answer = days_to_finish(1450, 10, 10, Weather(1.0))
    assert answer.finished.tolist() == [0.0] * 15 + [1.0]
    assert (answer.field_days, answer.day_by(0.9)) == (14.5, 15)


def test_work_that_fits_a_whole_number_of_days_takes_no_day_more() -> None:
    """0.1 + 0.2 rounding must not cost a day: 3 x 13.36 acres an hour."""
    assert days_to_finish(3 * 13.36 * 10, 13.36, 10, Weather(1.0)).day_by(0.9) == 3


def test_nothing_left_is_finished_today() -> None:
    answer = days_to_finish(0, 10, 10, Weather(0.5), Breakdowns(1, 10, 5))
    assert (answer.finished.tolist(), answer.day_by(0.9), answer.expected_stops) == ([1.0], 0, 0)


def test_two_machines_take_half_the_field_days() -> None:
    assert days_to_finish(2000, 10, 10, Weather(1.0), machines=2).day_by(0.9) == 10


def test_counts_of_stops_follow_the_negative_binomial() -> None:
    """Shape 4 seen in 100 h, 50 h to run: mean 2, variance 2 + 4/4 = 3."""
    chances = Breakdowns(4, 100, 3).count_chances(50)
    n = np.arange(chances.size)
    assert chances @ n == pytest.approx(2, rel=1e-9)
    assert chances @ (n - 2) ** 2 == pytest.approx(3, rel=1e-9)
    assert chances[0] == pytest.approx((100 / 150) ** 4, rel=1e-9)


def test_expected_stops_and_hours_are_rate_times_running_hours() -> None:
    answer = days_to_finish(2000, 20, 10, Weather(0.8), Breakdowns(5, 200, 4))
    assert (answer.expected_stops, answer.expected_lost_hours) == (2.5, 10)


def test_the_distribution_agrees_with_a_simulation_day_by_day() -> None:
    """Simulated (seed 7): wet spells of 2.5 days, uncertain share and rate, stops of varying length, two machines."""
    weather, stops = Weather(0.7, known_from_days=30, mean_unfit_spell_days=2.5), Breakdowns(6, 150, 5, 0.8)
    answer = days_to_finish(1800, 12, 9, weather, stops, machines=2)
    days = np.array(_simulate(1800 / 12, 18, weather, stops, 20_000))
    for day in range(9, 26):
        assert answer.chance_by(day) == pytest.approx((days <= day).mean(), abs=0.015)


def _simulate(running_hours: float, hours_a_day: float, weather: Weather, stops: Breakdowns, farms: int) -> list[int]:
    rng = np.random.default_rng(7)
    days = []
    for _ in range(farms):
        known = weather.known_from_days
        share = rng.beta(weather.workable_share * known, (1 - weather.workable_share) * known)
        to_fit = min(1 / (weather.mean_unfit_spell_days or 1 / share), share / (1 - share))
        to_unfit = to_fit * (1 - share) / share
        count = rng.poisson(rng.gamma(stops.failures) / stops.hours * running_hours)
        shape = 1 / stops.repair_variation**2
        left = running_hours + rng.gamma(shape, stops.repair_hours / shape, count).sum()
        fit, day = rng.random() < share, 0
        while left > 0 and day < HORIZON_DAYS:
            fit, day = rng.random() < (1 - to_unfit if fit else to_fit), day + 1
            left -= hours_a_day * fit
        days.append(day)
    return days


def test_wet_spells_leave_the_mean_share_and_widen_the_dates() -> None:
    """Mean days in closed form: 1 + (1 - p) L to the first fit day, then 1 / p to each next (Kac's recurrence time)."""
    alone = days_to_finish(1500, 10, 10, Weather(0.75))
    in_spells = days_to_finish(1500, 10, 10, Weather(0.75, mean_unfit_spell_days=4))
    assert (1 - alone.finished).sum() == pytest.approx(15 / 0.75, abs=1e-4)
    assert (1 - in_spells.finished).sum() == pytest.approx(1 + 0.25 * 4 + 14 / 0.75, abs=1e-4)
    assert (alone.day_by(0.1), alone.day_by(0.9)) == (17, 23)
    assert (in_spells.day_by(0.1), in_spells.day_by(0.9)) == (15, 29)


def test_what_is_out_of_reach_has_no_date() -> None:
    answer = days_to_finish(100_000, 10, 10, Weather(0.5))
    assert (answer.day_by(0.8), answer.chance_by(HORIZON_DAYS)) == (None, 0)


@settings(max_examples=25, deadline=None)
@given(
    st.floats(1, 3000),
    st.floats(0.2, 1),
    st.sampled_from([inf, 10.0, 60.0]),
    st.sampled_from([None, 1.0, 3.0]),
    st.floats(0.5, 20),
    st.floats(0.5, 30),
)
def test_more_breakdowns_never_bring_the_date_forward(
    area: float, share: float, known: float, spell: float | None, failures: float, repair: float
) -> None:
    weather = Weather(share, known, spell)
    calm = days_to_finish(area, 12, 9, weather)
    rough = days_to_finish(area, 12, 9, weather, Breakdowns(failures, 200, repair))
    days = range(max(calm.finished.size, rough.finished.size))
    assert all(rough.chance_by(day) <= calm.chance_by(day) + 1e-6 for day in days)
    for answer in (calm, rough):
        assert (np.diff(answer.finished) >= 0).all()
        assert 0 <= answer.finished[0] <= answer.finished[-1] <= 1 + 1e-9


class TestWhatIsRefused:
    """Numbers that give no date."""

    @pytest.mark.parametrize("share", [0.0, 1.2, -0.1])
    def test_a_share_of_days_that_is_none(self, share: float) -> None:
        with pytest.raises(DataError, match="workable-day share"):
            Weather(share)

    def test_a_share_known_from_no_days(self) -> None:
        with pytest.raises(DataError, match="rests on no days"):
            Weather(0.5, 0)

    def test_a_spell_shorter_than_a_day(self) -> None:
        with pytest.raises(DataError, match="shorter than a day"):
            Weather(0.5, mean_unfit_spell_days=0.5)

    def test_breakdowns_without_a_rate(self) -> None:
        with pytest.raises(DataError, match="above zero"):
            Breakdowns(0, 100, 5)

    def test_no_capacity(self) -> None:
        with pytest.raises(DataError, match="capacity"):
            field_days(100, 0, 10)

    def test_no_days(self) -> None:
        with pytest.raises(DataError, match="required rate"):
            required_capacity(100, 0, 10)

    def test_no_machine(self) -> None:
        with pytest.raises(DataError, match="no machine"):
            days_to_finish(100, 10, 10, Weather(0.5), machines=0)

    def test_a_chance_that_is_none(self) -> None:
        with pytest.raises(DataError, match="80 is no chance"):
            days_to_finish(100, 10, 10, Weather(0.5)).day_by(80)
