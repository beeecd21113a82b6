"""The year on one farm is what the program answers, and what the three devices hold at its end is one log."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.texts.command_lines import ROOT
from tests.year.__main__ import page
from tests.year.player import Typed, Year
from tests.year.scenes import CAB, HOUSE, POCKET

PAGE = ROOT / "docs" / "a-year.md"


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """The folder of all devices after the year, and the page that it makes."""
    folder = tmp_path_factory.mktemp("year")
    return folder, page(folder)


def test_the_page_of_the_year_is_what_is_done_and_answered(played: tuple[Path, str]) -> None:
    assert played[1] == PAGE.read_text("utf-8")


def test_at_the_end_of_the_year_three_logs_are_one_and_in_order(played: tuple[Path, str]) -> None:
    year, late = Year(played[0]), "2026-12-31 09:00"
    for one in (HOUSE, CAB, POCKET):
        year.answer(Typed(one, late, f"wearlog pack {one.name}.bundle"))
    for one in (HOUSE, CAB, POCKET):
        for other in (HOUSE, CAB, POCKET):
            if other is not one:
                year.answer(Typed(one, late, f"wearlog merge {other.name}.bundle --yes"))
        year.answer(Typed(one, late, f"wearlog export out-{one.name}"))
        assert year.answer(Typed(one, late, "wearlog check"))[-1] == "Everything is in order."
    sheets = [
        {file.name: file.read_bytes() for file in (played[0] / f"out-{one.name}").iterdir()}
        for one in (HOUSE, CAB, POCKET)
    ]
    assert sheets[0] == sheets[1] == sheets[2]
    assert len(sheets[0]) > 10
