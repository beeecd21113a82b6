"""Kernels on the ground that make a bushel per acre, by crop, each with its source. The farm's own seed weight is better."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType
from typing import Final

from wearlog.units import ACRE_SQUARE_METRES, FOOT_METRES, POUND_GRAMS

_GRAMS_PER_POUND: Final = float(POUND_GRAMS)
_SQUARE_FEET_PER_ACRE: Final = float(ACRE_SQUARE_METRES / (FOOT_METRES * FOOT_METRES))


class Standing(Enum):
    """What a number of the trade rests on."""

    PUBLISHED = "published"
    COMPUTED = "computed from a published table"
    FROM_MEMORY = "from memory"
    OWN = "the farm's own seed"


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
    """Return kernels per square foot that equal one bushel per acre, from kernels per gram.

    Parameters
    ----------
    per_gram : float
        Kernels per gram.
    pounds_per_bushel : float
        Weight of a bushel, pounds.
    """
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
    """Return the entry of a crop by its name in the table, None where there is none.

    Parameters
    ----------
    crop : str
        Name of the crop.
    """
    return next((entry for entry in KERNEL_COUNTS if entry.crop == crop.strip().lower()), None)


#: crops whose plain name is grain of unlike weight -> the words that tell one from another -> crop of the table
_CLASSES: Final[Mapping[str, Mapping[str, str]]] = MappingProxyType(
    {
        "wheat": {"hard red": "hard red spring wheat", "durum": "durum", "white": "wheat"},
        "lentil": {"red": "lentils, red", "green": "lentils, green"},
        "chickpea": {"kabuli": "chickpeas, kabuli"},
    }
)
#: what the mark of small grains was published for
_SMALL: Final = frozenset({"wheat", "durum", "barley", "oat", "rye", "triticale"})
_WEIGHT: Final = re.compile(r"(\d+(?:\.\d+)?)\s*g")
#: a thousand kernels weigh no less and no more than this (canola 3.75 g, kabuli chickpeas 500 g)
_SEED_GRAMS: Final = (0.05, 2000.0)


def own_seed(thousand_kernel_grams: float) -> KernelCount:
    """Return the entry of the farm's own seed; its bushel is 60 lb, which no weight depends on.

    Parameters
    ----------
    thousand_kernel_grams : float
        Weight of 1,000 kernels, grams.
    """
    count = kernels_per_square_foot(1000 / thousand_kernel_grams, 60)
    name = f"own seed of {thousand_kernel_grams:g} g a thousand"
    return KernelCount(name, count, 60, Standing.OWN, "the farm's own seed")


def classes_of(crop: str) -> Mapping[str, KernelCount]:
    """Return the classes that a crop's name leaves open, by the words that tell them apart; none where it leaves no choice.

    Parameters
    ----------
    crop : str
        Name of the crop.
    """
    words = set(_words(crop))
    for plain, classes in _CLASSES.items():
        if any(word.startswith(plain) for word in words):
            said = [name for name in classes if words.issuperset(name.split())]
            return {} if len(said) == 1 else {name: _entry(entry) for name, entry in classes.items()}
    return {}


def kernel_count_of(crop: str, seed: str = "") -> KernelCount | None:
    """Return what a kernel of a crop weighs; None where nobody knows, or where its name may mean grains of unlike weight.

    Parameters
    ----------
    crop : str
        A crop of the farm: "hard red wheat", "Canola", "yellow field peas".
    seed : str, optional
        What the farm said of its seed: a word of `classes_of`, a crop of the table, or the weight of a thousand kernels ("33 g").
    """
    name = crop.strip().casefold()
    if seed:
        return _said(name, seed.strip().casefold())
    words = set(_words(name))
    for plain, classes in _CLASSES.items():
        if any(word.startswith(plain) for word in words):
            said = [entry for cls, entry in classes.items() if words.issuperset(cls.split())]
            return _entry(said[0]) if len(said) == 1 else None
    exact = kernel_count(name)
    if exact is not None or not name:
        return exact
    return next((one for one in KERNEL_COUNTS if one.crop.startswith(name) or name.endswith(one.crop)), None)


def is_small_grain(crop: str) -> bool:
    """Tell whether a crop is one of those that the usual loss of small grains was published for.

    Parameters
    ----------
    crop : str
        Name of the crop.
    """
    return any(word in _SMALL or word.removesuffix("s") in _SMALL for word in _words(crop))


def _said(crop: str, seed: str) -> KernelCount | None:
    if weight := _WEIGHT.fullmatch(seed):
        grams = float(weight[1])
        return own_seed(grams) if _SEED_GRAMS[0] <= grams <= _SEED_GRAMS[1] else None
    return classes_of(crop).get(seed) or kernel_count(seed)


def _words(crop: str) -> list[str]:
    return re.findall(r"[^\W\d_]+", crop.casefold())


def _entry(crop: str) -> KernelCount:
    return next(entry for entry in KERNEL_COUNTS if entry.crop == crop)
