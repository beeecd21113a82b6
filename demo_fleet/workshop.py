"""What is done about breakages in the field and worn parts in winter: repairs, stoppages, parts used. When is drawn elsewhere."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import Final

from wearlog.facts.closed_lists import Action, Cause, Mode, Removal, RepairKind, StopReason
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.facts.wearing import Breakage, Repair
from wearlog.facts.work import Stoppage

from .breakdown_habits import HABITS, Habit
from .draws import Draws
from .fitted_sets import FittedSet
from .fleet_parts import Spot, spots_of
from .machine_states import MachineState
from .records import Records, farm_time, minutes
from .stock_shelf import Shelf

_WEAR_CAUSES: Final = (Cause.WEAR, Cause.FATIGUE, Cause.LOOSE, Cause.UNKNOWN)
_USUAL_LABOUR: Final = {kind.name: kind.usual_labour_seconds or 0 for kind in STARTING_KINDS}
#: renewing a whole set takes this share of the time of renewing its positions one by one
_SET_SHARE: Final = 0.35
#: minutes of work from which the dealer's mechanic is sent for, how often he is, and dollars for the way and an hour (invented)
_LONG: Final = 120
_MECHANIC_CALLED: Final = 0.6
_CALL_OUT: Final = 320
_SHOP_RATE: Final = 165
#: from here on what still cuts with a broken tooth or tine waits for the winter: the last rounds of the story
_LAST_ROUNDS: Final = farm_time(date(2026, 9, 10), 12)


class Workshop:
    """Enters breakages, repairs, stoppages and planned work, and keeps shelf and fitted parts in step with them."""

    def __init__(self, records: Records, draws: Draws, shelf: Shelf) -> None:
        self._records = records
        self._draws = draws
        self._shelf = shelf

    def break_down(
        self,
        combine: MachineState,
        owner: MachineState,
        fitted: FittedSet,
        positions: Sequence[int],
        at: datetime,
        cause: Cause | None,
    ) -> datetime:
        """Enter a breakage on `owner` (the combine or its header) and return when the combine goes on.

        `cause` None: by wear; which of the causes that depend on age is drawn.
        """
        habit = HABITS[fitted.kind]
        struck = cause is Cause.IMPACT
        cause = cause or self._draws.pick(_WEAR_CAUSES, (0.74, 0.13, 0.07, 0.06))
        mode = (
            Mode.LOOSE if cause is Cause.LOOSE else self._draws.pick(habit.struck_modes if struck else habit.worn_modes)
        )
        action = Action.LEFT if at >= _LAST_ROUNDS and habit.left else self._action(habit, mode)
        breakage = Breakage(
            id=self._records.next_id("breakage"),
            component_id=fitted.component.id,
            positions=tuple(positions),
            at=at,
            cause=cause,
            mode=mode,
            action=action,
            repair_id=None if action is Action.LEFT else self._records.next_id("repair"),
        )
        self._records.add(breakage)
        if action is Action.LEFT:
            fitted.leave(positions)
            return at
        fetching = self._put_right(owner, fitted, breakage)
        if struck and fitted.kind == "knife section":
            self._break_guard_beside(owner, breakage)
        work = habit.minutes * len(positions) ** 0.6 * self._draws.around(1.0, 0.3) + 6
        return self._stand(combine, owner, fitted, breakage, fetching, work)

    def _action(self, habit: Habit, mode: Mode) -> Action:
        drawn = self._draws.uniform()
        if drawn < habit.left:
            return Action.LEFT
        # a broken-off part cannot be straightened or tightened
        mendable = mode not in (Mode.BROKEN, Mode.MISSING)
        share = habit.mended / 0.6 if mendable else 0.0
        return Action.MENDED if drawn < habit.left + share else Action.REPLACED

    def _put_right(self, owner: MachineState, fitted: FittedSet, breakage: Breakage) -> int:
        used = owner.used(fitted.meter)
        if breakage.action is Action.MENDED:
            fitted.mend(breakage.positions, used)
            return 0
        fitted.replace(self._records, breakage.positions, breakage.at, used, Removal.BROKE)
        return self._shelf.use(fitted.kind, len(breakage.positions), breakage.at, breakage_id=breakage.id)

    def _break_guard_beside(self, owner: MachineState, struck: Breakage) -> None:
        """A stone that breaks a section sometimes takes the guard there with it: a breakage that follows from another."""
        if not self._draws.chance(0.14):
            return
        guards, sections = owner.set_of("guard"), owner.set_of("knife section")
        share = guards.component.positions / sections.component.positions
        position = -(-int(struck.positions[0] * share * 1000) // 1000)
        beside = Breakage(
            id=self._records.next_id("breakage"),
            component_id=guards.component.id,
            positions=(max(1, position),),
            at=struck.at,
            cause=Cause.SECONDARY,
            mode=Mode.BENT,
            action=Action.REPLACED,
            repair_id=struck.repair_id,
            note="by the stone that broke the section",
        )
        self._records.add(beside)
        self._put_right(owner, guards, beside)

    def _stand(
        self,
        combine: MachineState,
        owner: MachineState,
        fitted: FittedSet,
        breakage: Breakage,
        fetching: int,
        work: float,
    ) -> datetime:
        """Enter the repair, which begins when the part is there, and the stop for both; return when the combine goes on."""
        assert breakage.repair_id is not None
        at_hand = breakage.at + minutes(fetching)
        goes_on = at_hand + minutes(work)
        began = at_hand + minutes(min(5, work / 4))
        ended = goes_on - minutes(1)
        people, hired = HABITS[fitted.kind].people, None
        if people > 1 and work > _LONG and self._draws.chance(_MECHANIC_CALLED):
            # the dealer's mechanic in place of the second man: the way out, and by the hour
            people -= 1
            hired = round(_CALL_OUT + _SHOP_RATE * work / 60) * 100
        labour = (ended - began).total_seconds() * people * (0.6 if work > 150 else 1.0)
        self._records.add(
            Repair(
                id=breakage.repair_id,
                machine_id=owner.id,
                kind=RepairKind.BREAKDOWN,
                started_at=began,
                ended_at=ended,
                labour_seconds=round(labour / 300) * 300 or 300,
                hired_minor=hired,
                component_id=fitted.component.id,
            )
        )
        self.stop(combine, breakage.at, goes_on, StopReason.BREAKDOWN, repair=breakage)
        return goes_on

    def stop(
        self,
        combine: MachineState,
        started: datetime,
        ended: datetime,
        reason: StopReason,
        *,
        repair: Breakage | Repair | None = None,
        note: str = "",
    ) -> None:
        """Enter a time when the combine stood although it could have cut."""
        repair_id = repair.repair_id if isinstance(repair, Breakage) else repair.id if repair else None
        self._records.add(
            Stoppage(
                id=self._records.next_id("stoppage"),
                machine_id=combine.id,
                started_at=started,
                ended_at=ended,
                reason=reason,
                repair_id=repair_id,
                note=note,
            )
        )

    def winter_work(self, states: Sequence[MachineState], year: int) -> None:
        """Renew in the winter before season `year` what is past its age, and what was left broken."""
        day = date(year, 1, 18)
        for state in states:
            for spot, fitted in zip(spots_of(state.name), state.sets, strict=True):
                positions = self._due(spot, fitted, state)
                if positions:
                    self._renew(state, spot, fitted, positions, day)
                    day += timedelta(days=1)

    def _due(self, spot: Spot, fitted: FittedSet, state: MachineState) -> Sequence[int]:
        age = fitted.mean_age(state.used(fitted.meter))
        if spot.renew_at is not None and age >= spot.renew_at * self._draws.uniform(0.92, 1.1):
            return fitted.all_positions()
        return fitted.failed_positions()

    def _renew(self, state: MachineState, spot: Spot, fitted: FittedSet, positions: Sequence[int], day: date) -> None:
        whole_set = len(positions) == fitted.component.positions
        overhaul = spot.overhaul and whole_set
        share = _SET_SHARE if len(positions) > 3 else 1.0
        labour = max(1200, round(_USUAL_LABOUR[spot.kind] * len(positions) * share / 600) * 600)
        began = farm_time(day, 8.5)
        ended = began + timedelta(seconds=labour // 2)
        repair = Repair(
            id=self._records.next_id("repair"),
            machine_id=state.id,
            kind=RepairKind.OVERHAUL if overhaul else RepairKind.PLANNED,
            started_at=began,
            ended_at=ended,
            labour_seconds=labour,
            hired_minor=self._draws.whole(30, 110) * 1000 if overhaul else None,
            component_id=fitted.component.id,
        )
        self._records.add(repair)
        if len(positions) > 3 or overhaul or self._shelf.on_hand(spot.kind) < len(positions):
            self._shelf.buy_for_winter(spot.kind, len(positions), day - timedelta(days=6))
        self._shelf.use(spot.kind, len(positions), ended - minutes(2), repair_id=repair.id)
        fitted.replace(self._records, positions, ended, state.used(fitted.meter), Removal.PLANNED)

    def take_parts(self, kind: str, number: int, at: datetime, repair: Repair) -> None:
        """Take parts off the shelf for a repair that is entered elsewhere."""
        self._shelf.use(kind, number, at, repair_id=repair.id)
