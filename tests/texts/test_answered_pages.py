"""What the pages of a day say that the program answers is what it answers, to the letter."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.farm_fixtures import demo_file
from tests.texts.answered import PAGES, Page, answers, steps_of
from tests.texts.command_lines import ROOT

__all__ = ["demo_file"]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.file)
def test_a_page_shows_what_its_commands_answer(page: Page, request: pytest.FixtureRequest, tmp_path: Path) -> None:
    demo = request.getfixturevalue("demo_file") if page.on_the_demo else None
    assert answers(page, tmp_path / "there", demo) == (ROOT / page.file).read_text("utf-8")


def test_every_page_shows_answers() -> None:
    assert all(
        sum(step.shown is not None for step in steps_of((ROOT / page.file).read_text("utf-8"))) > 3 for page in PAGES
    )
