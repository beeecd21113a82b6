"""The belief behind lives by part number and ground: its density at many points at once, its mode and its curvature there.

The sum of exp(shape ln t) over the lives of one part on one ground goes by the shape alone. So a density costs what there are
of such cells, however many lives there are: at many points the sums are read off a polynomial between Chebyshev's points.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from wearlog.wear.arrays import FloatArray, IntArray, product
from wearlog.wear.lives import Lives
from wearlog.wear.prior import Prior

_LN2: Final = float(np.log(2.0))
#: shapes between which sums over lives are read; for fewer points they are reckoned
_SHAPES: Final = 72
#: beyond it no shape of a life lies: ln
_MOST_LOG_SHAPE: Final = 4.6
#: an exponent that is as good as endless
_ENDLESS: Final = 300.0
#: a direction about which nothing is known is taken as so wide: its curvature
_LEAST_CURVATURE: Final = 1e-4
_STEPS: Final = 60


@dataclass(frozen=True, slots=True, eq=False)
class _CellLives:
    """ln of usage of lives in order of their cells, with their weights; `cell` and the begin of each cell that has any."""

    logs: FloatArray
    weight: FloatArray
    cell: IntArray
    begins: IntArray
    held: IntArray
    top: FloatArray

    @classmethod
    def of(cls, logs: FloatArray, weight: FloatArray, cell: IntArray) -> _CellLives:
        order = np.argsort(cell, kind="stable")
        logs, weight, cell = logs[order], weight[order], cell[order]
        held, begins = np.unique(cell, return_index=True)
        top = np.maximum.reduceat(logs, begins) if logs.size else logs
        return cls(logs, weight, cell, begins, held, top)

    def log_sums(self, shape: FloatArray) -> FloatArray:
        """ln of the sum of weight x exp(shape (ln t - the cell's longest)) for each shape and cell that has any: (k, held)."""
        if shape.size > 2 * _SHAPES:
            log_shape = np.log(shape)
            low, high = float(log_shape.min()), float(log_shape.max())
            if high - low > 1e-3:
                knots = np.cos((2 * np.arange(_SHAPES) + 1) * np.pi / (2 * _SHAPES))
                share = (-1.0) ** np.arange(_SHAPES) * np.sin((2 * np.arange(_SHAPES) + 1) * np.pi / (2 * _SHAPES))
                at = (2 * log_shape - low - high) / (high - low)
                apart = at[:, None] - knots
                parts = share / np.where(apart == 0, 1e-15, apart)
                parts /= parts.sum(axis=1, keepdims=True)
                return product(parts, self.log_sums(np.exp((knots * (high - low) + low + high) / 2)))
        below = self.logs - np.repeat(self.top, np.diff(np.append(self.begins, self.logs.size)))
        each = self.weight * np.exp(shape[:, None] * below)
        return np.log(np.add.reduceat(each, self.begins, axis=1))


@dataclass(frozen=True, slots=True, eq=False)
class PartModel:
    """What the lives weigh and the laws before them; a point is z = (ln shape, th of each part, ga of each ground but the first).

    Attributes
    ----------
    parts, grounds : int
    life_mean, life_sd : float
        Of ln(median life) before any life, of the kind.
    """

    parts: int
    grounds: int
    life_mean: float
    life_sd: float
    _guess: Prior
    _ground_sd: float
    _exit: _CellLives
    _entry: _CellLives
    _failures: FloatArray
    _failed_logs: float
    _design: FloatArray

    @classmethod
    def of(cls, lives: Lives, part: IntArray, ground: IntArray, guess: Prior, ground_sd: float) -> PartModel:
        """Return the model of lives, rows of equal part and ground gathered.

        Parameters
        ----------
        lives : Lives
            A failure found by measuring counts at the middle of its interval.
        part, ground : (n,) int64
            Of each row, from 0.
        guess : Prior
            Of the kind.
        ground_sd : float
            Of ln(life) between grounds.
        """
        seen = (
            lives.exit
            if lives.last_seen is None
            else np.where(lives.event, (lives.exit + lives.last_seen) / 2, lives.exit)
        )
        log_exit = np.log(seen)
        mean, spread = guess.log_life_mean, guess.log_life_sd
        if not guess.knows_life:
            # flat: as wide as any life can be, about what was seen
            mean, spread = float(np.average(log_exit, weights=lives.weight)), 3.0
        parts, grounds = int(part.max(initial=0)) + 1, int(ground.max(initial=0)) + 1
        cells, cell = np.unique(part * grounds + ground, return_inverse=True)
        design = np.zeros((cells.size, parts + grounds))
        design[np.arange(cells.size), cells // grounds] = 1.0
        design[np.arange(cells.size), parts + cells % grounds] = 1.0
        failed = lives.weight * lives.event.astype(np.float64)
        entry = np.minimum(lives.entry, seen)
        late = entry > 0
        return cls(
            parts=parts,
            grounds=grounds,
            life_mean=mean,
            life_sd=spread,
            _guess=guess,
            _ground_sd=ground_sd,
            _exit=_CellLives.of(log_exit, lives.weight, cell),
            _entry=_CellLives.of(np.log(entry[late]), lives.weight[late], cell[late]),
            _failures=np.bincount(cell, failed, minlength=cells.size).astype(np.float64),
            _failed_logs=float(failed @ log_exit),
            # the first ground is what the others are measured against
            _design=np.delete(design, parts, axis=1),
        )

    def log_density(self, z: FloatArray, inverse: FloatArray) -> FloatArray:
        """Return ln of posterior density up to a constant.

        Parameters
        ----------
        z : (k, dimensions) float64
        inverse : (parts, parts) float64
            Of the covariance of th.

        Returns
        -------
        (k,) float64
        """
        log_shape, off = z[:, 0], z[:, 1 : 1 + self.parts] - self.life_mean
        shape = np.exp(np.clip(log_shape, -_MOST_LOG_SHAPE, _MOST_LOG_SHAPE))
        middle = product(z[:, 1:], self._design.T)
        hazard = self._failures.sum() * log_shape + shape * (
            self._failed_logs - np.einsum("ki,i->k", middle, self._failures)
        )
        ran = self._ran(self._exit, shape, middle) - self._ran(self._entry, shape, middle)
        prior = -0.5 * (product(off, inverse) * off).sum(axis=1)
        prior -= 0.5 * (z[:, 1 + self.parts :] ** 2).sum(axis=1) / self._ground_sd**2
        if np.isfinite(self._guess.log_shape_sd):
            prior -= 0.5 * ((log_shape - self._guess.log_shape_mean) / self._shape_sd) ** 2
        return np.asarray(hazard - _LN2 * ran + prior)

    @property
    def _shape_sd(self) -> float:
        return max(self._guess.log_shape_sd, 0.02)

    @staticmethod
    def _ran(cells: _CellLives, shape: FloatArray, middle: FloatArray) -> FloatArray:
        """The sum of weight x (t / median)^shape over the lives."""
        if not cells.held.size:
            return np.zeros(shape.size)
        reach = shape[:, None] * (cells.top - middle[:, cells.held]) + cells.log_sums(shape)
        return np.asarray(np.exp(np.minimum(reach, _ENDLESS)).sum(axis=1))

    def mode(self, inverse: FloatArray, start: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return where the density is greatest, and a root of the covariance that the curvature there says.

        Parameters
        ----------
        inverse : (parts, parts) float64
            Of the covariance of th.
        start : (dimensions,) float64

        Notes
        -----
        Newton's steps with slope and curvature as they are, each halved until the density grows.
        """
        z, value = start, float(self.log_density(start[None, :], inverse)[0])
        for _ in range(_STEPS):
            slope, curve = self._slopes(z, inverse)
            values, vectors = np.linalg.eigh(-curve)
            along = vectors.T @ slope
            step = vectors @ (along / np.maximum(np.abs(values), _LEAST_CURVATURE))
            # no step beyond a factor of some seven in a life
            step *= min(1.0, 2.0 / max(float(np.abs(step).max()), 1e-300))
            if float(np.abs(step).max()) < 1e-9:
                break
            share, promised = 1.0, float(slope @ step)
            while share > 1e-9:
                there = float(self.log_density((z + share * step)[None, :], inverse)[0])
                if there >= value + 1e-4 * share * promised:
                    break
                share /= 2
            else:
                break
            z, value = z + share * step, there
        values, vectors = np.linalg.eigh(-self._slopes(z, inverse)[1])
        spread = 1 / np.sqrt(np.clip(values, _LEAST_CURVATURE, None))
        return z, np.linalg.qr((vectors * spread).T)[1].T

    def _slopes(self, z: FloatArray, inverse: FloatArray) -> tuple[FloatArray, FloatArray]:
        """First and second derivatives of `log_density` at one point."""
        shape = float(np.exp(np.clip(z[0], -_MOST_LOG_SHAPE, _MOST_LOG_SHAPE)))
        middle = self._design @ z[1:]
        sums = self._powers(self._exit, shape, middle) - self._powers(self._entry, shape, middle)
        ran, first, second = (_LN2 * shape**power * one for power, one in enumerate(sums))
        failed = shape * (self._failed_logs - float(self._failures @ middle))
        by_cell = shape * (ran - self._failures)
        slope, curve = np.zeros(z.size), np.zeros((z.size, z.size))
        slope[0] = self._failures.sum() + failed - first.sum()
        slope[1:] = self._design.T @ by_cell
        curve[0, 0] = failed - (first + second).sum()
        curve[0, 1:] = curve[1:, 0] = self._design.T @ (by_cell + shape * first)
        curve[1:, 1:] = -(self._design.T * (shape**2 * ran)) @ self._design
        th, ga = slice(1, 1 + self.parts), np.arange(1 + self.parts, z.size)
        slope[th] -= inverse @ (z[th] - self.life_mean)
        curve[th, th] -= inverse
        slope[ga] -= z[ga] / self._ground_sd**2
        curve[ga, ga] -= 1 / self._ground_sd**2
        if np.isfinite(self._guess.log_shape_sd):
            slope[0] -= (z[0] - self._guess.log_shape_mean) / self._shape_sd**2
            curve[0, 0] -= 1 / self._shape_sd**2
        return slope, curve

    def _powers(self, cells: _CellLives, shape: float, middle: FloatArray) -> FloatArray:
        """By cell the sums of weight x (t / median)^shape, and of that times ln(t / median) once and twice: (3, cells)."""
        off = cells.logs - middle[cells.cell]
        ran = cells.weight * np.exp(np.minimum(shape * off, _ENDLESS))
        return np.array([np.bincount(cells.cell, ran * off**power, minlength=middle.size) for power in range(3)])
