"""Where a part comes from: the ways to get it now, and the suppliers that have it."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

import click

from wearlog.cli.options import (
    answer_sheet,
    by_farms_clock,
    command,
    local_now,
    moment,
    opened,
    say,
    with_db,
    with_json,
    with_save,
)
from wearlog.errors import UsageError
from wearlog.present.words import saved_lines

if TYPE_CHECKING:
    from wearlog.store.opening import Store


@command(
    "fetch",
    examples=(
        "wearlog fetch 'north knife'",
        "wearlog fetch 'north knife' --left 60ac --dark 21:10",
        "wearlog fetch 'north knife' --at 17:30 --json",
    ),
)
@click.argument("component")
@click.option("--left", "left", default="", metavar="AREA", help="Still to cut tonight.")
@click.option("--dark", "dark", default="", metavar="HH:MM", help="When it is too dark to cut.")
@click.option("--at", default="", metavar="TIME", help="When you leave, else now.")
@click.option("--mend", default="", metavar="TIME", help="How long mending it takes, else as it took before.")
@click.option("--had", default="", metavar="SUPPLIER", help="You rang: it has the part. Kept for the next time.")
@click.option("--lacks", default="", metavar="SUPPLIER", help="You rang: it has none.")
@with_save
@with_json
@with_db
def fetch_command(
    component: str, *, left: str, dark: str, at: str, mend: str, had: str, lacks: str, as_json: bool, save: str, db: str
) -> None:
    """Say where the part for a COMPONENT is had, what each way costs until it is here, and whom to ring first.

    On the shelf, on a machine that stands, at suppliers (their road, hours and prices), by delivery; or it is mended.
    """
    from wearlog.cli.decision_commands import component_named
    from wearlog.logbook.parts.suppliers import enter_asked
    from wearlog.present.digits import Measures
    from wearlog.present.plan.decision_asked import stop_asked
    from wearlog.present.plan.fetch_sheet import fetch_sheet
    from wearlog.present.sheet_faces import said_and_listed
    from wearlog.present.wear.kind_page import caution_lines
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.parts.stock import part_choices
    from wearlog.reckoning.plan.fetch_part import fetch_part

    with opened(db) as store:
        now = _leaving(at, store) if at else local_now()
        with store.reading() as connection:
            farm = farm_from(connection, now)
            found = component_named(farm, component)
            part = part_choices(connection, farm).part_of(found.id)
        for name, has in ((had, True), (lacks, False)):
            if name and part is None:
                raise UsageError(
                    "No part in the log fits it, so none can have been asked for.", "Enter it: wearlog add part"
                )
            if name and part is not None:
                # who leaves later has rung by now
                done = enter_asked(store, part.part, name, had_it=has, at=min(now, local_now()))
                if not as_json:
                    say(saved_lines(done))
        kind = next(one for one in farm.part_kinds if one.id == found.part_kind_id)
        asked = stop_asked(farm, kind.meter_kind, left=left, dark=dark, mend=mend)
        with store.reading() as connection:
            view = fetch_part(connection, farm_from(connection, now), found, asked)
    sheet = fetch_sheet(view, Measures(farm.settings))
    answer_sheet(
        sheet,
        as_json=as_json,
        save=save,
        lines=lambda: [*caution_lines(kind), *said_and_listed(sheet)],
    )


def _leaving(text: str, store: Store) -> datetime:
    """Read when somebody leaves: a time of day is the next one by the farm's clock; a day that is named lies before now."""
    from wearlog.logbook.said.measures import hours_until

    now = by_farms_clock(store, local_now())
    try:
        return now + timedelta(hours=hours_until(text, now))
    except UsageError:
        return moment(text, store)


@command(
    "supplier",
    examples=(
        "wearlog supplier 'Hollow Road Parts' --distance 12mi --open 'Mon-Fri 7:30-17:30, Sat 8-12'",
        "wearlog supplier 'Hollow Road Parts' --phone 555-0137 --late-phone 555-0138 --late-fee 50",
    ),
)
@click.argument("name")
@click.option("--distance", default="", metavar="MI|KM", help="By road; a bare figure in the farm's unit.")
@click.option("--open", "opening", default="", metavar="HOURS", help="Days and hours: 'Mon-Fri 7:30-17:30, Sat 8-12'.")
@click.option("--phone", default="", metavar="NUMBER")
@click.option("--late-phone", default="", metavar="NUMBER", help="After hours.")
@click.option("--late-fee", default="", metavar="MONEY", help="What opening after hours costs; 0: nothing.")
@with_db
def supplier_command(
    name: str, *, distance: str, opening: str, phone: str, late_phone: str, late_fee: str, db: str
) -> None:
    """Enter where parts are bought, or what is new of one: how far it is by road, when it is open, its phone."""
    from wearlog.logbook.parts.suppliers import enter_supplier
    from wearlog.logbook.said.measures import money
    from wearlog.logbook.said.opening_words import read_distance, read_opening
    from wearlog.store.finding import settings_of

    with opened(db) as store:
        with store.reading() as connection:
            unit = "km" if settings_of(connection).is_metric else "mi"
        done = enter_supplier(
            store,
            name,
            distance_metres=read_distance(distance, unit) if distance else None,
            phone=phone,
            late_phone=late_phone,
            late_fee_minor=money(late_fee) if late_fee else None,
            opening=read_opening(opening) if opening else None,
        )
    say(saved_lines(done))
