"""Changing the settings of the farm."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from wearlog.errors import UsageError
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.departures import SET_ASIDE_FOR, Departure, aside_key, departures_text, read_departures
from wearlog.facts.farm_settings import (
    DRIVING_KEYS,
    DRY_OF,
    SEED_OF,
    FarmSettings,
    check_setting,
    driving_kept,
    dry_key,
    seed_key,
)
from wearlog.ids import derived_id
from wearlog.logbook.deed_sentences import settings_sentence
from wearlog.logbook.said.amounts import read_seed
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_many, settings_of
from wearlog.store.opening import Store
from wearlog.units import MILE_METRES

KEYS = (
    "farm_name",
    "currency",
    "units",
    "time_zone",
    "labour_rate",
    "downtime_value_per_hour",
    "downtime_value_source",
    *DRIVING_KEYS,
)


def current_settings(store: Store) -> tuple[tuple[str, str], ...]:
    """Return every setting and what counts now, the usual value where nothing was set."""
    with store.reading() as connection:
        found = settings_of(connection)
    shown = (
        found.farm_name or "-",
        found.currency,
        found.units,
        found.time_zone or "this machine's",
        f"{Decimal(found.labour_rate_minor) / 100:.2f}",
        f"{Decimal(found.downtime_minor) / 100:.2f}",
        found.downtime_source,
        *driving_said(found),
    )
    return (*zip(KEYS, shown, strict=True), *found.seeds, *found.dry_standards, *_set_aside(found))


def driving_said(found: FarmSettings) -> tuple[str, str]:
    """Return what driving costs for each mile or kilometre, and how fast one drives; the usual where nothing was set."""
    unit, metres, speed = ("km", 1000.0, "km/h") if found.is_metric else ("mile", float(MILE_METRES), "mph")
    cost = f"{found.driving_minor_a_metre * metres / 100:.2f} a {unit}"
    fast = f"{found.driving_metres_an_hour / metres:.0f} {speed}"
    usual = " (usual, no source)"
    return f"{cost}{'' if found.driving_cost else usual}", f"{fast}{'' if found.driving_speed else usual}"


def _set_aside(found: FarmSettings) -> tuple[tuple[str, str], ...]:
    """What is set aside for kinds of part; what was taken up again is as if nobody had said anything."""
    return tuple((key, said) for key, said in found.set_aside if read_departures(said))


def change_setting(store: Store, key: str, content: str) -> Done:
    """Set one setting.

    Raises
    ------
    UsageError
        When there is no such setting.
    RefusedError
        When its content makes no sense.
    """
    return change_settings(store, {key: content})


def set_aside(store: Store, kind: str, departures: frozenset[Departure]) -> Done:
    """Set what the reckoning of a kind of part leaves aside; an empty set takes all of it up again."""
    return change_setting(store, aside_key(kind), departures_text(departures))


def change_settings(store: Store, contents: Mapping[str, str]) -> Done:
    """Set several settings as one deed; all of them or none. Errors as `change_setting`."""
    with store.writing() as connection:
        unit = "km" if settings_of(connection).is_metric else "mi"
        contents = dict(_as_kept(key, content, unit) for key, content in contents.items())
        new, changed = setting_rows(connection, contents)
        return save(store, connection, settings_sentence(contents), new=new, changed=changed)


def _as_kept(key: str, content: str, unit: str) -> tuple[str, str]:
    if key.startswith(SEED_OF):
        crop = key.removeprefix(SEED_OF)
        return seed_key(crop), read_seed(content, crop)
    if key.startswith(DRY_OF):
        key, content = dry_key(key.removeprefix(DRY_OF)), content.replace(",", ".").removesuffix("%").strip()
    elif key.startswith(SET_ASIDE_FOR):
        key = aside_key(key.removeprefix(SET_ASIDE_FOR))
        found = read_departures(content)
        content = content if found is None else departures_text(found)
    elif key in DRIVING_KEYS:
        content = driving_kept(key, content, unit)
    elif key not in KEYS:
        known = f"{', '.join(KEYS)}, {SEED_OF}CROP, {DRY_OF}CROP and {SET_ASIDE_FOR}KIND"
        raise UsageError(f"There is no setting '{key}'.", f"There are: {known}.")
    check_setting(key, content)
    return key, content.upper() if key == "currency" else content


def setting_rows(connection: Connection, contents: Mapping[str, str]) -> tuple[list[Setting], list[Setting]]:
    """Return the rows to enter and those to change, so that settings say this."""
    stored = {row.key: row for row in find_all(connection, Setting)}
    missing = {key: new_setting(key, content) for key, content in contents.items() if key not in stored}
    # what was set once and taken back has its row still
    gone = find_many(connection, Setting, [row.id for row in missing.values()], voided_too=True)
    changed = [replace(row, content=contents[row.key]) for row in stored.values() if row.key in contents]
    changed += [replace(row, content=contents[row.key], voided=False) for row in gone]
    there = {row.key for row in gone}
    return [row for key, row in missing.items() if key not in there], changed


def new_setting(key: str, content: str) -> Setting:
    """Return the row of a setting: the same one on every laptop, so that two that set it apart are settled and not doubled."""
    return Setting(id=derived_id("setting", key), key=key, content=content)
