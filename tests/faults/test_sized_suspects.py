"""Suspects by evidence and its size: silence, readings, visits, repairs that failed, looking beyond, work done before."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.references.node_rate import node_rate
from wearlog.errors import DataError, NotFoundError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, Condition, FaultMode, SignKind
from wearlog.facts.electrics import Answer, FixKind, OthersTried, Supplied, Told
from wearlog.faults.checks import Check, checks_for
from wearlog.faults.circuit_matrix import circuit_matrix
from wearlog.faults.circumstances import Circumstances, MeterShown
from wearlog.faults.diagram_text import parse_diagram
from wearlog.faults.hypotheses import hypotheses
from wearlog.faults.priors import Experience, PastFinding, prior_weights
from wearlog.faults.results import Result
from wearlog.faults.signs import Sign
from wearlog.faults.sized_hypotheses import fault_table
from wearlog.faults.starting_diagrams import STARTING_DIAGRAMS, starting_diagram
from wearlog.faults.suspects import Case, Suspects, suspects_of
from wearlog.faults.updating import after_check, after_repair

HEADER = starting_diagram("header").circuit()
LINE = starting_diagram("combine data line").circuit()


def case(*signs: tuple[SignKind, str], circuit=HEADER, **known) -> Case:
    told = tuple(Sign(kind=kind, node=node, told=Told.SAID) for kind, node in signs)
    return Case(circuit=circuit, signs=told, circumstances=Circumstances(**known))


def share(suspects: Suspects, node: str | None, mode: FaultMode | None = None) -> float:
    return sum(s.chance for s in suspects.ranked() if s.node == node and (mode is None or s.mode is mode))


def volts(kind: CheckKind, node: str, value: float, circuit=HEADER, **state) -> Result:
    check = next(c for c in checks_for(circuit) if (c.kind, c.node) == (kind, node))
    return Result(check=check, verdict=CheckVerdict.BAD, reading=MeterShown(value=value, **state))


@pytest.mark.parametrize("diagram", STARTING_DIAGRAMS, ids=lambda diagram: diagram.name)
def test_the_tables_say_what_the_circuit_says(diagram) -> None:
    circuit = diagram.circuit()
    matrix = circuit_matrix(circuit)
    for node in circuit.nodes:
        row = matrix.index[node.name]
        assert {name for name, i in matrix.index.items() if matrix.below[row, i]} == circuit.downstream(node.name)
        assert {name for name, i in matrix.index.items() if matrix.behind[row, i]} == circuit.sharing_ground(node.name)
        on_line = circuit.on_the_bus_of(node.name)
        assert {n for n, i in matrix.index.items() if 0 <= matrix.line[i] == matrix.line[row]} == on_line


def test_rates_summed_once_are_those_of_each_node() -> None:
    seen = (
        PastFinding(node="Header plug", kind=HEADER.node("Header plug").kind, mode=FaultMode.OPEN),
        PastFinding(node="other", kind=HEADER.node("Header plug").kind, mode=FaultMode.OPEN, on_this_machine=False),
    )
    experience = Experience(hours=900, sister_hours=400, findings=seen)
    table, plain = fault_table(HEADER), hypotheses(HEADER)
    weights, whole = (prior_weights(HEADER, of, experience) for of in (table.hypotheses, plain))
    for node in HEADER.nodes:
        for mode in FaultMode:
            rows = [row for row, one in enumerate(plain) if one.node == node.name and one.mode is mode]
            rate = node_rate(HEADER, node, mode, experience) if rows else 0.0
            # a short above every fuse smokes at once: only a tenth of them is looked for
            looked_for = 0.1 if mode is FaultMode.SHORT_TO_GROUND and not HEADER.first_fuses_above(node.name) else 1.0
            assert whole[rows].sum() == pytest.approx(rate * looked_for, rel=1e-9)
            of_it = [h.node == node.name and h.mode is mode for h in table.hypotheses]
            by_sizes = weights[of_it] * table.share[of_it]
            assert by_sizes.sum() <= node_rate(HEADER, node, mode, experience) * (1 + 1e-9)


def test_sizes_add_up_to_the_plain_suspects_before_any_sign() -> None:
    sized, plain = suspects_of(case()), suspects_of(Case(circuit=HEADER))
    for node in HEADER.nodes:
        for mode in (FaultMode.OPEN, FaultMode.HIGH_RESISTANCE, FaultMode.FAILED_DEVICE):
            assert share(sized, node.name, mode) == pytest.approx(share(plain, node.name, mode), rel=0.03)
    assert sized.chance.sum() == pytest.approx(1)


def test_what_nobody_spoke_of_speaks_for_the_load_itself() -> None:
    told = case((SignKind.DEAD, "Reel lift valve"))
    unasked, fine = (
        share(suspects_of(one), "Reel lift valve")
        for one in (told, replace(told, circumstances=Circumstances(others_tried=OthersTried.ALL_FINE)))
    )
    plain = share(suspects_of(replace(told, circumstances=None)), "Reel lift valve")
    assert plain < unasked < fine


def test_zero_volts_and_nearly_all_of_them_are_not_the_same() -> None:
    start = case((SignKind.DEAD, "Reel lift valve"), (SignKind.FUSE_WHOLE, "Header fuse"))

    def after(value: float) -> Suspects:
        result = volts(CheckKind.VOLTAGE, "Header plug", value, battery_volts=12.4, load_on=True)
        return suspects_of(replace(start, results=(result,)))

    nothing, low = after(0.0), after(11.2)
    assert share(nothing, "Header plug", FaultMode.OPEN) > 3 * share(low, "Header plug", FaultMode.OPEN)
    assert share(low, "Header plug", FaultMode.HIGH_RESISTANCE) > 3 * share(
        nothing, "Header plug", FaultMode.HIGH_RESISTANCE
    )


def test_a_voltage_on_a_running_engine_is_judged_from_the_battery() -> None:
    start = case((SignKind.DEAD, "Reel lift valve"))
    plug = Result(
        check=next(c for c in checks_for(HEADER) if (c.kind, c.node) == (CheckKind.VOLTAGE, "Header plug")),
        verdict=CheckVerdict.BAD,
        reading=MeterShown(value=14.0, battery_volts=14.2, load_on=True, supplied=Supplied.RUNNING),
    )
    sound = suspects_of(replace(start, results=(plug,)))
    assert share(sound, "Main harness") < share(suspects_of(start), "Main harness")


def drops_good(*nodes: str) -> tuple[Result, ...]:
    results = (volts(CheckKind.VOLTAGE_DROP, node, 0.06, battery_volts=12.4) for node in nodes)
    return tuple(replace(result, verdict=CheckVerdict.GOOD) for result in results)


def test_checks_of_one_visit_count_as_one_while_the_fault_is_away() -> None:
    start = case((SignKind.ERRATIC, "Reel lift valve"))
    good = drops_good("Header plug", "Feeder harness", "Header ground")
    one_visit = suspects_of(replace(start, results=good))
    each_its_own = suspects_of(replace(start, results=tuple(replace(r, visit=n) for n, r in enumerate(good))))
    moving = [h.intermittent and h.mode is FaultMode.OPEN and h.node == "Header plug" for h in one_visit.hypotheses]
    against_elsewhere = [one.chance[moving].sum() / one.chance[-1] for one in (one_visit, each_its_own)]
    assert against_elsewhere[0] > 1.2 * against_elsewhere[1]


def test_told_that_it_is_away_a_good_reading_says_nothing_of_what_comes_and_goes() -> None:
    start = case((SignKind.ERRATIC, "Reel lift valve"), present={0: Answer.NO})
    before = suspects_of(start)
    after = suspects_of(replace(start, results=drops_good("Header plug")))
    moving = np.array([h.intermittent and h.mode is not FaultMode.SHORT_TO_GROUND for h in before.hypotheses])
    moving &= np.array([h.mode is not FaultMode.OVERLOAD for h in before.hypotheses])
    shares = [one.chance[moving] / one.chance[moving].sum() for one in (after, before)]
    np.testing.assert_allclose(*shares, rtol=1e-9)


def test_a_place_can_come_back_after_a_repair_that_did_not_take() -> None:
    start = suspects_of(case((SignKind.DEAD, "Reel lift valve")))
    mended = after_repair(start, "Header plug")
    proved = suspects_of(
        replace(mended.case, circumstances=Circumstances(repairs={"Header plug": FixKind.PROVED_UNDER_LOAD}))
    )
    before = share(start, "Header plug")
    assert share(mended, "Header plug") == pytest.approx(0.15 * before / (1 - 0.85 * before))
    assert share(proved, "Header plug") == pytest.approx(0.03 * before / (1 - 0.97 * before))
    assert share(after_repair(mended, "Header plug"), "Header plug") < share(mended, "Header plug")


def test_looking_beyond_the_diagram_and_finding_nothing_lowers_that() -> None:
    start = suspects_of(case((SignKind.DEAD, "Reel lift valve")))
    beyond = Check(kind=CheckKind.BEYOND, node="", minutes=15)
    once = after_check(start, beyond, CheckVerdict.GOOD)
    twice = after_check(once, beyond, CheckVerdict.GOOD)
    p = share(start, None)
    assert share(once, None) == pytest.approx(0.3 * p / (0.3 * p + 0.99 * (1 - p)), rel=1e-6)
    assert share(twice, None) == pytest.approx(0.09 * p / (0.09 * p + 0.99**2 * (1 - p)), rel=1e-6)


def test_what_was_worked_on_may_be_the_wrong_way_round() -> None:
    plain, worked = (
        suspects_of(case((SignKind.WRONG_THING, "Reel lift valve"), worked_on=names))
        for names in ((), ("Header plug",))
    )
    assert share(plain, "Header plug", FaultMode.REVERSED) == 0.0
    assert share(worked, "Header plug", FaultMode.REVERSED) > 0.3


def test_a_load_that_stays_on_is_fed_past_its_switch() -> None:
    ranked = suspects_of(case((SignKind.STAYS_ON, "Stubble lights"))).ranked()
    assert FaultMode.SHORT_TO_POWER in {one.mode for one in ranked[:3]}


def test_conditions_nobody_asked_for_are_no_answer() -> None:
    start = case((SignKind.ERRATIC, "Stubble lights"))
    asked = replace(start, circumstances=Circumstances(conditions_asked=True))
    outside = sum(
        share(suspects_of(start), node.name) for node in HEADER.nodes if "outside" in {m.value for m in node.marks}
    )
    then = sum(
        share(suspects_of(asked), node.name) for node in HEADER.nodes if "outside" in {m.value for m in node.marks}
    )
    assert then < outside
    wet = replace(start, conditions=(Condition.RAIN,))
    wetter = replace(start, conditions=(Condition.RAIN, Condition.DEW, Condition.AFTER_WASH))
    for node in HEADER.nodes:
        once, thrice = share(suspects_of(wet), node.name), share(suspects_of(wetter), node.name)
        assert thrice <= 1.15 * once + 1e-9


def test_the_size_of_a_reading_of_the_data_line_tells_what_failed() -> None:
    line = next(c for c in checks_for(LINE) if c.kind is CheckKind.RESISTANCE and c.node == "First terminator")
    start = case((SignKind.ERRATIC, "Cab controller"), (SignKind.ERRATIC, "Engine controller"), circuit=LINE)

    def modes(ohms: float) -> dict[FaultMode, float]:
        result = Result(check=line, verdict=CheckVerdict.BAD, reading=MeterShown(value=ohms))
        found = suspects_of(replace(start, results=(result,)))
        return {mode: sum(s.chance for s in found.ranked() if s.mode is mode) for mode in FaultMode}

    assert modes(0.4)[FaultMode.SHORT_TO_GROUND] > 0.7
    assert modes(120)[FaultMode.OPEN] > 0.7
    assert (
        modes(80)[FaultMode.HIGH_RESISTANCE]
        > modes(60)[FaultMode.HIGH_RESISTANCE]
        > modes(120)[FaultMode.HIGH_RESISTANCE]
    )


def test_an_alternator_that_gives_nothing_shows_in_the_batterys_own_reading() -> None:
    circuit = parse_diagram(
        "Alternator: alternator\n  Battery: battery\n    Fuse: fuse 10 A\n      Lamp: device, returns by Ground\nGround: ground\n"
    )
    start = case((SignKind.WEAK, "Lamp"), circuit=circuit)
    own = Result(
        check=Check(kind=CheckKind.VOLTAGE, node="Battery", minutes=2),
        verdict=CheckVerdict.BAD,
        reading=MeterShown(value=12.2, supplied=Supplied.RUNNING),
    )
    after = suspects_of(replace(start, results=(own,)))
    assert share(after, "Alternator") > 2 * share(suspects_of(start), "Alternator")
    charged = replace(own, reading=MeterShown(value=14.2, supplied=Supplied.RUNNING))
    assert share(suspects_of(replace(start, results=(charged,))), "Alternator") < share(
        suspects_of(start), "Alternator"
    )


def test_high_at_the_alternator_and_low_at_the_battery_is_the_cable_between_them() -> None:
    circuit = parse_diagram(
        "Alternator: alternator\n  Battery: battery\n    Fuse: fuse 10 A\n      Lamp: device, returns by Ground\nGround: ground\n"
    )
    start = case((SignKind.WEAK, "Lamp"), circuit=circuit)
    offered = [check for check in checks_for(circuit, nominal_volts=24) if check.node == "Alternator"]
    post = next(check for check in offered if check.kind is CheckKind.VOLTAGE)
    assert post.expected == "engine over 1,200 rpm, few loads: 26.6 to 30 V at its own post"

    def after(at_alternator: float) -> Suspects:
        own = Check(kind=CheckKind.VOLTAGE, node="Battery", minutes=2)
        results = tuple(
            Result(
                check=check, verdict=CheckVerdict.UNCLEAR, reading=MeterShown(value=value, supplied=Supplied.RUNNING)
            )
            for check, value in ((own, 12.3), (post, at_alternator))
        )
        return suspects_of(replace(start, results=results))

    high, low = after(14.2), after(12.4)
    cable, itself = FaultMode.HIGH_RESISTANCE, FaultMode.FAILED_DEVICE
    assert share(high, "Alternator", cable) > 3 * share(low, "Alternator", cable)
    assert share(low, "Alternator", itself) > 0.5 > 0.1 > share(high, "Alternator", itself)


def test_bad_evidence_is_refused_with_a_sentence() -> None:
    with pytest.raises(NotFoundError):
        suspects_of(
            replace(
                case(),
                results=(Result(check=Check(kind=CheckKind.LOOK, node="Siren", minutes=1), verdict=CheckVerdict.BAD),),
            )
        )
    with pytest.raises(DataError, match="error rate"):
        suspects_of(replace(case((SignKind.DEAD, "Reel lift valve")), error_rate=1.0))
    with pytest.raises(DataError, match="battery's own reading"):
        suspects_of(replace(case(), results=(volts(CheckKind.VOLTAGE, "Header plug", 3.0, battery_volts=-1.0),)))
