"""Ages as they are told: about so many seasons, since new, unknown; and an age that nobody noted, told later."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import pytest

from tests.cli.running import Ran, Wearlog
from tests.small_farm import AUGUST, HOUR, MAY, SmallFarm, harvest, kind
from wearlog.errors import UsageError
from wearlog.facts.age_scale import AgeScale
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.wearing import Component, Fitting
from wearlog.logbook.parts.fitting import add_component
from wearlog.logbook.said.measures import FarmReader
from wearlog.store.finding import find_all

SEASON = AgeScale(season=200 * HOUR, since_new=1_702 * HOUR)


def done(ran: Ran) -> Ran:
    assert ran.code == 0, ran.err
    return ran


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("about 3 seasons", 600),
        ("3 seasons", 600),
        ("around half a season", 100),
        ("a season", 200),
        ("two seasons", 400),
        ("1.5 seasons", 300),
        ("since new", 1_702),
        ("about 400 h", 400),
        ("~400", 400),
        ("new", 0),
        ("unknown", None),
        ("?", None),
    ],
)
def test_an_age_is_read_as_it_is_told(text: str, hours: int | None) -> None:
    found = FarmReader(FarmSettings()).age(MeterKind.SEPARATOR_HOURS, text, SEASON)
    assert found == (None if hours is None else hours * HOUR)


@pytest.mark.parametrize(
    ("text", "scale"), [("soon", SEASON), ("since new", AgeScale(HOUR)), ("about 3 seasons", None)]
)
def test_an_age_that_says_nothing_is_refused(text: str, scale: AgeScale | None) -> None:
    with pytest.raises(UsageError):
        FarmReader(FarmSettings()).age(MeterKind.SEPARATOR_HOURS, text, scale)


def fittings(farm: SmallFarm, component: Component) -> list[Fitting]:
    with farm.store.reading() as connection:
        found: list[Any] = find_all(connection, Fitting, component_id=component.id)
    return sorted(found, key=lambda one: one.position)


def bars(farm: SmallFarm, at: datetime = MAY) -> Component:
    component = Component(machine_id=farm.combine.id, part_kind_id=kind("rasp bars").id, place="rasp bars", positions=8)
    add_component(farm.store, component, fitted_at=at, age_usage=None)
    return component


def test_an_age_that_nobody_noted_is_told_later_with_what_wore_since_on_top(own: Wearlog, file_farm: SmallFarm) -> None:
    component = bars(file_farm)
    harvest(file_farm, hours=8)
    harvest(file_farm, hours=12, at=AUGUST + timedelta(days=2))
    # the one season on record had 20 h: three of them are 60, of which 20 were since it was noted
    ran = done(own("age", "kestrel", "rasp", "about 3 seasons", "--positions", "1-2"))
    assert ran.err.splitlines() == ["'about 3 seasons' is taken as 60 h at 20 h a season."]
    assert ran.out.startswith("Saved: Kestrel, rasp bars 1-2: 60 separator hours old now.")
    ages = [one.age_when_fitted_usage for one in fittings(file_farm, component)]
    assert ages[:2] == [40 * HOUR, 40 * HOUR]
    assert ages[2:] == [None] * 6
    done(own("age", "kestrel", "rasp", "since new"))
    # the counter shows 1,702 + 20 h: what was told is left alone
    ages = [one.age_when_fitted_usage for one in fittings(file_farm, component)]
    assert ages[:2] == [40 * HOUR, 40 * HOUR]
    assert ages[2:] == pytest.approx([1_702 * HOUR] * 6)
    assert own("age", "kestrel", "rasp", "since new").code == 4, "no age there is unknown any more"
    done(own("undo"))
    done(own("age", "kestrel", "rasp", "unknown", "--positions", "1"))
    assert fittings(file_farm, component)[0].age_when_fitted_usage is None


def test_without_a_season_on_record_a_usual_one_is_taken_and_said_to_be_a_guess(
    own: Wearlog, file_farm: SmallFarm
) -> None:
    words = ("add", "component", "rasp bars", "--on", "kestrel", "--kind", "rasp bars", "--age", "about 2 seasons")
    ran = done(own(*words, "--at", "2026-05-02 8:00"))
    assert ran.err.splitlines() == ["'about 2 seasons' is taken as 400 h at 200 h a season (a guess)."]
    with file_farm.store.reading() as connection:
        component = next(one for one in find_all(connection, Component) if one.place == "rasp bars")
    assert {one.age_when_fitted_usage for one in fittings(file_farm, component)} == {400 * HOUR}
    done(own("fit", "kestrel", "rasp bars", "--age", "a season", "--not-from-shelf"))
