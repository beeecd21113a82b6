"""Entering faults and circuits: signs in plain words, checks in order, closing, one undo for each deed, edits of a diagram."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.small_farm import AUGUST, SmallFarm
from wearlog.errors import DataError, NotFoundError, RefusedError, UsageError
from wearlog.facts.closed_lists import (
    CheckKind,
    CheckVerdict,
    Condition,
    EdgeKind,
    FaultMode,
    FixEvidence,
    NodeKind,
    SignKind,
)
from wearlog.facts.electrics import CircuitEdge, CircuitNode, Fault, FaultCheck, FaultFinding, FaultSign
from wearlog.faults.diagram_text import parse_diagram, write_diagram
from wearlog.faults.measured_text import measured_number
from wearlog.logbook.faults.checking import note_check
from wearlog.logbook.faults.circuits import bring_in_diagram, circuit_on, put_starting_diagram
from wearlog.logbook.faults.fault_sentences import CheckEntry
from wearlog.logbook.faults.faulting import FindingEntry, add_signs, close_fault, open_fault
from wearlog.logbook.files.undo import undo
from wearlog.logbook.said.signs import read_conditions, read_sign
from wearlog.store.finding import find_all

LIGHTS = """\
Battery: battery
  Main fuse: fuse 30 A, at battery box
    Light fuse: fuse 15 A, at fuse block
      Light plug: connector, outside
        Left light: device, returns by Frame ground
        Right light: device, returns by Frame ground
Frame ground: ground, outside, returns by Battery
"""
PUMP = """\
Battery: battery
  Main fuse: fuse 30 A, at battery box
    Pump fuse: fuse 10 A
      Pump: device, returns by Frame ground
