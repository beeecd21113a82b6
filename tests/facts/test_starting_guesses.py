"""The library of part kinds says exactly what the trade's table of starting guesses says, in stored units."""

import subprocess
import sys
from decimal import Decimal

import pytest

from wearlog.facts.cautions import BOOK_COMES_FIRST, CAUTIONS
from wearlog.facts.closed_lists import Dimension, Evidence, Hazard, MachineKind, MeterKind, Subsystem
from wearlog.facts.machines import SERVICE_STARTERS, Machine, starting_services
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.ids import derived_id
from wearlog.units import to_stored

KINDS = {kind.name: kind for kind in STARTING_KINDS}
ALL_WORDS = [word.strip() for kind in STARTING_KINDS for word in [kind.name, *kind.words]]

# common practice, no source: central 80 % range of life, of shape, impacts per 1,000 ac on the four grounds
TABLE = [
    ("knife section", "ac", 1500, 8000, 1500, 4000, "0.3 1 4 10"),
    ("guard", "ac", 4000, 20000, 1500, 4000, "0.1 0.4 1.5 4"),
    ("hold-down", "ac", 2000, 9000, 1500, 4000, "0 0 0 0"),
    ("wear plate", "ac", 2000, 9000, 1500, 4000, "0 0 0 0"),
    ("reel tine", "ac", 4000, 20000, 1000, 2500, "0.2 0.3 0.5 1"),
    ("draper belt", "h", 500, 2500, 1500, 4000, "0 0 0 0"),
    ("feeder conveyor chain", "h", 500, 2000, 2000, 5000, "0 0 0 0"),
    ("rasp bars", "h", 400, 2000, 2000, 5000, "0 0.02 0.05 0.15"),
    ("concave", "h", 600, 3000, 2000, 5000, "0 0.01 0.03 0.1"),
    ("clean grain elevator chain", "h", 600, 3000, 2000, 5000, "0 0 0 0"),
    ("auger flighting", "h", 1000, 5000, 2000, 5000, "0 0 0 0"),
    ("chopper blades", "h", 200, 1500, 1500, 4000, "0 0.05 0.1 0.3"),
    ("main drive belt", "h", 300, 2000, 1200, 3000, "0 0 0 0"),
    ("bearing", "h", 1000, 8000, 1000, 2500, "0 0 0 0"),
]


@pytest.mark.parametrize(("name", "unit", "low", "high", "shape_low", "shape_high", "impacts"), TABLE)
def test_a_kind_of_the_table_carries_its_ranges(name, unit, low, high, shape_low, shape_high, impacts):
    """Stored life, shape and impacts go back to the figures of the table."""
    kind = KINDS[name]
    assert (kind.life_low_usage, kind.life_high_usage) == (
        to_stored(Decimal(low), unit),
        to_stored(Decimal(high), unit),
    )
    assert (kind.shape_low_thousandths, kind.shape_high_thousandths) == (shape_low, shape_high)
    stored = (kind.impacts_clean, kind.impacts_few_stones, kind.impacts_stony, kind.impacts_very_stony)
    # 1,000 ac are 4.0468564224 square kilometres
    per_1000_acres = [number * Decimal("4.0468564224") / 1_000_000 for number in stored]
    assert [round(float(number), 5) for number in per_1000_acres] == [float(number) for number in impacts.split()]
    assert kind.guess_evidence is Evidence.COMMON_PRACTICE


_MOST = {
    MeterKind.AREA: to_stored(Decimal(50_000), "ac"),
    MeterKind.ENGINE_HOURS: to_stored(Decimal(50_000), "h"),
    MeterKind.SEPARATOR_HOURS: to_stored(Decimal(50_000), "h"),
    # thirty years
    MeterKind.CALENDAR: to_stored(Decimal(24 * 366 * 30), "h"),
}


def test_every_kind_has_a_wide_range_that_says_what_it_rests_on():
    """No first plan leaves a kind undecided or runs wild: the ends of a life lie 4 to 25 times apart, within a machine's days.

    What ages by the calendar ages alike everywhere: 2.5 times apart is wide there.
    """
    for kind in STARTING_KINDS:
        low, high = kind.life_low_usage, kind.life_high_usage
        assert (2.5 if kind.meter_kind is MeterKind.CALENDAR else 4) <= high / low < 25, kind.name
        assert high <= _MOST[kind.meter_kind], kind.name
        assert 0.8 <= kind.shape_low_thousandths / 1000 < kind.shape_high_thousandths / 1000 <= 5, kind.name
        assert kind.guess_evidence in (Evidence.COMMON_PRACTICE, Evidence.FROM_MEMORY), kind.name
        assert kind.usual_labour_seconds >= 300, kind.name


def test_parts_of_one_name_that_live_unlike_lives_are_kinds_of_their_own():
    """A bearing, a belt, a chain of each drive is its own kind; what is called just so stays beside them."""
    names = set(KINDS)
    for end, places in {
        "bearing": {"header", "reel", "feeder", "cylinder", "beater", "walker", "shoe", "fan", "elevator", "auger"}
        | {"chopper", "jackshaft", "wheel"},
        "drive belt": {"main", "header", "feeder", "variable", "separator", "shoe", "elevator", "unloading", "chopper"},
    }.items():
        assert {f"{place} {end}" for place in places} <= names
        ranges = {(KINDS[f"{place} {end}"].life_low_usage, KINDS[f"{place} {end}"].life_high_usage) for place in places}
        assert len(ranges) > 1
    assert {"bearing", "main drive belt"} <= names


