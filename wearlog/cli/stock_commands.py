"""stock: parts on hand; receive, use, return and count them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wearlog.cli.figures import WHOLE, WholeBetween
from wearlog.cli.options import (
    answer_sheet,
    command,
    local_now,
    moment,
    only_enters,
    only_lists,
    opened,
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
    from wearlog.logbook.open_log import Store

_CHANGES = {
    "receive": StockChange.RECEIVED,
    "use": StockChange.USED,
    "return": StockChange.RETURNED,
    "count": StockChange.COUNTED,
}
#: pieces of a kind that broke, which day and where nobody knows
_MISSING = "missing"


@command(
    "stock",
    examples=(
        "wearlog stock",
        "wearlog stock --low",
        "wearlog stock receive KS-3 25 --cost 4.60",
        "wearlog stock count KS-3 18",
        "wearlog stock missing 'knife section' 12",
    ),
)
@click.argument("doing", required=False, type=click.Choice([*_CHANGES, _MISSING]))
@click.argument("number", required=False)
@click.argument("quantity", required=False, type=WholeBetween(min=0))
@click.option("--low", is_flag=True, help="Only what is below the number to keep.")
@click.option("--cost", "cost", default="", metavar="AMOUNT", help="What one cost, when received.")
@click.option("--season", "season", type=WHOLE, metavar="YEAR", help="Harvest year in which what is missing broke.")
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
    season: int | None,
    at: str,
    as_json: bool,
    save: str,
    db: str,
) -> None:
    """Show the parts on the shelf, or enter that some came, went or were counted.

    missing: so many pieces of a kind broke in a season, on a day and at a place that nobody remembers; without a number as many
    as the counts of the shelf miss, without --season in the season that misses most.
    """
    from wearlog.facts.parts import StockMove
    from wearlog.logbook.names import known_names, pick
    from wearlog.logbook.parts.stocking import move_stock
    from wearlog.logbook.said.measures import money

    if doing is None:
        only_enters(cost=cost, at=at, season=season)
        _show(db, low=low, as_json=as_json, save=save)
        return
    only_lists(low=low, save=save, json=as_json)
    if doing == _MISSING:
        if cost or at:
            raise UsageError(
                "What is missing has no day and no cost.", "Leave --cost and --at away; --season says when."
            )
        _missing(db, number, quantity, season)
        return
    if season is not None:
        raise UsageError("--season goes with 'stock missing'.", "Leave it away, or say --at.")
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


def _missing(db: str, kind: str | None, quantity: int | None, season: int | None) -> None:
    from wearlog.logbook.names import kind_named
    from wearlog.logbook.parts.stocking import enter_roughly
    from wearlog.reckoning.farm import read_farm
    from wearlog.reckoning.parts.shelf_shares import rough_place

    if kind is None:
        raise UsageError("Of which kind of part?", "Write it like: wearlog stock missing 'knife section' 12")
    with opened(db) as store:
        farm = read_farm(store, local_now())
        found = kind_named(farm.part_kinds, kind, "kind")
        place = rough_place(farm, farm.part_kinds.index(found), season)
        pieces = place.missing if quantity is None else quantity
        done = enter_roughly(store, place.part, pieces, harvest_year=place.harvest_year, at=place.at)
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
