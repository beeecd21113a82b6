"""What the farm says of its seed: a class of the crop, or the weight of a thousand of its own kernels. Writes nothing."""

from __future__ import annotations

import re

from wearlog.errors import UsageError
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.harvest.kernel_table import classes_of, kernel_count_of


def read_seed(text: str, crop: str) -> str:
    """Read "hard red" or "33 g" (a thousand kernels) as it is kept. UsageError when it says nothing of this crop's kernels."""
    said = one_line(text).strip().casefold()
    weight = re.fullmatch(r"(\d+)(?:[.,](\d+))?\s*(?:g|grams?)", said)
    if weight:
        said = f"{weight[1]}{f'.{weight[2]}' if weight[2] else ''} g"
    if kernel_count_of(crop, said) is None:
        raise UsageError(f"'{one_line(text)}' says nothing of the seed of {one_line(crop)}.", seed_hint(crop))
    return said


def needed_seed(text: str, crop: str, settings: FarmSettings) -> str:
    """Read what was said; nothing where the crop's name or the farm's settings leave no choice between grains of unlike weight.

    Raises
    ------
    UsageError
        When nothing was said and the name may mean several, or what was said means nothing.
    """
    if text.strip():
        return read_seed(text, crop)
    if classes_of(crop) and kernel_count_of(crop, settings.seed_of(crop)) is None:
        raise UsageError(f"{one_line(crop).capitalize()} of which class? {_weights(crop)}.", seed_hint(crop))
    return ""


def seed_hint(crop: str) -> str:
    """Return how the seed of a crop is said."""
    classes = list(classes_of(crop))
    first = f"Say {' or '.join(classes)}, or what" if classes else "Say what"
    return f"{first} 1,000 kernels of your own weigh, like '33 g'; it is kept for this crop."


def _weights(crop: str) -> str:
    return ", ".join(f"{name} {entry.thousand_kernel_grams:.3g} g" for name, entry in classes_of(crop).items()) + (
        " a thousand kernels"
    )
