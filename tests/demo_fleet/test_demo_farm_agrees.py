"""The demo farm's facts agree with one another: fittings, breakages, repairs, stoppages, stock, runs, hitches and readings."""

from collections import defaultdict
from datetime import UTC, datetime
from itertools import pairwise

from demo_fleet.records import FARM_ZONE
from wearlog.facts.closed_lists import Action, Cause, MeterKind, Removal, RepairKind, StockChange, StopReason
from wearlog.logbook.checks.soundness import unsound
from wearlog.logbook.names import KnownNames

HOUR = 3600


def seconds(fact):
    return (fact.ended_at - fact.started_at).total_seconds()


def test_the_logbook_believes_every_fact(farm):
    """The rules that imports and forms must pass find nothing to blame."""
    assert unsound(farm.facts, KnownNames(), now=datetime(2026, 11, 20, tzinfo=UTC)) == ()


def test_every_position_is_taken_without_overlap_or_gap(farm):
    """A position's fittings follow one another from the start of the log, and the last one is still on."""
    chains = defaultdict(list)
    for fitting in farm.of("Fitting"):
        chains[fitting.component_id, fitting.position].append(fitting)
    expected = {(c.id, p) for c in farm.of("Component") for p in range(1, c.positions + 1)}
    assert set(chains) == expected
    for chain in chains.values():
        chain.sort(key=lambda fitting: fitting.fitted_at)
        assert all(before.removed_at == after.fitted_at for before, after in pairwise(chain))
        assert all(after.age_when_fitted_usage == 0 for after in chain[1:])
        assert chain[-1].removed_at is None


def test_what_was_replaced_came_off_when_it_broke(farm):
    """Replaced breakages and fittings that broke are the same (component, position, instant), one to one."""
    came_off = [(f.component_id, f.position, f.removed_at) for f in farm.of("Fitting") if f.removal is Removal.BROKE]
    replaced = [
        (b.component_id, position, b.at)
        for b in farm.of("Breakage")
        if b.action is Action.REPLACED
        for position in b.positions
    ]
    assert sorted(came_off) == sorted(replaced)
    assert len(set(came_off)) == len(came_off)


def test_what_was_mended_or_left_stays_on(farm):
    """No fitting ends at the instant when it was mended or left in service."""
    ends = {(f.component_id, f.position, f.removed_at) for f in farm.of("Fitting")}
    kept = [
        (b.component_id, position, b.at)
        for b in farm.of("Breakage")
        if b.action is not Action.REPLACED
        for position in b.positions
    ]
    assert len(kept) > 20
    assert not ends & set(kept)


def test_only_what_was_left_has_no_repair(farm):
    """Every other breakage points at a breakdown repair that begins after it; but tines on trial, changed when the day was over."""
    tried = next(part.id for part in farm.of("Part") if part.number == "QF-1061")
    taken = {move.breakage_id for move in farm.of("StockMove") if move.part_id == tried and move.breakage_id}
    assert 0 < len(taken) < 5
    for breakage in farm.of("Breakage"):
        assert (breakage.repair_id is None) == (breakage.action is Action.LEFT or breakage.id in taken)
        if breakage.repair_id:
            repair = farm.row[breakage.repair_id]
            assert repair.kind is RepairKind.BREAKDOWN
            assert repair.started_at >= breakage.at


def test_breakdown_repairs_lie_inside_their_stoppage(farm):
    """Each has one stoppage that encloses it, and the breakage stands at its start."""
    stoppages = {stoppage.repair_id: stoppage for stoppage in farm.of("Stoppage") if stoppage.repair_id}
    repairs = [repair for repair in farm.of("Repair") if repair.kind is RepairKind.BREAKDOWN]
    assert len(stoppages) == len(repairs)
    for repair in repairs:
        stoppage = stoppages[repair.id]
        assert stoppage.reason is StopReason.BREAKDOWN
        assert stoppage.started_at <= repair.started_at < repair.ended_at <= stoppage.ended_at
    for breakage in farm.of("Breakage"):
        if breakage.repair_id:
            assert stoppages[breakage.repair_id].started_at == breakage.at


