"""Machines that wear a kind of part each in its own way around the life of the kind: a cheap test, and the law of each."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtrc

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, IntArray, fixed
from wearlog.wear.intervals import Estimate
from wearlog.wear.lives import Lives
from wearlog.wear.own_life import OwnLife, weighted_quantiles
from wearlog.wear.posterior import Nodes, Posterior
from wearlog.wear.posterior_rows import LOG_LN2, LifeEvidence
from wearlog.wear.prior import Prior

#: sd of a machine's ln(life) about the kind's, and how likely each is beforehand: exp(-sd / 0.7)
SPREADS: FloatArray = np.array([0.0, 0.1, 0.2, 0.35, 0.5, 0.75, 1.0])
_FADING = 0.7
_SHAPES, _MOST_LIVES, _STEP = 14, 320, 0.03
#: how far ln(life) reaches beyond what machines and prior say: further up, where a machine without failures may lie
_BELOW, _ABOVE = 1.5, 2.3
_FAINT, _FLOOR, _LARGEST = 1e-6, 1e-15, 700.0
#: shapes and spreads together that the records leave less than this tell nothing of a machine
_UNHEARD = 1e-13
#: so many machines are reckoned at once; their likelihoods at one place, multiplied, stay above the smallest number
_AT_ONCE = 16
_SAID = np.array([0.1, 0.5, 0.9])

Spectra = NDArray[np.complex128]
T = TypeVar("T")


def machines_alike(machines: Sequence[Lives], pooled: Posterior) -> float:
    """Return how likely so unlike counts of failures would be if the machines were alike: small says that they differ.

    Parameters
    ----------
    machines : sequence of Lives
        One for each machine.
    pooled : Posterior
        Of all of them together.

    Notes
    -----
    Pearson's test of the failures of each machine against what its lives have run through of the cumulative hazard at the middle
    of the pooled posterior, chi-squared with one degree fewer than there are machines; a failure between two looks counts at
    the second. It costs one pass over the lives and stands in for the law of machines where they are alike.

    References
    ----------
    D. Commenges and P. K. Andersen, Lifetime Data Analysis 1 (1995) 145 (score test of homogeneity), from memory.
    """
    shape, life = pooled.middle()
    scale = life / math.log(2.0) ** (1 / shape)
    ran = np.array([_hazard(one, shape, scale) for one in machines])
    failed = np.array([one.failures for one in machines])
    seen = ran > 0
    if seen.sum() < 2 or failed.sum() < 2:
        return 1.0
    due = ran[seen] * failed[seen].sum() / ran[seen].sum()
    return float(chdtrc(seen.sum() - 1, float(((failed[seen] - due) ** 2 / due).sum())))


def _hazard(lives: Lives, shape: float, scale: float) -> float:
    return float(lives.weight @ ((lives.exit / scale) ** shape - (lives.entry / scale) ** shape)) if len(lives) else 0.0


@dataclass(frozen=True, eq=False)
class MachineLives:
    """A kind of part on machines that differ: ln life of machine m = ln life of the kind + u_m, u_m normal with sd `spread`.

    Attributes
    ----------
    spread_weight : array of shape (7,)
        Posterior of the sd of u at `SPREADS`; the weights sum to 1.
    """

    spread_weight: FloatArray
    _grid: _Grid
    _weight: FloatArray
    _evidence: tuple[tuple[LifeEvidence, Lives], ...]

    @cached_property
    def laws(self) -> tuple[OwnLife, ...]:
        """One law for each machine, in the order that their lives were given; worked out when they are first asked for."""
        heard = _Heard.of(self._grid, self._weight)
        # reckoned again for it: of every machine at once the likelihoods would be hundreds of megabytes
        found = []
        for some in _some(self._evidence):
            logs, _ = _log_likelihoods([evidence for evidence, _ in some], heard.grid)
            found += heard.laws(np.exp(logs), [lives for _, lives in some])
        return tuple(found)

    @cached_property
    def unseen(self) -> OwnLife:
        """The law of a machine that nobody has watched."""
        return _Heard.of(self._grid, self._weight).unseen()

    @property
    def differ(self) -> float:
        """The posterior chance that machines differ at all, by an sd of 0.1 or more."""
        return float(self.spread_weight[1:].sum())


def fit_machines(machines: Sequence[Lives], prior: Prior, pooled: Posterior) -> MachineLives:
    """Return what the lives of a kind on several machines say of their spread, and of each machine.

    Parameters
    ----------
    machines : sequence of Lives
        One for each machine, in the unit of the kind's meter.
    prior : Prior
        The starting guess of the kind: where the life of a machine in the middle lies.
    pooled : Posterior
        Of all lives together; it says where to look.

    Raises
    ------
    DataError
        If nothing has failed on any machine.

    Notes
    -----
    Likelihood on a grid of 14 shapes and up to 320 values of ln(median life). At each spread the likelihood of a machine is blurred
    over its own ln(life) by the normal law, by the fast Fourier transform, and the machines are multiplied: cost is linear in
    machines. The sd is 0, 0.1, 0.2, 0.35, 0.5, 0.75 or 1 with weight exp(-sd/0.7) beforehand (common practice, no source).
    A machine's own law is its likelihood times the same blur of what all others say.

    References
    ----------
    A. Gelman et al., Bayesian Data Analysis, 3rd ed., CRC 2013, ch. 5 (exchangeable groups), from memory.
    """
    if not sum(one.failures for one in machines):
        raise DataError("Nothing has failed on any machine.", "Wait for the first failure.")
    grid = _Grid.about(machines, prior, pooled)
    evidence = [LifeEvidence(one, prior) for one in machines]
    total = np.broadcast_to(_log_prior(prior, grid), (len(SPREADS), *grid.size)) - (SPREADS / _FADING)[:, None, None]
    for some in _some(evidence):
        logs, top = _log_likelihoods(some, grid)
        alike = np.maximum(logs, math.log(1e-300)).sum(axis=0)
        unlike = np.log([one.prod(axis=0) for one in grid.blurred(np.exp(logs))])
        total = total + np.concatenate([alike[None], unlike]) + top.sum(axis=0)
    weight = np.exp(total - total.max())
    weight /= weight.sum()
    of_spread = weight.sum(axis=(1, 2))
    fixed(of_spread)
    return MachineLives(of_spread, grid, weight, tuple(zip(evidence, machines, strict=True)))


@dataclass(frozen=True, eq=False)
class _Grid:
    """Shapes (s,), even steps of ln(median life) (k,), and the transforms of the normal laws of all spreads but 0 (t, f)."""

    log_shape: FloatArray
    log_life: FloatArray
    bells: Spectra

    @cached_property
    def near(self) -> FloatArray:
        """The normal laws themselves, (t, steps)."""
        return np.maximum(np.fft.irfft(self.bells, 2 * len(self.log_life)), 0.0)

    @classmethod
    def about(cls, machines: Sequence[Lives], prior: Prior, pooled: Posterior) -> _Grid:
        """Return a grid that holds what machines and prior may say; unlike machines look flatter together than each is."""
        shape, life = pooled.shape(0.99), pooled.median_life(0.99)
        log_shape = np.linspace(math.log(0.8 * shape.low), math.log(2.2 * shape.high), _SHAPES)
        if prior.log_shape_sd == 0:
            log_shape = np.array([prior.log_shape_mean])
        middle = shape.median
        own = [_own_life(one, middle) for one in machines if one.failures]
        low, high = math.log(min([life.low, *own])) - _BELOW, math.log(max([life.high, *own])) + _ABOVE
        # a length whose transform is quick
        count = min(_MOST_LIVES, 32 * math.ceil((high - low) / _STEP / 32))
        log_life = np.linspace(low, high, count)
        step = float(log_life[1] - log_life[0])
        apart = np.minimum(np.arange(2 * count), np.arange(2 * count, 0, -1)) * step
        bells = np.exp(-0.5 * (apart / SPREADS[1:, None]) ** 2)
        return cls(log_shape, log_life, np.fft.rfft(bells / bells.sum(axis=1, keepdims=True)))

    @property
    def size(self) -> tuple[int, int]:
        return len(self.log_shape), len(self.log_life)

    def spectrum(self, values: FloatArray) -> Spectra:
        """Return the transform along ln(life), with as much room beside it."""
        return np.asarray(np.fft.rfft(values, 2 * len(self.log_life)))

    def back(self, spectrum: Spectra) -> FloatArray:
        """Return what a transform is of, without the room beside it."""
        found = np.fft.irfft(spectrum, 2 * len(self.log_life))
        return np.maximum(found[..., : len(self.log_life)], 0.0)

    def blurred(self, plain: FloatArray) -> Iterator[FloatArray]:
        """Yield likelihoods of machines (m, s, k) at each spread but 0: of all spreads at once they would wait for memory."""
        spectra = self.spectrum(plain)
        for bell in self.bells:
            found = np.fft.irfft(spectra * bell, 2 * len(self.log_life))[..., : len(self.log_life)]
            # what lies below the rounding of a transform is nothing
            yield np.maximum(found, _FLOOR)


def _own_life(lives: Lives, shape: float) -> float:
    """Return the likeliest median life of one machine at a shape."""
    powers = float(lives.weight @ (lives.exit**shape - lives.entry**shape))
    return float((math.log(2.0) * powers / lives.failures) ** (1 / shape))


def _some(each: Sequence[T]) -> Iterator[Sequence[T]]:
    return (each[begin : begin + _AT_ONCE] for begin in range(0, len(each), _AT_ONCE))


def _log_likelihoods(each: Sequence[LifeEvidence], grid: _Grid) -> tuple[FloatArray, FloatArray]:
    """Return ln of the likelihoods (m, s, k) of machines over the largest at each shape, and ln of that, (m, s, 1)."""
    failures, sum_log, unit = np.array([(one.failures, one.sum_log, one.unit) for one in each]).T[:, :, None, None]
    shape = np.exp(grid.log_shape)[:, None]
    with np.errstate(divide="ignore"):
        powers = np.log(math.log(2.0) * np.maximum(_power_sums(each, shape[:, 0]), 0.0))[:, :, None]
    life = grid.log_life - unit
    ran = shape * life
    found = failures * (np.log(shape) + LOG_LN2) + (shape - 1) * sum_log
    found = found - failures * ran - np.exp(np.minimum(powers - ran, _LARGEST))
    for place, one in enumerate(each):
        columns = (one.between_low, one.between_high, one.between_weight)
        for begin, end, weight in zip(*(column.tolist() for column in columns), strict=True):
            step = shape * end + np.log(-np.expm1(shape * (begin - end))) + LOG_LN2
            worn = np.exp(np.minimum(step - ran[place], math.log(_LARGEST)))
            found[place] += weight * np.log(-np.expm1(-np.maximum(worn, 1e-300)))
    top = found.max(axis=2, keepdims=True)
    return found - top, top


def _power_sums(each: Sequence[LifeEvidence], shape: FloatArray) -> FloatArray:
    """Return the power sums of each machine's lives, (m, s); see `LifeEvidence.power_sums`."""
    found = np.zeros((len(each), len(shape)))
    counts = np.array([one.log_age.size for one in each])
    if counts.any():
        powers = np.exp(shape[:, None] * np.concatenate([one.log_age for one in each]))
        powers *= np.concatenate([one.weight for one in each])
        seen = counts > 0
        starts = np.cumsum(counts) - counts
        found[seen] = np.add.reduceat(powers, starts[seen], axis=1).T
    return found


