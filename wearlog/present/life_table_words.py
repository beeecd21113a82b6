"""What a life table alone says, with or without a starting guess: as lines and as JSON. The keys of the JSON stay as they are."""

from __future__ import annotations

from typing import Any

from wearlog.present.digits import number
from wearlog.present.wear_words import rough
from wearlog.reckoning.life_table import LEVEL, LifeTableAnswer
from wearlog.wear.intervals import Estimate, Interval
from wearlog.wear.weibull import WeibullFit


def life_table_lines(found: LifeTableAnswer) -> list[str]:
    """Return the answer in words; ages are in the unit of the table."""
    lives, posterior = found.lives, found.posterior
    lines = [f"{number(lives.count)} lives, {number(lives.failures)} failed, {rough(lives.exposure)} of usage seen."]
    if lives.left_out:
        lines.append(f"{number(lives.left_out)} more were left out: their age at entry is not known.")
    guess = [
        f"{name} {low:g} to {high:g}"
        for name, ends in (("median life", found.prior_life), ("shape", found.prior_shape))
        if ends is not None
        for low, high in (ends,)
    ]
    lines.append(
        f"Starting guess (eight of ten): {', '.join(guess)}." if guess else "No starting guess; shape 0.5 to 5."
    )
    lines += [
        "",
        "Guess and lives together, median and 90 % interval:",
        f"  shape        {_shape(posterior.shape(LEVEL))}",
        f"  scale        {_life(posterior.scale(LEVEL))}",
        f"  median life  {_life(posterior.median_life(LEVEL))}",
        f"  B10          {_life(posterior.life_at(0.1, LEVEL))}",
    ]
    if found.survival is not None and found.stretch is not None:
        one = found.survival
        lines.append(
            f"  whole at {found.stretch[0]:g}, still whole at {found.stretch[1]:g}: {one.mean[0]:.3f} "
            f"({one.low[0]:.3f}-{one.high[0]:.3f})"
        )
    lines += ["", "Lives alone, greatest likelihood:"]
    if found.fit is None:
        return [*lines, f"  {found.no_fit}"]
    shape, scale = found.fit.shape_interval(LEVEL), found.fit.scale_interval(LEVEL)
    return [
        *lines,
        f"  shape        {found.fit.shape:.3f} ({shape.low:.3f}-{shape.high:.3f})",
        f"  scale        {rough(found.fit.scale)} ({rough(scale.low)}-{rough(scale.high)})",
        f"  log-likelihood {found.fit.log_likelihood:.4f}",
    ]


def _shape(one: Estimate) -> str:
    return f"{one.median:.3f} ({one.low:.3f}-{one.high:.3f})"


def _life(one: Estimate) -> str:
    return f"{rough(one.median)} ({rough(one.low)}-{rough(one.high)})"


def life_table_json(found: LifeTableAnswer) -> dict[str, Any]:
    """Return the answer as JSON; figures are not rounded, ages are in the unit of the table."""
    lives, posterior = found.lives, found.posterior
    answer: dict[str, Any] = {
        "n": _whole(lives.count),
        "failures": _whole(lives.failures),
        "exposure": lives.exposure,
        "left_out": lives.left_out,
        "mle": None if found.fit is None else _fit(found.fit),
        "posterior": {
            "shape": _estimate(posterior.shape(LEVEL)),
            "scale": _estimate(posterior.scale(LEVEL)),
            "median_life": _estimate(posterior.median_life(LEVEL)),
            "b10_life": _estimate(posterior.life_at(0.1, LEVEL)),
            "level": LEVEL,
        },
        "prior": {
            "median_life": None if found.prior_life is None else list(found.prior_life),
            "shape": None if found.prior_shape is None else list(found.prior_shape),
            "level": 0.8,
        },
    }
    if found.fit is None:
        answer["mle_missing"] = found.no_fit
    if found.survival is not None and found.stretch is not None:
        one = found.survival
        answer["survival"] = {
            "mean": float(one.mean[0]),
            "low": float(one.low[0]),
            "high": float(one.high[0]),
            "from": found.stretch[0],
            "to": found.stretch[1],
            "level": LEVEL,
        }
    return answer


def _whole(count: float) -> float | int:
    return int(count) if count.is_integer() else count


def _fit(fit: WeibullFit) -> dict[str, Any]:
    return {
        "shape": fit.shape,
        "scale": fit.scale,
        "log_likelihood": fit.log_likelihood,
        "shape_interval": _ends(fit.shape_interval(LEVEL)),
        "scale_interval": _ends(fit.scale_interval(LEVEL)),
        "level": LEVEL,
    }


def _ends(interval: Interval) -> list[float]:
    return [interval.low, interval.high]


def _estimate(one: Estimate) -> dict[str, float]:
    return {"median": one.median, "low": one.low, "high": one.high}
