"""Ages as they are told: about so many seasons, since new, unknown; and an age that nobody noted, told later."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.cli.running import Ran, Wearlog
from tests.small_farm import AUGUST, HOUR, MAY, SmallFarm, harvest, kind
from wearlog.errors import UsageError
from wearlog.facts.age_scale import AgeScale
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.wearing import Component, Fitting
from wearlog.ids import short_number
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


def test_cells_read_an_age_as_it_is_told(own: Wearlog, file_farm: SmallFarm) -> None:
    component = bars(file_farm)
    harvest(file_farm, hours=20)
    row = ("machine=kestrel", "component=rasp bars", "fitted=2026-11-20 8:00")
    ran = done(own("enter", "fitting", *row, "position=1-2", "age_when_fitted=about 3 seasons"))
    assert ran.err.splitlines()[0] == "'about 3 seasons' is taken as 60 h at 20 h a season."
    on = [one for one in fittings(file_farm, component) if one.removed_at is None]
    assert [one.age_when_fitted_usage for one in on[:2]] == [60 * HOUR, 60 * HOUR]
    ran = done(own("change", short_number(on[0].id), "age_when_fitted_h=since new"))
    # the counter had shown 1,702 h and 20 more when it was noted
    assert ran.err.splitlines()[0] == "'since new' is taken as 1,722 h."
    assert "1722" in ran.out


def test_an_age_is_no_figure_of_another_column(own: Wearlog, file_farm: SmallFarm) -> None:
    refused = own(
        "enter", "service_item", "machine=kestrel", "name=oil", "meter=separator_hours", "interval_h=about 3 seasons"
    )
    assert refused.code == 2
    assert "'about 3 seasons' says how old something is: here stands a figure." in refused.err


def test_the_file_says_its_seasons_again_another_year_and_the_log_keeps_what_it_took(
    own: Wearlog, file_farm: SmallFarm, tmp_path: Path
) -> None:
    component = bars(file_farm)
    file = tmp_path / "fitting.csv"
    # what was on before those of the first day
    words = "machine,component,position,fitted,removed,removal,age_when_fitted\nKestrel,rasp bars,3,2026-04-20,2026-05-01,planned,"
    file.write_text(f"{words}about 2 seasons\n", "utf-8")
    ran = done(own("import", str(file)))
    assert "line 2: 'about 2 seasons' is taken as 400 h at 200 h a season (a guess)." in ran.out + ran.err
    harvest(file_farm, hours=20)
    done(own("import", str(file)))
    third = [one for one in fittings(file_farm, component) if one.position == 3 and one.age_when_fitted_usage]
    assert [one.age_when_fitted_usage for one in third] == [400 * HOUR]
    done(own("import", str(file), "--replace"))
    third = [one for one in fittings(file_farm, component) if one.position == 3 and one.age_when_fitted_usage]
    assert [one.age_when_fitted_usage for one in third] == [40 * HOUR]
    file.write_text(f"{words}about two combines\n", "utf-8")
    refused = own("import", str(file))
    assert refused.code == 4
    assert (
        "'about two combines' says no age. Write new, unknown, its figure, about 3 seasons, or since new."
        in refused.out
    )


def test_what_a_header_comes_with_may_be_older_than_new(wearlog: Wearlog) -> None:
    """The age that is said with a header is that of its knife and guards; nothing else of a machine takes one."""
    assert wearlog("add", "combine", "Kestrel", "--engine", "2310", "--age", "400").code == 2
    assert wearlog("add", "header", "North", "--knife", "160", "--guards", "80", "--age", "12 moons").code == 2
    assert wearlog("entries", "machine", "--json").json["rows"] == []
    done(wearlog("add", "header", "North", "--knife", "160", "--guards", "80", "--age", "2500 ac"))
    done(wearlog("add", "header", "West", "--knife", "120", "--age", "unknown"))
    rows = wearlog("entries", "fitting", "--json", "--last", "400").json["rows"]
    ages = {(one["machine"], one["component"], one["age_when_fitted_ac"]) for one in rows}
    assert ages == {("North", "knife", "2500"), ("North", "guards", "2500"), ("West", "knife", "unknown")}
