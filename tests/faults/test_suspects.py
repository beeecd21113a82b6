"""Suspects: priors with experience, the posterior, percentages, two faults, updating by results."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.references.meter_reading import after_reading
from wearlog.errors import DataError, NotFoundError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, FaultMode, NodeKind, SignKind
from wearlog.faults.checks import Check, checks_for
from wearlog.faults.circuit import Circuit
from wearlog.faults.diagram_text import parse_diagram
from wearlog.faults.effects import effects
from wearlog.faults.hypotheses import hypotheses
from wearlog.faults.priors import Experience, PastFinding, gamma_poisson_rate, prior_weights, priors
from wearlog.faults.readings import BUS_OHMS
from wearlog.faults.signs import ERROR_RATE, Sign, observe
from wearlog.faults.starting_diagrams import starting_diagram
from wearlog.faults.suspects import Case, suspects_of, whole_percentages
from wearlog.faults.two_faults import two_faults, unexplained
from wearlog.faults.updating import after_check, after_repair

HEADER = starting_diagram("header").circuit()
LINE = starting_diagram("combine data line").circuit()
ALIKE = parse_diagram(
    "B: battery\n  F: fuse 10 A\n    P1: connector\n      P2: connector\n        D: device, returns by G\nG: ground\n"
)


def signs(*seen: tuple[SignKind, str | None]) -> tuple[Sign, ...]:
    return tuple(Sign(kind=kind, node=node) for kind, node in seen)


def check(kind: CheckKind, node: str, circuit=HEADER) -> Check:
    return next(c for c in checks_for(circuit) if (c.kind, c.node) == (kind, node))


def test_without_signs_the_posterior_is_the_prior() -> None:
    suspects = suspects_of(Case(circuit=HEADER))
    np.testing.assert_allclose(suspects.chance, suspects.prior, rtol=1e-12)
    assert suspects.chance.sum() == pytest.approx(1)
    assert suspects.chance[-1] == pytest.approx(0.05)


def test_a_gamma_prior_of_a_rate_moves_with_events_and_exposure() -> None:
    assert gamma_poisson_rate(2, 0.5, 3, 6) == 0.5
    assert gamma_poisson_rate(2, 0.5, 0, 0) == 0.5
    assert gamma_poisson_rate(2, 0.0, 3, 6) == 0.0


def rate_of(circuit: Circuit, node: str, mode: FaultMode, experience: Experience) -> float:
    """The rate of a node's mode: the sum of its hypotheses, steady or not, the whole node or one wire of it."""
    of = hypotheses(circuit)
    weights = prior_weights(circuit, of, experience)
    return float(sum(weights[row] for row, one in enumerate(of) if one.node == node and one.mode is mode))


def test_marks_raise_the_rate_of_what_chafes() -> None:
    rubbing = parse_diagram("B: battery\n  W: wire run, passes edge\n    V: wire run\n")
    rates = [rate_of(rubbing, n, FaultMode.SHORT_TO_GROUND, Experience()) for n in ("W", "V")]
    assert rates[0] == pytest.approx(4 * rates[1])


def finding(node: str, *, on_this_machine: bool = True) -> PastFinding:
    return PastFinding(node=node, kind=NodeKind.CONNECTOR, mode=FaultMode.OPEN, on_this_machine=on_this_machine)


def test_a_past_finding_raises_its_node_most_then_its_kind_and_a_sisters_less() -> None:
    def rate(node: str, experience: Experience) -> float:
        return rate_of(ALIKE, node, FaultMode.OPEN, experience)

    quiet = Experience(hours=1000, sister_hours=1000)
    here = replace(quiet, findings=(finding("P1"),))
    sister = replace(quiet, findings=(finding("P1", on_this_machine=False),))
    assert rate("P1", here) > rate("P1", sister) > rate("P1", quiet)
    assert rate("P1", here) > rate("P2", here) > rate("P2", sister) > rate("P2", quiet)


def test_hours_without_a_finding_lower_a_rate() -> None:
    watched = rate_of(ALIKE, "P1", FaultMode.OPEN, Experience(hours=5000))
    assert watched < rate_of(ALIKE, "P1", FaultMode.OPEN, Experience())


def test_faults_that_were_never_on_the_diagram_raise_that_share() -> None:
    off = PastFinding(node=None, kind=None, mode=FaultMode.NOT_FOUND)
    everything = hypotheses(ALIKE)
    chance = priors(ALIKE, everything, Experience(hours=100, findings=(off, off)))
    assert chance[-1] == pytest.approx((0.05 * 20 + 2) / 22)
    assert chance.sum() == pytest.approx(1)


def test_hours_below_zero_are_refused() -> None:
    with pytest.raises(DataError, match="Hours watched"):
        Experience(hours=-1)


def test_everything_dead_under_a_blown_fuse_is_a_short_on_what_chafes() -> None:
    case = Case(circuit=HEADER, signs=signs((SignKind.DEAD, "Reel lift valve"), (SignKind.FUSE_BLEW_AT_ONCE, None)))
    ranked = suspects_of(case).ranked()
    assert {s.node for s in ranked[:2]} == {"Feeder harness", "Header harness"}
    assert ranked[0].mode is FaultMode.SHORT_TO_GROUND
    assert ranked[0].chance + ranked[1].chance > 0.75


