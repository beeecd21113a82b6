"""What happened to a part, to the shelf or to a service, out of the words of a row's cells together."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum, unique
from functools import lru_cache
from typing import Final

from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.facts.plain_text import folded
from wearlog.logbook.notebook.cell_words import CellSaid
from wearlog.logbook.plain_line.said_table import Said
from wearlog.logbook.quickline.lexicon import usual_mode
from wearlog.logbook.quickline.words import Weight


def joined_said(pieces: Iterable[CellSaid]) -> CellSaid:
    """Lay the words of cells together: the first cell that says a thing says it."""
    row = CellSaid()
    for one in pieces:
        if one.kinds and not row.kinds:
            row.called, row.ends_so, row.kind_text, row.kinds = one.called, one.ends_so, one.kind_text, one.kinds
        row.machines = row.machines | one.machines
        row.said = (*row.said, *one.said)
        if not row.positions:
            row.positions, row.between = one.positions, one.between or row.between
        row.every, row.end, row.middle = row.every or one.every, row.end or one.end, row.middle or one.middle
        row.count = one.count if row.count is None else row.count
        row.stood = one.stood if row.stood is None else row.stood
        row.labour = one.labour if row.labour is None else row.labour
        row.money, row.meter = row.money or one.money, row.meter or one.meter
        row.unknown = (*row.unknown, *one.unknown)
        row.mended = (*row.mended, *one.mended)
    return row


@dataclass(frozen=True, slots=True)
class HappenedSo:
    """Cause, mode and action; `planned` where nothing broke; `clash` names two causes that exclude one another."""

    cause: Cause
    mode: Mode
    action: Action
    planned: bool = False
    told: bool = False
    clash: bool = False


@lru_cache(maxsize=50_000)
def happened_so(said: tuple[Said, ...], kind: str) -> HappenedSo:
    """Return what words say together.

    Dull or worn is wear; new parts with nothing broken, and work of the winter, are planned.
    """
    causes = [one for one in said if one.cause is not None]
    most = max((one.weight for one in causes), default=Weight.PLAIN)
    firm = [one.cause for one in causes if one.weight is most and one.cause is not None]
    cause = firm[0] if firm else Cause.UNKNOWN
    clash = most is Weight.PLAIN and len(set(firm) - {Cause.SECONDARY, Cause.UNKNOWN}) > 1
    modes = [one for one in said if one.mode is not None]
    chosen = (
        [one for one in modes if not one.soft and one.weight is Weight.PLAIN]
        or [one for one in modes if not one.soft]
        or modes
    )
    mode = chosen[0].mode if chosen and chosen[0].mode is not None else None
    actions = list(dict.fromkeys(one.action for one in said if one.action is not None))
    action = actions[0] if actions else Action.REPLACED
    broke = mode not in (None, Mode.WORN) or cause in (Cause.IMPACT, Cause.FATIGUE, Cause.LOOSE, Cause.SECONDARY)
    is_new = any(one.new for one in said) and mode is None and cause is Cause.UNKNOWN
    planned = not broke and (any(one.planned for one in said) or is_new)
    if mode is None:
        mode = Mode.WORN if cause is Cause.WEAR else usual_mode(kind)
    if any(one.watched for one in said) and not actions:
        action = Action.LEFT
    return HappenedSo(cause, mode, action, planned, bool(said), clash)


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
