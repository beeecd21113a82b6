"""What cannot be believed is found, each finding names its field, and what is sound is left alone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest

from wearlog.facts import closed_lists as lists
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.electrics import CircuitEdge, CircuitNode, Fault, FaultCheck, FaultSign
from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Hitch, Machine, Meter, Reading, ServiceItem
from wearlog.facts.parts import Part, PartKind, StockMove
from wearlog.facts.quality import Calibration, LossCheck, MoistureSample
from wearlog.facts.wearing import Breakage, Component, Fitting, Measurement, Repair
from wearlog.facts.work import Crop, Field, PlanChoice, PlannedArea, Run, Season, SeasonPlan, Stoppage
from wearlog.ids import new_id
from wearlog.logbook.checks.soundness import Unsound, unsound
from wearlog.logbook.names import KnownNames

NOON = datetime(2025, 7, 28, 12, tzinfo=UTC)
LATER = NOON + timedelta(hours=5)
ACRE = 4_047
COMBINE = Machine(name="Juniper", kind=lists.MachineKind.COMBINE)
OTHER_COMBINE = Machine(name="Alder", kind=lists.MachineKind.COMBINE)
HEADER = Machine(name="Plover", kind=lists.MachineKind.HEADER)
OTHER_HEADER = Machine(name="Kestrel", kind=lists.MachineKind.HEADER)
HOURS = Meter(machine_id=COMBINE.id, kind=lists.MeterKind.ENGINE_HOURS)
KIND = PartKind(name="knife section", subsystem=lists.Subsystem.HEADER, meter_kind=lists.MeterKind.AREA)
KNIFE = Component(machine_id=HEADER.id, part_kind_id=KIND.id, place="knife", positions=140)
KNOWN = KnownNames(
    machines=(COMBINE, OTHER_COMBINE, HEADER, OTHER_HEADER), meters=(HOURS,), part_kinds=(KIND,), components=(KNIFE,)
)
RUN = Run(combine_id=COMBINE.id, header_id=HEADER.id, started_at=NOON, ended_at=LATER, area_square_metres=60 * ACRE)
FITTING = Fitting(component_id=KNIFE.id, position=41, fitted_at=NOON)
BREAKAGE = Breakage(component_id=KNIFE.id, positions=(41, 42), at=NOON)
LOSS = LossCheck(
    combine_id=COMBINE.id,
    crop_id=new_id(),
    at=NOON,
    behind_per_hectare=9,
    cut_width_micrometres=9_144_000,
    discharge_width_micrometres=1_524_000,
)
CHAIN = PartKind(
    name="chain",
    subsystem=lists.Subsystem.FEEDER,
    meter_kind=lists.MeterKind.SEPARATOR_HOURS,
    dimension=lists.Dimension.LENGTH_OVER_PITCHES,
    new_micrometres=496_824,
    limit_micrometres=511_729,
    pitch_micrometres=41_402,
    pitches=12,
)
SOUND: tuple[Fact, ...] = (
    RUN,
    FITTING,
    BREAKAGE,
    LOSS,
    CHAIN,
    Hitch(header_id=HEADER.id, combine_id=COMBINE.id, from_at=NOON),
    Season(harvest_year=2025, starts_on=date(2025, 1, 1), ends_on=date(2026, 1, 1)),
    StockMove(part_id=new_id(), at=NOON, change=lists.StockChange.COUNTED, quantity=0),
    Setting(key="time_zone", content="America/Chicago"),
)


def believed(facts: Iterable[Fact], known: KnownNames, **how: Any) -> tuple[Unsound, ...]:
    """By the clock of Greenwich, in feet and acres."""
    return unsound(facts, known, FarmSettings(time_zone="UTC"), **how)


def messages(*facts: Fact, known: KnownNames = KNOWN, **how: Any) -> list[str]:
    return [finding.message for finding in believed(facts, known, **how)]


def test_sound_facts_are_left_alone() -> None:
    assert believed(SOUND, KNOWN, now=NOON) == ()


ONE_ROW: list[tuple[Fact, str, str]] = [
    (replace(COMBINE, name=" "), "name", "A machine needs a name."),
    (replace(COMBINE, cut_width_micrometres=9_000_000), "cut_width_micrometres", "Only a header has a width of cut."),
    (
        replace(HEADER, cut_width_micrometres=41_000_000),
        "cut_width_micrometres",
        "The cut width is more than 131 ft: that cannot be.",
    ),
    (replace(COMBINE, model_year=14), "model_year", "14 is not a year of this log."),
    (replace(COMBINE, list_price_minor=-1), "list_price_minor", "The list price is below 0."),
    (
        Hitch(header_id=COMBINE.id, combine_id=COMBINE.id, from_at=NOON),
        "header_id",
        "'Juniper' is a combine, not a header.",
    ),
    (
        Hitch(header_id=HEADER.id, combine_id=COMBINE.id, from_at=LATER, to_at=NOON),
        "to_at",
        "The end, 2025-07-28 12:00, is not after the start, 2025-07-28 17:00.",
    ),
    (
        Meter(machine_id=HEADER.id, kind=lists.MeterKind.SEPARATOR_HOURS),
        "kind",
        "'Plover' is a header: only a combine counts separator hours.",
    ),
    (Reading(meter_id=HOURS.id, at=NOON, shown_usage=10**9), "shown_usage", "277,778 h is too large to be true."),
    (Field(name="Long Bench", area_square_metres=0, ground=lists.Ground.STONY), "area_square_metres", "The area is 0."),
    (
        Field(name="Long Bench", area_square_metres=2 * 10**10, ground=lists.Ground.STONY),
        "area_square_metres",
        "The area of 4,942,108 ac is too large to be true.",
    ),
    (Crop(name="durum", bushel_grams=0), "bushel_grams", "The bushel is 0."),
    (
        Season(harvest_year=2025, starts_on=date(2025, 1, 1), ends_on=date(2025, 1, 1)),
        "ends_on",
        "The end, 2025-01-01, is not after the start, 2025-01-01.",
    ),
    (
        Season(harvest_year=2024, starts_on=date(2025, 1, 1), ends_on=date(2026, 1, 1)),
        "harvest_year",
        "The harvest year 2024 lies outside its own season, 2025-01-01 to 2026-01-01.",
    ),
    (
        replace(RUN, area_square_metres=4_000 * ACRE),
        "area_square_metres",
        "4,000.1 ac in 5.0 h is more than any combine cuts.",
    ),
    (
        replace(RUN, separator_seconds=6 * 3600),
        "separator_seconds",
        "6.0 separator hours do not fit into a run of 5.0 h.",
    ),
    (replace(RUN, ended_at=NOON), "ended_at", "The end, 2025-07-28 12:00, is not after the start, 2025-07-28 12:00."),
    (replace(RUN, header_id=OTHER_COMBINE.id), "header_id", "'Alder' is a combine, not a header."),
    (
        Stoppage(machine_id=COMBINE.id, started_at=LATER, ended_at=NOON, reason=lists.StopReason.WEATHER),
        "ended_at",
        "The end, 2025-07-28 12:00, is not after the start, 2025-07-28 17:00.",
    ),
    (replace(CHAIN, life_low_usage=5), "life_high_usage", "The life has only one end."),
    (
        replace(CHAIN, life_low_usage=5, life_high_usage=5),
        "life_high_usage",
        "The low end of the life is not below its high end.",
    ),
    (
        replace(CHAIN, shape_low_thousandths=3000, shape_high_thousandths=2000),
        "shape_high_thousandths",
        "The low end of the shape is not below its high end.",
    ),
    (
        replace(CHAIN, dimension=lists.Dimension.NONE),
        "dimension",
        "Wear values are given, but not what is measured.",
    ),
    (
        replace(CHAIN, pitches=None),
        "pitches",
        "A chain is measured over its pitches: pitch and pitches are missing.",
    ),
    (
        replace(CHAIN, limit_micrometres=400_000),
        "limit_micrometres",
        "A length over pitches grows by wear, so its limit lies above the new value.",
    ),
    (
        replace(CHAIN, dimension=lists.Dimension.THICKNESS),
        "limit_micrometres",
        "A thickness wears down, so its limit lies below the new value.",
    ),
    (Part(number="", name="section"), "number", "A part needs a number."),
    (Part(number="Q-1", name="section", pack_size=0), "pack_size", "The pack size is 0."),
    (
        StockMove(part_id=new_id(), at=NOON, change=lists.StockChange.RECEIVED, quantity=0),
        "quantity",
        "Parts were received, but the quantity is 0.",
    ),
    (replace(KNIFE, positions=0), "positions", "A component has at least 1 position."),
    (replace(FITTING, position=141), "position", "Position 141 cannot be: 'Plover, knife section' has 140 positions."),
    (
        replace(FITTING, removal=lists.Removal.BROKE),
        "removed_at",
        "It says why it came off, but not when.",
    ),
    (replace(BREAKAGE, positions=()), "positions", "No position is given."),
    (
        replace(BREAKAGE, positions=(140, 141, 142)),
        "positions",
        "Positions 141-142 cannot be: 'Plover, knife section' has 140 positions.",
    ),
    (
        Repair(machine_id=COMBINE.id, kind=lists.RepairKind.PLANNED, started_at=NOON, component_id=KNIFE.id),
        "component_id",
        "The component belongs to another machine.",
    ),
    (
        Measurement(component_id=KNIFE.id, position=0, at=NOON, measured_micrometres=5),
        "position",
        "Position 0 cannot be: 'Plover, knife section' has 140 positions.",
    ),
    (ServiceItem(machine_id=COMBINE.id, name="oil"), "interval_usage", "The service never comes round."),
    (
        ServiceItem(machine_id=COMBINE.id, name="oil", interval_usage=900_000),
        "meter_kind",
        "The interval is given, but not the meter it runs on.",
    ),
    (
        CircuitNode(machine_id=COMBINE.id, circuit="", name="F5", kind=lists.NodeKind.FUSE, rating_milliamperes=0),
        "rating_milliamperes",
        "The rating is 0.",
    ),
    (
        CircuitEdge(from_node_id=KNIFE.id, to_node_id=KNIFE.id),
        "to_node_id",
        "The line ends at the node where it begins.",
    ),
    (Fault(machine_id=COMBINE.id, title="", opened_at=NOON), "title", "A fault needs a title."),
    (FaultSign(fault_id=new_id(), sign=lists.SignKind.CODE), "spn", "A code was seen, but not which."),
    (
        FaultSign(fault_id=new_id(), sign=lists.SignKind.CODE, spn=168, fmi=32),
        "fmi",
        "The fmi is more than 31: that cannot be.",
    ),
    (FaultCheck(fault_id=new_id(), step=0, kind=lists.CheckKind.LOOK), "step", "The step is 0."),
    (
        Calibration(
            machine_id=COMBINE.id,
            sensor=lists.Sensor.YIELD_LOAD,
            at=NOON,
            reference_amount=0,
            indicated_amount=1,
        ),
        "reference_amount",
        "The reference amount is 0.",
    ),
    (
        replace(LOSS, discharge_width_micrometres=10_000_000),
        "discharge_width_micrometres",
        "The straw leaves wider than the header cuts.",
    ),
    (
        MoistureSample(crop_id=new_id(), at=NOON, tester_hundredths=14_200),
        "tester_hundredths",
        "The tester is more than 60 per cent: that cannot be.",
    ),
    (
        PlannedArea(season_plan_id=new_id(), area_square_metres=ACRE),
        "ground",
        "The area has neither a field nor a ground.",
    ),
    (
        PlanChoice(season_plan_id=new_id(), component_id=KNIFE.id, positions=(), choice=lists.Choice.RUN),
        "positions",
        "No position is given.",
    ),
    (
        Setting(key="time_zone", content="Prairie/Nowhere"),
        "content",
        "There is no time zone 'Prairie/Nowhere'.",
    ),
]


@pytest.mark.parametrize(
    ("fact", "field", "message"), ONE_ROW, ids=lambda value: value if isinstance(value, str) else ""
)
def test_one_row_that_cannot_be_believed(fact: Fact, field: str, message: str) -> None:
    findings = [(finding.fact_id, finding.field, finding.message) for finding in believed([fact], KNOWN)]
    assert (fact.id, field, message) in findings


def test_a_voided_fact_counts_for_nothing() -> None:
    assert believed([replace(RUN, ended_at=NOON, voided=True)], KNOWN) == ()


def test_the_breakage_and_its_repair_are_on_one_machine() -> None:
    repair = Repair(machine_id=COMBINE.id, kind=lists.RepairKind.BREAKDOWN, started_at=NOON)
    assert messages(replace(BREAKAGE, repair_id=repair.id), repair) == ["The repair belongs to another machine."]


def test_only_an_instant_more_than_a_day_ahead_is_still_to_come() -> None:
    assert messages(replace(BREAKAGE, at=NOON + timedelta(days=1)), now=NOON) == []
    ahead = replace(BREAKAGE, at=NOON + timedelta(days=1, seconds=1))
    assert messages(ahead, now=NOON, time_zone=ZoneInfo("America/Chicago")) == ["2025-07-29 07:00 is still to come."]
    assert messages(ahead) == []


def test_an_instant_without_a_zone_is_said_so_and_compared_with_nothing() -> None:
    zoneless = replace(RUN, started_at=datetime(2025, 7, 28, 12))
    assert messages(zoneless, RUN) == ["The time says nothing about its time zone."]


def test_a_year_before_anyone_farmed_so_is_a_slip() -> None:
    assert messages(replace(BREAKAGE, at=datetime(202, 7, 28, tzinfo=UTC))) == ["The year 202 is before 1950."]


def reading(hour: int, shown: int, *, new_leg: bool = False) -> Reading:
    return Reading(meter_id=HOURS.id, at=NOON + timedelta(hours=hour), shown_usage=shown * 3600, new_leg=new_leg)


def test_readings_of_a_leg_never_fall() -> None:
    """In whatever order they were entered."""
    low = reading(5, 2300)
    findings = believed([low, reading(0, 2310)], KNOWN)
    assert [(finding.fact_id, finding.field) for finding in findings] == [(low.id, "shown_usage")]
    assert (
        findings[0].message == "2,300.0 h is less than 2,310.0 h on 2025-07-28 12:00: a meter does not run backwards."
    )


def test_a_replaced_meter_begins_again_even_at_the_instant_of_the_last_reading() -> None:
    assert messages(reading(0, 2310), reading(5, 2320), reading(5, 0, new_leg=True), reading(9, 4)) == []


def test_two_fittings_at_one_position_do_not_overlap() -> None:
    first = replace(FITTING, id=new_id(), removed_at=LATER)
    assert messages(first, replace(FITTING, id=new_id(), fitted_at=LATER)) == []
    second = replace(FITTING, id=new_id(), fitted_at=LATER - timedelta(minutes=1))
    assert messages(first, second) == [
        "Position 41 of 'Plover, knife section' is still taken on 2025-07-28 16:59 by what was fitted on 2025-07-28 12:00."
    ]
    assert messages(FITTING, replace(FITTING, id=new_id(), position=42)) == []


def test_a_fitting_that_is_never_removed_takes_the_position_for_good() -> None:
    later = [replace(FITTING, id=new_id(), fitted_at=LATER + timedelta(hours=n), removed_at=None) for n in range(2)]
    assert len(messages(FITTING, *later)) == 2


def hitch(header: UUID, combine: UUID, start: int, end: int | None) -> Hitch:
    ends = None if end is None else NOON + timedelta(hours=end)
    return Hitch(header_id=header, combine_id=combine, from_at=NOON + timedelta(hours=start), to_at=ends)


def test_a_header_hangs_on_one_combine_at_a_time() -> None:
    first, second = hitch(HEADER.id, COMBINE.id, 0, 5), hitch(HEADER.id, OTHER_COMBINE.id, 4, 9)
    assert messages(first, second) == ["'Plover' is still hitched to 'Juniper' on 2025-07-28 16:00."]


def test_a_combine_carries_one_header_at_a_time() -> None:
    first, second = hitch(HEADER.id, COMBINE.id, 0, 5), hitch(OTHER_HEADER.id, COMBINE.id, 4, None)
    assert messages(first, second) == ["'Juniper' is still hitched to 'Plover' on 2025-07-28 16:00."]


def test_an_open_hitch_ends_where_the_next_begins() -> None:
    assert messages(hitch(HEADER.id, COMBINE.id, 0, None), hitch(HEADER.id, OTHER_COMBINE.id, 4, None)) == []


SAME_NAMES: list[tuple[Fact, Fact, str]] = [
    (COMBINE, Machine(name="JUNIPER", kind=lists.MachineKind.TRUCK), "There is another machine 'JUNIPER'."),
    (HOURS, replace(HOURS, id=new_id()), "There is another meter of engine hours on 'Juniper'."),
    (KIND, replace(KIND, id=new_id()), "There is another kind 'knife section'."),
    (KNIFE, replace(KNIFE, id=new_id()), "There is another component 'knife' on 'Plover'."),
]


@pytest.mark.parametrize(("known", "new", "message"), SAME_NAMES)
def test_a_name_is_taken_once(known: Fact, new: Fact, message: str) -> None:
    """Whether the other row was there before or comes along."""
    assert messages(new) == [message]
    alone = KnownNames(machines=(HEADER,) if known is COMBINE else KNOWN.machines)
    assert messages(known, new, known=alone) == [message]


def test_names_of_fields_crops_parts_seasons_and_plans_are_taken_once() -> None:
    season = Season(harvest_year=2025, starts_on=date(2025, 1, 1), ends_on=date(2026, 1, 1))
    rows = [
        Field(name="Long Bench", area_square_metres=ACRE, ground=lists.Ground.CLEAN),
        Crop(name="durum"),
        Part(number="Q-1", name="section"),
        season,
        SeasonPlan(season_id=season.id),
        Setting(key="farm_name", content="x"),
    ]
    twins = [replace(row, id=new_id()) for row in rows]
    assert sorted(messages(*rows, *twins)) == [
        "There is another crop 'durum'.",
        "There is another field 'Long Bench'.",
        "There is another part 'Q-1'.",
        "There is another plan ''.",
        "There is another season 2025.",
        "There is another setting 'farm_name'.",
    ]


def test_a_changed_row_is_not_its_own_rival() -> None:
    assert messages(replace(COMBINE, model_year=2014)) == []
    assert messages(replace(COMBINE, name="Alder")) == ["There is another machine 'Alder'."]


def test_a_finding_is_written_in_the_units_and_by_the_clock_of_the_farm() -> None:
    """Acres and feet on one farm are hectares and metres on another, and the time is that of its clock."""
    metric = FarmSettings(units="metric", time_zone="America/Chicago")
    wrong = [
        replace(HEADER, cut_width_micrometres=41_000_000),
        Crop(name="durum", bushel_grams=200_000),
        replace(RUN, area_square_metres=4_000 * ACRE, yield_grams_per_hectare=31_000_000),
        replace(RUN, id=new_id(), ended_at=NOON - timedelta(hours=1)),
    ]
    assert [one.message for one in unsound(wrong, KNOWN, metric)] == [
        "The cut width is more than 40.0 m: that cannot be.",
        "The bushel is more than 100 kg: that cannot be.",
        "The yield is more than 30 t/ha: that cannot be.",
        "1,618.8 ha in 5.0 h is more than any combine cuts.",
        "The end, 2025-07-28 06:00, is not after the start, 2025-07-28 07:00.",
    ]
    assert [one.message for one in believed(wrong, KNOWN)] == [
        "The cut width is more than 131 ft: that cannot be.",
        "The bushel is more than 220 lb: that cannot be.",
        "The yield is more than 26,765 lb/ac: that cannot be.",
        "4,000.1 ac in 5.0 h is more than any combine cuts.",
        "The end, 2025-07-28 11:00, is not after the start, 2025-07-28 12:00.",
    ]
