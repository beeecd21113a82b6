"""The worlds: whole farms that are not as the model says. In what each departs from it. Invented; no real farm."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

SEASONS: Final = 4
#: square metres that a header cuts in a season
SEASON: Final = 1200 * 4046.8564224
#: pieces of one stone where stones take neighbours, 1, 2, 3 and 4
NEIGHBOURS: Final = (0.4, 0.3, 0.2, 0.1)


@dataclass(frozen=True, slots=True)
class World:
    """How a farm departs from the model.

    Attributes
    ----------
    apart : float
        Standard deviation of ln(life) between machines, drawn for each kind and machine.
    stony : float
        ln(speed of wear) on stony ground against clean.
    per_year : float
        ln(speed of wear) that each year adds.
    new_number : float
        Life of a part number that takes the place of the old one after half the seasons, as so many times the old life.
    new_apart : float
        Standard deviation of ln of that between kinds.
    missing, late, elsewhere : float
        Share of breakages that were never entered, entered a week late, entered at a wrong position.
    neighbours : bool
        A stone takes neighbours, and each piece is entered by itself.
    sold : bool
        One machine is sold in the middle of the last season.
    shelf : bool
        Purchases and a count each winter are entered, so that what was used is known.
    counted_at_work : bool
        The count is made in the midst of the harvest instead.
    miscounted : float
        Share of the counts that are one piece off.
    """

    name: str
    apart: float = 0.0
    stony: float = 0.0
    per_year: float = 0.0
    new_number: float = 1.0
    new_apart: float = 0.0
    missing: float = 0.0
    late: float = 0.0
    elsewhere: float = 0.0
    neighbours: bool = False
    sold: bool = False
    shelf: bool = False
    counted_at_work: bool = False
    miscounted: float = 0.0
    machines: int = 4

    @property
    def has_new_number(self) -> bool:
        return self.new_number != 1 or self.new_apart > 0


#: the table, and below it worlds that no cure was made for
WORLDS: Final = (
    World("as the model"),
    World("machines differ by .3", apart=0.3),
    World("machines differ by .6", apart=0.6),
    World("life x .6 on stony ground", stony=0.51),
    World("lives 8 % shorter each year", per_year=0.083),
    World("new number lasts 1.6 x", new_number=1.6),
    World("15 % missing, 10 % late, 5 % elsewhere", missing=0.15, late=0.10, elsewhere=0.05, shelf=True),
    World("a stone takes neighbours", neighbours=True),
    World("machines .3 and stony ground", apart=0.3, stony=0.51),
    World("shorter each year and 15 % missing", per_year=0.083, missing=0.15, shelf=True),
    World("machines .6, one sold half-way", apart=0.6, sold=True),
    World("shorter each year, new number 1.6 x", per_year=0.083, new_number=1.6),
    World("each new number of its own, sd .4", new_apart=0.4),
)
