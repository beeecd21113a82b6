"""The age at which replacing a kind costs least, in words and as JSON; whole seasons and the budget are the plan's."""

from __future__ import annotations

import math
from typing import Any

from wearlog.present.digits import Measures, percent
from wearlog.present.json_form import money, rounded
from wearlog.present.wear_words import rough, way_of_failing
from wearlog.reckoning.kind_life import KindLife
from wearlog.reckoning.replacement_age import NoAge, ReplacementAge

#: a saving below this share is not worth an entry in anybody's calendar
_WORTH_SAYING = 0.01


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
        return f"Running it to failure costs least in the long run ({costs}); replacing early spares nothing."
    meter = life.kind.meter_kind
    age = f"{rough(measures.usage_number(meter, found.best.age))} {measures.usage_unit(meter)}"
    hint = "" if way_of_failing(life) == "wear-out" else "No more than a hint while the shape is unclear: "
    said = (
        f"Replacing at {age} costs least in the long run: {percent(found.saves)} less than running to failure ({costs}). "
        "'wearlog plan' weighs it for the season ahead."
    )
    return f"{hint}{said[0].lower()}{said[1:]}" if hint else said


def replacement_json(found: ReplacementAge | NoAge, life: KindLife, measures: Measures) -> dict[str, Any]:
    """Return the same as JSON; `age` is null where running to failure costs least, or nothing can be said (`missing`)."""
    if not isinstance(found, ReplacementAge):
        return {"age": None, "missing": found.value}
    age = None if math.isinf(found.best.age) else measures.usage_number(life.kind.meter_kind, found.best.age)
    return {
        "age": rounded(age, 1),
        "saves_share": rounded(found.saves, 4),
        "planned_cost": money(found.planned_minor, measures.settings.currency),
        "failure_cost": money(found.failure_minor, measures.settings.currency),
        "missing": None,
    }
