"""Entering how well the machines harvest: calibration loads, loss checks, moisture samples; one function is one deed."""

from __future__ import annotations

from uuid import UUID

from wearlog.facts.farm_settings import seed_key
from wearlog.facts.machines import Machine
from wearlog.facts.quality import Calibration, LossCheck, MoistureSample
from wearlog.facts.work import Crop
from wearlog.logbook.entry_start import EntryStart
from wearlog.logbook.farm_setting import setting_rows
from wearlog.logbook.names import known_names
from wearlog.logbook.saving import Done, save
from wearlog.store.finding import find_by_id
from wearlog.store.opening import Store


def enter_calibration(store: Store, load: Calibration) -> Done:
    """Enter what a sensor indicated against its reference. RefusedError when it cannot be."""
    with store.writing() as connection:
        machine = find_by_id(connection, Machine, load.machine_id)
        crop = "" if load.crop_id is None else f", {find_by_id(connection, Crop, load.crop_id).name}"
        off = ""
        if load.reference_amount:
            error = (load.indicated_amount - load.reference_amount) / load.reference_amount
            off = f": {error * 100:+.1f} %"
        said = f"{machine.name}, {load.sensor.replace('_', ' ')} against its reference{crop}{off}"
        return save(store, connection, said, new=[load], known=known_names(connection))


def enter_loss_check(store: Store, check: LossCheck, seed: str = "") -> Done:
    """Enter kernels counted behind a combine and ahead of it, and what was said of the crop's seed, if anything.

    Raises
    ------
    RefusedError
        When they cannot be.
    """
    with store.writing() as connection:
        combine, crop = find_by_id(connection, Machine, check.combine_id), find_by_id(connection, Crop, check.crop_id)
        said = f"loss check behind {combine.name} in {crop.name}"
        new, changed = setting_rows(connection, {seed_key(crop.name): seed}) if seed else ([], [])
        told = f"{said}; its seed is {seed}" if seed else said
        return save(store, connection, told, new=[check, *new], changed=changed, known=known_names(connection))


def enter_moisture(store: Store, sample: MoistureSample) -> Done:
    """Enter a moisture sample by the farm's own tester, with the elevator's figure when it is known."""
    with store.writing() as connection:
        crop = find_by_id(connection, Crop, sample.crop_id)
        elevator = sample.elevator_hundredths
        beside = "" if elevator is None else f", elevator {elevator / 100:.1f} %"
        said = f"moisture of {crop.name}: {sample.tester_hundredths / 100:.1f} %{beside}"
        return save(store, connection, said, new=[sample], known=known_names(connection))


def hitched_width(start: EntryStart, combine_id: UUID) -> int | None:
    """Return the width of cut in micrometres of the header that hangs on a combine now; None where nobody knows it."""
    combine = start.of(combine_id)
    header = start.of(combine.hitched_to) if combine is not None else None
    return None if header is None else header.machine.cut_width_micrometres
