"""Claims under warranty and failures far too early."""

from __future__ import annotations

import click

from wearlog.cli.options import answer_sheet, command, local_now, only_lists, opened, say, with_db, with_json, with_save
from wearlog.errors import UsageError
from wearlog.present.words import saved_lines


@command(
    "claims",
    examples=("wearlog claims", "wearlog claims --early", "wearlog claims --save claims.xlsx"),
)
@click.option("--sent", default="", metavar="NUMBER", help="The claim for this breakage is sent.")
@click.option("--settled", default="", metavar="NUMBER", help="It is answered; with --paid.")
@click.option("--paid", default="", metavar="MONEY", help="What they paid; 0 = refused.")
@click.option("--early", is_flag=True, help="Only what failed far too early; with --save that list.")
@with_save
@with_json
@with_db
def claims_command(*, sent: str, settled: str, paid: str, early: bool, as_json: bool, save: str, db: str) -> None:
    """List what broke within the terms of its part, what that is worth, and what failed far earlier than its kind lives.

    NUMBER is the number of the breakage's entry. Terms stand with the part: warranty_months, warranty and so on.
    """
    from wearlog.logbook.parts.claiming import send_claim, settle_claim
    from wearlog.logbook.rows.entering import row_of_number
    from wearlog.logbook.said.measures import money
    from wearlog.present.digits import Measures
    from wearlog.present.parts.claim_sheet import claim_sheet, claims_json, early_sheet
    from wearlog.present.sheet_faces import answer_lines, said_first, sheet_json
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.parts.claims import claim_list
    from wearlog.reckoning.wear.early_failures import early_failures

    if bool(settled) != bool(paid):
        raise UsageError("A claim is settled with what was paid.", "Write it like --settled 123456 --paid 118")
    if sent or settled:
        only_lists(early=early, save=save, json=as_json)
    with opened(db) as store:
        if sent:
            say(saved_lines(send_claim(store, row_of_number(store, "breakage", sent), local_now())))
        if settled:
            number = row_of_number(store, "breakage", settled)
            say(saved_lines(settle_claim(store, number, money(paid), local_now())))
        if sent or settled:
            return
        with store.reading() as connection:
            farm = farm_from(connection, local_now())
            found, too_soon = claim_list(connection, farm), early_failures(connection, farm)
    measures = Measures(farm.settings)
    claims, places = claim_sheet(found, measures), early_sheet(too_soon, farm, measures)

    def lines() -> list[str]:
        if early:
            return [*said_first(places), *(["", *answer_lines(places)] if places.rows else [])]
        return [
            *said_first(claims),
            *(["", *answer_lines(claims)] if claims.rows else []),
            "",
            "FAR TOO EARLY",
            *said_first(places),
            *(["", *answer_lines(places)] if places.rows else []),
        ]

    answer_sheet(
        places if early else claims,
        as_json=as_json,
        save=save,
        lines=lines,
        content=lambda: sheet_json(places) if early else claims_json(found, too_soon, measures),
    )
