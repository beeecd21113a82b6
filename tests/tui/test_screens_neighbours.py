"""Neighbours' lives as a screen: read, shown, written, forgotten, at the desk and on a phone."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.cli.test_neighbours import neighbours_rows, written
from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import flat, play, press, screen_lines
from tests.tui.writing import enter
from wearlog.tui.app import Screens
from wearlog.tui.screens.neighbours import LivesFileScreen, NeighboursFileScreen, NeighboursScreen

__all__ = ["demo_file", "demo_log"]


@pytest.mark.parametrize("size", [(80, 24), (46, 20)])
def test_a_file_is_read_shown_on_the_page_of_its_kind_and_forgotten(
    demo_log: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    monkeypatch.chdir(tmp_path)
    written(tmp_path / "their.csv", neighbours_rows())

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5", "y")
        assert isinstance(screens.screen, NeighboursScreen)
        assert "No neighbours' lives were read yet" in flat(screens)
        await enter(pilot, "i")
        assert isinstance(screens.screen, NeighboursFileScreen)
        await press(pilot, *"none.csv", "enter")
        assert "There is no file none.csv" in flat(screens)
        await press(pilot, *["backspace"] * 8, *"their.csv")
        await enter(pilot, "enter")
        assert isinstance(screens.screen, NeighboursScreen)
        assert "12 farms told of 3 kinds of part" in flat(screens)
        assert "guard" in flat(screens)
        await enter(pilot, "x")
        assert "No neighbours' lives were read yet" in flat(screens)
        await enter(pilot, "u")
        assert "12 farms told of 3 kinds of part" in flat(screens)
        await enter(pilot, "escape")
        assert not isinstance(screens.screen, NeighboursScreen)

    play(demo_log, steps, size=size)


@pytest.mark.parametrize("size", [(80, 24), (46, 20)])
def test_what_would_leave_is_shown_before_it_is_written(
    demo_log: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    monkeypatch.chdir(tmp_path)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5", "y", "s")
        assert isinstance(screens.screen, NeighboursScreen)
        assert "[What you would write]" in flat(screens)
        assert "would be written" in flat(screens)
        assert not list(tmp_path.glob("*.csv"))
        await enter(pilot, "s")
        assert isinstance(screens.screen, LivesFileScreen)
        await press(pilot, *"ours.csv")
        await enter(pilot, "enter")
        assert isinstance(screens.screen, NeighboursScreen)
        assert "Written: ours.csv" in flat(screens), screen_lines(screens)
        rows = list(csv.DictReader((tmp_path / "ours.csv").read_text("utf-8").splitlines()))
        assert {row["issue"] for row in rows} == {"1"}

    play(demo_log, steps, size=size)
