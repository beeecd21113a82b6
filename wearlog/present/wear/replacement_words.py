"""The age at which replacing a kind costs least, in words and as JSON; whole seasons and the budget are the plan's."""

from __future__ import annotations

import math
from typing import Any

from wearlog.present.digits import Measures, percent
from wearlog.present.json_form import money, rounded
from wearlog.present.wear.wear_words import rough, way_of_failing
from wearlog.present.words import counted
from wearlog.reckoning.wear.kind_life import KindLife
from wearlog.reckoning.wear.replacement_age import NoAge, ReplacementAge
from wearlog.wear.replacement import BestAge

#: a saving below this share is not worth an entry in anybody's calendar
_WORTH_SAYING = 0.01
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
    if math.isinf(found.best.age) or found.saves < _WORTH_SAYING:
        said = f"Running it to failure costs least in the long run ({costs}); replacing early spares nothing."
        return f"{said}{_mended(found, life, measures)}"
    meter = life.kind.meter_kind
    age = f"{rough(measures.usage_number(meter, found.best.age))} {measures.usage_unit(meter)}"
    hint = "" if way_of_failing(life) == "wear-out" else "No more than a hint while the shape is unclear: "
    said = (
        f"Replacing at {age} costs least in the long run: {percent(found.saves)} less than running to failure ({costs}). "
        "'wearlog plan' weighs it for the season ahead."
    )
    said = f"{hint}{said[0].lower()}{said[1:]}" if hint else said
    return f"{said}{_by_fit(found, life, measures)}{_mended(found, life, measures)}"


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


def _age(usage: float, life: KindLife, measures: Measures) -> str:
    meter = life.kind.meter_kind
    return f"{rough(measures.usage_number(meter, usage))} {measures.usage_unit(meter)}"


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
        "planned_cost": money(found.planned_minor, measures.settings.currency),
        "failure_cost": money(found.failure_minor, measures.settings.currency),
        "missing": None,
    }


def _finite(found: BestAge | None, life: KindLife, measures: Measures) -> float | None:
    if found is None or math.isinf(found.age):
        return None
    return rounded(measures.usage_number(life.kind.meter_kind, found.age), 1)