def test_planned_work_is_done_in_winter_and_fits_new_parts_when_it_ends(farm):
    """Planned repairs and overhauls lie between January and March; what they took off came off as they ended."""
    not_broken = [repair for repair in farm.of("Repair") if repair.kind is not RepairKind.BREAKDOWN]
    # what the dealer did by himself has no labour of the farm's own
    planned = [repair for repair in not_broken if repair.labour_seconds]
    assert all(
        1 <= repair.started_at.month <= 3 and repair.hired_minor for repair in not_broken if repair not in planned
    )
    assert {repair.kind for repair in planned} == {RepairKind.PLANNED, RepairKind.OVERHAUL}
    assert all(1 <= repair.started_at.month <= 3 for repair in planned)
    ends = {(repair.component_id, repair.ended_at) for repair in planned}
    taken_off = {(f.component_id, f.removed_at) for f in farm.of("Fitting") if f.removal is Removal.PLANNED}
    assert taken_off == ends


def test_stock_is_never_below_none_and_counts_agree(farm):
    """In the order of time no part goes below 0; a count differs from the sum by one lost piece at most."""
    moves = sorted(farm.of("StockMove"), key=lambda move: (move.at, move.change is StockChange.USED))
    on_hand = defaultdict(int)
    for move in moves:
        if move.change is StockChange.COUNTED:
            assert on_hand[move.part_id] - move.quantity in (0, 1)
            on_hand[move.part_id] = move.quantity
        else:
            on_hand[move.part_id] += move.quantity if move.change is StockChange.RECEIVED else -move.quantity
        assert on_hand[move.part_id] >= 0
    assert {move.change for move in moves} == {StockChange.RECEIVED, StockChange.USED, StockChange.COUNTED}


def test_each_replaced_part_was_taken_off_the_shelf(farm):
    """As many parts are used for a breakage as positions were replaced, of the part that fits the kind."""
    kind_of_part = {fit.part_id: fit.part_kind_id for fit in farm.of("PartFit")}
    used = {move.breakage_id: move for move in farm.of("StockMove") if move.breakage_id}
    for breakage in farm.of("Breakage"):
        if breakage.action is Action.REPLACED:
            move = used.pop(breakage.id)
            assert move.quantity == len(breakage.positions)
            assert kind_of_part[move.part_id] == farm.row[breakage.component_id].part_kind_id
    assert not used


def test_a_part_that_was_not_there_comes_within_two_hours_by_day_or_ten_or_so_at_night_and_from_afar(farm):
    """A repair waits for its part: an hour or two from the dealer's open counter, else nine hours to eleven and a half.

    What a stone took along beside the section is not waited for: the story goes on with the section.
    """
    broke = {breakage.id: breakage for breakage in farm.of("Breakage")}
    fetched = [move for move in farm.of("StockMove") if move.note == "fetched in a hurry"]
    by_use = {(move.part_id, move.at): move for move in farm.of("StockMove") if move.breakage_id}
    waits = []
    for came in fetched:
        breakage = broke[by_use[came.part_id, came.at].breakage_id]
        repair, hours = farm.row[breakage.repair_id], (came.at - breakage.at).total_seconds() / HOUR
        assert repair.started_at >= came.at or breakage.cause is Cause.SECONDARY
        waits.append((hours, breakage.at.astimezone(FARM_ZONE).hour))
    assert all(1 <= hours <= 2 or 9 <= hours <= 11.5 for hours, _ in waits)
    assert all(hours >= 9 for hours, hour in waits if hour >= 18)
    assert any(hours < 2 for hours, _ in waits)
    assert any(hours > 9 for hours, _ in waits)
    assert len(waits) >= 10


