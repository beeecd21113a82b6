"""Kernels on the ground that make a bushel per acre, by crop, each with its source. The farm's own seed weight is better."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Final

from wearlog.units import ACRE_SQUARE_METRES, FOOT_METRES, POUND_GRAMS

_GRAMS_PER_POUND: Final = float(POUND_GRAMS)
_SQUARE_FEET_PER_ACRE: Final = float(ACRE_SQUARE_METRES / (FOOT_METRES * FOOT_METRES))


class Standing(Enum):
    """What a number of the trade rests on."""

    PUBLISHED = "published"
    COMPUTED = "computed from a published table"
    FROM_MEMORY = "from memory"


@dataclass(frozen=True, slots=True)
class KernelCount:
    """One crop's kernels per square foot that equal a loss of one bushel per acre."""

    crop: str
    per_square_foot: float
    pounds_per_bushel: float
    standing: Standing
    source: str

    @property
    def per_gram(self) -> float:
        """Kernels in a gram."""
        return self.per_square_foot * _SQUARE_FEET_PER_ACRE / (self.pounds_per_bushel * _GRAMS_PER_POUND)

    @property
    def thousand_kernel_grams(self) -> float:
        """Mass of a thousand kernels that the count implies."""
        return 1000 / self.per_gram


def kernels_per_square_foot(per_gram: float, pounds_per_bushel: float) -> float:
    """Return kernels per square foot that equal one bushel per acre, from kernels per gram."""
    return per_gram * pounds_per_bushel * _GRAMS_PER_POUND / _SQUARE_FEET_PER_ACRE


_SMALL_GRAINS: Final = "Minnesota / North Dakota State extension, small grains (2003)"
_LABORATORY: Final = "agronomy laboratory page"
_AUSTRALIA: Final = "Western Australia DPIRD, seeds per 0.1 m2 that equal 100 kg/ha"


def _from_quadrat(crop: str, seeds: float, pounds_per_bushel: float) -> KernelCount:
    # 100 kg/ha is 1 g on 0.1 m2, so the count of the table is kernels per gram
    count = kernels_per_square_foot(seeds, pounds_per_bushel)
    return KernelCount(crop, count, pounds_per_bushel, Standing.COMPUTED, _AUSTRALIA)


KERNEL_COUNTS: Final[tuple[KernelCount, ...]] = (
    KernelCount("hard red spring wheat", 20, 60, Standing.PUBLISHED, _SMALL_GRAINS),
    KernelCount("durum", 16, 60, Standing.PUBLISHED, _SMALL_GRAINS),
    KernelCount("barley", 14, 48, Standing.PUBLISHED, _SMALL_GRAINS),
    KernelCount("oats", 10, 32, Standing.PUBLISHED, _SMALL_GRAINS),
    KernelCount("corn", 2, 56, Standing.PUBLISHED, _LABORATORY),
    KernelCount("soybeans", 4, 60, Standing.FROM_MEMORY, ""),
    _from_quadrat("wheat", 27, 60),
    _from_quadrat("barley, australian", 23, 48),
    _from_quadrat("field peas", 5, 60),
    _from_quadrat("chickpeas, kabuli", 2, 60),
    _from_quadrat("lentils, red", 33, 60),
    _from_quadrat("lentils, green", 28, 60),
    _from_quadrat("canola", 267, 50),
)


def kernel_count(crop: str) -> KernelCount | None:
    """Return the entry of a crop by its name in the table, None where there is none."""
    return next((entry for entry in KERNEL_COUNTS if entry.crop == crop.strip().lower()), None)
