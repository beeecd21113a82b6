"""Part numbers that live unlike lives: each place goes by the number that sits there, through the whole program."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tests.long_worlds.farms import draw_farm
from tests.long_worlds.judged import figures, judge
from tests.long_worlds.log import NOW, write_log
from tests.long_worlds.worlds import World
from wearlog.facts.departures import Departure, aside_key
from wearlog.present.digits import Measures
from wearlog.present.wear.departure_words import part_sentences
from wearlog.present.wear.wear_json import ground_json, own_machines_json, part_numbers_json, years_json
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.wear import kind_life as reckoned
from wearlog.reckoning.wear.age_groups import OutlookBasis, outlook_basis
from wearlog.reckoning.wear.farm_trends import StepBefore
from wearlog.reckoning.wear.kind_life import kind_life
from wearlog.reckoning.wear.own_laws import age_alike
from wearlog.reckoning.wear.wear_outlook import kind_outlook
from wearlog.store.histories import NONE

BETTER = World("a number that lasts three times as long", new_number=3.0)


@pytest.fixture(scope="module")
def basis(tmp_path_factory: pytest.TempPathFactory) -> OutlookBasis:
    """A farm of six kinds, each with a new part number half-way."""
    store = write_log(draw_farm(BETTER, 4, kinds=6, rows=0), Path(tmp_path_factory.mktemp("parts")) / "farm.db", 4)
    with store.reading() as connection:
        found = outlook_basis(connection, read_farm(store, NOW))
    store.close()
    return found


def old_places(basis: OutlookBasis) -> set[tuple[int, int]]:
    """Component and position of each part now on that is of the old number."""
    fittings = basis.farm.histories.fittings
    return {
        (int(fittings.component[one]), int(fittings.position[one]))
        for one in np.flatnonzero(basis.lives.ages.on)
        if basis.farm.histories.parts[fittings.part[one]].endswith("-1")
    }


def most_failed(basis: OutlookBasis) -> int:
    """The kind of which most has worn out, of those with parts of the old number still on."""
    kinds = basis.farm.histories.components.part_kind
    mixed = {int(kinds[component]) for component, _ in old_places(basis)}
    return max(mixed, key=lambda number: kind_life(basis.lives, number).lives.failures)


def test_the_histories_know_the_number_of_each_fitting(basis: OutlookBasis) -> None:
    rows = basis.farm.histories
    noted = [rows.parts[one] for one in np.unique(rows.fittings.part) if one != NONE]
    assert len(noted) >= 6
    kinds = rows.components.part_kind[rows.fittings.component]
    for number, kind in enumerate(basis.farm.part_kinds):
        of_kind = {rows.parts[one] for one in rows.fittings.part[kinds == number]}
        assert of_kind <= {f"{kind.name}-1", f"{kind.name}-2"}


def test_the_life_is_that_of_the_newest_number_and_what_is_old_counts_as_older(basis: OutlookBasis) -> None:
    number = most_failed(basis)
    row = kind_outlook(basis, number)
    parts, name = row.life.parts, row.life.kind.name
    assert parts is not None
    assert (parts.newest, parts.others) == (f"{name}-2", (f"{name}-1",))
    assert parts.speeds.speed(0).median > 1.2
    aside = replace(basis.farm, settings=replace(basis.farm.settings, set_aside=((aside_key(name), "parts"),)))
    together = kind_outlook(replace(basis, lives=replace(basis.lives, farm=aside)), number)
    assert together.life.parts is None
    assert row.life.median_life is not None
    assert together.life.median_life is not None
    assert row.life.median_life.median > 1.1 * together.life.median_life.median
    assert row.life.beyond >= {Departure.PARTS}
    # a place with parts of both numbers: of equal age the old one is less likely to last
    old = old_places(basis)
    places = {one.id: number for number, one in enumerate(basis.farm.components)}
    counted = [
        (group.worn_age / group.age, (places[one.component_id], group.positions[0]) in old)
        for one in row.components
        for group in one.groups
        if group.age and group.worn_age is not None
    ]
    assert any(is_old for _, is_old in counted)
    assert all(ratio > 1.0 for ratio, is_old in counted if is_old)
    assert all(ratio == pytest.approx(1.0, abs=1e-6) for ratio, is_old in counted if not is_old)


def test_what_is_said_names_the_numbers_and_how_to_take_them_as_one(basis: OutlookBasis) -> None:
    life = kind_life(basis.lives, most_failed(basis))
    said = " ".join(part_sentences(life))
    assert f"The life is that of number {life.kind.name}-2, which is fitted now: it lasts" in said
    assert f"times as long as number {life.kind.name}-1" in said
    assert "--without parts" in said
    # each of six kinds has a better number, so each is foretold one
    assert (
        "other kinds of this farm with an older number and a newer one count too: by them alone it would last" in said
    )
    alone = replace(life, parts=replace(life.parts, before=StepBefore(0.0, 0.4, 0))) if life.parts else life
    assert "of this farm with" not in " ".join(part_sentences(alone))


def test_the_json_has_the_numbers_with_intervals_and_null_where_there_is_one(basis: OutlookBasis) -> None:
    row = kind_outlook(basis, most_failed(basis))
    parts = row.life.parts
    assert parts is not None
    measures = Measures(basis.farm.settings)
    found = part_numbers_json(row, measures)
    assert found is not None
    assert (found["number"], found["failures"]) == (parts.newest, round(parts.failures[0]))
    (other,) = found["others"]
    lasts = other["lasts_times_as_long"]
    assert (other["number"], lasts["level"]) == (parts.others[0], 0.8)
    assert lasts["low"] < lasts["median"] < lasts["high"]
    assert lasts["median"] == pytest.approx(parts.speeds.speed(0).median, abs=1e-3)
    foretold = found["by_other_kinds"]
    assert 2 <= foretold["kinds"] == parts.before.kinds <= 5
    assert foretold["lasts_times_as_long"]["median"] == pytest.approx(np.exp(parts.before.mean), abs=1e-3)
    assert foretold["lasts_times_as_long"]["median"] > 1.3
    alone = replace(row, life=replace(row.life, parts=None, machines=None, ground=None, years=None))
    for nothing in (part_numbers_json, own_machines_json, ground_json, years_json):
        assert nothing(alone, measures) is None


def test_the_age_alike_gives_the_same_chance() -> None:
    age, usage, pace, shape, scale = (
        np.array([500.0, 0.0, 900.0]),
        np.full(3, 700.0),
        np.array([1.6, 1.3, 0.7]),
        2.4,
        1500.0,
    )
    alike = age_alike(age, usage, pace, shape)
    true = np.exp(((age * pace) / scale) ** shape - (((age + usage) * pace) / scale) ** shape)
    same = np.exp((alike / scale) ** shape - ((alike + usage) / scale) ** shape)
    np.testing.assert_allclose(same[:1], true[:1], rtol=1e-6)
    np.testing.assert_allclose(same[1], true[1], rtol=1e-6)
    assert alike[2] < age[2]
    assert age_alike(age, usage, pace, 0.9).tolist() == (age * pace).tolist()
    assert age_alike(age, usage, np.ones(3), shape).tolist() == age.tolist()


def test_chances_hold_where_a_new_number_lasts_longer(monkeypatch: pytest.MonkeyPatch) -> None:
    """3 farms of 20 kinds; standard error about 4 in 100."""
    world = World("new number lasts 1.6 x", new_number=1.6)
    row = figures([judge(world, number, kinds=20, rows=0) for number in range(3)])
    monkeypatch.setattr(reckoned, "part_wear", lambda *_: None)
    plain = figures([judge(world, number, kinds=20, rows=0) for number in range(3)])
    print({name: (one.value, plain[name].value) for name, one in row.items()})
    assert row["chance"].value > 0.82
    assert row["own median"].value > plain["own median"].value + 0.3
    assert row["came / said"].value > plain["came / said"].value + 0.05
