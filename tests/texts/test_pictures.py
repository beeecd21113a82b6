"""Every picture that a text shows is there and made by the script, and every picture there is shown."""

from __future__ import annotations

import pytest

from tests.texts.command_lines import ROOT, TEXTS
from tests.tui.docs_pictures import NAMES, PICTURES, pictures_in

SHOWN = {name: pictures_in((ROOT / name).read_text("utf-8")) for name in TEXTS}


def test_the_pictures_of_the_texts_are_those_that_the_script_draws() -> None:
    assert set().union(*SHOWN.values()) == set(NAMES) == {file.stem for file in PICTURES.iterdir()}


@pytest.mark.parametrize("name", NAMES)
def test_a_picture_asks_nothing_from_outside_and_has_lines_of_text(name: str) -> None:
    drawn = (PICTURES / f"{name}.svg").read_text("utf-8")
    assert "url(" not in drawn.replace("url(#", "")
    assert "@import" not in drawn
    assert drawn.count("<text") > 20
