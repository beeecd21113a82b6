"""What is possible but unlikely is asked about before it is saved, and what a yes saves."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from tests.small_farm import ACRE, AUGUST, HOUR, MAY, SmallFarm, kind
from wearlog.errors import DoubtError, RefusedError
from wearlog.facts.closed_lists import Action, Cause, MachineKind, MeterKind, Removal
from wearlog.facts.machines import Hitch, Machine, Reading
from wearlog.facts.wearing import Breakage, Component, Fitting
from wearlog.facts.work import Run
from wearlog.logbook.checks.doubts import EVERY_DOUBT, Doubt, standing_doubts
from wearlog.logbook.farm.machines import add_machine, hitch
from wearlog.logbook.files.undo import undo
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.parts.fitting import add_component
from wearlog.logbook.work.working import cut, read_meter
from wearlog.store.finding import find_all

JUNE = MAY + timedelta(days=40)


def fittings_of(farm: SmallFarm, component: Component, position: int) -> list[Fitting]:
    with farm.store.reading() as connection:
        found = find_all(connection, Fitting, component_id=component.id, position=position)
    return sorted(found, key=lambda one: one.fitted_at)


def guards_noted_in_august(farm: SmallFarm) -> Component:
    guards = Component(machine_id=farm.header.id, part_kind_id=kind("guard").id, place="guards", positions=80)
    add_component(farm.store, guards, fitted_at=AUGUST)
    return guards


def doubt_about(save: Callable[[], object]) -> DoubtError:
    with pytest.raises(DoubtError) as caught:
        save()
    assert isinstance(caught.value, RefusedError)
    assert caught.value.exit_code == 4
    return caught.value


def test_a_breakage_before_its_part_was_fitted_asks_and_saves_nothing(farm: SmallFarm) -> None:
    guards = guards_noted_in_august(farm)
    entry = BreakageEntry(component_id=guards.id, positions=(12, 13), at=JUNE)
    doubt = doubt_about(lambda: log_breakage(farm.store, entry))
    assert doubt.doubt == Doubt.EARLIER_PART
    assert doubt.message == (
        "North, guards 12-13 was noted as fitted on 1 Aug 2026 09:00, after it broke on 10 Jun 2026 06:00."
    )
    assert doubt.question == "Was it on since before the log?"
    assert "--yes" in doubt.hint
    with farm.store.reading() as connection:
        assert find_all(connection, Breakage) == []


def test_a_yes_lets_the_part_have_been_on_since_before_the_log(farm: SmallFarm) -> None:
    guards = guards_noted_in_august(farm)
    entry = BreakageEntry(component_id=guards.id, positions=(12,), at=JUNE)
    done = log_breakage(farm.store, entry, sure={Doubt.EARLIER_PART})
    assert "what broke counts as on since before the log, its age is not known" in done.also
    earlier, successor = fittings_of(farm, guards, 12)
    # the header's first record is its hitch in May
    assert (earlier.fitted_at, earlier.age_when_fitted_usage) == (MAY, None)
    assert (earlier.removed_at, earlier.removal) == (JUNE, Removal.BROKE)
    assert (successor.fitted_at, successor.age_when_fitted_usage, successor.removed_at) == (JUNE, 0, None)
    # a second one in between is an ordinary breakage
    log_breakage(farm.store, replace(entry, at=JUNE + timedelta(days=9)))
    undo(farm.store)
    undo(farm.store)
    (as_noted,) = fittings_of(farm, guards, 12)
    assert (as_noted.fitted_at, as_noted.age_when_fitted_usage) == (AUGUST, 0)


def test_what_was_left_in_service_goes_on_of_unknown_age(farm: SmallFarm) -> None:
    guards = guards_noted_in_august(farm)
    entry = BreakageEntry(component_id=guards.id, positions=(12,), at=JUNE, action=Action.LEFT)
    log_breakage(farm.store, entry, sure=EVERY_DOUBT)
    (only,) = fittings_of(farm, guards, 12)
    assert (only.fitted_at, only.age_when_fitted_usage, only.removed_at) == (MAY, None, None)


def test_a_breakage_before_anything_was_noted_of_the_machine_has_a_moment_on_it(farm: SmallFarm) -> None:
    before = MAY - timedelta(days=300)
    entry = BreakageEntry(component_id=farm.knife.id, positions=(1,), at=before)
    log_breakage(farm.store, entry, sure={Doubt.EARLIER_PART})
    earlier, successor = fittings_of(farm, farm.knife, 1)
    assert (earlier.fitted_at, earlier.removed_at) == (before - timedelta(seconds=1), before)
    assert successor.fitted_at == before


def test_the_same_breakage_is_found_with_another_one_between(farm: SmallFarm) -> None:
    entry = BreakageEntry(component_id=farm.knife.id, positions=(41,), at=AUGUST)
    for seconds, position in ((0, 41), (10, 60), (20, 41), (200, 41)):
        again = replace(entry, positions=(position,), at=AUGUST + timedelta(seconds=seconds))
        log_breakage(farm.store, again, sure=EVERY_DOUBT)
    (found,) = standing_doubts(farm.store)
    assert found.doubt == Doubt.SAME_BREAKAGE
    assert found.message == "North, knife section 41: two breakages within a minute of 1 Aug 2026 09:00."


@pytest.mark.parametrize(("apart", "asks"), [(0, True), (60, True), (61, False), (-45, True)])
def test_the_same_breakage_twice_within_a_minute_asks(farm: SmallFarm, apart: int, asks: bool) -> None:
    entry = BreakageEntry(component_id=farm.knife.id, positions=(41, 42, 43), at=AUGUST)
    log_breakage(farm.store, entry)
    again = replace(entry, positions=(43, 44), at=AUGUST + timedelta(seconds=apart))
    if not asks:
        log_breakage(farm.store, again)
        return
    doubt = doubt_about(lambda: log_breakage(farm.store, again))
    assert doubt.message == "North, knife sections 41-43: a breakage of 1 Aug 2026 09:00 is in the log already."
    log_breakage(farm.store, again, sure={Doubt.SAME_BREAKAGE})
    with farm.store.reading() as connection:
        assert len(find_all(connection, Breakage)) == 2


@pytest.mark.parametrize(
    ("hours", "change", "asks"),
    [
        (0.5, {}, True),
        (9, {}, True),
        (-9, {}, True),
        (15, {}, False),
        (9, {"positions": (41, 42)}, False),
        (9, {"cause": Cause.UNKNOWN}, True),
        (9, {"cause": Cause.WEAR}, False),
        (9, {"action": Action.MENDED}, False),
        (9, {"action": Action.LEFT}, False),
    ],
)
def test_the_same_told_twice_on_one_day_is_asked_about_and_a_yes_saves_it(
    farm: SmallFarm, hours: float, change: dict[str, Any], asks: bool
) -> None:
    entry = BreakageEntry(component_id=farm.knife.id, positions=(41, 42, 43), at=AUGUST, cause=Cause.IMPACT)
    log_breakage(farm.store, entry)
    again = replace(entry, at=AUGUST + timedelta(hours=hours), **change)
    if asks:
        doubt = doubt_about(lambda: log_breakage(farm.store, again))
        assert doubt.doubt == Doubt.SAME_BREAKAGE
        assert doubt.message == "North, knife sections 41-43: a breakage of 1 Aug 2026 09:00 is in the log already."
        assert doubt.question == "Is this another one?"
    log_breakage(farm.store, again, sure={Doubt.SAME_BREAKAGE} if asks else set())
    with farm.store.reading() as connection:
        assert len(find_all(connection, Breakage)) == 2
    assert standing_doubts(farm.store) == (), "what a person said yes to is not asked again"


def test_other_positions_in_the_same_minute_are_another_breakage(farm: SmallFarm) -> None:
    log_breakage(farm.store, BreakageEntry(component_id=farm.knife.id, positions=(41,), at=AUGUST))
    log_breakage(farm.store, BreakageEntry(component_id=farm.knife.id, positions=(42,), at=AUGUST))
    with farm.store.reading() as connection:
        assert len(find_all(connection, Breakage)) == 2


def test_a_reading_that_outruns_the_clock_asks(farm: SmallFarm) -> None:
    def read(hours: int, **more: object) -> object:
        return read_meter(
            farm.store,
            farm.combine,
            MeterKind.ENGINE_HOURS,
            hours * HOUR,
            at=AUGUST,
            **more,  # type: ignore[arg-type]
        )

    doubt = doubt_about(lambda: read(99_999))
    assert doubt.doubt == Doubt.FAST_METER
    assert doubt.message == (
        "Kestrel showed 2,310.0 engine hours on 1 May 2026 06:00; "
        "99,999.0 engine hours would be 97,689.0 engine hours in 2,211.0 h."
    )
    # 92 days and 3 hours, and a day because many readings come without their hour
    doubt_about(lambda: read(2310 + 2211 + 25))
    read(2310 + 2211 + 24)
    with farm.store.reading() as connection:
        assert len(find_all(connection, Reading)) == 3


def test_a_late_reading_that_the_next_one_outruns_asks_and_a_yes_saves(farm: SmallFarm) -> None:
    read_meter(farm.store, farm.combine, MeterKind.ENGINE_HOURS, 2400 * HOUR, at=AUGUST)
    late = AUGUST - timedelta(hours=2)
    doubt = doubt_about(lambda: read_meter(farm.store, farm.combine, MeterKind.ENGINE_HOURS, 2311 * HOUR, at=late))
    assert "showed 2,400.0 engine hours on 1 Aug 2026 09:00; 2,311.0 engine hours" in doubt.message
    read_meter(farm.store, farm.combine, MeterKind.ENGINE_HOURS, 2311 * HOUR, at=late, sure={Doubt.FAST_METER})


def test_a_new_meter_may_show_anything(farm: SmallFarm) -> None:
    read_meter(farm.store, farm.combine, MeterKind.ENGINE_HOURS, 90_000 * HOUR, at=AUGUST, replaced=True)
    assert standing_doubts(farm.store) == ()


#: when that run was, by the clock of the tests
WORKED = "1 Aug 2026 09:00 to 18:30"


def the_run(farm: SmallFarm, **changes: object) -> Run:
    run = Run(
        combine_id=farm.combine.id,
        started_at=AUGUST,
        ended_at=AUGUST + timedelta(hours=9.5),
        area_square_metres=round(118 * ACRE),
    )
    return replace(run, **changes)  # type: ignore[arg-type]


def without_header(farm: SmallFarm) -> tuple[Machine, Machine]:
    """A combine that nothing was hitched to yet, and a header for it."""
    combine = Machine(name="Merlin", kind=MachineKind.COMBINE)
    header = Machine(name="South", kind=MachineKind.HEADER)
    add_machine(farm.store, combine, at=MAY)
    add_machine(farm.store, header, at=MAY)
    return combine, header


def test_a_run_says_for_which_header_it_counts(farm: SmallFarm) -> None:
    assert cut(farm.store, the_run(farm)).said == f"Kestrel cut 118.0 ac with North, {WORKED}"


@pytest.mark.parametrize(("hours", "shown"), [(9.4, "18:24"), (9.5, "18:30")])
def test_a_header_hitched_until_the_end_of_the_run_is_taken_for_all_of_it(
    farm: SmallFarm, hours: float, shown: str
) -> None:
    combine, header = without_header(farm)
    hitch(farm.store, header, combine, at=AUGUST + timedelta(hours=hours))
    done = cut(farm.store, the_run(farm, combine_id=combine.id))
    assert done.said == f"Merlin cut 118.0 ac with South, {WORKED}"
    assert done.also == (f"South was hitched at 1 Aug 2026 {shown} only; all of this run is counted for it",)
    with farm.store.reading() as connection:
        (run,) = find_all(connection, Run)
    assert run.header_id == header.id


def test_a_header_hitched_after_the_run_is_asked_about(farm: SmallFarm) -> None:
    combine, header = without_header(farm)
    hitch(farm.store, header, combine, at=AUGUST + timedelta(hours=10))
    run = the_run(farm, combine_id=combine.id)
    doubt = doubt_about(lambda: cut(farm.store, run))
    assert doubt.message == "No header was on Merlin during this run; South was hitched at 1 Aug 2026 19:00 only."
    assert doubt.question == "Did South cut it?"
    done = cut(farm.store, run, sure={Doubt.NO_HEADER})
    assert done.said == f"Merlin cut 118.0 ac with South, {WORKED}"
    assert isinstance(done.facts[0], Run)
    assert done.facts[0].header_id == header.id


def test_a_run_without_any_header_is_asked_about_where_the_farm_has_headers(farm: SmallFarm) -> None:
    combine, _ = without_header(farm)
    run = the_run(farm, combine_id=combine.id)
    doubt = doubt_about(lambda: cut(farm.store, run))
    assert doubt.message == "No header was on Merlin when this run began, so its area counts for no header."
    assert doubt.hint == "Add --header NAME, like --header North, or --yes to save it without one."
    assert cut(farm.store, run, sure=EVERY_DOUBT).said == f"Merlin cut 118.0 ac with no header, {WORKED}"


def test_a_change_of_headers_in_the_run_is_named_with_its_time(farm: SmallFarm) -> None:
    _, header = without_header(farm)
    hitch(farm.store, header, farm.combine, at=AUGUST + timedelta(hours=4))
    done = cut(farm.store, the_run(farm))
    assert done.said == f"Kestrel cut 118.0 ac with North, from 1 Aug 2026 13:00 South, {WORKED}"
    assert isinstance(done.facts[0], Run)
    assert done.facts[0].header_id is None


def test_a_header_that_went_to_another_combine_before_the_run_is_not_counted(farm: SmallFarm) -> None:
    combine, _ = without_header(farm)
    hitch(farm.store, farm.header, combine, at=JUNE)
    doubt = doubt_about(lambda: cut(farm.store, the_run(farm)))
    assert "No header was on Kestrel" in doubt.message
    with farm.store.reading() as connection:
        assert len(find_all(connection, Hitch)) == 2


def test_a_farm_without_headers_is_not_asked_about_them(store: object) -> None:
    from wearlog.store.opening import Store

    assert isinstance(store, Store)
    combine = Machine(name="Merlin", kind=MachineKind.COMBINE)
    add_machine(store, combine, at=MAY)
    run = Run(
        combine_id=combine.id, started_at=AUGUST, ended_at=AUGUST + timedelta(hours=8), area_square_metres=400_000
    )
    assert cut(store, run).said == "Merlin cut 98.8 ac, 1 Aug 2026 09:00 to 17:00"


def test_what_stands_already_is_named(farm: SmallFarm) -> None:
    guards = guards_noted_in_august(farm)
    read_meter(farm.store, farm.combine, MeterKind.ENGINE_HOURS, 99_999 * HOUR, at=AUGUST, sure=EVERY_DOUBT)
    entry = BreakageEntry(component_id=farm.knife.id, positions=(41,), at=AUGUST)
    log_breakage(farm.store, entry)
    log_breakage(farm.store, entry, sure=EVERY_DOUBT)
    from wearlog.logbook.files.importing import bring_in

    noted = Breakage(component_id=guards.id, positions=(7,), at=JUNE)
    bring_in(farm.store, [noted], source="a notebook", digest="")
    assert [(one.doubt, one.message) for one in standing_doubts(farm.store)] == [
        (
            Doubt.FAST_METER,
            "Kestrel showed 2,310.0 engine hours on 1 May 2026 06:00 and 99,999.0 engine hours on 1 Aug 2026 09:00: "
            "more than it can have worked.",
        ),
        (
            Doubt.EARLIER_PART,
            "North, guard 7 broke on 10 Jun 2026 06:00, but was noted as fitted only on 1 Aug 2026 09:00: "
            "its life is not counted.",
        ),
        (Doubt.SAME_BREAKAGE, "North, knife section 41: two breakages within a minute of 1 Aug 2026 09:00."),
    ]
