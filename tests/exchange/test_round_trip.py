"""Whatever a farm has entered, written as a folder and read again it is the same, ids included."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from wearlog.exchange.export import write_folder
from wearlog.exchange.headings import FACT_OF_SHEET
from wearlog.exchange.source import read_source
from wearlog.facts import closed_lists as lists
from wearlog.facts.closed_lists import WarrantyCover, WarrantyFrom
from wearlog.facts.electrics import Answer, FixKind, Opened, OthersTried, ReadingUnit, Supplied, Told
from wearlog.facts.fact import Fact
from wearlog.facts.plain_text import folded, plain
from wearlog.logbook.checks.soundness import unsound
from wearlog.logbook.names import KnownNames

NOW = datetime(2026, 6, 1, tzinfo=UTC)
CHICAGO = ZoneInfo("America/Chicago")
LONG = timedelta(hours=10)

words = st.text(
    st.one_of(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), st.sampled_from("=+-@'\"\n,; \t")),
    max_size=12,
).map(plain)
names = words.filter(folded)
#: what people call a kind: a sign between two of them is none of their own
called = words.map(lambda text: plain(text.replace(",", " ").replace(";", " "))).filter(bool)
instants = st.one_of(
    st.datetimes(datetime(2015, 1, 1), datetime(2025, 12, 1), timezones=st.just(UTC)),
    # around the hours that the clock skips and shows twice
    st.sampled_from([datetime(2025, 11, 2, hour, 30, tzinfo=UTC) for hour in range(4, 10)]),
    st.sampled_from([datetime(2025, 3, 9, hour, 30, 0, 7, tzinfo=UTC) for hour in range(6, 10)]),
)
amounts = st.integers(1, 10**6)
maybe = st.none() | amounts
Draw = Callable[[st.SearchStrategy[Any]], Any]


class Farm:
    """Draws facts of every table that point at each other rightly and can be believed."""

    def __init__(self, draw: Draw) -> None:
        self.draw = draw
        self.facts: dict[str, list[Any]] = {sheet: [] for sheet in FACT_OF_SHEET}
        self.count = 0

    def add(self, sheet: str, **values: Any) -> Any:
        self.count += 1
        fact = FACT_OF_SHEET[sheet](id=UUID(int=self.count << 90 | 7 << 76 | 1 << 63), **values)
        self.facts[sheet].append(fact)
        return fact

    def some(self, sheet: str) -> Any:
        return self.draw(st.sampled_from(self.facts[sheet]))

    def perhaps(self, sheet: str) -> UUID | None:
        return self.draw(st.none() | st.sampled_from([fact.id for fact in self.facts[sheet]]))

    def one_of(self, closed_list: Any) -> Any:
        return self.draw(st.sampled_from(list(closed_list)))

    def distinct(self, least: int, most: int) -> list[str]:
        return self.draw(st.lists(names, min_size=least, max_size=most, unique_by=folded))

    def machine(self, kind: str) -> UUID:
        return self.draw(st.sampled_from([machine.id for machine in self.facts["machine"] if machine.kind == kind]))

    def any_machine(self) -> UUID:
        return self.some("machine").id

    def times(self, count: int) -> list[datetime]:
        return sorted(self.draw(st.lists(instants, min_size=count, max_size=count, unique=True)))


def what_there_is(farm: Farm) -> None:
    draw, add = farm.draw, farm.add
    for name in farm.distinct(1, 2):
        add("person", name=name, short=draw(words), note=draw(words))
    for number, name in enumerate(farm.distinct(3, 5)):
        kind = ("combine", "header", *lists.MachineKind)[number % 5] if number < 2 else farm.one_of(lists.MachineKind)
        width = draw(maybe) if kind == "header" else None
        add(
            *("machine",),
            name=name,
            kind=lists.MachineKind(kind),
            cut_width_micrometres=width,
            model_year=draw(st.none() | st.integers(1970, 2026)),
            list_price_minor=draw(maybe),
            bought_on=draw(st.none() | st.dates(date(1990, 1, 1), date(2025, 1, 1))),
            note=draw(words),
            type_name=draw(st.sampled_from(["", "flex", "FLEX"])),
        )
    for machine in farm.facts["machine"]:
        kinds = [k for k in lists.MeterKind if machine.kind == "combine" or k != "separator_hours"]
        for kind in draw(st.lists(st.sampled_from(kinds), unique=True, min_size=machine.kind == "combine")):
            meter = add("meter", machine_id=machine.id, kind=kind)
            shown = sorted(draw(st.lists(amounts, max_size=3)))
            for at, value in zip(farm.times(len(shown)), shown, strict=True):
                add(
                    "reading",
                    meter_id=meter.id,
                    at=at,
                    shown_usage=value,
                    new_leg=draw(st.booleans()),
                    note=draw(words),
                )
    first, second = farm.times(2)
    add("hitch", header_id=farm.machine("header"), combine_id=farm.machine("combine"), from_at=first, to_at=second)
    for name in farm.distinct(1, 3):
        add("field", name=name, area_square_metres=draw(amounts), ground=farm.one_of(lists.Ground))
    for name in farm.distinct(1, 3):
        add(
            *("crop",),
            name=name,
            bushel_grams=draw(st.none() | st.integers(1, 40_000)),
            seed_milligrams_per_thousand=draw(maybe),
            loss_per_day_millionths=draw(maybe),
        )
    for year in draw(st.lists(st.integers(2000, 2030), min_size=1, max_size=2, unique=True)):
        add("season", harvest_year=year, starts_on=date(year, 1, 1), ends_on=date(year + 1, 1, 1))
    for key in farm.distinct(0, 2):
        add("setting", key=key, content=draw(words))


def what_wears(farm: Farm) -> None:
    draw, add = farm.draw, farm.add
    for name in farm.distinct(1, 3):
        low, high = sorted(draw(st.tuples(amounts, amounts).filter(lambda pair: pair[0] != pair[1])))
        thick = draw(st.booleans())
        add(
            *("part_kind",),
            name=name,
            words=tuple(draw(st.lists(called, max_size=3))),
            subsystem=farm.one_of(lists.Subsystem),
            meter_kind=farm.one_of(lists.MeterKind),
            **(draw(st.sampled_from([{}, {"life_low_usage": low, "life_high_usage": high}]))),
            **(draw(st.sampled_from([{}, {"shape_low_thousandths": low, "shape_high_thousandths": high}]))),
            impacts_stony=draw(amounts),
            impacts_clean=draw(st.integers(0, 3)),
            guess_evidence=farm.one_of(lists.Evidence),
            dimension=lists.Dimension.THICKNESS if thick else lists.Dimension.NONE,
            new_micrometres=high if thick else None,
            limit_micrometres=low if thick else None,
            usual_labour_seconds=draw(maybe),
            hazard=draw(st.none() | st.sampled_from(lists.Hazard)),
            endangers_people=draw(st.booleans()),
        )
    for number in farm.distinct(1, 2):
        lead = draw(st.none() | st.integers(0, 300))
        add(
            *("part",),
            number=number,
            name=draw(names),
            price_minor=draw(maybe),
            lead_time_days=lead,
            supplier=draw(words),
            warranty_months=draw(maybe),
            warranty_usage=draw(maybe),
            warranty_covers=draw(st.none() | st.sampled_from(WarrantyCover)),
            warranty_from=draw(st.none() | st.sampled_from(WarrantyFrom)),
            warranty_pro_rata=draw(st.booleans()),
        )
        add(
            *("part_fit",),
            part_id=farm.some("part").id,
            part_kind_id=farm.some("part_kind").id,
            machine_id=farm.perhaps("machine"),
        )
    for place in farm.distinct(1, 3):
        machine, kind = farm.any_machine(), farm.some("part_kind").id
        component = add(
            "component", machine_id=machine, part_kind_id=kind, place=place, positions=draw(st.integers(1, 9))
        )
        on, off = farm.times(2)
        for position in draw(st.sets(st.integers(1, component.positions))):
            add(
                *("fitting",),
                component_id=component.id,
                position=position,
                fitted_at=on,
                age_when_fitted_usage=draw(maybe),
                removed_at=off,
                removal=farm.one_of(lists.Removal),
                part_id=farm.perhaps("part"),
            )
            add("fitting", component_id=component.id, position=position, fitted_at=off, age_when_fitted_usage=0)


def supplier_of(farm: Farm, breakage: Any) -> None:
    draw, add = farm.draw, farm.add
    for name in farm.distinct(1, 2):
        one = add(
            *("supplier",),
            name=name,
            distance_metres=draw(maybe),
            phone=draw(words),
            after_hours_phone=draw(words),
            after_hours_fee_minor=draw(maybe),
            note=draw(words),
        )
        for weekday in draw(st.sets(st.integers(0, 6))):
            opens = draw(st.integers(0, 86_399))
            closes = draw(st.integers(opens + 1, 86_400))
            add(
                *("supplier_hours",),
                supplier_id=one.id,
                weekday=weekday,
                opens_seconds=opens,
                closes_seconds=closes,
            )
    part, place, (asked, ordered, sent) = farm.some("part"), farm.some("supplier"), farm.times(3)
    add(
        *("supply",),
        part_id=part.id,
        supplier_id=place.id,
        price_minor=draw(maybe),
        quoted_lead_days=draw(st.none() | st.integers(0, 300)),
        their_number=draw(words),
    )
    add("supply_asked", supplier_id=place.id, part_id=part.id, at=asked, had_it=draw(st.booleans()))
    add(
        *("part_order",),
        part_id=part.id,
        supplier_id=farm.perhaps("supplier"),
        quantity=draw(amounts),
        ordered_at=ordered,
        unit_price_minor=draw(maybe),
        cancelled_at=draw(st.none() | st.just(sent)),
        note=draw(words),
    )
    add(
        *("warranty_claim",),
        breakage_id=breakage.id,
        sent_at=ordered,
        settled_at=draw(st.none() | st.just(sent)),
        paid_minor=draw(maybe),
        note=draw(words),
    )


def what_happened(farm: Farm) -> None:
    draw, add = farm.draw, farm.add
    for start in farm.times(draw(st.integers(0, 3))):
        add(
            *("run",),
            combine_id=farm.machine("combine"),
            header_id=draw(st.none() | st.just(farm.machine("header"))),
            field_id=farm.perhaps("field"),
            crop_id=farm.perhaps("crop"),
            started_at=start,
            ended_at=start + LONG,
            area_square_metres=draw(amounts),
            separator_seconds=draw(st.none() | st.integers(0, 36_000)),
            cut_height=draw(st.none() | st.sampled_from(lists.CutHeight)),
            crop_state=draw(st.none() | st.sampled_from(lists.CropState)),
            yield_grams_per_hectare=draw(maybe),
            conditions=tuple(draw(st.lists(st.sampled_from(lists.Condition), unique=True))),
        )
    component = farm.some("component")
    repair = add(
        *("repair",),
        machine_id=component.machine_id,
        kind=farm.one_of(lists.RepairKind),
        started_at=draw(instants),
        labour_seconds=draw(maybe),
        hired_minor=draw(maybe),
        component_id=draw(st.none() | st.just(component.id)),
        note=draw(words),
        person_id=farm.perhaps("person"),
    )
    positions = tuple(sorted(draw(st.sets(st.integers(1, component.positions), min_size=1))))
    earlier = farm.facts["breakage"]
    at = draw(instants)
    breakage = add(
        *("breakage",),
        component_id=component.id,
        positions=positions,
        at=at,
        seen_whole_at=draw(st.none() | st.just(at - LONG)),
        caused_by_id=earlier[0].id if earlier else None,
        cause=farm.one_of(lists.Cause),
        mode=farm.one_of(lists.Mode),
        action=farm.one_of(lists.Action),
        repair_id=draw(st.none() | st.just(repair.id)),
        note=draw(words),
    )
    add(
        *("measurement",),
        component_id=component.id,
        position=positions[0],
        at=draw(instants),
        measured_micrometres=draw(amounts),
    )
    supplier_of(farm, breakage)
    add(
        *("stock_move",),
        part_id=farm.some("part").id,
        at=draw(instants),
        change=farm.one_of(lists.StockChange),
        quantity=draw(st.integers(1, 99)),
        unit_cost_minor=draw(maybe),
        repair_id=farm.perhaps("repair"),
        breakage_id=draw(st.none() | st.just(breakage.id)),
        part_order_id=farm.perhaps("part_order"),
    )
    start = draw(instants)
    ended = draw(st.none() | st.just(start + LONG))
    add(
        "stoppage",
        machine_id=farm.any_machine(),
        started_at=start,
        ended_at=ended,
        reason=farm.one_of(lists.StopReason),
    )
    for name in farm.distinct(1, 2):
        add(
            *("service_item",),
            machine_id=farm.any_machine(),
            name=name,
            meter_kind=farm.one_of(lists.MeterKind),
            interval_usage=draw(amounts),
            interval_months=draw(st.none() | st.integers(1, 60)),
            first_usage=draw(maybe),
        )
        item = farm.some("service_item").id
        add(
            *("service_done",),
            service_item_id=item,
            at=draw(instants),
            labour_seconds=draw(maybe),
            cost_minor=draw(maybe),
            person_id=farm.perhaps("person"),
        )
    part, service = farm.some("part").id, farm.some("service_done").id
    used = lists.StockChange.USED
    add("stock_move", part_id=part, at=draw(instants), change=used, quantity=1, service_done_id=service)
    add("service_item", machine_id=component.machine_id, name="of it", component_id=component.id, interval_months=12)


def what_failed(farm: Farm) -> None:
    draw, add = farm.draw, farm.add
    for name in farm.distinct(2, 4):
        add(
            *("circuit_node",),
            machine_id=farm.any_machine(),
            circuit=draw(words),
            name=name,
            kind=farm.one_of(lists.NodeKind),
            place=draw(words),
            rating_milliamperes=draw(st.none() | st.integers(1, 900_000)),
            near_heat=draw(st.booleans()),
            wire_colour=draw(words),
            wire_number=draw(words),
            wire_gauge=draw(words),
            pins=draw(words),
            splice_place=draw(words),
            length_millimetres=draw(maybe),
            photo=draw(words),
            shared=draw(st.booleans()),
        )
    nodes = [node.id for node in farm.facts["circuit_node"]]
    add("circuit_edge", from_node_id=nodes[0], to_node_id=nodes[1], kind=farm.one_of(lists.EdgeKind))
    # of the same type, of another, of a place that nobody shares any more
    for _ in range(draw(st.integers(0, 3))):
        add("circuit_cut", machine_id=farm.any_machine(), node_id=draw(st.sampled_from(nodes)))
    fault = add(
        *("fault",),
        machine_id=farm.any_machine(),
        circuit=draw(words),
        title=draw(names),
        opened_at=draw(instants),
        conditions=tuple(draw(st.lists(st.sampled_from(lists.Condition), unique=True))),
        conditions_asked=draw(st.booleans()),
        others_tried=draw(st.none() | st.sampled_from(OthersTried)),
        worked_on=draw(words),
    ).id
    began = draw(instants)
    visit = add(
        *("fault_visit",),
        fault_id=fault,
        started_at=began,
        ended_at=draw(st.none() | st.just(began + LONG)),
        present=draw(st.none() | st.sampled_from(Answer)),
        person_id=farm.perhaps("person"),
        note=draw(words),
    ).id
    node = draw(st.none() | st.sampled_from(nodes))
    add(
        "fault_sign",
        fault_id=fault,
        node_id=node,
        sign=farm.one_of(lists.SignKind),
        spn=7,
        fmi=draw(st.integers(0, 31)),
        told=draw(st.none() | st.sampled_from(Told)),
        in_use=draw(st.none() | st.sampled_from(Answer)),
    )
    add(
        *("fault_check",),
        fault_id=fault,
        step=draw(st.integers(1, 9)),
        node_id=node,
        kind=farm.one_of(lists.CheckKind),
        expected=draw(words),
        measured=draw(words),
        verdict=farm.one_of(lists.CheckVerdict),
        duration_seconds=draw(maybe),
        at=draw(st.none() | instants),
        fault_visit_id=draw(st.none() | st.just(visit)),
        reading_micros=draw(st.none() | st.integers(0, 10**9)),
        reading_unit=draw(st.none() | st.sampled_from(ReadingUnit)),
        lowest_micros=draw(maybe),
        highest_micros=draw(maybe),
        over_range=draw(st.booleans()),
        load_on=draw(st.none() | st.sampled_from(Answer)),
        supplied=draw(st.none() | st.sampled_from(Supplied)),
        battery_micros=draw(maybe),
        second_node_id=draw(st.none() | st.sampled_from(nodes)),
        place=draw(words),
    )
    add(
        *("fault_finding",),
        fault_id=fault,
        node_id=node,
        mode=farm.one_of(lists.FaultMode),
        fix=draw(words),
        evidence=farm.one_of(lists.FixEvidence),
        at=draw(instants),
        fix_kind=draw(st.none() | st.sampled_from(FixKind)),
    )
    undone = draw(instants)
    add(
        *("fault_opening",),
        fault_id=fault,
        node_id=node,
        opened=draw(st.sampled_from(Opened)),
        at=undone,
        put_back_at=draw(st.none() | st.just(undone + LONG)),
        note=draw(words),
    )


def how_it_cut_and_what_comes(farm: Farm) -> None:
    draw, add = farm.draw, farm.add
    for sensor in draw(st.lists(st.sampled_from(lists.Sensor), max_size=3)):
        at, crop = draw(instants), farm.perhaps("crop")
        reference, indicated = draw(amounts), draw(amounts)
        add(
            *("calibration",),
            machine_id=farm.any_machine(),
            sensor=sensor,
            at=at,
            reference_amount=reference,
            indicated_amount=indicated,
            crop_id=crop,
        )
    add(
        *("loss_check",),
        combine_id=farm.machine("combine"),
        field_id=farm.perhaps("field"),
        crop_id=farm.some("crop").id,
        at=draw(instants),
        behind_per_hectare=draw(amounts),
        ahead_per_hectare=draw(st.integers(0, 100)),
        uncut_per_hectare=draw(maybe),
        cut_width_micrometres=9_144_000,
        discharge_width_micrometres=draw(amounts),
    )
    tester, elevator = draw(st.integers(1, 4000)), draw(st.none() | st.integers(1, 4000))
    crop = farm.some("crop").id
    add("moisture_sample", crop_id=crop, at=draw(instants), tester_hundredths=tester, elevator_hundredths=elevator)
    season = farm.some("season").id
    plan = add("season_plan", season_id=season, name=draw(words), budget_minor=draw(maybe), shop_seconds=draw(maybe)).id
    add(
        *("planned_area",),
        season_plan_id=plan,
        area_square_metres=draw(amounts),
        field_id=farm.perhaps("field"),
        ground=farm.one_of(lists.Ground),
        crop_id=farm.perhaps("crop"),
        combine_id=draw(st.none() | st.just(farm.machine("combine"))),
    )
    component = farm.some("component").id
    add("plan_choice", season_plan_id=plan, component_id=component, positions=(1,), choice=farm.one_of(lists.Choice))


@st.composite
def farms(draw: Draw) -> dict[str, list[Fact]]:
    farm = Farm(draw)
    what_there_is(farm)
    what_wears(farm)
    what_happened(farm)
    what_failed(farm)
    how_it_cut_and_what_comes(farm)
    return farm.facts


def by_id(facts: Any) -> dict[UUID, Fact]:
    return {fact.id: fact for fact in facts}


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(farms(), st.sampled_from(["us", "metric"]), st.sampled_from([",", ";", "\t"]))
def test_an_exported_farm_reads_back_as_the_same_facts(farm: dict[str, list[Fact]], units: Any, delimiter: str) -> None:
    """Facts of every table, any text in them, in both systems of units and with each delimiter."""
    given_facts = [fact for rows in farm.values() for fact in rows]
    assert unsound(given_facts, KnownNames(), now=NOW) == ()
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary) / "out"
        write_folder(farm, folder, units=units, time_zone=CHICAGO, delimiter=delimiter)
        reading = read_source(folder, KnownNames(), time_zone="Europe/Berlin", now=NOW)
    assert [str(problem) for problem in reading.problems] == []
    assert by_id(reading.facts) == by_id(given_facts)
    assert len(reading.facts) == len(given_facts)
    assert reading.notices == ()
