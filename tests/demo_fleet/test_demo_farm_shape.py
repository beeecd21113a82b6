"""The demo farm has the machines, land, seasons and events that its readers count on, and its story ends in time."""

from collections import Counter, defaultdict
from datetime import UTC, date, datetime, timedelta

from wearlog.facts.closed_lists import Action, Cause, Ground, MachineKind, MeterKind, NodeKind, StockChange
from wearlog.facts.starting_guesses import STARTING_KINDS

ACRE = 4046.8564224


def test_three_combines_four_headers_of_two_widths(farm):
    """30 and 40 ft headers with a 3 in knife pitch have 120 and 160 sections."""
    kinds = Counter(machine.kind for machine in farm.of("Machine"))
    assert kinds == {MachineKind.COMBINE: 3, MachineKind.HEADER: 4}
    sections = {farm.row[c.machine_id].name: c.positions for c in farm.components_of("knife section")}
    feet = {m.name: m.cut_width_micrometres / 304_800 for m in farm.of("Machine") if m.kind is MachineKind.HEADER}
    assert sorted(feet.values()) == [30, 30, 40, 40]
    assert sections == {name: width * 4 for name, width in feet.items()}


def test_twelve_fields_on_four_grounds_and_four_crops(farm):
    """Every ground has fields, and together they are 9,000 ac."""
    assert len(farm.of("Field")) == 12
    assert {field.ground for field in farm.of("Field")} == set(Ground)
    assert round(sum(field.area_square_metres for field in farm.of("Field")) / ACRE) == 9000
    assert {crop.name for crop in farm.of("Crop")} == {"field peas", "lentils", "wheat", "canola"}


def test_six_seasons_of_about_nine_thousand_acres_each(farm):
    """2021-2026 are cut between July and September; 2027 is there to be planned."""
    assert [season.harvest_year for season in farm.of("Season")] == list(range(2021, 2028))
    acres = defaultdict(float)
    for run in farm.of("Run"):
        acres[run.started_at.year] += run.area_square_metres / ACRE
        assert date(run.started_at.year, 7, 15) <= run.started_at.date() <= date(run.started_at.year, 9, 30)
    assert sorted(acres) == list(range(2021, 2027))
    assert all(8500 <= total <= 9500 for total in acres.values())


def test_every_field_is_cut_once_a_year_in_one_crop(farm):
    """Crops rotate: a field has one crop in a season and all four in four."""
    crops = defaultdict(set)
    for run in farm.of("Run"):
        crops[run.field_id, run.started_at.year].add(run.crop_id)
    assert len(crops) == 12 * 6
    assert all(len(grown) == 1 for grown in crops.values())
    for field in farm.of("Field"):
        assert len(set.union(*(crops[field.id, year] for year in range(2021, 2025)))) == 4


def test_cutting_goes_at_a_speed_that_a_header_can(farm):
    """No run of an hour or more is faster than width x 5 mph at 80 % / 8.25 (trade: combine 2-5 mph, 65-80 %)."""
    rates = []
    for run in farm.of("Run"):
        hours = (run.ended_at - run.started_at).total_seconds() / 3600
        if hours >= 1:
            feet = farm.row[run.header_id].cut_width_micrometres / 304_800
            rates.append((run.area_square_metres / ACRE / hours) / (feet * 5 * 0.8 / 8.25))
    assert 0.3 < min(rates) < max(rates) < 1


def test_about_350_breakages_most_of_them_sections_and_guards(farm):
    """320-400 breakages; sections lead, guards follow; impact and wear both; some mended, a few left."""
    breakages = farm.of("Breakage")
    assert 320 <= len(breakages) <= 400
    kinds = [kind for kind, _ in Counter(farm.kind_of(b.component_id) for b in breakages).most_common(2)]
    assert kinds == ["knife section", "guard"]
    causes = Counter(breakage.cause for breakage in breakages)
    assert set(causes) == set(Cause)
    assert causes[Cause.IMPACT] > 50
    assert causes[Cause.WEAR] > 100
    actions = Counter(breakage.action for breakage in breakages)
    assert 20 <= actions[Action.MENDED] <= 60
    assert 5 <= actions[Action.LEFT] <= 25


