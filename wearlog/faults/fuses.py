"""Blade fuses: ratings and colours as a cross-check of what is in the holder. Never says to fit a higher one or to bridge one."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique
from typing import Final

from wearlog.errors import DataError, RefusedError
from wearlog.facts.closed_lists import Evidence


@unique
class FuseForm(StrEnum):
    """Body size. Mini, low-profile and standard share one set of colours; the large (maxi) has another."""

    MINI = "mini"
    LOW_PROFILE = "low_profile"
    STANDARD = "standard"
    MAXI = "maxi"


@dataclass(frozen=True, slots=True)
class FuseColour:
    """The body colour that goes with a rating, and what that rests on."""

    milliamperes: int
    colour: str
    evidence: Evidence


_P, _M = Evidence.PUBLISHED, Evidence.FROM_MEMORY

#: standard, mini and low-profile bodies (published colour lists; 35 A from memory, one list says rose)
SMALL_BLADE: Final = (
    FuseColour(500, "dark blue", _P),
    FuseColour(1_000, "black", _P),
    FuseColour(2_000, "grey", _P),
    FuseColour(3_000, "violet", _P),
    FuseColour(4_000, "pink", _P),
    FuseColour(5_000, "tan", _P),
    FuseColour(7_500, "brown", _P),
    FuseColour(10_000, "red", _P),
    FuseColour(15_000, "blue", _P),
    FuseColour(20_000, "yellow", _P),
    FuseColour(25_000, "clear", _P),
    FuseColour(30_000, "green", _P),
    FuseColour(35_000, "blue-green", _M),
    FuseColour(40_000, "orange", _M),
)

#: large bodies (from memory)
MAXI_BLADE: Final = (
    FuseColour(20_000, "yellow", _M),
    FuseColour(30_000, "green", _M),
    FuseColour(40_000, "orange", _M),
    FuseColour(50_000, "red", _M),
    FuseColour(60_000, "blue", _M),
    FuseColour(70_000, "brown", _M),
    FuseColour(80_000, "clear", _M),
)


def fuse_colours(form: FuseForm) -> tuple[FuseColour, ...]:
    """Return the ratings and colours of a body size, smallest first.

    Parameters
    ----------
    form : FuseForm
        Body size of the fuse.
    """
    return MAXI_BLADE if form is FuseForm.MAXI else SMALL_BLADE


def colour_of(milliamperes: int, form: FuseForm = FuseForm.STANDARD) -> FuseColour:
    """Return the colour that goes with a rating.

    Parameters
    ----------
    milliamperes : int
        Rating of the fuse, milliamperes.
    form : FuseForm
        Body size of the fuse.

    Raises
    ------
    DataError
        If that body size has no such rating.
    """
    for entry in fuse_colours(form):
        if entry.milliamperes == milliamperes:
            return entry
    raise DataError(
        f"A {form.replace('_', '-')} blade fuse of {milliamperes / 1000:g} A is not on the list.",
        "Go by the number printed on the fuse and on the fuse panel.",
    )


def is_blade_rating(milliamperes: int) -> bool:
    """Return whether any blade fuse is made for that rating.

    Parameters
    ----------
    milliamperes : int
        Rating of the fuse, milliamperes.
    """
    return any(entry.milliamperes == milliamperes for entry in (*SMALL_BLADE, *MAXI_BLADE))


def colour_fits(milliamperes: int, colour: str, form: FuseForm = FuseForm.STANDARD) -> bool:
    """Return whether a colour belongs to a rating. A cross-check only: what counts is the printed number.

    Parameters
    ----------
    milliamperes : int
        Rating of the fuse, milliamperes.
    colour : str
        The colour in words.
    form : FuseForm
        Body size of the fuse.
    """
    return colour_of(milliamperes, form).colour == " ".join(colour.lower().split())


def refit(rated_milliamperes: int, offered_milliamperes: int | None) -> int:
    """Return the rating to fit again, which is the rated one and nothing else.

    Parameters
    ----------
    rated_milliamperes : int
        What the circuit is drawn with.
    offered_milliamperes : int or None
        What somebody wants to put in; None for wire, foil or a bridge.

    Raises
    ------
    RefusedError
        For a bridge, or any other rating. A larger one lets the wire burn before the fuse opens; a smaller one blows on a sound
        circuit and hides where the fault is.
    """
    rated = f"{rated_milliamperes / 1000:g} A"
    if offered_milliamperes is None:
        raise RefusedError(
            "A fuse is never bridged: the wire would burn instead.", f"Find the fault, then fit {rated}."
        )
    if offered_milliamperes != rated_milliamperes:
        raise RefusedError(
            f"This circuit takes {rated}, not {offered_milliamperes / 1000:g} A.",
            f"Fit {rated}; if that blows again, the fault is still there.",
        )
    return rated_milliamperes
