"""Bars as text: how full, where the interval of the life lies, and that what is not known is not drawn as if it were."""

from __future__ import annotations

import pytest

from wearlog.tui.widgets.cutterbar_strip import life_bar, share_bar


@pytest.mark.parametrize(
    ("share", "bar"),
    [
        *((0.0, "········"), (0.5, "████····"), (1.0, "████████"), (7.0, "████████")),
        *((0.3, "██······"), (0.32, "██▌·····")),
    ],
)
def test_a_share_fills_its_part(share: float, bar: str) -> None:
    assert share_bar(share, 8) == bar


def test_the_interval_of_the_life_is_marked_on_the_bar() -> None:
    # the bar spans 1.25 x 800; 300 to 800 lie at 0.3 and 0.8 of it
    assert life_bar(0.0, 300.0, 800.0, 20) == "······├─────────┤···"
    assert life_bar(500.0, 300.0, 800.0, 20) == "░░░░░░╞═══──────┤···"


def test_an_age_beyond_the_life_stretches_the_bar() -> None:
    assert life_bar(1_600.0, 300.0, 800.0, 20) == "░░░╞════╡░░░░░░░····"


def test_what_is_not_known_is_not_drawn_as_if_it_were() -> None:
    assert life_bar(None, 300.0, 800.0, 6) == "??????"
    assert life_bar(500.0, None, None, 6) == "······"
