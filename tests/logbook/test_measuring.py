"""Wear as it is read off a tape: lengths in words, what cannot be, how a kind is measured and where its limit comes from."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from tests.small_farm import AUGUST, MAY, SmallFarm, kind
from wearlog.errors import NotFoundError, RefusedError, UsageError
from wearlog.facts.closed_lists import Dimension, Removal
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.facts.wearing import Measurement
from wearlog.logbook.files.importing import everything
from wearlog.logbook.files.undo import undo
from wearlog.logbook.names import known_names
from wearlog.logbook.parts.fitting import refit, take_off
from wearlog.logbook.parts.measuring import (
    MeasuredPlace,
    Tape,
    component_named,
    elongation_of,
    enter_measurement,
    in_kinds_terms,
    measure_start,
    one_position,
    place_named,
)
from wearlog.logbook.parts.wear_limits import (
    OWN_LIMIT,
    GaugeChange,
    chain_limit_percent,
    chain_limit_source,
    limit_percent,
    limit_source,
    pitch_of,
    read_chain,
    set_gauge,
)
from wearlog.logbook.said.amounts import read_length
from wearlog.store.finding import find_all

US, METRIC = FarmSettings(), FarmSettings(units="metric")
CHAIN = kind("feeder conveyor chain")


@pytest.mark.parametrize(
    ("said", "micrometres"),
    [
        ("19.9in", 505_460),
        ("505 mm", 505_000),
        ("505,5 mm", 505_500),
        ("50.5cm", 505_000),
        ("19.9", 505_460),
        ('19.9"', 505_460),
        ("19.9 inches", 505_460),
        ("1/8in", 3_175),
        ('19 7/8"', 504_825),
        ("19-7/8 in", 504_825),
        ("0", 0),
    ],
)
def test_a_length_is_read_as_people_write_it(said: str, micrometres: int) -> None:
    assert read_length(said, US) == micrometres


def test_without_a_unit_a_metric_farm_means_millimetres() -> None:
    assert read_length("505", METRIC) == 505_000


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ("-3in", "'-3in' is below zero"),
        ("-1/8in", "below zero"),
        ("12 h", "'h' in '12 h' is not in, mm or cm."),
        ("worn", "'worn' is not a length."),
        ("3/0in", "divides by nothing"),
        ("", "is not a length"),
    ],
)
def test_what_is_no_length_is_told(said: str, sentence: str) -> None:
    with pytest.raises(UsageError, match=sentence):
        read_length(said, US)


def test_ten_pitches_of_ca550_at_424_mm_are_241_hundredths_of_a_per_cent() -> None:
    """Worked by the formula (L - N p) / (N p): (424 - 414.02) / 414.02 = 2.41 % (computed; pitch 1.630 in from memory)."""
    tape = Tape(424_000, 10, read_chain("CA550", US))
    assert elongation_of(CHAIN, tape) == pytest.approx(2.41, abs=0.005)
    stored = in_kinds_terms(CHAIN, tape)
    assert stored == round(12 * 41_402 * 424_000 / 414_020)
    assert elongation_of(CHAIN, Tape(stored)) == pytest.approx(elongation_of(CHAIN, tape), abs=1e-3)


def test_over_the_kinds_own_pitches_the_reading_is_kept_as_it_is() -> None:
    assert in_kinds_terms(CHAIN, Tape(505_001)) == in_kinds_terms(CHAIN, Tape(505_001, 12)) == 505_001


@pytest.mark.parametrize(
    ("tape", "message", "hint"),
    [
        (
            Tape(424_000),
            "Over 12 pitches that is 14.7 % shorter than new",
            "It looks like 10 pitches: say --pitches 10",
        ),
        (Tape(541_000), "Over 12 pitches that is 8.9 % longer than new", "It looks like 13 pitches"),
        (Tape(505_000_000), "1,016 times as long as new", "look at the unit"),
        (Tape(0), "A chain has a length.", "taut"),
    ],
)
def test_a_chain_that_cannot_be_so_long_is_told_with_the_pitches_it_looks_like(
    tape: Tape, message: str, hint: str
) -> None:
    with pytest.raises(RefusedError) as refused:
        in_kinds_terms(CHAIN, tape)
    assert message in refused.value.message
    assert hint in refused.value.hint


def test_a_gap_ten_times_its_limit_and_a_part_thicker_than_new_are_slips() -> None:
    assert in_kinds_terms(kind("concave"), Tape(63_499)) == 63_499
    with pytest.raises(RefusedError, match="10 times what a concave measures when worn out"):
        in_kinds_terms(kind("concave"), Tape(63_500))
    plate = replace(
        kind("knife section"), dimension=Dimension.THICKNESS, new_micrometres=3_000, limit_micrometres=2_000
    )
    assert in_kinds_terms(plate, Tape(3_600)) == 3_600
    with pytest.raises(RefusedError, match="thicker than a new knife section"):
        in_kinds_terms(plate, Tape(3_601))
    with pytest.raises(UsageError, match="Pitches go with a chain"):
        in_kinds_terms(plate, Tape(2_500, 10))


def place(farm: SmallFarm, name: str = "feeder chain") -> MeasuredPlace:
    with farm.store.reading() as connection:
        return place_named(known_names(connection), farm.combine, name)


def test_a_reading_is_saved_with_what_was_read_beside_it_and_undone(farm: SmallFarm) -> None:
    before = everything(farm.store)
    tape = Tape(424_000, 10, read_chain("ca550", US))
    done = enter_measurement(farm.store, place(farm), 1, tape, at=AUGUST)
    (saved,) = done.facts
    assert isinstance(saved, Measurement)
    assert (saved.measured_micrometres, saved.at) == (508_800, AUGUST)
    assert saved.note == "read 16.693 in over 10 pitches of CA550"
    undo(farm.store)
    assert everything(farm.store) == before


def test_a_refused_reading_saves_nothing(farm: SmallFarm) -> None:
    with pytest.raises(RefusedError):
        enter_measurement(farm.store, place(farm), 1, Tape(424_000), at=AUGUST)
    with pytest.raises(RefusedError, match="Nothing was fitted at Kestrel, feeder chain then"):
        enter_measurement(farm.store, place(farm), 1, Tape(505_000), at=MAY - timedelta(days=1))
    take_off(farm.store, farm.chain, (), at=AUGUST, removal=Removal.SCRAPPED)
    with pytest.raises(RefusedError, match="Nothing was fitted"):
        enter_measurement(farm.store, place(farm), 1, Tape(505_000), at=AUGUST + timedelta(hours=1))
    with farm.store.reading() as connection:
        assert find_all(connection, Measurement) == []


def test_a_part_is_found_by_its_place_its_kind_or_what_people_call_it(farm: SmallFarm) -> None:
    with farm.store.reading() as connection:
        known = known_names(connection)
    for said in ("feeder chain", "Feeder", "feeder conveyor chain", "feederhouse chain"):
        assert component_named(known, farm.combine, said) == farm.chain
    with pytest.raises(NotFoundError, match="There is no place 'concave' on Kestrel"):
        component_named(known, farm.combine, "concave")


def test_a_kind_that_nobody_measures_says_how_to_set_it(farm: SmallFarm) -> None:
    with farm.store.reading() as connection:
        known = known_names(connection)
    with pytest.raises(RefusedError) as refused:
        place_named(known, farm.header, "knife")
    assert "wearlog limit 'knife section'" in refused.value.hint


def test_a_position_is_asked_for_where_there_are_several(farm: SmallFarm) -> None:
    assert one_position(farm.chain, None) == 1
    assert one_position(farm.knife, 160) == 160
    for component, position, sentence in ((farm.knife, None, "Which of the 160"), (farm.knife, 161, "no position 161")):
        with pytest.raises(UsageError, match=sentence):
            one_position(component, position)


def test_the_form_starts_from_the_places_that_are_measured_and_the_last_one(farm: SmallFarm) -> None:
    assert [(one.component, one.kind.name) for one in measure_start(farm.store).places] == [(farm.chain, CHAIN.name)]
    assert measure_start(farm.store).last_component_id is None
    enter_measurement(farm.store, place(farm), 1, Tape(500_000), at=AUGUST)
    assert measure_start(farm.store).last_component_id == farm.chain.id


# limits ---------------------------------------------------------------------------------------------------------------


def test_every_limit_of_the_library_says_where_it_comes_from() -> None:
    measured = [one for one in STARTING_KINDS if one.limit_micrometres is not None]
    assert len(measured) == 10
    assert [one.name for one in measured if limit_source(one) in ("", OWN_LIMIT)] == []
    assert limit_source(replace(kind("concave"), limit_micrometres=7_000)) == OWN_LIMIT
    assert limit_source(kind("knife section")) == ""


def test_the_limit_of_a_chain_names_the_rule_behind_it() -> None:
    """3 %, 1.5 % and 200/N: two chain makers' pages, which refer to ANSI B29.1 and B29.3; 90 teeth give 2.22 % (computed)."""
    assert limit_percent(CHAIN) == pytest.approx(3, abs=1e-3)
    assert "adjustable centres" in limit_source(CHAIN)
    assert chain_limit_percent(None, fixed_centres=True) == 1.5
    assert "fixed centres" in chain_limit_source(1.5)
    assert chain_limit_percent(90, fixed_centres=False) == pytest.approx(2.22, abs=0.005)
    assert "the 90 teeth" in chain_limit_source(chain_limit_percent(90, fixed_centres=False))
    assert chain_limit_percent(20, fixed_centres=False) == 3
    assert (
        chain_limit_source(2.7)
        == "200 over the 74 teeth of the larger sprocket: " + chain_limit_source(1.5).split(": ")[1]
    )
    assert chain_limit_source(4.0) == OWN_LIMIT
    with pytest.raises(UsageError, match="0 teeth"):
        chain_limit_percent(0, fixed_centres=False)


