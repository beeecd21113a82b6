"""Moisture samples and offsets, sensor calibration, loss checks and the line through them."""

from __future__ import annotations

from math import isnan

import numpy as np
import pytest
from scipy import stats

from wearlog.errors import DataError
from wearlog.harvest.calibration import calibrate
from wearlog.harvest.dry_standard import dry_standard_of
from wearlog.harvest.loss import concentration_factor, loss_from_counts, loss_from_mass, loss_with_wear
from wearlog.harvest.moisture import (
    corrected_moisture,
    moisture_offsets,
    shrink_to,
    summarise_moisture,
    weighted_moisture,
)
from wearlog.harvest.straight_line import fit_straight_line


class TestMoisture:
    """Samples, and the tester against the elevator."""

    def test_a_lot_has_a_mean_a_spread_and_a_t_interval(self) -> None:
        found = summarise_moisture(np.array([13.0, 14.0, 15.0]), level=0.90)
        assert (found.count, found.mean, found.spread) == (3, 14.0, 1.0)
        low, high = stats.t.interval(0.90, 2, 14.0, 1 / np.sqrt(3))
        assert (found.low, found.high) == pytest.approx((low, high))

    def test_one_reading_has_no_spread(self) -> None:
        found = summarise_moisture(np.array([13.0]))
        assert found.mean == 13
        assert all(isnan(number) for number in (found.spread, found.low, found.high))

    def test_readings_that_weigh_alike_are_summarised_as_without_weights(self) -> None:
        readings = np.array([13.1, 14.2, 12.9, 13.8])
        plain, weighed = summarise_moisture(readings), weighted_moisture(readings, np.full(4, 7.0))
        for one in ("count", "mean", "spread", "low", "high", "level"):
            assert getattr(weighed, one) == pytest.approx(getattr(plain, one)), one
        assert isnan(weighted_moisture(readings[:1], np.ones(1)).low)

    def test_a_reading_of_three_times_the_grain_weighs_three_times(self) -> None:
        """16 and 12 % at 3 to 1: the mean is 15; the variance .75 x 1 + .25 x 9 = 3, by 2 / 1 for two 6; as of 1.6 readings."""
        found = weighted_moisture(np.array([16.0, 12.0]), np.array([3.0, 1.0]), level=0.5)
        assert (found.mean, found.spread) == (15.0, pytest.approx(6**0.5))
        # t of one degree at 75 % is 1
        assert found.high - found.mean == pytest.approx((6 / 1.6) ** 0.5)

    def test_grain_of_no_mass_weighs_nothing(self) -> None:
        with pytest.raises(DataError, match="weighed by nothing"):
            weighted_moisture(np.array([16.0, 12.0]), np.array([3.0, 0.0]))

    @pytest.mark.parametrize(
        ("crop", "percent"),
        [("hard red wheat", 13.5), ("Field peas", 14), ("kabuli chickpeas", 14), ("Canola", 8.5), ("teff", None)],
    )
    def test_the_dry_standard_is_found_by_a_word_of_the_crop(self, crop: str, percent: float | None) -> None:
        found = dry_standard_of(crop)
        assert (None if found is None else found.percent) == percent

    def test_offsets_are_kept_per_crop_and_band_and_count_loads_not_readings(self) -> None:
        """Dry wheat reads low by a half, wet wheat high by one, peas high by 0.2; limits at 15 %."""
        offsets = moisture_offsets(
            load=np.array([0, 0, 0, 1, 1, 2, 3]),
            tester=np.array([12.9, 13.0, 13.1, 13.9, 14.1, 18.0, 17.0]),
            elevator=np.array([13.4, 14.6, 17.0, 16.8]),
            crop=np.array([0, 0, 0, 1]),
            band_edges=[15.0],
        )
        found = [(row.crop, row.band, row.loads, round(row.offset, 9)) for row in offsets]
        assert found == [(0, 0, 2, 0.5), (0, 1, 1, -1.0), (1, 1, 1, -0.2)]
        assert offsets[0].spread == pytest.approx(np.std([0.4, 0.6], ddof=1))
        assert offsets[0].low < 0.5 < offsets[0].high
        assert isnan(offsets[1].low)
        assert corrected_moisture(13.2, 0, offsets, [15.0]) == pytest.approx(13.7)
        assert corrected_moisture(15.0, 0, offsets, [15.0]) == pytest.approx(14.0)
        assert corrected_moisture(13.2, 1, offsets, [15.0]) is None

    def test_a_reading_on_the_limit_belongs_to_the_wetter_band(self) -> None:
        (row,) = moisture_offsets(np.array([0]), np.array([15.0]), np.array([14.0]), np.array([0]), [15.0])
        assert row.band == 1
        assert corrected_moisture(15.0, 0, (row,), [15.0]) == 14.0

    def test_grain_already_drier_than_the_basis_is_left_as_it_is(self) -> None:
        assert shrink_to(1000, 12, 13.5).mass == 1000

    def test_what_is_refused(self) -> None:
        with pytest.raises(DataError, match="no moisture readings"):
            summarise_moisture(np.empty(0))
        with pytest.raises(DataError, match="no percentage"):
            summarise_moisture(np.array([135.0]))
        with pytest.raises(DataError, match="do not rise"):
            moisture_offsets(np.array([0]), np.ones(1), np.ones(1), np.array([0]), [15.0, 14.0])
        with pytest.raises(DataError, match="no tester reading"):
            moisture_offsets(np.array([1]), np.ones(1), np.ones(2), np.array([0, 0]), [15.0])


