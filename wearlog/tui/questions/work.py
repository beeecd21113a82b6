"""Questions of the entry forms: what each starts from, and saving what was entered. Each that writes returns its sentence."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Any
from uuid import UUID

from wearlog.errors import NotFoundError
from wearlog.facts.farm_settings import FarmSettings
from wearlog.present.answer_sheet import AnswerColumn
from wearlog.present.digits import Measures
from wearlog.present.files.deed_sheet import DEED_COLUMNS
from wearlog.present.words import saved_line
from wearlog.present.work.daybook_sheet import BREAKAGE_COLUMNS, RUN_COLUMNS, short_word
from wearlog.tui.widgets.list_rows import ListColumn, ListOrder, ListRow, list_columns

if TYPE_CHECKING:
    from wearlog.facts.age_scale import AgeScale
    from wearlog.facts.closed_lists import MeterKind
    from wearlog.facts.machines import Machine
    from wearlog.facts.parts import Part, PartKind, StockMove
    from wearlog.facts.wearing import Component
    from wearlog.facts.work import Run, Stoppage
    from wearlog.logbook.farm.first_answers import FirstDay
    from wearlog.logbook.open_log import Connection
    from wearlog.logbook.parts.measuring import MeasuredPlace, MeasureStart, Tape
    from wearlog.logbook.work.entry_start import EntryStart, FitStart, PartStart
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.reckoning.files import ListQuery
    from wearlog.reckoning.work.stops import StopLine
    from wearlog.tui.door import Door


def work_start(door: Door) -> EntryStart:
    """Return what readings, runs and stoppages start from."""
    from wearlog.logbook.work.entry_start import entry_start

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
    from wearlog.logbook.work.working import read_meters

    return saved_line(read_meters(door.log, machine, shown, at=at, replaced=replaced, sure=sure))


def save_run(door: Door, run: Run, sure: frozenset[str] = frozenset()) -> str:
    """Save a run. DoubtError as `save_readings`."""
    from wearlog.logbook.work.working import cut

    return saved_line(cut(door.log, run, sure=sure))


def save_stoppage(door: Door, stoppage: Stoppage) -> str:
    """Save a stoppage."""
    from wearlog.logbook.work.working import stop

    return saved_line(stop(door.log, stoppage))


def runs_again(door: Door, machine_id: UUID, at: datetime | None = None) -> str:
    """End the stoppage of a machine that goes on, now unless a time is given."""
    from wearlog.logbook.work.entry_start import entry_start
    from wearlog.logbook.work.working import end_stop

    found = entry_start(door.log).of(machine_id)
    if found is None:
        raise NotFoundError("This machine is not in the log any more.")
    return saved_line(end_stop(door.log, found.machine, at=at or door.now()))


def one_part(door: Door, part_id: UUID | None) -> PartStart:
    """Return what the form of a part starts from; without an id, of a new one."""
    from wearlog.logbook.work.entry_start import part_start

    found = part_start(door.log, part_id)
    if part_id is not None and found.part is None:
        raise NotFoundError("This part is not in the log any more.")
    return found


def save_part(door: Door, part: Part, kinds: tuple[PartKind, ...], on_hand: int | None) -> str:
    """Save a part: a new one with how many there are, else (`on_hand` None) one that is there already."""
    from wearlog.logbook.parts.stocking import add_part, change_part

    if on_hand is None:
        return saved_line(change_part(door.log, part, kinds))
    return saved_line(add_part(door.log, part, kinds, on_hand=on_hand, at=door.now()))


def save_move(door: Door, move: StockMove) -> str:
    """Save parts that came, went or were counted."""
    from wearlog.logbook.parts.stocking import move_stock

    return saved_line(move_stock(door.log, move))


def one_component(door: Door, component_id: UUID) -> FitStart:
    """Return what a planned change of parts starts from."""
    from wearlog.logbook.work.entry_start import fit_start

    found = fit_start(door.log, component_id)
    if found is None:
        raise NotFoundError("This component is not in the log any more.")
    return found


def aged_component(door: Door, component_id: UUID) -> tuple[FitStart, AgeScale]:
    """Return the same, and what an age that is told roughly comes to on its machine."""
    from wearlog.reckoning.wear.age_scale import age_scale

    found = one_component(door, component_id)
    with door.log.reading() as connection:
        farm = door.farm(connection)
        return found, age_scale(connection, farm, found.machine.id, found.kind.meter_kind)


def save_ages(door: Door, component: Component, positions: tuple[int, ...], age_now: int | None) -> str:
    """Note how old what is on a component is now; without positions what is of unknown age."""
    from wearlog.logbook.parts.ages import tell_ages
    from wearlog.reckoning.wear.age_scale import ages_when_fitted

    with door.log.reading() as connection:
        ages = ages_when_fitted(connection, door.farm(connection), component, positions, age_now)
    return saved_line(tell_ages(door.log, component, ages, age_now))


def save_fitted(
    door: Door, component: Component, positions: tuple[int, ...], at: datetime, age_usage: int | None
) -> str:
    """Save that other parts were put on, planned."""
    from wearlog.logbook.parts.fitting import Put, refit

    return saved_line(refit(door.log, component, positions, at=at, put=Put(age_usage)))


def measured_places(door: Door) -> MeasureStart:
    """Return what the form of a measurement starts from."""
    from wearlog.logbook.parts.measuring import measure_start

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
    from wearlog.logbook.parts.measuring import enter_measurement
    from wearlog.logbook.parts.wear_limits import chain_limit_percent
    from wearlog.present.digits import Measures
    from wearlog.present.parts.measurement_words import (
        MeasuredAnswer,
        measured_sentences,
        measurement_saved,
        part_measured,
    )
    from wearlog.reckoning.wear.age_groups import outlook_basis

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
    from wearlog.logbook.farm.first_day import begin_farm

    return begin_farm(door.location_text, day).said


@dataclass(frozen=True, slots=True)
class QuerySource:
    """Rows of a query under the columns of their answer: `query` makes it for an order."""

    answer: Sequence[AnswerColumn[Any]]
    query: Callable[[ListOrder], ListQuery]
    #: made once: a list looks at them for every line that it draws
    columns: Sequence[ListColumn] = field(init=False)

    def __post_init__(self) -> None:
        # no heading of these tells a unit
        object.__setattr__(self, "columns", list_columns(self.answer, Measures(FarmSettings())))

    def _said(self, connection: Connection, rows: Iterable[Any]) -> list[ListRow]:
        from wearlog.logbook.open_log import settings_of

        measures = Measures(settings_of(connection))
        shown = [column for column in self.answer if column.is_shown]
        return [ListRow(row.id, tuple(column.cell(row, measures) for column in shown)) for row in rows]

    def count(self, door: Door, order: ListOrder) -> int:
        from wearlog.reckoning.files import count_rows

        with door.log.reading() as connection:
            return count_rows(connection, self.query(order))

    def page(self, door: Door, order: ListOrder, first: int, size: int) -> Sequence[ListRow]:
        from wearlog.reckoning.files import page_of

        with door.log.reading() as connection:
            return self._said(connection, page_of(connection, self.query(order), first, size))

    def last_page(self, door: Door, order: ListOrder, first: int, size: int, count: int) -> Sequence[ListRow]:
        from wearlog.reckoning.files import page_from_end

        with door.log.reading() as connection:
            return self._said(connection, page_from_end(connection, self.query(order), first, size, count))

    def place_of(self, door: Door, order: ListOrder, key: Hashable) -> int | None:
        from wearlog.reckoning.files import place_of

        if not isinstance(key, UUID):
            return None
        with door.log.reading() as connection:
            return place_of(connection, self.query(order), key)


def breakages() -> QuerySource:
    """Return every breakage of the farm."""

    def query(order: ListOrder) -> ListQuery:
        from wearlog.reckoning.files import breakage_query

        return breakage_query(order.words, order.sort, backwards=order.backwards, spoken=short_word)

    return QuerySource(BREAKAGE_COLUMNS, query)


def runs(combine_id: UUID) -> QuerySource:
    """Return every run of a combine."""

    def query(order: ListOrder) -> ListQuery:
        from wearlog.reckoning.files import run_query

        return run_query(combine_id, order.words, order.sort, backwards=order.backwards)

    return QuerySource(RUN_COLUMNS, query)


def stops(door: Door) -> AnswerSheet[StopLine]:
    """Return every stop of every machine."""
    from wearlog.present.work.stop_sheet import stop_sheet
    from wearlog.reckoning.work.stops import stop_lines

    with door.log.reading() as connection:
        farm = door.farm(connection)
        return stop_sheet(stop_lines(connection, farm), Measures(farm.settings))


def deeds() -> QuerySource:
    """Return everything that was ever entered."""

    def query(order: ListOrder) -> ListQuery:
        from wearlog.reckoning.files import deed_query

        return deed_query(order.words, order.sort, backwards=order.backwards)

    return QuerySource(DEED_COLUMNS, query)