def test_a_chain_is_named_by_number_or_by_pitch() -> None:
    assert (read_chain("#60", US).micrometres, read_chain("ca620", US).name) == (19_050, "CA620")
    assert read_chain("1.63in", US).micrometres == 41_402
    assert pitch_of(CHAIN).name == "CA550, CA555, CA557"
    for wrong in ("55", "CA999", "long"):
        with pytest.raises(UsageError, match="not known here"):
            read_chain(wrong, US)


def stored_kind(farm: SmallFarm, name: str) -> PartKind:
    with farm.store.reading() as connection:
        return next(one for one in find_all(connection, PartKind) if one.name == name)


def test_a_kind_of_chain_is_set_by_number_pitches_and_teeth(farm: SmallFarm) -> None:
    wanted = GaugeChange(pitch=read_chain("CA550", US), pitches=10, limit_percent=2.5)
    set_gauge(farm.store, stored_kind(farm, "tailings elevator chain"), wanted)
    found = stored_kind(farm, "tailings elevator chain")
    assert (found.dimension, found.pitch_micrometres, found.pitches) == (Dimension.LENGTH_OVER_PITCHES, 41_402, 10)
    assert (found.new_micrometres, found.limit_micrometres) == (414_020, 424_370)
    assert limit_source(found).startswith("set on this farm; the same as by a rule: 200 over the 80 teeth")
    set_gauge(farm.store, found, GaugeChange(limit_percent=4.0))
    assert limit_source(stored_kind(farm, "tailings elevator chain")) == OWN_LIMIT


