"""Entering machines with their meters, which header hangs on which combine, and the land: fields, crops, seasons."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime
from types import MappingProxyType

from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Ground, MachineKind, MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Hitch, Machine, Meter, Reading, standing
from wearlog.facts.work import Crop, Field, Season
from wearlog.logbook.names import known_names
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.saving import Done, save
from wearlog.store.finding import find_all, find_by_id
from wearlog.store.opening import Store

#: which meters a new machine gets; a header has no counter, its use comes from the runs it was hitched for
METERS: Mapping[MachineKind, tuple[MeterKind, ...]] = MappingProxyType(
    {
        MachineKind.COMBINE: (MeterKind.ENGINE_HOURS, MeterKind.SEPARATOR_HOURS, MeterKind.AREA),
        MachineKind.HEADER: (MeterKind.AREA,),
        MachineKind.TRACTOR: (MeterKind.ENGINE_HOURS,),
        MachineKind.TRUCK: (MeterKind.ENGINE_HOURS,),
        MachineKind.CART: (),
    }
)


def add_machine(
    store: Store, machine: Machine, *, at: datetime, shown: Mapping[MeterKind, int] = MappingProxyType({})
) -> Done:
    """Enter a machine with the meters its kind has.

    Parameters
    ----------
    shown : mapping of MeterKind to int
        What its meters show `at` this time, in seconds or square metres; meters left out have no reading yet.

    Raises
    ------
    RefusedError
        When there is a machine of this name already, or it has no such meter.
    """
    kinds = tuple(dict.fromkeys((*METERS[machine.kind], *shown)))
    meters = {kind: Meter(machine_id=machine.id, kind=kind) for kind in kinds}
    readings = [Reading(meter_id=meters[kind].id, at=at, shown_usage=usage) for kind, usage in shown.items()]
    with store.writing() as connection:
        new: list[Fact] = [machine, *meters.values(), *readings]
        said = f"added the {machine.kind.value} {machine.name}"
        return save(store, connection, said, new=new, known=known_names(connection))


def hitch(store: Store, header: Machine, combine: Machine, *, at: datetime) -> Done:
    """Hang a header on a combine from `at` on; whatever hitch of either was open ends there.

    Raises
    ------
    RefusedError
        When one of the open hitches began later than `at`, or this very hitch is there already.
    """
    with store.writing() as connection:
        open_hitches = [
            old
            for old in standing(find_all(connection, Hitch))
            if old.header_id == header.id or old.combine_id == combine.id
        ]
        for old in open_hitches:
            if (old.header_id, old.combine_id) == (header.id, combine.id):
                raise RefusedError(f"{header.name} is on {combine.name} already.")
            if old.from_at > at:
                raise RefusedError(
                    f"{header.name} or {combine.name} was hitched otherwise later than that.",
                    "Give a time after the latest hitch.",
                )
        ended = [replace(old, to_at=at) for old in open_hitches]
        new = Hitch(header_id=header.id, combine_id=combine.id, from_at=at)
        known = known_names(connection)
        said = f"hitched {header.name} to {combine.name}, {FarmSpeaker(known.farm).time_said(at)}"
        return save(store, connection, said, new=[new], changed=ended, known=known)


def add_field(store: Store, name: str, area_square_metres: int, ground: Ground) -> Done:
    """Enter a field. RefusedError when there is one of this name."""
    return _add(
        store, Field(name=name, area_square_metres=area_square_metres, ground=ground), f"added the field {name}"
    )


def add_crop(
    store: Store, name: str, bushel_grams: int | None = None, price_minor_per_tonne: int | None = None
) -> Done:
    """Enter a crop. RefusedError when there is one of this name."""
    crop = Crop(name=name, bushel_grams=bushel_grams, price_minor_per_tonne=price_minor_per_tonne)
    return _add(store, crop, f"added the crop {name}")


def describe_crop(store: Store, crop: Crop) -> Done:
    """Enter what a bushel of a crop weighs, or what it brings, that is in the log already.

    NotFoundError when it is not there any more.
    """
    with store.writing() as connection:
        before = find_by_id(connection, Crop, crop.id)
        what = [
            words
            for words, is_new in (
                (f"what a bushel of {crop.name} weighs", crop.bushel_grams != before.bushel_grams),
                (f"what {crop.name} brings", crop.price_minor_per_tonne != before.price_minor_per_tonne),
            )
            if is_new
        ]
        said = f"entered {' and '.join(what) or f'what is known of {crop.name}'}"
        return save(store, connection, said, changed=[crop], known=known_names(connection))


def add_season(store: Store, harvest_year: int, starts_on: date | None = None, ends_on: date | None = None) -> Done:
    """Enter a season; without days it is the calendar year."""
    season = Season(
        harvest_year=harvest_year,
        starts_on=starts_on or date(harvest_year, 1, 1),
        ends_on=ends_on or date(harvest_year + 1, 1, 1),
    )
    return _add(store, season, f"added the season {harvest_year}")


def _add(store: Store, fact: Fact, said: str) -> Done:
    with store.writing() as connection:
        return save(store, connection, said, new=[fact], known=known_names(connection))