def test_one_dead_among_the_working_is_itself_or_its_wire() -> None:
    seen = signs(
        (SignKind.DEAD, "Reel lift valve"),
        (SignKind.WORKING, "Stubble lights"),
        (SignKind.WORKING, "Reel speed sensor"),
        (SignKind.FUSE_WHOLE, None),
    )
    first, second = suspects_of(Case(circuit=HEADER, signs=seen)).ranked()[:2]
    assert (first.node, first.mode) == ("Reel lift valve", FaultMode.FAILED_DEVICE)
    assert (second.node, second.mode) == ("Header harness", FaultMode.OPEN)


def test_shown_percentages_add_up_to_100_with_the_others() -> None:
    suspects = suspects_of(Case(circuit=HEADER, signs=signs((SignKind.ERRATIC, "Stubble lights"))))
    assert sum(s.percent for s in suspects.ranked()) == 100
    for most in (1, 3, 8):
        listing = suspects.listed(most)
        assert sum(s.percent for s in listing.suspects) + listing.others_percent == 100


@given(
    st.lists(st.floats(min_value=0, max_value=1e6, allow_subnormal=False), min_size=1, max_size=60).filter(
        lambda c: sum(c) > 1e-6
    )
)
def test_whole_percentages_add_up_to_100_and_stay_within_one(chances: list[float]) -> None:
    percents = whole_percentages(chances)
    assert sum(percents) == 100
    assert all(abs(p - 100 * c / sum(chances)) < 1 for p, c in zip(percents, chances, strict=True))


def test_thirds_give_the_odd_point_to_the_first() -> None:
    assert whole_percentages([1, 1, 1]) == (34, 33, 33)
    with pytest.raises(DataError, match="Percentages"):
        whole_percentages([0.0, 0.0])


def test_chances_of_nodes_add_up_to_one_and_keep_the_order_of_the_circuit() -> None:
    suspects = suspects_of(Case(circuit=HEADER))
    chances = suspects.node_chances()
    assert chances.shape == (len(HEADER.nodes) + 1,)
    assert chances.sum() == pytest.approx(1)
    assert chances[-1] == suspects.chance[-1]


def test_the_posterior_is_calibrated_when_faults_are_drawn_from_the_prior() -> None:
    """Simulated: of suspects given a chance of x, a share of x did it (500 faults, seeded)."""
    rng = np.random.default_rng(20)
    everything, watched = (
        hypotheses(HEADER),
        ("Reel lift valve", "Stubble lights", "Left height sensor", "Reel speed sensor"),
    )
    done, prior = effects(HEADER, everything), priors(HEADER, everything)
    kinds = (SignKind.WORKING, SignKind.DEAD, SignKind.ERRATIC)
    claimed, right = np.zeros(5), np.zeros(5)
    for truth in rng.choice(len(everything), size=500, p=prior):
        seen = tuple(
            Sign(kind=kinds[rng.choice(3, p=one.outcomes[truth])], node=name)
            for name in watched
            for one in observe(HEADER, everything, done, [Sign(kind=SignKind.DEAD, node=name)], ERROR_RATE)
        )
        chances = suspects_of(Case(circuit=HEADER, signs=seen)).node_chances()
        names = [node.name for node in HEADER.nodes] + [None]
        for place, chance in enumerate(chances):
            cell = int(min(chance * 5, 4))
            claimed[cell] += chance
            right[cell] += names[place] == everything[truth].node
    for cell in range(5):
        spread = 3.5 * np.sqrt(max(claimed[cell], 4))
        assert abs(claimed[cell] - right[cell]) < spread, (cell, claimed, right)


def test_one_fault_that_explains_everything_asks_for_no_second() -> None:
    case = Case(circuit=HEADER, signs=signs((SignKind.DEAD, "Reel lift valve"), (SignKind.DEAD, "Reel speed sensor")))
    assert unexplained(suspects_of(case)) == ()
    assert two_faults(suspects_of(case)) is None
    assert two_faults(suspects_of(Case(circuit=HEADER))) is None


def test_two_dead_things_on_one_harness_are_two_of_its_wires() -> None:
    working = ("Stubble lights", "Left height sensor", "Reel fore-aft valve")
    seen = signs(
        (SignKind.DEAD, "Reel lift valve"),
        (SignKind.DEAD, "Reel speed sensor"),
        *((SignKind.WORKING, name) for name in working),
        (SignKind.FUSE_WHOLE, None),
    )
    answer = two_faults(suspects_of(Case(circuit=HEADER, signs=seen)))
    assert answer is not None
    best = answer.pairs[0]
    assert (best.first_node, best.second_node, best.first_mode) == ("Header harness", "Header harness", FaultMode.OPEN)
    assert sum(pair.percent for pair in answer.pairs) + answer.others_percent == 100
    assert answer.unexplained in ((0,), (1,))


