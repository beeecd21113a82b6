"""Every letter on every screen, in every set of colours, has a contrast of 7 or more to its ground (WCAG 2.2, 1.4.6).

All screens and forms are measured where they are walked through anyway: `test_screens_grammar`.
"""

from __future__ import annotations

from functools import cache

import pytest
from rich.color import Color
from textual.pilot import Pilot
from textual.widgets import Static

from tests.tui.piloting import play, press, screen_lines, settled
from wearlog.tui.app import Screens
from wearlog.tui.themes import INKS
from wearlog.tui.widgets.answer_line import AnswerLine

ENOUGH = 7.0
#: signs that say something beside letters and figures: what strips, boxes, bars and marks are drawn with
SIGNS = frozenset("[]*^=?!>▲●○•■□█▓▒░├┤┼│╞╡═·←→")
#: ways to every screen, one after the other
WAYS = {
    "yard": (),
    "machine": ("down", "enter", "down"),
    "strip": ("tab", "4", "1", "-", "4", "3"),
    "log a breakage": ("b", "r"),
    "the line": ("tab", "4"),
    "what is wrong": ("x", "x", "enter"),
    "breakages": ("escape", "escape", "escape", "3"),
    "filter": ("slash",),
    "filtered": ("g",),
    "work": ("escape", "right"),
    "help": ("question_mark",),
    "find": ("escape", "colon"),
    "found": ("k",),
    "said": ("escape", "1", "ctrl+r"),
}


def luminance(color: Color) -> float:
    """Return the relative luminance of WCAG 2.2."""
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in (one / 255 for one in color.get_truecolor())
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@cache
def contrast(one: Color, other: Color) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_measure_gives_the_known_extremes() -> None:
    # WCAG 2.2: black on white is 21 to 1
    assert contrast(Color.parse("#000000"), Color.parse("#ffffff")) == pytest.approx(21.0)


def measured(screens: Screens) -> list[tuple[float, str]]:
    """Return every piece of writing with its contrast."""
    found = []
    for strip in screens.screen._compositor.render_strips():
        for segment in strip:
            style = segment.style
            if not any(one.isalnum() or one in SIGNS for one in segment.text):
                continue
            assert style is not None
            assert style.color is not None
            assert style.bgcolor is not None
            # dim letters lose half of their contrast in a terminal
            ratio = contrast(style.color, style.bgcolor) * (0.5 if style.dim else 1)
            found.append((ratio, f"{segment.text.strip()!r} {style}"))
    return found


@pytest.mark.parametrize("theme", list(INKS))
def test_every_ink_has_contrast_enough_on_every_paper_it_may_lie_on(theme: str) -> None:
    inks = INKS[theme]
    papers = (inks.paper, inks.band, inks.row_paper)
    pairs = [(ink, paper) for ink in (inks.ink, inks.quiet, inks.mark, inks.alarm) for paper in papers]
    for ink, paper in (*pairs, (inks.chosen_ink, inks.chosen_paper)):
        assert contrast(Color.parse(ink), Color.parse(paper)) >= ENOUGH, (ink, paper)


def test_the_measure_sees_a_letter_that_is_hard_to_read_and_a_strip_that_is(small_farm: str) -> None:
    """Else every screen would pass: pale ink on white, in a word and in a drawing."""

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for words in ("read me", "░░░├●┤"):
            pale = Static(words, markup=False)
            pale.styles.color, pale.styles.background = "#bbbbbb", "#ffffff"
            await screens.screen.mount(pale, before=screens.screen.query_one(AnswerLine))
            await settled(pilot)
            assert any(words in said and ratio < 2 for ratio, said in measured(screens)), words

    play(small_farm, steps)


@pytest.mark.parametrize("theme", list(INKS))
def test_every_screen_is_read_in_sunlight(small_farm: str, theme: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        screens.theme = theme
        for name, keys in WAYS.items():
            await press(pilot, *keys)
            pieces = measured(screens)
            assert len(pieces) > 3, f"{name} shows nothing"
            assert [piece for piece in pieces if piece[0] < ENOUGH] == [], f"{name} in {theme}"

    play(small_farm, steps)


@pytest.mark.parametrize("theme", list(INKS))
def test_the_answer_shouts_and_the_cursor_has_a_loud_sign_alone(small_farm: str, theme: str) -> None:
    loud = Color.parse(INKS[theme].chosen_paper).get_truecolor()

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        screens.theme = theme
        await press(pilot, "5")
        found = []
        for place, strip in enumerate(screens.screen._compositor.render_strips()):
            pieces = [
                one for one in strip if one.style and one.style.bgcolor and one.style.bgcolor.get_truecolor() == loud
            ]
            found += [(place, "".join(piece.text for piece in pieces))] if pieces else []
        assert found[0][0] == 1
        assert found[0][1].startswith("In the season ahead about")
        cursor = next(place for place, line in enumerate(screen_lines(screens)) if line.startswith(">"))
        assert [words for place, words in found if place >= cursor] == [">"]

    play(small_farm, steps)
