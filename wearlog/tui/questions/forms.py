"""Questions of the entry forms: what each starts from, and saving what was entered. Each that writes returns its sentence."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING
from uuid import UUID

from wearlog.errors import NotFoundError
from wearlog.present.saved_words import saved_line

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import MeterKind
    from wearlog.facts.machines import Machine
    from wearlog.facts.parts import Part, PartKind, StockMove
    from wearlog.facts.wearing import Component
    from wearlog.facts.work import Run, Stoppage
    from wearlog.logbook.entry_start import EntryStart, FitStart, PartStart
    from wearlog.logbook.first_answers import FirstDay
    from wearlog.logbook.measuring import MeasuredPlace, MeasureStart, Tape
    from wearlog.tui.door import Door


def work_start(door: Door) -> EntryStart:
    """Return what readings, runs and stoppages start from."""
    from wearlog.logbook.entry_start import entry_start

    return entry_start(door.log)


def save_readings(
    door: Door,
    machine: Machine,
    shown: Mapping[MeterKind, int],
    at: datetime,
    *,
    replaced: bool,
    sure: frozenset[str] = frozenset(),
) -> str:
    """Save what the meters of a machine show. DoubtError, where something is asked first that is not in `sure`."""
    from wearlog.logbook.working import read_meters

    return saved_line(read_meters(door.log, machine, shown, at=at, replaced=replaced, sure=sure))


def save_run(door: Door, run: Run, sure: frozenset[str] = frozenset()) -> str:
    """Save a run. DoubtError as `save_readings`."""
    from wearlog.logbook.working import cut

    return saved_line(cut(door.log, run, sure=sure))


def save_stoppage(door: Door, stoppage: Stoppage) -> str:
    """Save a stoppage."""
    from wearlog.logbook.working import stop

    return saved_line(stop(door.log, stoppage))


def runs_again(door: Door, machine_id: UUID, at: datetime | None = None) -> str:
    """End the stoppage of a machine that goes on, now unless a time is given."""
    from wearlog.logbook.entry_start import entry_start
    from wearlog.logbook.working import end_stop

    found = entry_start(door.log).of(machine_id)
    if found is None:
        raise NotFoundError("This machine is not in the log any more.")
    return saved_line(end_stop(door.log, found.machine, at=at or door.now()))


def one_part(door: Door, part_id: UUID | None) -> PartStart:
    """Return what the form of a part starts from; without an id, of a new one."""
    from wearlog.logbook.entry_start import part_start

    found = part_start(door.log, part_id)
    if part_id is not None and found.part is None:
        raise NotFoundError("This part is not in the log any more.")
    return found


def save_part(door: Door, part: Part, kinds: tuple[PartKind, ...], on_hand: int | None) -> str:
    """Save a part: a new one with how many there are, else (`on_hand` None) one that is there already."""
    from wearlog.logbook.stocking import add_part, change_part

    if on_hand is None:
        return saved_line(change_part(door.log, part, kinds))
    return saved_line(add_part(door.log, part, kinds, on_hand=on_hand, at=door.now()))


def save_move(door: Door, move: StockMove) -> str:
    """Save parts that came, went or were counted."""
    from wearlog.logbook.stocking import move_stock

    return saved_line(move_stock(door.log, move))


def one_component(door: Door, component_id: UUID) -> FitStart:
    """Return what a planned change of parts starts from."""
    from wearlog.logbook.entry_start import fit_start

    found = fit_start(door.log, component_id)
    if found is None:
        raise NotFoundError("This component is not in the log any more.")
    return found


def save_fitted(
    door: Door, component: Component, positions: tuple[int, ...], at: datetime, age_usage: int | None
) -> str:
    """Save that other parts were put on, planned."""
    from wearlog.logbook.fitting import Put, refit

    return saved_line(refit(door.log, component, positions, at=at, put=Put(age_usage)))


def measured_places(door: Door) -> MeasureStart:
    """Return what the form of a measurement starts from."""
    from wearlog.logbook.measuring import measure_start

    return measure_start(door.log)


def save_measured(
    door: Door,
    place: MeasuredPlace,
    position: int,
    tape: Tape,
    at: datetime,
    *,
    fixed_centres: bool = False,
    teeth: int | None = None,
) -> str:
    """Save what was measured and return what it means, a line for each sentence."""
    from wearlog.logbook.measuring import enter_measurement
    from wearlog.logbook.wear_limits import chain_limit_percent
    from wearlog.present.digits import Measures
    from wearlog.present.measurement_words import MeasuredAnswer, measured_sentences, measurement_saved, part_measured
    from wearlog.reckoning.age_groups import outlook_basis

    by_rule = fixed_centres or teeth is not None
    own_limit = chain_limit_percent(teeth, fixed_centres=fixed_centres) if by_rule else None
    done = enter_measurement(door.log, place, position, tape, at=at)
    with door.log.reading() as connection:
        farm = door.farm(connection)
        measured = outlook_basis(connection, farm).measured
    part = part_measured(measured, farm, measurement_saved(done))
    answer = MeasuredAnswer(place, tape, done, own_limit, part)
    return "\n".join(measured_sentences(answer, Measures(farm.settings)))


def save_first_day(door: Door, day: FirstDay) -> str:
    """Begin the log."""
    from wearlog.logbook.first_day import begin_farm

    return begin_farm(door.location_text, day).said
