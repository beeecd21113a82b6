"""What an acre cost, as the screen says it first: over the seasons of its table, what of it was dearest, the last beside."""

from __future__ import annotations

from typing import Final

from wearlog.present.costs.cost_sheet import per_area_text
from wearlog.present.digits import Measures, number
from wearlog.present.words import capital, counted, listed
from wearlog.reckoning.costs.costs import CostRow, CostTable

_EMPTY: Final = ("Nothing has cost anything yet, and nothing has been cut.", "c enters an area cut, b logs a breakage.")


def cost_answer(seasons: CostTable, measures: Measures) -> tuple[str, str]:
    """Return the answer and its second half.

    Parameters
    ----------
    seasons : CostTable
        Split by season: all of them, or the one that is chosen; the answer is of the same span as the tables below it.
    measures : Measures

    Returns
    -------
    (str, str)
        "An acre cost 5.14 USD over 6 seasons, 2021 to 2026: parts 2.29 of it.", what the rest was, and the last season beside it.
    """
    cut = [row for row in seasons.rows if row.area > 0]
    if not cut:
        total = seasons.total.total_minor
        return (
            _EMPTY
            if not total
            else (f"{measures.money(total, cents=False)} are spent and nothing has been cut.", _EMPTY[1])
        )
    last = max(cut, key=lambda row: row.key)
    several = len(cut) > 1
    told = seasons.total if several else last
    pieces = _pieces(told, measures)
    one = "An acre" if measures.area_unit == "ac" else "A hectare"
    first = f": {pieces[0]} of it" if pieces else ""
    span = f"over {len(cut)} seasons, {min(row.key for row in cut)} to {last.key}" if several else f"in {last.key}"
    answer = f"{one} cost {per_area_text(told, measures)} {measures.settings.currency} {span}{first}."
    rest = f"{capital(listed(pieces[1:]))}." if len(pieces) > 1 else ""
    alone = f"{last.key} alone: {per_area_text(last, measures)}{_among(last, cut)}." if several else ""
    unknown = seasons.unknown_units
    unpriced = f"{counted(unknown, 'piece')} of unknown cost in no sum." if unknown else ""
    return answer, " ".join(one for one in (rest, alone, unpriced) if one)


def _among(last: CostRow, cut: list[CostRow]) -> str:
    """Say where it stands among several seasons, where it is the dearest or the cheapest of them."""
    each = [row.total_minor / row.area for row in cut]
    mine = last.total_minor / last.area
    if len(cut) < 2 or (mine not in (max(each), min(each))) or each.count(mine) > 1:
        return ""
    return f", the {'dearest' if mine == max(each) else 'cheapest'} of them"


def _pieces(row: CostRow, measures: Measures) -> list[str]:
    """What it was made of per area, the dearest first; what would round to nothing is not named."""
    shares = (
        ("parts", row.parts_minor),
        ("labour", row.labour_minor),
        ("service", row.service_minor),
        ("downtime", row.downtime_minor),
    )
    area = measures.area_number(row.area)
    ordered = sorted(((minor / area, name) for name, minor in shares if minor), reverse=True)
    return [f"{name} {number(each / 100, 2)}" for each, name in ordered if each >= 0.5]
