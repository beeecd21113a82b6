"""What a ledger says of a row in one word: parts came, went on, went back, were counted; a service was done. Data."""

from __future__ import annotations

import re
from enum import StrEnum, unique
from functools import lru_cache
from typing import Final

from wearlog.facts.plain_text import folded


@unique
class LedgerMove(StrEnum):
    """What a row of a ledger is."""

    IN = "in"
    OUT = "out"
    BACK = "back"
    COUNTED = "counted"
    SERVICE = "service"
    PLANNED = "planned"
    CUT = "cut"
    BROKE = "broke"


_WORDS: Final[tuple[tuple[LedgerMove, str], ...]] = (
    (
        LedgerMove.IN,
        "in | bought | received | purchase | purchased | delivery | came | came in | stock in | buy | rcvd | got",
    ),
    (LedgerMove.OUT, "out | used | taken | fitted | went on | stock out | put on | issue | issued"),
    (LedgerMove.BACK, "back | return | returned | sent back | credit | rtn | went back | refund"),
    (
        LedgerMove.COUNTED,
        "count | stock count | counted | inventory | stocktake | on shelf | on hand | stock check | shelf count",
    ),
    (LedgerMove.SERVICE, "svc | service | serviced | maintenance | upkeep | serv | maint | pm"),
    (LedgerMove.PLANNED, "planned | winter | winter work | shop work | overhaul"),
    (LedgerMove.CUT, "cut | cutting | acres | harvested"),
    (LedgerMove.BROKE, "broke | broken | break | breakage | breakdown | failure | repair | repaired | fix"),
)
_BY_WORD: Final = {" ".join(word.split()): move for move, text in _WORDS for word in text.split("|")}


@lru_cache(maxsize=50_000)
def move_in(text: str) -> LedgerMove | None:
    """Return what a word says of a row; a year behind it ("stock count 2024") changes nothing."""
    clean = re.sub(r"\b(?:19|20)\d\d\b", " ", folded(text)).strip(" .:-()")
    return _BY_WORD.get(" ".join(clean.split()))


def year_said(text: str) -> int | None:
    """Return the year that stands in a text."""
    found = re.search(r"\b((?:19|20)\d\d)\b", text)
    return int(found[1]) if found else None
