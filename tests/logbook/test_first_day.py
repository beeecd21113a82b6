"""The first day: everything in one deed or nothing at all; and the entries of several meters, settings and a changed part."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Hitch, Machine, Reading
from wearlog.facts.parts import Part, PartFit, PartKind
from wearlog.facts.wearing import Component, Fitting
from wearlog.facts.work import Season, coming_season
from wearlog.logbook.farm.farm_setting import change_settings, current_settings
from wearlog.logbook.farm.first_answers import FirstDay, first_seasons, sections_of
from wearlog.logbook.farm.first_day import USUAL_WEARING_PARTS, begin_farm, start_log
from wearlog.logbook.farm.machines import add_machine
from wearlog.logbook.files.undo import undo
from wearlog.logbook.open_log import open_log
from wearlog.logbook.parts.stocking import add_part, change_part
from wearlog.logbook.work.working import read_meters
from wearlog.present.yard.first_day_words import first_day_lines
from wearlog.store.finding import find_all
from wearlog.store.journal import deed_lines
from wearlog.store.location import Location, locate
from wearlog.store.opening import Store

NOW = datetime(2025, 7, 1, 12, 0, tzinfo=UTC)
FOOT = 304_800
DAY = FirstDay(
    at=NOW,
    settings=(("farm_name", "Stony Hill"), ("units", "us")),
    combine="Kestrel",
    engine_seconds=2_310 * 3600,
    header="North",
    width_micrometres=40 * FOOT,
    sections=160,
    knife_age=0,
    guards=80,
)


@pytest.mark.parametrize(("feet", "sections"), [(40, 160), (35, 140), (30, 120), (20, 80), (0.1, 1)])
def test_a_knife_has_a_section_for_every_three_inches(feet: float, sections: int) -> None:
    assert sections_of(round(feet * FOOT)) == sections


def test_a_metric_width_is_rounded_to_the_nearest_section() -> None:
    # 12.2 m / 76.2 mm = 160.1; 9.15 m / 76.2 mm = 120.08
    assert (sections_of(12_200_000), sections_of(9_150_000)) == (160, 120)


def test_the_first_day_is_one_deed_with_everything_in_it(tmp_path: Path) -> None:
    file = str(tmp_path / "farm.db")
    begin_farm(file, DAY)
    store = open_log(file)
    with store.reading() as connection:
        began, day = reversed(deed_lines(connection, limit=10))
        assert began.deed.said.startswith("began the log")
        assert day.deed.said == "first day: Kestrel and North with a knife of 160 sections"
        machines = {one.kind: one for one in find_all(connection, Machine)}
        assert machines[MachineKind.HEADER].cut_width_micrometres == 12_192_000
        (reading,) = find_all(connection, Reading)
        assert reading.shown_usage == 2_310 * 3600
        assert [one.to_at for one in find_all(connection, Hitch)] == [None]
        assert [one.harvest_year for one in find_all(connection, Season)] == [2025]
        positions = {one.place: one.positions for one in find_all(connection, Component)}
        assert positions == {"knife": 160, "guards": 80, **{place: 1 for _, place in USUAL_WEARING_PARTS}}
        ages = [one.age_when_fitted_usage for one in find_all(connection, Fitting)]
        assert (ages.count(0), ages.count(None)) == (160, 88)
        assert {one.key: one.content for one in find_all(connection, Setting)} == dict(DAY.settings)
    undo(store)
    with store.reading() as connection:
        assert find_all(connection, Machine) == []
        assert find_all(connection, Fitting) == []
    store.close()


@pytest.mark.parametrize(
    "wrong",
    [
        replace(DAY, header="kestrel"),
        replace(DAY, sections=2_001),
        replace(DAY, engine_seconds=-1),
        replace(DAY, settings=(("units", "furlongs"),)),
    ],
)
def test_a_first_day_that_cannot_be_believed_leaves_no_file(tmp_path: Path, wrong: FirstDay) -> None:
    file = tmp_path / "farm.db"
    with pytest.raises(RefusedError):
        begin_farm(str(file), wrong)
    assert list(tmp_path.glob("*.db*")) == []
    with pytest.raises(NotFoundError):
        open_log(str(file))


def test_an_empty_log_is_taken_and_one_with_machines_is_not(tmp_path: Path) -> None:
    file = str(tmp_path / "farm.db")
    start_log(locate(file)).close()
    begin_farm(file, DAY)
    with pytest.raises(RefusedError, match="machines in this log already"):
        begin_farm(file, replace(DAY, combine="Other", header="Another"))


@pytest.fixture
def begun(file_location: Location) -> Store:
    return start_log(file_location)


def test_several_meters_are_read_in_one_deed_or_none(begun: Store) -> None:
    kestrel = Machine(name="Kestrel", kind=MachineKind.COMBINE)
    shown = {MeterKind.ENGINE_HOURS: 100 * 3600, MeterKind.SEPARATOR_HOURS: 80 * 3600}
    add_machine(begun, kestrel, at=NOW, shown=shown)
    later = NOW.replace(day=2)
    with pytest.raises(RefusedError, match="separator hours would run backwards"):
        read_meters(
            begun,
            kestrel,
            {MeterKind.ENGINE_HOURS: 110 * 3600, MeterKind.SEPARATOR_HOURS: 79 * 3600},
            at=later,
        )
    done = read_meters(
        begun, kestrel, {MeterKind.ENGINE_HOURS: 110 * 3600, MeterKind.SEPARATOR_HOURS: 88 * 3600}, at=later
    )
    assert done.said == "read Kestrel: 110.0 engine hours and 88.0 separator hours, 2 Jul 2025 06:00"
    with begun.reading() as connection:
        assert len(find_all(connection, Reading)) == 4
    undo(begun)
    with begun.reading() as connection:
        assert len(find_all(connection, Reading)) == 2
    begun.close()


def test_several_settings_are_one_deed(begun: Store) -> None:
    change_settings(begun, {"currency": "EUR"})
    done = change_settings(begun, {"currency": "CAD", "units": "metric"})
    assert done.said == "set currency to CAD, units to metric"
    with pytest.raises(RefusedError, match="are not units"):
        change_settings(begun, {"currency": "USD", "units": "rods"})
    assert dict(current_settings(begun))["currency"] == "CAD"
    undo(begun)
    now = dict(current_settings(begun))
    assert (now["currency"], now["units"]) == ("EUR", "us")
    begun.close()


def test_a_changed_part_keeps_its_id_and_fits_what_is_said_now(begun: Store) -> None:
    with begun.reading() as connection:
        kinds = {kind.name: kind for kind in find_all(connection, PartKind)}
    part = Part(number="KS-1", name="section", keep_on_hand=20)
    add_part(begun, part, [kinds["knife section"]], on_hand=5, at=NOW)
    change_part(begun, replace(part, keep_on_hand=30), [kinds["guard"]])
    with begun.reading() as connection:
        assert find_all(connection, Part) == [replace(part, keep_on_hand=30)]
        assert [one.part_kind_id for one in find_all(connection, PartFit)] == [kinds["guard"].id]
    undo(begun)
    with begun.reading() as connection:
        assert find_all(connection, Part) == [part]
        assert [one.part_kind_id for one in find_all(connection, PartFit)] == [kinds["knife section"].id]
    begun.close()


@pytest.mark.parametrize(
    ("day", "years"),
    [((2025, 7, 28), [2025]), ((2026, 11, 30), [2026, 2027]), ((2026, 2, 1), [2026]), ((2026, 10, 1), [2026, 2027])],
)
def test_a_log_begun_after_the_harvest_has_the_season_to_come_as_well(
    tmp_path: Path, day: tuple[int, int, int], years: list[int]
) -> None:
    """What is cut late still finds the season of its year; the plan is for the one to come."""
    file = str(tmp_path / "farm.db")
    at = datetime(*day, 12, tzinfo=UTC)
    begin_farm(file, replace(DAY, at=at))
    assert first_seasons(replace(DAY, at=at)) == years
    store = open_log(file)
    with store.reading() as connection:
        seasons = find_all(connection, Season)
    store.close()
    assert sorted(one.harvest_year for one in seasons) == years
    coming = coming_season(seasons, at.date(), None, ())
    assert coming is not None
    assert coming.harvest_year == years[-1]
    words = next(line for line in first_day_lines(replace(DAY, at=at), FarmSettings()) if line.startswith("Season"))
    assert words.endswith(str(years[0]) if len(years) == 1 else f"{years[0]}, and {years[1]}: the harvest to come")