class TestCalibration:
    """Indicated against true."""

    def test_the_factor_brings_the_sum_of_loads_to_the_scale(self) -> None:
        found = calibrate(np.array([4000.0, 6000.0]), np.array([4400.0, 6100.0]))
        assert found.factor == 1.05
        assert found.left_percent.tolist() == pytest.approx([(4200 / 4400 - 1) * 100, (6300 / 6100 - 1) * 100])

    def test_each_load_is_foretold_by_the_factor_of_the_others(self) -> None:
        found = calibrate(np.array([100.0, 100.0]), np.array([110.0, 100.0]))
        assert found.left_out_absolute_percent == pytest.approx((100 / 11 + 10) / 2)
        assert calibrate(np.array([100.0]), np.array([110.0])).left_out_absolute_percent is None

    def test_an_error_that_grows_with_flow_is_seen(self) -> None:
        true, flow = np.full(5, 1000.0), np.array([1.0, 2.0, 3.0, 4.0, 5.0])
        steady = calibrate(true * np.array([1.01, 0.99, 1.0, 1.01, 0.99]), true, flow)
        slanted = calibrate(true * (0.95 + 0.02 * flow + np.array([0.001, -0.001, 0, 0.001, -0.001])), true, flow)
        assert steady.flow is not None
        assert slanted.flow is not None
        assert (steady.flow.slopes, slanted.flow.slopes) == (False, True)
        assert slanted.flow.slope == pytest.approx(1.98)
        assert calibrate(true[:2], true[:2], flow[:2]).flow is None

    def test_what_is_refused(self) -> None:
        with pytest.raises(DataError, match="indicated and a true value"):
            calibrate(np.ones(2), np.ones(1))
        with pytest.raises(DataError, match="not above zero"):
            calibrate(np.zeros(1), np.ones(1))


class TestLoss:
    """Frames behind and ahead of the combine."""

    def test_machine_loss_is_divided_by_the_concentration_and_never_below_zero(self) -> None:
        loss = loss_from_mass(np.array([7.0, 9.0]), np.array([1.0, 3.0]), concentration=3)
        assert (loss.ahead, loss.machine, loss.total) == (2, 2, 4)
        assert loss.share_of_crop(96) == 0.04
        none = loss_from_mass(np.array([1.0, 1.0]), np.array([2.0, 2.0]), concentration=3)
        assert (none.machine, none.total) == (0, 2)

    def test_the_interval_carries_the_scatter_of_both_sets_of_frames(self) -> None:
        """Variances of the means 1 and 1: 1/9 + (2/3)^2 = 5/9."""
        loss = loss_from_mass(np.array([7.0, 9.0]), np.array([1.0, 3.0]), concentration=3, level=0.90)
        half = stats.norm.ppf(0.95) * np.sqrt(5) / 3
        assert (loss.low, loss.high) == pytest.approx((4 - half, 4 + half))

    def test_one_frame_has_no_interval(self) -> None:
        loss = loss_from_mass(np.array([7.0]), np.array([1.0]), concentration=3)
        assert isnan(loss.low)
        assert isnan(loss.high)

    def test_counts_are_weighed_by_the_kernel(self) -> None:
        """60 kernels of 30 to the gram on half a square metre: 4 g/m2, a quarter of it from one width."""
        loss = loss_from_counts(np.array([60.0]), np.empty(0), frame_area=0.5, concentration=4, per_gram=30)
        assert loss.total == 1

    def test_what_is_refused(self) -> None:
        with pytest.raises(DataError, match="wider than nothing"):
            concentration_factor(5, 30)
        with pytest.raises(DataError, match="zero or more"):
            loss_from_mass(np.empty(0), np.empty(0), concentration=3)
        with pytest.raises(DataError, match="kernel weight"):
            loss_from_counts(np.ones(1), np.ones(1), frame_area=1, concentration=3, per_gram=0)


class TestStraightLine:
    """Least squares, against scipy.stats.linregress."""

    hours = np.array([0.0, 120, 260, 400, 610, 800])
    loss = np.array([0.8, 0.9, 1.1, 1.0, 1.5, 1.6])

    def test_the_line_is_that_of_the_reference(self) -> None:
        line, reference = loss_with_wear(self.hours, self.loss), stats.linregress(self.hours, self.loss)
        half = stats.t.ppf(0.95, 4) * reference.stderr
        assert line.slope == pytest.approx(reference.slope, rel=1e-12)
        assert line.intercept == pytest.approx(reference.intercept, rel=1e-12)
        assert (line.slope_low, line.slope_high) == pytest.approx((reference.slope - half, reference.slope + half))
        assert line.slopes

    def test_nine_in_ten_new_checks_lie_in_the_interval(self) -> None:
        """Simulated (seed 3), 4,000 seasons: true slope 0.001, scatter 0.1; the next check at 1,000 h."""
        rng = np.random.default_rng(3)
        inside = 0
        for _ in range(4000):
            line = fit_straight_line(self.hours, 0.8 + 0.001 * self.hours + rng.normal(0, 0.1, 6), level=0.90)
            low, high = line.next_between(1000.0)
            inside += bool(low <= 1.8 + rng.normal(0, 0.1) <= high)
        assert 0.885 < inside / 4000 < 0.915

    def test_what_is_refused(self) -> None:
        with pytest.raises(DataError, match="needs three points; there are 2"):
            fit_straight_line([1, 2], [1, 2])
        with pytest.raises(DataError, match="at the same place"):
            fit_straight_line([1, 1, 1], [1, 2, 3])
