"""Entering what becomes of a claim under warranty: sent, paid, refused."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from uuid import UUID

from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.parts import WarrantyClaim
from wearlog.facts.wearing import Breakage
from wearlog.ids import short_number
from wearlog.logbook.names import known_names
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.saving import Done, save
from wearlog.store.finding import find_all, find_by_id
from wearlog.store.opening import Store


def send_claim(store: Store, breakage_id: UUID, at: datetime) -> Done:
    """Enter that the claim for a breakage was sent. RefusedError where one was sent before: it is one claim, paid once."""
    with store.writing() as connection:
        breakage = find_by_id(connection, Breakage, breakage_id)
        known = known_names(connection)
        before = find_all(connection, WarrantyClaim, breakage_id=breakage_id)
        if before:
            raise RefusedError(
                f"The claim for this breakage was sent on {FarmSpeaker(known.farm).date_said(before[0].sent_at)} already.",
                "What came of it is entered with --settled NUMBER --paid MONEY; 'wearlog entries warranty_claim' shows it.",
            )
        said = f"claim sent for what broke on {FarmSpeaker(known.farm).date_said(breakage.at)}"
        return save(store, connection, said, new=[WarrantyClaim(breakage_id=breakage_id, sent_at=at)], known=known)


def settle_claim(store: Store, breakage_id: UUID, paid_minor: int, at: datetime) -> Done:
    """Enter what was paid for a claim; 0 is refused. NotFoundError where none was sent, RefusedError where it is settled."""
    with store.writing() as connection:
        sent = find_all(connection, WarrantyClaim, breakage_id=breakage_id)
        if not sent:
            raise NotFoundError(
                "No claim was sent for this breakage.", "Enter that first: wearlog claims --sent NUMBER"
            )
        known = known_names(connection)
        measures = FarmSpeaker(known.farm)
        settled = sent[-1].settled_at
        if settled is not None:
            paid = sent[-1].paid_minor
            how = f"{measures.money(paid)} paid" if paid else "refused"
            raise RefusedError(
                f"This claim was settled on {measures.date_said(settled)}: {how}.",
                f"If that was wrong: wearlog change {short_number(sent[-1].id)} paid=118",
            )
        said = f"claim settled: {measures.money(paid_minor)} paid" if paid_minor else "claim settled: refused"
        row = replace(sent[-1], settled_at=at, paid_minor=paid_minor)
        return save(store, connection, said, changed=[row], known=known)
