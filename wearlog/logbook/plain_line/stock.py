"""Lines about parts that came, went back or were counted: "got 2 boxes of sections at 115", "counted 17 hold downs"."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import StockChange
from wearlog.facts.positions import many_of
from wearlog.logbook.plain_line.groups import Group
from wearlog.logbook.plain_line.heard import HeardEntry, LineVerdict, Stocked
from wearlog.logbook.plain_line.line import Line, Tag
from wearlog.logbook.plain_line.phrases import KnownPart
from wearlog.logbook.plain_line.prices import Bought, ask_currency, ask_of_several, price_of
from wearlog.logbook.plain_line.readings import Figure, figures_of
from wearlog.logbook.plain_line.said_table import CAME
from wearlog.logbook.plain_line.when import When
from wearlog.logbook.quickline.tokens import either

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
    "we have",
    "still have",
    "shelf has",
    "recount",
    "recounted",
    "left over",
    "stock :",
    "shelf :",
)
_ORDERED: Final = ("ordered", "on order", "order", "need to order")
#: what is still to come
_LATER: Final = (
    *("back ordered", "backordered", "on backorder", "on back order", "to come", "to follow", "still coming"),
    *("on order", "coming tomorrow", "coming next week", "not in", "not there", "are missing"),
)
#: things that go on a part and have its name before their own
_GOES_ON: Final = (
    *("clamp", "clamps", "bolt", "bolts", "nut", "nuts", "rivet", "rivets", "bracket", "brackets", "fitting"),
    *("fittings", "splice", "splices", "clip", "clips", "washer", "washers", "screw", "screws", "lacing", "glue"),
)
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
_BETWEEN: Final = frozenset({"of", "set", "sets", "new", "more", "the", "spare", "extra", "and", *_PACKS})


def is_stock(line: Line, groups: list[Group], *, named: bool) -> bool:
    """Say whether the line is about the shelf: parts that came, went back or were counted, and nothing that broke."""
    for_one = line.has(*CAME) and all(_is_for(line, mark.start) for mark in line.of(Tag.MACHINE))
    if _broken(line, groups) or (named and not for_one and not line.has("shelf", "stock", "dealer")):
        return False
    if groups and (line.has(*_COUNTED, *_BACK, *_ORDERED) or _is_left_over(line, groups) or _goes_back(line)):
        return not line.has("spares left")
    priced = any(figure.unit == "money" for figure in figures_of(line)) or (
        line.has("at", "for") and len(_bare(line)) > 1
    )
    packed = line.has(*_PACKS)
    return bool(groups) and (line.has(*CAME) or packed or (priced and not groups[0].spots))


def _is_for(line: Line, at: int) -> bool:
    """Say whether parts came for a machine, "got a fan belt for juniper"; nothing says that they were put on."""
    return line.text(at - 1) == "for" or (line.text(at - 1) == "the" and line.text(at - 2) == "for")


def _is_left_over(line: Line, groups: list[Group]) -> bool:
    """Say whether so many are left: "43 sections left", "only 4 guards left"."""
    return any(
        (group.count is not None or line.text(group.mark.start - 1) == "one")
        and not group.spots
        and line.text(group.mark.stop) == "left"
        for group in groups
    ) and line.text(len(line.tokens) - 1) in ("left", ".", "shelf", "stock", "bin", "now", "shop", "here", "shed")


def _goes_back(line: Line) -> bool:
    """Say whether parts went back: "sent 2 main belts back", "took 3 guards back"."""
    verb = next((at for at, token in enumerate(line.tokens) if token.text in ("took", "sent", "gave", "brought")), None)
    back = line.find("back")
    return verb is not None and back is not None and back > verb and not line.of(Tag.MACHINE)


def _broken(line: Line, groups: list[Group]) -> bool:
    marks = [mark for group in groups for mark in group.marks]
    return any(mark.phrase.said is not None and (mark.phrase.said.mode or mark.phrase.said.cause) for mark in marks)


def _bare(line: Line) -> list[Figure]:
    return [figure for figure in figures_of(line) if figure.unit in ("", "money")]


def read_stock(line: Line, groups: list[Group], when: When, assumed: list[str]) -> list[HeardEntry]:
    """Return what came to the shelf or went from it; asks how many, or which part."""
    change = StockChange.RECEIVED
    left_over = _is_left_over(line, groups)
    if line.has(*_BACK) or (_goes_back(line) and not line.has("came back")):
        change = StockChange.RETURNED
    elif left_over or (line.has(*_COUNTED) and not line.has("received", "bought", "came in")):
        change = StockChange.COUNTED
    name = groups[0].mark
    shown = line.scan.shown(name.start, name.stop)
    if change is StockChange.COUNTED and line.has("put", "lay", "laid") and not line.has("count", "counted"):
        line.ask(f"Did the {shown} come, or is that all there is now?", "Write 'received' or 'counted'.")
    if line.has(*_ORDERED) and not line.has(*CAME):
        line.ask(
            f"What is ordered is not on the shelf yet: did the {shown} come?", "Write 'received' when they are there."
        )
    later = next((words for words in _LATER if line.has(words)), "")
    if later and change is StockChange.RECEIVED:
        line.ask(f"'{later}': which of these did come?", "Write only what is there.")
    if change is StockChange.RETURNED and line.has(*CAME) and not line.has("brought back", "brought"):
        line.ask("The line tells of parts that came and of parts that went back.", "Write a line for each.")
    _ask_fastened(line, groups)
    told = left_over or _goes_back(line) or line.has(*CAME, *_BACK, *_COUNTED, *_PACKS, *_ORDERED)
    ask_currency(line)
    ask_of_several(line, groups)
    ahead = _all_ahead(line, groups, change)
    entries = []
    for index, group in enumerate(groups):
        stop = _begins(groups[index + 1], ahead[index + 1]) if index + 1 < len(groups) else len(line.tokens)
        many = ahead[index] or _behind(line, group, stop, change)
        entry = _entry(line, group, stop, many, change, when, assumed, told=told)
        entries += [entry] if entry is not None else []
    return entries


def _ask_fastened(line: Line, groups: list[Group]) -> None:
    """Ask about "5 hose clamps": what only goes on a part is not that part."""
    for group in groups:
        behind = group.mark.stop
        if line.text(behind) in _GOES_ON:
            shown = line.scan.shown(group.mark.start, behind + 1)
            line.ask(f"'{shown}' is no part that the log knows.", "Leave it out, or name the part that came.")


def _begins(group: Group, many: _Many | None) -> int:
    return min([group.mark.start, *([many.at] if many is not None else [])])


@dataclass(frozen=True, slots=True)
class _Many:
    """How many of a part are said, how many a pack of them holds where that is said too, and where the figure stands."""

    quantity: int | None
    pack: int | None
    at: int


_UNSAID: Final = _Many(None, None, -1)


def _all_ahead(line: Line, groups: list[Group], change: StockChange) -> list[_Many | None]:
    """Return what is said before each part; "sections 43, guards 11" says it behind each."""
    found: list[_Many | None] = []
    for index, group in enumerate(groups):
        many = _ahead(line, group, change)
        if many is not None and index and found[-1] is None and many.at >= groups[index - 1].mark.stop:
            many = None if _may_stand_behind(line, groups[index - 1], change) else many
        found.append(many)
    return found


def _may_stand_behind(line: Line, group: Group, change: StockChange) -> bool:
    """Say whether the figure behind a part can be how many; behind one part that came it is the price."""
    return line.text(group.mark.stop) in ("x", ":") or not _is_one(line, group) or change is not StockChange.RECEIVED


def _is_one(line: Line, group: Group) -> bool:
    """Say whether the name means one piece: a chain, and the rasp bars of which every machine has one set."""
    parts = [
        part
        for machine in line.farm.vocabulary.machines
        for part in machine.components
        if part.kind_id in group.mark.kinds
    ]
    named_so = [name for kind in group.mark.kinds for name in [line.phrases.names[kind]] if name.endswith("s")]
    return not group.mark.phrase.plural or bool(named_so and parts and all(part.positions == 1 for part in parts))


def _entry(
    line: Line,
    group: Group,
    stop: int,
    many: _Many,
    change: StockChange,
    when: When,
    assumed: list[str],
    *,
    told: bool,
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
    quantity, pack = many.quantity, many.pack
    if quantity is None:
        if _is_one(line, group) and change is not StockChange.COUNTED:
            quantity = 1
            assumed.append("quantity")
        else:
            line.ask(f"How many {many_of(names[kind])}?", "Write the number before the part.")
            return HeardEntry(what=LineVerdict.STOCK, kind=names[kind], at=when.at)
    size = pack or 1
    if pack is None and _is_packed(line, group):
        size = part.pack_size if part is not None else 1
        assumed.append("pack")
    if part is None or not line.has(part.number.casefold()):
        assumed.append("part")
    bought = Bought(quantity, size, packed=pack is not None or _is_packed(line, group), used=many.at)
    price = price_of(line, group.mark.stop, stop, part, bought, assumed, counted=change is StockChange.COUNTED)
    stocked = Stocked(part_id=part.id if part else None, change=change, quantity=quantity * size, unit_cost_minor=price)
    shown_price = f" at {price / 100:.2f}" if price is not None else ""
    return HeardEntry(
        what=LineVerdict.STOCK,
        kind=names[kind],
        at=when.at,
        amount=f"{change.value} {quantity * size}{shown_price}",
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


def _ahead(line: Line, group: Group, change: StockChange) -> _Many | None:
    """Read how many before the part: "20 of the 50 sections", "2 packs of 25 sections", "5 new guards", "no guards"."""
    before = (group.count_at if group.count_at >= 0 else group.mark.start) - 1
    while line.text(before) in ("the", "our", "those"):
        before -= 1
    if group.count is not None:
        if line.text(before) == "of" and line.text(before - 1).isdigit():
            return _Many(int(line.text(before - 1)), None, before - 1)
        if line.text(before) == "of" and line.text(before - 1) in _PACKS:
            packs = line.text(before - 2)
            return _Many(int(packs) if packs.isdigit() else 1, group.count, before - 2)
        if line.text(before) == "x" and line.text(before - 1).isdigit() and line.has(*CAME):
            # "2x25 sections" are two packs of 25
            return _Many(int(line.text(before - 1)), group.count, before - 1)
        return _Many(group.count, None, group.count_at)
    at, packed = group.mark.start - 1, False
    while at >= 0 and (line.text(at) in _BETWEEN or line.text(at) in ",+&"):
        packed = packed or line.text(at) in _PACKS
        at -= 1
    word = line.text(at)
    if at >= 0 and line.tokens[at].is_number and len(word) <= 5 and not line.part_at[0] <= at < line.part_at[1]:
        return _Many(int(word), None, at)
    if (packed and word == "a") or word == "one":
        return _Many(1, None, at)
    if change is StockChange.COUNTED and word in ("no", "zero"):
        return _Many(0, None, at)
    return None


def _behind(line: Line, group: Group, stop: int, change: StockChange) -> _Many:
    """Read how many behind the part: "sections: 43", "sections came, 30"."""
    if not _may_stand_behind(line, group, change):
        return _UNSAID
    bare = [
        one
        for one in figures_of(line, claimed=True)
        if group.mark.stop <= one.start < stop and not one.unit and one.shown.isdigit() and not _is_price(line, one)
    ]
    if bare and (len(bare) == 1 or bare[0].start <= group.mark.stop + 1):
        return _Many(int(bare[0].shown), None, bare[0].start)
    return _UNSAID


def _is_price(line: Line, figure: Figure) -> bool:
    return line.text(figure.start - 1) in ("at", "for", "@", "cost", "paid")


def _is_packed(line: Line, group: Group) -> bool:
    """Say whether the part is said in packs: a word for one stands before it."""
    if line.text(group.mark.stop).isdigit() and line.text(group.mark.stop + 1) in _PACKS:
        return True
    at = group.mark.start - 1
    while at >= 0 and (line.text(at) in _BETWEEN or line.text(at) in ",+&"):
        if line.text(at) in _PACKS:
            return True
        at -= 1
    return False
