"""Every screen that the guide names has its picture: an area by its digit, all else by the keys that lead to it."""

from __future__ import annotations

import pytest

from tests.texts.command_lines import ROOT
from tests.tui.docs_pictures import PICTURES, pictures_in
from tests.tui.every_screen import LED_TO
from tests.tui.screens_page import OF_A_MACHINE, SHOWN, page, picture_of
from wearlog.tui.areas import AREAS
from wearlog.tui.host import AreaTab

GUIDE = (ROOT / "docs/guide.md").read_text("utf-8")
PAGE = (ROOT / "docs/screens.md").read_text("utf-8")
#: keys from the yard that the guide names by another sign
MOVES = ("left", "right", "down", "end")
SIGNS = {"question_mark": "?", "colon": ":", "comma": ",", "enter": "Enter", "tab": "Tab", "f2": "F2", "plus": "+"}


def test_the_page_of_all_screens_is_that_of_the_program() -> None:
    assert page() == PAGE


@pytest.mark.parametrize("area", AREAS, ids=lambda one: one.title)
def test_an_area_has_its_picture(area: AreaTab) -> None:
    assert f"{area.key} {area.title}" in GUIDE
    name = next(one for one, (_, keys) in SHOWN.items() if keys == ((area.key,) if area.key != "1" else ()))
    assert picture_of(name) in pictures_in(PAGE)
    assert (PICTURES / f"{picture_of(name)}.svg").is_file()


@pytest.mark.parametrize("name", [one for one in LED_TO if not one.startswith("form ") and one not in OF_A_MACHINE])
def test_a_screen_has_its_picture_and_its_keys_stand_in_the_guide(name: str) -> None:
    picture = picture_of(name)
    assert picture in pictures_in(PAGE)
    assert (PICTURES / f"{picture}.svg").is_file()
    # arrows and digits go without saying: the guide tells of sections and areas by their names
    told = [SIGNS.get(key, key) for key in LED_TO[name][1] if key not in MOVES and not key.isdigit()]
    assert [key for key in told[-1:] if f"`{key}`" not in GUIDE and f"{key} " not in GUIDE] == []


def test_the_guide_leads_to_the_page_of_all_screens() -> None:
    assert "(screens.md)" in GUIDE
