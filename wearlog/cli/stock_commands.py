"""stock: parts on hand; receive, use, return and count them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wearlog.cli.doors import opened
from wearlog.cli.options import (
    answer_sheet,
    command,
    moment,
    only_enters,
    only_lists,
    say,
    with_at,
    with_db,
    with_json,
    with_save,
)
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import StockChange
from wearlog.present.words import saved_lines

if TYPE_CHECKING:
    from wearlog.facts.parts import Part
    from wearlog.logbook.doors import Store

_CHANGES = {
    "receive": StockChange.RECEIVED,
    "use": StockChange.USED,
    "return": StockChange.RETURNED,
    "count": StockChange.COUNTED,
}


@command(
    "stock",
    examples=(
        "wearlog stock",
        "wearlog stock --low",
        "wearlog stock receive KS-3 25 --cost 4.60",
        "wearlog stock count KS-3 18",
    ),
)
@click.argument("doing", required=False, type=click.Choice(list(_CHANGES)))
@click.argument("number", required=False)
@click.argument("quantity", required=False, type=click.IntRange(min=0))
@click.option("--low", is_flag=True, help="Only what is below the number to keep.")
@click.option("--cost", "cost", default="", metavar="AMOUNT", help="What one cost, when received.")
@with_at
@with_save
@with_json
@with_db
def stock_command(
    doing: str | None,
    number: str | None,
    quantity: int | None,
    *,
    low: bool,
    cost: str,
    at: str,
    as_json: bool,
    save: str,
    db: str,
) -> None:
    """Show the parts on the shelf, or enter that some came, went or were counted."""
    from wearlog.facts.parts import StockMove
    from wearlog.logbook.names import known_names, pick
    from wearlog.logbook.parts.stocking import move_stock
    from wearlog.logbook.said.measures import money

    if doing is None:
        only_enters(cost=cost, at=at)
        _show(db, low=low, as_json=as_json, save=save)
        return
    only_lists(low=low, save=save, json=as_json)
    if number is None or quantity is None:
        raise UsageError("Which part, and how many?", f"Write it like: wearlog stock {doing} KS-3 25")
    with opened(db) as store:
        with store.reading() as connection:
            known = known_names(connection)
        part = pick(known.parts, lambda row: f"{row.number} {row.name}", number, "part")
        done = move_stock(
            store,
            StockMove(
                part_id=part.id,
                at=moment(at, store),
                change=_CHANGES[doing],
                quantity=quantity,
                unit_cost_minor=money(cost) if cost else (part.price_minor if doing == "receive" else None),
            ),
        )
    say(saved_lines(done))


def _show(db: str, *, low: bool, as_json: bool, save: str) -> None:
    from wearlog.present.digits import Measures
    from wearlog.present.parts.stock_sheet import stock_sheet
    from wearlog.reckoning.parts.stock import shelf_view

    with opened(db) as store:
        view = shelf_view(store)
    sheet = stock_sheet(view.shelves, view.kind_names, Measures(view.settings), only_low=low)
    answer_sheet(sheet, as_json=as_json, save=save)


def off_shelf(store: Store, text: str) -> tuple[Part, int]:
    """Read FI-2 or FI-2x3: the part, and how many of it."""
    from wearlog.logbook.names import known_names
    from wearlog.logbook.parts.stocking import off_shelf_named

    with store.reading() as connection:
        parts = known_names(connection).parts
    return off_shelf_named(parts, text)
