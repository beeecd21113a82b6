"""Entering how well the machines harvest: calibration loads, loss checks, moisture samples; one function is one deed."""

from __future__ import annotations

from uuid import UUID

from wearlog.facts.farm_settings import seed_key
from wearlog.facts.machines import Machine
from wearlog.facts.quality import Calibration, LossCheck, MoistureSample
from wearlog.facts.work import Crop
from wearlog.logbook.deed_sentences import count_sentence, load_sentence, sample_sentence
from wearlog.logbook.farm.farm_setting import setting_rows
from wearlog.logbook.names import known_names
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.saving import Done, save
from wearlog.logbook.work.entry_start import EntryStart
from wearlog.store.finding import find_by_id
from wearlog.store.opening import Store


def enter_calibration(store: Store, load: Calibration) -> Done:
    """Enter what a sensor indicated against its reference. RefusedError when it cannot be."""
    with store.writing() as connection:
        machine = find_by_id(connection, Machine, load.machine_id)
        crop = "" if load.crop_id is None else find_by_id(connection, Crop, load.crop_id).name
        known = known_names(connection)
        said = load_sentence(FarmSpeaker(known.farm), load, machine=machine.name, crop=crop)
        return save(store, connection, said, new=[load], known=known)


def enter_loss_check(store: Store, check: LossCheck, seed: str = "") -> Done:
    """Enter kernels counted behind a combine and ahead of it, and what was said of the crop's seed, if anything.

    Raises
    ------
    RefusedError
        When they cannot be.
    """
    with store.writing() as connection:
        combine, crop = find_by_id(connection, Machine, check.combine_id), find_by_id(connection, Crop, check.crop_id)
        known = known_names(connection)
        new, changed = setting_rows(connection, {seed_key(crop.name): seed}) if seed else ([], [])
        said = count_sentence(FarmSpeaker(known.farm), check, combine=combine.name, crop=crop.name, seed=seed)
        return save(store, connection, said, new=[check, *new], changed=changed, known=known)


def enter_moisture(store: Store, sample: MoistureSample) -> Done:
    """Enter a moisture sample by the farm's own tester, with the elevator's figure when it is known."""
    with store.writing() as connection:
        crop = find_by_id(connection, Crop, sample.crop_id)
        known = known_names(connection)
        said = sample_sentence(FarmSpeaker(known.farm), sample, crop=crop.name)
        return save(store, connection, said, new=[sample], known=known)


def hitched_width(start: EntryStart, combine_id: UUID) -> int | None:
    """Return the width of cut in micrometres of the header that hangs on a combine now; None where nobody knows it."""
    combine = start.of(combine_id)
    header = start.of(combine.hitched_to) if combine is not None else None
    return None if header is None else header.machine.cut_width_micrometres
