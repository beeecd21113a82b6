"""How long one kind of part lasts here and how it fails, as the screen says it first."""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from wearlog.facts.positions import many_of
from wearlog.present.wear.kind_page import KindPage
from wearlog.present.wear.wear_words import rough, way_of_failing

_MEANS: Final = MappingProxyType(
    {
        "wear-out": "They wear out: the older, the sooner. Replacing before the season can pay.",
        "early": "They break early: the newer, the sooner. Look at the fitting and the parts, not at the age.",
        "chance": "They fail by chance: age does not matter, and replacing early gains nothing.",
        "unclear": "Whether age matters is not clear yet.",
    }
)


def kind_answer(page: KindPage) -> tuple[str, str]:
    """Return the answer and its second half: how they fail; where nobody knows, why."""
    life, measures = page.view.row.life, page.measures
    name, where = life.kind.name, f"on {page.view.machine.name}" if page.view.machine else "here"
    many = many_of(name)
    if life.median_life is None:
        return (
            f"How long {many} last {where} nobody knows yet.",
            "Nothing has worn out, and there is no starting guess.",
        )
    meter = life.kind.meter_kind
    median, low, high = (
        rough(measures.usage_number(meter, one))
        for one in (life.median_life.median, life.median_life.low, life.median_life.high)
    )
    return (
        f"Half of the {many} last {median} {measures.usage_unit(meter)} {where} (90 % sure: {low} to {high}).",
        _MEANS.get(way_of_failing(life), ""),
    )
