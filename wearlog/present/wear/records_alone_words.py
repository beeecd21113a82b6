"""What the records of a kind say without the starting guess, and the age at which replacing it costs least, in words and as JSON.

Whole seasons and the budget are the plan's.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from wearlog.present.digits import Measures, percent
from wearlog.present.json_form import money, rounded
from wearlog.present.wear.wear_words import lasting, rough, way_of_failing
from wearlog.present.words import counted, listed
from wearlog.reckoning.wear.kind_life import KindLife
from wearlog.reckoning.wear.records_alone import BOUND_CONFIDENCE, RecordsAlone
from wearlog.reckoning.wear.replacement_age import NoAge, ReplacementAge
from wearlog.reckoning.wear.wear_outlook import CountRange
from wearlog.wear.intervals import Estimate
from wearlog.wear.replacement import BestAge
from wearlog.wear.weibull import WeibullFit

#: below this share of the greatest likelihood the answer's own law is said to fit the records less
_WORTH_SAYING = 0.5


def records_alone_sentences(found: RecordsAlone, life: KindLife, measures: Measures) -> list[str]:
    """Say what was counted out, what the guess adds, and how single parts scatter; nothing where nothing is on record."""
    meter = life.kind.meter_kind
    said = [_counted_out(found, life, measures)]
    if found.without_guess is not None:
        said.append(f"With the guess of the life set aside, half last {lasting(meter, found.without_guess, measures)}.")
    if found.with_shape_taken is not None and life.fit is None:
        said.append(
            f"With the shape taken as known, {found.shape_taken:.1f} (the middle of its guess), half last "
            f"{lasting(meter, found.with_shape_taken, measures)}."
        )
    if found.at_least is not None:
        worked = f"{rough(measures.usage_number(meter, life.lives.exposure))} {measures.usage_unit(meter)}"
        said.append(
            f"None wore out in {worked} (all of them together): with a shape of {found.shape_taken:.1f}, half last at "
            f"least {_age(found.at_least, life, measures)} ({percent(BOUND_CONFIDENCE)} sure)."
        )
    said += [_plain_fit(found, life, measures), _single_ones(found, life, measures)]
    return [one for one in said if one]


def to_break_sentence(found: CountRange) -> str:
    """Say between which numbers what breaks lies, where only the mean is told elsewhere."""
    count = f"{found.low} to {found.high}" if found.low < found.high else str(found.low)
    return (
        f"In nine seasons of ten {count} of the parts now on break, each counted once; parts of one kind break many together "
        "or few together, because their life is one and not known for sure."
    )


def range_json(found: CountRange | None) -> dict[str, float | int | None] | None:
    """Return a count to come and its range as JSON."""
    if found is None:
        return None
    return {"mean": rounded(found.mean), "low": found.low, "high": found.high, "level": found.level}


def _counted_out(found: RecordsAlone, life: KindLife, measures: Measures) -> str:
    here = found.at_median
    if here is None:
        return ""
    if here.low is None or here.high is None:
        said = "all" if here.share == 1 else "none"
    else:
        said = f"{percent(here.share)} ({100 * here.low:.0f}-{100 * here.high:.0f})"
    return f"Counted out without any law (Kaplan-Meier), {said} are whole at {_age(here.age, life, measures)}."


def _plain_fit(found: RecordsAlone, life: KindLife, measures: Measures) -> str:
    if life.fit is None:
        return ""
    half = life.fit.life_interval(0.5)
    ends = Estimate(life.fit.life_at(0.5), half.low, half.high, half.level)
    said = (
        f"The law that fits them best: half last {lasting(life.kind.meter_kind, ends, measures)}, shape "
        f"{life.fit.shape:.1f} give or take {life.fit.shape_error:.1f}"
    )
    if found.relative_likelihood is not None and found.relative_likelihood < _WORTH_SAYING:
        times = 1 / max(found.relative_likelihood, 1e-9)
        said += f"; it makes the records {rough(times)} times as likely as the middle of the answer does"
    return f"{said}."


def _single_ones(found: RecordsAlone, life: KindLife, measures: Measures) -> str:
    if found.mean_life is None or found.scatter is None:
        return ""
    return (
        f"On the mean one lasts {lasting(life.kind.meter_kind, found.mean_life, measures)}; single ones scatter "
        f"by {_age(found.scatter, life, measures)} about it (standard deviation)."
    )


def _age(usage: float, life: KindLife, measures: Measures) -> str:
    meter = life.kind.meter_kind
    return f"{rough(measures.usage_number(meter, usage))} {measures.usage_unit(meter)}"


def records_alone_json(found: RecordsAlone, life: KindLife, measures: Measures) -> dict[str, Any]:
    """Return the same as JSON, with every step of the share that is whole."""
    return {
        "whole": _steps(found, life, measures),
        "median_without_guess": _estimate(found.without_guess, life, measures),
        "shape_taken": rounded(found.shape_taken),
        "median_with_shape_taken": _estimate(found.with_shape_taken, life, measures),
        "median_at_least": _usage(found.at_least, life, measures),
        "mean_life": _estimate(found.mean_life, life, measures),
        "life_sd": _usage(found.scatter, life, measures),
        "fit": None if life.fit is None else _fit_json(life.fit, life, measures),
        "relative_likelihood": rounded(found.relative_likelihood, 4),
    }


def _steps(found: RecordsAlone, life: KindLife, measures: Measures) -> list[dict[str, float | None]]:
    whole = found.whole
    if whole is None:
        return []
    low, high = whole.bounds()
    return [
        {
            "age": _usage(float(whole.age[step]), life, measures),
            "at_risk": rounded(float(whole.at_risk[step])),
            "failed": rounded(float(whole.failed[step])),
            "share": rounded(float(whole.survival[step]), 4),
            "low": rounded(float(low[step]), 4) if np.isfinite(low[step]) else None,
            "high": rounded(float(high[step]), 4) if np.isfinite(high[step]) else None,
        }
        for step in range(len(whole.age))
    ]


def _fit_json(fit: WeibullFit, life: KindLife, measures: Measures) -> dict[str, float | None]:
    half = fit.life_interval(0.5)
    return {
        "shape": rounded(fit.shape, 4),
        "shape_error": rounded(fit.shape_error, 4),
        "scale": _usage(fit.scale, life, measures),
        "scale_error": _usage(fit.scale_error, life, measures),
        "median": _usage(fit.life_at(0.5), life, measures),
        "median_low": _usage(half.low, life, measures),
        "median_high": _usage(half.high, life, measures),
        "mean": _usage(fit.mean, life, measures),
        "sd": _usage(fit.sd, life, measures),
    }


def _estimate(found: Estimate | None, life: KindLife, measures: Measures) -> dict[str, float | None] | None:
    if found is None:
        return None
    return {
        "median": _usage(found.median, life, measures),
        "low": _usage(found.low, life, measures),
        "high": _usage(found.high, life, measures),
        "level": found.level,
    }


def _usage(usage: float | None, life: KindLife, measures: Measures) -> float | None:
    return None if usage is None else rounded(measures.usage_number(life.kind.meter_kind, usage), 1)


#: a saving below this share is not worth an entry in anybody's calendar
_SAVING_WORTH_SAYING = 0.01

#: the plain fit is told where its age parts from the answer's by more than this share
_WORTH_SAYING_APART = 0.1


def replacement_sentence(found: ReplacementAge | NoAge, life: KindLife, measures: Measures) -> str:
    """Say at what age replacing costs least, or why nobody can; nothing where the life itself is not known."""
    if found is NoAge.NO_LIFE:
        return ""
    if found is NoAge.NO_PRICE:
        return "At what age replacing costs least cannot be said: no part of this kind has a price."
    if not isinstance(found, ReplacementAge):
        return "At what age replacing costs least cannot be said: nobody noted how long such a repair takes."
    costs = (
        f"{measures.money(found.planned_minor, cents=False)} each in the shop, "
        f"{measures.money(found.failure_minor, cents=False)} for a failure with all it stops"
    )
    if math.isinf(found.best.age) or found.saves < _SAVING_WORTH_SAYING:
        said = f"Running it to failure costs least in the long run ({costs}); replacing early spares nothing."
        return f"{said}{_by_machine(found, life, measures)}{_mended(found, life, measures)}"
    meter = life.kind.meter_kind
    age = f"{rough(measures.usage_number(meter, found.best.age))} {measures.usage_unit(meter)}"
    hint = "" if way_of_failing(life) == "wear-out" else "No more than a hint while the shape is unclear: "
    said = (
        f"Replacing at {age} costs least in the long run: {percent(found.saves)} less than running to failure ({costs}). "
        "The plan weighs it for the season ahead."
    )
    said = f"{hint}{said[0].lower()}{said[1:]}" if hint else said
    by_fit = _by_fit(found, life, measures)
    return f"{said}{_by_machine(found, life, measures)}{by_fit}{_mended(found, life, measures)}"


def _by_machine(found: ReplacementAge, life: KindLife, measures: Measures) -> str:
    """Say the age on each machine where they differ, as its own page does."""
    told = [f"{_age(one.age, life, measures)} on {name}" for name, one in found.by_machine if _pays(one)]
    never = [name for name, one in found.by_machine if not _pays(one)]
    said = f" Machine by machine: {listed(told)}" if told else ""
    if never and told:
        said += f"; to failure on {listed(never)}"
    return f"{said}." if said else ""


def _pays(best: BestAge) -> bool:
    return not math.isinf(best.age) and 1 - best.cost_rate / best.failure_cost_rate >= _SAVING_WORTH_SAYING


def _by_fit(found: ReplacementAge, life: KindLife, measures: Measures) -> str:
    """Say the age by the plain fit where it parts from the answer by more than a tenth."""
    if found.by_fit is None or abs(found.by_fit.age / found.best.age - 1) < _WORTH_SAYING_APART:
        return ""
    if math.isinf(found.by_fit.age):
        return " The records alone would run it to failure."
    return f" The records alone say {_age(found.by_fit.age, life, measures)}."


def _mended(found: ReplacementAge, life: KindLife, measures: Measures) -> str:
    if found.mended is None or math.isinf(found.mended.age):
        return ""
    return (
        f" Where it is only mended each time ({counted(found.mends, 'time')} so far), a new one pays from "
        f"{_age(found.mended.age, life, measures)} on."
    )


def replacement_json(found: ReplacementAge | NoAge, life: KindLife, measures: Measures) -> dict[str, Any]:
    """Return the same as JSON; `age` is null where running to failure costs least, or nothing can be said (`missing`)."""
    if not isinstance(found, ReplacementAge):
        return {"age": None, "missing": found.value}
    age = None if math.isinf(found.best.age) else measures.usage_number(life.kind.meter_kind, found.best.age)
    return {
        "age": rounded(age, 1),
        "age_by_fit": _finite(found.by_fit, life, measures),
        "mended": found.mends,
        "age_when_only_mended": _finite(found.mended, life, measures),
        "saves_share": rounded(found.saves, 4),
        "by_machine": {name: _finite(one, life, measures) for name, one in found.by_machine},
        "planned_cost": money(found.planned_minor, measures.settings.currency),
        "failure_cost": money(found.failure_minor, measures.settings.currency),
        "missing": None,
    }


def _finite(found: BestAge | None, life: KindLife, measures: Measures) -> float | None:
    if found is None or math.isinf(found.age):
        return None
    return rounded(measures.usage_number(life.kind.meter_kind, found.age), 1)
