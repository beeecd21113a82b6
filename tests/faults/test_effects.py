"""What each fault would do, and the chance of what was seen."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.errors import DataError, NotFoundError
from wearlog.facts.closed_lists import Condition, FaultMode, NodeKind, SignKind
from wearlog.faults.circuit import Circuit
from wearlog.faults.diagram_text import parse_diagram
from wearlog.faults.effects import Effects, FuseState, Reach, Status, effects, reached
from wearlog.faults.hypotheses import MODES, NOT_ON_DIAGRAM, Hypothesis, hypotheses
from wearlog.faults.rates import RATES_PER_10000_HOURS
from wearlog.faults.signs import Sign, condition_likelihood, observe
from wearlog.faults.starting_diagrams import STARTING_DIAGRAMS

CIRCUIT = parse_diagram(
    """\
Battery: battery
  Main fuse: fuse 30 A
    Light fuse: fuse 10 A
      Plug: connector, outside
        Left: device, returns by Frame
        Right: device, returns by Frame
    Horn: device, returns by Cab
Frame: ground, returns by Battery
Cab: ground, returns by Battery
"""
)


def status(node: str, of: Hypothesis, circuit: Circuit = CIRCUIT) -> Status:
    done = effects(circuit, [of])
    return Status(int(done.status[0, done.nodes.index(node)].argmax()))


def fuse(name: str, of: Hypothesis) -> FuseState:
    done = effects(CIRCUIT, [of])
    return FuseState(int(done.fuse_state[0, done.fuses.index(name)].argmax()))


def at(node: str, mode: FaultMode, branch: str = "", *, intermittent: bool = False) -> Hypothesis:
    return Hypothesis(node=node, mode=mode, intermittent=intermittent, branch=branch)


def test_an_open_kills_what_lies_downstream_and_leaves_the_fuse_whole() -> None:
    opened = at("Plug", FaultMode.OPEN)
    assert [status(name, opened) for name in ("Left", "Right", "Horn")] == [Status.DEAD, Status.DEAD, Status.WORKING]
    assert fuse("Light fuse", opened) is FuseState.WHOLE


def test_an_open_on_one_wire_kills_that_branch_alone() -> None:
    opened = at("Plug", FaultMode.OPEN, "Left")
    assert [status(name, opened) for name in ("Left", "Right")] == [Status.DEAD, Status.WORKING]


def test_a_short_blows_the_first_fuse_above_it_which_kills_everything_under_that_fuse() -> None:
    shorted = at("Left", FaultMode.SHORT_TO_GROUND)
    assert fuse("Light fuse", shorted) is FuseState.BLEW_AT_ONCE
    assert fuse("Main fuse", shorted) is FuseState.WHOLE
    assert [status(name, shorted) for name in ("Right", "Plug", "Horn")] == [Status.DEAD, Status.DEAD, Status.WORKING]


def test_an_overload_blows_the_fuse_after_a_while() -> None:
    assert fuse("Light fuse", at("Left", FaultMode.OVERLOAD)) is FuseState.BLEW_LATER


def test_a_bad_ground_upsets_what_shares_it() -> None:
    corroded = at("Frame", FaultMode.HIGH_RESISTANCE)
    assert [status(name, corroded) for name in ("Left", "Right", "Horn")] == [
        Status.ERRATIC,
        Status.ERRATIC,
        Status.WORKING,
    ]


def test_a_failed_device_kills_itself_alone() -> None:
    failed = at("Left", FaultMode.FAILED_DEVICE)
    assert [status(name, failed) for name in ("Left", "Right")] == [Status.DEAD, Status.WORKING]


def test_a_fault_that_comes_and_goes_makes_things_erratic() -> None:
    assert status("Left", at("Plug", FaultMode.OPEN, intermittent=True)) is Status.ERRATIC


def test_a_controller_without_ground_takes_what_it_feeds_with_it() -> None:
    fed = parse_diagram(
        "F: fuse 5 A\n  C: controller, returns by G\n    Valve: device, returns by H\nG: ground\nH: ground\n"
    )
    assert ("Valve", Reach.GROUND) in reached(fed, at("G", FaultMode.OPEN))


def test_a_missing_terminator_upsets_the_whole_data_line() -> None:
    line = STARTING_DIAGRAMS[1].circuit()
    upset = {name for name, reach in reached(line, at("First terminator", FaultMode.OPEN)) if reach is Reach.BUS}
    assert {"Cab controller", "Engine controller", "Header controller"} <= upset


@pytest.mark.parametrize("diagram", STARTING_DIAGRAMS, ids=lambda diagram: diagram.name)
def test_all_chances_add_up_to_one_for_every_hypothesis(diagram) -> None:
    circuit = diagram.circuit()
    done: Effects = effects(circuit, hypotheses(circuit))
    np.testing.assert_allclose(done.status.sum(axis=2), 1, atol=1e-12)
    np.testing.assert_allclose(done.fuse_state.sum(axis=2), 1, atol=1e-12)


def test_every_mode_of_every_kind_has_a_rate_and_no_rate_is_without_a_mode() -> None:
    assert set(RATES_PER_10000_HOURS) == {(kind, mode) for kind in NodeKind for mode in MODES[kind]}
    assert min(RATES_PER_10000_HOURS.values()) > 0


def test_hypotheses_end_with_not_on_this_diagram_and_a_ground_is_never_shorted_to_ground() -> None:
    everything = hypotheses(CIRCUIT)
    assert everything[-1] is NOT_ON_DIAGRAM
    assert len(set(everything)) == len(everything)
    assert not [h for h in everything if h.node == "Frame" and h.mode is FaultMode.SHORT_TO_GROUND]
    assert {h.branch for h in everything if h.node == "Plug" and h.mode is FaultMode.OPEN} == {"", "Left", "Right"}


def likelihood(sign: Sign, of: Hypothesis, error_rate: float = 0.05) -> float:
    (one,) = observe(CIRCUIT, [of], effects(CIRCUIT, [of]), [sign], error_rate)
    return float(one.likelihood()[0])


def test_a_sign_is_read_wrongly_at_the_error_rate() -> None:
    dead = Sign(kind=SignKind.DEAD, node="Left")
    opened = at("Plug", FaultMode.OPEN)
    assert likelihood(dead, opened, 0.0) == pytest.approx(0.95)
    assert likelihood(dead, opened, 0.3) == pytest.approx(0.7 * 0.95 + 0.3 / 3)


def test_a_fuse_sign_at_a_device_means_the_fuse_above_it() -> None:
    blew = Sign(kind=SignKind.FUSE_BLEW_AT_ONCE, node="Right")
    assert likelihood(blew, at("Left", FaultMode.SHORT_TO_GROUND), 0.0) == pytest.approx(0.80)
    assert likelihood(blew, at("Horn", FaultMode.SHORT_TO_GROUND), 0.0) == pytest.approx(0.005)


def test_a_fuse_sign_without_a_node_means_the_fuse_the_fault_would_blow() -> None:
    blew = Sign(kind=SignKind.FUSE_BLEW_AT_ONCE)
    assert likelihood(blew, at("Horn", FaultMode.SHORT_TO_GROUND), 0.0) == pytest.approx(0.80)


def test_a_fuse_sign_where_there_is_no_fuse_says_nothing() -> None:
    sign = Sign(kind=SignKind.FUSE_WHOLE, node="Battery")
    assert (
        likelihood(sign, at("Plug", FaultMode.OPEN)) == likelihood(sign, at("Left", FaultMode.SHORT_TO_GROUND)) == 0.25
    )


@pytest.mark.parametrize(
    ("fmi", "likelier", "than"),
    [
        (4, FaultMode.SHORT_TO_GROUND, FaultMode.FAILED_DEVICE),
        (6, FaultMode.SHORT_TO_GROUND, FaultMode.FAILED_DEVICE),
        (5, FaultMode.FAILED_DEVICE, FaultMode.SHORT_TO_GROUND),
        (3, FaultMode.FAILED_DEVICE, FaultMode.SHORT_TO_GROUND),
    ],
)
def test_a_code_at_a_node_leans_the_way_the_standard_says(fmi: int, likelier: FaultMode, than: FaultMode) -> None:
    code = Sign(kind=SignKind.CODE, node="Left", spn=639, fmi=fmi)
    assert likelihood(code, at("Left", likelier)) > 1.5 * likelihood(code, at("Left", than))


def test_a_code_for_a_valid_reading_leans_off_the_wiring() -> None:
    real = Sign(kind=SignKind.CODE, node="Left", fmi=1)
    assert likelihood(real, NOT_ON_DIAGRAM) > likelihood(real, at("Left", FaultMode.OPEN))


def test_rain_leans_towards_what_is_outside_and_comes_and_goes() -> None:
    wet, dry = (
        at("Plug", FaultMode.HIGH_RESISTANCE, intermittent=True),
        at("Cab", FaultMode.HIGH_RESISTANCE, intermittent=True),
    )
    chances = condition_likelihood(CIRCUIT, [wet, dry], [Condition.RAIN, Condition.RAIN])
    assert chances.tolist() == [0.60, 0.15]


def test_signs_that_make_no_sense_are_refused() -> None:
    with pytest.raises(DataError, match="names no node"):
        likelihood(Sign(kind=SignKind.DEAD), NOT_ON_DIAGRAM)
    with pytest.raises(DataError, match="error rate"):
        likelihood(Sign(kind=SignKind.DEAD, node="Left"), NOT_ON_DIAGRAM, 1.0)
    with pytest.raises(NotFoundError):
        likelihood(Sign(kind=SignKind.DEAD, node="Siren"), NOT_ON_DIAGRAM)
