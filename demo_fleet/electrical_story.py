"""Lays the electrical faults into the days of a season: stoppage, repair, fault, signs, checks and finding at their times."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from wearlog.facts.closed_lists import Action, Cause, Mode, RepairKind, StopReason
from wearlog.facts.electrics import Fault, FaultCheck, FaultFinding, FaultSign
from wearlog.facts.wearing import Breakage, Repair

from .draws import Draws
from .electrical_episodes import Episode
from .machine_states import MachineState
from .records import Records, minutes
from .workshop import Workshop


class ElectricalStory:
    """Enters an episode when its time has come; `told` are those that have."""

    def __init__(self, records: Records, draws: Draws, workshop: Workshop, states: dict[str, MachineState]) -> None:
        self._records = records
        self._draws = draws
        self._workshop = workshop
        self._states = states
        self.told: set[Episode] = set()

    def happen(self, episode: Episode, at: datetime) -> datetime:
        """Enter the episode as beginning at `at`; return when the combine goes on."""
        self.told.add(episode)
        state = self._states[episode.machine]
        fault_id = self._records.next_id("fault")
        checked = self._checks(fault_id, episode, at)
        found_at = checked + minutes(self._draws.uniform(12, 40))
        goes_on = found_at + minutes(4)
        self._records.add(
            Fault(
                id=fault_id,
                machine_id=state.id,
                circuit=episode.circuit,
                title=episode.title,
                opened_at=at,
                closed_at=found_at if episode.found else None,
                conditions=episode.conditions,
            )
        )
        self._signs(fault_id, episode)
        if episode.found is None:
            self._workshop.stop(
                state, at, goes_on, StopReason.BREAKDOWN, note="data line: comes back by itself, went on"
            )
            return goes_on
        self._find(fault_id, episode, found_at)
        repair = self._repair(state, episode, at, found_at)
        self._workshop.stop(state, at, goes_on, StopReason.BREAKDOWN, repair=repair, note=episode.title)
        return goes_on

    def _node(self, episode: Episode, name: str) -> UUID:
        return self._records.id_of("circuit_node", f"{episode.machine} {name}")

    def _signs(self, fault_id: UUID, episode: Episode) -> None:
        for sign in episode.signs:
            self._records.add(
                FaultSign(
                    id=self._records.next_id("fault_sign"),
                    fault_id=fault_id,
                    node_id=self._node(episode, sign.node),
                    sign=sign.sign,
                    spn=sign.spn,
                    fmi=sign.fmi,
                )
            )

    def _checks(self, fault_id: UUID, episode: Episode, at: datetime) -> datetime:
        for step, check in enumerate(episode.checks, start=1):
            taken = minutes(max(1, check.minutes + self._draws.whole(-1, 3)))
            at += taken
            self._records.add(
                FaultCheck(
                    id=self._records.next_id("fault_check"),
                    fault_id=fault_id,
                    step=step,
                    node_id=self._node(episode, check.node),
                    kind=check.kind,
                    expected=check.expected,
                    measured=check.measured,
                    verdict=check.verdict,
                    duration_seconds=round(taken.total_seconds()),
                    at=at,
                )
            )
        return at

    def _find(self, fault_id: UUID, episode: Episode, at: datetime) -> None:
        found = episode.found
        assert found is not None
        self._records.add(
            FaultFinding(
                id=self._records.next_id("fault_finding"),
                fault_id=fault_id,
                node_id=self._node(episode, found.node) if found.node else None,
                mode=found.mode,
                fix=found.fix,
                evidence=found.evidence,
                at=at,
            )
        )

    def _repair(self, state: MachineState, episode: Episode, began: datetime, ended: datetime) -> Repair:
        harness = state.set_of("wiring harness")
        repair = Repair(
            id=self._records.next_id("repair"),
            machine_id=state.id,
            kind=RepairKind.BREAKDOWN,
            started_at=began,
            ended_at=ended,
            labour_seconds=round((ended - began).total_seconds() / 300) * 300,
            component_id=harness.component.id,
            note=episode.title,
        )
        self._records.add(repair)
        if episode.fuses:
            self._workshop.take_parts("fuse", episode.fuses, ended, repair)
        if episode.wire_mended:
            self._records.add(
                Breakage(
                    id=self._records.next_id("breakage"),
                    component_id=harness.component.id,
                    positions=(1,),
                    at=began,
                    cause=Cause.WEAR,
                    mode=Mode.FAILED,
                    action=Action.MENDED,
                    repair_id=repair.id,
                    note="chafed through behind the clamp of the header plug",
                )
            )
        return repair
