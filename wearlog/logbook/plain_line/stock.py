"""Lines about parts that came, went back or were counted: "got 2 boxes of sections at 115", "counted 17 hold downs"."""

from __future__ import annotations

from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import StockChange
from wearlog.facts.positions import many_of
from wearlog.logbook.plain_line.groups import Group
from wearlog.logbook.plain_line.heard import HeardEntry, LineVerdict, Stocked
from wearlog.logbook.plain_line.line import Line
from wearlog.logbook.plain_line.phrases import KnownPart
from wearlog.logbook.plain_line.readings import Figure, figures_of
from wearlog.logbook.plain_line.when import When
from wearlog.logbook.quickline.tokens import Role, either

_CAME: Final = (
    *(
        "got",
        "bought",
        "picked up",
        "received",
        "came in",
        "came",
        "delivered",
        "arrived",
        "fetched",
        "purchased",
        "get in",
        "got in",
    ),
    *(
        "delivery",
        "brought home",
        "stocked up",
        "in the mail",
        "restocked",
        "pick up",
        "picked",
        "brought",
        "ups brought",
        "paid",
    ),
)
_BACK: Final = (
    "took back",
    "back to the dealer",
    "returned",
    "sent back",
    "back to dealer",
    "brought back",
    "gave back",
    "return",
)
_COUNTED: Final = (
    "counted",
    "on the shelf",
    "in stock",
    "on hand",
    "inventory",
    "count",
    "stock count",
    "in the bin",
    "left on the shelf",
)
_ORDERED: Final = ("ordered", "on order", "order", "need to order")
_PACKS: Final = (
    "box",
    "boxes",
    "pack",
    "packs",
    "package",
    "packages",
    "bag",
    "bags",
    "case",
    "cases",
    "carton",
    "cartons",
)
_BETWEEN: Final = frozenset({"of", "new", "more", "the", "spare", "extra", "and", *_PACKS})


def is_stock(line: Line, groups: list[Group], *, named: bool) -> bool:
    """Say whether the line is about the shelf: parts that came, went back or were counted, and nothing that broke."""
    if _broken(line, groups) or (named and not line.has("shelf", "stock", "dealer")):
        return False
    if line.has(*_COUNTED, *_BACK, *_ORDERED) and groups:
        return not line.has("spares left")
    priced = any(figure.unit == "money" for figure in figures_of(line)) or (
        line.has("at", "for") and len(_bare(line)) > 1
    )
    packed = line.has(*_PACKS)
    return bool(groups) and (line.has(*_CAME) or packed or (priced and not groups[0].spots))


def _broken(line: Line, groups: list[Group]) -> bool:
    marks = [mark for group in groups for mark in group.marks]
    return any(mark.phrase.said is not None and (mark.phrase.said.mode or mark.phrase.said.cause) for mark in marks)


def _bare(line: Line) -> list[Figure]:
    return [figure for figure in figures_of(line) if figure.unit in ("", "money")]


def read_stock(line: Line, groups: list[Group], when: When, assumed: list[str]) -> list[HeardEntry]:
    """Return what came to the shelf or went from it; asks how many, or which part."""
    change = StockChange.RECEIVED
    if line.has(*_BACK):
        change = StockChange.RETURNED
    elif line.has(*_COUNTED) and not line.has("received", "bought", "came in"):
        change = StockChange.COUNTED
    name = groups[0].mark
    shown = line.scan.shown(name.start, name.stop)
    if change is StockChange.COUNTED and line.has("put", "lay", "laid") and not line.has("count", "counted"):
        line.ask(f"Did the {shown} come, or is that all there is now?", "Write 'received' or 'counted'.")
    if line.has(*_ORDERED) and not line.has(*_CAME):
        line.ask(
            f"What is ordered is not on the shelf yet: did the {shown} come?", "Write 'received' when they are there."
        )
    told = line.has(*_CAME, *_BACK, *_COUNTED, *_PACKS, *_ORDERED)
    return [entry for group in groups if (entry := _entry(line, group, change, when, assumed, told=told)) is not None]


