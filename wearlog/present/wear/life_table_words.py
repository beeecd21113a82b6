"""What a life table alone says, and where records and starting guess do not agree, as sentences and as JSON.

The keys of the JSON stay as they are.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from wearlog.facts.closed_lists import Ground
from wearlog.present.digits import Measures, number, percent, significant
from wearlog.present.tables import folded
from wearlog.present.wear.wear_words import p_text, rough
from wearlog.present.words import counted, listed
from wearlog.reckoning.wear.kind_life import FAILURES_FOR_FIT, KindLife
from wearlog.reckoning.wear.life_table import LEVEL, GuessCheck, LifeTableAnswer, Parting, parting
from wearlog.wear.conflict import Conflict
from wearlog.wear.intervals import Estimate, Interval
from wearlog.wear.likelihood_ratio import scale_ratio_interval, shape_ratio_interval
from wearlog.wear.prior import NO_GUESS_SHAPE
from wearlog.wear.stones import USUAL_PIECES
from wearlog.wear.weibull import WeibullFit

#: below so many failures the normal interval is off, and that of the likelihood ratio speaks; from here on they are alike, and the
#: normal one needs no pass over a long table for each step
_RATIO_BELOW = 30

#: beyond it a figure is written with its power of ten
_LONGEST = 1e9


def life_table_lines(found: LifeTableAnswer, ignored: Sequence[str] = ()) -> list[str]:
    """Return the answer in words; ages are in the unit of the table. `ignored` are headings of columns that were not read."""
    lives, posterior = found.lives, found.posterior
    seen = counted(round(lives.count), "life", "lives")
    lines = [f"{seen}, {number(lives.failures)} failed, {_figure(lives.exposure)} of usage seen."]
    if lives.left_out:
        lines.append(f"{number(lives.left_out)} more were left out: their age at entry is not known.")
    between = float(lives.weight[lives.between_inspections].sum())
    if between:
        lie = "lies" if between == 1 else "lie"
        lines.append(
            f"{number(between)} of the failures {lie} between the age last seen whole and the exit, no nearer known."
        )
    if ignored:
        lines += folded([_ignored_sentence(ignored, between=bool(between))])
    guess = [
        f"{name} {low:g} to {high:g}"
        for name, ends in (("median life", found.prior_life), ("shape", found.prior_shape))
        if ends is not None
        for low, high in (ends,)
    ]
    flat, steep = NO_GUESS_SHAPE
    lines.append(
        f"Starting guess (eight of ten): {', '.join(guess)}."
        if guess
        else f"No starting guess; shape {flat:g} to {steep:g} in eight cases of ten, and beyond as the lives say."
    )
    lines += folded(_disagreeing(found))
    lines += [
        "",
        "Guess and lives together, median and 90 % interval:" if guess else "Lives, median and 90 % interval:",
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
    return [*lines, "", *_fit_lines(found)]


def _disagreeing(found: LifeTableAnswer) -> list[str]:
    """Say where guess and lives do not agree, and where the plain fit leaves the answer."""
    said = ""
    if found.guess_check is not None and found.prior_life is not None:
        low, high = found.prior_life
        said = told(found.guess_check, "", found.lives.failures, f"{low:g}-{high:g}")
    apart = ""
    if found.lives.failures >= FAILURES_FOR_FIT:
        has_guess = found.prior_life is not None or found.prior_shape is not None
        apart = parted(parting(found.fit, found.posterior), _figure, "", has_guess=has_guess)
    return [sentence for sentence in (said, apart) if sentence]


def _ignored_sentence(ignored: Sequence[str], *, between: bool) -> str:
    named = listed([f"'{one}'" for one in ignored])
    columns = "column" if len(ignored) == 1 else "columns"
    when = "between last_seen_whole and exit where that is given" if between else "at the age of its exit"
    return f"Not read: {columns} {named}. Every failure is taken as wear, {when}."


def _fit_lines(found: LifeTableAnswer) -> list[str]:
    """The fit by greatest likelihood, from the same count of failures on as for a kind of part."""
    heading = "Lives alone, greatest likelihood"
    if found.fit is None:
        return [f"{heading}:", f"  {found.no_fit}"]
    if found.lives.failures < FAILURES_FOR_FIT:
        failures = counted(round(found.lives.failures), "failure")
        return [
            f"{heading}:",
            f"  Shown from {FAILURES_FOR_FIT} failures on; with {failures} it misleads (--json has it).",
        ]
    if found.lives.failures < _RATIO_BELOW:
        named, shape, scale = "likelihood-ratio", *_ratio_intervals(found, found.fit)
    else:
        named, shape, scale = "normal", found.fit.shape_interval(LEVEL), found.fit.scale_interval(LEVEL)
    return [
        f"{heading}, 90 % {named} interval:",
        f"  shape        {found.fit.shape:.3f} ({shape.low:.3f}-{shape.high:.3f})",
        f"  scale        {_figure(found.fit.scale)} ({_figure(scale.low)}-{_figure(scale.high)})",
        f"  log-likelihood {found.fit.log_likelihood:.4f}",
    ]


def _ratio_intervals(found: LifeTableAnswer, fit: WeibullFit) -> tuple[Interval, Interval]:
    return shape_ratio_interval(found.lives, fit, LEVEL), scale_ratio_interval(found.lives, fit, LEVEL)


def _shape(one: Estimate) -> str:
    return f"{one.median:.3f} ({one.low:.3f}-{one.high:.3f})"


def _life(one: Estimate) -> str:
    return f"{_figure(one.median)} ({_figure(one.low)}-{_figure(one.high)})"


def _figure(value: float) -> str:
    """Return three digits that mean something: 8,480, or 3.16e+302 where nobody would count the zeros."""
    return f"{value:.3g}" if math.isfinite(value) and abs(value) >= _LONGEST else rough(value)


def life_table_json(found: LifeTableAnswer, ignored: Sequence[str] = ()) -> dict[str, Any]:
    """Return the answer as JSON; figures are not rounded, ages are in the unit of the table."""
    lives, posterior = found.lives, found.posterior
    answer: dict[str, Any] = {
        "n": _whole(lives.count),
        "failures": _whole(lives.failures),
        "exposure": lives.exposure,
        "left_out": lives.left_out,
        "failed_between": _whole(float(lives.weight[lives.between_inspections].sum())),
        "ignored_columns": list(ignored),
        "mle": None if found.fit is None else _fit(found, found.fit),
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
            **(agreement_json(found.guess_check) if found.prior_life or found.prior_shape else {}),
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


def _fit(found: LifeTableAnswer, fit: WeibullFit) -> dict[str, Any]:
    answer: dict[str, Any] = {
        "shape": fit.shape,
        "scale": fit.scale,
        "log_likelihood": fit.log_likelihood,
        "shape_interval": _ends(fit.shape_interval(LEVEL)),
        "scale_interval": _ends(fit.scale_interval(LEVEL)),
        "level": LEVEL,
        "interval": "normal, on the logarithm",
        "failures_enough": found.lives.failures >= FAILURES_FOR_FIT,
    }
    if found.lives.failures < _RATIO_BELOW:
        shape, scale = _ratio_intervals(found, fit)
        answer |= {"shape_ratio_interval": _ends(shape), "scale_ratio_interval": _ends(scale)}
    return answer


def _ends(interval: Interval) -> list[float | None]:
    """Return both ends; null where the lives set no bound."""
    return [end if math.isfinite(end) else None for end in (interval.low, interval.high)]


def _estimate(one: Estimate) -> dict[str, float]:
    return {"median": one.median, "low": one.low, "high": one.high}


#: kinds that a list says in full; the others are named only
_SAID = 4

#: a weight is never said to be all
_SUREST = 0.999

_ABOUT_TWICE, _ABOUT_HALF = (1.75, 2.25), (0.45, 0.55)


def conflict_sentence(life: KindLife, measures: Measures) -> str:
    """Say that records and guess of a kind do not agree; nothing where they do, or where nothing was guessed."""
    check, kind = life.guess_check, life.kind
    if check is None or kind.life_low_usage is None or kind.life_high_usage is None:
        return ""
    low, high = (measures.usage_number(kind.meter_kind, end) for end in (kind.life_low_usage, kind.life_high_usage))
    guessed = f"{rough(low)}-{rough(high)} {measures.usage_unit(kind.meter_kind)}"
    return told(check, f" of the {kind.name}", life.lives.failures, guessed)


def told(check: GuessCheck, of_what: str, failures: float, guessed: str) -> str:
    """Return "Your records do not fit the starting guess ..."; nothing from p = 0.05 on."""
    if not check.conflict.is_told:
        return ""
    seen = counted(round(failures), "failure") if failures else "no failure yet"
    said = (
        f"Your records do not fit the starting guess{of_what}: half of them last {_so_long(check, failures)} "
        f"({seen}; guessed {guessed}; {_p(check.conflict)})."
    )
    if not check.has_second_part:
        return said
    if check.weight < 0.5:
        return f"{said} The records speak ({percent(min(1 - check.weight, _SUREST))})."
    return f"{said} The guess still speaks ({percent(min(check.weight, _SUREST))}); further failures will decide."


def _p(conflict: Conflict) -> str:
    said = p_text(conflict.p)
    return f"p {said}" if said.startswith("under") else f"p = {said}"


def _so_long(check: GuessCheck, failures: float) -> str:
    """Return "about twice as long as guessed"; without a failure nobody can say how much longer."""
    if not failures:
        return "longer than guessed"
    times = check.times
    if _ABOUT_TWICE[0] <= times <= _ABOUT_TWICE[1]:
        return "about twice as long as guessed"
    if _ABOUT_HALF[0] <= times <= _ABOUT_HALF[1]:
        return "about half as long as guessed"
    if times >= 1:
        return f"about {significant(times)} times as long as guessed"
    return f"{'' if times < 0.01 else 'about '}{percent(times)} as long as guessed"


def conflict_lines(lives: Iterable[KindLife], measures: Measures) -> list[str]:
    """Return the sentences of all kinds whose records do not fit, and how many of them chance alone would bring."""
    every = list(lives)
    asked = sum(life.guess_check is not None and bool(life.lives.count) for life in every)
    said = [(life.kind.name, sentence) for life in every if (sentence := conflict_sentence(life, measures))]
    lines = [sentence for _, sentence in said[:_SAID]]
    if said[_SAID:]:
        lines.append(f"So do those of {listed([name for name, _ in said[_SAID:]])} not; the page of each says more.")
    if said and asked > 1:
        lines.append(f"Of {asked} guesses held against records, one in twenty fails so by chance.")
    return lines


def stones_sentence(life: KindLife, measures: Measures) -> str:
    """Say that what stones broke does not fit the guess of it; nothing where it does."""
    conflict = life.impact_conflict
    if conflict is None or life.impacts is None or not conflict.is_told:
        return ""
    foretold = sum(
        guess * area for _, guess, area in zip(Ground, life.impact_guesses, life.impacts.exposure, strict=True)
    )
    seen, of = f"{number(sum(life.impacts.breakages))} broken", ""
    if life.stones is not None:
        seen, of, foretold = f"{seen} by {number(sum(life.stones.stones))} stones", " stones", foretold / USUAL_PIECES
    return (
        f"Your records do not fit the starting guess of stones: {seen}, where it foretells about "
        f"{significant(foretold)}{of} ({_p(conflict)})."
    )


def parting_sentence(life: KindLife, measures: Measures) -> str:
    """Say where the plain fit and the posterior of a kind part company; nothing where they do not."""
    meter = life.kind.meter_kind

    def usage(value: float) -> str:
        return rough(measures.usage_number(meter, value))

    return parted(parting(life.fit, life.posterior), usage, measures.usage_unit(meter), has_guess=life.has_guess)


def parted(places: Sequence[Parting], usage: Callable[[float], str], unit: str, *, has_guess: bool) -> str:
    """Return "Fit and answer part company: ..." with what each says; nothing where there is nothing to say."""
    if not places:
        return ""
    after = f" {unit}" if unit else ""
    names = {"half": "half last", "tenth": "one in ten is gone by"}
    said = [
        f"shape {one.fitted:.1f} against {one.together.median:.1f} ({one.together.low:.1f}-{one.together.high:.1f})"
        if one.which == "shape"
        else f"{names[one.which]} {usage(one.fitted)}{after} against {usage(one.together.median)} "
        f"({usage(one.together.low)}-{usage(one.together.high)}){after}"
        for one in places
    ]
    holds = "the starting guess" if has_guess else "what shapes usually are"
    return f"Fit and answer part company: {listed(said)}; {holds} still holds the answer there."


def agreement_json(check: GuessCheck | None) -> dict[str, Any]:
    """Return the three keys that tell how a guess stands; null where no life was guessed."""
    return {
        "guess_conflict_p": None if check is None else check.conflict.p,
        "guess_too": None if check is None else check.too,
        "guess_weight": None if check is None else check.weight,
    }