def test_breakages_stand_in_every_season_and_on_every_machine(farm):
    """No season and no machine is without a breakage."""
    assert {breakage.at.year for breakage in farm.of("Breakage")} == set(range(2021, 2027))
    machines = {farm.row[breakage.component_id].machine_id for breakage in farm.of("Breakage")}
    assert machines == {machine.id for machine in farm.of("Machine")}


def test_all_starting_kinds_come_along_but_two_counted_by_engine_hours(farm):
    """The demo's library is the program's own; its farm has always counted hoses and batteries by engine hours."""
    own = [new for new, kind in zip(farm.of("PartKind"), STARTING_KINDS, strict=True) if new != kind]
    assert {kind.name: kind.meter_kind for kind in own} == dict.fromkeys(
        ("hydraulic hose", "battery"), MeterKind.ENGINE_HOURS
    )


def test_the_bought_header_has_unknown_ages_and_no_other_has(farm):
    """Wren was bought used in 2023: nobody knows how old its guards, hold-downs and drapers are."""
    unknown = [f for f in farm.of("Fitting") if f.age_when_fitted_usage is None]
    assert {farm.row[f.component_id].machine_id for f in unknown} == {farm.machine("Wren").id}
    assert {"guard", "hold-down", "draper belt"} <= {farm.kind_of(f.component_id) for f in unknown}
    assert min(f.fitted_at for f in unknown).year == 2023


def test_one_meter_was_replaced(farm):
    """Alder's separator counter begins again at 0 once."""
    (new,) = [reading for reading in farm.of("Reading") if reading.new_leg]
    meter = farm.row[new.meter_id]
    assert (new.shown_usage, meter.machine_id, meter.kind) == (
        0,
        farm.machine("Alder").id,
        MeterKind.SEPARATOR_HOURS,
    )


def test_several_parts_are_low_at_the_end(farm):
    """There is something to buy when the story ends."""
    last = {}
    for move in farm.of("StockMove"):
        if move.change is StockChange.COUNTED:
            last[move.part_id] = move.quantity
    low = [part.name for part in farm.of("Part") if last[part.id] < part.keep_on_hand]
    assert len(low) >= 3


def test_prices_drift_up_from_year_to_year(farm):
    """What one knife section cost when it came rises by 3-7 % a year over the six years."""
    part = next(part for part in farm.of("Part") if part.name == "knife section")
    costs = defaultdict(list)
    for move in farm.of("StockMove"):
        if move.part_id == part.id and move.change is StockChange.RECEIVED and not move.note:
            costs[move.at.year].append(move.unit_cost_minor)
    first, last = (sum(costs[year]) / len(costs[year]) for year in (2021, 2026))
    assert 1.03**5 < last / first < 1.07**5


def test_some_services_are_due_at_the_end(farm):
    """Yearly services that were left undone in the last season are overdue on the last day."""
    done = defaultdict(list)
    for row in farm.of("ServiceDone"):
        done[row.service_item_id].append(row.at)
    ends = datetime(2026, 11, 20, tzinfo=UTC)
    overdue = {
        (farm.row[item.machine_id].name, item.name)
        for item in farm.of("ServiceItem")
        if item.interval_months and ends - max(done[item.id]) > timedelta(days=31 * item.interval_months)
    }
    assert {("Juniper", "engine oil and filter"), ("Alder", "fire extinguishers: yearly check")} <= overdue
    assert len(overdue) <= 4


def test_data_lines_have_two_terminators(farm):
    """Each combine's data line ends in two terminators and every circuit has its fuse or supply."""
    for name in ("Juniper", "Tamarack", "Alder"):
        nodes = [node for node in farm.of("CircuitNode") if node.machine_id == farm.machine(name).id]
        assert sum(node.kind is NodeKind.TERMINATOR for node in nodes) == 2
        assert sum(node.kind is NodeKind.FUSE for node in nodes) == 5
        assert all(node.circuit for node in nodes)


