"""Machines that wear a kind of part each in its own way around the life of the kind: a cheap test, and the law of each."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtrc

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, fixed
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
_SAID = np.array([0.1, 0.5, 0.9])

Spectra = NDArray[np.complex128]


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
    shape = pooled.shape().median
    scale = pooled.median_life().median / math.log(2.0) ** (1 / shape)
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
    unseen : OwnLife
        The law of a machine that nobody has watched.
    """

    spread_weight: FloatArray
    unseen: OwnLife
    _grid: _Grid
    _weight: FloatArray
    _evidence: tuple[tuple[LifeEvidence, Lives], ...]

    @cached_property
    def laws(self) -> tuple[OwnLife, ...]:
        """One law for each machine, in the order that their lives were given; worked out when they are first asked for."""
        found = []
        for evidence, lives in self._evidence:
            # reckoned again for it: of every machine at once it would be hundreds of megabytes
            plain, _ = _likelihood(evidence, self._grid)
            found.append(_own(self._grid, plain, self._weight / self._grid.blurred(plain), lives))
        return tuple(found)

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
    for one in evidence:
        plain, top = _likelihood(one, grid)
        total = total + np.log(np.maximum(grid.blurred(plain), 1e-300)) + top
    weight = np.exp(total - total.max())
    weight /= weight.sum()
    of_spread = weight.sum(axis=(1, 2))
    fixed(of_spread)
    unseen = _own(grid, np.ones(grid.size), weight, None)
    return MachineLives(of_spread, unseen, grid, weight, tuple(zip(evidence, machines, strict=True)))


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
        middle = float(pooled.shape().median)
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

    def blurred(self, plain: FloatArray) -> FloatArray:
        """Return a likelihood (s, k) at each spread, (t, s, k)."""
        smeared = self.back(self.spectrum(plain) * self.bells[:, None])
        # what lies below the rounding of a transform is nothing
        return np.concatenate([np.maximum(plain[None], 1e-300), np.maximum(smeared, _FLOOR)])


def _own_life(lives: Lives, shape: float) -> float:
    """Return the likeliest median life of one machine at a shape."""
    powers = float(lives.weight @ (lives.exit**shape - lives.entry**shape))
    return float((math.log(2.0) * powers / lives.failures) ** (1 / shape))


def _likelihood(evidence: LifeEvidence, grid: _Grid) -> tuple[FloatArray, FloatArray]:
    """Return the likelihood (s, k) of one machine over its largest at each shape, and the logarithm of that, (s, 1)."""
    likely = _log_likelihood(evidence, grid)
    top = likely.max(axis=1, keepdims=True)
    return np.exp(likely - top), top


def _log_likelihood(evidence: LifeEvidence, grid: _Grid) -> FloatArray:
    """Return the log-likelihood (s, k) of one machine but for a factor that no shape and no life changes."""
    shape = np.exp(grid.log_shape)[:, None]
    life = grid.log_life - evidence.unit
    with np.errstate(divide="ignore"):
        powers = np.log(math.log(2.0) * np.maximum(evidence.power_sums(shape[:, 0]), 0.0))[:, None]
    found = evidence.failures * (np.log(shape) + LOG_LN2) + (shape - 1) * evidence.sum_log
    found = found - evidence.failures * shape * life - np.exp(np.minimum(powers - shape * life, _LARGEST))
    low, high = evidence.between_low, evidence.between_high
    for begin, end, weight in zip(low.tolist(), high.tolist(), evidence.between_weight.tolist(), strict=True):
        step = shape * end + np.log(-np.expm1(shape * (begin - end))) + LOG_LN2
        ran = np.exp(np.minimum(step - shape * life, math.log(_LARGEST)))
        found = found + weight * np.log(-np.expm1(-np.maximum(ran, 1e-300)))
    return np.asarray(found)


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


def _own(grid: _Grid, plain: FloatArray, others: FloatArray, lives: Lives | None) -> OwnLife:
    """Return one machine's law: its likelihood times what the others say of the kind, blurred by the spread."""
    spectra = grid.spectrum(others)
    law = plain * (others[0] + grid.back((spectra[1:] * grid.bells[:, None]).sum(axis=0)))
    law /= law.sum()
    heavy = law > _FAINT
    shape = np.broadcast_to(np.exp(grid.log_shape)[:, None], law.shape)[heavy]
    life = np.broadcast_to(grid.log_life, law.shape)[heavy]
    nodes = Nodes(shape, np.exp(life - LOG_LN2 / shape), law[heavy] / law[heavy].sum())
    for one in (nodes.shape, nodes.scale, nodes.weight):
        fixed(one)
    ratio = _ratio(grid, float((others[0] * plain).sum()), spectra, grid.spectrum(plain))
    return OwnLife(nodes, ratio, *((0.0, 0.0) if lives is None else (lives.failures, lives.count)))


def _ratio(grid: _Grid, alike: float, others: Spectra, plain: Spectra) -> Estimate:
    """Return the law of the machine's life over the kind's, with its 80 % interval."""
    count = len(grid.log_life)
    met = (np.conj(others[1:]) * plain).sum(axis=1)
    apart = np.maximum(np.fft.irfft(met, 2 * count), 0.0) * grid.near
    chance = np.roll(apart.sum(axis=0), count)
    chance[count] += alike
    chance /= chance.sum()
    steps = (np.arange(2 * count) - count) * (grid.log_life[1] - grid.log_life[0])
    low, median, high = np.exp(weighted_quantiles(steps, chance, _SAID))
    return Estimate(float(median), float(low), float(high), 0.8, float(chance @ np.exp(steps)))
