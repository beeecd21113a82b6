"""What somebody says of a decision is typed on its screen: the answer is the command's, what is typed stays, Esc leaves it."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot

from tests.tui.demo_log import WINTER, demo_file, demo_log
from tests.tui.piloting import flat, play, rows
from tests.tui.test_screens_every_form import entries
from tests.tui.writing import Text, enter
from wearlog.cli.main import run
from wearlog.facts.machines import Machine
from wearlog.facts.parts import PartKind
from wearlog.facts.positions import component_name
from wearlog.facts.wearing import Component
from wearlog.tui.app import Screens
from wearlog.tui.questions.asked import StopTyped
from wearlog.tui.screens.asked_form import EveningScreen, RainAskedScreen, TradeOfferScreen
from wearlog.tui.screens.deciding import RainDayScreen, StopScreen, TradeScreen

__all__ = ["demo_file", "demo_log"]

SIZES = pytest.mark.parametrize("size", [(80, 24), (46, 20)])


def answered(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """Return what a command says, on one line."""
    capsys.readouterr()
    assert run([*words]) == 0
    return " ".join(capsys.readouterr().out.split())


@pytest.fixture
def one_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """Commands look at the log at the moment at which the screens do."""
    monkeypatch.setattr("wearlog.cli.decision_commands.local_now", lambda: WINTER)


@SIZES
def test_an_offer_for_a_combine_is_weighed_as_the_command_weighs_it(
    demo_log: str, one_clock: None, capsys: pytest.CaptureFixture[str], size: tuple[int, int]
) -> None:
    answers: list[tuple[str, tuple[str, ...]]] = []

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        def shown() -> str:
            assert isinstance(screens.screen, TradeScreen), flat(screens)
            assert screens.screen.shown is not None
            return str(screens.screen.shown.sheet.headline)

        await enter(pilot, "8", "k")
        answers.append((shown(), ()))
        name = str(screens.screen.rows.row.key)  # type: ignore[attr-defined]
        await enter(pilot, "l")
        assert isinstance(screens.screen, TradeOfferScreen)
        await enter(pilot, Text("much"), "enter")
        assert isinstance(screens.screen, TradeOfferScreen), "what is no money is refused where it stands"
        assert "'much'" in flat(screens)
        await enter(pilot, *["backspace"] * 4, Text("400000"), "tab", Text("150000"), "enter")
        answers.append(
            (
                shown(),
                (
                    name,
                    "--price",
                    "400000",
                    "--allowance",
                    "150000",
                ),
            )
        )
        # the other one is used, and under warranty; what was typed before stays
        await enter(pilot, "l")
        assert "400000; - takes it out" in flat(screens)
        await enter(pilot, "tab", "tab", Text("520000"), "tab", Text("600"), "tab", Text("3"), "tab", Text("200"))
        await enter(pilot, "tab", Text("101"), "enter")
        assert isinstance(screens.screen, TradeOfferScreen), "no interest is above a hundred"
        assert "Interest % does not take 101." in flat(screens)
        await enter(pilot, *["backspace"] * 3, Text("4"), "enter")
        used = ("--price", "400000", "--allowance", "150000", "--list-price", "520000")
        more = ("--hours", "600", "--age", "3", "--warranty-hours", "200", "--interest", "4")
        answers.append(
            (
                shown(),
                (
                    name,
                    *used,
                    *more,
                ),
            )
        )
        kept = shown()
        await enter(pilot, "l", Text("1"), "escape")
        assert isinstance(screens.screen, TradeOfferScreen), "what is typed is not left by one Esc"
        await enter(pilot, "escape")
        assert shown() == kept
        # each combine again, without a price
        await enter(pilot, "l", "up")
        assert isinstance(screens.screen, TradeOfferScreen)
        to_all = len(screens.screen.combines) - screens.screen.combines.index(name)
        await enter(pilot, *["right"] * to_all, "tab", Text("-"), "enter")
        answers.append(
            (
                shown(),
                (
                    *used[2:],
                    *more,
                ),
            )
        )
        await enter(pilot, "escape", "k")
        answers.append(
            (
                shown(),
                (
                    *used[2:],
                    *more,
                ),
            )
        )

    before = entries(demo_log)
    play(demo_log, steps, size)
    assert entries(demo_log) == before
    for shown_then, words in answers:
        assert shown_then in answered(capsys, "trade", *words, "--db", demo_log)
    assert answers[-1] == answers[-2], "what was typed is there when one comes back"


@SIZES
def test_an_evening_is_weighed_as_the_command_weighs_it(
    demo_log: str, one_clock: None, capsys: pytest.CaptureFixture[str], size: tuple[int, int]
) -> None:
    answers: list[tuple[str, tuple[str, ...]]] = []
    part: list[str] = []

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        def shown() -> str:
            assert isinstance(screens.screen, StopScreen), flat(screens)
            assert screens.screen.shown is not None
            part[:] = [str(screens.screen.component_id)]
            return str(screens.screen.shown.sheet.headline)

        await enter(pilot, "2", "k")
        answers.append((shown(), ()))
        await enter(pilot, "l", Text("60ac"), "tab", Text("soon"), "enter")
        assert isinstance(screens.screen, EveningScreen), "what is no time of day is refused where it stands"
        assert "'soon' is no time of day." in flat(screens)
        await enter(pilot, *["backspace"] * 4, Text("23:10"), "tab", Text("60%"), "enter")
        answers.append((shown(), ("--left", "60ac", "--dark", "23:10", "--rain", "60")))
        await enter(pilot, "l", Text("20ac"), "tab", "tab", Text("-"), "enter")
        answers.append((shown(), ("--left", "20ac", "--dark", "23:10")))
        assert screens.screen.evening == StopTyped("20ac", "23:10", "")  # type: ignore[attr-defined]
        await enter(pilot, "l", Text("1"), "escape", "escape")
        assert shown() == answers[-1][0]

    before = entries(demo_log)
    play(demo_log, steps, size)
    assert entries(demo_log) == before
    component = next(one for one in rows(demo_log, Component) if str(one.id) == part[0])
    machine = next(one.name for one in rows(demo_log, Machine) if one.id == component.machine_id)
    kind = next(one.name for one in rows(demo_log, PartKind) if one.id == component.part_kind_id)
    name = f"{machine} {component_name(component.place, kind)}"
    for shown_then, words in answers:
        assert shown_then in answered(capsys, "stop-or-run", name, *words, "--db", demo_log)
    assert answers[0][0] != answers[1][0]


@SIZES
def test_people_time_and_rain_are_weighed_as_the_command_weighs_them(
    demo_log: str, one_clock: None, capsys: pytest.CaptureFixture[str], size: tuple[int, int]
) -> None:
    answers: list[tuple[str, tuple[str, ...]]] = []

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        def shown() -> str:
            assert isinstance(screens.screen, RainDayScreen), flat(screens)
            assert screens.screen.shown is not None
            assert screens.screen.section is not None
            return " ".join(screens.screen.shown.said[screens.screen.section.name])

        await enter(pilot, "k", "l", Text("5 h"), "tab", Text("21"), "enter")
        assert isinstance(screens.screen, RainAskedScreen), "so many do not work"
        assert "People does not take 21." in flat(screens)
        await enter(pilot, *["backspace"] * 2, Text("2"), "tab", Text("0"), "enter")
        assert "'0' is no time that rain lasts." in flat(screens)
        await enter(pilot, "backspace", Text("3 h"), "enter")
        answers.append((shown(), ("--hours", "5 h", "--people", "2", "--lasts", "3 h")))
        assert "[5 h]" in flat(screens)
        await enter(pilot, "right")
        answers.append((shown(), ("--hours", "6", "--people", "2", "--lasts", "3 h")))
        await enter(pilot, "l", Text("4,5"), "tab", Text("-"), "tab", Text("-"), "enter")
        answers.append((shown(), ("--hours", "4.5")))
        await enter(pilot, "l", Text("1"), "escape", "escape")
        assert shown() == answers[-1][0]

    before = entries(demo_log)
    play(demo_log, steps, size)
    assert entries(demo_log) == before
    for shown_then, words in answers:
        assert shown_then.strip() in answered(capsys, "rain-day", *words, "--db", demo_log)