def _log_prior(prior: Prior, grid: _Grid) -> FloatArray:
    found = np.zeros(grid.size)
    if prior.knows_life:
        apart = [
            (share, (grid.log_life - own.log_life_mean) / own.log_life_sd, own.log_life_sd)
            for share, own in prior.parts
        ]
        found = found + np.log(sum(share * np.exp(-0.5 * off**2) / sd + 1e-300 for share, off, sd in apart))
    shape = grid.log_shape[:, None]
    if 0 < prior.log_shape_sd < math.inf:
        found = found - 0.5 * ((shape - prior.log_shape_mean) / prior.log_shape_sd) ** 2
    outside = (shape < math.log(prior.shape_low)) | (shape > math.log(prior.shape_high))
    return np.asarray(np.where(outside, -np.inf, found))


@dataclass(frozen=True, eq=False)
class _Heard:
    """What of a posterior of spreads (t), shapes (s) and lives (k) tells anything of a machine.

    Attributes
    ----------
    grid : _Grid
        With the shapes that tell anything.
    alike : array of shape (s, k)
        The posterior where the spread is 0.
    unlike : array of shape (p, k)
        The same of each other spread with each shape that tell anything together, by shape.
    spread, shape : arrays of shape (p,)
        Which these are; the spread is counted from the first above 0.
    """

    grid: _Grid
    alike: FloatArray
    unlike: FloatArray
    spread: IntArray
    shape: IntArray

    @classmethod
    def of(cls, grid: _Grid, weight: FloatArray) -> _Heard:
        told = weight.sum(axis=2) > _UNHEARD
        shapes = told.any(axis=0)
        shape, spread = np.nonzero(told[1:, shapes].T)
        weight = weight[:, shapes]
        return cls(replace(grid, log_shape=grid.log_shape[shapes]), weight[0], weight[spread + 1, shape], spread, shape)

    def laws(self, plain: FloatArray, each: Sequence[Lives]) -> list[OwnLife]:
        """Return the laws of machines by their likelihoods (m, s, k): each times what the others say of the kind, blurred."""
        spectra = self.grid.spectrum(plain)
        smeared = self.grid.back(spectra[:, self.shape] * self.grid.bells[self.spread])
        alike, unlike = self.alike / np.maximum(plain, 1e-300), self.unlike / np.maximum(smeared, _FLOOR)
        counts = [(lives.failures, lives.count) for lives in each]
        return self._of_others(plain, spectra, alike, unlike, counts)

    def unseen(self) -> OwnLife:
        """Return the law of a machine that nobody has watched."""
        plain = np.ones((1, *self.grid.size))
        alike, unlike = self.alike[None], self.unlike[None]
        return self._of_others(plain, self.grid.spectrum(plain), alike, unlike, [(0.0, 0.0)])[0]

    def _of_others(
        self,
        plain: FloatArray,
        spectra: Spectra,
        alike: FloatArray,
        unlike: FloatArray,
        counts: Sequence[tuple[float, float]],
    ) -> list[OwnLife]:
        """Return the laws of machines with the likelihoods `plain` where the others say `alike` (m, s, k), `unlike` (m, p, k)."""
        others = self.grid.spectrum(unlike)
        law = alike.copy()
        if self.shape.size:
            shapes, starts = np.unique(self.shape, return_index=True)
            law[:, shapes] += self.grid.back(np.add.reduceat(others * self.grid.bells[self.spread], starts, axis=1))
        law *= plain
        law /= law.sum(axis=(1, 2), keepdims=True)
        shape = np.broadcast_to(np.exp(self.grid.log_shape)[:, None], self.grid.size)
        scale = np.exp(self.grid.log_life - LOG_LN2 / shape)
        ratios = self._ratios((alike * plain).sum(axis=(1, 2)), others, spectra)
        return [
            OwnLife(_heavy_nodes(shape, scale, weight), ratio, *count)
            for weight, ratio, count in zip(law, ratios, counts, strict=True)
        ]

    def _ratios(self, alike: FloatArray, others: Spectra, plain: Spectra) -> Iterator[Estimate]:
        """Yield the law of each machine's life over the kind's, with its 80 % interval."""
        count = len(self.grid.log_life)
        met = np.conj(others) * plain[:, self.shape]
        by_spread = np.stack([met[:, self.spread == one].sum(axis=1) for one in range(len(self.grid.bells))], axis=1)
        apart = np.maximum(np.fft.irfft(by_spread, 2 * count), 0.0) * self.grid.near
        chance = np.roll(apart.sum(axis=1), count, axis=1)
        chance[:, count] += alike
        chance /= chance.sum(axis=1, keepdims=True)
        steps = (np.arange(2 * count) - count) * (self.grid.log_life[1] - self.grid.log_life[0])
        for one in chance:
            low, median, high = np.exp(weighted_quantiles(steps, one, _SAID))
            yield Estimate(float(median), float(low), float(high), 0.8, float(one @ np.exp(steps)))


def _heavy_nodes(shape: FloatArray, scale: FloatArray, weight: FloatArray) -> Nodes:
    """Return the nodes of a grid, all of shape (s, k), that weigh anything."""
    heavy = weight > _FAINT
    nodes = Nodes(shape[heavy], scale[heavy], weight[heavy] / weight[heavy].sum())
    for one in (nodes.shape, nodes.scale, nodes.weight):
        fixed(one)
    return nodes
