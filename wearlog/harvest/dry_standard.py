"""The moisture to which grain of a crop is reckoned dry, each with where it is from. What the buyer says goes before it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from wearlog.harvest.kernel_table import Standing

_NORTH_DAKOTA: Final = "North Dakota State extension"


@dataclass(frozen=True, slots=True)
class DryStandard:
    """Moisture of dry grain of a crop, per cent of its mass. `crop` is the beginning of a word of the crop's name."""

    crop: str
    percent: float
    standing: Standing
    source: str


#: chickpeas before peas: the first that fits counts
DRY_STANDARDS: Final[tuple[DryStandard, ...]] = (
    DryStandard("wheat", 13.5, Standing.FROM_MEMORY, f"{_NORTH_DAKOTA}, store to about 9 months"),
    DryStandard("durum", 13.5, Standing.FROM_MEMORY, f"{_NORTH_DAKOTA}, store to about 9 months"),
    DryStandard("barley", 13.5, Standing.FROM_MEMORY, f"{_NORTH_DAKOTA}, store to about 9 months"),
    DryStandard("canola", 8.5, Standing.FROM_MEMORY, ""),
    DryStandard("lentil", 14.0, Standing.FROM_MEMORY, ""),
    DryStandard("chickpea", 14.0, Standing.FROM_MEMORY, ""),
    DryStandard("pea", 14.0, Standing.PUBLISHED, f"{_NORTH_DAKOTA}, field peas, store with aeration (2008)"),
)


def dry_standard_of(crop: str, said: float | None = None) -> DryStandard | None:
    """Return the moisture of dry grain of a crop; None where nobody said one and the crop is in no table.

    Parameters
    ----------
    crop : str
        A crop of the farm: "hard red wheat", "yellow field peas".
    said : float, optional
        What the farm said, per cent.
    """
    if said is not None:
        return DryStandard(crop, said, Standing.OWN, "as the farm set it")
    words = re.findall(r"[^\W\d_]+", crop.casefold())
    return next((one for one in DRY_STANDARDS if any(word.startswith(one.crop) for word in words)), None)
