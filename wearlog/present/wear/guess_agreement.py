"""The sentences that say where records and starting guess do not agree; each made here, for command, screen and report alike."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from wearlog.facts.closed_lists import Ground
from wearlog.present.digits import Measures, number, percent, significant
from wearlog.present.wear.wear_words import p_text, rough
from wearlog.present.words import counted, listed
from wearlog.reckoning.wear.kind_life import KindLife
from wearlog.reckoning.wear.life_table import GuessCheck, Parting, parting
from wearlog.wear.conflict import Conflict

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
    return (
        f"Your records do not fit the starting guess of stones: {number(sum(life.impacts.breakages))} broken, where it "
        f"foretells about {significant(foretold)} ({_p(conflict)})."
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
