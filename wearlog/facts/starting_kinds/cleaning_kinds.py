"""Cleaning shoe and fan, straw chopper and spreader. Figures: see starting_guesses.py."""

from __future__ import annotations

from typing import Final

from wearlog.facts.closed_lists import Subsystem
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_kinds.kind_table import DRIVE, HOT, SEPARATOR, Guess, kind

_S = Subsystem

_SIEVE: Final = Guess(1000, 8000, "1.2", "3")
_BELT: Final = Guess(300, 2500, "1.2", "3")
_CHOPPER: Final = Guess(200, 1500, "1.5", "4", "0 0.05 0.1 0.3")
_FIXED_KNIFE: Final = Guess(500, 4000, "1.5", "4", "0 0.02 0.05 0.15")
_VANE: Final = Guess(400, 4000, "1", "2.5", "0 0.02 0.05 0.1")

CLEANING_KINDS: Final[tuple[PartKind, ...]] = (
    kind("chaffer", "upper sieve, top sieve", _S.CLEANING, SEPARATOR, 60, DRIVE, _SIEVE),
    kind("sieve", "lower sieve, bottom sieve, shoe sieve", _S.CLEANING, SEPARATOR, 60, DRIVE, _SIEVE),
    kind(
        "shoe bush", "shoe bushing, shoe hanger bush", _S.CLEANING, SEPARATOR, 45, DRIVE, Guess(500, 4000, "1.5", "4")
    ),
    kind(
        "shoe bearing",
        "shoe drive bearing, shaker bearing",
        _S.CLEANING,
        SEPARATOR,
        120,
        HOT,
        Guess(600, 5000, "1", "2.5"),
    ),
    kind("shoe drive belt", "shaker belt, shoe belt", _S.CLEANING, SEPARATOR, 90, DRIVE, _BELT),
    kind(
        "cleaning fan", "fan, shoe fan, fan blade", _S.CLEANING, SEPARATOR, 240, DRIVE, Guess(2000, 15000, "1", "2.5")
    ),
    kind(
        "fan bearing",
        "fan shaft bearing, cleaning fan bearing",
        _S.CLEANING,
        SEPARATOR,
        120,
        HOT,
        Guess(800, 6000, "1", "2.5"),
    ),
    kind("cleaning fan belt", "fan belt, shoe fan belt", _S.CLEANING, SEPARATOR, 60, DRIVE, _BELT),
    kind("chopper blades", "chopper blade, chopper knife, blade set", _S.RESIDUE, SEPARATOR, 120, DRIVE, _CHOPPER),
    kind("stationary knife", "fixed knife, counter knife", _S.RESIDUE, SEPARATOR, 20, DRIVE, _FIXED_KNIFE),
    kind(
        "chopper bearing",
        "chopper shaft bearing, chopper rotor bearing",
        _S.RESIDUE,
        SEPARATOR,
        150,
        HOT,
        Guess(400, 4000, "1", "2.5"),
    ),
    kind("chopper drive belt", "chopper belt", _S.RESIDUE, SEPARATOR, 60, DRIVE, Guess(300, 2000, "1.2", "3")),
    kind("spreader vane", "vane, spreader disc", _S.RESIDUE, SEPARATOR, 20, DRIVE, _VANE),
    kind("spreader motor", "spreader drive", _S.RESIDUE, SEPARATOR, 90, DRIVE, Guess(1000, 8000, "1", "2.5")),
)
