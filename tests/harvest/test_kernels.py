"""What a kernel of a crop weighs: by its name where that leaves no choice, by the class or the farm's own seed where it does."""

from __future__ import annotations

import pytest

from wearlog.harvest.kernel_table import classes_of, is_small_grain, kernel_count_of


@pytest.mark.parametrize(
    ("crop", "entry"),
    [
        ("Canola", "canola"),
        ("barley", "barley"),
        ("yellow field peas", "field peas"),
        ("durum", "durum"),
        ("Durum wheat", "durum"),
        ("hard red winter wheat", "hard red spring wheat"),
        ("soft white wheat", "wheat"),
        ("red lentils", "lentils, red"),
        ("lentils, green", "lentils, green"),
        ("kabuli chickpeas", "chickpeas, kabuli"),
        ("wheat", None),
        ("winter wheat", None),
        ("lentils", None),
        ("lentil", None),
        ("desi chickpeas", None),
        ("teff", None),
        ("", None),
    ],
)
def test_a_name_that_leaves_no_choice_has_its_kernels_and_no_other(crop: str, entry: str | None) -> None:
    found = kernel_count_of(crop)
    assert (found.crop if found else None) == entry


def test_plain_wheat_is_one_of_three_that_weigh_unlike() -> None:
    """The classes with their weights; a plain name is never one of them silently (16.9 and 20 kernels are 19 % of a loss)."""
    weights = {name: round(entry.thousand_kernel_grams, 1) for name, entry in classes_of("Wheat").items()}
    assert weights == {"hard red": 31.2, "durum": 39.0, "white": 37.0}
    assert set(classes_of("lentils")) == {"red", "green"}
    assert classes_of("hard red wheat") == {}
    assert classes_of("canola") == {}


@pytest.mark.parametrize(
    ("crop", "seed", "grams"),
    [
        ("wheat", "hard red", 31.2),
        ("wheat", "Durum", 39.0),
        ("wheat", "33 g", 33.0),
        ("lentils", "green", 35.7),
        ("teff", "0.3g", 0.3),
        ("hard red wheat", "28.5 g", 28.5),
    ],
)
def test_what_the_farm_says_of_its_seed_goes_before_the_table(crop: str, seed: str, grams: float) -> None:
    found = kernel_count_of(crop, seed)
    assert found is not None
    assert found.thousand_kernel_grams == pytest.approx(grams, abs=0.05)


@pytest.mark.parametrize(
    ("crop", "seed"), [("wheat", "red"), ("canola", "hard red"), ("wheat", "0 g"), ("wheat", "33")]
)
def test_what_says_nothing_of_a_crop_s_seed_is_nothing(crop: str, seed: str) -> None:
    assert kernel_count_of(crop, seed) is None


def test_the_mark_of_small_grains_is_for_small_grains() -> None:
    small = ("wheat", "Hard red wheat", "durum", "malt barley", "oats", "fall rye", "triticale")
    assert all(is_small_grain(crop) for crop in small)
    assert not any(
        is_small_grain(crop) for crop in ("canola", "field peas", "lentils", "corn", "ryegrass", "buckwheat")
    )
