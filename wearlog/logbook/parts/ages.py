"""Saying how old parts are that the log knows already: of an unknown age, or of one that was told wrong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from wearlog.errors import RefusedError
from wearlog.facts.wearing import Component, Fitting
from wearlog.logbook.deed_sentences import place_of
from wearlog.logbook.names import known_names
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.saving import Done, save
from wearlog.store.opening import Store


def tell_ages(store: Store, component: Component, ages: Mapping[Fitting, int | None], age_now: int | None) -> Done:
    """Note how old parts were when they were noted as fitted.

    Parameters
    ----------
    store : Store
    component : Component
    ages : mapping of Fitting to int or None
        The age of each when it was fitted, in the units of the kind's meter; None: nobody knows.
    age_now : int or None
        How old they are now, for the sentence.

    Raises
    ------
    RefusedError
        When there is nothing of which the age could be told.
    """
    if not ages:
        raise RefusedError(
            "Nothing of an unknown age is on there.", "Name the positions whose age is to be another: --positions 1-20."
        )
    with store.writing() as connection:
        known = known_names(connection)
        kind = next(one for one in known.part_kinds if one.id == component.part_kind_id)
        where = place_of(known, component, sorted(one.position for one in ages))
        age = (
            "of unknown age"
            if age_now is None
            else f"{FarmSpeaker(known.farm).usage(kind.meter_kind, age_now, 0)} old now"
        )
        changed = [replace(one, age_when_fitted_usage=then) for one, then in ages.items()]
        return save(store, connection, f"{where}: {age}", changed=changed, known=known)
