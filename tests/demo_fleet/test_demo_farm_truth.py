"""What happened on the demo farm can have come from the lives and rates that its truth file states. Invented data throughout."""

import csv
import math
from collections import defaultdict
from pathlib import Path

import numpy as np
import pytest

from demo_fleet.farm_kinds import FARM_KINDS
from demo_fleet.known_lives import HOT_WINDOW, LIVES, WEAR, life_of
from wearlog.facts.closed_lists import Action, Cause, Ground, MeterKind

ACRE = 4046.8564224
TRUTH = Path(__file__).parents[2] / "demo_fleet" / "truth"
AGEING = (Cause.WEAR, Cause.FATIGUE, Cause.LOOSE, Cause.UNKNOWN)


def rows(name):
    with (TRUTH / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def acres_line(farm, header_id):
    """Return the header's acres at any instant: runs spread evenly from start to end."""
    times, acres = [0.0], [0.0]
    for run in sorted((r for r in farm.of("Run") if r.header_id == header_id), key=lambda r: r.started_at):
        times += [run.started_at.timestamp(), run.ended_at.timestamp()]
        acres += [acres[-1], acres[-1] + run.area_square_metres / ACRE]
    return lambda at: float(np.interp(at.timestamp(), times, acres))


@pytest.mark.parametrize("kind", ["knife section", "guard", "hold-down", "reel tine"])
def test_ages_at_failure_fit_the_known_life(farm, kind):
    """The cumulative hazard of the known life over all lives is about the number of wear-out failures (martingale, 4 sigma)."""
    life = life_of(kind)
    hazard, failures = 0.0, 0
    for component in farm.components_of(kind):
        acres = acres_line(farm, component.machine_id)
        failed = defaultdict(list)
        for breakage in farm.of("Breakage"):
            if breakage.component_id == component.id:
                for position in breakage.positions:
                    failed[position].append(breakage)
        for fitting in farm.of("Fitting"):
            if fitting.component_id != component.id or fitting.age_when_fitted_usage is None:
                continue
            ends = fitting.removed_at
            its = [b for b in failed[fitting.position] if fitting.fitted_at < b.at and (ends is None or b.at <= ends)]
            failures += sum(b.cause in AGEING for b in its)
            # what was left broken cannot fail again
            left = [b.at for b in its if b.action is Action.LEFT]
            last = left[0] if left else ends
            start = fitting.age_when_fitted_usage / ACRE
            until = acres(last) if last else acres(farm.of("Run")[-1].ended_at)
            age = start + until - acres(fitting.fitted_at)
            hazard += (age / life.scale) ** life.shape - (start / life.scale) ** life.shape
    assert failures >= 10
    assert abs(failures - hazard) < 4 * math.sqrt(hazard)


@pytest.mark.parametrize("kind", ["knife section", "guard"])
def test_impacts_by_ground_fit_the_known_rates(farm, kind):
    """On every ground, impacts lie within 4 sigma of rate x acres (the header with the hot window left out)."""
    machines = {c.machine_id for c in farm.components_of(kind)} - {farm.machine(HOT_WINDOW.header).id}
    ground_of = {field.id: field.ground for field in farm.of("Field")}
    acres = dict.fromkeys(Ground, 0.0)
    run_ending = {}
    for run in farm.of("Run"):
        run_ending[run.header_id, run.ended_at] = run
        if run.header_id in machines:
            acres[ground_of[run.field_id]] += run.area_square_metres / ACRE
    seen = dict.fromkeys(Ground, 0)
    for breakage in farm.of("Breakage"):
        machine_id = farm.row[breakage.component_id].machine_id
        if breakage.cause is Cause.IMPACT and machine_id in machines and farm.kind_of(breakage.component_id) == kind:
            seen[ground_of[run_ending[machine_id, breakage.at].field_id]] += 1
    for ground, rate in zip(Ground, life_of(kind).impacts, strict=True):
        expected = rate * acres[ground] / 1000
        assert abs(seen[ground] - expected) <= 4 * math.sqrt(expected), ground


def test_stones_hit_the_hot_window_far_oftener_than_elsewhere(farm):
    """From its day on, positions 61-72 of Merlin break at least three times as often as the others."""
    (knife,) = [c for c in farm.components_of("knife section") if c.machine_id == farm.machine("Merlin").id]
    struck = [b for b in farm.of("Breakage") if b.component_id == knife.id and b.cause is Cause.IMPACT]
    positions = [p for b in struck if b.at.date() >= HOT_WINDOW.since for p in b.positions]
    inside = sum(HOT_WINDOW.first <= p <= HOT_WINDOW.last for p in positions)
    assert inside >= 8
    assert inside / 12 > 3 * (len(positions) - inside) / (knife.positions - 12)


def test_measured_wear_scatters_about_the_known_line(farm):
    """Chains: new length + known rate x age, where the age is read off the separator counter, within 5 standard deviations."""
    known = next(wear for wear in WEAR if wear.kind == "feeder conveyor chain")
    new = next(kind.new_micrometres for kind in FARM_KINDS if kind.name == known.kind)
    checked = 0
    for name in ("Juniper", "Tamarack"):  # Alder's counter was replaced
        (chain,) = [c for c in farm.components_of(known.kind) if c.machine_id == farm.machine(name).id]
        (meter,) = [
            m for m in farm.of("Meter") if m.machine_id == chain.machine_id and m.kind is MeterKind.SEPARATOR_HOURS
        ]
        shown = [(r.at, r.shown_usage) for r in farm.of("Reading") if r.meter_id == meter.id]
        for measured in (m for m in farm.of("Measurement") if m.component_id == chain.id):
            fitting = next(
                f
                for f in farm.of("Fitting")
                if f.component_id == chain.id
                and f.fitted_at <= measured.at
                and (f.removed_at is None or measured.at < f.removed_at)
            )
            hours = [usage for at, usage in shown if at <= measured.at][-1]
            began = [usage for at, usage in shown if at <= fitting.fitted_at][-1]
            age = (fitting.age_when_fitted_usage + hours - began) / 3600
            # a chain fitted in season began between two readings, up to a few days of cutting apart
            slack = 60 * known.micrometres_per_usage if fitting.fitted_at.month in (7, 8, 9) else 0
            off = measured.measured_micrometres - new - known.micrometres_per_usage * age
            assert abs(off) <= 5 * known.scatter_micrometres + slack + 254
            checked += 1
    assert checked == 24


def test_the_truth_file_states_what_was_drawn_from():
    """Each life stands in truth.csv with its shape, scale and unit; the hot window and the recurring fault beside it."""
    lives = {row["kind"]: row for row in rows("truth.csv")}
    assert {kind: (float(r["shape"]), float(r["scale"])) for kind, r in lives.items()} == {
        life.kind: (life.shape, life.scale) for life in LIVES
    }
    assert (lives["knife section"]["unit"], lives["bearing"]["unit"]) == ("ac", "h")
    assert [float(lives["guard"][f"impacts_{ground}_per_1000_ac"]) for ground in Ground] == list(
        life_of("guard").impacts
    )
    assert rows("hot_window.csv")[0]["first"] == "61"
    assert rows("recurring_fault.csv")[0]["node"] == "Header plug pigtail"
    assert len(rows("wear.csv")) == len(WEAR)


def test_known_median_lives_lie_within_the_starting_guesses():
    """The farm is one of those the library's ranges are meant for."""
    guesses = {kind.name: kind for kind in FARM_KINDS if kind.life_low_usage}
    compared = 0
    for life in LIVES:
        if life.kind in guesses:
            guess = guesses[life.kind]
            unit = ACRE if guess.meter_kind is MeterKind.AREA else 3600
            median = life.scale * math.log(2) ** (1 / life.shape) * unit
            assert guess.life_low_usage <= median <= guess.life_high_usage, life.kind
            compared += 1
    assert compared == len(LIVES) == 26
