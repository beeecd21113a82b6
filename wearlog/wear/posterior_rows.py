"""The posterior of a life for given shapes: log-density of ln(median life), its peak and its stretch; no integral.

For each shape b the posterior of u = ln(median life) is one row. The scatter law puts ln(2) (t/m)^b in place of
(t/scale)^b, so that all exact ages enter through one sum per shape and a row costs nothing in the number of lives.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from copy import copy

import numpy as np
from scipy.special import wrightomega

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray
from wearlog.wear.lives import Lives
from wearlog.wear.prior import Prior

LOG_LN2 = math.log(math.log(2.0))
DROP = 31.0  # density below exp(-31) of its peak is left out: 3e-14
_LARGEST = 700.0
_BLOCK = 1024  # lives taken at once, so that a block stays in the cache


class LifeEvidence:
    """What lives and prior say of (shape, median life), arranged so that many shapes are asked at once."""

    def __init__(self, lives: Lives, prior: Prior) -> None:
        between = lives.between_inspections
        exact = lives.event & ~between
        seen = lives.exit if lives.last_seen is None else np.where(between, lives.last_seen, lives.exit)
        late, used = lives.entry > 0, seen > lives.entry
        self.failures = float(lives.weight[exact].sum())
        self.unit = float(np.log(lives.exit.max())) if len(lives) else 0.0
        self.sum_log = float(lives.weight[exact] @ (np.log(lives.exit[exact]) - self.unit))
        # late entries take back what lies before them: exits of negative weight
        ages = np.concatenate([seen[used], lives.entry[late & used]])
        self.log_age = np.log(ages) - self.unit
        self.weight = np.concatenate([lives.weight[used], -lives.weight[late & used]])
        self.between_weight = lives.weight[between]
        self.between_high = np.log(lives.exit[between]) - self.unit
        with np.errstate(divide="ignore"):
            self.between_low = np.log(seen[between]) - self.unit
        self.has_failure = bool(lives.event.any())
        self._believe(prior)

    def _believe(self, prior: Prior) -> None:
        self.prior = prior
        self.life_mean = prior.log_life_mean - self.unit  # everything inside is in ln(age / oldest)

    def under(self, prior: Prior) -> LifeEvidence:
        """Return the same lives under another prior.

        Parameters
        ----------
        prior : Prior
            What is believed beforehand instead.
        """
        found = copy(self)
        found._believe(prior)
        return found

    def power_sums(self, shape: FloatArray) -> FloatArray:
        """Return the sum over lives of exit^shape - entry^shape, ages in units of the oldest, for each shape.

        Parameters
        ----------
        shape : array, shape (s,)
            Weibull shapes.
        """
        total = np.zeros(len(shape))
        for start in range(0, len(self.log_age), _BLOCK):
            block = slice(start, start + _BLOCK)
            # einsum and not @: see times_table
            total += np.einsum("sn,n->s", np.exp(shape[:, None] * self.log_age[block]), self.weight[block])
        return total

    @property
    def columns(self) -> tuple[float, ...]:
        """What a row of equal shape asks of it: see `Rows`."""
        prior, failures = self.prior, self.failures + float(self.between_weight.sum())
        precision = 1 / prior.log_life_sd**2 if prior.knows_life else 0.0
        # a law without an end says nothing
        shape_sd = prior.log_shape_sd if prior.log_shape_sd > 0 else math.inf
        log_failures = math.log(failures) if failures > 0 else 0.0
        log_precision = math.log(precision) if precision else 0.0
        return (
            *(self.failures, failures, log_failures, self.sum_log),
            *(self.life_mean, precision, log_precision, prior.log_shape_mean, shape_sd),
        )


class Rows:
    """Log-density of u = ln(median life / oldest age), one concave function per shape.

    Parameters
    ----------
    stack : sequence of LifeEvidence
        (p,), of one kind or of many; one with failures between inspections stands alone.
    log_shape : array, shape (p, s)
        Logarithms of Weibull shapes, a row for each evidence. All questions are about them one after the other, (p s,).
    """

    def __init__(self, stack: Sequence[LifeEvidence], log_shape: FloatArray) -> None:
        self.size = log_shape.shape
        flat = log_shape.ravel()
        self.shape = np.exp(flat)
        each = np.repeat(np.array([one.columns for one in stack]).T, self.size[1], axis=1)
        self.failures, self.all_failures, self.log_failures, sum_log = each[:4]
        self.life_mean, self.precision, self.log_precision, shape_mean, shape_sd = each[4:]
        sums = [one.power_sums(shapes) for one, shapes in zip(stack, self.shape.reshape(self.size), strict=True)]
        self.power_sum = math.log(2.0) * np.maximum(np.concatenate(sums), 0.0)
        self.constant = self.failures * (flat + LOG_LN2) + (self.shape - 1) * sum_log
        self.constant -= 0.5 * ((flat - shape_mean) / shape_sd) ** 2
        self.between_weight = stack[0].between_weight
        if len(self.between_weight):
            high = self.shape[:, None] * stack[0].between_high
            low = self.shape[:, None] * stack[0].between_low
            self.log_step: FloatArray | None = high + np.log(-np.expm1(low - high)) + LOG_LN2
        else:
            self.log_step = None
        self.peak = self._peak()  # every question after this starts from it

    def density(self, u: FloatArray) -> FloatArray:
        """Return the log-density (without its norm) at u, shape (p s,) or (p s, k).

        Parameters
        ----------
        u : array, shape (p s,) or (p s, k)
            ln(median life), one or more for each shape.
        """
        names = ("shape", "power_sum", "constant", "failures", "precision", "life_mean")
        shape, powers, constant, failures, precision, mean = (_beside(getattr(self, name), u) for name in names)
        with np.errstate(over="ignore"):
            value = constant - failures * shape * u - powers * np.exp(np.minimum(-shape * u, _LARGEST))
        value -= 0.5 * precision * (u - mean) ** 2
        if self.log_step is not None:
            value += self._between(u, shape)
        return np.asarray(value)

    def _between(self, u: FloatArray, shape: FloatArray) -> FloatArray:
        """Return the part of failures between inspections, sum of weight x ln(1 - exp(-D)), life by life."""
        assert self.log_step is not None
        total = np.zeros(u.shape)
        for step, weight in zip(self.log_step.T, self.between_weight, strict=True):
            D = np.exp(np.minimum(_beside(step, u) - shape * u, math.log(_LARGEST)))
            total += weight * np.log(-np.expm1(-np.maximum(D, 1e-300)))
        return total

    def slopes(self, u: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return first and second derivative of the log-density at u, shape (p s,).

        Parameters
        ----------
        u : array, shape (p s,)
            ln(median life), one for each shape.
        """
        b = self.shape
        hazard = self.power_sum * np.exp(np.minimum(-b * u, _LARGEST))
        first = b * (hazard - self.failures) - self.precision * (u - self.life_mean)
        second = -b * b * hazard - self.precision
        if self.log_step is not None:
            D = np.maximum(np.exp(np.minimum(self.log_step - (b * u)[:, None], math.log(_LARGEST))), 1e-300)
            q = D / np.expm1(D)
            first = first - b * (q @ self.between_weight)
            second = second + b * b * ((q * (1 - D - q)) @ self.between_weight)
        return first, np.minimum(second, -1e-300)

    def _peak(self) -> FloatArray:
        """Return the u of greatest density for each shape: a Wright omega function, then Newton's method if needed."""
        b, powers = self.shape, self.power_sum
        if self.log_step is not None:  # to start: as if those failures had come at the end of their interval
            powers = powers + np.exp(self.log_step) @ self.between_weight
        with np.errstate(divide="ignore"):
            log_powers = np.log(powers)
        u = (log_powers - self.log_failures) / b
        if (known := self.precision > 0).any():
            base = self.life_mean[known] - self.all_failures[known] * b[known] / self.precision[known]
            climbed = log_powers[known] + 2 * np.log(b[known]) - self.log_precision[known] - b[known] * base
            u[known] = base + wrightomega(climbed).real / b[known]
        return u if self.log_step is None else self._climb(u)

    def _climb(self, u: FloatArray) -> FloatArray:
        """Return the peak by Newton's method with steps of at most 2 / shape."""
        for _ in range(100):
            first, second = self.slopes(u)
            # concave in u, so that steps kept short always arrive
            step = np.clip(-first / second, -2 / self.shape, 2 / self.shape)
            u = u + step
            if np.abs(step * self.shape).max() < 1e-8:
                break
        return u

    def log_mass(self) -> FloatArray:
        """Return Laplace's value of the row integrals, (p, s): close enough to find where the shapes lie."""
        return np.asarray(self.density(self.peak) - 0.5 * np.log(-self.slopes(self.peak)[1])).reshape(self.size)

    def stretch(self) -> tuple[FloatArray, FloatArray]:
        """Return start and end of each row: where its density has dropped by exp(-31), to 2 % on the outer side."""
        top = self.density(self.peak)[:, None]
        peak, sides = self.peak[:, None], np.array([-1.0, 1.0])
        outer = np.sqrt(2 * DROP / -self.slopes(self.peak)[1])[:, None] * np.ones(2)
        inner = np.zeros_like(outer)
        for _ in range(60):
            inside = top - self.density(peak + sides * outer) < DROP
            if not inside.any():
                break
            inner, outer = np.where(inside, outer, inner), np.where(inside, 2 * outer, outer)
        else:
            raise DataError(
                "These lives and the starting guess leave the life without a bound.",
                "Give a starting guess of the life.",
            )
        for _ in range(6):
            middle = 0.5 * (inner + outer)
            inside = top - self.density(peak + sides * middle) < DROP
            inner, outer = np.where(inside, middle, inner), np.where(inside, outer, middle)
        return self.peak - outer[:, 0], self.peak + outer[:, 1]


def _beside(column: FloatArray, u: FloatArray) -> FloatArray:
    """Return `column` (s,) shaped to stand beside u of shape (s,) or (s, k)."""
    return column if u.ndim == 1 else column[:, None]