def _entry(
    line: Line, group: Group, change: StockChange, when: When, assumed: list[str], *, told: bool
) -> HeardEntry | None:
    kinds = list(group.mark.kinds)
    names = line.phrases.names
    shown = line.scan.shown(group.mark.start, group.mark.stop)
    kind = _kind(line, group)
    if kind is None:
        line.ask(f"'{shown}' can be {either(sorted(names[one] for one in kinds)[:6])}.", "Write more of its name.")
        return None
    if not told:
        line.ask(f"Did the {many_of(names[kind])} come or go?", "Write 'received', 'returned' or 'counted'.")
    part = _part(line, kind)
    quantity, packed = _quantity(line, group)
    if quantity is None:
        if not group.mark.phrase.plural and change is StockChange.RECEIVED:
            quantity = 1
            assumed.append("quantity")
        else:
            line.ask(f"How many {many_of(names[kind])}?", "Write the number before the part.")
            return HeardEntry(what=LineVerdict.STOCK, kind=names[kind], at=when.at)
    size = part.pack_size if packed and part is not None else 1
    if packed:
        assumed.append("pack")
    if part is None or not line.has(part.number.casefold()):
        assumed.append("part")
    price = _price(line, group, part, quantity, size, packed=packed, assumed=assumed)
    stocked = Stocked(part_id=part.id if part else None, change=change, quantity=quantity * size, unit_cost_minor=price)
    at = f" at {price / 100:.2f}" if price is not None else ""
    return HeardEntry(
        what=LineVerdict.STOCK,
        kind=names[kind],
        at=when.at,
        amount=f"{change.value} {quantity * size}{at}",
        stocked=stocked,
    )


def _kind(line: Line, group: Group) -> UUID | None:
    """Return the kind that is meant; of several the one that a part on the farm's list fits, or that sits on a machine."""
    kinds = group.mark.kinds
    if len(kinds) == 1:
        return next(iter(kinds))
    fitted = {part.kind_id for machine in line.farm.vocabulary.machines for part in machine.components} & kinds
    return next(iter(fitted)) if len(fitted) == 1 and not group.mark.partial else None


def _part(line: Line, kind: UUID) -> KnownPart | None:
    fitting = [part for part in line.farm.parts if kind in part.kind_ids]
    return line.part if line.part in fitting else next(iter(fitting), None)


def _quantity(line: Line, group: Group) -> tuple[int | None, bool]:
    """Return how many are said before a part, and whether these are packs."""
    if group.count is not None:
        return group.count, False
    at, packed = group.mark.start - 1, False
    while at >= 0 and (line.text(at) in _BETWEEN or line.text(at) in ",+&"):
        packed = packed or line.text(at) in _PACKS
        at -= 1
    word = line.text(at)
    if at >= 0 and line.tokens[at].is_number and len(word) <= 5:
        return int(word), packed
    if packed and word in ("a", "one"):
        return 1, True
    behind = line.text(group.mark.stop)
    if behind in ("x", ":") and line.text(group.mark.stop + 1).isdigit():
        return int(line.text(group.mark.stop + 1)), False
    spots = [number for spot in group.spots for number in spot.numbers]
    if (
        len(spots) == 1
        and spots[0].first == spots[0].last
        and not any(figure.unit == "money" and figure.start == spots[0].start for figure in figures_of(line))
    ):
        return spots[0].first, False
    return None, packed


def _price(
    line: Line, group: Group, part: KnownPart | None, quantity: int, size: int, *, packed: bool, assumed: list[str]
) -> int | None:
    """Return what a piece cost: of a price for a pack its share."""
    figures = [
        one for one in figures_of(line, claimed=True) if one.unit in ("", "money") and one.start >= group.mark.stop
    ]
    figure = next(
        (
            one
            for one in figures
            if one.unit == "money" or line.text(one.start - 1) in ("at", "for", "@") or "." in one.shown
        ),
        None,
    )
    if figure is None:
        _ask_price_or_time(line)
        return None
    minor = figure.value * 100
    if line.has("all", "together", "total", "altogether") or (
        line.text(figure.start - 1) == "for" and not line.has("each", "ea")
    ):
        return round(minor / (quantity * size))
    if packed:
        assumed.append("price")
        return round(minor / size)
    if quantity > 1 and line.text(figure.start - 1) not in ("at", "@") and not line.has("each", "ea", "apiece"):
        return _of_one(line, part, figure, quantity, assumed)
    return round(minor)


def _ask_price_or_time(line: Line) -> None:
    """Ask what 12.50 is that was taken for a time of day: of parts that came it may be what they cost."""
    for at in range(1, len(line.tokens) - 1):
        if line.text(at) == "." and line.scan.roles[at] is Role.TIME and line.tokens[at + 1].is_number:
            shown = line.scan.shown(at - 1, at + 2)
            line.ask(f"Is {shown} the price or the time of day?", f"Write ${shown} or {shown.replace('.', ':')}.")
            return


def _of_one(line: Line, part: KnownPart | None, figure: Figure, quantity: int, assumed: list[str]) -> int | None:
    """Return what a piece cost where nobody said of how many the price is: the list tells which of the two it can be."""
    each = figure.value * 100
    together = each / quantity
    listed = part.price_minor if part is not None else None
    if not listed:
        line.ask(f"Is {figure.shown} the price of one, or of all {quantity}?", "Write 'each' or 'together' behind it.")
        return None
    assumed.append("price")
    # by how many times each is off the list
    return round(each if max(each / listed, listed / each) <= max(together / listed, listed / together) else together)