def test_the_limit_of_a_chain_with_readings_can_change_but_not_what_they_are_lengths_of(farm: SmallFarm) -> None:
    enter_measurement(farm.store, place(farm), 1, Tape(500_000), at=AUGUST)
    chain = stored_kind(farm, CHAIN.name)
    set_gauge(farm.store, chain, GaugeChange(limit_percent=Decimal("1.5")))
    changed = stored_kind(farm, CHAIN.name)
    assert changed.limit_micrometres == 504_276
    with pytest.raises(RefusedError, match="1 reading of feeder conveyor chain would mean something else"):
        set_gauge(farm.store, changed, GaugeChange(pitches=10))
    undo(farm.store)
    assert stored_kind(farm, CHAIN.name) == chain


def test_without_readings_another_span_keeps_the_elongation_of_the_limit(farm: SmallFarm) -> None:
    set_gauge(farm.store, stored_kind(farm, CHAIN.name), GaugeChange(pitches=10))
    assert limit_percent(stored_kind(farm, CHAIN.name)) == pytest.approx(3, abs=1e-3)


@pytest.mark.parametrize(
    ("name", "gauge", "error"),
    [
        ("knife section", GaugeChange(limit_micrometres=2_000), "What is measured"),
        ("knife section", GaugeChange(dimension=Dimension.THICKNESS, new_micrometres=2_000, limit_micrometres=3_000), "wears down"),
        ("concave", GaugeChange(limit_percent=1.5), "go with a chain"),
        ("tailings elevator chain", GaugeChange(pitch=read_chain("CA550", US)), "Over how many pitches"),
        ("feeder conveyor chain", GaugeChange(new_micrometres=500_000), "follows from its pitch"),
    ],
)  # fmt: skip
def test_a_gauge_that_makes_no_sense_is_told(farm: SmallFarm, name: str, gauge: GaugeChange, error: str) -> None:
    before = stored_kind(farm, name)
    with pytest.raises((UsageError, RefusedError), match=error):
        set_gauge(farm.store, before, gauge)
    assert stored_kind(farm, name) == before


def test_a_reading_of_the_minute_of_fitting_belongs_to_what_was_fitted(farm: SmallFarm) -> None:
    refit(farm.store, farm.chain, at=AUGUST)
    # of the old one, which came off then, and of the new one once nothing was on before
    (old,) = enter_measurement(farm.store, place(farm), 1, Tape(510_000), at=AUGUST).facts
    take_off(farm.store, farm.chain, (1,), at=AUGUST + timedelta(days=1), removal=Removal.SCRAPPED)
    refit(farm.store, farm.chain, at=AUGUST + timedelta(days=2))
    (new,) = enter_measurement(farm.store, place(farm), 1, Tape(508_000), at=AUGUST + timedelta(days=2)).facts
    assert isinstance(old, Measurement)
    assert isinstance(new, Measurement)
    assert old.at == AUGUST
    assert new.at == AUGUST + timedelta(days=2, seconds=1)