@pytest.mark.parametrize(
    "names",
    [
        "rotor vane, beater, straw walker, cleaning fan, feeder sprocket, elevator sprocket, elevator shaft",
        "unloading tube, unloading gearbox, header auger flighting, reel bat, reel arm, reel drive, header chain",
        "gauge wheel, feeder drum, feeder floor, feeder reverser, idler, slip clutch, drive clutch, chopper bearing",
        "turbo, radiator, cooler, starter, alternator, particulate filter, catalyst, exhaust fluid pump, hydrostatic pump",
        "hydraulic pump, lift pump, injection pump, coolant pump, brake, wheel bearing, controller",
        "air conditioning compressor, condenser, cab blower",
    ],
)
def test_the_library_has_the_parts_of_a_combine_and_header(names):
    """Nobody has to make a kind for what every machine has."""
    assert set(names.split(", ")) <= set(KINDS)


def test_a_part_that_can_hurt_has_its_caution():
    """Only what is changed standing beside a machine that rests has none."""
    assert {kind.name for kind in STARTING_KINDS if kind.hazard is None} == {
        *("air filter", "cab air filter", "fire extinguisher", "crawler track", "steering joint"),
    }
    assert KINDS["brake"].hazard is KINDS["turbo"].hazard is Hazard.HOT_PART
    assert KINDS["hydrostatic pump"].hazard is Hazard.HYDRAULIC
    assert KINDS["reel bat"].hazard is KINDS["feeder drum"].hazard is Hazard.UNDER_HEADER


def test_faults_of_the_electrics_become_a_life_by_chance():
    """0.2 to 5 faults per 1,000 h are medians of ln 2 / rate: 139 h to 3,466 h."""
    harness = KINDS["wiring harness"]
    assert (harness.life_low_usage, harness.life_high_usage) == (139 * 3600, 3466 * 3600)
    assert harness.meter_kind is MeterKind.ENGINE_HOURS


def test_every_subsystem_has_a_kind_and_every_kind_its_own_id():
    """The library covers the machine, and two laptops give a kind the same id."""
    assert {kind.subsystem for kind in STARTING_KINDS} == set(Subsystem)
    assert [kind.id for kind in STARTING_KINDS] == [derived_id("part_kind", kind.name) for kind in STARTING_KINDS]
    assert len(set(KINDS)) == len(STARTING_KINDS)


def test_no_word_means_two_kinds():
    """What a person says points at one kind only."""
    assert len(set(ALL_WORDS)) == len(ALL_WORDS)
    assert all(word == word.strip().lower() and word for word in ALL_WORDS)


def test_conveyor_chains_are_measured_over_twelve_pitches_of_ca550():
    """1.630 in pitch [from memory]: 12 pitches 19.560 in, 496.8 mm; 3 % (chain makers' pages) is 20.147 in, 511.7 mm."""
    for name in ("feeder conveyor chain", "clean grain elevator chain"):
        chain = KINDS[name]
        assert chain.dimension is Dimension.LENGTH_OVER_PITCHES
        assert (chain.pitch_micrometres, chain.pitches) == (41402, 12)
        assert (chain.new_micrometres, chain.limit_micrometres) == (496824, 511729)


def test_limits_of_the_other_dimensions():
    """Rasp bar edge 1/8 in (parts supplier); hold-down gap 0.004-0.024 in (operator's manuals); sheave groove 1/32 in."""
    assert KINDS["rasp bars"].limit_micrometres == 3175
    assert (KINDS["hold-down"].new_micrometres, KINDS["hold-down"].limit_micrometres) == (102, 610)
    assert KINDS["sheave"].limit_micrometres == 794


def test_every_hazard_has_cautions_that_end_with_the_machines_own_book():
    """No danger is without its words, and none of them puts itself above the book."""
    assert set(CAUTIONS) == set(Hazard)
    for sentences in CAUTIONS.values():
        assert len(sentences) >= 3
        assert sentences[-1] == BOOK_COMES_FIRST
        assert all(sentence.endswith(".") for sentence in sentences)


def test_starting_services_of_a_combine():
    """Engine oil comes round after 250 h or a year; ids do not change from one call to the next."""
    combine = Machine(name="Juniper", kind=MachineKind.COMBINE)
    services = {service.name: service for service in starting_services(combine)}
    oil = services["engine oil and filter"]
    assert (oil.machine_id, oil.meter_kind) == (combine.id, MeterKind.ENGINE_HOURS)
    assert (oil.interval_usage, oil.interval_months, oil.evidence) == (250 * 3600, 12, Evidence.FROM_MEMORY)
    assert starting_services(combine) == tuple(services.values())
    assert services["fire extinguishers: yearly check"].meter_kind is None


def test_header_services_run_on_separator_hours_and_a_truck_has_none():
    """A header has no engine; a kind of machine without starters gets nothing."""
    header = starting_services(Machine(name="Kestrel", kind=MachineKind.HEADER))
    assert len(header) == sum(starter.machine_kind is MachineKind.HEADER for starter in SERVICE_STARTERS) > 5
    assert {service.meter_kind for service in header} == {MeterKind.SEPARATOR_HOURS}
    assert starting_services(Machine(name="Wren", kind=MachineKind.TRUCK)) == ()


def test_the_library_loads_without_anything_heavy():
    """The quick line needs the words at once: numpy and sqlalchemy stay out."""
    code = "import sys, wearlog.facts.starting_guesses; print({'numpy', 'sqlalchemy', 'scipy'} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"
