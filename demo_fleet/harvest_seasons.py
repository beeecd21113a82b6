"""The seasons of the demo fleet day by day: who cuts which field with which header, weather, hitches and meter readings."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from functools import partial
from typing import Final

from wearlog.facts.closed_lists import MeterKind, StopReason
from wearlog.facts.machines import Hitch
from wearlog.facts.work import Run

from .draws import Draws
from .electrical_episodes import EPISODES
from .electrical_story import ElectricalStory
from .farm_land import COMBINES, CROPS, FIELDS, CropPlan, width_feet
from .field_checks import FieldChecks
from .field_work import FieldWork, Interruption, Share
from .machine_states import Counters, MachineState
from .records import FARM_ZONE, MINUTE, Records, farm_time, minutes
from .service_rounds import ServiceRounds
from .workshop import Workshop

#: season -> headers of Juniper, Tamarack and Alder for the pulses, and after them
_HEADERS: Final = {
    2021: ("Kestrel Merlin Plover", "Kestrel Merlin Plover"),
    2022: ("Kestrel Merlin Plover", "Merlin Kestrel Plover"),
    2023: ("Kestrel Wren Plover", "Merlin Kestrel Plover"),
    2024: ("Merlin Kestrel Wren", "Kestrel Merlin Plover"),
    2025: ("Kestrel Merlin Wren", "Merlin Kestrel Plover"),
    2026: ("Wren Merlin Plover", "Kestrel Merlin Plover"),
}
_WEATHER: Final = (("dry", 0.70), ("late dew", 0.07), ("rain later", 0.08), ("wet", 0.15))


def crop_of_field(place: int, year: int) -> CropPlan:
    """Return the crop of the field at this place of `FIELDS`: the four crops follow one another."""
    return CROPS[(place + place // 4 + year) % len(CROPS)]


class HarvestSeasons:
    """Plays one season after the other on the machines' states."""

    def __init__(
        self,
        records: Records,
        draws: Draws,
        states: dict[str, MachineState],
        workshop: Workshop,
        counters: dict[str, Counters],
        services: ServiceRounds,
    ) -> None:
        self._records = records
        self._draws = draws
        self._states = states
        self._workshop = workshop
        self._counters = counters
        self._services = services
        self._work = FieldWork(records, draws, workshop)
        self._checks = FieldChecks(records, draws, states)
        self._electrics = ElectricalStory(records, draws, workshop, states)
        self._work_days = dict.fromkeys(COMBINES, 0)
        self._hitched: dict[str, tuple[str, datetime]] = {}
        self._free_from: dict[str, datetime] = {}

    def play(self, year: int) -> None:
        """Cut all fields of a season."""
        queues = self._shares(year)
        self._work_days = dict.fromkeys(COMBINES, 0)
        self._hitch(year, 0, farm_time(date(year, 7, 8), 9))
        pulses = True
        day = date(year, *CROPS[0].ready)
        while any(queues.values()):
            if pulses and not any(share.crop.low_crop for queue in queues.values() for share in queue):
                pulses = False
                self._hitch(year, 1, farm_time(day, 7))
            self._play_day(day, queues, pulses=pulses)
            day += timedelta(days=1)
        self._unhitch(farm_time(day, 10))

    def _shares(self, year: int) -> dict[str, list[Share]]:
        """Divide every field over two or three combines by what their headers can cut, the least busy ones first."""
        queues: dict[str, list[Share]] = {combine: [] for combine in COMBINES}
        load = dict.fromkeys(COMBINES, 0.0)
        for crop in CROPS:
            headers = dict(zip(COMBINES, _HEADERS[year][0 if crop.low_crop else 1].split(), strict=True))
            good_year = self._draws.around(1.0, 0.14)
            for place, (field, acres, _) in enumerate(FIELDS):
                if crop_of_field(place, year) is not crop:
                    continue
                cut = float(acres) * self._draws.uniform(0.965, 1.005)
                yields = crop.yield_lb_per_ac * good_year * self._draws.around(1.0, 0.08)
                team = sorted(COMBINES, key=lambda name: load[name])[: 3 if self._draws.chance(0.6) else 2]
                widths = sum(width_feet(headers[name]) for name in team)
                for name in team:
                    part = width_feet(headers[name]) / widths
                    load[name] += cut * part / width_feet(headers[name])
                    queues[name].append(Share(field, crop, cut * part, yields))
        return queues

    def _play_day(self, day: date, queues: dict[str, list[Share]], *, pulses: bool) -> None:
        weather = self._draws.pick([name for name, _ in _WEATHER], [weight for _, weight in _WEATHER])
        rain_hour = self._draws.uniform(14, 18)
        for name in COMBINES:
            queue = queues[name]
            ready = queue and day >= date(day.year, *queue[0].crop.ready) and queue[0].crop.low_crop is pulses
            if not ready:
                continue
            self._play_combine(self._states[name], day, queue, weather, rain_hour)

    def _play_combine(self, state: MachineState, day: date, queue: list[Share], weather: str, rain_hour: float) -> None:
        start = self._free_at(state, farm_time(day, self._draws.uniform(9.7, 11.0)))
        end = farm_time(day, self._draws.uniform(20.2, 22.2))
        if weather == "wet":
            if self._draws.chance(0.3):
                self._stand_still(state, start, farm_time(day, 19.5), StopReason.WEATHER, "rain")
            return
        if weather == "late dew":
            late = start + minutes(self._draws.uniform(100, 190))
            self._stand_still(state, start, late, StopReason.MOISTURE, "too tough to thresh")
            start = late
        elif weather == "rain later":
            end = farm_time(day, rain_hour)
        self._combine_day(state, day, queue, start, end)
        if weather == "rain later":
            self._stand_still(state, self._free_at(state, end), farm_time(day, 20), StopReason.WEATHER, "rain")

    def _free_at(self, state: MachineState, at: datetime) -> datetime:
        """Return `at`, or when the combine is free again: a long repair of the evening before can run into the next day."""
        return max(at, self._free_from.get(state.name, at))

    def _stand_still(self, state: MachineState, start: datetime, end: datetime, reason: StopReason, note: str) -> None:
        if end - start > 15 * MINUTE:
            self._workshop.stop(state, start, end, reason, note=note)

    def _combine_day(self, state: MachineState, day: date, queue: list[Share], start: datetime, end: datetime) -> None:
        self._work_days[state.name] += 1
        header = self._states[self._hitched[state.name][0]]
        state.engine_seconds += round(self._draws.uniform(25, 60)) * 60
        start = self._wait_for_cart(state, start)
        interruptions = self._interruptions(state, start)
        crop, runs = queue[0].crop, list[Run]()
        while queue and queue[0].crop.low_crop is crop.low_crop and end - start > 20 * MINUTE:
            if day < date(day.year, *queue[0].crop.ready):
                break
            start, done = self._work.cut(state, header, queue[0], start, end, interruptions)
            runs += done
            if queue[0].acres <= 0.25:
                queue.pop(0)
                start += minutes(self._draws.uniform(25, 60))
        self._free_from[state.name] = start
        self._checks.after_day(state, header, runs)
        # a repair may last into the next day: the counters are read when the last run is over
        self._read_counters(state, runs[-1].ended_at if runs else start)
        self._services.after_day(state, header, day)

    def _wait_for_cart(self, state: MachineState, start: datetime) -> datetime:
        if not self._draws.chance(0.05):
            return start
        reason = self._draws.pick((StopReason.WAITING, StopReason.WAITING, StopReason.OTHER))
        goes_on = start + minutes(self._draws.uniform(20, 75))
        note = "no truck at the field" if reason is StopReason.WAITING else ""
        self._workshop.stop(state, start, goes_on, reason, note=note)
        return goes_on

    def _interruptions(self, state: MachineState, start: datetime) -> list[Interruption]:
        year, work_day = start.astimezone(FARM_ZONE).year, self._work_days[state.name]
        # what a short day left out happens on the next one
        due = [e for e in EPISODES if (e.year, e.machine) == (year, state.name) and e.work_day <= work_day]
        return [
            Interruption(start + minutes(60 * episode.hour), partial(self._electrics.happen, episode))
            for episode in due
            if episode not in self._electrics.told
        ]

    def _read_counters(self, state: MachineState, at: datetime) -> None:
        counters = self._counters[state.name]
        if self._draws.chance(0.55):
            counters.read(MeterKind.ENGINE_HOURS, at + 2 * MINUTE)
        if self._draws.chance(0.35):
            counters.read(MeterKind.SEPARATOR_HOURS, at + 2 * MINUTE)

    def _hitch(self, year: int, phase: int, at: datetime) -> None:
        for combine, header in zip(COMBINES, _HEADERS[year][phase].split(), strict=True):
            before = self._hitched.get(combine)
            if before is not None and before[0] == header:
                continue
            if before is not None:
                self._end_hitch(combine, at)
            self._hitched[combine] = (header, at)

    def _unhitch(self, at: datetime) -> None:
        for combine in COMBINES:
            self._end_hitch(combine, at)

    def _end_hitch(self, combine: str, at: datetime) -> None:
        header, since = self._hitched.pop(combine)
        self._records.add(
            Hitch(
                id=self._records.next_id("hitch"),
                header_id=self._states[header].id,
                combine_id=self._states[combine].id,
                from_at=since,
                to_at=at,
            )
        )
