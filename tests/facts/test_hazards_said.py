"""What people write of work names its danger: unplugging, jacks, hoists, tires, springs stand with their cautions before it."""

from __future__ import annotations

import pytest

from wearlog.facts.cautions import BOOK_COMES_FIRST, CAUTIONS, hazards_of_service, hazards_said
from wearlog.facts.closed_lists import Hazard


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("feeder plugged", Hazard.UNPLUGGING),
        ("rotor slugged in green straw", Hazard.UNPLUGGING),
        ("wheel bolts: tighten", Hazard.TIRE),
        ("front tire changed", Hazard.TIRE),
        ("jacked up, axle out", Hazard.LIFTING),
        ("engine out with the hoist", Hazard.LIFTING),
        ("float spring replaced", Hazard.SPRING),
        ("lift hose burst", Hazard.HYDRAULIC),
        ("knife rebuilt", Hazard.KNIFE),
        ("blew chaff off the engine", Hazard.FIRE),
        ("bracket welded", Hazard.HOT_PART),
    ],
)
def test_the_words_of_work_name_its_danger(text: str, first: Hazard) -> None:
    assert hazards_said(text)[0] is first


@pytest.mark.parametrize(
    "text", ["", "weather", "spring check of the papers", "waited for the truck", "plug in the header lights"]
)
def test_other_words_name_none(text: str) -> None:
    assert hazards_said(text) == ()


def test_a_service_has_its_own_danger_before_that_of_its_name() -> None:
    assert hazards_of_service(Hazard.HOT_PART, "belts") == (Hazard.HOT_PART,)
    assert hazards_of_service(None, "tires: press") == (Hazard.TIRE,)


def test_local_rules_and_licensed_trades_go_before_every_list() -> None:
    assert "Local rules and licensed trades go before both." in BOOK_COMES_FIRST
    assert all(said[-1] == BOOK_COMES_FIRST for said in CAUTIONS.values())
