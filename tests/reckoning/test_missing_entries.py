"""What left the shelf and was never entered is told and carried; a log that may be whole is left in peace."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from tests.planned_season import plan
from tests.small_farm import AUGUST, MAY, SmallFarm, harvest, kind, receive
from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Cause, Ground, MachineKind, StockChange
from wearlog.facts.departures import Departure
from wearlog.facts.machines import Machine
from wearlog.facts.parts import Part, StockMove
from wearlog.facts.wearing import Component
from wearlog.logbook.farm.farm_setting import set_aside
from wearlog.logbook.farm.machines import add_machine
from wearlog.logbook.files.undo import undo
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.parts.fitting import add_component
from wearlog.logbook.parts.stocking import add_part, change_part, enter_roughly, move_stock
from wearlog.logbook.rows.changing import change_row
from wearlog.present.digits import Measures
from wearlog.present.wear.departure_words import missing_sentences
from wearlog.present.wear.kind_explained import explained
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.parts.shelf_shares import KindShare, rough_place, shelf_shares
from wearlog.reckoning.plan.season_plan import SeasonPlanView, season_plan
from wearlog.reckoning.wear.age_groups import outlook_basis
from wearlog.reckoning.wear.kind_view import kind_view
from wearlog.reckoning.wear.wear_outlook import KindOutlook, kind_outlook
from wearlog.store.finding import find_all
from wearlog.store.opening import Store

AUTUMN = AUGUST + timedelta(days=60)
OCTOBER = AUGUST + timedelta(days=55)
KNIFE = "knife section"


def move(farm: SmallFarm, change: StockChange, quantity: int, at: datetime = OCTOBER) -> None:
    move_stock(farm.store, StockMove(part_id=farm.section_part.id, at=at, change=change, quantity=quantity))


def break_sections(farm: SmallFarm, count: int, *, cause: Cause = Cause.WEAR, first: int = 1) -> None:
    """Break so many sections, far apart in time and place."""
    for one in range(count):
        at = AUGUST + timedelta(hours=7 * (one + 1))
        position = (first + 3 * one - 1) % 160 + 1
        log_breakage(farm.store, BreakageEntry(component_id=farm.knife.id, positions=(position,), at=at, cause=cause))


def knife_share(farm: SmallFarm) -> KindShare | None:
    known = read_farm(farm.store, AUTUMN)
    return shelf_shares(known).get([one.name for one in known.part_kinds].index(KNIFE))


def knife_outlook(farm: SmallFarm) -> KindOutlook:
    known = read_farm(farm.store, AUTUMN)
    with farm.store.reading() as connection:
        return kind_outlook(outlook_basis(connection, known), [one.name for one in known.part_kinds].index(KNIFE))


@pytest.fixture
def lossy(file_farm: SmallFarm) -> SmallFarm:
    """Fifty sections lay there and eight are left; twenty breakages of wear and ten by stones are entered."""
    harvest(file_farm, acres=2500, hours=240)
    plan(file_farm, 2027, (2000, Ground.STONY))
    break_sections(file_farm, 20)
    break_sections(file_farm, 10, cause=Cause.IMPACT, first=80)
    move(file_farm, StockChange.COUNTED, 8)
    return file_farm


def test_what_left_the_shelf_is_held_against_what_was_entered(lossy: SmallFarm) -> None:
    found = knife_share(lossy)
    assert found is not None
    assert (found.share.of.used, found.share.of.entered) == (42, 30)
    assert found.share.is_short
    assert [(one.harvest_year, one.of.missing) for one in found.seasons] == [(2026, 12)]


def test_rates_lives_plan_and_spares_carry_it_and_setting_it_aside_gives_the_plain_figures_back(
    lossy: SmallFarm,
) -> None:
    carried = knife_outlook(lossy)
    assert carried.life.missing is not None
    share = carried.life.missing.share
    with lossy.store.reading() as connection:
        spares = season_plan(connection, read_farm(lossy.store, AUTUMN))
    set_aside(lossy.store, KNIFE, frozenset({Departure.MISSING}))
    plain = knife_outlook(lossy)
    assert plain.life.missing is None
    assert carried.life.beyond == {Departure.MISSING}
    assert carried.life.impacts is not None
    assert plain.life.impacts is not None
    # stones were seen as if on so much less area; the area on show stays
    assert carried.life.impacts.exposure == plain.life.impacts.exposure
    assert carried.life.impacts.breakages == plain.life.impacts.breakages
    few = list(Ground).index(Ground.FEW_STONES)
    apart = plain.life.impacts.rates[few].exposure - carried.life.impacts.rates[few].exposure
    assert apart == pytest.approx(plain.life.impacts.exposure[few] * (1 - share.mean))
    assert carried.life.median_life is not None
    assert plain.life.median_life is not None
    # failures come 1.27 times as often as told, and what nobody saw leaves the guess more of a say
    assert 0.7 < carried.life.median_life.median / plain.life.median_life.median < 0.9
    assert carried.failures > plain.failures
    with lossy.store.reading() as connection:
        unlossy = season_plan(connection, read_farm(lossy.store, AUTUMN))

    def demand(view: SeasonPlanView) -> float:
        line = next(one for one in view.found.spares if view.needs[one.need].shelf.part.number == "KS-3")
        return float(line.demand.mean)

    assert demand(spares) > demand(unlossy)


def test_the_why_page_says_it_and_how_to_set_it_aside(lossy: SmallFarm) -> None:
    known = read_farm(lossy.store, AUTUMN)
    number = [one.name for one in known.part_kinds].index(KNIFE)
    with lossy.store.reading() as connection:
        view = kind_view(connection, known, number)
    text = " ".join(" ".join(explained(view, Measures(known.settings))).split())
    assert "How much of it was entered:" in text
    assert "by its counts 42 left it, and 30 are told by breakages, planned work and uses." in text
    assert "They are missing most: 12 in 2026." in text
    assert "wearlog wear 'knife section' --without missing, or x on its screen" in text
    set_aside(lossy.store, KNIFE, frozenset({Departure.MISSING}))
    (said,) = missing_sentences(knife_outlook(lossy).life)
    assert said.startswith("Every breakage counts as entered, as the farm set it.")


def test_what_broke_on_a_day_nobody_remembers_is_entered_once_for_a_season_carried_changed_and_taken_back(
    lossy: SmallFarm,
) -> None:
    known = read_farm(lossy.store, AUTUMN)
    number = [one.name for one in known.part_kinds].index(KNIFE)
    place = rough_place(known, number)
    assert (place.harvest_year, place.missing) == (2026, 12)
    assert place.at < OCTOBER
    before = knife_outlook(lossy)
    done = enter_roughly(lossy.store, place.part, 12, harvest_year=2026, at=place.at)
    assert done.said == "12 x KS-3 knife section broke, day and place not known: 2026"
    assert done.also == ("8 on hand now",)  # the shelf stays as it was counted
    found = knife_share(lossy)
    assert found is not None
    assert (found.share.of.used, found.share.of.entered, found.share.of.rough) == (42, 30, 12)
    assert rough_place(read_farm(lossy.store, AUTUMN), number).missing == 0
    after = knife_outlook(lossy)
    assert after.failures == pytest.approx(before.failures)
    assert "12 of them entered without day and place" in " ".join(missing_sentences(after.life))
    # more than the counts miss: they did break, so more was used
    enter_roughly(lossy.store, place.part, 8, harvest_year=2026, at=place.at)
    more = knife_share(lossy)
    assert more is not None
    assert more.share.of.used == 50
    assert knife_outlook(lossy).failures > after.failures
    undo(lossy.store)
    undo(lossy.store)
    assert knife_outlook(lossy).failures == before.failures


def test_what_was_entered_roughly_is_changed_and_taken_back_in_a_file_and_on_a_server(farm: SmallFarm) -> None:
    harvest(farm, acres=2500, hours=240)
    break_sections(farm, 20)
    move(farm, StockChange.COUNTED, 18)
    known = read_farm(farm.store, AUTUMN)
    place = rough_place(known, [one.name for one in known.part_kinds].index(KNIFE))
    enter_roughly(farm.store, place.part, 12, harvest_year=2026, at=place.at)

    def stands() -> StockMove:
        with farm.store.reading() as connection:
            (one,) = (move for move in find_all(connection, StockMove) if "day and place not known" in move.note)
        return one

    def carried() -> tuple[float, float]:
        share = knife_share(farm)
        assert share is not None
        return share.share.of.used, share.share.of.rough

    before, failures = stands(), knife_outlook(farm).failures
    assert carried() == (32, 12)
    change_row(farm.store, before, replace(before, quantity=20), "20 of them")
    assert (stands().quantity, carried()) == (20, (40, 20))
    assert knife_outlook(farm).failures > failures
    with pytest.raises(RefusedError, match="changed"):
        change_row(farm.store, before, replace(before, quantity=3), "by an older reading")
    undo(farm.store)
    assert (stands(), carried()) == (before, (32, 12))
    assert knife_outlook(farm).failures == failures


def test_pieces_that_are_known_to_have_broken_speak_where_the_counts_alone_would_not(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=2500, hours=240)
    break_sections(file_farm, 10)
    move(file_farm, StockChange.COUNTED, 40)
    assert knife_outlook(file_farm).life.missing is None
    known = read_farm(file_farm.store, AUTUMN)
    place = rough_place(known, [one.name for one in known.part_kinds].index(KNIFE), 2026)
    assert place.missing == 0
    with pytest.raises(RefusedError, match="Nothing is missing"):
        enter_roughly(file_farm.store, place.part, 0, harvest_year=2026, at=place.at)
    enter_roughly(file_farm.store, place.part, 15, harvest_year=2026, at=place.at)
    missing = knife_outlook(file_farm).life.missing
    assert missing is not None
    assert (missing.share.of.used, missing.share.of.entered) == (25, 10)


def test_a_season_or_a_kind_that_was_not_counted_is_refused_with_what_to_do(lossy: SmallFarm) -> None:
    known = read_farm(lossy.store, AUTUMN)
    names = [one.name for one in known.part_kinds]
    with pytest.raises(RefusedError, match="how many of the knife section went in 2024") as refused:
        rough_place(known, names.index(KNIFE), 2024)
    assert refused.value.hint == "Counted were: 2026."
    with pytest.raises(RefusedError, match="how many of the guard went") as refused:
        rough_place(known, names.index("guard"))
    assert "wearlog stock count" in refused.value.hint


def test_a_shelf_that_was_never_counted_again_says_nothing(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=2500, hours=240)
    break_sections(file_farm, 12)
    # the one count is what lay there when the part was entered
    receive(file_farm, 100, 460)
    assert knife_share(file_farm) is None
    assert knife_outlook(file_farm).life.missing is None


def test_a_log_without_any_stock_says_nothing(store: Store) -> None:
    assert shelf_shares(read_farm(store, AUTUMN)) == {}


def test_where_all_is_entered_and_the_book_is_right_nothing_is_said(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=2500, hours=240)
    break_sections(file_farm, 30)
    move(file_farm, StockChange.COUNTED, 20)
    found = knife_share(file_farm)
    assert found is not None
    assert found.share.of.missing == 0
    assert not found.share.is_short


def test_what_was_thrown_away_or_brought_back_is_not_missing_once_it_is_entered(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=2500, hours=240)
    break_sections(file_farm, 10)
    move(file_farm, StockChange.USED, 20, at=AUGUST + timedelta(days=9))
    move(file_farm, StockChange.RETURNED, 4, at=AUGUST + timedelta(days=10))
    move(file_farm, StockChange.COUNTED, 24)
    found = knife_share(file_farm)
    assert found is not None
    assert found.share.of.used == 26
    assert found.share.of.missing <= 0
    assert not found.share.is_short


def test_parts_from_elsewhere_are_entered_though_they_left_no_shelf(file_farm: SmallFarm) -> None:
    """Nothing fitted the knife while they broke, so nothing came off stock; the shelf that is counted is no shorter for it."""
    harvest(file_farm, acres=2500, hours=240)
    change_part(file_farm.store, file_farm.section_part, [kind("guard")])
    break_sections(file_farm, 20)
    change_part(file_farm.store, file_farm.section_part, [kind(KNIFE)])
    move(file_farm, StockChange.COUNTED, 32)
    found = knife_share(file_farm)
    assert found is not None
    assert (found.share.of.used, found.share.of.entered) == (18, 20)
    assert not found.share.is_short


def test_pieces_of_two_machines_count_together(lossy: SmallFarm) -> None:
    header = Machine(name="South", kind=MachineKind.HEADER)
    add_machine(lossy.store, header, at=MAY)
    knife = Component(machine_id=header.id, part_kind_id=kind(KNIFE).id, place="knife", positions=160)
    add_component(lossy.store, knife, fitted_at=MAY)
    for one in range(12):
        at = AUGUST + timedelta(hours=5 * (one + 1))
        log_breakage(
            lossy.store, BreakageEntry(component_id=knife.id, positions=(3 * one + 1,), at=at, cause=Cause.WEAR)
        )
    found = knife_share(lossy)
    assert found is not None
    assert found.share.of.missing == 0
    assert not found.share.is_short


def test_a_part_that_fits_two_kinds_says_nothing_of_either(lossy: SmallFarm) -> None:
    change_part(lossy.store, lossy.section_part, [kind(KNIFE), kind("guard")])
    assert knife_share(lossy) is None


def test_kinds_without_a_shelf_are_left_as_they_are(lossy: SmallFarm) -> None:
    known = read_farm(lossy.store, AUTUMN)
    chain = [one.name for one in known.part_kinds].index("feeder conveyor chain")
    assert set(shelf_shares(known)) == {[one.name for one in known.part_kinds].index(KNIFE)}
    with lossy.store.reading() as connection:
        assert kind_outlook(outlook_basis(connection, known), chain).life.missing is None


def test_a_second_part_of_the_kind_counts_with_the_first(lossy: SmallFarm) -> None:
    other = Part(number="KS-4", name=KNIFE, price_minor=500)
    add_part(lossy.store, other, [kind(KNIFE)], on_hand=30, at=MAY)
    move_stock(lossy.store, StockMove(part_id=other.id, at=OCTOBER, change=StockChange.COUNTED, quantity=27))
    found = knife_share(lossy)
    assert found is not None
    assert (found.share.of.used, found.share.of.entered) == (45, 30)
