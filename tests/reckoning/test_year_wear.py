"""Years that grow harder on parts: usage by years, lives at the wear of the year ahead, what is said, and setting it aside."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from tests.reckoning.test_kind_life import number_of
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.departures import Departure, aside_key
from wearlog.present.digits import Measures
from wearlog.present.wear.departure_words import year_sentences
from wearlog.present.wear.wear_json import years_json
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.wear.age_groups import OutlookBasis, outlook_basis
from wearlog.reckoning.wear.farm_trends import farm_trends
from wearlog.reckoning.wear.farm_years import FarmYears, YearLines, life_rows, split_lives, year_parts
from wearlog.reckoning.wear.guessed_kinds import guess_of
from wearlog.reckoning.wear.kind_life import FleetLives, fleet_lives, kind_life
from wearlog.reckoning.wear.wear_outlook import kind_outlook
from wearlog.store.opening import Store
from wearlog.wear.steps import FarmSteps
from wearlog.wear.years import Slope, YearSlopes

KNIFE = "knife section"
NOW = datetime.fromisoformat("2026-11-20T18:00Z")
STEPS = np.linspace(-0.24, 0.28, 105)


def slope_of(middle: float, sd: float = 0.015) -> Slope:
    weight = np.exp(-0.5 * ((STEPS - middle) / sd) ** 2)
    return Slope(weight / weight.sum())


def as_if_sloped(lives: FleetLives, middle: float) -> FleetLives:
    """The same records, but believed to come from years each so much harder than the one before."""
    lines = YearLines.of(lives.farm)
    assert lines is not None
    given = replace(lives)
    slopes = YearSlopes(slope_of(middle), (), 0.001, FarmSteps.of((), np.eye(1), np.zeros(1)))
    given.__dict__["years"] = FarmYears(lines, slopes, ())
    return given


@pytest.fixture
def basis(demo_store: Store) -> OutlookBasis:
    farm = read_farm(demo_store, NOW)
    with demo_store.reading() as connection:
        return outlook_basis(connection, farm)


def test_the_years_of_a_life_add_up_to_its_age(basis: OutlookBasis) -> None:
    farm, records = basis.farm, basis.lives.records
    lines = YearLines.of(farm)
    assert lines is not None
    assert lines.offset[-1] == -1.0  # the season of this year is over: the year ahead is the next
    for name in (KNIFE, "main drive belt"):
        number = number_of(farm, name)
        meter = farm.part_kinds[number].meter_kind
        rows = life_rows(farm, records, records.part_kind == number)
        ages, parts = year_parts(farm, rows, lines, meter)
        split, numbers = split_lives(rows, ages, parts, lines.year_of(rows.exit_at))
        np.testing.assert_allclose(split.exit.sum(axis=1), split.lives.exit, rtol=1e-9)
        np.testing.assert_allclose(split.entry.sum(axis=1), split.lives.entry, rtol=1e-9)
        assert split.lives.failures == records.of_wear(records.part_kind == number).failures
        assert set(numbers) <= set(range(len(farm.machines)))
    machine = rows.machine[:5]
    edges = [np.full(5, int(datetime(year, 1, 1, tzinfo=UTC).timestamp() * 1e6)) for year in (2025, 2026)]
    ran = lines.parts(
        farm, MeterKind.SEPARATOR_HOURS, machine, np.zeros(5, dtype=np.int64), np.full(5, lines.begins[-1])
    )
    place = int(np.flatnonzero(lines.begins == edges[0][0])[0])
    np.testing.assert_allclose(ran[:, place], farm.lines.usage(MeterKind.SEPARATOR_HOURS, machine, *edges))


def test_where_no_year_is_unlike_another_nothing_is_changed(basis: OutlookBasis) -> None:
    assert basis.lives.years is None
    life = kind_life(basis.lives, number_of(basis.farm, KNIFE))
    assert life.years is None
    assert life.clock is None
    assert Departure.YEARS not in life.beyond
    assert year_sentences(life) == []


def test_harder_years_shorten_the_life_ahead_and_what_was_run_before_counts_less(basis: OutlookBasis) -> None:
    number = number_of(basis.farm, KNIFE)
    plain, harder = (
        kind_outlook(replace(basis, lives=lives), number) for lives in (basis.lives, as_if_sloped(basis.lives, 0.1))
    )
    assert plain.life.median_life is not None
    assert harder.life.median_life is not None
    assert harder.life.median_life.median < 0.95 * plain.life.median_life.median
    assert harder.life.beyond >= {Departure.YEARS}
    assert harder.failures > plain.failures
    for one in harder.components:
        assert one.pace == 1.0
        # the same object for the same life: places that share it fail many together or few together
        assert one.law is harder.life.law_on(basis.farm.machine_number(one.machine_id))
        for group in one.groups:
            if group.age:
                assert group.worn_age is not None
                assert 0.5 * group.age < group.worn_age < group.age


def test_what_is_said_names_the_share_a_year_and_how_to_set_it_aside(basis: OutlookBasis) -> None:
    number = number_of(basis.farm, KNIFE)
    said = " ".join(year_sentences(kind_life(as_if_sloped(basis.lives, 0.083), number)))
    assert "Lives have shortened by about 8 % a year on this farm, all kinds together (9 in 10: 6 % to 10 %)" in said
    assert "--without years" in said
    longer = " ".join(year_sentences(kind_life(as_if_sloped(basis.lives, -0.05), number)))
    assert "Lives have lengthened by about 5 % a year" in longer


def test_set_aside_every_year_counts_alike(basis: OutlookBasis) -> None:
    number, farm = number_of(basis.farm, KNIFE), basis.farm
    settings = replace(farm.settings, set_aside=((aside_key(KNIFE), "years"),))
    lives = replace(as_if_sloped(basis.lives, 0.1), farm=replace(farm, settings=settings))
    lives.__dict__["years"] = as_if_sloped(basis.lives, 0.1).years
    life, plain = kind_life(lives, number), kind_life(basis.lives, number)
    assert life.years is None
    assert life.median_life == plain.median_life
    assert year_sentences(life)[0].startswith("Every year counts alike, as the farm set it.")


def test_a_farm_of_one_year_or_of_none_has_no_years(basis: OutlookBasis) -> None:
    farm = basis.farm
    guesses = {number: guess_of(kind) for number, kind in enumerate(farm.part_kinds)}
    first = int(farm.histories.runs.start.min()) / 1e6
    young = replace(farm, now=datetime.fromtimestamp(first + 86400, UTC))
    assert YearLines.of(young) is None
    lives = fleet_lives(farm)
    assert farm_trends(young, {number: lives.rows_of(number) for number in guesses}, guesses, {}).years is None


def test_the_json_has_the_slope_of_the_kind_and_of_the_farm(basis: OutlookBasis) -> None:
    sloped = replace(basis, lives=as_if_sloped(basis.lives, 0.08))
    found = years_json(kind_outlook(sloped, number_of(basis.farm, KNIFE)), Measures(basis.farm.settings))
    assert found is not None
    assert found["farm"]["median"] == pytest.approx(-np.expm1(-0.08), abs=0.003)
    assert found["farm"]["low"] < found["farm"]["median"] < found["farm"]["high"]
    assert (found["farm"]["level"], set(found)) == (0.9, {"kind", "farm"})
