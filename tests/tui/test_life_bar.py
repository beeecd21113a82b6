"""Bars as text: how full."""

from __future__ import annotations

import pytest

from wearlog.present.drawing.marks import share_bar


@pytest.mark.parametrize(
    ("share", "bar"),
    [
        *((0.0, "········"), (0.5, "████····"), (1.0, "████████"), (7.0, "████████")),
        *((0.3, "██······"), (0.32, "██▌·····")),
    ],
)
def test_a_share_fills_its_part(share: float, bar: str) -> None:
    assert share_bar(share, 8) == bar
