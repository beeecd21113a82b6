"""A breakage in one sentence: for the plain line that is read back, the form, the history. Light: it knows words alone."""

from __future__ import annotations

from collections.abc import Mapping

from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.facts.member_words import word
from wearlog.facts.plain_text import one_line

CAUSE_SAID: Mapping[Cause, str] = {
    Cause.IMPACT: " by impact",
    Cause.WEAR: " by wear",
    Cause.FATIGUE: " by fatigue",
    Cause.LOOSE: " because a fastening was loose",
    Cause.SECONDARY: " after something else failed",
    Cause.UNKNOWN: "",
}
ACTION_SAID: Mapping[Action, str] = {
    Action.REPLACED: "replaced",
    Action.MENDED: "mended",
    Action.LEFT: "left in service",
}
#: a mode that says its cause itself
_SAYS_ITSELF = {(Mode.WORN, Cause.WEAR), (Mode.LOOSE, Cause.LOOSE)}


def breakage_said(
    where: str,
    broke: tuple[Mode, Cause, Action],
    *,
    stood_seconds: int | None = None,
    labour_seconds: int | None = None,
    when: str = "",
    note: str = "",
) -> str:
    """Return "North header, knife sections 41-43: broken by impact, replaced; stood 20 min; 28 Jul 2026 14:05"."""
    mode, cause, action = broke
    why = "" if (mode, cause) in _SAYS_ITSELF else CAUSE_SAID[cause]
    pieces = [
        f"{where}: {word(mode)}{why}, {ACTION_SAID[action]}",
        "" if stood_seconds is None else f"stood {lasting(stood_seconds)}",
        "" if labour_seconds is None else f"{lasting(labour_seconds)} labour",
        when,
        noted(note),
    ]
    return "; ".join(piece for piece in pieces if piece)


def lasting(seconds: int) -> str:
    """Return "20 min", "1 h 20 min", "2 h" or "45 s"."""
    hours, rest = divmod(seconds, 3_600)
    minutes, left = divmod(rest, 60)
    pieces = [f"{number} {unit}" for number, unit in ((hours, "h"), (minutes, "min"), (left, "s")) if number]
    return " ".join(pieces) or "0 min"


def noted(note: str) -> str:
    """Return a remark in quotes behind what it is about; nothing for none."""
    return f'note "{one_line(note)}"' if note else ""
