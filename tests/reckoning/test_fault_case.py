"""A fault as the log tells it: suspects, advice, the time before, links over seasons, cost, has it held; and the sentences."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta

import pytest

from tests.small_farm import AUGUST, HOUR, SmallFarm
from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.closed_lists import (
    CheckKind,
    CheckVerdict,
    Condition,
    FaultMode,
    FixEvidence,
    MeterKind,
    NodeKind,
    RepairKind,
    StopReason,
)
from wearlog.facts.electrics import Fault
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.wearing import Repair
from wearlog.facts.work import Stoppage
from wearlog.faults.cautions import opens_the_battery
from wearlog.faults.circuit import Node
from wearlog.faults.held import Held
from wearlog.faults.trail import ConditionShare, LaplaceTrend
from wearlog.logbook.faults.checking import note_check
from wearlog.logbook.faults.circuits import put_starting_diagram
from wearlog.logbook.faults.fault_sentences import CheckEntry
from wearlog.logbook.faults.faulting import FindingEntry, close_fault, open_fault
from wearlog.logbook.saving import save
from wearlog.logbook.work.working import read_meter, stop
from wearlog.present.digits import Measures
from wearlog.present.faults.fault_case_words import fuse_words, how_it_went, last_time
from wearlog.present.faults.fault_trail_sheet import (
    condition_sentence,
    cost_sentence,
    held_sentence,
    held_words,
    ordinal,
    trend_sentence,
)
from wearlog.present.faults.suspect_sheet import every_suspect, suspect_sheet
from wearlog.present.sheet_faces import sheet_json
from wearlog.reckoning.farm import Farm, farm_from
from wearlog.reckoning.faults.fault_case import FaultCase, advise, fault_case
from wearlog.reckoning.faults.fault_log import FaultLog, fault_named, read_fault_log
from wearlog.reckoning.faults.fault_trail import FaultTrail, fault_trails, trail_of
from wearlog.store.connection import Connection
from wearlog.store.opening import Store

NOVEMBER = datetime(2026, 11, 20, 18, tzinfo=UTC)
MEASURES = Measures(FarmSettings())
SHORT = ("header fuse blew on movement", "reel lift valve dead", "stubble lights dead")


@contextmanager
def view(store: Store, now: datetime = NOVEMBER) -> Iterator[tuple[Connection, Farm, FaultLog]]:
    with store.reading() as connection:
        yield connection, farm_from(connection, now), read_fault_log(connection)


def case_of(store: Store, name: str, now: datetime = NOVEMBER) -> FaultCase:
    with view(store, now) as (_, farm, log):
        return fault_case(log, farm, fault_named(log, name))


def trails(store: Store, now: datetime = NOVEMBER) -> tuple[FaultTrail, ...]:
    with view(store, now) as (connection, farm, log):
        return fault_trails(connection, log, farm)


@pytest.fixture
def header(file_farm: SmallFarm) -> SmallFarm:
    put_starting_diagram(file_farm.store, file_farm.combine, "header")
    return file_farm


def opened(
    farm: SmallFarm, *signs: str, at: datetime = AUGUST, title: str = "fuse blows", conditions: str = ""
) -> Fault:
    done = open_fault(farm.store, farm.combine, title, at=at, signs=signs, conditions=conditions)
    return next(fact for fact in done.facts if isinstance(fact, Fault))


def checked(farm: SmallFarm, fault: Fault, kind: CheckKind, node: str, verdict: CheckVerdict, minutes: int = 5) -> None:
    entry = CheckEntry(kind=kind, node=node, verdict=verdict, duration_seconds=minutes * 60)
    note_check(farm.store, fault, entry, at=fault.opened_at + timedelta(minutes=5))


def closed(farm: SmallFarm, fault: Fault, node: str = "", evidence: FixEvidence | None = None) -> None:
    mode = FaultMode.SHORT_TO_GROUND if node else FaultMode.NOT_FOUND
    entry = FindingEntry(node=node, mode=mode, evidence=evidence)
    close_fault(farm.store, fault, entry, at=fault.opened_at + timedelta(minutes=30))


def chance_at(case: FaultCase, node: str) -> float:
    return sum(one.chance for one in case.suspects.ranked() if one.node == node)


def test_every_case_of_the_demo_has_percentages_that_add_up_to_100(demo_store: Store) -> None:
    for number in range(1, 13):
        case = case_of(demo_store, str(number))
        listing = case.suspects.listed(8)
        assert sum(one.percent for one in listing.suspects) + listing.others_percent == 100
        assert sum(one["chance"] for one in sheet_json(every_suspect(case, MEASURES))["suspects"]) == pytest.approx(
            1, abs=1e-4
        )


@pytest.mark.parametrize(
    ("number", "node"),
    [(1, "Roof harness"), (4, "Engine ground"), (8, "Data line plug"), (9, "Header plug pigtail"), (10, "Engine plug")],
)
def test_after_its_checks_the_first_suspect_of_the_demo_is_what_was_found(
    demo_store: Store, number: int, node: str
) -> None:
    case = case_of(demo_store, str(number))
    assert case.suspects.ranked()[0].node == node == case.this_time.node


def test_a_fault_is_named_by_number_title_or_id(demo_store: Store) -> None:
    with view(demo_store) as (_, _, log):
        twelfth = log.faults[11]
        for name in ("12", "controllers", str(twelfth.id)[:23], str(twelfth.id)):
            assert fault_named(log, name).id == twelfth.id
        for name in ("0", "13", "", "zzz"):
            with pytest.raises(NotFoundError):
                fault_named(log, name)


def test_what_was_known_when_it_opened_counts_and_nothing_later(demo_store: Store) -> None:
    with view(demo_store) as (_, farm, log):
        first = fault_case(log, farm, log.faults[2]).suspects.case.experience
        last = fault_case(log, farm, log.faults[8]).suspects.case.experience
    assert {finding.node for finding in first.findings} == {"Roof harness", "Clean grain sensor"}
    assert not any(finding.on_this_machine for finding in first.findings)
    # the guesses of 2022 and 2023 came back, and what cleared by itself was no finding
    assert not any(finding.on_this_machine for finding in last.findings)
    assert 0 < first.hours < last.hours


def test_a_guess_that_came_back_teaches_nothing_and_damage_that_was_seen_does(header: SmallFarm) -> None:
    first = opened(header, *SHORT)
    closed(header, first, "Reel lift valve", FixEvidence.INFERRED)
    opened(header, *SHORT, at=AUGUST + timedelta(days=9))
    fresh, after_guess = (case_of(header.store, name) for name in ("1", "2"))
    assert chance_at(after_guess, "Reel lift valve") == pytest.approx(chance_at(fresh, "Reel lift valve"), rel=0.05)
    closed(header, after_guess.fault, "Reel lift valve", FixEvidence.SEEN)
    opened(header, *SHORT, at=AUGUST + timedelta(days=20))
    assert chance_at(case_of(header.store, "3"), "Reel lift valve") > 3 * chance_at(fresh, "Reel lift valve")


def test_a_check_changes_the_suspects_at_once(header: SmallFarm) -> None:
    fault = opened(header, *SHORT)
    before = chance_at(case_of(header.store, "1"), "Feeder harness")
    checked(header, fault, CheckKind.WIGGLE, "feeder harness", CheckVerdict.GOOD)
    good = chance_at(case_of(header.store, "1"), "Feeder harness")
    checked(header, fault, CheckKind.LOOK, "feeder harness", CheckVerdict.BAD)
    assert good < before < chance_at(case_of(header.store, "1"), "Feeder harness")


def test_a_repair_that_changed_nothing_is_not_advised_again(header: SmallFarm) -> None:
    fault = opened(header, *SHORT)
    case = case_of(header.store, "1")
    likeliest = case.suspects.ranked()[0].node
    checked(header, fault, CheckKind.SWAP, likeliest, CheckVerdict.GOOD)
    after = case_of(header.store, "1")
    assert after.suspects.case.repairs_tried == (likeliest,)
    assert all(step.repair != likeliest for step in advise(after, most=8).steps)


def test_a_measured_data_line_tells_an_open_from_a_short(demo_store: Store) -> None:
    """119.6 ohm between the data wires: one terminator is missing or cut off (published), nothing is shorted."""
    case = case_of(demo_store, "12")
    result = case.suspects.case.results[1]
    assert (result.check.node, result.measured) == ("Data line plug", 119.6)
    assert case.suspects.ranked()[0].mode is FaultMode.OPEN
    # the one that was measured alone, at 120 ohm, was a check of the terminator and not of the line
    assert case.suspects.case.results[2].check.band is None


def test_a_closed_fault_gets_no_advice_and_no_diagram_no_suspects(demo_store: Store, file_farm: SmallFarm) -> None:
    with pytest.raises(RefusedError, match="is closed"):
        advise(case_of(demo_store, "9"))
    opened(file_farm, "fuse blew later")
    with pytest.raises(NotFoundError, match="Nothing is drawn of Kestrel yet"):
        case_of(file_farm.store, "1")


def test_all_cautions_stand_before_the_first_check_later_those_it_adds(header: SmallFarm) -> None:
    fault = opened(header, *SHORT)
    first = advise(case_of(header.store, "1"))
    assert first.cautions[0].sentence.startswith("Stop the engine, take the key out")
    checked(header, fault, CheckKind.LOOK, "header plug", CheckVerdict.GOOD)
    later = advise(case_of(header.store, "1"))
    assert first.cautions[0] not in later.cautions
    assert len(later.cautions) < len(first.cautions)


def test_all_cautions_are_read_again_where_the_lead_comes_off_the_battery() -> None:
    battery, fuse, run = (
        Node(name=one.value, kind=one) for one in (NodeKind.BATTERY, NodeKind.FUSE, NodeKind.WIRE_RUN)
    )
    assert opens_the_battery(run, None)
    assert opens_the_battery(run, CheckKind.UNWRAP)
    assert opens_the_battery(battery, CheckKind.VOLTAGE_DROP)
    assert not opens_the_battery(battery, CheckKind.VOLTAGE)
    assert not opens_the_battery(fuse, None)
    assert not opens_the_battery(run, CheckKind.LOOK)
    assert not opens_the_battery(None, CheckKind.BEYOND)


def test_a_repair_has_all_cautions_though_checks_were_made_before(header: SmallFarm) -> None:
    fault = opened(header, *SHORT)
    checked(header, fault, CheckKind.LOOK, "header harness", CheckVerdict.BAD)
    case = case_of(header.store, "1")
    advice = advise(case)
    step = advice.steps[0]
    assert (step.check, step.repair) == (None, "Header harness")
    assert not advice.is_again
    assert advice.cautions[0].sentence.startswith("Stop the engine, take the key out")


def test_the_fuse_to_put_back_has_the_circuits_own_rating(header: SmallFarm) -> None:
    opened(header, "fuse blew later", "reel lift valve dead")
    (fuse,) = advise(case_of(header.store, "1")).blown
    assert fuse_words(fuse) == "Header fuse: put back 15 A (blue), the same rating and never a larger one."


def test_what_one_fault_cannot_explain_is_said_with_how_likely_two_are(header: SmallFarm) -> None:
    opened(header, "reel lift valve dead", "reel fore dead", "stubble lights works", "left height sensor works")
    case = case_of(header.store, "1")
    assert case.both is not None
    assert suspect_sheet(case, MEASURES).sentences[-5:] == (
        "No single fault explains everything; the best leaves open: Reel fore-aft valve dead.",
        "Likelier that something was misread or is not drawn, so look at it once more; two faults at once: 21 %.",
        "  if two, 75 %: two wires of Header harness (open)",
        "  if two, 7 %: two wires of Header ground (high resistance)",
        "  if two, 7 %: two wires of Header ground (open)",
    )


def test_the_demos_recurring_fault_is_one_trail_and_others_stand_alone(demo_store: Store) -> None:
    found = trails(demo_store)
    assert [[past.number for past in trail.times] for trail in found if len(trail.times) > 1] == [[3, 6, 7, 9]]
    assert sum(len(trail.times) for trail in found) == 12


def test_the_time_before_says_how_it_went(demo_store: Store) -> None:
    with view(demo_store) as (connection, farm, log):
        trail = trail_of(connection, log, farm, log.faults[2])
    assert [how_it_went(past) for past in trail.times] == [
        "checked 3, no check showed it; taken to be Header harness, short to ground (inferred, not seen)",
        "checked 3, no check showed it; taken to be Stubble lights, short to ground (inferred, not seen)",
        "checked 2, not found",
        "checked 3, found at 4: Header plug pigtail, short to ground",
    ]
    assert last_time(trail.times[-1], MEASURES) == (
        "last time (3 Aug 2025): checked 3, found at 4: Header plug pigtail, short to ground"
    )


def test_faults_without_signs_are_linked_with_none(header: SmallFarm) -> None:
    opened(header)
    opened(header, at=AUGUST + timedelta(days=1))
    assert [len(trail.times) for trail in trails(header.store)] == [1, 1]


def test_the_cost_of_a_trail_counts_what_belongs_to_its_moments_only(header: SmallFarm) -> None:
    fault = opened(header, *SHORT)
    checked(header, fault, CheckKind.LOOK, "header plug", CheckVerdict.GOOD, minutes=30)
    closed(header, fault)
    machine = header.combine.id
    hour = timedelta(hours=1)
    half = timedelta(minutes=30)
    stop(
        header.store,
        Stoppage(machine_id=machine, reason=StopReason.BREAKDOWN, started_at=AUGUST, ended_at=AUGUST + hour),
    )
    stop(
        header.store,
        Stoppage(machine_id=machine, reason=StopReason.WEATHER, started_at=AUGUST + hour, ended_at=AUGUST + 2 * hour),
    )
    later = AUGUST + timedelta(days=2)
    stop(
        header.store, Stoppage(machine_id=machine, reason=StopReason.BREAKDOWN, started_at=later, ended_at=later + hour)
    )
    (trail,) = trails(header.store)
    # without a repair the 30 minutes of checks are labour: 0.5 h x 18.53, rounded; one hour of standing at 112.50
    assert (trail.cost.labour_minor, trail.cost.downtime_minor, trail.cost.stops) == (926, 11_250, 1)
    assert cost_sentence(trail, MEASURES) == (
        "So far it has cost 121.76 USD (no repairs, 1 stop, no parts and 30 min of checks without a repair at its moments)."
    )
    knife = Repair(
        machine_id=machine,
        kind=RepairKind.BREAKDOWN,
        started_at=AUGUST,
        ended_at=AUGUST + half,
        labour_seconds=HOUR,
        component_id=header.chain.id,
    )
    wiring = Repair(
        machine_id=machine, kind=RepairKind.BREAKDOWN, started_at=AUGUST, ended_at=AUGUST + half, labour_seconds=HOUR
    )
    with header.store.writing() as connection:
        save(header.store, connection, "two repairs", new=[knife, wiring])
    (trail,) = trails(header.store)
    assert (trail.cost.repairs, trail.cost.labour_minor, trail.cost.search_seconds) == (1, 1853, 0)


def test_an_open_trail_has_not_held_and_a_closed_one_counts_its_quiet_hours(header: SmallFarm) -> None:
    fault = opened(header, *SHORT)
    (trail,) = trails(header.store)
    assert (trail.held, trail.is_open, held_sentence(trail, MEASURES)) == (None, True, "Open since 1 Aug 2026.")
    closed(header, fault, "Header harness", FixEvidence.INFERRED)
    read_meter(header.store, header.combine, MeterKind.ENGINE_HOURS, 2350 * HOUR, at=fault.opened_at)
    read_meter(
        header.store, header.combine, MeterKind.ENGINE_HOURS, 2450 * HOUR, at=fault.opened_at + timedelta(days=20)
    )
    (trail,) = trails(header.store)
    assert trail.held is not None
    # 30 minutes of the 20 days had passed when it was closed
    quiet = 100 * (1 - 0.5 / (20 * 24))
    assert trail.held.quiet_hours == pytest.approx(quiet)
    assert trail.held.chance == pytest.approx(0.6 / (0.6 + 0.4 * 40 / (40 + quiet)))
    assert held_sentence(trail, MEASURES) == "quiet 100 h; 84 % that it has held; 95 % after 367 more hours"


def test_without_any_meter_reading_the_times_stay_in_order_and_nothing_is_quiet(header: SmallFarm) -> None:
    fault = opened(header, *SHORT)
    closed(header, fault)
    again = opened(header, *SHORT, at=AUGUST + timedelta(days=9))
    closed(header, again)
    (trail,) = trails(header.store)
    assert [past.number for past in trail.times] == [1, 2]
    assert [gap.hours for gap in trail.trail.gaps] == [0.0]
    assert trail.held is not None
    assert (trail.held.quiet_hours, trail.held.chance) == (0.0, pytest.approx(0.16))


@pytest.mark.parametrize(
    ("held", "sentence"),
    [
        (Held(140.2, 0.884, 0.95, 59.2), "quiet 140 h; 88 % that it has held; 95 % after 60 more hours"),
        (Held(140.2, 0.884, 0.95, 0.4), "quiet 140 h; 88 % that it has held; 95 % after 1 more hour"),
        (Held(0.0, 0.6, 0.95, 4661.0), "not run since; 60 % that it holds; 95 % after 4,661 more hours"),
        (Held(300.0, 0.96, 0.95, 0.0), "quiet 300 h; 96 % that it has held"),
        (Held(1e4, 0.9991, 0.95, 0.0), "quiet 10,000 h; over 99 % that it has held"),
    ],
)
def test_whether_it_has_held_is_one_sentence(held: Held, sentence: str) -> None:
    assert held_words(held) == sentence


def test_trend_condition_and_ordinals_in_words() -> None:
    assert trend_sentence(LaplaceTrend(2.5, 0.012)) == "The times lie closer together (p 0.01)."
    assert trend_sentence(LaplaceTrend(-2.5, 0.012)) == "The times lie further apart (p 0.01)."
    assert trend_sentence(LaplaceTrend(0.1, 0.9)) == "No trend that so few times could prove (p 0.90)."
    assert condition_sentence(ConditionShare(Condition.RAIN, 3, 4, 1, 9, 0.049)) == (
        "It goes with rain: noted 3 of 4 times, with other faults 1 of 9 (p 0.05)."
    )
    ordinals = "1st 2nd 3rd 4th 11th 12th 13th 21st 102nd"
    assert " ".join(ordinal(count) for count in (1, 2, 3, 4, 11, 12, 13, 21, 102)) == ordinals
