"""What the screens ask: what still runs broken, the yard's most pressing thing, a machine's positions, pages of long lists."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from tests.reckoning.screen_farm import NOW
from tests.tui.small_farm import ACRE
from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.facts.wearing import Component

if TYPE_CHECKING:
    from wearlog.store.opening import Store


def component(store: Store, place: str) -> Component:
    from wearlog.store.finding import find_all

    with store.reading() as connection:
        return find_all(connection, Component, place=place)[0]


def break_at(
    store: Store, place: str, position: int, action: Action, days_ago: float, cause: Cause = Cause.UNKNOWN
) -> None:
    from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage

    entry = BreakageEntry(
        component_id=component(store, place).id, positions=(position,), at=NOW - timedelta(days=days_ago)
    )
    log_breakage(store, replace(entry, action=action, cause=cause))


def left(store: Store) -> list[tuple[str, tuple[int, ...]]]:
    from wearlog.reckoning.farm import read_farm
    from wearlog.reckoning.parts.fitted_now import left_in_service

    return [(one.component.place, one.positions) for one in left_in_service(read_farm(store, NOW))]


def test_a_part_left_in_service_stays_on_the_list_until_it_is_mended_or_replaced(farm_store: Store) -> None:
    assert left(farm_store) == [("guards", (6,))]
    break_at(farm_store, "guards", 7, Action.LEFT, 2)
    assert left(farm_store) == [("guards", (6, 7))]
    break_at(farm_store, "guards", 6, Action.MENDED, 1)
    assert left(farm_store) == [("guards", (7,))]


def test_a_planned_change_of_the_part_takes_it_off_the_list_too(farm_store: Store) -> None:
    from wearlog.logbook.parts.fitting import refit

    refit(farm_store, component(farm_store, "guards"), (6,), at=NOW - timedelta(days=1))
    assert left(farm_store) == []


def test_what_presses_most_comes_first(farm_store: Store) -> None:
    from wearlog.logbook.parts.fitting import refit
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.yard.yard_view import Press, yard_view

    def press() -> Press:
        with farm_store.reading() as connection:
            return yard_view(connection, farm_from(connection, NOW)).press

    assert press() is Press.LEFT
    refit(farm_store, component(farm_store, "guards"), (6,), at=NOW - timedelta(days=1))
    assert press() is Press.OVERDUE


def test_the_glance_knows_machines_and_their_readings_without_any_history(farm_store: Store) -> None:
    from wearlog.reckoning.yard.yard_glance import yard_glance

    with farm_store.reading() as connection:
        glance = yard_glance(connection, NOW)
    assert [one.machine.name for one in glance.machines] == ["Kestrel", "North header", "Old header"]
    assert glance.machines[0].shown.engine_seconds == 2_310 * 3_600
    assert glance.machines[0].hitched_to is not None
    assert glance.machines[0].shown.season_area is None


def test_a_machine_shows_every_position_with_its_age_and_breakages(farm_store: Store) -> None:
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.yard.machine_view import machine_view

    knife = component(farm_store, "knife")
    with farm_store.reading() as connection:
        view = machine_view(connection, farm_from(connection, NOW), knife.machine_id)
    assert [one.component.place for one in view.components] == ["knife", "guards"]
    positions = view.components[0].positions
    assert len(positions) == 160
    assert [one.position for one in positions if one.breakages] == [12, 13, 41, 118]
    assert [one.position for one in positions if one.impacts] == [12, 13, 41]
    # 600 acres since it was fitted; 41 was replaced with 3 runs of 20 acres still to come
    assert positions[0].age == pytest.approx(600 * ACRE, rel=1e-4)
    assert positions[40].age == pytest.approx(60 * ACRE, rel=1e-4)


def test_hits_that_bunch_are_told_with_the_chance_of_an_even_spread(farm_store: Store) -> None:
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.yard.machine_view import machine_view

    for day, position in enumerate((40, 42, 43, 41)):
        break_at(farm_store, "knife", position, Action.REPLACED, 2 - day / 10, Cause.IMPACT)
    knife = component(farm_store, "knife")
    with farm_store.reading() as connection:
        hot = machine_view(connection, farm_from(connection, NOW), knife.machine_id).components[0].hot
    assert hot is not None
    assert (hot.first, hot.last, hot.breakages) == (40, 43, 5)
    assert hot.chance < 0.05


def test_the_kept_farm_is_read_anew_only_after_an_entry(farm_store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    from wearlog.reckoning import farm as kept_farm

    read: list[datetime] = []
    really = kept_farm.farm_from
    monkeypatch.setattr(kept_farm, "farm_from", lambda *given: read.append(given[1]) or really(*given))
    kept = kept_farm.KeptFarm()
    later = NOW + timedelta(minutes=1)
    for now in (NOW, later):
        with farm_store.reading() as connection:
            assert kept.at(connection, now).now == now
    assert read == [NOW]
    break_at(farm_store, "guards", 9, Action.REPLACED, 1)
    with farm_store.reading() as connection:
        assert len(kept.at(connection, later).histories.breakages.at) == 5
    assert read == [NOW, later]


def spoken(member: object) -> str:
    return str(getattr(member, "value", member))


def test_pages_of_breakages_follow_order_and_filter(farm_store: Store) -> None:
    from wearlog.reckoning.files import breakage_query, count_rows, page_from_end, page_of, place_of

    with farm_store.reading() as connection:
        latest = breakage_query("", "when", backwards=True, spoken=spoken)
        assert [row.positions for row in page_of(connection, latest, 0, 10)] == [(41,), (118,), (6,), (12, 13)]
        assert [row.positions for row in page_of(connection, latest, 1, 2)] == [(118,), (6,)]
        assert [row.positions for row in page_from_end(connection, latest, 1, 2, 4)] == [(118,), (6,)]
        rows = page_of(connection, latest, 0, 10)
        assert [place_of(connection, latest, row.id) for row in rows] == [0, 1, 2, 3]
        rocks = breakage_query("knife IMPACT", "when", backwards=False, spoken=spoken)
        assert count_rows(connection, rocks) == 2
        assert [row.cause for row in page_of(connection, rocks, 0, 10)] == [Cause.IMPACT] * 2
        assert place_of(connection, rocks, rows[1].id) is None
        bent = breakage_query("bent left", "cause", backwards=False, spoken=spoken)
        assert [(row.mode, row.action) for row in page_of(connection, bent, 0, 10)] == [(Mode.BENT, Action.LEFT)]
        assert count_rows(connection, breakage_query("100%", "when", backwards=False, spoken=spoken)) == 0


@pytest.mark.parametrize("sort", ["when", "area", "field", "crop"])
@pytest.mark.parametrize("backwards", [False, True])
def test_pages_of_runs_tile_the_list_in_any_order(farm_store: Store, sort: str, backwards: bool) -> None:
    from wearlog.facts.closed_lists import MachineKind
    from wearlog.reckoning.farm import named_machines
    from wearlog.reckoning.files import count_rows, page_from_end, page_of, place_of, run_query

    with farm_store.reading() as connection:
        combine = named_machines(connection, MachineKind.COMBINE)[0].row_id
        query = run_query(combine, "", sort, backwards=backwards)
        assert count_rows(connection, query) == 30
        whole = [row.id for row in page_of(connection, query, 0, 100)]
        tiles: list[Callable[[int], list[object]]] = [
            lambda first: [row.id for row in page_of(connection, query, first, 7)],
            lambda first: [row.id for row in page_from_end(connection, query, first, 7, 30)],
        ]
        for tile in tiles:
            assert [one for first in range(0, 30, 7) for one in tile(first)] == whole
        assert [place_of(connection, query, one) for one in whole] == list(range(30))
