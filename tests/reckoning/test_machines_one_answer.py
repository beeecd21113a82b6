"""Two machines, one of which wears a kind out far sooner: every page says the same of each, and together they are the fleet."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner

from tests.long_worlds.farms import Farm as TrueFarm
from tests.long_worlds.farms import draw_farm
from tests.long_worlds.log import NOW, write_log
from tests.long_worlds.worlds import World
from wearlog.cli.app import app
from wearlog.plan.life_nodes import LifeNodes, median_life
from wearlog.reckoning.farm import Farm, read_farm
from wearlog.reckoning.plan.season_plan import season_plan
from wearlog.reckoning.plan.stop_or_run import stop_or_run
from wearlog.reckoning.wear.early_failures import early_failures
from wearlog.reckoning.wear.kind_view import KindView, kind_view
from wearlog.reckoning.wear.replacement_age import ReplacementAge, replacement_age
from wearlog.reckoning.wear.wear_outlook import wear_outlook
from wearlog.reckoning.yard.machine_view import machine_view
from wearlog.store.opening import Store

#: a farm on which the drawn lives of the two machines do lie apart
NUMBER = 4


@pytest.fixture(scope="module")
def truth() -> TrueFarm:
    return draw_farm(World("two", apart=0.6, machines=2), NUMBER, kinds=6, rows=1)


@pytest.fixture(scope="module")
def store(truth: TrueFarm, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    found = write_log(truth, tmp_path_factory.mktemp("two") / "farm.db", NUMBER)
    yield found
    found.close()


@pytest.fixture(scope="module")
def farm(store: Store) -> Farm:
    return read_farm(store, NOW)


def headers(farm: Farm) -> list[int]:
    return [place for place, one in enumerate(farm.machines) if one.name.startswith("Header")]


@pytest.fixture(scope="module")
def number(store: Store, farm: Farm, truth: TrueFarm) -> int:
    """The kind whose two machines lie farthest apart."""
    apart = max(truth.kinds, key=lambda one: abs(float(np.log(one.apart[0] / one.apart[1]))))
    return [one.name for one in farm.part_kinds].index(apart.name)


def view_of(store: Store, farm: Farm, number: int, machine: int | None = None) -> KindView:
    with store.reading() as connection:
        return kind_view(connection, farm, number) if machine is None else kind_view(connection, farm, number, machine)


def test_the_page_of_the_fleet_and_those_of_its_machines_say_the_same_of_every_part(
    store: Store, farm: Farm, number: int
) -> None:
    fleet = view_of(store, farm, number)
    assert fleet.row.life.machines is not None
    by_component = {one.component_id: one for one in fleet.row.components}
    expected = 0.0
    for machine in headers(farm):
        own = view_of(store, farm, number, machine)
        (mine,) = own.row.components
        theirs = by_component[mine.component_id]
        assert [(group.age, group.survives, group.survives_low) for group in mine.groups] == [
            (group.age, group.survives, group.survives_low) for group in theirs.groups
        ]
        assert mine.failures == theirs.failures
        expected += own.row.failures
        median, law = own.row.life.median_life, fleet.row.life.law_on(machine)
        assert median is not None
        assert law is not None
        assert median.median == law.median_life().median
    assert expected == pytest.approx(fleet.row.failures)


def test_what_stones_break_is_said_alike_for_the_fleet_and_for_its_machines(store: Store, farm: Farm) -> None:
    row = [one.name for one in farm.part_kinds].index("row 1")
    fleet = view_of(store, farm, row)
    each = [view_of(store, farm, row, machine).row.components[0].expected_impacts for machine in headers(farm)]
    assert sum(each) == pytest.approx(fleet.row.failures)


def test_the_machine_s_own_page_the_plan_and_stop_or_run_go_by_its_own_life(
    store: Store, farm: Farm, number: int
) -> None:
    with store.reading() as connection:
        plan = season_plan(connection, farm)
        outlook = wear_outlook(connection, farm)
    kind = next(one for one in outlook.kinds if one.life.kind == farm.part_kinds[number])
    for machine in headers(farm):
        law = kind.life.law_on(machine)
        assert law is not None
        median = law.median_life()
        with store.reading() as connection:
            page = machine_view(connection, farm, farm.machines[machine].id)
        span = next(one.life for one in page.components if one.kind == kind.life.kind)
        assert (span.low, span.high) == (median.low, median.high)
        # the plan's is of the ground ahead, which may wear them a little otherwise than the ground so far
        line = next(one for one in plan.lines if one.machine == farm.machines[machine] and one.kind == kind.life.kind)
        assert line.life.median is not None
        assert line.life.median.median == pytest.approx(median.median, rel=0.05)
        assert line.nodes is not None
        every = LifeNodes.of(law.nodes.shape, law.nodes.scale, law.nodes.weight)
        assert _middle(line.nodes) == pytest.approx(_middle(every), rel=0.05)
        with store.reading() as connection:
            weighed = stop_or_run(connection, farm, line.component)
        assert weighed.age == max(line.ages)


def _middle(nodes: LifeNodes) -> float:
    return float(np.exp(nodes.weight @ np.log(median_life(nodes))))


def test_the_age_at_which_to_replace_is_told_machine_by_machine_as_their_own_pages_tell_it(
    store: Store, farm: Farm, number: int
) -> None:
    fleet = view_of(store, farm, number)
    with store.reading() as connection:
        whole = replacement_age(connection, farm, fleet.row)
        assert isinstance(whole, ReplacementAge)
        told = dict(whole.by_machine)
        for machine in headers(farm):
            own = replacement_age(connection, farm, view_of(store, farm, number, machine).row)
            assert isinstance(own, ReplacementAge)
            assert own.by_machine == ()
            assert told[farm.machines[machine].name].age == own.best.age
    assert len({one.age for one in told.values()}) == 2


def test_the_commands_say_it_too(store: Store, farm: Farm, number: int) -> None:
    name = farm.part_kinds[number].name

    def said(*words: str) -> dict[str, Any]:
        done = CliRunner().invoke(app, [*words, "--db", str(store.location.file)])
        assert done.exit_code == 0, done.output
        return json.loads(done.output) if "--json" in words else {"text": " ".join(done.output.split())}

    fleet = said("wear", name, "--json")["kinds"][0]
    each = [said("wear", name, "--machine", farm.machines[one].name, "--json")["kinds"][0] for one in headers(farm)]
    own = {one["machine"]: one for one in fleet["own_lives"]["machines"]}
    assert fleet["own_lives"]["chance_that_they_differ"] > 0.8
    for page in each:
        mine = own[page["machine"]]
        assert [mine[key] for key in ("life_median", "life_low", "life_high")] == [
            page[key] for key in ("life_median", "life_low", "life_high")
        ]
        ratio = mine["times_the_usual_life"]
        assert ratio["low"] < ratio["median"] < ratio["high"]
    positions = {(one["machine"], one["position"]): one["survive_season"] for one in fleet["now"]}
    assert positions == {
        (one["machine"], one["position"]): one["survive_season"] for page in each for one in page["now"]
    }
    why = said("wear", "--explain", name)["text"]
    page = said("wear", name)["text"]
    assert "wear them each in its own way" in why
    assert "each goes by its own life" in page
    assert ("Machine by machine:" in page) == any(
        one is not None for one in fleet["replacement"]["by_machine"].values()
    )


def test_a_machine_that_wears_all_its_parts_out_sooner_has_no_early_failures_for_it(store: Store, farm: Farm) -> None:
    with store.reading() as connection:
        found = early_failures(connection, farm)
    assert all(max(one.ages) < 0.5 * one.median for one in found)
    assert len(found) <= 3
