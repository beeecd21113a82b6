"""What parts cost that came, as a line says it: of one, of a pack or of all together. What can be two of these is asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from wearlog.logbook.plain_line.groups import Group
from wearlog.logbook.plain_line.line import SMALL, Line
from wearlog.logbook.plain_line.numbers import UNITS
from wearlog.logbook.plain_line.phrases import CURRENCIES, KnownPart
from wearlog.logbook.plain_line.readings import Figure, figures_of
from wearlog.logbook.quickline.tokens import Role

_EACH: Final = ("each", "ea", "apiece", "a piece", "per piece", "a pc", "per pc", "/ ea", "/ each")
_A_PACK: Final = ("a pack", "per pack", "a box", "per box", "a bag", "per bag", "a case", "per case")
_TOGETHER: Final = (
    *("all", "together", "total", "altogether", "in all", "the lot", "for both", "for all", "the set", "all in"),
)
_BEFORE: Final = ("at", "for", "@", "cost", "costs", "paid", "price")
#: words behind a figure that leave it a price
_BEHIND: Final = frozenset(
    {
        "each",
        "ea",
        "apiece",
        "a",
        "per",
        "all",
        "together",
        "total",
        "altogether",
        "from",
        "incl",
        "including",
        "plus",
        "delivered",
    }
)
#: what a figure counts that stands behind one of these
_NO_PRICE: Final = ("bin", "shelf", "row", "box", "no", "#", "number", "invoice", "order", "x")
#: one reading of a price is off the list by so much, and the other is not
_FAR_OFF: Final = 5
_NEAR: Final = 2


@dataclass(frozen=True, slots=True)
class Bought:
    """How many came: so many packs of so many pieces; `used` where that figure stands."""

    quantity: int
    size: int
    packed: bool
    used: int


def ask_currency(line: Line) -> None:
    """Ask about a price in another currency than the farm's: the figures would be added as if they were one."""
    for word, codes in CURRENCIES.items():
        if line.has(word) and line.farm.currency and line.farm.currency.upper() not in codes:
            own = line.farm.currency.upper()
            line.ask(f"The farm's prices are in {own}: what is that in {own}?", "Write the price in it, or no price.")
            return


def ask_of_several(line: Line, groups: Sequence[Group]) -> None:
    """Ask about one price behind several parts that can be what they all cost."""
    if len(groups) < 2:
        return
    last = groups[-1].mark.stop
    counted = all(
        not one.mark.phrase.plural or line.tokens[max(0, one.mark.start - 1)].is_number
        for one in (groups[0], groups[-1])
    )
    prices = [one for one in figures_of(line, claimed=True) if _is_money(line, one)]
    if counted and not prices:
        # "a fan belt and 2 hoses 130"
        prices = [one for one in figures_of(line, claimed=True) if not one.unit and one.start == last]
    if len(prices) == 1 and prices[0].start >= last and not _each(line, prices[0].start, len(line.tokens)):
        if line.text(prices[0].start - 1) in ("at", "@"):
            return
        line.ask(f"Is {prices[0].shown} the price of one of them, or of all?", "Write a line for each part.")


def price_of(
    line: Line,
    start: int,
    stop: int,
    part: KnownPart | None,
    bought: Bought,
    assumed: list[str],
    *,
    counted: bool,
) -> int | None:
    """Return what a piece cost that the stretch [start, stop) tells, in hundredths; None where it tells none, or is asked."""
    figures = [
        one
        for one in figures_of(line, claimed=True)
        if start <= one.start < stop
        and one.start != bought.used
        and one.unit in ("", "money")
        and not line.part_at[0] <= one.start < line.part_at[1]
        and line.text(one.start - 1) not in _NO_PRICE
        and not _counts(line, one)
    ]
    said = [one for one in figures if _is_money(line, one)] or figures
    if not said:
        _ask_price_or_time(line, start, stop)
        return None
    if len(figures) > 1 or counted:
        shown = figures[-1].shown if counted else f"{figures[0].shown} and {figures[1].shown}"
        line.ask(f"What is the {shown}?", "Write one price, with 'each' or 'together' behind it.")
        return None
    return _of_piece(line, said[0], start, stop, part, bought, assumed)