Frame ground: ground, outside, returns by Battery
"""


@pytest.fixture
def drawn(farm: SmallFarm) -> SmallFarm:
    bring_in_diagram(farm.store, farm.combine, LIGHTS, circuit="lights")
    return farm


def nodes(farm: SmallFarm) -> dict[str, CircuitNode]:
    with farm.store.reading() as connection:
        return {node.name: node for node in find_all(connection, CircuitNode, machine_id=farm.combine.id)}


def text_of(farm: SmallFarm) -> str:
    with farm.store.reading() as connection:
        return write_diagram(circuit_on(connection, farm.combine.id))


def opened(farm: SmallFarm, *signs: str, conditions: str = "") -> Fault:
    done = open_fault(farm.store, farm.combine, "lights out", at=AUGUST, signs=signs, conditions=conditions)
    return next(fact for fact in done.facts if isinstance(fact, Fault))


def checks(farm: SmallFarm, fault: Fault) -> list[FaultCheck]:
    with farm.store.reading() as connection:
        return sorted(find_all(connection, FaultCheck, fault_id=fault.id), key=lambda check: check.step)


@pytest.mark.parametrize(
    ("said", "kind", "node"),
    [
        ("left light dead", SignKind.DEAD, "Left light"),
        ("Left light: is dead.", SignKind.DEAD, "Left light"),
        ("right light flickers", SignKind.ERRATIC, "Right light"),
        ("RIGHT LIGHT works", SignKind.WORKING, "Right light"),
        ("light fuse blew at once", SignKind.FUSE_BLEW_AT_ONCE, "Light fuse"),
        ("light fuse blew after a while", SignKind.FUSE_BLEW_LATER, "Light fuse"),
        ("the fuse blew when it moved", SignKind.FUSE_BLEW_ON_MOVEMENT, None),
        ("fuse whole", SignKind.FUSE_WHOLE, None),
    ],
)
def test_a_sign_is_read_from_plain_words(drawn: SmallFarm, said: str, kind: SignKind, node: str | None) -> None:
    found = read_sign(said, list(nodes(drawn).values()))
    assert (found.sign, found.node.name if found.node else None) == (kind, node)


def test_a_code_is_read_with_its_place(drawn: SmallFarm) -> None:
    found = read_sign("SPN 639 FMI 9 at light plug", list(nodes(drawn).values()))
    assert (found.sign, found.spn, found.fmi, found.node.name) == (SignKind.CODE, 639, 9, "Light plug")
    assert read_sign("639/9", []).node is None


@pytest.mark.parametrize(
    ("said", "error", "sentence"),
    [
        ("it smells", UsageError, "'it smells' is not a sign."),
        ("dead", UsageError, "'dead' names no place."),
        ("pump dead", NotFoundError, "There is no place 'pump'."),
        ("light dead", UsageError, "'light' could be any of 4 places."),
    ],
)
def test_a_sign_nobody_would_understand_is_refused(
    drawn: SmallFarm, said: str, error: type[Exception], sentence: str
) -> None:
    with pytest.raises(error) as refused:
        read_sign(said, list(nodes(drawn).values()))
    assert refused.value.message == sentence


def test_conditions_are_read_by_their_beginnings() -> None:
    assert read_conditions("header raised, rough, header raised") == (Condition.HEADER_RAISED, Condition.ROUGH_GROUND)
    assert read_conditions("") == ()
    with pytest.raises(NotFoundError, match="There is no condition 'moonlight'"):
        read_conditions("moonlight")


@pytest.mark.parametrize(
    ("text", "unit", "number"),
    [
        ("0.3 V", "V", 0.3),
        ("12,4 V on both sides", "V", 12.4),
        ("350 mV", "V", 0.35),
        ("jumps to 118 ohm", "ohm", 118.0),
        ("1,200 ohm", "ohm", 1200.0),
        ("4.7 kohm", "ohm", 4700.0),
        ("0.3", "V", 0.3),
        ("open", "ohm", float("inf")),
        ("open", "V", None),
        ("12 V", "ohm", None),
        ("pin 3 green", "V", None),
        ("", "V", None),
        ("-0.3", "V", -0.3),
        ("-12.3 V", "V", -12.3),
        ("+12 V", "V", 12.0),
        ("8.0 - 12.1 V", "V", 12.1),
        ("8.0 -12.1 V", "V", 12.1),
        ("-3 ohm", "ohm", None),
        ("12.4 v", "V", 12.4),
        ("300 mv", "V", 0.3),
        ("0,250 V", "V", 0.25),
        ("12,450", "V", 12.45),
        ("1,250 mV", "V", 1.25),
        ("0,060 kohm", "ohm", 60.0),
        ("0.L", "ohm", float("inf")),
        ("O.L Mohm", "ohm", float("inf")),
    ],
)
def test_the_number_in_what_was_measured(text: str, unit: str, number: float | None) -> None:
    assert measured_number(text, unit) == (None if number is None else pytest.approx(number))


def test_opening_a_fault_saves_it_with_its_signs_and_one_undo_takes_all_back(drawn: SmallFarm) -> None:
    fault = opened(drawn, "left light dead", "fuse blew later", conditions="rain")
    assert (fault.circuit, fault.conditions, fault.closed_at) == ("lights", (Condition.RAIN,), None)
    with drawn.store.reading() as connection:
        assert [sign.sign for sign in find_all(connection, FaultSign)] == [SignKind.DEAD, SignKind.FUSE_BLEW_LATER]
    undo(drawn.store)
    with drawn.store.reading() as connection:
        assert find_all(connection, Fault) == find_all(connection, FaultSign) == []


def test_a_sign_that_is_not_understood_leaves_nothing_behind(drawn: SmallFarm) -> None:
    with pytest.raises(UsageError, match="is not a sign"):
        opened(drawn, "left light dead", "it smells")
    with drawn.store.reading() as connection:
        assert find_all(connection, Fault) == []


def test_signs_and_conditions_are_added_to_an_open_fault(drawn: SmallFarm) -> None:
    fault = opened(drawn, "left light dead", conditions="rain")
    done = add_signs(drawn.store, fault, ["right light dead"], conditions="rain, dew")
    assert done.said == "signs of 'lights out': right light dead, dew"
    with drawn.store.reading() as connection:
        (now,) = find_all(connection, Fault)
        assert now.conditions == (Condition.RAIN, Condition.DEW)
        assert len(find_all(connection, FaultSign, fault_id=fault.id)) == 2
    with pytest.raises(UsageError, match="No sign is given"):
        add_signs(drawn.store, fault, [], conditions="dew")


def test_checks_are_counted_on_and_carry_what_a_sound_circuit_shows(drawn: SmallFarm) -> None:
    fault = opened(drawn, "left light dead")
    note_check(
        drawn.store, fault, CheckEntry(kind=CheckKind.LOOK, node="light plug", verdict=CheckVerdict.GOOD), at=AUGUST
    )
    done = note_check(
        drawn.store,
        fault,
        CheckEntry(kind=CheckKind.VOLTAGE_DROP, node="frame", measured="0.9 V", duration_seconds=360),
        at=AUGUST,
    )
    when = f"1 Aug 2026 {AUGUST.astimezone():%H:%M}"
    assert done.said == f"check 2 of 'lights out': voltage drop Frame ground, 0.9 V, bad, {when}"
    first, second = checks(drawn, fault)
    assert (first.step, first.expected) == (1, "no chafe, corrosion, heat mark, loose pin or moisture")
    assert (second.step, second.expected) == (2, "under load at most 0.1 V across it")
    assert (second.verdict, second.measured, second.duration_seconds) == (CheckVerdict.BAD, "0.9 V", 360)


def test_a_voltage_below_zero_is_asked_about_and_a_drop_has_no_sign(drawn: SmallFarm) -> None:
    fault = opened(drawn, "left light dead")
    below = CheckEntry(kind=CheckKind.VOLTAGE, node="light plug", measured="-12.3 V", battery_volts=12.4)
    with pytest.raises(UsageError, match="the probes are swapped") as refused:
        note_check(drawn.store, fault, below, at=AUGUST)
    assert refused.value.message.startswith("'-12.3 V' is below zero")
    note_check(drawn.store, fault, replace(below, verdict=CheckVerdict.BAD), at=AUGUST)
    drop = CheckEntry(kind=CheckKind.VOLTAGE_DROP, node="frame ground", measured="-0.02 V", load_on=True)
    note_check(drawn.store, fault, drop, at=AUGUST)
    with drawn.store.reading() as connection:
        kept = sorted(find_all(connection, FaultCheck), key=lambda one: one.step)
    assert [(one.verdict, one.reading_micros) for one in kept] == [
        (CheckVerdict.BAD, None),
        (CheckVerdict.GOOD, 20_000),
    ]


def test_a_voltage_is_judged_against_what_the_battery_showed(drawn: SmallFarm) -> None:
    fault = opened(drawn, "left light dead")
    at_plug = CheckEntry(kind=CheckKind.VOLTAGE, node="light plug", measured="11.8 V")
    note_check(drawn.store, fault, at_plug, at=AUGUST)
    note_check(drawn.store, fault, CheckEntry(kind=CheckKind.VOLTAGE, node="battery", measured="12.2 V"), at=AUGUST)
    note_check(drawn.store, fault, at_plug, at=AUGUST)
    assert [check.verdict for check in checks(drawn, fault)] == [CheckVerdict.BAD, CheckVerdict.BAD, CheckVerdict.GOOD]


def test_a_check_without_verdict_needs_a_number_that_a_rule_judges(drawn: SmallFarm) -> None:
    fault = opened(drawn, "left light dead")
    with pytest.raises(UsageError, match="Was it good or bad at Light plug"):
        note_check(drawn.store, fault, CheckEntry(kind=CheckKind.LOOK, node="light plug"), at=AUGUST)
    entry = CheckEntry(kind=CheckKind.VOLTAGE, node="light plug", measured="green")
    with pytest.raises(UsageError, match="'green' is no reading in V"):
        note_check(drawn.store, fault, entry, at=AUGUST)
    assert checks(drawn, fault) == []


@pytest.mark.parametrize(
    ("look", "evidence"), [(CheckVerdict.BAD, FixEvidence.SEEN), (CheckVerdict.UNCLEAR, FixEvidence.INFERRED)]
)
def test_closing_takes_the_evidence_from_what_was_seen(
    drawn: SmallFarm, look: CheckVerdict, evidence: FixEvidence
) -> None:
    fault = opened(drawn, "left light dead")
    note_check(drawn.store, fault, CheckEntry(kind=CheckKind.LOOK, node="light plug", verdict=look), at=AUGUST)
    entry = FindingEntry(node="light plug", mode=FaultMode.HIGH_RESISTANCE, fix="cleaned", fuse_milliamperes=15_000)
    close_fault(drawn.store, fault, entry, at=AUGUST + timedelta(hours=1))
    with drawn.store.reading() as connection:
        (finding,) = find_all(connection, FaultFinding)
        (closed,) = find_all(connection, Fault)
    assert (finding.evidence, finding.fix, closed.closed_at) == (
        evidence,
        "cleaned, 15 A fuse",
        AUGUST + timedelta(hours=1),
    )
    undo(drawn.store)
    with drawn.store.reading() as connection:
        assert find_all(connection, FaultFinding) == []
        assert find_all(connection, Fault)[0].closed_at is None


def test_what_was_not_found_cleared_by_itself(drawn: SmallFarm) -> None:
    fault = opened(drawn, "left light dead")
    close_fault(drawn.store, fault, FindingEntry(fix="dried the plug"), at=AUGUST)
    with drawn.store.reading() as connection:
        (finding,) = find_all(connection, FaultFinding)
    assert (finding.mode, finding.node_id) == (FaultMode.NOT_FOUND, None)
    assert finding.evidence is FixEvidence.CLEARED_BY_ITSELF


def test_only_the_circuits_own_fuse_is_taken(drawn: SmallFarm) -> None:
    fault = opened(drawn, "left light dead")
    entry = FindingEntry(node="light plug", mode=FaultMode.OPEN, fuse_milliamperes=20_000)
    with pytest.raises(RefusedError, match="This circuit takes 15 A, not 20 A"):
        close_fault(drawn.store, fault, entry, at=AUGUST)
    with drawn.store.reading() as connection:
        assert find_all(connection, Fault)[0].closed_at is None


def test_a_closed_fault_takes_no_more_checks_and_is_not_closed_before_it_opened(drawn: SmallFarm) -> None:
    fault = opened(drawn, "left light dead")
    with pytest.raises(RefusedError, match="before it was opened"):
        close_fault(drawn.store, fault, FindingEntry(), at=AUGUST - timedelta(hours=1))
    with pytest.raises(UsageError, match="names a place and what was wrong"):
        close_fault(drawn.store, fault, FindingEntry(node="light plug"), at=AUGUST)
    close_fault(drawn.store, fault, FindingEntry(), at=AUGUST)
    late = CheckEntry(kind=CheckKind.LOOK, node="light plug", verdict=CheckVerdict.GOOD)
    with pytest.raises(RefusedError, match="was closed on 1 Aug 2026"):
        note_check(drawn.store, fault, late, at=AUGUST)


def test_a_diagram_goes_in_and_comes_out_as_the_same_text(drawn: SmallFarm) -> None:
    assert text_of(drawn) == LIGHTS
    assert {node.circuit for node in nodes(drawn).values()} == {"lights"}
    undo(drawn.store)
    assert nodes(drawn) == {}


def test_a_second_circuit_hangs_on_the_first_and_leaves_it_alone(drawn: SmallFarm) -> None:
    before = nodes(drawn)
    done = bring_in_diagram(drawn.store, drawn.combine, PUMP, circuit="pump")
    assert done.said == "drew pump of Kestrel: added 2 places and 3 connections"
    after = nodes(drawn)
    assert {name: after[name] for name in before} == before
    assert (after["Pump"].circuit, after["Pump fuse"].rating_milliamperes) == ("pump", 10_000)
    with drawn.store.reading() as connection:
        circuit = circuit_on(connection, drawn.combine.id)
    assert circuit.feeds("Main fuse") == ("Light fuse", "Pump fuse")


def test_a_second_time_changes_what_changed_and_takes_out_what_is_gone(drawn: SmallFarm) -> None:
    before = nodes(drawn)
    edited = LIGHTS.replace("Light plug: connector, outside", "Light plug: connector, outside, moves with header")
    edited = edited.replace("        Right light: device, returns by Frame ground\n", "")
    done = bring_in_diagram(drawn.store, drawn.combine, edited)
    assert done.said == ("drew the diagram of Kestrel: changed 1 place; took out 1 place and 2 connections")
    after = nodes(drawn)
    assert set(before) - set(after) == {"Right light"}
    assert after["Light plug"].id == before["Light plug"].id
    assert after["Light plug"].moves_with_header
    undo(drawn.store)
    assert nodes(drawn) == before
    assert text_of(drawn) == LIGHTS


def test_a_node_that_history_rests_on_stays_and_the_answer_says_so(drawn: SmallFarm) -> None:
    opened(drawn, "right light dead")
    edited = LIGHTS.replace("        Right light: device, returns by Frame ground\n", "")
    done = bring_in_diagram(drawn.store, drawn.combine, edited)
    assert done.also == ("kept Right light: faults of the past rest on it",)
    assert "Right light" in nodes(drawn)
    with drawn.store.reading() as connection:
        assert circuit_on(connection, drawn.combine.id).fed_by("Right light") == ()


def test_a_node_that_another_circuit_hangs_on_stays(drawn: SmallFarm) -> None:
    bring_in_diagram(drawn.store, drawn.combine, PUMP, circuit="pump")
    done = bring_in_diagram(drawn.store, drawn.combine, "Other: device\n", circuit="lights")
    assert "kept Main fuse: another circuit hangs on it" in done.also
    assert {"Main fuse", "Pump", "Other"} <= set(nodes(drawn))
    assert "Left light" not in nodes(drawn)


def test_the_same_text_again_changes_nothing(drawn: SmallFarm) -> None:
    with pytest.raises(RefusedError, match="has all of this already"):
        bring_in_diagram(drawn.store, drawn.combine, LIGHTS)


def test_what_would_make_a_ring_through_two_circuits_is_refused(drawn: SmallFarm) -> None:
    before = nodes(drawn)
    with pytest.raises(DataError, match="run in a ring"):
        bring_in_diagram(
            drawn.store, drawn.combine, "Left light: device\n  Main fuse: fuse 30 A, at battery box\n", circuit="loop"
        )
    assert nodes(drawn) == before


def test_a_connection_on_a_data_line_is_the_same_from_either_end(drawn: SmallFarm) -> None:
    line = "First: terminator, bus with Line\nLine: wire run\n"
    bring_in_diagram(drawn.store, drawn.combine, line, circuit="data line")
    turned = "First: terminator\nLine: wire run, bus with First\n"
    with pytest.raises(RefusedError, match="has all of this already"):
        bring_in_diagram(drawn.store, drawn.combine, turned, circuit="data line")


def test_a_starting_diagram_put_beside_another_bridges_no_fuse(farm: SmallFarm) -> None:
    put_starting_diagram(farm.store, farm.combine, "combine main harness")
    put_starting_diagram(farm.store, farm.combine, "header")
    with farm.store.reading() as connection:
        drawn = circuit_on(connection, farm.combine.id)
    feeds = {edge.start for edge in drawn.edges if edge.end == "Main harness" and edge.kind is EdgeKind.FEED}
    assert feeds == {"Main fuse"}
    assert ("Main harness", "Header fuse") in {(edge.start, edge.end) for edge in drawn.edges}


def test_a_starting_diagram_leaves_what_was_adapted_as_it_is(farm: SmallFarm) -> None:
    done = put_starting_diagram(farm.store, farm.combine, "header")
    assert done.also == ("starting diagram, adapt it; layout and ratings are common practice, without a source",)
    edited = text_of(farm).replace("fuse 15 A", "fuse 20 A").replace("Stubble lights", "Row lights")
    bring_in_diagram(farm.store, farm.combine, edited)
    put_starting_diagram(farm.store, farm.combine, "header")
    after = nodes(farm)
    assert after["Header fuse"].rating_milliamperes == 20_000
    assert {"Row lights", "Stubble lights"} <= set(after)
    put_starting_diagram(farm.store, farm.combine, "combine data line")
    with farm.store.reading() as connection:
        circuit = circuit_on(connection, farm.combine.id)
        assert len(circuit.of_kind(NodeKind.TERMINATOR)) == 2
        assert {edge.kind for edge in find_all(connection, CircuitEdge)} == set(EdgeKind)
    assert parse_diagram(write_diagram(circuit)).nodes
    with pytest.raises(NotFoundError, match="no starting diagram"):
        put_starting_diagram(farm.store, farm.combine, "moon")