def test_twelve_faults_one_comes_back_in_four_seasons_one_is_open(farm):
    """The header fuse of Tamarack blows in 2022-2025; the wire behind the plug is found in the fourth; then it is quiet."""
    faults = farm.of("Fault")
    assert len(faults) == 12
    trail = [f for f in faults if f.title == "header fuse blows when the header moves"]
    assert [fault.opened_at.year for fault in trail] == [2022, 2023, 2024, 2025]
    assert {fault.machine_id for fault in trail} == {farm.machine("Tamarack").id}
    (found,) = [finding for finding in farm.of("FaultFinding") if finding.fault_id == trail[-1].id]
    assert farm.row[found.node_id].name == "Header plug pigtail"
    (still_open,) = [fault for fault in faults if fault.closed_at is None]
    assert still_open.opened_at.year == 2026
    assert {sign.fault_id for sign in farm.of("FaultSign")} == {fault.id for fault in faults}


def test_checks_stand_in_order_and_inside_their_fault(farm):
    """Steps count from 1, times ascend, and all lie between opening and closing."""
    checks = defaultdict(list)
    for check in farm.of("FaultCheck"):
        checks[check.fault_id].append(check)
    assert len(checks) == 12
    for fault_id, its in checks.items():
        fault = farm.row[fault_id]
        assert [check.step for check in its] == list(range(1, len(its) + 1))
        times = [fault.opened_at, *(check.at for check in its)]
        assert times == sorted(times)
        assert fault.closed_at is None or times[-1] <= fault.closed_at


def test_chains_and_bars_were_measured_twice_a_year_and_grow(farm):
    """Between two renewals the line through a chain's measurements rises."""
    chain = next(c for c in farm.components_of("feeder conveyor chain") if c.machine_id == farm.machine("Tamarack").id)
    measured = [m for m in farm.of("Measurement") if m.component_id == chain.id]
    assert len(measured) == 12
    fitting = min((f for f in farm.of("Fitting") if f.component_id == chain.id), key=lambda f: f.fitted_at)
    first = [m.measured_micrometres for m in measured if m.at < (fitting.removed_at or m.at + timedelta(1))]
    assert len(first) >= 4
    assert first[-1] > first[0]


def test_quality_was_checked_in_every_season(farm):
    """Yield monitor loads, moisture samples and loss checks stand in each season."""
    for name in ("Calibration", "MoistureSample", "LossCheck"):
        assert {row.at.year for row in farm.of(name)} == set(range(2021, 2027)), name
    assert all(check.behind_per_hectare >= check.ahead_per_hectare for check in farm.of("LossCheck"))


def test_next_season_is_planned_and_nothing_later_than_the_story_has_happened(farm):
    """2027 has a plan for all fields within a budget; every instant lies before 2026-11-20."""
    (plan,) = farm.of("SeasonPlan")
    assert farm.row[plan.season_id].harvest_year == 2027
    assert plan.budget_minor == 600_000
    assert {area.field_id for area in farm.of("PlannedArea")} == {field.id for field in farm.of("Field")}
    instants = [getattr(fact, name) for fact in farm.facts for name in type(fact).__dataclass_fields__]
    latest = max(value for value in instants if isinstance(value, datetime))
    assert latest < datetime(2026, 11, 20, tzinfo=UTC)


def test_the_alternator_of_a_combine_is_a_source_that_feeds_its_battery(farm):
    """A load it is not: nobody is asked to switch it on."""
    sources = {node.id: node.machine_id for node in farm.of("CircuitNode") if node.name == "Alternator"}
    assert len(sources) == 3
    assert {farm.row[one].kind for one in sources} == {NodeKind.ALTERNATOR}
    fed = [farm.row[edge.to_node_id] for edge in farm.of("CircuitEdge") if edge.from_node_id in sources]
    assert [node.kind for node in fed] == [NodeKind.BATTERY] * 3
    assert {node.machine_id for node in fed} == set(sources.values())