def _counts(line: Line, figure: Figure) -> bool:
    """Say whether something is counted or measured behind a figure: "10 amp", "2 boxes", "2 wrong ones"; the last is asked."""
    behind = line.text(figure.stop)
    if figure.unit == "money" or "." in figure.shown or behind in _BEHIND or line.text(figure.start - 1) in _BEFORE:
        return False
    if behind in UNITS:
        return True
    noun = figure.stop < len(line.tokens) and line.tokens[figure.stop].is_word and line.scan.roles[figure.stop] is None
    if noun and behind not in SMALL:
        line.ask(f"What is the {figure.shown}?", "Write a price with its currency, and a line for each part.")
    return False


def _of_piece(
    line: Line, figure: Figure, start: int, stop: int, part: KnownPart | None, bought: Bought, assumed: list[str]
) -> int | None:
    minor, pieces = figure.value * 100, bought.quantity * bought.size
    each = _each(line, start, stop)
    words = _padded(line, start, stop)
    if bought.packed and (each or any(f" {one} " in words for one in _A_PACK)):
        return round(minor / bought.size)
    if not each and any(f" {one} " in words for one in _TOGETHER):
        return round(minor / max(1, pieces))
    if line.text(figure.start - 1) == "for" and not each:
        if _nearer_to_one(part, minor, pieces):
            line.ask(
                f"Is {figure.shown} the price of one, or of all {pieces}?", "Write 'each' or 'together' behind it."
            )
            return None
        return round(minor / max(1, pieces))
    if bought.packed:
        assumed.append("price")
        return round(minor / bought.size)
    if bought.quantity > 1 and line.text(figure.start - 1) not in ("at", "@") and not each:
        return _by_list(line, part, figure, bought.quantity, assumed)
    if not _is_money(line, figure):
        assumed.append("price")
    return round(minor)


def _padded(line: Line, start: int, stop: int) -> str:
    return f" {' '.join(token.text for token in line.tokens[start:stop])} "


def _each(line: Line, start: int, stop: int) -> bool:
    return any(f" {one} " in _padded(line, start, stop) for one in _EACH)


def _is_money(line: Line, figure: Figure) -> bool:
    """Say whether a figure can only be a price: a word or sign of money, "at", or cents behind a point."""
    return figure.unit == "money" or line.text(figure.start - 1) in _BEFORE or "." in figure.shown


def _nearer_to_one(part: KnownPart | None, minor: Decimal, pieces: int) -> bool:
    """Say whether a price that was said of all is far off the list, and would be near it as that of one."""
    if part is None or not part.price_minor or pieces < 2:
        return False
    of_one, of_all = _off(minor, part.price_minor), _off(minor / pieces, part.price_minor)
    return of_one <= _NEAR and of_all >= _FAR_OFF


def _off(minor: Decimal, listed: int) -> Decimal:
    return max(minor / listed, listed / minor) if minor else Decimal(_FAR_OFF)


def _ask_price_or_time(line: Line, start: int, stop: int) -> None:
    """Ask what 12.50 is that was taken for a time of day: of parts that came it may be what they cost."""
    for at in range(start + 1, min(stop, len(line.tokens) - 1)):
        if line.text(at) == "." and line.scan.roles[at] is Role.TIME and line.tokens[at + 1].is_number:
            shown = line.scan.shown(at - 1, at + 2)
            money = f"{shown} {line.farm.currency or 'each'}"
            line.ask(f"Is {shown} the price or the time of day?", f"Write {money} or {shown.replace('.', ':')}.")
            return


def _by_list(line: Line, part: KnownPart | None, figure: Figure, quantity: int, assumed: list[str]) -> int | None:
    """Return what a piece cost where nobody said of how many the price is: the list tells which of the two it can be."""
    each = figure.value * 100
    together = each / quantity
    listed = part.price_minor if part is not None else None
    if not listed or not each:
        line.ask(f"Is {figure.shown} the price of one, or of all {quantity}?", "Write 'each' or 'together' behind it.")
        return None
    assumed.append("price")
    return round(each if _off(each, listed) <= _off(together, listed) else together)