def test_two_dead_things_on_two_fuses_are_two_faults() -> None:
    circuit = starting_diagram("combine main harness").circuit()
    seen = signs(
        (SignKind.DEAD, "Fuel pump"),
        (SignKind.DEAD, "Clean grain sensor"),
        (SignKind.WORKING, "Tailings sensor"),
        (SignKind.WORKING, "Left work light"),
        (SignKind.WORKING, "Auger drive valve"),
        (SignKind.FUSE_WHOLE, "Fuel pump"),
    )
    answer = two_faults(suspects_of(Case(circuit=circuit, signs=seen)))
    assert answer is not None
    assert {"Clean grain sensor", "Sensor harness"} & {answer.pairs[0].first_node, answer.pairs[0].second_node}
    assert {"Fuel pump", "Engine plug"} & {answer.pairs[0].first_node, answer.pairs[0].second_node}
    assert 0 < answer.chance_of_two < 1


def test_each_result_moves_the_suspects_at_once() -> None:
    start = suspects_of(
        Case(circuit=HEADER, signs=signs((SignKind.DEAD, "Reel lift valve"), (SignKind.FUSE_BLEW_AT_ONCE, None)))
    )
    lamp = check(CheckKind.UNPLUG, "Header plug")
    out, lit = after_check(start, lamp, CheckVerdict.BAD), after_check(start, lamp, CheckVerdict.GOOD)
    assert (out.ranked()[0].node, lit.ranked()[0].node) == ("Header harness", "Feeder harness")
    assert out.ranked()[0].chance > 0.7 < lit.ranked()[0].chance


def test_results_count_the_same_in_any_order() -> None:
    start = suspects_of(Case(circuit=HEADER, signs=signs((SignKind.ERRATIC, "Stubble lights"))))
    one, two = check(CheckKind.WIGGLE, "Header plug"), check(CheckKind.LOOK, "Header ground")
    ab = after_check(after_check(start, one, CheckVerdict.GOOD), two, CheckVerdict.BAD)
    ba = after_check(after_check(start, two, CheckVerdict.BAD), one, CheckVerdict.GOOD)
    np.testing.assert_allclose(ab.chance, ba.chance, rtol=1e-12)


def test_the_same_check_again_replaces_its_first_result() -> None:
    start = suspects_of(Case(circuit=HEADER))
    one = check(CheckKind.LOOK, "Header plug")
    twice = after_check(after_check(start, one, CheckVerdict.GOOD), one, CheckVerdict.BAD)
    np.testing.assert_allclose(twice.chance, after_check(start, one, CheckVerdict.BAD).chance, rtol=1e-12)
    assert len(twice.case.results) == 2


def test_unclear_and_not_done_change_nothing() -> None:
    start = suspects_of(Case(circuit=HEADER))
    for verdict in (CheckVerdict.UNCLEAR, CheckVerdict.NOT_DONE):
        after = after_check(start, check(CheckKind.LOOK, "Header plug"), verdict)
        np.testing.assert_array_equal(after.chance, start.chance)


def test_a_reading_is_judged_by_the_band_of_its_check() -> None:
    start = suspects_of(Case(circuit=HEADER, signs=signs((SignKind.ERRATIC, "Stubble lights"))))
    drop = check(CheckKind.VOLTAGE_DROP, "Header ground")
    high, low = after_reading(start, drop, 0.8), after_reading(start, drop, 0.05)
    assert (high.case.results[0].verdict, low.case.results[0].verdict) == (CheckVerdict.BAD, CheckVerdict.GOOD)
    assert high.ranked()[0].node == "Header ground"


def test_the_number_on_the_data_line_tells_an_open_from_a_short() -> None:
    start = suspects_of(
        Case(circuit=LINE, signs=signs((SignKind.ERRATIC, "Cab controller"), (SignKind.ERRATIC, "Engine controller")))
    )
    line = next(c for c in checks_for(LINE) if c.band is BUS_OHMS)

    def share(ohms: float, mode: FaultMode) -> float:
        return sum(s.chance for s in after_reading(start, line, ohms).ranked() if s.mode is mode)

    assert share(120, FaultMode.OPEN) > 0.8 > share(0.4, FaultMode.OPEN)
    assert share(0.4, FaultMode.SHORT_TO_GROUND) > 0.7
    assert share(60, FaultMode.OPEN) < share(120, FaultMode.OPEN)


def test_a_repair_that_changed_nothing_all_but_clears_its_node() -> None:
    start = suspects_of(Case(circuit=HEADER))
    tried = after_repair(start, "Header plug")
    place = [node.name for node in HEADER.nodes].index("Header plug")
    before, after = start.node_chances()[place], tried.node_chances()[place]
    assert after == pytest.approx(0.05 * before / (1 - 0.95 * before))
    with pytest.raises(DataError, match="entered already"):
        after_repair(tried, "Header plug")


def test_a_check_of_something_not_on_the_diagram_is_not_found() -> None:
    with pytest.raises(NotFoundError):
        after_check(
            suspects_of(Case(circuit=HEADER)), Check(kind=CheckKind.LOOK, node="Siren", minutes=1), CheckVerdict.BAD
        )