def test_runs_lie_in_the_hitch_of_their_header(farm):
    """The header of a run hung on its combine from the run's start to its end."""
    hitches = defaultdict(list)
    for hitch in farm.of("Hitch"):
        hitches[hitch.header_id, hitch.combine_id].append((hitch.from_at, hitch.to_at))
    for run in farm.of("Run"):
        spans = hitches[run.header_id, run.combine_id]
        assert any(start <= run.started_at and run.ended_at <= end for start, end in spans)
    assert len({combine for _, combine in hitches}) == 3
    assert len(hitches) > 6  # headers were swapped between combines


def test_a_combine_does_one_thing_at_a_time(farm):
    """Runs and stoppages of a combine do not overlap."""
    spans = defaultdict(list)
    for run in farm.of("Run"):
        spans[run.combine_id].append((run.started_at, run.ended_at))
    for stoppage in farm.of("Stoppage"):
        spans[stoppage.machine_id].append((stoppage.started_at, stoppage.ended_at))
    for its in spans.values():
        its.sort()
        assert all(before[1] <= after[0] for before, after in pairwise(its))


def test_breakages_in_the_field_stand_at_the_end_of_a_run(farm):
    """The combine was cutting with that header up to the minute of the breakage."""
    ends = {(machine, run.ended_at) for run in farm.of("Run") for machine in (run.combine_id, run.header_id)}
    assert all((farm.row[b.component_id].machine_id, b.at) in ends for b in farm.of("Breakage"))


def _between_readings(farm, kind):
    """Yield (hours shown between two readings, hours run, separator hours written, whether all runs have them, days)."""
    readings = defaultdict(list)
    for reading in farm.of("Reading"):
        if farm.row[reading.meter_id].kind is kind:
            readings[reading.meter_id].append(reading)
    for meter_id, its in readings.items():
        runs = [run for run in farm.of("Run") if run.combine_id == farm.row[meter_id].machine_id]
        for before, after in pairwise(its):
            if not after.new_leg:
                between = [run for run in runs if before.at <= run.started_at < after.at]
                written = [run.separator_seconds for run in between if run.separator_seconds is not None]
                shown = (after.shown_usage - before.shown_usage) / HOUR
                ran = sum(seconds(run) for run in between) / HOUR
                yield shown, ran, sum(written) / HOUR, len(written) == len(between), (after.at - before.at).days


def test_separator_readings_agree_with_the_runs(farm):
    """Where every run has its hours, the counter went up by their sum, to the tenth it shows; else by 88-99 % of the time."""
    exact = 0
    for shown, ran, written, complete, _ in _between_readings(farm, MeterKind.SEPARATOR_HOURS):
        if complete:
            exact += 1
            assert abs(shown - written) <= 0.1 + 1e-9
        else:
            assert 0.87 * ran - 0.1 <= shown <= 0.99 * ran + 0.1
    assert exact > 40


def test_engine_readings_hold_the_runs_and_a_little_more(farm):
    """An engine runs while the combine cuts, and up to about an hour a day and some hours in winter besides."""
    for shown, ran, _, _, days in _between_readings(farm, MeterKind.ENGINE_HOURS):
        assert ran - 0.1 <= shown <= ran + 1.1 * (min(days, 50) + 1) + 6.1


def test_counters_are_read_daily_to_weekly_in_season(farm):
    """Between a combine's first and last run of a season no 8 days pass without an engine reading."""
    for combine in ("Juniper", "Tamarack", "Alder"):
        machine_id = farm.machine(combine).id
        runs = [run for run in farm.of("Run") if run.combine_id == machine_id]
        read = [r.at for r in farm.of("Reading") if farm.row[r.meter_id].machine_id == machine_id]
        for year in range(2021, 2027):
            days = {run.started_at.date() for run in runs if run.started_at.year == year}
            in_season = sorted({at.date() for at in read if at.date() in days})
            assert len(in_season) >= len(days) / 4
